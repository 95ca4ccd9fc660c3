"""Edges moved outwards by their allowance, as fine polylines with straight run-outs at both ends."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.paths import Path

FLAT = 0.01  # mm: how far a chord may lie off its curve
KINK = math.radians(4)  # a turn sharper than this inside an edge is a corner


@dataclass(frozen=True)
class Moved:
    """One smooth stretch of an edge, moved out by `allow`. `points[1:-1]` is the run; the first and last points run out
    straight beyond it. `net` is the stretch itself."""

    edge: str
    net: Path
    allow: float
    points: np.ndarray

    @property
    def run(self) -> np.ndarray:
        return self.points[1:-1]


def smooth_stretches(path: Path) -> list[Path]:
    """An edge divided at its inner corners (the ends of a dart's cap)."""
    out: list[list[tuple[complex, ...]]] = [[path.segments[0]]]
    for before, after in zip(path.segments, path.segments[1:], strict=False):
        a, b = Path((before,)).end_tangent, Path((after,)).start_tangent
        turn = b / a
        if abs(math.atan2(turn.imag, turn.real)) > KINK:
            out.append([after])
        else:
            out[-1].append(after)
    return [Path(tuple(s)) for s in out]


def move_out(edge: str, net: Path, allow: float, reach: float) -> Moved:
    """The stretch moved to the left of its way (outwards, for a clockwise ring) by `allow` mm.

    Inner vertices move along their mitre, so that each chord keeps the distance exactly.
    """
    pts = net.flatten(FLAT)
    keep = np.concatenate(([True], np.abs(np.diff(pts)) > 1e-7))
    pts = pts[keep]
    way = np.diff(pts)
    way = way / np.abs(way)
    normal = way * -1j
    first, last = net.start_tangent, net.end_tangent
    moved = np.empty(len(pts), dtype=complex)
    moved[0] = pts[0] + first * -1j * allow
    moved[-1] = pts[-1] + last * -1j * allow
    if len(pts) > 2:
        total = normal[:-1] + normal[1:]
        dot = (normal[:-1] * np.conj(normal[1:])).real
        moved[1:-1] = pts[1:-1] + total / (1 + dot) * allow
    points = np.concatenate(([moved[0] - first * reach], moved, [moved[-1] + last * reach]))
    return Moved(edge, net, allow, points)


def line_string(points: np.ndarray) -> shapely.LineString:
    return shapely.LineString(np.column_stack((points.real, points.imag)))


def meeting_points(a: np.ndarray, b: np.ndarray) -> list[complex]:
    """Where two polylines meet."""
    met = line_string(a).intersection(line_string(b))
    out: list[complex] = []
    for part in getattr(met, "geoms", [met]):
        if part.is_empty:
            continue
        out += [complex(x, y) for x, y in part.coords]
    return out


def position(points: np.ndarray, z: complex) -> float:
    """Arc length along a polyline at the place nearest to z."""
    return float(line_string(points).project(shapely.Point(z.real, z.imag)))


def between(points: np.ndarray, s0: float, s1: float) -> np.ndarray:
    """The stretch of a polyline between two arc lengths, ends included."""
    steps = np.concatenate(([0.0], np.cumsum(np.abs(np.diff(points)))))
    inner = points[(steps > s0 + 1e-9) & (steps < s1 - 1e-9)]
    at = np.interp([s0, s1], steps, points.real) + 1j * np.interp([s0, s1], steps, points.imag)
    return np.concatenate((at[:1], inner, at[1:]))
