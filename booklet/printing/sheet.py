"""Pieces arranged on one big sheet so that few pages are printed.

Paper has no grain: a piece may take a quarter turn. The ground is divided into small cells that part each tile
evenly; a piece covers every cell that it comes near, so that two pieces keep their gap. Rows of cells are bits of one
long whole number, and one pass of shifts finds all free places of a piece at once. Several widths of the sheet and
orders of the pieces are tried; the count of tries is fixed, so that the same pieces always lie alike.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon

from booklet.drawing.page import SheetPiece
from booklet.paths import Placement
from booklet.printing.grid import Grid, tile_name
from booklet.problems import Collector, Fault

GAP = 8.0  # mm between cut lines, and twice what they keep from the sheet's edge
_CELL = 6.0  # mm, about
_TRIES = 96  # orders of the pieces, shared by all widths
_MOST_COLUMNS = 8
_SLACK = 1.3  # how much more than their area pieces take up, about
_LARGEST = 5000.0  # mm: no piece of clothing is longer


@dataclass(frozen=True)
class PlacedPiece:
    """A piece and how it lies on the sheet."""

    piece: SheetPiece
    placement: Placement


@dataclass(frozen=True)
class Sheet:
    """Where every piece lies, and the tiles that carry something: (row, column), by rows."""

    grid: Grid
    placed: tuple[PlacedPiece, ...]
    tiles: tuple[tuple[int, int], ...]

    @property
    def rows(self) -> int:
        return 1 + max(r for r, _ in self.tiles)

    @property
    def columns(self) -> int:
        return 1 + max(c for _, c in self.tiles)

    def names(self) -> tuple[str, ...]:
        return tuple(tile_name(r, c) for r, c in self.tiles)


@dataclass(frozen=True)
class _Mask:
    """A piece turned one way: spans of cells a row (start, length), its true size, where its corner lies."""

    placement: Placement  # brings the piece's box (grown by half a gap) to the origin
    spans: tuple[tuple[tuple[int, int], ...], ...]
    wide: int
    size: complex  # of the outline itself, mm


def arrange(pieces: Sequence[SheetPiece], grid: Grid) -> Sheet:
    """The arrangement with the fewest tiles among those tried; then the shortest joined sheet.

    Raises `Fault` for no pieces or one without size.
    """
    if not pieces:
        raise Fault.of("sheet-empty", "there is no piece to print", None, "Give a piece 'cut:'.")
    cell_x, cell_y, across, down = _cells(grid)
    masks = [_turns(piece, cell_x, cell_y) for piece in pieces]
    least = max(min(m.wide for m in both) for both in masks)
    first = max(1, math.ceil(least / across))
    _refuse_too_large(pieces, masks, (across, down), grid)
    best: tuple[tuple[float, ...], list[tuple[int, int, int]]] | None = None
    orders = _orders(pieces)
    for columns in range(first, max(first, _most_columns(pieces, grid)) + 1):
        for order in orders:
            lay = _lay(masks, order, columns * across, (across, down), (cell_x, cell_y), grid)
            tiles = _tiles_met(pieces, masks, lay, (cell_x, cell_y), grid)
            score: tuple[float, ...] = (len(tiles), *_extent(tiles, grid))
            if grid.whole:
                score = (len(tiles), max(y + len(masks[k][turn].spans) for k, (turn, _, y) in enumerate(lay)))
            if best is None or score < best[0]:
                best = (score, lay)
    assert best is not None
    placed = tuple(
        PlacedPiece(piece, _at(masks[k][turn], x * cell_x, y * cell_y))
        for k, (piece, (turn, x, y)) in enumerate(zip(pieces, best[1], strict=True))
    )
    if grid.whole:
        grid = _cropped(placed, grid)
    return Sheet(grid, placed, tiles_of(placed, grid))


def _most_columns(pieces: Sequence[SheetPiece], grid: Grid) -> int:
    """Wider sheets than this hold only more empty pages."""
    if grid.whole:
        return 1
    total = sum(_polygon(p, Placement.IDENTITY).area for p in pieces) * _SLACK
    return min(_MOST_COLUMNS, math.ceil(2 * math.sqrt(total / (grid.step_x * grid.step_y))) + 1)


def _refuse_too_large(
    pieces: Sequence[SheetPiece], masks: list[tuple[_Mask, ...]], tile: tuple[int, int], grid: Grid
) -> None:
    """A page that pieces are not parted on must hold each of them. Raises one `Fault` for all that it doesn't."""
    if not grid.whole:
        return
    collector = Collector()
    for piece, both in zip(pieces, masks, strict=True):
        if all(m.wide > tile[0] or len(m.spans) > tile[1] for m in both):
            over = min(m.wide for m in both) * grid.step_x / tile[0] - grid.step_x
            collector.error(
                "sheet-piece",
                None,
                f"piece {piece.number} '{piece.title}' is {over / 10:.0f} cm too wide for the {grid.paper.name}",
                "Print it on pages that are joined, such as --sheets a0.",
            )
    collector.raise_if_errors()


