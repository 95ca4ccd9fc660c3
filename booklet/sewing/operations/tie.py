"""tie: a strip folded lengthwise, sewn along and across its tip, and turned."""

from __future__ import annotations

from booklet.model import Copy, Seam
from booklet.sewing.operations.acts import act_facts, act_names
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import Name, called_together, piece_names


def _rows(context: Context) -> list[tuple[Copy, Seam, Seam | None]]:
    """For each tie: its ply, its long seam and the closing of its tip; a strap that is open at both ends has none."""
    long = [s for g in context.groups("join") for s in g]
    tips = {s.a.parts[0].copy: s for g in context.groups("close") for s in g}
    return [(context.copies[s.a.parts[0].copy], s, tips.get(s.a.parts[0].copy)) for s in long]


def _across(context: Context, seam: Seam, tip: Seam | None) -> float:
    """The finished width: half of an end, which is folded lengthwise."""
    return (tip.a_mm if tip else context.beyond(seam.a.parts[0], True).edge.length) / 2


def _joined_to(context: Context, copy: Copy) -> Name | None:
    """The piece that the tie's other end is already sewn to."""
    for half in copy.edges:
        met = context.treated(copy.id, half.name, context.earlier, "join")
        if met is not None and met.b is not None:
            others = [c for c in (*context.run_copies(met.a), *context.run_copies(met.b)) if c.id != copy.id]
            return piece_names(others)[0] if others else None
    return None


def facts(context: Context) -> Facts:
    rows = _rows(context)
    copies = [c for c, _, _ in rows]
    return {
        "pieces": called_together(context, copies),
        "each": piece_names(copies),
        "count": len(rows),
        "allow": rows[0][1].allow_a,
        "rows": [
            {
                "piece": piece_names([c])[0],
                "length": seam.a_mm,
                "wide": _across(context, seam, tip),
                "sewn": seam.a_mm + (tip.a_mm / 2 if tip else 0.0),
            }
            for c, seam, tip in rows
        ],
        "wide": _across(context, *rows[0][1:]),
        "tip": rows[0][2] is not None,
        "joined_to": _joined_to(context, copies[0]),
        "acts": act_facts(context, rows[0][1]),
        "tolerance": context.shop.equal,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    rows = _rows(context)
    length = sum(seam.a_mm + (tip.a_mm / 2 if tip else 0.0) for _, seam, tip in rows)
    return (Stitching(LOCKSTITCH, length, "seam", SUPERIMPOSED, len(rows)),)


def effort(context: Context) -> Effort:
    rows = _rows(context)
    acts = act_names(act_facts(context, rows[0][1]))
    return Effort(len(rows), len(rows), acts * len(rows), iron=sum(s.a_mm for _, s, _ in rows))


OPERATION = Operation("tie", facts, stitching, effort)
