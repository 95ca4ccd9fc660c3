"""Lower bounds: lengths that no lay of these grown outlines can be shorter than.

Area, the longest piece and the sum of the fold edges cost nothing. The chain bound takes some of the pieces in every
possible order of their left ends: how far behind one piece the next must at least begin follows from their no-fit
polygon, and the shortest way through all of them (Held and Karp 1962) is a length that those pieces need. It is tight
where pieces are too wide to lie beside each other.

The slice bound looks at the cloth across: at each x the pieces' chords are together no longer than the strip is wide. A
dual feasible function f (Fekete and Schepers 2001), for which numbers that sum to no more than 1 have images that do so
too, makes of that: the lay is no shorter than the sum of the integrals of f(chord / width). It betters the area where
chords are a little over half the width, or leave a rest too narrow for any other.

All figures in units (orient.UNIT to the millimetre).
"""

from __future__ import annotations

from collections import Counter
from functools import lru_cache
from itertools import pairwise

import numpy as np
import numpy.typing as npt
import shapely

from booklet.cloth.decode import Decoder, corners_of_free_area, first_on_line
from booklet.cloth.orient import UNIT, Item, Shape, Task, Way
from booklet.cloth.room import Room, room_of

CHAIN_PIECES = 10  # the widest; the work doubles with each one more
SLICES = 8  # between two corners of an outline
STEPS = 12  # step functions tried, less one
TINY = 1e-9
RANGES = 16  # pairs of y ranges looked at one by one


def simple_bound(task: Task) -> float:
    """The best of area, longest piece and fold edges."""
    if not task.items:
        return 0.0
    shapes = [task.shapes[item.shape] for item in task.items]
    true_area = sum(s.area for s in shapes) * UNIT**2 / task.width
    grown_area = sum(shapely.Polygon(s.grown).area for s in shapes)
    over = 0  # how far a grown outline may reach beyond the strip
    fold_over = 0
    fold_sum = 0.0
    for item, shape in zip(task.items, shapes, strict=True):
        xs, ys = zip(*shape.grown, strict=True)
        over = max(over, -min(xs), max(xs) - shape.size[0], -min(ys), max(ys) - shape.size[1])
        if item.on_fold:
            a, b = shape.fold_span
            # Half pieces lie on either of two folds.
            fold_sum += (b - a) / 2 if task.kind == "two_folds" else b - a
            fold_over = max(fold_over, -a, b - shape.size[0])
    return max(
        true_area,
        grown_area / (task.width + 2 * over) - 2 * over,
        max(s.size[0] for s in shapes),
        fold_sum - 2 * fold_over,
    )


def slice_bound(task: Task) -> float:
    """The best of the dual feasible functions tried on the chords of the grown outlines; 0 for nothing to lay."""
    counts = Counter(item.shape for item in task.items)
    return _slice_bound(tuple((task.shapes[n], counts[n]) for n in sorted(counts)), task.width)


@lru_cache(maxsize=64)
def _slice_bound(shapes: tuple[tuple[Shape, int], ...], width: int) -> float:
    if not shapes:
        return 0.0
    over, parts = 0, []
    for shape, count in shapes:
        xs, ys = zip(*shape.grown, strict=True)
        over = max(over, -min(xs), max(xs) - shape.size[0], -min(ys), max(ys) - shape.size[1])
        wide, chord = _slices(np.array(shape.grown, dtype=float))
        parts.append((wide * count, chord))
    wide, chord = (np.concatenate([p[k] for p in parts]) for k in (0, 1))
    share = np.clip(chord / (width + 2 * over), 0.0, 1.0)
    cuts = [
        np.where(share > 1 - least + TINY, 1.0, np.where(share < least, 0.0, share))
        for least in np.linspace(0.02, 0.5, 25).tolist()
    ]
    best = max(float(max(f @ wide, (_steps_of(f) @ wide).max())) for f in (share, *cuts))
    return best - 2 * over


def _steps_of(share: npt.NDArray[np.float64]) -> npt.NDArray[np.float64]:
    """Fekete and Schepers' u(k): floor((k + 1) x) / k; a step late, so that rounding never makes it too much."""
    k = np.arange(1, STEPS)[:, None]
    return np.maximum(np.ceil((k + 1) * share - TINY) - 1, 0) / k


