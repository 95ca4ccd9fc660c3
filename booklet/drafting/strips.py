"""A shape slashed into strips and the strips moved apart, each rigidly: the ground of spreads and of pleats."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np

from booklet.drafting.shape import Run, Shape, place_dart
from booklet.model import Pleat
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where

TOUCH = 0.5  # mm: a slash may touch the outline this near to its own ends


@dataclass(frozen=True)
class Slash:
    """A straight cut from `at` mm along one edge to `foot` mm along another; what it opens by at both ends."""

    at: float
    foot: float
    open_at: float
    open_foot: float


@dataclass(frozen=True)
class Strips:
    """`edge` and `to` are cut by the slashes, in order along `edge`; `placings` move the strips (one more than slashes)."""

    shape: Shape
    edge: str
    to: str
    slashes: tuple[Slash, ...]
    placings: tuple[Placement, ...]

    @cached_property
    def lines(self) -> tuple[tuple[complex, complex], ...]:
        """Each slash before it opens: its point on the edge, its foot."""
        top, foot = self.shape.run(self.edge).path, self.shape.run(self.to).path
        return tuple((top.point(s.at), foot.point(s.foot)) for s in self.slashes)

    def parts_at(self) -> list[Path | None]:
        """The edge's stretch on each strip, moved, in the edge's way; None where a strip has none of it."""
        return _parts(self.shape.run(self.edge).path, [s.at for s in self.slashes], self.placings)

    def parts_foot(self) -> list[Path | None]:
        """The same of the other edge, in its own way: the last strip comes first."""
        feet = [s.foot for s in reversed(self.slashes)]
        return _parts(self.shape.run(self.to).path, feet, self.placings[::-1])

    def strip_of(self, z: complex) -> int:
        """The strip that a point lies on: counted by the slashes to its left."""
        return sum(1 for top, foot in self.lines if ((top - foot).conjugate() * (z - foot)).imag > 1e-6)

    def carried(self, z: complex) -> complex:
        return self.placings[self.strip_of(z)].apply(z)

    def carried_path(self, path: Path) -> Path:
        """A line drawn across the strips: cut at each slash, moved with the strips, the gaps bridged straight."""
        cuts = sorted(s for line in self.lines for s, _ in path.crossings(Path.line(*line)))
        stops = [0.0, *(s for s in cuts if 1e-3 < s < path.length - 1e-3), path.length]
        parts: list[Path] = []
        for a, b in zip(stops[:-1], stops[1:], strict=True):
            if b - a > 1e-3:
                part = path.part(a, b)
                parts.append(part.placed(self.placings[self.strip_of(part.point(part.length / 2))]))
        return bridged(parts)

    def spread(self, at: Run, foot: Run) -> Shape:
        """The shape with its two opened edges as given, and all else moved with the strips."""
        shape = self.shape
        n_at, n_foot, count = shape.index(self.edge), shape.index(self.to), len(shape.runs)
        runs = []
        for n, run in enumerate(shape.runs):
            if n == n_at:
                runs.append(at)
            elif n == n_foot:
                runs.append(foot)
            else:  # beyond the last strip, or before the first
                between = (n - n_at) % count < (n_foot - n_at) % count
                runs.append(replace(run, path=run.path.placed(self.placings[-1 if between else 0])))
        grain = shape.grain
        if grain is not None:
            placing = self.placings[self.strip_of((grain[0] + grain[1]) / 2)]
            grain = (placing.apply(grain[0]), placing.apply(grain[1]))
        return replace(
            shape,
            runs=tuple(runs),
            grain=grain,
            darts=tuple(place_dart(d, self.placings[self.strip_of(d.point)]) for d in shape.darts),
            pleats=tuple(self._pleat(p) for p in shape.pleats),
            lines_across=tuple(replace(f, path=self.carried_path(f.path)) for f in shape.lines_across),
            points=tuple((name, self.carried(z)) for name, z in shape.points),
        )

    def _pleat(self, pleat: Pleat) -> Pleat:
        moves = tuple((self.carried_path(a), self.carried_path(b)) for a, b in pleat.moves)
        return replace(pleat, moves=moves)


def slashed(shape: Shape, edge: str, to: str, slashes: list[Slash], where: Where, key: str = "") -> Strips:
    """The strips of slashes that don't cross, opened. The strip with the fold stays, else the middle one.

    Raises Fault where a slash leaves the piece, cuts a dart, crosses another or cannot open so wide.
    """
    what = key or "the piece"
    if edge == to:
        raise Fault.of(
            "spread", f"{what}: a slash runs from {edge} to {edge}", where, "Let it run to another edge."
        )
    for name in (edge, to):
        if name == shape.fold:
            raise Fault.of(
                "spread-fold", f"{what}: {name} lies on the fold and cannot be opened", where,
                "Slash between two other edges.",
            )  # fmt: skip
    for a, b in zip(slashes, slashes[1:], strict=False):
        if b.at < a.at - 1e-6 or b.foot > a.foot + 1e-6:
            raise Fault.of(
                "slashes-cross", f"{what}: two slashes from {edge} to {to} cross each other", where,
                "Name places and feet in the same order.",
            )  # fmt: skip
    plain = Strips(shape, edge, to, tuple(slashes), ())
    _check_inside(plain, what, where)
    placings = _opened(plain, where)
    if shape.fold is None:
        kept = len(placings) // 2
    else:
        n_at, count = shape.index(edge), len(shape.runs)
        after = (shape.index(shape.fold) - n_at) % count < (shape.index(to) - n_at) % count
        kept = len(placings) - 1 if after else 0
    back = placings[kept].inverse
    return replace(plain, placings=tuple(p.then(back) for p in placings))


def _check_inside(strips: Strips, what: str, where: Where) -> None:
    """Every slash lies inside the outline and clear of darts."""
    shape = strips.shape
    ring = np.concatenate([r.path.flatten(0.3)[:-1] for r in shape.runs])
    a, d = ring, np.roll(ring, -1) - ring
    legs = [leg for dart in shape.darts for leg in ((dart.first, dart.point), (dart.point, dart.second))]
    for slash, (top, foot) in zip(strips.slashes, strips.lines, strict=True):
        way = foot - top
        if abs(way) < 1:
            raise Fault.of(
                "spread", f"{what}: a slash from {strips.edge} to {strips.to} has no length", where
            )
        if _met(top, way, a, d).size:
            raise Fault.of(
                "slash-outside",
                f"{what}: the slash at {slash.at:.0f} mm of {strips.edge} leaves the piece before it meets {strips.to}",
                where,
                "Move its foot, or slash to another edge.",
            )
        for p, q in legs:
            if _met(top, way, np.array([p]), np.array([q - p])).size:
                raise Fault.of(
                    "slash-dart", f"{what}: the slash at {slash.at:.0f} mm of {strips.edge} cuts a dart", where,
                    "Move the slash, or draw the dart in a later state of the piece.",
                )  # fmt: skip


def _met(start: complex, way: complex, a: np.ndarray, d: np.ndarray) -> np.ndarray:
    """Where a straight line is crossed by segments, mm from its start, its own ends left out."""
    cross = way.real * d.imag - way.imag * d.real
    w = a - start
    with np.errstate(divide="ignore", invalid="ignore"):
        t = (w.real * d.imag - w.imag * d.real) / cross
        u = (w.real * way.imag - w.imag * way.real) / cross
    size = abs(way)
    ok = (np.abs(cross) > 1e-9) & (u >= 0) & (u <= 1) & (t * size > TOUCH) & ((1 - t) * size > TOUCH)
    return np.asarray(t[ok] * size)


def _opened(strips: Strips, where: Where) -> list[Placement]:
    """One placing a strip: the first stays, each next one opens its slash as an equal-sided wedge."""
    out = [Placement.IDENTITY]
    for slash, (top, foot) in zip(strips.slashes, strips.lines, strict=True):
        out.append(opening(top, foot, slash.open_at, slash.open_foot, where).then(out[-1]))
    return out


def opening(top: complex, foot: complex, open_top: float, open_foot: float, where: Where) -> Placement:
    """What moves the far side of a slash away: exactly `open_top` apart at its top, `open_foot` at its foot."""
    leg = top - foot
    size = abs(leg)
    if abs(open_top - open_foot) > size:
        raise Fault.of(
            "spread",
            f"a slash {size:.0f} mm long cannot open by {abs(open_top - open_foot):.0f} mm more at one end",
            where,
            "Take more slashes or less fullness.",
        )
    half = math.asin((open_top - open_foot) / (2 * size))
    axis = leg / size * cmath.exp(1j * half)
    base = (
        axis * 1j
    )  # from the slash's first side to its second; in a clockwise ring, to the right of the way up
    new_foot = foot + base * open_foot
    # turns the rest about the foot, then moves it
    return Placement(cmath.exp(2j * half), new_foot - cmath.exp(2j * half) * foot)


def _parts(path: Path, cuts: list[float], placings: tuple[Placement, ...]) -> list[Path | None]:
    stops = [0.0, *cuts, path.length]
    return [
        path.part(a, b).placed(p) if b - a > 1e-6 else None
        for a, b, p in zip(stops[:-1], stops[1:], placings, strict=True)
    ]


def bridged(parts: list[Path]) -> Path:
    """Stretches in a row as one line; where two lie apart, a straight line between them."""
    out = parts[0]
    for part in parts[1:]:
        if abs(part.start - out.end) > 1e-6:
            out = out.joined(Path.line(out.end, part.start))
        out = out.joined(part)
    return out
