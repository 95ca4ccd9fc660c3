"""The mouth of a pocket in a seam: where it lies on an edge, and the dots at its ends."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.places import drawn_at, edge_of
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark


def mouth_on(asked: Asked, shape: Shape) -> tuple[Run, float, float]:
    """The edge, and where the mouth begins and ends on it, mm along its way as drawn (the smaller first)."""
    key = asked.words("in")
    run = edge_of(shape, asked.words("edge"), key, asked.where)
    at, mouth = asked.amount("at"), asked.amount("mouth")
    if not (at >= 0 and mouth > 0 and at + mouth <= run.sewn + 1e-6):
        raise asked.fault(
            "pocket-mouth",
            f"a mouth {mouth:.0f} mm long at {at:.0f} mm does not lie within {key}.{run.name}, {run.sewn:.0f} mm long",
            "Set it within the edge.",
        )
    ends = (at, at + mouth) if asked.begins(shape, run, asked.words("from"), key) else (
        run.sewn - at - mouth, run.sewn - at)  # fmt: skip
    return run, drawn_at(run, ends[0]), drawn_at(run, ends[1])


def mouth_marks(asked: Asked, shape: Shape) -> Shape:
    """The shape that a pocket is set in, with a dot at both ends of the mouth, named from above: `_top` and `_foot`."""
    run, s0, s1 = mouth_on(asked, shape)
    name = asked.words("name", "pocket")
    a, b = (s0, s1) if run.path.point(s1).imag >= run.path.point(s0).imag else (s1, s0)
    marks = [m for m in run.marks if m.name not in (f"{name}_top", f"{name}_foot")]
    marks += [Mark(f"{name}_top", "dot", a), Mark(f"{name}_foot", "dot", b)]
    return shape.with_run(replace(run, marks=tuple(sorted(marks, key=lambda m: m.at))))
