"""topstitch, edgestitch: rows on the right side along a seam or an edge that is sewn; the edge is not taken up by them."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.model import Seam
from booklet.seams.follow import held_by
from booklet.seams.table import RecipeStep
from booklet.sewing.operations.base import (
    LAPPED,
    LOCKSTITCH,
    ORNAMENTAL,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Speed,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.curves import bend_of
from booklet.sewing.operations.names import edge_names, end_words, piece_names, seam_called, seam_words

# All common practice, no source.
EDGE_IN = 2.0  # mm from seam or edge to a row of edgestitching; the trade says 1.5 to 2
ROW_IN = 6.0  # mm to a row of topstitching, where the recipe does not say
APART = 6.0  # mm from the first row to the second
STITCH = 3.0  # mm: a little longer than a seam's
TOLERANCE = 1.0  # mm

# ISO 4916 (values from memory): a seam topstitched through its allowances is of class 2, a faced or banded edge of class 1.
CLASSES = {"join": LAPPED, "zip": LAPPED, "face": SUPERIMPOSED, "band": SUPERIMPOSED}


def row_places(step: RecipeStep, draft: Table) -> tuple[float, ...]:
    """How far each row lies from the seam or edge, mm, the nearest first."""
    if step.verb == "edgestitch":
        return (EDGE_IN,)
    raw = step.raw.get("inside")
    first = (
        ROW_IN
        if raw is None
        else parse_formula(raw, draft.unit, step.where).evaluate(draft.value, draft.length_of)
    )
    return tuple(first + APART * k for k in range(int(step.raw.get("rows", 1))))


def _lines(context: Context) -> list[Facts]:
    """One mapping a seam or edge followed, the rows on both sides of a seam pressed open together."""
    out: list[Facts] = []
    last: Seam | None = None
    for group in context.groups("topstitch"):
        row = group[0]
        held = held_by(row, context.earlier)
        pieces = piece_names(context.run_copies(row.a))
        if held is not None and held is last:
            out[-1]["both"] = True
            out[-1]["pieces"] = (*out[-1]["pieces"], *(p for p in pieces if p not in out[-1]["pieces"]))
            last = held
            continue
        last = held
        first = row.a.parts[0]
        ring = is_ring(row.a)
        out.append(
            {
                "seam": _called(context, held) if held is not None and row.press == "seam" else "",
                "edges": edge_names(context, row.a),
                "pieces": pieces,
                "sides": len(group),
                "both": False,
                "length": row.a_mm,
                "ring": ring,
                "start": end_words(context, row.a, True),
                "end": end_words(context, row.a, False),
                "start_seam": seam_words(context, first, True) if ring else "",
                "holds": row.press == "seam",
                "gap": held is not None and any(s.open for s in held.sections),
            }
        )
    return out


def _called(context: Context, held: Seam) -> str:
    """A seam by the run of more pieces: 'armhole seam' where a sleeve's head is set in."""
    if held.b is not None and len(held.b.parts) > len(held.a.parts):
        return seam_called(context, replace(held, a=held.b))
    return seam_called(context, held)


def facts(context: Context) -> Facts:
    lines = _lines(context)
    what = [(line["seam"],) if line["seam"] else line["edges"] for line in lines]
    return {
        "edge": context.step.verb == "edgestitch",
        "lines": lines,
        "what": tuple(dict.fromkeys(w for words in what for w in words)),
        "places": row_places(context.step, context.draft),
        "stitch": context.shop.stitch["plain"] if context.step.verb == "edgestitch" else STITCH,
        "length": lines[0]["length"],
        "tolerance": TOLERANCE,
    }


def stitching(context: Context) -> tuple[Stitching, ...]:
    rows = len(row_places(context.step, context.draft))
    out = []
    for group in context.groups("topstitch"):
        held = held_by(group[0], context.earlier)
        kind = (
            "" if held is None else "face" if group[0].press == "edge" and held.kind == "join" else held.kind
        )
        seam_class = CLASSES.get(kind, ORNAMENTAL)
        speed: Speed = "curved" if bend_of(context, group[0].a).curved else "straight"
        length = rows * sum(s.a_mm for s in group)
        out.append(
            Stitching(LOCKSTITCH, length, f"{context.step.verb}ing", seam_class, rows * len(group), speed)
        )
    return tuple(out)


def effort(context: Context) -> Effort:
    groups = context.groups("topstitch")
    return Effort(sum(len(g) for g in groups), iron=sum(s.a_mm for g in groups for s in g))


TOPSTITCH = Operation("topstitch", facts, stitching, effort)
EDGESTITCH = Operation("edgestitch", facts, stitching, effort)
