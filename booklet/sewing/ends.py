"""The two ends of a seam: which corners of two plies come together there, and how their edges run on beyond."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass

from booklet.model import Copy, Part, Seam


@dataclass(frozen=True)
class SeamEnd:
    """One end of a seam of two runs. `beyond` are the neighbouring edges round the corner on either side.

    `bend` is the angle in degrees by which the line of the one turns off when it runs on into the other, with the two
    plies laid edge to edge: 0 is smooth, positive a corner that stands out, negative one that goes in.
    """

    copy_a: str
    beyond_a: str
    copy_b: str
    beyond_b: str
    bend: float


def seam_ends(seam: Seam, copies: Mapping[str, Copy]) -> tuple[SeamEnd, ...]:
    """The ends at which both runs reach the ends of their edges; none of a seam that comes round."""
    if seam.b is None or seam.a.closed:
        return ()
    out = []
    for a, b, at_start in (
        (seam.a.parts[0], seam.b.parts[0], True),
        (seam.a.parts[-1], seam.b.parts[-1], False),
    ):
        mine, theirs = _corner(a, at_start, copies), _corner(b, at_start, copies)
        if mine and theirs:
            inside = mine[1] + theirs[1]
            out.append(SeamEnd(a.copy, mine[0], b.copy, theirs[0], 180.0 - inside))
    return tuple(out)


def _corner(part: Part, at_start: bool, copies: Mapping[str, Copy]) -> tuple[str, float] | None:
    """The edge beyond a part's end, and the angle of the cloth between it and the part there, degrees."""
    ring = copies[part.copy].edges
    n = next(k for k, h in enumerate(ring) if h.name == part.edge)
    edge = ring[n].edge
    at = part.start if at_start else part.end
    low = at < 0.05
    if not (low or at > edge.length - 0.05):
        return None
    beyond = ring[n - 1] if low else ring[(n + 1) % len(ring)]
    # Both ways away from the corner; the cloth lies between them.
    along = edge.path.start_tangent if low else -edge.path.end_tangent
    away = -beyond.edge.path.end_tangent if low else beyond.edge.path.start_tangent
    turn = math.degrees(cmath.phase(away / along)) % 360.0
    clockwise = copies[part.copy].sign > 0
    inside = turn if low == clockwise else 360.0 - turn
    return beyond.name, inside
