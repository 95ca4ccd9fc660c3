"""A cut line moved inwards by its allowances, edge by edge: the stitching line of a file that has none."""

from __future__ import annotations

import math

import numpy as np

from booklet.drafting.asked import Asked
from booklet.exchange.rings import corners, divided
from booklet.paths import Path

FINE = 0.005  # mm: how far a chord may lie off its curve
ALIKE = math.sin(math.radians(3))  # lines that turn less run on into each other


def inset(lines: list[tuple[str, Path]], amounts: list[float], asked: Asked) -> list[tuple[str, Path]]:
    """Each edge of a clockwise ring moved inwards (tangent times 1j) by its own amount, ended where neighbours cross.

    Raises Fault where two edges run on into each other with unlike amounts, or nothing of an edge is left.
    """
    if not any(amounts):
        return lines
    rows = [
        (n, part, amount)
        for n, ((_, path), amount) in enumerate(zip(lines, amounts, strict=True))
        for part in divided(path, [0, *corners(path, closed=False)])
    ]
    reach = 10 * max(amounts) + 10
    moved = [_moved(part, amount, reach) for _, part, amount in rows]
    meets = [
        _meeting(moved[k], moved[(k + 1) % len(rows)], row, rows[(k + 1) % len(rows)], asked)
        for k, row in enumerate(rows)
    ]
    out: list[list[Path]] = [[] for _ in lines]
    for k, (n, _, _) in enumerate(rows):
        start, end = meets[k - 1], meets[k]
        s0, s1 = moved[k].nearest(start), moved[k].nearest(end)
        if s1 - s0 < 0.1:
            name = lines[n][0]
            raise asked.fault(
                "allowance",
                f"the allowances leave nothing of {name}",
                "Take less off, or check the file's unit.",
            )
        inner = [z for z in moved[k].part(s0, s1).flatten()[1:-1]]
        out[n].append(Path.polyline([start, *inner, end]))
    return [(name, parts[0].joined(*parts[1:])) for (name, _), parts in zip(lines, out, strict=True)]


def _moved(path: Path, amount: float, long: float) -> Path:
    """A stretch without corners moved inwards, and run on straight at both ends for neighbours to cross."""
    points = path.flatten(FINE)
    points = points[np.concatenate(([True], np.abs(np.diff(points)) > 1e-7))]
    ways = np.diff(points) / np.abs(np.diff(points))
    normals = np.concatenate((ways[:1], ways[:-1] + ways[1:], ways[-1:])) * 1j
    normals[1:-1] *= 2 / np.abs(normals[1:-1]) ** 2
    inner = points + normals * amount
    return Path.polyline([inner[0] - ways[0] * long, *inner, inner[-1] + ways[-1] * long])


def _meeting(
    a: Path, b: Path, before: tuple[int, Path, float], after: tuple[int, Path, float], asked: Asked
) -> complex:
    """Where a corner comes to lie."""
    corner, out, into = before[1].end, before[1].end_tangent, after[1].start_tangent
    if abs((into * out.conjugate()).imag) < ALIKE and (into * out.conjugate()).real > 0:
        if abs(before[2] - after[2]) > 1e-6:
            raise asked.fault(
                "allowance",
                f"an edge with {before[2]:.1f} mm allowance runs on without a corner into one with {after[2]:.1f} mm",
                "Give both the same allowance.",
            )
        return corner + (out + into) / abs(out + into) * 1j * before[2]
    met = [z for _, z in a.crossings(b)]
    if not met:
        raise asked.fault(
            "allowance", "two edges no longer meet with their allowances off", "Take less off at that corner."
        )
    return min(met, key=lambda z: abs(z - corner))
