"""Where an item may lie on its strip: the one place that the placing and the search ask.

A way of laying cloth (folds, layers, stripes) shows itself to the search through `room_of` alone: for an item lying one
way round, the y ranges of its shape's origin, and, where cross stripes are matched, the only x at which it may lie.
Coordinates are whole units (orient.UNIT to the millimetre).
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from booklet.cloth.orient import Item, Task, Way

Range = tuple[int, int]


@dataclass(frozen=True)
class Room:
    """The places for a shape's origin: y within any of `ys` (a line where both ends are one), and x on `grid`.

    `ys` ascend without touching; a way round with none has no place (`fitting` drops it). `grid` (first, step): x is
    first + k * step for a whole k; None: any x.
    """

    ys: tuple[Range, ...]
    grid: tuple[int, int] | None = None


def room_of(task: Task, item: Item, way: Way) -> Room:
    """Fold pieces lie on a fold; the others wherever their cut line lies off the folds and over no meeting line.

    Where stripes are matched, the item's match point lies on a line of the repeat; a piece on the fold has the fold on
    such a line already.
    """
    height = task.shapes[item.shape].size[1]
    along, across = task.repeat if item.match is not None else (0, 0)
    mx, my = item.match or (0, 0)
    grid = (-way[0] * mx % along, along) if along else None
    if item.on_fold:
        far = way[1] < 0  # hangs from the other of two folds
        fits = task.kind not in ("two_folds", "side_fold") or height <= (
            task.width - task.meeting if far else task.meeting
        )
        return Room(((task.width if far else 0,) * 2,) if fits else (), grid)
    y0, y1 = (0, height) if way[1] > 0 else (-height, 0)
    low, high = 0, task.width
    if task.kind in ("fold", "two_folds", "side_fold"):
        low = task.fold_gap
    spans = [(low, high)]
    if task.kind == "side_fold":
        spans = [(max(task.meeting, low), high) if item.flat else (low, task.meeting)]
    if task.kind == "two_folds":
        high -= task.fold_gap
        spans = [(low, min(task.meeting, high)), (max(task.meeting, low), high)]
    # A micrometre is rounding: exact fits are wanted.
    ys = tuple((a - y0, max(a - y0, b - y1)) for a, b in spans if b - a >= height - 1)
    if across:
        line = task.phase - way[1] * my
        ys = tuple((y, y) for a, b in ys for y in range(a + (line - a) % across, b + 1, across))
    return Room(ys, grid)


def fitting(task: Task) -> tuple[Task, tuple[Item, ...]]:
    """The task with only the ways round that have a place, and the items that have none at all."""
    items = tuple(replace(i, ways=tuple(w for w in i.ways if room_of(task, i, w).ys)) for i in task.items)
    return replace(task, items=tuple(i for i in items if i.ways)), tuple(i for i in items if not i.ways)
