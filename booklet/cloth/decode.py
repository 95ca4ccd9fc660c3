"""Bottom-left laying: one order of items to places on the strip, by no-fit polygons.

A gene says which item comes next, which way round, and by which rule it takes its place: leftmost, of these the lowest
y; leftmost, highest y; least growth of the lay, of these nearest the fold or edge; or whichever way round grows the lay
least, laid leftmost.
Coordinates are whole units (orient.UNIT to the millimetre). A place is where the shape's turned origin lies.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field

import pyclipper

from booklet.cloth.nofit import NoFit, NoFits, box_of
from booklet.cloth.orient import Item, Task, Way
from booklet.cloth.room import room_of

Gene = tuple[int, Way, int]  # item, way round, rule
Place = tuple[int, int]
LOWEST, HIGHEST, GROWTH, ANY_WAY = RULES = (0, 1, 2, 3)
HAIR = 10  # units that a lay may pass its limit, so that a piece as long as the limit has an area to lie in


@dataclass(frozen=True)
class Laid:
    """A gene in its place; `right` is the end of the lay and `reach` the end of the grown outlines with it laid."""

    gene: Gene
    way: Way
    at: Place
    right: int
    reach: int
    ends: int  # the sum of all right ends so far: what breaks ties between lays of one length


@dataclass
class Decoder:
    """Lays the items of one task. Keeps no-fit polygons and turned boxes; holds no state of a search."""

    task: Task
    nofits: NoFits = field(init=False)
    _boxes: dict[tuple[int, Way], tuple[tuple[int, int, int, int], int, int]] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.nofits = NoFits(self.task.shapes, self.task.made)

    def extent(self, shape: int, way: Way) -> tuple[tuple[int, int, int, int], int, int]:
        """The cut line's box of a turned shape, and the grown outline's x from and to."""
        key = (shape, way)
        if key not in self._boxes:
            s = self.task.shapes[shape]
            w, h = s.size
            x0, x1 = (0, w) if way[0] > 0 else (-w, 0)
            y0, y1 = (0, h) if way[1] > 0 else (-h, 0)
            grown = box_of((tuple((x * way[0], y * way[1]) for x, y in s.grown),))
            self._boxes[key] = ((x0, y0, x1, y1), grown[0], grown[2])
        return self._boxes[key]

    def lay(self, genes: Sequence[Gene], limit: int, start: Sequence[Laid] = ()) -> list[Laid] | None:
        """Places all genes, those of `start` as they are; None as soon as the lay would pass `limit`."""
        laid = list(start)
        for gene in genes[len(laid) :]:
            found = self._place(gene, laid, limit)
            if found is None:
                return None
            laid.append(found)
        return laid

    def _place(self, gene: Gene, laid: list[Laid], limit: int) -> Laid | None:
        number, way, rule = gene
        if rule != ANY_WAY:
            return self._place_so(gene, way, rule, laid, limit)
        tried = [self._place_so(gene, w, LOWEST, laid, limit) for w in self.task.items[number].ways]
        return min((t for t in tried if t), key=lambda t: (t.right, t.ends, t.at[1]), default=None)

    def _place_so(self, gene: Gene, way: Way, rule: int, laid: list[Laid], limit: int) -> Laid | None:
        item = self.task.items[gene[0]]
        (x0, _, x1, _), grown0, grown1 = self.extent(item.shape, way)
        right, reach, ends = (laid[-1].right, laid[-1].reach, laid[-1].ends) if laid else (0, 0, 0)
        low_x = -x0
        room = room_of(self.task, item, way)
        # Behind everything there is always room, so no place beyond that is looked at.
        behind = max(low_x, reach - grown0) + HAIR + (room.grid[1] if room.grid else 0)
        high_x = min(limit + HAIR - x1, behind)
        if high_x <= low_x:
            return None
        places: list[Place] = []
        for low_y, high_y in room.ys:
            places += self._free(item, way, laid, (low_x, low_y, high_x, high_y), room.grid)
        best = _choose(places, rule, right, x1)
        if best is None:
            return None
        end = best[0] + x1
        return Laid(gene, way, best, max(right, end), max(reach, best[0] + grown1), ends + end)

    def _free(
        self,
        item: Item,
        way: Way,
        laid: list[Laid],
        area: tuple[int, int, int, int],
        grid: tuple[int, int] | None,
    ) -> Sequence[Place]:
        """Corners of what is free for the item's origin in the area: there are the places worth looking at."""
        low_x, low_y, high_x, high_y = area
        around = self._around(item, way, laid, area)
        if grid is not None:
            return _on_grid(around, area, *grid)
        if not around:
            return (low_x, low_y), (low_x, high_y)
        if high_y - low_y < 2:
            first = first_on_line(around, low_x, high_x, low_y)
            return () if first is None else ((first, low_y),)
        return corners_of_free_area(around, area)

    def _around(
        self, item: Item, way: Way, laid: list[Laid], area: tuple[int, int, int, int]
    ) -> list[tuple[NoFit, int, int]]:
        """The no-fit polygons about what is laid, with their places, that reach into the area."""
        low_x, low_y, high_x, high_y = area
        out = []
        for other in laid:
            nofit = self.nofits.get(self.task.items[other.gene[0]].shape, other.way, item.shape, way)
            dx, dy = other.at
            b = nofit.box
            if b[0] + dx <= high_x and b[2] + dx >= low_x and b[1] + dy <= high_y and b[3] + dy >= low_y:
                out.append((nofit, dx, dy))
        return out


