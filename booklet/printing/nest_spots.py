"""The names of the sizes at marks that lie inside a piece and look alike in all of them: buttons, buttonholes, crosses.

The marks of a row lie mixed on one line. Their names stand beside it in the marks' order, drawn apart as far as they
need, each with a thin line from its mark.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.display import Item, PathItem, Text
from booklet.drawing.text import CAP_HEIGHT, height_mm, measure
from booklet.paths import Path
from booklet.printing.nest_names import Names
from booklet.printing.sheet import PlacedPiece

PT, WEIGHT = 6.2, 600
PEN = look.Stroke(0.3, look.INK)
OFFSETS = (5.0, 6.5, 8.0, 10.0, 12.5, 16.0, 21.0, 27.0)  # mm from the row to the names' near side
_OTHER_WAYS = (1j, complex(0.5**0.5, 0.5**0.5), complex(0.5**0.5, -(0.5**0.5)))
CLEAR = 0.5  # mm between names, and to what else is there
APART = 1.0  # mm: marks of a size that lie nearer to each other are one


@dataclass(frozen=True)
class _Mark:
    size: int
    name: str
    at: complex


@dataclass(frozen=True)
class _Named:
    """A name with its place: the middle of its box, and the line from its mark."""

    mark: _Mark
    middle: complex
    leader: Path


def spot_names(entry: PlacedPiece, lines: Sequence[BaseGeometry], taken: Sequence[BaseGeometry]) -> Names:
    """Each size's names in the sheet's mm, and the marks that found no room beside their row.

    `lines` are those of the piece, which names must keep off; `taken` is ground that leaders keep off as well.
    """
    named: list[list[Item]] = [[] for _ in entry.piece.sizes]
    unnamed: list[tuple[int, complex]] = []
    words = list(taken)
    tree = STRtree(list(lines))
    for marks in _rows(entry).values():
        way = _direction([m.at for m in marks])
        for cluster in _clusters(marks, way):
            for found in _placed(cluster, way, tree, words):
                if isinstance(found, _Mark):
                    unnamed.append((found.size, found.at))
                    continue
                words.append(_box(found.middle, found.mark.name))
                named[found.mark.size] += _drawn(found)
    return Names(tuple(tuple(items) for items in named), tuple(unnamed))


def _rows(entry: PlacedPiece) -> dict[str, list[_Mark]]:
    """The marks of each row in the sheet's mm, those of one size that lie in one place once."""
    rows: dict[str, list[_Mark]] = {}
    for n, size in enumerate(entry.piece.sizes):
        for row, at in size.spots:
            here = rows.setdefault(row, [])
            place = entry.placement.apply(at)
            if not any(m.size == n and abs(m.at - place) < APART for m in here):
                here.append(_Mark(n, size.size, place))
    return rows


def _direction(places: Sequence[complex]) -> complex:
    """The line that places lie along, as a unit; down the sheet where they are one."""
    z = np.array(places) - np.mean(places)
    turn = np.sum(z**2)
    return 1j if abs(turn) < 1e-9 else complex(np.sqrt(turn / abs(turn)))


def _reach(name: str, way: complex) -> float:
    """Half of what a name takes along a line."""
    wide, tall = measure(name, PT, WEIGHT) + CLEAR, height_mm(PT, CAP_HEIGHT) + CLEAR
    return (abs(way.real) * wide + abs(way.imag) * tall) / 2


def _clusters(marks: Sequence[_Mark], way: complex) -> Iterator[list[tuple[_Mark, float]]]:
    """Marks whose names stand next to each other, in their order, each with its name's place along the row."""
    order = sorted(marks, key=lambda m: (round((m.at * way.conjugate()).real, 3), m.size))
    at = [float((m.at * way.conjugate()).real) for m in order]
    blocks: list[list[int]] = []
    starts: list[float] = []
    for n in range(len(order)):
        blocks.append([n])
        starts.append(0.0)
        while True:
            starts[-1] = _start(blocks[-1], at, order, way)
            if len(blocks) < 2 or starts[-2] + _long(blocks[-2], order, way) <= starts[-1] + 1e-9:
                break
            last = blocks.pop()
            starts.pop()
            blocks[-1] += last
    for block, start in zip(blocks, starts, strict=True):
        gone = start
        cluster = []
        for n in block:
            half = _reach(order[n].name, way)
            cluster.append((order[n], gone + half))
            gone += 2 * half
        yield cluster


