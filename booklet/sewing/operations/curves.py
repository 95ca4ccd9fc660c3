"""How a run bends: where its allowance must be clipped or notched, and how much longer a hem's edge is than its line.

A ring runs clockwise as seen on the right side of a copy of sign +1; there a bend to the right is an outward one.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass

from booklet.model import Part, Run
from booklet.sewing.operations.base import Context

CURVED = 400.0  # mm: a radius below this makes an allowance pull (common practice, no source)
LEAST = 20.0  # mm of curve that are worth a cut
STEP = 4.0  # mm between the places looked at


@dataclass(frozen=True)
class Bend:
    """Lengths that curve inwards (a neckline) and outwards (a rounded corner), mm, and the whole turning, radians.

    The turning counts outward bends positive; corners between the parts of a run are left out, since seams lie there.
    """

    inward: float
    outward: float
    turning: float

    @property
    def clips(self) -> bool:
        return self.inward >= LEAST

    @property
    def notches(self) -> bool:
        return self.outward >= LEAST

    @property
    def curved(self) -> bool:
        return self.clips or self.notches


def bend_of(context: Context, run: Run) -> Bend:
    inward = outward = turning = 0.0
    for part in run.parts:
        i, o, t = _part(context, part)
        inward, outward, turning = inward + i, outward + o, turning + t
    return Bend(inward, outward, turning)


def _part(context: Context, part: Part) -> tuple[float, float, float]:
    copy = context.copies[part.copy]
    path = copy.by_name[part.edge].edge.path
    low, high = min(part.start, part.end), max(part.start, part.end)
    # A dart's mouth is folded away: its corner is no curve of the seam.
    folded = [(t.start, t.end) for t in copy.by_name[part.edge].edge.take_ups]
    count = max(2, math.ceil((high - low) / STEP))
    at = [low + (high - low) * k / count for k in range(count + 1)]
    ways = [path.tangent(s) for s in at]
    inward = outward = turning = 0.0
    for s0, s1, a, b in zip(at, at[1:], ways, ways[1:], strict=False):
        if any(s1 > t0 - STEP and s0 < t1 + STEP for t0, t1 in folded):
            continue
        turn = cmath.phase(b / a) * copy.sign
        turning += turn
        if abs(turn) * CURVED > s1 - s0:
            if turn > 0:
                outward += s1 - s0
            else:
                inward += s1 - s0
    return inward, outward, turning


def hem_surplus(context: Context, run: Run, depth: float) -> float:
    """How much longer the edge turned up is than the line it meets, `depth` mm on either side of the fold line.

    Two parallel curves at distances +h and -h differ by 2 h times the turning, whatever the radius; the allowance's
    ends mirror the piece's sides and so add nothing. Negative where the edge is the shorter one.
    """
    return 2 * depth * bend_of(context, run).turning


def crossing_turns(context: Context, run: Run) -> tuple[float, ...]:
    """Degrees by which a run turns at each of its junctions, where it crosses a seam and the pieces lie edge to edge.

    The cloth fills the inner angles of both pieces there; what it has more or less than a straight line is the turn.
    """
    return tuple(
        abs(180.0 - _inner_angle(context, before, False) - _inner_angle(context, after, True))
        for before, after in zip(run.parts, run.parts[1:], strict=False)
    )


def _inner_angle(context: Context, part: Part, at_start: bool) -> float:
    """The piece's inner angle at the start or end of a part, degrees."""
    ring = context.copies[part.copy].edges
    n = next(k for k, h in enumerate(ring) if h.name == part.edge)
    path = ring[n].edge.path
    if at_start != part.backwards:
        leave, arrive = path.start_tangent, ring[n - 1].edge.path.end_tangent
    else:
        leave, arrive = ring[(n + 1) % len(ring)].edge.path.start_tangent, path.end_tangent
    turn = math.degrees(cmath.phase(leave / arrive)) * context.copies[part.copy].sign
    return 180.0 - turn
