"""hang: a garment hangs for a day, so that cloth on the bias drops as far as it will; then its edge is levelled."""

from __future__ import annotations

from booklet.sewing.operations.base import Context, Effort, Facts, Operation, is_ring, no_stitching
from booklet.sewing.operations.names import called_together, edge_names

HOURS = 24  # the drop is over by then (RetroGlam, hems of circle skirts)
AS_DRAFTED = 3.0  # mm: how far the levelled edge may be off one height (common practice, no source)


def facts(context: Context) -> Facts:
    seams = [s for g in context.groups("hang") for s in g]
    copies = tuple({c.id: c for s in seams for c in context.run_copies(s.a)}.values())
    return {
        "edges": tuple(dict.fromkeys(e for s in seams for e in edge_names(context, s.a))),
        "pieces": called_together(context, copies),
        "ring": is_ring(seams[0].a),
        "hours": HOURS,
        "allow": seams[0].allow_a,
        "tolerance": AS_DRAFTED,
    }


def effort(context: Context) -> Effort:
    return Effort(len(context.groups("hang")))


OPERATION = Operation("hang", facts, no_stitching, effort)
