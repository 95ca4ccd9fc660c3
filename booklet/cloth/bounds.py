"""Lower bounds: lengths that no lay of these grown outlines can be shorter than.

Area, the longest piece and the sum of the fold edges cost nothing. The chain bound takes some of the pieces in every
possible order of their left ends: how far behind one piece the next must at least begin follows from their no-fit
polygon, and the shortest way through all of them (Held and Karp 1962) is a length that those pieces need. It is tight
where pieces are too wide to lie beside each other. All figures in units (orient.UNIT to the millimetre).
"""

from __future__ import annotations

import numpy as np
import shapely

from booklet.cloth.decode import Decoder, corners_of_free_area, first_on_line
from booklet.cloth.orient import UNIT, Item, Task, Way

CHAIN_PIECES = 10  # the widest; the work doubles with each one more


def simple_bound(task: Task) -> float:
    """The best of area, longest piece and fold edges."""
    if not task.items:
        return 0.0
    shapes = [task.shapes[item.shape] for item in task.items]
    true_area = sum(s.area for s in shapes) * UNIT**2 / task.width
    grown_area = sum(shapely.Polygon(s.grown).area for s in shapes)
    over = 0  # how far a grown outline may reach beyond the strip
    fold_over = 0
    fold_sum = 0
    for item, shape in zip(task.items, shapes, strict=True):
        xs, ys = zip(*shape.grown, strict=True)
        over = max(over, -min(xs), max(xs) - shape.size[0], -min(ys), max(ys) - shape.size[1])
        if item.on_fold:
            a, b = shape.fold_span
            fold_sum += b - a
            fold_over = max(fold_over, -a, b - shape.size[0])
    return max(
        true_area,
        grown_area / (task.width + 2 * over) - 2 * over,
        max(s.size[0] for s in shapes),
        fold_sum - 2 * fold_over,
    )


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
    a_low, a_high = decoder.across(a, way_a)
    b_low, b_high = decoder.across(b, way_b)
    low, high = b_low - a_high, b_high - a_low
    # Behind the whole of `a` there is always a place, so neither list is empty.
    if high - low < 2:
        return (first_on_line([(nofit, 0, 0)], first, last, low) or 0) - first
    return min(corners_of_free_area([(nofit, 0, 0)], (first, low, last, high)))[0] - first
