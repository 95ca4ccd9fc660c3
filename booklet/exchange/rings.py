"""Drawn lines in any order and direction joined to closed rings, and rings divided into stretches."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from booklet.paths import Path, area

CORNER = math.radians(20)  # a turn sharper than this divides an outline into edges
TURN_NEAR = 0.05  # mm: a turn point stands on the corner of a line that is so near


def chains(lines: Sequence[Path], gap: float) -> list[Path]:
    """The lines joined end to end where ends lie within `gap` mm, each line used once, in the order they were drawn.

    A chain begins as its first line was drawn, unless it is open and grows at its start too. The same line drawn twice
    counts once.
    """
    left = _Left(_unlike(lines))
    out = []
    while (first := left.first()) is not None:
        parts, long = [first], first.length
        for at_end in (True, False):
            while abs(parts[-1].end - parts[0].start) > gap or long < 4 * gap:
                place = parts[-1].end if at_end else parts[0].start
                line = left.nearest(place, gap)
                if line is None:
                    break
                long += line.length
                line = Path(((place, *line.segments[0][1:]), *line.segments[1:]))
                parts = [*parts, line] if at_end else [line.reversed(), *parts]
        out.append(_shut(Path(tuple(s for part in parts for s in part.segments)), gap))
    return out


class _Left:
    """The lines not yet used, looked up by where they end."""

    def __init__(self, lines: list[Path]) -> None:
        self.lines = lines
        self.used = 0  # all before it are
        self.ends = np.array([(line.start, line.end) for line in lines]).reshape(-1, 2)

    def first(self) -> Path | None:
        while self.used < len(self.lines) and np.isnan(self.ends[self.used, 0]):
            self.used += 1
        return self._taken(self.used) if self.used < len(self.lines) else None

    def nearest(self, place: complex, gap: float) -> Path | None:
        """The line that begins or ends nearest to a place and within the gap, turned so that it begins there."""
        off = np.abs(self.ends - place)
        if not np.any(off <= gap):
            return None
        n, end = divmod(int(np.nanargmin(off)), 2)
        line = self._taken(n)
        return line.reversed() if end else line

    def _taken(self, n: int) -> Path:
        self.ends[n] = np.nan
        return self.lines[n]


def _unlike(lines: Sequence[Path]) -> list[Path]:
    out: list[Path] = []
    seen: set[tuple[tuple[complex, ...], ...]] = set()
    for line in lines:
        same = (_rounded(line), _rounded(line.reversed()))
        if not any(key in seen for key in same):
            seen.add(same[0])
            out.append(line)
    return out


def _rounded(line: Path) -> tuple[tuple[complex, ...], ...]:
    return tuple(tuple(complex(round(z.real, 4), round(z.imag, 4)) for z in s) for s in line.segments)


def _shut(chain: Path, gap: float) -> Path:
    """A chain whose ends nearly meet, closed exactly."""
    if len(chain.segments) < 2 or abs(chain.end - chain.start) > gap:
        return chain
    return Path((*chain.segments[:-1], (*chain.segments[-1][:-1], chain.start)))


def ring_among(found: Sequence[Path], mirror: Path | None, gap: float) -> Path | None:
    """The closed chain round the most ground; else an open one that a mirror line closes; None where neither is."""
    closed = [c for c in found if abs(c.end - c.start) < 1e-9 and len(c.segments) > 1]
    if closed:
        return max(closed, key=lambda c: abs(area(c.flatten(0.5))))
    if mirror is None:
        return None
    for chain in sorted(found, key=lambda c: -c.length):
        if all(off_line(z, mirror) <= gap for z in (chain.start, chain.end)):
            return Path((*chain.segments, (chain.end, chain.start)))
    return None


def off_line(z: complex, line: Path) -> float:
    """How far a point lies off the endless straight line through a line's ends."""
    way = line.end - line.start
    return abs(((z - line.start) * way.conjugate()).imag) / abs(way)


def at_turns(ring: Path, turns: Sequence[complex]) -> list[int]:
    """The segments of a ring that begin at a turn point."""
    starts = [s[0] for s in ring.segments]
    found = []
    for z in turns:
        n = min(range(len(starts)), key=lambda k: abs(starts[k] - z))
        if abs(starts[n] - z) < TURN_NEAR:
            found.append(n)
    return sorted(set(found))


def corners(line: Path, closed: bool = True) -> list[int]:
    """The segments of a line that begin with a sharp turn; the first one among them only where the line is closed."""
    segments = line.segments
    bends = []
    for n in range(0 if closed else 1, len(segments)):
        turn = Path((segments[n],)).start_tangent / Path((segments[n - 1],)).end_tangent
        if abs(math.atan2(turn.imag, turn.real)) > CORNER:
            bends.append(n)
    return bends


def divided(ring: Path, at: Sequence[int]) -> list[Path]:
    """A ring cut before some of its segments (by number, in order), beginning at the first of them; whole without any."""
    if not at:
        return [ring]
    segments = ring.segments
    turned = segments[at[0] :] + segments[: at[0]]
    stops = [*(n - at[0] for n in at), len(turned)]
    return [Path(tuple(turned[a:b])) for a, b in zip(stops, stops[1:], strict=False)]
