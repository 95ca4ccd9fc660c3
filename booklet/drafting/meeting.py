"""Two halves of one piece drawn by unlike measures, brought to one fold between them."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import replace
from typing import TypeVar

from booklet.drafting.shape import Run
from booklet.model import Dart, Edge, Pleat, Trueing
from booklet.paths import Path
from booklet.problems import Fault, Where

ALIKE = 0.01  # mm: drawings nearer than this are one
APART = 25.0  # mm: the ends of two centre lines that are made one by meeting midway

Bend = Callable[[complex], complex]
Line = TypeVar("Line", Run, Edge)


def fold_between(mine: Path, theirs: Path, fold: str, what: str, where: Where) -> tuple[complex, complex]:
    """The two ends of the fold that both halves share: midway, where each side would have its own."""
    a, b = (mine.start + theirs.start) / 2, (mine.end + theirs.end) / 2
    off = 2 * max(abs(mine.start - a), abs(mine.end - b))
    if off > APART:
        raise Fault.of(
            "sided-fold",
            f"the halves of {what} do not meet on its {fold}: it is {mine.length:.1f} mm long by the right "
            f"side's measures, {theirs.length:.1f} mm by the left's, and its ends are up to {off:.1f} mm apart",
            where,
            "Draw the centre line from measures that the two sides share.",
        )
    return a, b


def with_fold(
    ring: Sequence[Line],
    fold: str,
    darts: Sequence[Dart],
    pleats: Sequence[Pleat],
    start: complex,
    end: complex,
) -> tuple[tuple[Line, ...], tuple[Dart, ...], tuple[Pleat, ...], tuple[Trueing, ...]]:
    """A half with its fold from `start` to `end`: edges that meet it are bent to it, the more the nearer to the fold.

    Gives the edges, darts and pleats, and what it changed in edges' lengths.
    """
    n = next(k for k, e in enumerate(ring) if e.name == fold)
    old = ring[n].path
    if max(abs(old.start - start), abs(old.end - end)) < 1e-9:
        return tuple(ring), tuple(darts), tuple(pleats), ()
    before, after = ring[n - 1], ring[(n + 1) % len(ring)]
    bends = {
        before.name: _bend(old.start, start, abs(before.path.end - before.path.start)),
        after.name: _bend(old.end, end, abs(after.path.end - after.path.start)),
    }
    bent = {e.name: _bent(e.path, bends[e.name]) for e in (before, after)}
    bent[fold] = Path.line(start, end)
    edges: list[Line] = []
    told: list[Trueing] = []
    for edge in ring:
        path = bent.get(edge.name, edge.path)
        was, now = edge.path.length, path.length
        share = now / was
        marks = tuple(replace(m, at=m.at * share) for m in edge.marks)
        ups = tuple(replace(t, start=t.start * share, end=t.end * share) for t in edge.take_ups)
        edges.append(replace(edge, path=path, marks=marks, take_ups=ups))
        if abs(now - was) > ALIKE:
            told.append(Trueing(edge.name, "centre line shared by both sides", was, now))
    return (
        tuple(edges),
        tuple(_dart_bent(d, bends[d.edge]) if d.edge in bends else d for d in darts),
        tuple(_pleat_bent(p, bends[p.edge]) if p.edge in bends else p for p in pleats),
        tuple(told),
    )


def _bend(old: complex, new: complex, reach: float) -> Bend:
    """Moves a point by what moves `old` to `new`, the less the further off, and not at all beyond `reach`."""

    def moved(z: complex) -> complex:
        far = min(1.0, abs(z - old) / reach)
        return z + (new - old) * (1 - far * far * (3 - 2 * far))

    return moved


def _bent(path: Path, bend: Bend) -> Path:
    return Path(tuple(tuple(bend(z) for z in segment) for segment in path.segments))


def _dart_bent(dart: Dart, bend: Bend) -> Dart:
    first, second = bend(dart.first), bend(dart.second)
    return replace(dart, first=first, second=second, point=bend(dart.point), intake=abs(second - first))


def _pleat_bent(pleat: Pleat, bend: Bend) -> Pleat:
    return replace(pleat, moves=tuple((_bent(a, bend), _bent(b, bend)) for a, b in pleat.moves))
