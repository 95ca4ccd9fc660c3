"""Copies that hang together laid edge to edge, and points at sewn distances along a run."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench

NEAR = 90.0  # mm from the joint of two parts within which their copies are made to meet, where their seam is unlike


def chain_beside(bench: Bench, run: Run, seams: Sequence[Seam], start: Placement) -> dict[str, Placement]:
    """The copies of a run laid edge to edge, each against the one before, by the seams sewn between them."""
    at = {run.parts[0].copy: start}
    for before, part in zip(run.parts, run.parts[1:], strict=False):
        if part.copy in at:
            continue
        mutual = [
            s
            for s in seams
            if s.b is not None and {before.copy, part.copy} <= {p.copy for p in (*s.a.parts, *s.b.parts)}
        ]
        near = nearest_side(bench, mutual, before)
        about = bench.part_path(before).end, NEAR
        laid = bench.lay(part.copy, before.copy, at[before.copy], near, face_to_face=False, about=about)
        if laid is not None:
            at[part.copy] = laid
    return at


def nearest_side(bench: Bench, seams: Sequence[Seam], before: Part) -> list[Seam]:
    """Of the seams between two copies, the one that ends where the two parts meet."""
    joint = bench.part_path(before).end

    def gap(seam: Seam) -> float:
        points = [
            z
            for c, z in (*bench.sewn_points(seam.a, 9), *(bench.sewn_points(seam.b, 9) if seam.b else []))
            if c == before.copy
        ]
        return min((abs(z - joint) for z in points), default=1e9)

    return sorted(seams, key=gap)[:1]


def at_sewn(bench: Bench, run: Run, sewn: float) -> tuple[str, complex]:
    for n, part in enumerate(run.parts):
        size = bench.half(part).edge.sewn(*sorted((part.start, part.end)))
        if sewn <= size + 1e-6 or n == len(run.parts) - 1:
            return part.copy, bench.point_at(part, min(sewn, size))
        sewn -= size
    raise ValueError("an empty run has no points")


def stops_along(path: Path, count: int) -> list[float]:
    return [path.length * k / (count - 1) for k in range(count)]
