"""A piece as cells: small oblongs that part each tile evenly; a piece covers every cell that it comes near.

Rows of cells are bits of one long whole number, so that one pass of shifts finds all free places of a piece at once.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry import Polygon

from booklet.drawing.page import SheetPiece
from booklet.paths import Placement
from booklet.printing.grid import Grid
from booklet.problems import Fault

GAP = 8.0  # mm between cut lines, and twice what they keep from the sheet's edge
_CELL = 6.0  # mm, about
_LARGEST = 5000.0  # mm: no piece of clothing is longer

Spot = tuple[int, int, int]  # which of a piece's masks, and where its corner lies: x, y in cells


@dataclass(frozen=True)
class Cells:
    """The size of a cell in mm, and how many part a tile."""

    x: float
    y: float
    across: int
    down: int

    @classmethod
    def of(cls, grid: Grid) -> Cells:
        across, down = round(grid.step_x / _CELL), round(grid.step_y / _CELL)
        return cls(grid.step_x / across, grid.step_y / down, across, down)


@dataclass(frozen=True, eq=False)
class Mask:
    """A piece turned one way: spans of cells a row (start, length), its true size, where its corner lies."""

    placement: Placement  # brings the piece's box (grown by half a gap) to the origin
    spans: tuple[tuple[tuple[int, int], ...], ...]
    wide: int
    size: complex  # of the outline itself, mm
    near: np.ndarray  # by rows and columns: the cells that the outline itself meets

    @property
    def tall(self) -> int:
        return len(self.spans)

    def bits(self, columns: int) -> int:
        """Its cells as a whole number, its corner in the lowest bit of rows of so many columns."""
        out = 0
        for down, start, length in self.runs():
            out |= ((1 << length) - 1) << (down * columns + start)
        return out

    def runs(self) -> Iterator[tuple[int, int, int]]:
        """(row, start, length) of each run of cells."""
        for down, spans in enumerate(self.spans):
            for start, length in spans:
                yield down, start, length

    def barred(self, taken: int, columns: int) -> int:
        """Set where the piece's corner can't lie because it would cover a cell that is taken."""
        grown: dict[int, int] = {}
        out = 0
        for down, start, length in self.runs():
            if length not in grown:
                grown[length] = _spread(taken, length)
            out |= grown[length] >> (down * columns + start)
        return out

    def at(self, x: int, y: int, cells: Cells) -> Placement:
        """How the piece lies with its mask's corner in that cell."""
        return self.placement.then(Placement.move(complex(x * cells.x, y * cells.y)))


def polygon_of(piece: SheetPiece, placement: Placement = Placement.IDENTITY) -> Polygon:
    """The ground within the piece's outline. Raises `Fault` for an outline that is none."""
    points = placement.apply_all(piece.outline.flatten(0.2))
    if len(points) < 4:
        raise Fault.of("sheet-piece", f"piece {piece.number} '{piece.title}' has no outline to print", None)
    return Polygon(np.column_stack([points.real, points.imag]))


def masks_of(piece: SheetPiece, turns: Sequence[complex], cells: Cells) -> tuple[Mask, ...]:
    """The piece turned each of these ways. Raises `Fault` for one without ground or larger than any garment."""
    return tuple(_mask(piece, turn, cells) for turn in turns)


def _mask(piece: SheetPiece, turn: complex, cells: Cells) -> Mask:
    turned = polygon_of(piece, Placement(turn))
    x0, y0, x1, y1 = turned.bounds
    if max(x1 - x0, y1 - y0) > _LARGEST:
        raise Fault.of(
            "sheet-piece",
            f"piece {piece.number} '{piece.title}' is {max(x1 - x0, y1 - y0) / 1000:.1f} m long, "
            f"more than {_LARGEST / 1000:.0f} m",
            None,
            "Check its measures and units.",
        )
    half = GAP / 2
    corner = complex(x0 - half, y0 - half)
    wide, tall = math.ceil((x1 - x0 + GAP) / cells.x), math.ceil((y1 - y0 + GAP) / cells.y)
    full = _cells_met(turned.buffer(half, quad_segs=4), corner, wide, tall, cells)
    return Mask(
        Placement(turn, -corner),
        tuple(_spans(row) for row in full),
        wide,
        complex(x1 - x0, y1 - y0),
        _cells_met(turned, corner, wide, tall, cells),
    )


def _cells_met(ground: Polygon, corner: complex, wide: int, tall: int, cells: Cells) -> np.ndarray:
    """Which cells a ground meets: those that its outline passes, found at every half millimetre, and those within."""
    out = np.zeros((tall, wide), bool)
    for ring in (ground.exterior, *ground.interiors):
        x, y = shapely.get_coordinates(shapely.segmentize(ring, 0.5)).T
        across = np.clip((x - corner.real) // cells.x, 0, wide - 1).astype(int)
        down = np.clip((y - corner.imag) // cells.y, 0, tall - 1).astype(int)
        out[down, across] = True
    xs = corner.real + cells.x * (np.arange(wide) + 0.5)
    ys = corner.imag + cells.y * (np.arange(tall) + 0.5)
    gx, gy = np.meshgrid(xs, ys)
    shapely.prepare(ground)
    result: np.ndarray = out | shapely.contains_xy(ground, gx.ravel(), gy.ravel()).reshape(tall, wide)
    return result


def _spans(row: np.ndarray) -> tuple[tuple[int, int], ...]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(np.int8), [0]])))
    return tuple((int(a), int(b - a)) for a, b in zip(edges[::2], edges[1::2], strict=True))


def _spread(bits: int, length: int) -> int:
    """Bit p set where any of bits p .. p + length - 1 is."""
    have = 1
    while have < length:
        step = min(have, length - have)
        bits |= bits >> step
        have += step
    return bits


def unpacked(bits: int, rows: int, columns: int) -> np.ndarray:
    """The lowest bits of a whole number as rows and columns of 0 and 1."""
    count = rows * columns
    raw = (bits & ((1 << count) - 1)).to_bytes((count + 7) // 8, "little")
    flat = np.unpackbits(np.frombuffer(raw, np.uint8), count=count, bitorder="little")
    result: np.ndarray = flat.reshape(rows, columns)
    return result


class Series:
    """Numbers that look drawn by lot and are always the same: the minimal standard generator (Park and Miller 1988)."""

    def __init__(self) -> None:
        self._last = 12345

    def below(self, count: int) -> int:
        self._last = self._last * 16807 % 2147483647
        return self._last % count
