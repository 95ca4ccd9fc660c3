"""button: a button sewn on by hand where its loop reaches."""

from __future__ import annotations

from booklet.sewing.operations.base import HAND, ORNAMENTAL, Context, Effort, Facts, Operation, Stitching
from booklet.sewing.operations.openings import slit_facts, slit_named

# Common practice, no source.
PASSES = 4
HAND_THREAD = 120.0  # mm of hand stitching that four passes, the shank and the knots come to


def _loop(context: Context) -> dict | None:
    for step in context.steps:
        if step.verb == "loop" and str(step.spec.get("at")) == str(context.spec["at"]):
            return step.spec
    return None


def facts(context: Context) -> Facts:
    slit = slit_named(context, str(context.spec["at"]))
    loop = _loop(context)
    return {
        "side": str(context.spec["side"]),
        "slit": slit_facts(slit) if slit else None,
        "loop": loop is not None,
        "shank": context.length(loop["wide"]) if loop else 0.0,
        "passes": PASSES,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    return (Stitching(HAND, HAND_THREAD, "button", ORNAMENTAL, 1, "hand"),)


def effort(context: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("button", facts, stitching, effort)
