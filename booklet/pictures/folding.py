"""Pleats folded and darts sewn: where the points of a ply lie when they are closed."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np
import shapely

from booklet.model import Copy, Dart
from booklet.paths import Path, Placement


@dataclass(frozen=True)
class Closing:
    """One fold closed: what lies beyond `away` moves with it onto `stays`, what lies between them is hidden there."""

    stays: tuple[complex, complex]
    away: tuple[complex, complex]
    move: Placement
    side: float  # the sign of the side of both lines that stays where it is

    def hides(self, z: complex) -> bool:
        """Whether a point lies between the two lines: folded under."""
        return _across(self.stays, z) * self.side < -1e-6 and _across(self.away, z) * self.side > 1e-6

    def apply(self, z: complex) -> complex:
        if _across(self.stays, z) * self.side >= 0:
            return z
        if _across(self.away, z) * self.side < 0:
            return self.move.apply(z)
        a, b = self.stays
        way = (b - a) / abs(b - a)
        return a + way * ((z - a) * way.conjugate()).real


@dataclass(frozen=True)
class Along:
    """A strip laid along another line than its own, as a facing along an edge that sewn darts have bent.

    A point keeps its share of the way along the line and its distance from it. Both lines are in the ply's frame.
    """

    own: Path
    other: Path

    def apply(self, z: complex) -> complex:
        s = self.own.nearest(z)
        beside = (z - self.own.point(s)) / self.own.tangent(s)
        at = s / self.own.length * self.other.length
        low, high = max(at - BLUNT, 0.0), min(at + BLUNT, self.other.length)
        way = self.other.point(high) - self.other.point(low)
        return self.other.point(at) + beside * way / abs(way)


BLUNT = 6.0  # mm to each side, over which the way of a line is taken: a dart leaves it a small corner
SLACK = math.radians(40)  # so far round from a dart's legs, at most, its cloth turns when it is sewn
CORNER = 24.0  # mm short of the end of a dart's edge where it does not: the edges next to it keep their shape
STEP = 8.0  # mm between the points of a line beside a dart


@dataclass(frozen=True)
class DartClosing:
    """A dart sewn: its legs meet on the line between them.

    Sewn, a dart makes cloth round, and no rigid drawing of it lies flat. Here the cloth on either side of the mouth
    turns about the point by half the dart's angle, less and less further off; all else stays where it is.
    """

    point: complex
    first: complex
    second: complex
    reach: tuple[float, float]  # radians from each leg, within which cloth turns

    @property
    def middle(self) -> complex:
        """Unit direction from the point to the middle of the mouth."""
        a, b = self.first - self.point, self.second - self.point
        way = a / abs(a) + b / abs(b)
        return way / abs(way)

    @property
    def half(self) -> float:
        return abs(cmath.phase((self.first - self.point) / self.middle))

    def hides(self, z: complex) -> bool:
        """Whether a point lies between the legs: folded under."""
        return z != self.point and abs(cmath.phase((z - self.point) / self.middle)) < self.half - 1e-6

    def apply(self, z: complex) -> complex:
        if abs(z - self.point) < 1e-9:
            return z
        turned = cmath.phase((z - self.point) / self.middle)
        past = abs(turned) - self.half
        if past <= 0:
            return self.point + self.middle * abs(z - self.point)
        to_first = cmath.phase((self.first - self.point) / self.middle) * turned > 0
        share = min(past / self.reach[0 if to_first else 1], 1.0)
        share = share * share * (3 - 2 * share)
        by = self.half * (1 - share)
        return self.point + (z - self.point) * cmath.rect(1, -math.copysign(by, turned))

    def legs_met(self, a: complex, b: complex) -> list[complex]:
        """Where a straight stretch crosses the two legs' lines, mouth side of the point, in its order."""
        met = []
        for leg in (self.first, self.second):
            way = (leg - self.point) / abs(leg - self.point)
            u, v = (a - self.point) / way, (b - self.point) / way
            if u.imag * v.imag < 0:
                share = u.imag / (u.imag - v.imag)
                if (u + (v - u) * share).real > 0:
                    met.append((share, a + (b - a) * share))
        return [z for _, z in sorted(met, key=lambda m: m[0])]


class Fold(Protocol):
    """Anything that tells where a point of a flat ply lies afterwards."""

    def apply(self, z: complex) -> complex: ...