def _long(block: Sequence[int], order: Sequence[_Mark], way: complex) -> float:
    return sum(2 * _reach(order[n].name, way) for n in block)


def _start(block: Sequence[int], at: Sequence[float], order: Sequence[_Mark], way: complex) -> float:
    """Where a block of names begins, so that they stand on the whole as near to their marks as can be."""
    gone, offs = 0.0, []
    for n in block:
        half = _reach(order[n].name, way)
        offs.append(at[n] - gone - half)
        gone += 2 * half
    return float(np.mean(offs))


def _placed(
    cluster: Sequence[tuple[_Mark, float]], way: complex, lines: STRtree, words: Sequence[BaseGeometry]
) -> list[_Named | _Mark]:
    """The cluster's names; one that finds no room as a whole is parted. A mark comes back as it is where it finds none."""
    found = _place(cluster, way, lines, words)
    if found is not None:
        return list(found)
    if len(cluster) == 1:
        mark = cluster[0][0]
        for turn in _OTHER_WAYS:  # nothing beside it: along the row, or aslant
            other = way * turn
            found = _place([(mark, (mark.at * other.conjugate()).real)], other, lines, words)
            if found is not None:
                return list(found)
        return [mark]
    half = len(cluster) // 2
    first = _placed(cluster[:half], way, lines, words)
    more = [_box(f.middle, f.mark.name) for f in first if isinstance(f, _Named)]
    return [*first, *_placed(cluster[half:], way, lines, [*words, *more])]


def _place(
    cluster: Sequence[tuple[_Mark, float]], way: complex, lines: STRtree, words: Sequence[BaseGeometry]
) -> list[_Named] | None:
    """The cluster's names on the side and as near to the row as there is room."""
    row = cluster[0][0].at
    foot = row - way * (row * way.conjugate()).real  # the row's line at 0 along it
    wide = max(measure(m.name, PT, WEIGHT) for m, _ in cluster)
    half = (abs(way.imag) * wide + abs(way.real) * height_mm(PT, CAP_HEIGHT)) / 2
    for off in OFFSETS:
        for side in (1, -1):
            across = way * 1j * side
            found = []
            for mark, along in cluster:
                middle = foot + way * along + across * (off + half)
                found.append(_Named(mark, middle, Path.line(mark.at, middle - across * (half + CLEAR))))
            if _clear(found, lines, words):
                return found
    return None


def _clear(found: Sequence[_Named], lines: STRtree, words: Sequence[BaseGeometry]) -> bool:
    boxes = [_box(one.middle, one.mark.name) for one in found]
    if len(lines.query(boxes, predicate="intersects")[0]):
        return False
    leaders = [shapely.LineString([(z.real, z.imag) for z in (f.leader.start, f.leader.end)]) for f in found]
    return not any(word.intersects(shape) for word in words for shape in (*boxes, *leaders))


def _box(middle: complex, name: str) -> BaseGeometry:
    wide, tall = measure(name, PT, WEIGHT) + CLEAR, height_mm(PT, CAP_HEIGHT) + CLEAR
    x, y = middle.real, middle.imag
    return shapely.box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)


def _drawn(one: _Named) -> tuple[Item, Item]:
    foot = one.middle + 1j * height_mm(PT, CAP_HEIGHT) / 2
    return (
        PathItem((one.leader,), PEN, role="leader"),
        Text(foot.real, foot.imag, one.mark.name, PT, WEIGHT, look.INK, 0.0, "middle", "spot name"),
    )
