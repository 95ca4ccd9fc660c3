"""The names of the sizes on their cut lines: each several times, in a gap of its own line, clear of all others.

Where lines run together a name stands beside one of its size's turns instead. Placed on the sheet, after the pieces lie,
so that no name stands on the joint of two pages.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.display import Group, Item, PathItem, Text
from booklet.drawing.marks import readable_angle
from booklet.drawing.text import CAP_HEIGHT, height_mm, measure
from booklet.paths import Path
from booklet.printing.free_ground import line_shapes
from booklet.printing.sheet import PlacedPiece

NAME_PT = (8.0, 7.0, 6.2)  # the first that finds a place
WEIGHT = 600
EVERY = 180.0  # mm of line to a name, about
LEAST = 2  # names on a line that is not quite short
SHORT = 60.0  # mm
_STEP = 3.0  # mm between the places tried
_CLEAR = 0.4  # mm to other lines
_PAD = 0.5  # mm of gap before and after a name
_FAR = 7.0  # mm: as far beside its line a name may stand
_TURNS_TRIED = 4
_BENT = 0.45  # mm: how far the line may bend from the name


@dataclass(frozen=True)
class Names:
    """Each size's names with the gaps in its line, and the sizes that found no place, with a point of their line."""

    named: tuple[tuple[Item, ...], ...]
    unnamed: tuple[tuple[int, complex], ...]


def nest_names(entry: PlacedPiece, taken: Sequence[BaseGeometry]) -> Names:
    """The names of a placed piece's sizes in the sheet's mm; `taken` is ground that words must keep off."""
    piece, at = entry.piece, entry.placement
    if not piece.sizes:
        return Names((), ())
    shapes: list[BaseGeometry] = []
    of: list[int] = []
    for n, size in enumerate(piece.sizes):
        for role, items in _by_cut(size.items):
            runs = line_shapes((Group(tuple(items), at),))
            shapes += runs
            of += [n if role else -1] * len(runs)
    rest = [*line_shapes((Group(piece.items, at),)), *taken]
    shapes += rest
    of += [-1] * len(rest)
    around = _Around(STRtree(shapes), np.array(of))
    named: list[tuple[Item, ...]] = []
    unnamed: list[tuple[int, complex]] = []
    for n, size in enumerate(piece.sizes):
        mine: list[Item] = []
        for line in size.cut:
            path = line.placed(at)
            turns = _turns_on(path, [(at.apply(z), at.direction(v)) for z, v in size.turns])
            found = list(_on_line(path, n, size.size, around, turns))
            mine += [item for pair in found for item in pair]
            if not found and path.length > SHORT:
                unnamed.append((n, path.point(path.length / 2)))
        named.append(tuple(mine))
    return Names(tuple(named), tuple(unnamed))


def _by_cut(items: Sequence[Item]) -> Iterator[tuple[bool, list[Item]]]:
    """The cut line's items, then the others."""
    for cut in (True, False):
        yield cut, [i for i in items if (isinstance(i, PathItem) and i.role == "cut") == cut]


class _Around:
    """Lines with the size whose cut line they are (-1: no size's), and the names set so far."""

    def __init__(self, tree: STRtree, of: np.ndarray) -> None:
        self.tree, self.of = tree, of
        self.names: list[BaseGeometry] = []

    def clear(self, boxes: np.ndarray, size: int) -> np.ndarray:
        """Which boxes touch no line but the size's own (-2: no line at all), and no name."""
        good = np.ones(len(boxes), bool)
        box, shape = self.tree.query(boxes, predicate="intersects")
        good[box[self.of[shape] != size]] = False
        for name in self.names:
            good &= ~shapely.intersects(boxes, name)
        return good


_Turn = tuple[float, complex, complex]  # how far along the line, the place, the direction across


def _turns_on(path: Path, turns: Sequence[tuple[complex, complex]]) -> list[_Turn]:
    """The turns that lie on a path."""
    if not turns:
        return []
    flat = path.flatten(0.05)
    line = shapely.linestrings(np.column_stack([flat.real, flat.imag]))
    here = shapely.points([z.real for z, _ in turns], [z.imag for z, _ in turns])
    along, off = shapely.line_locate_point(line, here), shapely.distance(line, here)
    return [(float(s), *turn) for s, gap, turn in zip(along, off, turns, strict=True) if gap < 0.2]