def darts_closed(copy: Copy, darts: Sequence[Dart], before: tuple[Fold, ...] = ()) -> tuple[Fold, ...]:
    """Those folds and the darts of a copy on top of them, each where the ones before have left it."""
    folds = before
    for dart in darts:
        place = closed_flat(folds)
        point, first, second = (place(z) for z in (dart.point, dart.first, dart.second))
        edge = next((h.edge.path for h in copy.edges if h.edge.name == dart.edge), None)
        reach = (SLACK, SLACK)
        if edge is not None:
            ends = sorted(
                (place(edge.start), place(edge.end)), key=lambda z: abs(z - first) - abs(z - second)
            )
            reach = _reach(point, first, ends[0]), _reach(point, second, ends[1])
        folds = (*folds, DartClosing(point, first, second, reach))
    return folds


def _reach(point: complex, leg: complex, end: complex) -> float:
    """The angle at a dart's point from its leg to near the edge's end."""
    span = abs(cmath.phase((end - point) / (leg - point))) - CORNER / abs(end - point)
    return min(SLACK, max(span, math.radians(4)))


def _across(line: tuple[complex, complex], z: complex) -> float:
    """How far a point lies off a line, to one side or, below 0, to the other."""
    way = (line[1] - line[0]) / abs(line[1] - line[0])
    return ((z - line[0]) * way.conjugate()).imag


def closings(copy: Copy, names: Sequence[str] | None = None) -> tuple[Closing, ...]:
    """The folds of a ply's pleats, or of those with such names, outermost first; its middle stays where it is."""
    x0, y0, x1, y1 = copy.outline.bbox
    middle = complex(x0 + x1, y0 + y1) / 2
    out = []
    for pleat in (p for p in copy.pleats if names is None or p.name in names):
        for pair in pleat.moves:
            ends = sorted(((p.start, p.end) for p in pair), key=lambda line: abs(_across(line, middle)))
            stays, away = ends
            turn = (stays[1] - stays[0]) / (away[1] - away[0])
            turn /= abs(turn)
            side = 1.0 if _across(away, middle) >= 0 else -1.0
            out.append(Closing(stays, away, Placement(turn, stays[0] - turn * away[0], False), side))
    return tuple(sorted(out, key=lambda c: -abs(_across(c.away, middle))))


def closed_flat(folds: tuple[Fold, ...]) -> Callable[[complex], complex]:
    """The place of any point when all folds are closed."""

    def place(z: complex) -> complex:
        for fold in folds:
            z = fold.apply(z)
        return z

    return place


def path_closed(path: Path, folds: tuple[Fold, ...]) -> Path:
    """A line with the folds closed, as short straight stretches; what is hidden in a fold is left out."""
    points = [complex(z) for z in path.flatten(0.2)]
    for fold in folds:
        if isinstance(fold, DartClosing):
            points = [z for z in _stepped(points, fold) if not fold.hides(z)]
        elif isinstance(fold, Closing):
            points = [z for z in _crossed(points, fold) if not fold.hides(z)]
        points = [fold.apply(z) for z in points]
    kept = [*points[:1], *(b for a, b in zip(points, points[1:], strict=False) if abs(b - a) > 1e-6)]
    if len(kept) < 2:
        return path
    if any(isinstance(f, DartClosing) for f in folds):
        line = shapely.LineString([(z.real, z.imag) for z in kept]).simplify(0.05)
        kept = [complex(x, y) for x, y in line.coords]
    return Path.polyline(kept)


def _crossed(points: Sequence[complex], fold: Closing) -> list[complex]:
    """The points of a line with those between them at which it crosses the pleat's two lines."""
    out = list(points[:1])
    for a, b in zip(points, points[1:], strict=False):
        met = []
        for line in (fold.stays, fold.away):
            u, v = _across(line, a), _across(line, b)
            if u * v < 0:
                met.append(u / (u - v))
        out += [a + (b - a) * share for share in sorted(met)]
        out.append(b)
    return out


def _stepped(points: Sequence[complex], fold: DartClosing) -> list[complex]:
    """The points of a line with more between them: at the dart's legs, and close enough to bend smoothly."""
    out = list(points[:1])
    for a, b in zip(points, points[1:], strict=False):
        for c in (*fold.legs_met(a, b), b):
            count = max(1, math.ceil(abs(c - out[-1]) / STEP))
            out += [complex(z) for z in np.linspace(out[-1], c, count + 1)[1:]]
    return out
