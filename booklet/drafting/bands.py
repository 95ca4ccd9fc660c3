"""A band along neighbouring edges of a piece: what a facing, a shaped waistband or a part cut off is made of."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from booklet.drafting.closing import closed_spine
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Run, Shape
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

CORNER = math.radians(30)  # a parent's edge that turns off by more than this ends the band there


@dataclass(frozen=True)
class Band:
    """A band along neighbouring edges of its parent, as it lies on it, darts and pleats folded out. `long` is the edges' own.

    Its new edge is `outer`; where the parent runs straight on, it ends square in an edge `foot` or `head`.
    """

    shape: Shape
    order: tuple[str, ...]  # the edges, clockwise
    long: float


def band_along(
    parent: Shape,
    parent_key: str,
    along: list[str],
    wide: tuple[float, float],
    at_fold: float | None,
    where: Where,
    drawn: Callable[[Path, Path, Path], Path] | None = None,
) -> Band:
    """The band of `along` (neighbouring edges of the parent, in either order).

    `wide` is its width at the first and the last named edge's far end; `at_fold` its depth where it meets the parent's
    fold. `drawn` draws another outer edge, from (spine, head, foot), beginning where the foot ends.
    """
    for name in along:
        edge_of(parent, name, parent_key, where)
    order, widths = _in_ring_order(parent, along, wide, where)
    copied, before, after = _neighbourhood(parent, order)
    spine = copied[0].path.joined(*(r.path for r in copied[1:]))
    begins_in = _turns(before.end_tangent, spine.start_tangent)
    ends_in = _turns(spine.end_tangent, after.start_tangent)
    first, last = parent.neighbours(order[0])[0].name, parent.neighbours(order[-1])[1].name
    w0 = at_fold if at_fold is not None and first == parent.fold else widths[0]
    w1 = at_fold if at_fold is not None and last == parent.fold else widths[1]
    head = _end_edge(before.reversed() if begins_in else None, spine.start, spine.start_tangent, w0)
    foot = _end_edge(after if ends_in else None, spine.end, spine.end_tangent, w1)
    outer = drawn(spine, head, foot) if drawn else _outer(spine, head, foot, (w0, w1), widths)
    runs = [
        *(replace(r, lines=()) for r in copied),
        Run(last if ends_in else "foot", foot),
        Run("outer", outer),
        Run(first if begins_in else "foot", head.reversed()),
    ]
    names = [r.name for r in runs]
    if len(set(names)) != len(names):
        runs[-1] = replace(runs[-1], name="head")
    in_ends = (first if begins_in else "", last if ends_in else "")
    plain = Shape(
        tuple(runs),
        parent.drawn_for,
        fold=parent.fold if parent.fold in in_ends else None,
        derived=tuple(order),
    )
    return Band(plain, tuple(order), spine.length)


def _neighbourhood(parent: Shape, order: list[str]) -> tuple[list[Run], Path, Path]:
    """The copied edges with darts and pleats folded out, and the lines before and after them. The fold stays in place."""
    copied, rest = closed_spine(parent, order)
    before, after = parent.neighbours(order[0])[0], parent.neighbours(order[-1])[1]
    keep = rest.inverse if after.name == parent.fold else Placement.IDENTITY
    return (
        [replace(r, path=r.path.placed(keep)) for r in copied],
        before.path.placed(keep),
        after.path.placed(rest.then(keep)),
    )


def _in_ring_order(
    parent: Shape, along: list[str], wide: tuple[float, float], where: Where
) -> tuple[list[str], tuple[float, float]]:
    ring = [r.name for r in parent.runs]
    for names, widths in ((along, wide), (along[::-1], wide[::-1])):
        start = ring.index(names[0])
        if [ring[(start + k) % len(ring)] for k in range(len(names))] == names:
            return list(names), widths
    raise Fault.of(
        "facing-gap", f"{' and '.join(along)} do not follow each other round the piece", where,
        "Name neighbouring edges, in order.",
    )  # fmt: skip


def _turns(a: complex, b: complex) -> bool:
    turn = (b / a) if abs(a) else 1
    return abs(math.atan2(turn.imag, turn.real)) > CORNER


def _end_edge(follow: Path | None, corner: complex, tangent: complex, width: float) -> Path:
    """From the spine's end to the outer line: along the parent's own edge, or square inwards."""
    if follow is None:
        return Path.line(corner, corner + tangent * 1j * width)
    size = min(width, follow.length * 0.98)
    return follow.part(0, size)


def _outer(
    spine: Path, head: Path, foot: Path, ends: tuple[float, float], widths: tuple[float, float]
) -> Path:  # fmt: skip
    """The new edge, from the foot's end back to the head's, square to both; between them `wide` off the spine.

    An end deeper than the width (a slit to be faced) gets a tongue there, about as wide as the facing.
    """
    count = max(4, min(14, round(spine.length / 45)))
    points: list[complex] = []
    for k in range(1, count):
        u = k / count
        s = spine.length * u
        points.append(spine.point(s) + spine.tangent(s) * 1j * (widths[0] + (widths[1] - widths[0]) * u))
    if ends[0] > widths[0] * 1.3:
        points = _tongue(spine.start, head.end, spine.start_tangent, widths[0], points)
    if ends[1] > widths[1] * 1.3:
        points = _tongue(spine.end, foot.end, -spine.end_tangent, widths[1], points[::-1])[::-1]
    points = [head.end, *points, foot.end]
    leave = square_to(head.end_tangent, points[1] - points[0])
    arrive = square_to(foot.end_tangent, points[-1] - points[-2])
    return smooth_curve(points, leave, arrive).reversed()


def _tongue(
    corner: complex, tip: complex, away: complex, wide: float, points: list[complex]
) -> list[complex]:
    """The outer line's points with those near the deep end replaced by the tongue's side; nearest the end first."""
    down = (tip - corner) / abs(tip - corner)
    side = away - down * (away * down.conjugate()).real
    side /= abs(side)
    deep = abs(tip - corner)
    half = min(wide * 0.8, 45.0)
    far = [p for p in points if ((p - corner) * side.conjugate()).real > half * 1.7]
    return [
        corner + side * half * 0.8 + down * (deep - half * 0.3),
        corner + side * half + down * (deep + wide) / 2,
        *far,
    ]


def square_to(line: complex, chord: complex) -> complex:
    """The direction square to a line that goes the way of a chord."""
    way = line * 1j
    return way if (way * chord.conjugate()).real >= 0 else -way
