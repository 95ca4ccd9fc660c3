"""finish: a raw edge neatened on its own."""

from __future__ import annotations

from booklet.sewing.operations.base import (
    EDGE_FINISH,
    OVEREDGE,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import called_together, edge_names, piece_names


def facts(context: Context) -> Facts:
    groups = context.groups("finish")
    seams = [s for g in groups for s in g]
    copies = tuple({c.id: c for s in seams for c in context.run_copies(s.a)}.values())
    joined = len(copies) > 1 and {c.id for c in copies} <= context.connected(copies[:1])
    return {
        "pieces": called_together(copies),
        "each": piece_names(copies),
        "edges": tuple(dict.fromkeys(e for g in groups for e in edge_names(context, g[0].a))),
        "count": 1 if joined else len(seams),  # runs that are neatened one by one
        "joined": joined,
        "length": sum(s.a_mm for s in seams),
        "on_line": all(s.allow_a < 0.05 for s in seams),
        "allow": seams[0].allow_a,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = [s for g in context.groups("finish") for s in g]
    return (
        Stitching(OVEREDGE, sum(s.a_mm for s in seams), "neatening", EDGE_FINISH, len(seams), "neatening"),
    )


def effort(context: Context) -> Effort:
    return Effort(sum(len(g) for g in context.groups("finish")))


OPERATION = Operation("finish", facts, stitching, effort)
