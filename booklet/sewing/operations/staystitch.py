"""staystitch: a row through one layer, inside the allowance, so that a curve keeps its length."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    ORNAMENTAL,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import edge_names, end_words, piece_names


def _groups(context: Context) -> tuple[tuple[Seam, ...], ...]:
    return context.groups("staystitch")


def facts(context: Context) -> Facts:
    groups = _groups(context)
    inside = context.shop.stitch["staystitch in"]
    rows: list[Facts] = []
    for group in groups:
        seam = group[0]
        copies = [c for s in group for c in context.run_copies(s.a)]
        rows.append(
            {
                "pieces": piece_names(copies),
                "length": seam.a_mm,
                "edges": edge_names(context, seam.a),
                "from_edge": max(seam.allow_a - inside, 0.0),
                "start": end_words(context, seam.a, True),
                "end": end_words(context, seam.a, False),
                "to_centre": any(
                    m.name == "centre" for p in seam.a.parts for m in context.half(p).edge.marks
                ),
            }
        )
    depths = list(dict.fromkeys(round(r["from_edge"], 3) for r in rows))
    return {
        "rows": rows,
        "edges": tuple(dict.fromkeys(e for r in rows for e in r["edges"])),
        "pieces": tuple(n for r in rows for n in r["pieces"]),
        "inside": inside,
        "depths": depths,
        "to_centre": all(r["to_centre"] and r["start"] == r["end"] for r in rows),
        "start": rows[0]["start"],
        "end": rows[0]["end"],
        "stitch": context.shop.stitch["plain"],
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = [s for g in _groups(context) for s in g]
    rows = sum(
        2 if any(m.name == "centre" for p in s.a.parts for m in context.half(p).edge.marks) else 1
        for s in seams
    )
    return (Stitching(LOCKSTITCH, sum(s.a_mm for s in seams), "staystitching", ORNAMENTAL, rows, "curved"),)


def effort(context: Context) -> Effort:
    return Effort(sum(len(g) for g in _groups(context)))


OPERATION = Operation("staystitch", facts, stitching, effort)
