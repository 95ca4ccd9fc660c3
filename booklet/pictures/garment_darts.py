"""Plies with their darts sewn, as they are seen from before: upright darts closed, those that lie across taken up."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.model import Copy, Dart
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.folding import Closing, darts_closed

REACH = 70.0  # mm above and below a dart that lies across within which a ply is drawn shorter


def shaped(bench: Bench, sewn: Sequence[str]) -> Bench:
    """The bench with the darts of those plies sewn, as they are seen from before."""
    folds = dict(bench.folds)
    for key in sewn:
        copy = bench.copies[key]
        pleats = tuple(f for f in bench.folds.get(key, ()) if isinstance(f, Closing))
        folds[key] = (*darts_closed(copy, _upright(copy), pleats), *_shortenings(copy))
    return replace(bench, folds=folds)


@dataclass(frozen=True)
class Shortening:
    """A dart that lies across, sewn: seen from before, the body's roundness takes up its width all across the ply."""

    point: complex
    down: complex  # unit
    by: float
    reach: float

    def apply(self, z: complex) -> complex:
        far = ((z - self.point) * self.down.conjugate()).real / self.reach
        share = min(max((far + 1) / 2, 0.0), 1.0)
        return z - self.down * self.by * share * share * (3 - 2 * share)


def _upright(copy: Copy) -> tuple[Dart, ...]:
    across = _shortenings(copy)
    return tuple(d for d in copy.darts if all(abs(s.point - d.point) > 1e-6 for s in across))


def _shortenings(copy: Copy) -> tuple[Shortening, ...]:
    """The darts of a ply that lie across it; the middle of each mouth with its point bounds where it is shortened."""
    down = on_grain(copy).inverse.direction(1j)
    out = []
    for dart in copy.darts:
        way = (dart.first + dart.second) / 2 - dart.point
        if abs((way * down.conjugate()).real) < 0.6 * abs(way):
            out.append(Shortening(dart.point, down, dart.intake, REACH))
    return tuple(out)
