"""A slit with two strips, as in a shirt's sleeve: the under one binds one edge, the over one laps it, pointed or square.

Both strips have no allowances: their turnings lie within their width, as those of a single strip.
"""

from __future__ import annotations

from booklet.sewing.checks_placket import above_slit, cut_size, finished_width
from booklet.sewing.operations.base import BOUND, LAPPED, LOCKSTITCH, Context, Facts, Stitching
from booklet.sewing.operations.names import piece_names
from booklet.sewing.operations.openings import Slit, slit_facts

INSIDE = 1.5  # mm from a fold to the row beside it (common practice, no source)


def two_facts(context: Context, slit: Slit) -> Facts:
    over, under = (context.plies(str(context.spec[key])) for key in ("over", "under"))
    seam = context.length(context.spec["seam"])
    found = slit_facts(slit)
    wide = finished_width(over[0], seam)
    return {
        "two": True,
        "slit": found,
        "over": piece_names(over[:1])[0],
        "under": piece_names(under[:1])[0],
        "seam": seam,
        "pointed": str(context.spec.get("top", "pointed")) == "pointed",
        "from_cut": found["depth"] + found["allow"],
        "row": found["depth"] + found["allow"],  # from the cut edge to the slit's end
        "finished_over": wide,
        "finished_under": finished_width(under[0], seam),
        "above": above_slit(over[0], slit.copy, slit.opening, seam),
        "point": wide / 2,
        "long_over": cut_size(over[0])[0],
        "inside": INSIDE,
        "tolerance": context.shop.equal,
    }


def two_rows(f: Facts) -> tuple[Stitching, ...]:
    """The rows of `count` plackets, mm: each strip's seam, the under one's fold, and the row round the over one."""
    n, row, wide, above = f["count"], f["row"], f["finished_over"], f["above"]
    head = 2 * ((above - f["point"]) + f["point"] * 2**0.5) if f["pointed"] else 2 * above + wide
    return (
        Stitching(LOCKSTITCH, 2 * row * n, "strips", BOUND, 2 * n),
        Stitching(LOCKSTITCH, row * n, "fold of the under strip", BOUND, n),
        Stitching(LOCKSTITCH, (row + head + wide) * n, "round the over strip", LAPPED, n),
    )
