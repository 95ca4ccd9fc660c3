"""Opened edges drawn again: smooth through the strips and solved to their length, or straight over the gaps."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass, replace

from booklet.drafting.numeric import Unbracketed, find_root
from booklet.drafting.shape import Run
from booklet.drafting.strips import bridged
from booklet.model import Mark
from booklet.paths import Path
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

NEAR = 0.5  # mm: derived seams agree within this, so a length this near may stay where a bulge would spoil the line
FEW = 4  # with fewer slashes the strips are so wide that each gives two points to the smooth line


@dataclass(frozen=True)
class Opened:
    """An edge cut at `cuts` (mm along it), each opened by its gap, its `parts` moved. Outside s0..s1 the line stays."""

    run: Run
    parts: list[Path]
    cuts: tuple[float, ...]
    gaps: tuple[float, ...]
    s0: float
    s1: float
    even: bool  # many slashes spread evenly: marks keep their share of s0..s1 rather than their strip

    @property
    def gain(self) -> float:
        return sum(self.gaps)

    def with_line(self, path: Path) -> Run:
        """The edge on its new line, marks and take-ups where they now lie."""
        whole = path.length - (self.run.path.length - (self.s1 - self.s0))  # new length between s0 and s1
        shift = whole - (self.s1 - self.s0)

        def moved(at: float, even: bool) -> float:
            if at <= self.s0 + 1e-9:
                return at
            if at >= self.s1 - 1e-9:
                return at + shift
            if even:
                return self.s0 + (at - self.s0) * whole / (self.s1 - self.s0)
            there = at - self.s0 + sum(g for c, g in zip(self.cuts, self.gaps, strict=True) if c < at)
            return self.s0 + there * whole / (self.s1 - self.s0 + self.gain)

        def mark(m: Mark) -> Mark:
            return replace(m, at=moved(m.at, self.even))

        ups = tuple(
            replace(t, start=moved(t.start, False), end=moved(t.end, False)) for t in self.run.take_ups
        )
        return replace(self.run, path=path, marks=tuple(mark(m) for m in self.run.marks), take_ups=ups)


def straight_over_gaps(opened: Opened) -> Run:
    """Every strip's line as it was, and a straight line over each gap: no trueing."""
    return opened.with_line(bridged(opened.parts))


def drawn_smooth(opened: Opened, solved: bool, where: Where) -> Run:
    """One smooth line between s0 and s1; `solved` to its old length and what was opened, by raising or sinking it."""
    run, parts, s0, s1 = opened.run, opened.parts, opened.s0, opened.s1
    for up in run.take_ups:
        if up.end > s0 and up.start < s1:
            raise Fault.of(
                "spread-dart",
                f"{run.name} cannot be drawn smooth over {up.name}",
                where,
                "Spread first and draw the dart or pleat in a later state of the piece, or write `true: none`.",
            )
    keep = run.path.length - s1
    before = parts[0].part(0, s0) if s0 > 1e-6 else None
    after = parts[-1].part(parts[-1].length - keep, parts[-1].length) if keep > 1e-6 else None
    inner = list(parts)
    inner[0] = inner[0].part(s0, inner[0].length) if before else inner[0]
    inner[-1] = inner[-1].part(0, inner[-1].length - keep) if after else inner[-1]
    points = [inner[0].start, *_through(inner), inner[-1].end]
    leave = before.end_tangent if before else inner[0].start_tangent
    arrive = after.start_tangent if after else inner[-1].end_tangent
    chord = points[-1] - points[0]
    up_way = chord / abs(chord) * -1j
    count = len(points) - 1

    def drawn(lift: float) -> Path:
        lifted = [p + up_way * lift * math.sin(math.pi * k / count) for k, p in enumerate(points)]
        return smooth_curve(lifted, leave, arrive)

    middle = drawn(0.0)
    if solved:
        middle = _solved(drawn, middle, s1 - s0 + opened.gain, abs(chord), where)
    line = [p for p in (before, middle, after) if p is not None]
    return opened.with_line(line[0].joined(*line[1:]))


def _through(inner: list[Path]) -> list[complex]:
    if len(inner) > FEW:
        return [p.point(p.length / 2) for p in inner[1:-1]]
    return [p.point(p.length * share) for p in inner for share in (1 / 3, 2 / 3)]


def _solved(drawn: Callable[[float], Path], plain: Path, wanted: float, chord: float, where: Where) -> Path:
    miss = plain.length - wanted
    try:
        lift = _nearest_root(lambda x: drawn(x).length - wanted, chord * 0.05)
    except Unbracketed:
        if abs(miss) <= NEAR:
            return plain
        raise Fault.of(
            "spread-head",
            f"no smooth line of {wanted:.0f} mm joins the two ends after the spread: it comes out {plain.length:.0f} mm",
            where,
            "Take less fullness or more slashes, or write `true: none`.",
        ) from None
    # A nearly straight edge would have to bulge by millimetres for tenths of its length.
    return plain if abs(miss) <= NEAR and abs(lift) > 6 * abs(miss) else drawn(lift)


def _nearest_root(gap: Callable[[float], float], step: float) -> float:
    """The root nearest 0 of a length that may both grow and shrink with the lift: steps outwards, then bracketed."""
    start = gap(0.0)
    for k in range(1, 21):
        for sign in (1.0, -1.0):
            a, b = sign * step * (k - 1), sign * step * k
            if (gap(a) > 0) != (gap(b) > 0):
                return find_root(gap, a, b, 1e-5)
    raise Unbracketed(start, start)
