"""placket: a slit bound all round with one straight strip, which is turned under on one side and stands out on the other."""

from __future__ import annotations

from dataclasses import replace

from booklet.model import Part
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
    facts_of_slit = slit_facts(slit)
    return {
        "slit": facts_of_slit,
        "count": _count(context),
        "strip": piece_names(strips[:1])[0],
        "seam": seam,
        "from_cut": facts_of_slit["depth"] + facts_of_slit["allow"],
        "long": long,
        "row": slit.stitching + 2 * facts_of_slit["allow"],  # from cut edge to cut edge, as the strip
        "finished": (wide - 2 * seam) / 2,
        "at_foot": AT_FOOT,
        "stitch": SHORT_STITCH,
        "inside": TOPSTITCH_IN,
        "tolerance": context.shop.equal,
    }


def bound_slit(context: Context, part: Part, at_start: bool) -> Facts | None:
    """The slit at which a part begins or ends, where an earlier step has bound it: its name, how far beside its line
    the strip's seam lies at the edge, the strip's name, and how far the strip stands out (mm)."""
    copy = context.copies[part.copy]
    foot = context.half(part).edge.path.point(part.start if at_start else part.end)
    found = {f"{copy.piece.name}.{o.name}" for o in copy.openings if abs(o.at - foot) < 0.5}
    for step in context.steps:
        if step.id == context.step.id:
            break
        if step.verb == "placket" and str(step.spec["slit"]) in found:
            bound = facts(replace(context, step=step))
            slit = bound["slit"]
            return {
                "name": slit["name"], "beside": slit["beside"], "strip": bound["strip"], "out": bound["finished"],
            }  # fmt: skip
    return None


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
