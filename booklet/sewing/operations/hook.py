"""hook: a hook sewn inside the top of a zip's opening, with its eye or bar across from it."""

from __future__ import annotations

from booklet.sewing.operations.base import HAND, ORNAMENTAL, Context, Effort, Facts, Operation, Stitching
from booklet.sewing.operations.names import Name, edge_words
from booklet.sewing.operations.zip import kind_of, side_names, top_and_foot, zip_at

# Source: Association of Sewing and Design Professionals, Standards of Quality, page 25: 1/8 in from the edge.
BACK = 3.0
# Common practice, no source.
PASSES = 6
HAND_THREAD = 180.0  # mm of hand stitching that a hook and its eye come to


def facts(context: Context) -> Facts:
    found = zip_at(context, context.spec["at"])
    over, under = side_names(context, found[1]) if found else _nowhere(context)
    top = top_and_foot(context, found[1].a)[0] if found else None
    lapped = found is not None and kind_of(found[0]) == "lapped"
    return {
        "over": over,
        "under": under,
        "top": edge_words(top) if top else str(context.tongue.small["top"]),
        "with": context.tongue.said(str(context.spec.get("with", "eye"))),
        "lapped": lapped,
        "back": BACK,
        "passes": PASSES,
    }


def _nowhere(context: Context) -> tuple[Name, Name]:
    """Of a hook without a zip."""
    small = context.tongue.small
    return Name(str(small["overlap"])), Name(str(small["underlap"]))


def stitching(context: Context) -> tuple[Stitching, ...]:
    return (Stitching(HAND, HAND_THREAD, "hook", ORNAMENTAL, 2, "hand"),)


def effort(context: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("hook", facts, stitching, effort)
