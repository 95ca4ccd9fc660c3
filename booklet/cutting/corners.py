"""How the cut line turns a corner of the stitch line: mitred, mirrored about a seam or fold, or carried over to it.

An allowance that is pressed back onto its own piece (pressed open, or towards it, or a hem turned up) must end on the
mirror image of that piece's other cut line. One that is pressed onto the neighbour must end on the neighbour's.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

import numpy as np

from booklet.cutting.offset import Moved, between, meeting_points, position
from booklet.paths import Placement

BOUND = 2.5  # x allowance: how far a corner may reach (common practice, no source)
STRAIGHT_ON = math.radians(12)


@dataclass(frozen=True)
class CornerRule:
    """`owner` is the edge whose allowance takes the shaped end; `carried` the neighbour's crossing cut line, already
    laid edge to edge, where the allowance is pressed away from this piece."""

    owner: Literal["none", "before", "after"] = "none"
    carried: np.ndarray | None = None
    twice: bool = (
        False  # a hem turned twice: its second half lies on the first, and ends on that one's mirror image
    )


@dataclass(frozen=True)
class Turn:
    """The corner made: how far the two moved runs are used (arc lengths), and the points between."""

    before_end: float
    points: tuple[complex, ...]
    after_start: float
    on_owner_line: complex | None = None  # where the owner's stitch line, run on, meets the cut line


def turn_corner(before: Moved, after: Moved, rule: CornerRule) -> Turn:
    if rule.owner == "before":
        made = _owned(before, after, rule, forward=True)
    elif rule.owner == "after":
        made = _owned(before, after, rule, forward=False)
    else:
        made = None
    return made or _mitre(before, after)


def _corner(before: Moved) -> complex:
    return before.net.end


def _mitre(before: Moved, after: Moved) -> Turn:
    corner = _corner(before)
    turn = after.net.start_tangent / before.net.end_tangent
    angle = math.atan2(turn.imag, turn.real)
    end, start = before.points[-2], after.points[1]
    at_end, at_start = position(before.points, end), position(after.points, start)
    if abs(angle) < STRAIGHT_ON and abs(before.allow - after.allow) > 0.05:
        return Turn(at_end, (), at_start)  # a step, square to the edge
    if abs(angle) < 1e-3:
        return Turn(at_end, (), at_start)
    met = meeting_points(before.points, after.points)
    if not met:
        return Turn(at_end, (), at_start)
    x = min(met, key=lambda z: abs(z - corner))
    bound = BOUND * max(before.allow, after.allow)
    if abs(x - corner) > bound and angle > 0:
        return _blunted(before, after, corner, x, bound)
    return Turn(position(before.points, x), (x,), position(after.points, x))


def _blunted(before: Moved, after: Moved, corner: complex, x: complex, bound: float) -> Turn:
    """A sharp point cut off square to its bisector at the bound."""
    way = (x - corner) / abs(x - corner)
    middle = corner + way * bound
    square = np.array([middle - way * 1j * 4 * bound, middle + way * 1j * 4 * bound])
    cuts = []
    for points in (before.points, after.points):
        met = meeting_points(points, square)
        cuts.append(min(met, key=lambda z: abs(z - x)) if met else x)
    return Turn(position(before.points, cuts[0]), (cuts[0], cuts[1]), position(after.points, cuts[1]))


def _owned(before: Moved, after: Moved, rule: CornerRule, forward: bool) -> Turn | None:
    """The owner's allowance ends on the mirrored (or carried) line. None where that line misses the owner's cut line."""
    owner, other = (before, after) if forward else (after, before)
    corner = _corner(before)
    if owner.allow < 0.05:
        return None
    way = before.net.end_tangent if forward else after.net.start_tangent
    reach = 6 * max(before.allow, after.allow, 5.0)
    own_line = np.array([corner - way * reach, corner + way * reach])
    met = meeting_points(other.points, own_line)
    if not met:
        return None
    c = min(met, key=lambda z: abs(z - corner))
    if rule.carried is not None:
        trail = _carried_trail(rule.carried, own_line, corner, way)
    else:
        at = position(other.points, c)
        size = float(np.sum(np.abs(np.diff(other.points))))
        inside = between(other.points, at, size) if forward else between(other.points, 0.0, at)[::-1]
        trail = Placement.mirror(corner, way).apply_all(inside)
        trail = _turned_again(trail, corner, way, owner.allow / 2) if rule.twice else trail
    if trail is None or len(trail) < 2:
        return None
    hits = meeting_points(owner.points, trail)
    if not hits:
        return None
    q = min(hits, key=lambda z: position(trail, z))
    bound = BOUND * max(before.allow, after.allow)
    if abs(q - corner) > bound or abs(c - corner) > bound:
        return None
    road = between(trail, 0.0, position(trail, q))  # from the stitch line out to the owner's cut line
    middle = tuple(complex(z) for z in (road[::-1] if forward else road))
    if forward:
        return Turn(position(before.points, q), (*middle, c), position(after.points, c), c)
    return Turn(position(before.points, c), (c, *middle), position(after.points, q), c)


def _turned_again(trail: np.ndarray, corner: complex, way: complex, depth: float) -> np.ndarray:
    """A line out from the fold, mirrored again about the line `depth` mm outside the fold."""
    out = corner - 1j * way * depth
    far = 50 * max(depth, 1.0)
    met = meeting_points(trail, np.array([out - way * far, out + way * far]))
    if not met:
        return trail
    first = between(trail, 0.0, min(position(trail, z) for z in met))
    second = Placement.mirror(out, way).apply_all(first[::-1])
    return np.concatenate(
        (first, second, second[-1:] - 1j * way * depth)
    )  # on, past the raw edge of a curved hem


def _carried_trail(
    carried: np.ndarray, own_line: np.ndarray, corner: complex, way: complex
) -> np.ndarray | None:
    """The neighbour's cut line from where it crosses the seam line, on the neighbour's side (left of the way)."""
    met = meeting_points(carried, own_line)
    if not met:
        return None
    start = min(met, key=lambda z: abs(z - corner))
    at = position(carried, start)
    size = float(np.sum(np.abs(np.diff(carried))))
    options = [between(carried, at, size), between(carried, 0.0, at)[::-1]]
    for trail in options:
        if len(trail) > 1:
            step = trail[min(2, len(trail) - 1)] - start
            if (step * np.conj(way * -1j)).real > 0:
                return trail
    return None
