"""A line cut across and its lower part moved along the grain, drawn true again: straight through, or blended."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

from booklet.drafting.shape import JOIN_GAP
from booklet.paths import Path, Placement, Segment
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

SMOOTH = math.radians(5)  # lines that meet at less run on into each other
FLAT = math.radians(0.05)  # straight lines that meet at less are one
BLEND = 30.0  # mm of a curve drawn anew on both sides of the cut, and at least three times what it moves


@dataclass(frozen=True)
class Across:
    """A cut square to `down` (a unit) through `at`. What lies below it moves by `by` mm that way."""

    at: complex
    down: complex
    by: float

    @property
    def move(self) -> complex:
        return self.down * self.by

    def depth(self, z: complex) -> float:
        """How far a point lies below the cut, mm."""
        return ((z - self.at) * self.down.conjugate()).real

    def below(self, z: complex) -> bool:
        return self.depth(z) > JOIN_GAP

    def carried(self, z: complex) -> complex:
        return z + self.move if self.below(z) else z

    def line(self, reach: float) -> Path:
        way = self.down * 1j * reach
        return Path.line(self.at - way, self.at + way)


@dataclass(frozen=True)
class Section:
    """A stretch of the old line from s0 to s1 and what it became; `fresh` where it was drawn anew over the cut."""

    s0: float
    s1: float
    path: Path
    fresh: bool


@dataclass(frozen=True)
class Redrawn:
    old: Path
    across: Across
    sections: tuple[Section, ...]

    @property
    def path(self) -> Path:
        first, *rest = (s.path for s in self.sections)
        return first.joined(*rest)

    def at(self, s: float) -> float:
        """Where a place `s` mm along the old line lies on the new one."""
        before = 0.0
        for n, part in enumerate(self.sections):
            if s <= part.s1 + 1e-9 or n == len(self.sections) - 1:
                if part.fresh:
                    return before + part.path.nearest(self.across.carried(self.old.point(s)))
                share = (s - part.s0) / (part.s1 - part.s0)
                return before + min(max(share, 0.0), 1.0) * part.path.length
            before += part.path.length
        return before


def redrawn(
    path: Path, across: Across, busy: Sequence[tuple[float, float]], what: str, where: Where
) -> Redrawn | None:
    """The line after the cut; None where the cut does not cross it. `busy` are stretches that must not be redrawn.

    A straight stretch that is crossed stays straight from end to end, and a curve that runs on into it is led into its
    new direction. A curve is drawn anew on both sides of the cut. All else stays or moves as it is.
    Raises Fault where the cut runs through a busy stretch or leaves no room for the line.
    """  # fmt: skip
    breaks = _breaks(path, across)
    if not breaks:
        return None
    for s, _ in breaks:
        if any(a - 1e-6 < s < b + 1e-6 for a, b in busy):
            raise Fault.of("lengthen-dart", f"the cut runs through a dart or pleat on {what}", where,
                           "Take a line that is clear of it.")  # fmt: skip
    regions: list[tuple[float, float, bool]] = []
    for n, (s, _) in enumerate(breaks):
        low = regions[-1][1] if regions else 0.0
        high = breaks[n + 1][0] if n + 1 < len(breaks) else path.length
        straight = _straight_round(path, s, low, high)
        if straight is not None:
            regions.append((*straight, True))
        else:
            middle = high if n + 1 == len(breaks) else (s + high) / 2
            regions.append((*_blend_round(path, s, across.by, (low, middle), busy), False))
    return Redrawn(path, across, tuple(_sections(path, across, breaks, regions, busy, what, where)))


def _breaks(path: Path, across: Across) -> list[tuple[float, bool]]:
    """Where the line passes from one side of the cut to the other, mm along it, and whether to below."""
    x0, y0, x1, y1 = path.bbox
    far = abs(complex(x1 - x0, y1 - y0)) + abs(path.start - across.at) + 100
    met = [s for s, _ in path.crossings(across.line(far))]
    stops = [0.0, *(s for s in met if 1e-6 < s < path.length - 1e-6), path.length]
    out: list[tuple[float, bool]] = []
    now = across.below(path.start)
    for a, b in zip(stops[:-1], stops[1:], strict=True):
        side = across.below(path.point((a + b) / 2))
        if side != now:
            out.append((a, side))
            now = side
    if across.below(path.end) != now:
        out.append((path.length, not now))
    return out


def _straight_round(path: Path, s: float, low: float, high: float) -> tuple[float, float] | None:
    """The whole straight stretch that a place lies on, between two bounds; None on a curve."""
    ends = [0.0, *path._stops]
    spans = [
        (a, b, seg)
        for a, b, seg in zip(ends[:-1], ends[1:], path.segments, strict=True)
        if b - a > 1e-6
    ]  # fmt: skip
    near = [n for n, (a, b, seg) in enumerate(spans) if a - 1e-6 <= s <= b + 1e-6 and _is_straight(seg)]
    if not near:
        return None
    i = j = max(near, key=lambda n: spans[n][1] - spans[n][0])
    while i > 0 and _run_on(spans[i - 1][2], spans[i][2]):
        i -= 1
    while j + 1 < len(spans) and _run_on(spans[j][2], spans[j + 1][2]):
        j += 1
    a, b = spans[i][0], spans[j][1]
    return (a, b) if low - 1e-6 <= a and b <= high + 1e-6 else None


def _is_straight(seg: Segment) -> bool:
    if len(seg) == 2:
        return True
    chord = seg[-1] - seg[0]
    if abs(chord) < 1e-9:
        return False
    return all(abs(((p - seg[0]) * chord.conjugate()).imag) / abs(chord) < 1e-4 for p in seg[1:-1])


def _run_on(a: Segment, b: Segment) -> bool:
    one, other = a[-1] - a[0], b[-1] - b[0]
    return _is_straight(a) and _is_straight(b) and abs(cmath.phase(other / one)) < FLAT


def _blend_round(
    path: Path, s: float, by: float, bounds: tuple[float, float], busy: Sequence[tuple[float, float]]
) -> tuple[float, float]:
    """The stretch of a curve to be drawn anew: up to its corners, the bounds and what must not be touched."""
    reach = max(BLEND, 3 * abs(by))
    low = max(s - reach, bounds[0], *(b for _, b in busy if b <= s), 0.0)
    high = min(s + reach, bounds[1], *(a for a, _ in busy if a >= s), path.length)
    for stop, before, after in zip(path._stops, path.segments, path.segments[1:], strict=False):
        turn = Path((after,)).start_tangent / Path((before,)).end_tangent
        if abs(cmath.phase(turn)) > SMOOTH:
            low = max(low, stop) if stop <= s else low
            high = min(high, stop) if stop > s else high
    return low, high


def _sections(
    path: Path,
    across: Across,
    breaks: list[tuple[float, bool]],
    regions: list[tuple[float, float, bool]],
    busy: Sequence[tuple[float, float]],
    what: str,
    where: Where,
) -> list[Section]:
    out: list[Section] = []
    at = 0.0
    below = not breaks[0][1]
    for (_, to_below), (a, b, straight) in zip(breaks, regions, strict=True):
        if a - at > 1e-6:
            out.append(_rigid(path, at, a, across.move if below else 0j))
        start = path.point(a) + (0j if to_below else across.move)
        end = path.point(b) + (across.move if to_below else 0j)
        old = path.point(b) - path.point(a)
        way = across.down if to_below else -across.down
        if abs(end - start) < 1 or (
            abs(old) > JOIN_GAP and ((end - start) * (old or way).conjugate()).real <= 0
        ):
            raise Fault.of(
                "lengthen", f"{what} has no room for {across.by:.1f} mm at the cut", where,
                "Shorten by less, or at another line.",
            )  # fmt: skip
        new = Path.line(start, end) if straight else _blended(path, a, b, start, end)
        out.append(Section(a, b, new, True))
        at, below = b, to_below
    if path.length - at > 1e-6:
        out.append(_rigid(path, at, path.length, across.move if below else 0j))
    return _led_in(out, path, busy)


def _rigid(path: Path, a: float, b: float, move: complex) -> Section:
    return Section(a, b, path.part(a, b).placed(Placement.move(move)), False)


def _blended(path: Path, a: float, b: float, start: complex, end: complex) -> Path:
    part = path.part(a, b) if b - a > 1e-6 else Path.line(start, end)
    return smooth_curve([start, end], part.start_tangent, part.end_tangent)


def _led_in(sections: list[Section], path: Path, busy: Sequence[tuple[float, float]]) -> list[Section]:
    """Curves beside a new straight stretch led into its direction: their handles turned, their ends kept."""
    out = list(sections)
    for n, section in enumerate(sections):
        if not section.fresh or len(section.path.segments[0]) != 2:
            continue
        before = sections[n - 1] if n > 0 else None
        after = sections[n + 1] if n + 1 < len(sections) else None
        for k, near, at in ((n - 1, before, section.s0), (n + 1, after, section.s1)):
            if near is None or near.fresh or any(a - 1e-6 <= at <= b + 1e-6 for a, b in busy):
                continue
            was = path.part(section.s0, section.s1).start_tangent
            joint = near.path.end_tangent if k < n else near.path.start_tangent
            if abs(cmath.phase(joint / was)) < SMOOTH:
                turned = _turned_end(out[k].path, section.path.start_tangent, k < n)
                out[k] = Section(near.s0, near.s1, turned, False)
    return out


def _turned_end(path: Path, way: complex, at_end: bool) -> Path:
    """The line with its last (or first) curve arriving (or leaving) in a direction."""
    segments = list(path.segments)
    seg = segments[-1] if at_end else segments[0]
    if len(seg) != 4:
        return path
    p0, p1, p2, p3 = seg
    if at_end:
        segments[-1] = (p0, p1, p3 - way * abs(p3 - p2), p3)
    else:
        segments[0] = (p0, p0 + way * abs(p1 - p0), p2, p3)
    return Path(tuple(segments))
