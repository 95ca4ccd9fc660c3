"""baste: a long-stitched row that holds plies till they are sewn."""

from __future__ import annotations

from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import edge_names, piece_names


def facts(context: Context) -> Facts:
    groups = context.groups("baste")
    return {
        "rows": [
            {
                "pieces": piece_names(c for s in g for c in context.run_copies(s.a)),
                "edges": edge_names(context, g[0].a),
                "from_edge": g[0].allow_a / 2,
                "length": g[0].a_mm,
                "sides": len(g),
            }
            for g in groups
        ],
        "stitch": context.shop.stitch["gathering"],
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = [s for g in context.groups("baste") for s in g]
    return (Stitching(LOCKSTITCH, sum(s.a_mm for s in seams), "basting", SUPERIMPOSED, len(seams)),)


def effort(context: Context) -> Effort:
    return Effort(sum(len(g) for g in context.groups("baste")))


OPERATION = Operation("baste", facts, stitching, effort)
