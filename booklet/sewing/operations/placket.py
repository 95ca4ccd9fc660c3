"""placket: a slit bound all round with one straight strip, which is turned under on one side and stands out on the other.

Or with two strips, in placket_two.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from booklet.model import Copy, Half, Opening, Part, Seam
from booklet.sewing.checks_placket import cut_size
from booklet.sewing.operations.base import (
    BOUND,
    LOCKSTITCH,
    SINGLE_PLY,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import edge_words, piece_names
from booklet.sewing.operations.openings import Slit, slit_facts, slit_named
from booklet.sewing.operations.placket_two import two_facts, two_rows

# All common practice, no source.
TOPSTITCH_IN = 1.5  # mm from the strip's fold
AT_FOOT = 1.5  # mm of the slit's edge left beside the strip's row at its foot
SHORT_STITCH = 1.5  # mm: the stitch of the row round the slit


def _slit(context: Context) -> Slit | None:
    return slit_named(context, str(context.spec["slit"]))


def _count(context: Context) -> int:
    return len(context.plies(str(context.spec["slit"]).split(".")[0]))


def facts(context: Context) -> Facts:
    slit = _slit(context)
    assert slit is not None  # checked with the recipe
    if "over" in context.spec:
        return two_facts(context, slit) | {"count": _count(context)}
    strips = context.plies(str(context.spec["with"]))
    seam = context.length(context.spec["seam"])
    long, wide = cut_size(strips[0])
    facts_of_slit = slit_facts(slit)
    return {
        "two": False,
        "slit": facts_of_slit,
        "count": _count(context),
        "strip": piece_names(strips[:1])[0],
        "seam": seam,
        "from_cut": facts_of_slit["depth"] + facts_of_slit["allow"],
        "long": long,
        "row": slit.stitching + 2 * facts_of_slit["allow"],  # from cut edge to cut edge, as the strip
        "finished": (wide - 2 * seam) / 2,
        "at_foot": AT_FOOT,
        "under": edge_words(
            turned_under(slit.copy, slit.opening, (*context.earlier, *context.seams, *context.later))
        ),
        "stitch": SHORT_STITCH,
        "inside": TOPSTITCH_IN,
        "tolerance": context.shop.equal,
    }


def turned_under(copy: Copy, slit: Opening, seams: Sequence[Seam]) -> Half:
    """The edge towards which the strip is turned under: on the side of the slit that laps over the other.

    A band that begins and ends at the slit tells it: what stands out of the band laps under. Without one it is the side
    on which more of the slit's edge lies.
    """
    for seam in seams:
        first, last = seam.a.parts[0], seam.a.parts[-1]
        if seam.kind != "band" or seam.b is None or {first.copy, last.copy} != {copy.id}:
            continue
        path = copy.by_name[first.edge].edge.path, copy.by_name[last.edge].edge.path
        if max(abs(path[0].point(first.start) - slit.at), abs(path[1].point(last.end) - slit.at)) > 0.5:
            continue
        beyond = [s for s in seams if s.step == seam.step and s.kind == "beyond" and s.side == seam.side]
        if beyond:
            band = seam.b.parts[0]
            out_first = any(
                p.edge == band.edge and abs(z - band.start) < 0.05
                for p in beyond[0].a.parts
                for z in (p.start, p.end)
            )
            return _next(copy, last, True) if out_first else _next(copy, first, False)
    half = next(h for h in copy.edges if h.base == slit.edge)
    s = half.edge.path.nearest(slit.at)
    return _next(copy, Part(copy.id, half.name, 0.0, half.edge.length), s > half.edge.length / 2)


def _next(copy: Copy, part: Part, at_start: bool) -> Half:
    """The neighbouring edge at which a part begins or ends."""
    n = next(k for k, h in enumerate(copy.edges) if h.name == part.edge)
    return copy.edges[n - 1] if at_start != part.backwards else copy.edges[(n + 1) % len(copy.edges)]


def bound_slit(context: Context, part: Part, at_start: bool) -> Facts | None:
    """The slit at which a part begins or ends, where an earlier step has bound it: its name, how far beside its line
    the strip's seam lies at the edge, the strip's name, and how far the strip stands out (mm)."""
    copy = context.copies[part.copy]
    foot = context.half(part).edge.path.point(part.start if at_start else part.end)
    found = {f"{copy.piece.name}.{o.name}" for o in copy.openings if abs(o.at - foot) < 0.5}
    for step in context.steps:
        if step.id == context.step.id:
            break
        if step.verb == "placket" and str(step.spec["slit"]) in found:
            bound = facts(replace(context, step=step))
            slit = bound["slit"]
            out = {"name": slit["name"], "beside": slit["beside"], "two": bound["two"]}
            if bound["two"]:
                return out | {k: bound[k] for k in ("over", "under", "finished_over", "finished_under")}
            return out | {"strip": bound["strip"], "out": bound["finished"]}
    return None


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    if f["two"]:
        return two_rows(f)
    n, row = f["count"], f["row"]
    return (
        Stitching(LOCKSTITCH, row * n, "round the slit", SINGLE_PLY, n),
        Stitching(LOCKSTITCH, 2 * row * n, "strip", BOUND, 2 * n),
        Stitching(LOCKSTITCH, 1.5 * f["finished"] * n, "top of the strip", BOUND, n),
    )


def effort(context: Context) -> Effort:
    f = facts(context)
    if f["two"]:
        return Effort(2 * f["count"], matches=2 * f["count"], iron=4 * f["row"] * f["count"])
    return Effort(f["count"], matches=2 * f["count"], iron=2 * f["row"] * f["count"])


OPERATION = Operation("placket", facts, stitching, effort)
