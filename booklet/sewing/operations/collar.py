"""collar: its two sides sewn to each other and turned; or the turned collar sewn between an outer and an inner stand."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations.acts import LAYERS_APART, TOPSTITCH_IN
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    sewn_length,
)
from booklet.sewing.operations.curves import bend_of
from booklet.sewing.operations.matches import match_points, match_words
from booklet.sewing.operations.names import Name, edge_words, piece_names

CORNER = 2.0  # mm left between a cut across a corner and the stitching (common practice, no source)
ALIKE = 1.0  # mm: how far both points may differ (common practice, no source)


def _all(context: Context) -> tuple[Seam, ...]:
    return tuple(s for g in context.groups("join") for s in g)


def _made(context: Context) -> bool:
    return "pieces" in context.spec


def _first_row(context: Context) -> tuple[Seam, ...]:
    """The seams that are sewn as one row, each stretch once: of a held collar the outer stand's own."""
    if _made(context):
        return _all(context)
    inner = str(context.spec["stands"][1])
    return tuple(s for s in _all(context) if context.copies[s.a.parts[0].copy].piece.name != inner)


def facts(context: Context) -> Facts:
    rows = _first_row(context)
    length = sum(sewn_length(s) for s in rows)
    return {
        "made": _made(context),
        "allow": max(s.allow_a for s in rows),
        "length": length,
        "trim": context.shop.trim["trim to"],
        "wider": context.shop.trim["trim to"] + LAYERS_APART
        if min(s.allow_a for s in rows) >= context.shop.trim["grade from"] - 0.05
        else None,
        "curved": any(bend_of(context, s.a).notches for s in rows),
        "every": context.shop.trim["clip every"],
        "short": context.shop.trim["clip short of"],
        "topstitch": TOPSTITCH_IN if "topstitch" in context.acts else None,
        **(_make(context, rows) if _made(context) else _hold(context, rows)),
    }


def _make(context: Context, rows: tuple[Seam, ...]) -> Facts:
    seam = rows[0]
    assert seam.b is not None
    (upper,), (under,) = (piece_names(context.run_copies(r)) for r in (seam.a, seam.b))
    ends = [p for p in seam.a.parts if context.half(p).side != "whole"] or list(
        seam.a.parts[:: len(seam.a.parts) - 1 or 1]
    )
    between = [context.half(p) for p in seam.a.parts if p not in ends]
    lengths = [context.half(p).edge.length for p in ends]
    return {
        "upper": upper,
        "under": under,
        "fused": any(context.fused_to(c) for c in context.run_copies(seam.a)),
        "more": seam.difference,
        "end": edge_words(context.half(ends[0])),
        "outer": edge_words(between[0]) if between else str(context.tongue.small["edge"]),
        "end_long": lengths[0] if max(lengths) - min(lengths) < ALIKE else 0.0,
        "open": _open_edge(context, rows),
        "alike": ALIKE,
        "half": None,
        "corner": CORNER,
    }


def _open_edge(context: Context, rows: tuple[Seam, ...]) -> str:
    """The edge that stays open: the one that this step doesn't sew."""
    copy = context.copies[rows[0].a.parts[0].copy]
    sewn = {context.half(p).base for s in rows for p in s.a.parts}
    return next((edge_words(h) for h in copy.edges if h.base not in sewn), str(context.tongue.small["edge"]))


def _hold(context: Context, rows: tuple[Seam, ...]) -> Facts:
    outer, inner = (str(p) for p in context.spec["stands"])
    along = next(s for s in rows if context.half(s.a.parts[0]).base == str(context.spec["along"]))
    ends = [s for s in rows if s is not along]
    held = [c for s in _all(context) for c in context.run_copies(s.b)]
    held = [c for c in held if c.piece.name not in (outer, inner)]
    names = piece_names(held)
    inside = context.plies(inner)[0]
    sewn = [str(e).split(".")[0] for e in (context.spec["along"], *context.spec["ends"])]
    open_edge = next(h for h in inside.edges if h.base not in sewn)
    return {
        "outer": _named(context, outer),
        "inner": _named(context, inner),
        "under": next(
            (n for n, c in zip(names, held, strict=False) if c.piece.name == _piece(context, "under")),
            names[0],
        ),
        "upper": next(
            (n for n, c in zip(names, held, strict=False) if c.piece.name == _piece(context, "upper")),
            names[-1],
        ),
        "matches": match_words(context, match_points(context, along)),
        "along": along.a_mm,
        "half": along.a_mm / 2,
        "end": ends[0].a_mm if ends else 0.0,
        "open": edge_words(open_edge),
    }


def _piece(context: Context, side: str) -> str:
    return str(context.spec["holds"][side]).replace("chain(", "").split(".")[0].strip()


def _named(context: Context, key: str) -> Name:
    return piece_names(context.plies(key)[:1])[0]


def stitching(context: Context) -> tuple[Stitching, ...]:
    rows = _first_row(context)
    length = sum(sewn_length(s) for s in rows)
    out = [Stitching(LOCKSTITCH, length, "seam", SUPERIMPOSED, 1, "curved")]
    if "topstitch" in context.acts:
        out.append(Stitching(LOCKSTITCH, length, "topstitching", SUPERIMPOSED, 1))
    return tuple(out)


def effort(context: Context) -> Effort:
    rows = _first_row(context)
    return Effort(1, sum(len(s.sections) for s in rows), ("trim", "turn"), iron=2 * sum(s.a_mm for s in rows))


OPERATION = Operation("collar", facts, stitching, effort)