def _cropped(placed: Sequence[PlacedPiece], grid: Grid) -> Grid:
    """The page only as large as what lies on it, so far as one page is enough."""
    x1 = max(p.piece.outline.placed(p.placement).bbox[2] for p in placed) + GAP / 2 + 2 * grid.margin
    y1 = max(p.piece.outline.placed(p.placement).bbox[3] for p in placed) + GAP / 2 + 2 * grid.margin
    if y1 > grid.paper.height:
        return grid
    wide = grid.paper.width if grid.roll else x1
    return replace(grid, paper=replace(grid.paper, width=wide, height=math.ceil(y1)))


def tiles_of(placed: Sequence[PlacedPiece], grid: Grid) -> tuple[tuple[int, int], ...]:
    """The tiles whose own ground a piece meets, by rows."""
    met: dict[tuple[int, int], None] = {}
    for entry in placed:
        ground = _polygon(entry.piece, entry.placement)
        shapely.prepare(ground)
        x0, y0, x1, y1 = ground.bounds
        for row in range(max(0, int(y0 // grid.step_y)), int(y1 // grid.step_y) + 1):
            for column in range(max(0, int(x0 // grid.step_x)), int(x1 // grid.step_x) + 1):
                if ground.intersects(shapely.box(*grid.cell(row, column))):
                    met[(row, column)] = None
    return tuple(sorted(met))


def _extent(tiles: Sequence[tuple[int, int]], grid: Grid) -> tuple[float, float]:
    """The joined sheet's longer and shorter side: of equal page counts, the one that a table holds best."""
    tall = (1 + max(r for r, _ in tiles)) * grid.step_y
    wide = (1 + max(c for _, c in tiles)) * grid.step_x
    return max(tall, wide), min(tall, wide)


# ---------------------------------------------------------------- cells


def _cells(grid: Grid) -> tuple[float, float, int, int]:
    """Cell size across and down, and how many part a tile."""
    across, down = round(grid.step_x / _CELL), round(grid.step_y / _CELL)
    return grid.step_x / across, grid.step_y / down, across, down


def _polygon(piece: SheetPiece, placement: Placement) -> Polygon:
    points = placement.apply_all(piece.outline.flatten(0.2))
    if len(points) < 4:
        raise Fault.of("sheet-piece", f"piece {piece.number} '{piece.title}' has no outline to print", None)
    return Polygon(np.column_stack([points.real, points.imag]))


def _turns(piece: SheetPiece, cell_x: float, cell_y: float) -> tuple[_Mask, ...]:
    """The piece as it was drawn, and with a quarter turn."""
    return tuple(_mask(piece, turn, cell_x, cell_y) for turn in (1 + 0j, 1j))


def _mask(piece: SheetPiece, turn: complex, cell_x: float, cell_y: float) -> _Mask:
    turned = _polygon(piece, Placement(turn))
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
    grown = turned.buffer(half, quad_segs=4)
    left, top = x0 - half, y0 - half
    wide, tall = math.ceil((x1 - x0 + GAP) / cell_x), math.ceil((y1 - y0 + GAP) / cell_y)
    xs = left + cell_x * np.arange(wide)
    ys = top + cell_y * np.arange(tall)
    gx, gy = np.meshgrid(xs, ys)
    shapely.prepare(grown)
    full = shapely.intersects(grown, shapely.box(gx, gy, gx + cell_x, gy + cell_y))
    return _Mask(
        Placement(turn, complex(-left, -top)),
        tuple(_spans(row) for row in full),
        wide,
        complex(x1 - x0, y1 - y0),
    )


def _spans(row: np.ndarray) -> tuple[tuple[int, int], ...]:
    edges = np.flatnonzero(np.diff(np.concatenate([[0], row.astype(np.int8), [0]])))
    return tuple((int(a), int(b - a)) for a, b in zip(edges[::2], edges[1::2], strict=True))


def _at(mask: _Mask, x: float, y: float) -> Placement:
    return mask.placement.then(Placement.move(complex(x, y)))


# ---------------------------------------------------------------- laying


def _orders(pieces: Sequence[SheetPiece]) -> list[tuple[int, ...]]:
    """By height, width, area and longest side, then shuffles of the last with numbers of a fixed series."""
    boxes = [p.outline.bbox for p in pieces]
    size = [(b[2] - b[0], b[3] - b[1]) for b in boxes]
    numbers = range(len(pieces))
    longest = tuple(sorted(numbers, key=lambda k: (-max(size[k]), k)))
    orders = [
        longest,
        tuple(sorted(numbers, key=lambda k: (-size[k][0] * size[k][1], k))),
        tuple(sorted(numbers, key=lambda k: (-size[k][1], k))),
        tuple(sorted(numbers, key=lambda k: (-min(size[k]), k))),
    ]
    seed = 12345
    while len(orders) < 4 + _TRIES // _MOST_COLUMNS and len(pieces) > 2:
        row = list(longest)
        for k in range(len(row) - 1):
            # Neighbours change places: large before small stays roughly true. (The minimal standard generator,
            # Park and Miller 1988.)
            seed = seed * 16807 % 2147483647
            if seed % 2:
                row[k], row[k + 1] = row[k + 1], row[k]
        orders.append(tuple(row))
    return list(dict.fromkeys(orders))


def _lay(
    masks: list[tuple[_Mask, ...]],
    order: tuple[int, ...],
    columns: int,
    tile: tuple[int, int],
    cell: tuple[float, float],
    grid: Grid,
) -> list[tuple[int, int, int]]:
    """One by one, each where it opens the fewest new tiles, then highest, then leftmost: (turn, x, y) in cells."""
    taken = 0  # bit y * columns + x: this cell is covered
    height = 0
    used = np.zeros((0, columns // tile[0]), bool)
    out: list[tuple[int, int, int]] = [(0, 0, 0)] * len(masks)
    for k in order:
        best: tuple[tuple[int, int, int], int, int, int] | None = None
        for turn, mask in enumerate(masks[k]):
            if mask.wide > columns:
                continue
            rows = height + (len(mask.spans) if grid.whole else tile[1])
            if grid.whole and rows > (page := math.ceil(max(height, 1) / tile[1]) * tile[1]):
                rows = page + len(mask.spans)  # the next page begins there
            spot = _best_spot(mask, taken, columns, rows, used, cell, grid)
            if best is None or spot[0] < best[0]:
                best = (spot[0], turn, spot[1], spot[2])
        assert best is not None
        _, turn, x, y = best
        mask = masks[k][turn]
        for down, spans in enumerate(mask.spans):
            for start, length in spans:
                taken |= ((1 << length) - 1) << ((y + down) * columns + x + start)
        height = max(height, y + len(mask.spans))
        used = _mark_used(used, mask, x, y, cell, grid)
        out[k] = (turn, x, y)
    return out


def _best_spot(
    mask: _Mask,
    taken: int,
    columns: int,
    rows: int,
    used: np.ndarray,
    cell: tuple[float, float],
    grid: Grid,
) -> tuple[tuple[int, int, int], int, int]:
    """Of all free places: (score, x, y)."""
    grown: dict[int, int] = {}
    barred = 0
    for down, spans in enumerate(mask.spans):
        for start, length in spans:
            if length not in grown:
                grown[length] = _spread(taken, length)
            barred |= grown[length] >> (down * columns + start)
    count = columns * rows
    raw = (barred & ((1 << count) - 1)).to_bytes((count + 7) // 8, "little")
    bits = np.unpackbits(np.frombuffer(raw, np.uint8), count=count, bitorder="little").reshape(rows, columns)
    free = bits[: rows - len(mask.spans) + 1 if grid.whole else rows, : columns - mask.wide + 1] == 0
    if grid.whole:
        down = round(grid.step_y / cell[1])
        starts = np.arange(free.shape[0])
        free &= (starts // down == (starts + len(mask.spans) - 1) // down)[:, None]
    ys, xs = np.nonzero(free)
    new = _new_tiles(mask, xs, ys, used, cell, grid)
    k = int(np.lexsort((xs, ys, new))[0])
    end = int(ys[k]) + (len(mask.spans) if grid.whole else 0)
    return (int(new[k]), end, int(xs[k])), int(xs[k]), int(ys[k])


def _spread(bits: int, length: int) -> int:
    """Bit p set where any of bits p .. p + length - 1 is."""
    have = 1
    while have < length:
        step = min(have, length - have)
        bits |= bits >> step
        have += step
    return bits


def _tile_range(starts: np.ndarray, size: float, cell: float, step: float) -> tuple[np.ndarray, np.ndarray]:
    """First and last tile, along one axis, that a piece's box meets when it starts at these cells."""
    first = starts * cell + GAP / 2
    return (first // step).astype(int), ((first + size) // step).astype(int)


def _new_tiles(
    mask: _Mask, xs: np.ndarray, ys: np.ndarray, used: np.ndarray, cell: tuple[float, float], grid: Grid
) -> np.ndarray:
    """How many tiles that are still empty the piece's box would meet: sums over a table of running totals."""
    left, right = _tile_range(np.arange(int(xs.max()) + 1), mask.size.real, cell[0], grid.step_x)
    top, foot = _tile_range(np.arange(int(ys.max()) + 1), mask.size.imag, cell[1], grid.step_y)
    rows, columns = max(used.shape[0], int(foot[-1]) + 1), max(used.shape[1], int(right[-1]) + 1)
    table = np.zeros((rows + 1, columns + 1), int)
    table[1 : used.shape[0] + 1, 1 : used.shape[1] + 1] = used
    table = table.cumsum(0).cumsum(1)
    c0, c1, r0, r1 = left[xs], right[xs] + 1, top[ys], foot[ys] + 1
    have = table[r1, c1] - table[r0, c1] - table[r1, c0] + table[r0, c0]
    result: np.ndarray = (r1 - r0) * (c1 - c0) - have
    return result


def _mark_used(
    used: np.ndarray, mask: _Mask, x: int, y: int, cell: tuple[float, float], grid: Grid
) -> np.ndarray:
    c0, c1 = (int(v[0]) for v in _tile_range(np.array([x]), mask.size.real, cell[0], grid.step_x))
    r0, r1 = (int(v[0]) for v in _tile_range(np.array([y]), mask.size.imag, cell[1], grid.step_y))
    rows, columns = max(used.shape[0], r1 + 1), max(used.shape[1], c1 + 1)
    out = np.zeros((rows, columns), bool)
    out[: used.shape[0], : used.shape[1]] = used
    out[r0 : r1 + 1, c0 : c1 + 1] = True
    return out


def _tiles_met(
    pieces: Sequence[SheetPiece],
    masks: list[tuple[_Mask, ...]],
    lay: list[tuple[int, int, int]],
    cell: tuple[float, float],
    grid: Grid,
) -> tuple[tuple[int, int], ...]:
    placed = [
        PlacedPiece(piece, _at(masks[k][turn], x * cell[0], y * cell[1]))
        for k, (piece, (turn, x, y)) in enumerate(zip(pieces, lay, strict=True))
    ]
    return tiles_of(placed, grid)
