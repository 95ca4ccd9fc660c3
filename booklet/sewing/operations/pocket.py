"""pocket: a patch pocket hemmed at its mouth, its other edges pressed under, and topstitched on its place."""

from __future__ import annotations

from booklet.sewing.checks_applied import place_of
from booklet.sewing.operations.base import (
    APPLIED,
    EDGE_FINISH,
    LOCKSTITCH,
    ZIGZAG,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.hem import depth
from booklet.sewing.operations.names import edge_names, edge_words, piece_names

# All common practice, no source.
STITCH_IN = 2.0  # mm from the folded edge
BAR_TACK = 10.0  # mm long
TOLERANCE = 3.0  # mm: how far the two sides of a pocket may differ


def facts(context: Context) -> Facts:
    mouth, sewn = context.group("hem")[0], context.groups("patch")
    first = sewn[0][0]
    copies = tuple(c for s in sewn[0] for c in context.run_copies(s.a))
    found = place_of(context.copies, str(context.spec["on"]))
    under = piece_names([found[0]]) if found else ()
    parts = int(context.spec.get("parts", 1))
    deep = depth(mouth)
    double = mouth.neaten == "double"
    return {
        "pocket": piece_names(copies)[0],
        "count": len(sewn[0]),
        "under": under[0] if under else piece_names(copies)[0],
        "mouth": edge_words(context.half(mouth.a.parts[0])),
        "double": double,
        "depth": deep,
        "hem_in": deep - min(2.0 if double else 3.0, 0.2 * deep),
        "wide": mouth.a_mm,
        "edges": edge_names(context, first.a),
        "allow": first.allow_a,
        "length": first.a_mm,
        "inside": STITCH_IN,
        "tack": BAR_TACK,
        "parts": parts,
        "part_wide": mouth.a_mm / parts,
        "divided": _down(context),
        "tolerance": TOLERANCE,
    }


def _down(context: Context) -> float:
    """How long a dividing row is: from the mouth straight down to the foot, by the pocket's own box, mm."""
    mouth = context.half(context.group("hem")[0].a.parts[0]).edge.path
    copy = context.run_copies(context.group("hem")[0].a)[0]
    middle = mouth.point(mouth.length / 2)
    way = mouth.tangent(mouth.length / 2)
    return max(abs(((h.edge.path.start - middle) * way.conjugate()).imag) for h in copy.edges)


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    n, rows = f["count"], f["parts"] - 1
    out = [
        Stitching(LOCKSTITCH, f["wide"] * n, "hem", EDGE_FINISH, n),
        Stitching(LOCKSTITCH, f["length"] * n, "topstitching", APPLIED, n),
        # A narrow zigzag takes about three times its length in stitching (common practice, no source).
        Stitching(ZIGZAG, 3 * BAR_TACK * (2 + rows) * n, "bar tacks", APPLIED, (2 + rows) * n),
    ]
    if rows:
        out.append(Stitching(LOCKSTITCH, f["divided"] * rows * n, "dividing rows", APPLIED, rows * n))
    return tuple(out)


def effort(context: Context) -> Effort:
    f = facts(context)
    return Effort(f["count"], matches=4 * f["count"], iron=(f["length"] + 2 * f["wide"]) * f["count"])


OPERATION = Operation("pocket", facts, stitching, effort)
