"""`pocket:` the bag of a pocket in a seam, and the dots on that seam between which it opens."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.places import drawn_at, edge_of, sewn_at
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark
from booklet.paths import Path, Placement
from booklet.splines import smooth_curve

LEAST_DEEPER = 40.0  # mm that a bag reaches below its mouth, so that it holds anything
NARROWEST = 60.0  # mm


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


def bag(mouth: float, deep: float, wide: float) -> tuple[Run, ...]:
    """A bag to the right of its mouth, which is walked upwards: `mouth`, and `bag` round to its foot."""
    top, foot = 0j, mouth * 1j
    low = deep - mouth
    round_ = smooth_curve(
        [top, complex(wide * 0.62, deep * 0.10), complex(wide, deep * 0.55), complex(wide * 0.62, deep),
         complex(wide * 0.18, mouth + low * 0.62), foot],
        1 + 0j,
    )  # fmt: skip
    notch = Mark("bag_notch", "single", round_.length * 0.5)
    return (Run("mouth", Path.line(foot, top)), Run("bag", round_, (notch,)))


def from_pocket(asked: Asked) -> Shape:
    """`pocket: {in: PIECE, edge, from, at, mouth, deep, wide, name}`. The bag lies beyond the edge, turned out flat."""
    parent = asked.other(asked.words("in"))
    run, s0, s1 = mouth_on(asked, parent)
    mouth = sewn_at(run, s1) - sewn_at(run, s0)
    deep, wide = asked.amount("deep"), asked.amount("wide")
    if deep < mouth + LEAST_DEEPER or wide < NARROWEST:
        raise asked.fault(
            "pocket-bag",
            f"a bag {deep:.0f} mm deep and {wide:.0f} mm wide is too small for a mouth of {mouth:.0f} mm",
            f"Let it reach {LEAST_DEEPER:.0f} mm below its mouth and be {NARROWEST:.0f} mm wide.",
        )
    # Two edges that are sewn together are walked against each other: here the mouth upwards, its seam downwards.
    made = Shape(
        bag(mouth, deep, wide), parent.drawn_for, derived=("mouth",),
        grain=(complex(wide * 0.5, deep * 0.75), complex(wide * 0.5, deep * 0.3)),
    )  # fmt: skip
    down = run.path.point(s1).imag >= run.path.point(s0).imag
    return made if down else made.placed(Placement.mirror(0j, 1j))


def mouth_marks(asked: Asked, shape: Shape) -> Shape:
    """The shape that a pocket is set in, with a dot at both ends of the mouth, named from above: `_top` and `_foot`."""
    run, s0, s1 = mouth_on(asked, shape)
    name = asked.words("name", "pocket")
    a, b = (s0, s1) if run.path.point(s1).imag >= run.path.point(s0).imag else (s1, s0)
    marks = [m for m in run.marks if m.name not in (f"{name}_top", f"{name}_foot")]
    marks += [Mark(f"{name}_top", "dot", a), Mark(f"{name}_foot", "dot", b)]
    return shape.with_run(replace(run, marks=tuple(sorted(marks, key=lambda m: m.at))))
