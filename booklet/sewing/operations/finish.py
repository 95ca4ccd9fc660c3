"""finish: a raw edge neatened on its own."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations.base import (
    EDGE_FINISH,
    OVEREDGE,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.names import called_together, edge_names, piece_names


def facts(context: Context) -> Facts:
    groups = context.groups("finish")
    seams = [s for g in groups for s in g]
    copies = tuple({c.id: c for s in seams for c in context.run_copies(s.a)}.values())
    joined = len(copies) > 1 and {c.id for c in copies} <= context.connected(copies[:1])
    return {
        "pieces": called_together(context, copies),
        "each": piece_names(copies),
        "edges": tuple(dict.fromkeys(e for g in groups for e in edge_names(context, g[0].a))),
        "count": 1 if joined else len(seams),  # runs that are neatened one by one
        "joined": joined,
        "ends": any(_raw_ends(context, s) for s in seams),
        "length": sum(s.a_mm for s in seams),
        "on_line": all(s.allow_a < 0.05 for s in seams),
        "allow": seams[0].allow_a,
    }


def _raw_ends(context: Context, seam: Seam) -> bool:
    """Whether a run ends at a raw edge, not at a seam that was sewn before."""
    if is_ring(seam.a):
        return False
    ends = ((seam.a.parts[0], True), (seam.a.parts[-1], False))
    beyond = ((part.copy, context.beyond(part, at_start).name) for part, at_start in ends)
    return any(context.treated(copy, edge, context.earlier, "join") is None for copy, edge in beyond)


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = [s for g in context.groups("finish") for s in g]
    return (
        Stitching(OVEREDGE, sum(s.a_mm for s in seams), "neatening", EDGE_FINISH, len(seams), "neatening"),
    )


def effort(context: Context) -> Effort:
    return Effort(sum(len(g) for g in context.groups("finish")))


OPERATION = Operation("finish", facts, stitching, effort)
