"""gather: rows of long stitches, drawn up to a length."""

from __future__ import annotations

from booklet.model import Mark, Seam
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    ORNAMENTAL,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.names import Name, edge_words, end_words, mark_words, piece_names, seam_words
from booklet.sewing.operations.placket import bound_slit

# All common practice, no source.
CLEAR = 2.0  # mm that the last row keeps from the stitch line, inside the allowance
APART = 4.0  # mm between rows
NEAR_EDGE = 3.0  # mm that the first row keeps from the cut edge
LEAST_APART = 2.0
ASTRIDE = 3.0  # mm on each side of the stitch line where an allowance is too narrow for the rows
TAIL = 80.0  # mm of thread left at each end


def row_depths(allow: float, rows: int) -> tuple[tuple[float, ...], bool]:
    """Distances of the rows from the cut edge, mm, and whether one lies outside the allowance and is pulled out later.

    Rows keep inside the allowance, the last one 2 mm short of the stitch line; where it is too narrow for that, they
    lie astride the stitch line.
    """
    last = allow - CLEAR
    first = max(NEAR_EDGE, last - APART * (rows - 1))
    if rows == 1 and last >= NEAR_EDGE:
        return (last,), False
    if rows > 1 and (last - first) / (rows - 1) >= LEAST_APART:
        return tuple(first + (last - first) * k / (rows - 1) for k in range(rows)), False
    middle = (rows - 1) / 2
    depths = tuple(max(allow + (k - middle) * 2 * ASTRIDE, 1.0) for k in range(max(rows, 2)))
    return depths, depths[-1] > allow


def drawn_up(context: Context, seam: Seam) -> float:
    """The length to which the run is drawn up, mm."""
    ids = {(p.copy, p.edge) for p in seam.a.parts}
    return seam.a_mm - sum(
        d.by for d in context.drawn if d.step == context.step.id and (d.copy, d.edge) in ids
    )


def facts(context: Context) -> Facts:
    return drawn_facts(context, "gather", 2)


def drawn_facts(context: Context, kind: str, usual: int) -> Facts:
    """The figures of a run drawn up on rows, as many as `usual` where the recipe does not say."""
    group = context.group(kind)
    seam = group[0]
    rows = int(context.spec.get("rows", usual))
    depths, outside = row_depths(seam.allow_a, rows)
    first = seam.a.parts[0]
    copies = [c for s in group for c in context.run_copies(s.a)]
    ring = is_ring(seam.a)
    slits = [bound_slit(context, *end) for end in ((first, True), (seam.a.parts[-1], False))]
    return {
        "sides": len(group),
        "pieces": piece_names(copies),
        "edge": edge_words(context.half(first)),
        "rows": len(depths),
        "depths": depths,
        "outside": outside,
        "allow": seam.allow_a,
        "stitch": context.shop.stitch["gathering"],
        "tail": TAIL,
        "ring": ring,
        "start": end_words(context, seam.a, True),
        "end": end_words(context, seam.a, False),
        "seam": seam_words(context, first, True) if ring else "",
        "between": [mark_words(m, context.tongue) for m in _inner_marks(context, seam)],
        "flat": seam.a_mm - sum(s["beside"] for s in slits if s),
        "slit": slits[0] if slits[0] == slits[1] else None,
        "drawn": drawn_up(context, seam),
        "partner": _partner(context, seam),
    }


def _inner_marks(context: Context, seam: Seam) -> list[Mark]:
    """Marks between the ends of the rows: they keep their place when the gathers are spread."""
    out: list[Mark] = []
    for p in seam.a.parts:
        low, high = sorted((p.start, p.end))
        out += [m for m in context.half(p).edge.marks if m.match and low + 0.05 < m.at < high - 0.05]
    return out


def _partner(context: Context, seam: Seam) -> tuple[str, Name | None] | None:
    """The edge that the gathered one will meet, and its piece where it is of one piece alone."""
    for p in seam.a.parts:
        met = context.treated(p.copy, p.edge, context.later, "join", "band", "face")
        if met is None or met.b is None:
            continue
        mine = {(q.copy, q.edge) for q in met.a.parts}
        other = met.b if (p.copy, p.edge) in mine else met.a
        names = piece_names(context.run_copies(other))
        return edge_words(context.half(other.parts[0])), names[0] if len(names) == 1 else None
    return None


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("gather")
    rows = len(row_depths(group[0].allow_a, int(context.spec.get("rows", 2)))[0])
    length = rows * sum(s.a_mm for s in group)
    return (Stitching(LOCKSTITCH, length, "gathering", ORNAMENTAL, rows * len(group)),)


def effort(context: Context) -> Effort:
    return Effort(len(context.group("gather")))


OPERATION = Operation("gather", facts, stitching, effort)
