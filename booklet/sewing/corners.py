"""Corners of a run: where its line turns off sharply within one ply, as at the point of a V neckline."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass

from booklet.model import Copy, Run

SHARP = 25.0  # degrees of turn that make a corner (common practice, no source)


@dataclass(frozen=True)
class Corner:
    """`turn` in degrees, positive where the cloth stands out in a point; `at` is mm along the run as it is drawn."""

    copy: str
    edge: str
    at: float
    turn: float

    @property
    def inward(self) -> bool:
        """It goes into the cloth: the allowance must be clipped to be turned."""
        return self.turn < 0


def corners_of(run: Run, copies: Mapping[str, Copy]) -> tuple[Corner, ...]:
    """Corners within edges, but at the mouths of darts and pleats, and where one edge of a ply goes on into the next."""
    out: list[Corner] = []
    along = 0.0
    parts = run.parts
    for n, part in enumerate(parts):
        copy = copies[part.copy]
        edge = copy.by_name[part.edge].edge
        low, high = sorted((part.start, part.end))
        at = 0.0
        segments = edge.path.segments
        for before, after in zip(segments, segments[1:], strict=False):
            at = edge.path.nearest(after[0])
            if not low + 1.0 < at < high - 1.0 or any(
                t.start - 1.0 < at < t.end + 1.0 for t in edge.take_ups
            ):
                continue
            turn = _turn(before[-1] - before[-2], after[1] - after[0]) * copy.sign
            if abs(turn) > SHARP:
                out.append(
                    Corner(copy.id, part.edge, along + (high - at if part.backwards else at - low), turn)
                )
        along += high - low
        if n + 1 < len(parts) and parts[n + 1].copy == part.copy:
            found = _between(copy, part.edge, parts[n + 1].edge)
            if found is not None and abs(found) > SHARP:
                out.append(Corner(copy.id, part.edge, along, found))
    return tuple(out)


def _turn(before: complex, after: complex) -> float:
    return math.degrees(cmath.phase(after / before)) if abs(before) > 1e-9 and abs(after) > 1e-9 else 0.0


def _between(copy: Copy, one: str, other: str) -> float | None:
    """The turn at the corner of two edges that follow each other round the ply, whichever is walked first."""
    ring = copy.edges
    for n, half in enumerate(ring):
        beyond = ring[(n + 1) % len(ring)]
        if (half.name, beyond.name) in ((one, other), (other, one)):
            return _turn(half.edge.path.end_tangent, beyond.edge.path.start_tangent) * copy.sign
    return None
