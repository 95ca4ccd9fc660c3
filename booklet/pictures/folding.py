"""Pleats folded flat: where the points of a ply lie when its pleats are closed, for drawings of the finished garment."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from booklet.model import Copy
from booklet.paths import Path, Placement


@dataclass(frozen=True)
class Closing:
    """One fold closed: what lies beyond `away` moves with it onto `stays`, what lies between them is hidden there."""

    stays: tuple[complex, complex]
    away: tuple[complex, complex]
    move: Placement
    side: float  # the sign of the side of both lines that stays where it is

    def apply(self, z: complex) -> complex:
        if _across(self.stays, z) * self.side >= 0:
            return z
        if _across(self.away, z) * self.side < 0:
            return self.move.apply(z)
        a, b = self.stays
        way = (b - a) / abs(b - a)
        return a + way * ((z - a) * way.conjugate()).real


def _across(line: tuple[complex, complex], z: complex) -> float:
    """How far a point lies off a line, to one side or, below 0, to the other."""
    way = (line[1] - line[0]) / abs(line[1] - line[0])
    return ((z - line[0]) * way.conjugate()).imag


def closings(copy: Copy) -> tuple[Closing, ...]:
    """The folds of a ply, outermost first; its middle stays where it is."""
    x0, y0, x1, y1 = copy.outline.bbox
    middle = complex(x0 + x1, y0 + y1) / 2
    out = []
    for pleat in copy.pleats:
        for pair in pleat.moves:
            ends = sorted(((p.start, p.end) for p in pair), key=lambda line: abs(_across(line, middle)))
            stays, away = ends
            turn = (stays[1] - stays[0]) / (away[1] - away[0])
            turn /= abs(turn)
            side = 1.0 if _across(away, middle) >= 0 else -1.0
            out.append(Closing(stays, away, Placement(turn, stays[0] - turn * away[0], False), side))
    return tuple(sorted(out, key=lambda c: -abs(_across(c.away, middle))))


def closed_flat(folds: tuple[Closing, ...]) -> Callable[[complex], complex]:
    """The place of any point when all folds are closed."""

    def place(z: complex) -> complex:
        for fold in folds:
            z = fold.apply(z)
        return z

    return place


def path_closed(path: Path, folds: tuple[Closing, ...]) -> Path:
    """A line with the folds closed, as short straight stretches; what is hidden in a fold is left out."""
    place = closed_flat(folds)
    points = [place(complex(z)) for z in path.flatten(0.2)]
    kept = [points[0], *(b for a, b in zip(points, points[1:], strict=False) if abs(b - a) > 1e-6)]
    return Path.polyline(kept) if len(kept) > 1 else path
