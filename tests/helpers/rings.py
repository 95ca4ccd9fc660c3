"""Measuring outlines with shapely alone, so that the checks do not lean on the code they judge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.model import Copy, Edge, Piece, Run
from booklet.paths import Path

FINE = 0.002  # mm


def polygon(path: Path, tol: float = 0.01) -> shapely.Polygon:
    pts = path.flatten(tol)
    return shapely.Polygon(np.column_stack((pts.real, pts.imag)))


def line(path: Path, tol: float = FINE) -> shapely.LineString:
    pts = path.flatten(tol)
    return shapely.LineString(np.column_stack((pts.real, pts.imag)))


def string(points: Sequence[complex]) -> shapely.LineString:
    return shapely.LineString([(z.real, z.imag) for z in points])


def point(z: complex) -> shapely.Point:
    return shapely.Point(z.real, z.imag)


def length(path: Path) -> float:
    """Sum of fine chords."""
    return float(np.sum(np.abs(np.diff(path.flatten(1e-4)))))


def sewn(edge: Edge, s0: float, s1: float) -> float:
    """Length of a stretch by its chords, what darts fold away left out."""
    stops = [s0]
    for up in edge.take_ups:
        stops += [min(max(up.start, s0), s1), min(max(up.end, s0), s1)]
    stops.append(s1)
    return sum(
        length(edge.path.part(a, b)) for a, b in zip(stops[::2], stops[1::2], strict=True) if b - a > 1e-6
    )


def run_sewn(run: Run, copies: dict[str, Copy]) -> float:
    return sum(
        sewn(copies[p.copy].by_name[p.edge].edge, min(p.start, p.end), max(p.start, p.end)) for p in run.parts
    )


def width_at(piece: Piece, y: float, x0: float = -1e4, x1: float = 1e4) -> float:
    """Width of a piece along a level line, between two uprights, darts not counted out."""
    across = shapely.LineString([(x0, y), (x1, y)])
    return float(polygon(piece.outline, FINE).intersection(across).length)


def corner(piece: Piece, one: str, other: str) -> complex:
    """Where two neighbouring edges meet."""
    edges = {e.name: e.path for e in piece.edges}
    a, b = edges[one], edges[other]
    ends = [(abs(p - q), p) for p in (a.start, a.end) for q in (b.start, b.end)]
    gap, z = min(ends, key=lambda g: g[0])
    assert gap < 1e-6, f"{piece.key}: {one} and {other} lie {gap} mm apart"
    return z


def samples(path: Path, count: int = 41) -> np.ndarray:
    return np.array([path.point(path.length * k / (count - 1)) for k in range(count)])
