"""attach: the raw end of a strap or tie turned in and sewn on with a crossed square."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations.base import (
    APPLIED,
    LOCKSTITCH,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import edge_words, mark_words, piece_names, piece_words

INSIDE = 2.0  # mm from the strap's edges to the square (common practice, no source)


def _ends(context: Context) -> tuple[Seam, ...]:
    """Every end that the step sews on."""
    return tuple(s for g in context.groups("attach") for s in g)


def facts(context: Context) -> Facts:
    group = _ends(context)
    seam = group[0]
    copies = {c.id: c for s in group for c in context.run_copies(s.a)}
    key, _, edge = str(context.spec["to"]).partition(".")
    host = context.plies(key)[0]
    half = next(h for h in host.edges if h.base == edge)
    lap = context.length(context.spec["lap"])
    wide = seam.a_mm / 2  # the end was folded lengthwise
    across, down = wide - 2 * INSIDE, lap - INSIDE
    said = context.tongue.said
    mark = next(m for h in host.edges if h.base == edge for m in h.edge.marks if m.name == context.spec["at"])
    return {
        "strap": piece_names(copies.values())[0],
        "one": piece_words(context.copies[seam.a.parts[0].copy].piece.title),
        "straps": len(copies),
        "ends": len(group) // len(copies),
        "count": len(group),
        "host": piece_names([host])[0],
        "edge": edge_words(half),
        "mark": mark_words(mark, context.tongue) if mark.kind == "dot" else said(mark.name.replace("_", " ")),
        "allow": seam.allow_a,
        "lap": lap,
        "wide": wide,
        "inside": INSIDE,
        "sewn": 2 * (across + down) + 2 * abs(complex(across, down)),
        "tolerance": context.shop.equal,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    return (Stitching(LOCKSTITCH, f["sewn"] * f["count"], "crossed square", APPLIED, f["count"]),)


def effort(context: Context) -> Effort:
    count = len(_ends(context))
    return Effort(count, matches=count, acts=("press",) * count)


OPERATION = Operation("attach", facts, stitching, effort)
