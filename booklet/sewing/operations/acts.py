"""The acts of `then:` with their numbers, in the order written: what is asked and what the seam's own shape allows."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.corners import corners_of
from booklet.sewing.operations.base import Context, Facts
from booklet.sewing.operations.curves import bend_of

# An allowance a little under the grading width may still have one layer trimmed (common practice, no source).
NEARLY = 0.9
LAYERS_APART = 3.0  # mm between the edges of graded layers (common practice, no source)
ALL_ALONG = 0.6  # share of a seam that must curve one way for its cuts to be told without a place
CORNER_SHORT = 1.0  # mm from the stitching to the end of a cut into a corner (common practice, no source)
TOPSTITCH_IN = 2.0  # mm from the seam (common practice, no source)


def act_facts(context: Context, seam: Seam) -> list[Facts]:
    """One mapping an act: `act` and its numbers. An act that the allowance or the line makes pointless is left out.

    `trim` and `grade` need an allowance near the grading width. `clip` and `notch` follow the line: clips where it
    curves inwards, wedges where it curves outwards, nothing where it is straight.
    """
    shop = context.shop.trim
    allow = seam.allow_a if seam.allow_b is None else min(seam.allow_a, seam.allow_b)
    bend = bend_of(context, seam.a)
    if not bend.curved and seam.b is not None:  # a straight collar on a round neckline
        bend = bend_of(context, seam.b)
    stayed = context.shop.stitch["staystitch in"] if _staystitched(context, seam) else 0.0
    out: list[Facts] = []
    for act in context.acts:
        if act in ("trim", "grade"):
            if any(f["act"] == "trim" for f in out) or allow < NEARLY * shop["grade from"]:
                continue
            grade = allow >= shop["grade from"] - 0.05 and seam.b is not None and seam.kind == "face"
            wider = shop["trim to"] + LAYERS_APART if grade else None
            out.append({"act": "trim", "to": shop["trim to"], "wider": wider})
            if points := _points(context, seam):
                out.append({"act": "cut corner", "count": points})
        elif act in ("clip", "notch"):
            cuts = (("clip", bend.clips), ("notch", bend.notches))
            done = [f["act"] for f in out]
            all_along = max(bend.inward, bend.outward) > ALL_ALONG * seam.a_mm
            out += [
                {
                    "act": name,
                    "every": shop["clip every"],
                    "short": max(shop["clip short of"], stayed),
                    "stayed": name == "clip" and stayed > 0,
                    "all_along": all_along,
                }
                for name, needed in cuts
                if needed and name not in done
            ]
            sharp = sum(c.inward for c in corners_of(seam.a, context.copies)) if seam.kind == "face" else 0
            if act == "clip" and sharp:
                out.append({"act": "clip corner", "count": sharp, "short": CORNER_SHORT})
        elif act == "understitch":
            out.append({"act": act, "inside": context.shop.stitch["understitch in"]})
        elif act == "topstitch":
            out.append({"act": act, "inside": TOPSTITCH_IN})
        else:
            out.append({"act": act})
    return out


def _points(context: Context, seam: Seam) -> int:
    """How many corners of a faced edge stand out, so that allowances would lie doubled in them."""
    return sum(not c.inward for c in corners_of(seam.a, context.copies)) if seam.kind == "face" else 0


def _staystitched(context: Context, seam: Seam) -> bool:
    """Whether a row of staystitching lies in an allowance of the seam: it is not cut through."""
    runs = (seam.a, seam.b) if seam.b is not None else (seam.a,)
    return any(
        context.treated(p.copy, p.edge, context.earlier, "staystitch") is not None
        for run in runs
        for p in run.parts
    )


_KIND = {"clip corner": "clip", "cut corner": "trim"}


def act_names(facts: list[Facts]) -> tuple[str, ...]:
    """As the shop counts their minutes: what is cut at corners goes with clips and with trimming."""
    return tuple(_KIND.get(str(f["act"]), str(f["act"])) for f in facts)
