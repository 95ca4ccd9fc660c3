"""placket: a slit bound all round with one straight strip, which is turned under on one side and stands out on the other."""

from __future__ import annotations

from booklet.sewing.checks_placket import cut_size
from booklet.sewing.operations.base import (
    BOUND,
    LOCKSTITCH,
    SINGLE_PLY,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import piece_names
from booklet.sewing.operations.openings import Slit, slit_facts, slit_named

# All common practice, no source.
TOPSTITCH_IN = 1.5  # mm from the strip's fold
AT_FOOT = 1.5  # mm of the slit's edge left beside the strip's row at its foot
SHORT_STITCH = 1.5  # mm: the stitch of the row round the slit


def _slit(context: Context) -> Slit | None:
    return slit_named(context, str(context.spec["slit"]))


def _count(context: Context) -> int:
    return len(context.plies(str(context.spec["slit"]).split(".")[0]))


def facts(context: Context) -> Facts:
    slit = _slit(context)
    assert slit is not None  # checked with the recipe
    strips = context.plies(str(context.spec["with"]))
    seam = context.length(context.spec["seam"])
    long, wide = cut_size(strips[0])
    return {
        "slit": slit_facts(slit),
        "count": _count(context),
        "strip": piece_names(strips[:1])[0],
        "seam": seam,
        "long": long,
        "row": slit.stitching,
        "finished": (wide - 2 * seam) / 2,
        "at_foot": AT_FOOT,
        "stitch": SHORT_STITCH,
        "inside": TOPSTITCH_IN,
        "tolerance": context.shop.equal,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    n, row = f["count"], f["row"]
    return (
        Stitching(LOCKSTITCH, row * n, "round the slit", SINGLE_PLY, n),
        Stitching(LOCKSTITCH, 2 * row * n, "strip", BOUND, 2 * n),
        Stitching(LOCKSTITCH, 1.5 * f["finished"] * n, "top of the strip", BOUND, n),
    )


def effort(context: Context) -> Effort:
    f = facts(context)
    return Effort(f["count"], matches=2 * f["count"], iron=2 * f["row"] * f["count"])


OPERATION = Operation("placket", facts, stitching, effort)
