"""tack: what lies inside is held by hand, along its free edge or in single places, to allowances or to the cloth itself."""

from __future__ import annotations

from collections.abc import Iterable

from booklet.model import Copy, Seam
from booklet.seams.follow import held_by
from booklet.sewing.operations.base import (
    HAND,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
    is_ring,
)
from booklet.sewing.operations.names import (
    called_together,
    edge_names,
    edge_words,
    end_words,
    mark_words,
    piece_names,
    seam_called,
    seam_words,
)
from booklet.sewing.operations.understitch import TACK

APART = 8.0  # mm from stitch to stitch along an edge (common practice, no source)


def in_places(seam: Seam) -> bool:
    """Whether a seam of this step stands for a place to tack, and for no edge."""
    return seam.press == "at"


def facts(context: Context) -> Facts:
    seams = [s for g in context.groups("tack") for s in g]
    first = seams[0]
    copies = {c.id: c for s in seams for c in _copies(context, s)}
    to = str(context.spec["to"])
    held = next((s for s in context.of_step(to) if s.b is not None or s.kind == "hem"), None)
    ring = is_ring(first.a)
    return {
        "pieces": called_together(context, copies.values()),
        "places": in_places(first),
        "edges": tuple(dict.fromkeys(e for s in seams for e in edge_names(context, s.a))),
        "at": tuple(dict.fromkeys(_place(context, s) for s in seams)) if in_places(first) else (),
        "count": len(seams),
        "seam": seam_called(context, held) if held is not None else "",
        "many": len(context.of_step(to)) > 1,
        "under": piece_names(_beneath(context, to, copies.values())),
        "length": sum(s.a_mm for s in seams),
        "long": TACK,
        "apart": APART,
        "ring": ring,
        "start": end_words(context, first.a, True),
        "end": end_words(context, first.a, False),
        "start_seam": seam_words(context, first.a.parts[0], True) if ring else "",
    }


def _place(context: Context, seam: Seam) -> str:
    """A place in words: the seam that lies there; on an edge its mark, or its middle."""
    at = context.spec["at"]
    if seam.a.text not in [str(a) for a in (at if isinstance(at, list) else [at])]:
        return seam_called(context, seam)  # the places of a step, not an edge named here
    part = seam.a.parts[0]
    _, _, mark = (word.strip() for word in seam.a.text.partition(" at "))
    spot = context.half(part).edge.mark(mark)
    words = mark_words(spot, context.tongue) if spot else str(context.tongue.small["middle"])
    return context.tongue.put("at of", it=words, whole=edge_words(context.half(part)))


def _copies(context: Context, seam: Seam) -> tuple[Copy, ...]:
    """The plies that are tacked: at a seam those on both sides of it."""
    held = held_by(seam, context.earlier) if in_places(seam) else None
    return (*context.run_copies(seam.a), *(context.run_copies(held.b) if held is not None else ()))


def _beneath(context: Context, to: str, copies: Iterable[Copy]) -> tuple[Copy, ...]:
    """A ply of each piece on which the tacked ones lie: the one named, and the others that the same facings face."""
    parents = dict.fromkeys(c.piece.facing.parent for c in copies if c.piece.facing)
    named = [*parents] if to in parents else [to]
    return tuple(ply for name in named for ply in context.plies(name)[:1])


def stitching(context: Context) -> tuple[Stitching, ...]:
    seams = [s for g in context.groups("tack") for s in g]
    length = sum(TACK if in_places(s) else s.a_mm for s in seams)
    return (Stitching(HAND, length, "tacking", SUPERIMPOSED, len(seams), "hand"),)


def effort(context: Context) -> Effort:
    return Effort(sum(len(g) for g in context.groups("tack")))


OPERATION = Operation("tack", facts, stitching, effort)