def _on_line(
    path: Path, size: int, name: str, around: _Around, turns: Sequence[_Turn]
) -> Iterator[tuple[Item, ...]]:
    """The name with its gap, for each of the places spread along the line."""
    count = max(LEAST if path.length > SHORT else 1, round(path.length / EVERY))
    window = path.length / count
    for n in range(count):
        found = False
        for pt in NAME_PT:
            wide, tall = measure(name, pt, WEIGHT) + 2 * _PAD, height_mm(pt) + 2 * _CLEAR
            along, boxes, angles, points = _tries(path, n * window, (n + 1) * window, wide, tall)
            if not len(along):
                continue
            good = around.clear(boxes, size)
            if not good.any():
                continue
            off = np.where(good, np.abs(along - (n + 0.5) * window), np.inf)
            k = int(np.argmin(off))
            around.names.append(boxes[k])
            yield _set(name, pt, complex(points[k]), float(angles[k]), boxes[k])
            found = True
            break
        if not found:
            middle = (n + 0.5) * window
            mine = sorted(
                (t for t in turns if n * window <= t[0] <= (n + 1) * window), key=lambda t: abs(t[0] - middle)
            )
            beside = next((b for t in mine[:_TURNS_TRIED] if (b := _beside(t, size, name, around))), None)
            if beside is not None:
                yield (beside,)


def _beside(turn: _Turn, size: int, name: str, around: _Around) -> Text | None:
    """The name next to a turn, on the side and as near as there is room."""
    _, at, across = turn
    pt = NAME_PT[-1]
    wide, tall = measure(name, pt, WEIGHT), height_mm(pt)
    angle = readable_angle(across * 1j)
    way = complex(np.exp(1j * np.radians(angle)))
    offsets = [side * d for d in np.arange(tall / 2 + _CLEAR, _FAR, 0.4) for side in (1, -1)]
    middles = np.array([at + across * d for d in offsets])
    u, v = way * (wide / 2 + _CLEAR), way * 1j * (tall / 2 + _CLEAR)
    corners = np.stack([middles - u - v, middles + u - v, middles + u + v, middles - u + v], axis=1)
    boxes = shapely.polygons(np.stack([corners.real, corners.imag], axis=2))
    good = around.clear(boxes, -2)
    if not good.any():
        return None
    k = int(np.argmax(good))
    around.names.append(boxes[k])
    foot = complex(middles[k]) + way * 1j * tall / 2
    return Text(foot.real, foot.imag, name, pt, WEIGHT, look.INK, angle, "middle", "size name")


def _tries(
    path: Path, low: float, high: float, wide: float, tall: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Places in a window of the line where it is straight enough for a name: lengths, boxes, angles, points."""
    low, high = max(low, wide / 2 + 0.5), min(high, path.length - wide / 2 - 0.5)
    if high <= low:
        empty = np.array([])
        return empty, empty, empty, empty
    along = np.arange(low, high, _STEP)
    flat = path.flatten(0.05)
    gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(flat)))])
    gone *= path.length / gone[-1]

    def at(s: np.ndarray) -> np.ndarray:
        z: np.ndarray = np.interp(s, gone, flat.real) + 1j * np.interp(s, gone, flat.imag)
        return z

    points, a, b = at(along), at(along - wide / 2), at(along + wide / 2)
    chord = b - a
    straight = (np.abs(chord) > wide * 0.97) & (np.abs(points - (a + b) / 2) < _BENT)
    along, points, way = along[straight], ((points + (a + b) / 2) / 2)[straight], chord[straight]
    way = way / np.abs(way)
    u, v = way * wide / 2, way * 1j * tall / 2
    corners = np.stack([points - u - v, points + u - v, points + u + v, points - u + v], axis=1)
    boxes = shapely.polygons(np.stack([corners.real, corners.imag], axis=2))
    angles = np.array([readable_angle(complex(w)) for w in way])
    return along, np.atleast_1d(boxes), angles, points


def _set(name: str, pt: float, middle: complex, angle: float, box: BaseGeometry) -> tuple[Item, Item]:
    """The ground that the name stands on, which parts the line, and the name."""
    down = complex(np.exp(1j * np.radians(angle))) * 1j
    foot = middle + down * height_mm(pt, CAP_HEIGHT) / 2
    gap = Path.polyline([complex(x, y) for x, y in box.exterior.coords])
    return (
        PathItem((gap,), fill=look.WRONG_SIDE, role="gap"),
        Text(foot.real, foot.imag, name, pt, WEIGHT, look.INK, angle, "middle", "size name"),
    )
