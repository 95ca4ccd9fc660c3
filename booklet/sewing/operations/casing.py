"""casing: an edge turned twice to make a channel, and elastic drawn through it."""

from __future__ import annotations

from booklet.model import FoldLine, Seam
from booklet.sewing.elastic import elastic_of
from booklet.sewing.operations.base import (
    EDGE_FINISH,
    LOCKSTITCH,
    SINGLE_PLY,
    ZIGZAG,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.names import edge_words, piece_names, seam_words

# Common practice, no source.
STITCH_IN = 2.0  # mm from the inner fold
TOLERANCE = 2.0


def _line(context: Context, seam: Seam) -> FoldLine | None:
    """The fold line that `along:` names, on the first copy."""
    name = str(context.spec.get("along", "")).split(".")[-1]
    copy = context.copies[seam.a.parts[0].copy]
    return next((f for f in copy.fold_lines if f.name == name), None)


def casing_depth(context: Context, seam: Seam) -> float:
    """From the edge to the casing line, mm; where there is no line, the allowance less a quarter turned under."""
    line = _line(context, seam)
    if line is None:
        return seam.allow_a * 0.75
    path = context.half(seam.a.parts[0]).edge.path
    middle = line.path.point(line.path.length / 2)
    return abs(path.point(path.nearest(middle)) - middle)


def facts(context: Context) -> Facts:
    group = context.group("casing")
    seam = group[0]
    first = seam.a.parts[0]
    deep = casing_depth(context, seam)
    line = _line(context, seam)
    elastic = elastic_of(context.step, context.draft)
    gap = context.length(context.spec.get("gap", 0))
    one = line is not None and len(seam.a.parts) == 1
    round_it = line.path.length if one and line is not None else seam.a_mm
    return {
        "sides": len(group),
        "pieces": piece_names(c for s in group for c in context.run_copies(s.a)),
        "edge": edge_words(context.half(first)),
        "ring": is_ring(seam.a),
        "seam": seam_words(context, first, True),
        "turn_under": max(seam.allow_a - deep, 0.0),
        "depth": deep,
        "sew": deep - STITCH_IN,
        "inside": STITCH_IN,
        "round": round_it,
        "sewn": round_it - gap,
        "gap": gap,
        "wide": elastic.wide,
        "clear": deep - STITCH_IN - elastic.wide,
        "fits": context.tongue.words.name(f"body.{elastic.fits}", elastic.fits.replace("_girth", "")),
        "body": elastic.body,
        "less": elastic.less,
        "less_mm": elastic.less_mm,
        "overlap": elastic.overlap,
        "cut": elastic.cut,
        "relaxed": elastic.relaxed,
        "tolerance": TOLERANCE,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("casing")
    f = facts(context)
    n = len(group)
    return (
        Stitching(LOCKSTITCH, f["round"] * n, "casing", EDGE_FINISH, 2 * n),
        Stitching(ZIGZAG, 3 * f["wide"] * n, "elastic ends", SINGLE_PLY, n),
    )


def effort(context: Context) -> Effort:
    group = context.group("casing")
    return Effort(len(group), acts=("press",) * len(group), iron=2 * sum(s.a_mm for s in group))


OPERATION = Operation("casing", facts, stitching, effort)