def corners_of_free_area(
    around: Sequence[tuple[NoFit, int, int]], area: tuple[int, int, int, int]
) -> list[Place]:
    """Corners of what is left of a rectangle when the no-fit polygons are taken out of it."""
    x0, y0, x1, y1 = area
    clipper = pyclipper.Pyclipper()
    clipper.AddPath(((x0, y0), (x1, y0), (x1, y1), (x0, y1)), pyclipper.PT_SUBJECT, True)
    for nofit, dx, dy in around:
        for ring in nofit.rings:
            clipper.AddPath([(x + dx, y + dy) for x, y in ring], pyclipper.PT_CLIP, True)
    left = clipper.Execute(pyclipper.CT_DIFFERENCE, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    return [(x, y) for ring in left for x, y in ring]


def first_on_line(around: Sequence[tuple[NoFit, int, int]], x0: int, x1: int, y: int) -> int | None:
    """The leftmost point of a level line, from x0 to x1, that no no-fit polygon covers."""
    covered = [(a + dx, b + dx) for nofit, dx, dy in around for a, b in nofit.covered(y - dy)]
    at = float(x0)
    for a, b in sorted(covered):
        if a > at:
            break
        at = max(at, b)
    first = math.ceil(at)
    return first if first <= x1 else None


def _on_grid(
    around: Sequence[tuple[NoFit, int, int]], area: tuple[int, int, int, int], first: int, step: int
) -> list[Place]:
    """The lowest and the highest free places at the first x of a grid that has any."""
    low_x, low_y, high_x, high_y = area
    across = [(nofit.swapped, dy, dx) for nofit, dx, dy in around]
    over = [(nofit.quarter, -dy, dx) for nofit, dx, dy in around]
    for x in range(low_x + (first - low_x) % step, high_x + 1, step):
        lowest = first_on_line(across, low_y, high_y, x)
        highest = first_on_line(over, -high_y, -low_y, x)
        if lowest is not None and highest is not None:
            return [(x, lowest), (x, -highest)]
    return []


def _choose(places: Iterable[Place], rule: int, right: int, x1: int) -> Place | None:
    if rule == LOWEST:
        return min(places, default=None)
    if rule == HIGHEST:
        return min(places, key=lambda p: (p[0], -p[1]), default=None)
    return min(places, key=lambda p: (max(right, p[0] + x1), p[1], p[0]), default=None)