def _slices(ring: npt.NDArray[np.float64]) -> tuple[npt.NDArray[np.float64], npt.NDArray[np.float64]]:
    """Slices of an outline across the cloth, one behind another: how long along x, and the least chord in each."""
    ends = np.unique(ring[:, 0])
    grid = np.concatenate([np.linspace(a, b, SLICES + 1) for a, b in pairwise(ends.tolist())])
    grid = grid.reshape(-1, SLICES + 1)
    # Between corners chords grow evenly, so two places inside give those at the ends, where a side may stand upright.
    inside = grid[:, :1] + (grid[:, -1:] - grid[:, :1]) * np.array([[0.25, 0.75]])
    start, end = ring[:, :, None, None], np.roll(ring, -1, axis=0)[:, :, None, None]
    run = end[:, 0] - start[:, 0]
    crossed = (np.minimum(start[:, 0], end[:, 0]) < inside) & (inside < np.maximum(start[:, 0], end[:, 0]))
    t = (inside - start[:, 0]) / np.where(run == 0, 1.0, run)
    y = start[:, 1] + t * (end[:, 1] - start[:, 1])
    chord = -(np.sign(run) * y * crossed).sum(axis=0)  # the far side runs towards smaller x
    along = (grid - grid[:, :1]) / (grid[:, -1:] - grid[:, :1])
    at = chord[:, :1] + (chord[:, 1:] - chord[:, :1]) * (along - 0.25) / 0.5
    return np.diff(grid, axis=1).ravel(), np.minimum(at[:, 1:], at[:, :-1]).ravel()


def chain_bound(decoder: Decoder) -> float:
    """The longest of the shortest chains through the widest pieces and each choice among them."""
    task = decoder.task
    widest = sorted(range(len(task.items)), key=lambda n: (-task.shapes[task.items[n].shape].size[1], n))
    items = [task.items[n] for n in sorted(widest[:CHAIN_PIECES])]
    states = [(k, way) for k, item in enumerate(items) for way in item.ways]
    owner = np.array([k for k, _ in states])
    length = np.array([task.shapes[items[k].shape].size[0] for k, _ in states], dtype=float)
    behind = np.zeros((len(states), len(states)))
    known: dict[tuple[int, Way, bool, int, Way, bool], float] = {}
    for p, (i, way_i) in enumerate(states):
        for q, (j, way_j) in enumerate(states):
            if i == j:
                continue
            a, b = items[i], items[j]
            key = (a.shape, way_i, a.on_fold, b.shape, way_j, b.on_fold)
            if key not in known:
                known[key] = _least_behind(decoder, a, way_i, b, way_j)
            behind[p, q] = known[key]
    # left[chosen, last] = the least left end of `last` when all the chosen lie no further right than it.
    left = np.full((1 << len(items), len(states)), np.inf)
    for p, k in enumerate(owner):
        left[1 << k, p] = 0.0
    best = 0.0
    for chosen in range(1, 1 << len(items)):
        here = left[chosen]
        best = max(best, float((here + length).min()))
        after = (here[:, None] + behind).min(axis=0)
        for q, k in enumerate(owner):
            if not chosen >> int(k) & 1:
                left[chosen | 1 << int(k), q] = after[q]
    return best


def _least_behind(decoder: Decoder, a: Item, way_a: Way, b: Item, way_b: Way) -> float:
    """How far the left end of `b`, if not before that of `a`, lies behind it at least; 0 where they fit abreast."""
    (ax0, _, _, _), _, a_reach = decoder.extent(a.shape, way_a)
    (bx0, _, _, _), b_reach, _ = decoder.extent(b.shape, way_b)
    nofit = decoder.nofits.get(a.shape, way_a, b.shape, way_b)
    first, last = ax0 - bx0, a_reach - b_reach + UNIT
    # Behind the whole of `a` there is always a place, so no list is empty.
    return min(
        (first_on_line([(nofit, 0, 0)], first, last, low) or 0) - first
        if high - low < 2
        else min(corners_of_free_area([(nofit, 0, 0)], (first, low, last, high)))[0] - first
        for low, high in _ranges_between(room_of(decoder.task, a, way_a), room_of(decoder.task, b, way_b))
    )


def _ranges_between(a: Room, b: Room) -> list[tuple[int, int]]:
    """The y of b less that of a: each range of the one with each of the other, or all in one where they are many."""
    if len(a.ys) * len(b.ys) > RANGES:
        return [(b.ys[0][0] - a.ys[-1][1], b.ys[-1][1] - a.ys[0][0])]
    return list(dict.fromkeys((lo - a_hi, hi - a_lo) for a_lo, a_hi in a.ys for lo, hi in b.ys))
