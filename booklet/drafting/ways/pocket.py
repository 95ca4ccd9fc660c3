"""`pocket:` the bag of a pocket in a seam, and the dots on that seam between which it opens."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.mouths import mouth_on
from booklet.drafting.places import sewn_at
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark
from booklet.paths import Path, Placement
from booklet.splines import smooth_curve

LEAST_DEEPER = 40.0  # mm that a bag reaches below its mouth, so that it holds anything
NARROWEST = 60.0  # mm


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
        bag(mouth, deep, wide),
        parent.drawn_for,
        derived=("mouth",),
        grain=(complex(wide * 0.5, deep * 0.75), complex(wide * 0.5, deep * 0.3)),
    )
    down = run.path.point(s1).imag >= run.path.point(s0).imag
    made = made if down else made.placed(Placement.mirror(0j, 1j))
    inner = [
        replace(m, at=sewn_at(run, s1) - sewn_at(run, m.at)) for m in run.marks if s0 + 1 < m.at < s1 - 1
    ]
    return made.with_run(replace(made.run("mouth"), marks=tuple(reversed(inner))))
