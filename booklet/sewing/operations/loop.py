"""loop: a narrow folded strip, basted where a seam will catch it."""

from __future__ import annotations

from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SINGLE_PLY,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.openings import slit_facts, slit_named

# Common practice, no source.
PLIES = 4  # a strip folded to the middle and again is a quarter of its width
BELOW = 5.0  # mm between the edge's stitch line and the loop


def facts(context: Context) -> Facts:
    spec = context.spec
    slit = slit_named(context, str(spec["at"]))
    long, wide = context.length(spec["long"]), context.length(spec["wide"])
    inside = slit.opening.mouth / 2 if slit else 0.0
    return {
        "cloth": context.cloth(str(spec["of"])),
        "long": long,
        "wide": wide,
        "strip": PLIES * wide,
        "side": str(spec["side"]),
        "slit": slit_facts(slit) if slit else None,
        "below": BELOW,
        # folded double, from the stitch line outwards
        "stands": long / 2 - inside,
        "ends": inside,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    long, wide = context.length(context.spec["long"]), context.length(context.spec["wide"])
    return (Stitching(LOCKSTITCH, long + 2 * wide, "loop", SINGLE_PLY, 2),)


def effort(context: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("loop", facts, stitching, effort)
