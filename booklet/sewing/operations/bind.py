"""bind: a bias binding sewn round a raw edge, its ends turned in, joined, or running on as ties."""

from __future__ import annotations

from booklet.sewing.corners import corners_of
from booklet.sewing.operations.base import (
    BOUND,
    LOCKSTITCH,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.curves import bend_of
from booklet.sewing.operations.names import edge_names, end_words, piece_names
from booklet.sewing.operations.strips import strips_of, width

TOPSTITCH_IN = 1.5  # mm from the open edge of the binding (common practice, no source)
COVERS = 1.0  # mm by which the folded edge passes the first row (common practice, no source)


def facts(context: Context) -> Facts:
    group = context.group("bind")
    seam = group[0]
    plies, binding = strips_of(context, str(context.spec["with"]))
    crease = width(plies[0]) / (4 if binding.kind == "single" else 6)
    return {
        "sides": len(group),
        "binding": piece_names(plies)[0].words,
        "number": plies[0].piece.number,
        "piece": piece_names(context.run_copies(seam.a))[0],
        "edges": edge_names(context, seam.a),
        "double": binding.kind == "double",
        "finished": binding.finished,
        "sew": crease,
        "length": seam.a_mm,
        "ring": is_ring(seam.a),
        "before": binding.before,
        "after": binding.after,
        "runs_on": binding.before > 0 or binding.after > 0,
        "turned_in": binding.turned_in,
        "whole": binding.long - 2 * binding.turned_in,
        "start": end_words(context, seam.a, True),
        "end": end_words(context, seam.a, False),
        "curved": bend_of(context, seam.a).curved,
        "corners": sum(c.inward for c in corners_of(seam.a, context.copies)),
        "inside": TOPSTITCH_IN,
        "covers": COVERS,
        "tolerance": context.shop.equal,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    group, f = context.group("bind"), facts(context)
    return (
        Stitching(
            LOCKSTITCH,
            f["length"] * len(group),
            "seam",
            BOUND,
            len(group),
            "curved" if f["curved"] else "straight",
        ),
        Stitching(LOCKSTITCH, f["whole"] * len(group), "topstitching", BOUND, len(group)),
    )


def effort(context: Context) -> Effort:
    group = context.group("bind")
    return Effort(len(group), matches=2 * len(group), iron=sum(s.a_mm for s in group))


OPERATION = Operation("bind", facts, stitching, effort)
