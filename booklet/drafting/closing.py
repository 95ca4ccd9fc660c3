"""Edges with their darts and pleats folded out, as a facing, a lining or a partner meets them."""

from __future__ import annotations

import cmath
from dataclasses import replace

from booklet.drafting.places import sewn_at
from booklet.drafting.shape import Run, Shape
from booklet.model import TakeUp
from booklet.paths import Path, Placement


def closed_spine(shape: Shape, edges: list[str]) -> tuple[list[Run], Placement]:
    """Neighbouring edges (clockwise) with every take-up folded out, and the placing of what comes after the last.

    What lies before the first edge stays. A dart is closed by turning the rest about its point, a pleat by moving it.
    """
    placing = Placement.IDENTITY
    out: list[Run] = []
    for name in edges:
        run = shape.run(name)
        parts: list[Path] = []
        at = 0.0
        for up in sorted(run.take_ups, key=lambda t: t.start):
            if up.start - at > 1e-6:
                parts.append(run.path.part(at, up.start).placed(placing))
            placing = folding(shape, run, up).then(placing)
            at = up.end
        if run.path.length - at > 1e-6:
            rest = run.path.part(at, run.path.length) if at > 0 else run.path
            parts.append(rest.placed(placing))
        marks = tuple(replace(m, at=sewn_at(run, m.at)) for m in run.marks)
        out.append(replace(run, path=parts[0].joined(*parts[1:]), marks=marks, take_ups=()))
    return out, placing


def folding(shape: Shape, run: Run, up: TakeUp) -> Placement:
    """What brings the far side of a folded stretch onto its near side."""
    near, far = run.path.point(up.start), run.path.point(up.end)
    dart = next((d for d in shape.darts if d.name == up.name and d.edge == run.name), None)
    if dart is None:
        return _pleat_folding(shape, run, up, near, far)
    return Placement.rotation(cmath.phase((near - dart.point) / (far - dart.point)), dart.point)


def _pleat_folding(shape: Shape, run: Run, up: TakeUp, near: complex, far: complex) -> Placement:
    """A pleat's far line brought onto its near one: moved, and turned where the pleat tapers."""
    for pleat in shape.pleats:
        if pleat.name == up.name and run.name in pleat.sewn:
            for a, b in ((m[k], m[1 - k]) for m in pleat.moves for k in (0, 1)):
                for p, q in ((a, b), (a.reversed(), b.reversed())):
                    if abs(p.start - near) < 0.01 and abs(q.start - far) < 0.01:
                        turn = (p.end - p.start) / (q.end - q.start)
                        turn /= abs(turn)
                        return Placement(turn, near - turn * far)
    return Placement.move(near - far)
