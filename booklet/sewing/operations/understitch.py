"""understitch: facing and allowances sewn together beside their seam, so that the facing stays inside."""

from __future__ import annotations

from booklet.model import Copy, Seam
from booklet.seams.table import TACK as SEAM_TACK
from booklet.sewing.operations.acts import act_facts, act_names
from booklet.sewing.operations.base import (
    HAND,
    LOCKSTITCH,
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
from booklet.sewing.operations.fell import CLEAR, ends_at_zip
from booklet.sewing.operations.names import called_together, edge_words, piece_names, seam_called
from booklet.sewing.operations.openings import slit_of

# All common practice, no source.
CLEAR_OF_SLIT = 25.0  # mm before a slit's corner, where the presser foot cannot follow
ROLL = 1.0  # mm by which the seam rolls to the inside
TACK = SEAM_TACK  # mm of hand stitching at each place tacked


def _faced(context: Context) -> Seam:
    return next(s for s in context.of_step(str(context.spec["seam"])) if s.kind == "face")


def _face_step_opening(context: Context) -> object:
    step = next(s for s in context.steps if s.id == str(context.spec["seam"]))
    return step.raw.get("opening")


def facts(context: Context) -> Facts:
    seam = _faced(context)
    slit = slit_of(context, _face_step_opening(context))
    facing = context.run_copies(seam.b)
    clear = CLEAR_OF_SLIT if slit else 0.0
    mouth = slit.opening.mouth if slit else 0.0
    return {
        "facing": called_together(context, facing),
        "edges": tuple(dict.fromkeys(edge_words(context.half(p)) for p in seam.a.parts)),
        "ring": is_ring(seam.a),
        "inside": context.shop.stitch["understitch in"],
        "length": seam.a_mm - mouth - 2 * clear - CLEAR * len(ends_at_zip(context, seam.b)),
        "slit": bool(slit),
        "clear": clear,
        "roll": ROLL,
        "turns": "turn" in context.acts,
        "acts": act_facts(context, seam),
        "tack_to": _tacked(context, facing),
        "baste": _caught_later(context, facing),
    }


def _tacked(context: Context, facing: tuple[Copy, ...]) -> tuple[str, ...]:
    """The facing's own seams: they lie over seams of the garment, to whose allowances they are tacked."""
    ids = {c.id for c in facing}
    out: list[str] = []
    for s in context.earlier:
        if s.kind == "join" and s.b is not None and {p.copy for p in (*s.a.parts, *s.b.parts)} <= ids:
            out.append(seam_called(context, s))
    return tuple(dict.fromkeys(out))


def _caught_later(context: Context, facing: tuple[Copy, ...]) -> list[Facts]:
    """Edges of the facing that a later step catches: they are basted to the garment's edge beneath now."""
    out = []
    for c in facing:
        for half in c.edges:
            met = context.treated(c.id, half.name, context.later, "catch")
            if met is not None:
                parent = c.piece.facing.parent if c.piece.facing else ""
                under = context.plies(parent)
                out.append(
                    {
                        "edge": edge_words(half),
                        "length": half.edge.sewn_length,
                        "from_edge": half.edge.allow / 2,
                        "under": piece_names(under)[0] if under else None,
                    }
                )
    return out


def _tack_count(context: Context) -> int:
    """One place for each seam of the facing, left and right counted apart."""
    ids = {c.id for c in context.run_copies(_faced(context).b)}
    return sum(
        1
        for s in context.earlier
        if s.kind == "join" and s.b is not None and {p.copy for p in (*s.a.parts, *s.b.parts)} <= ids
    )


def stitching(context: Context) -> tuple[Stitching, ...]:
    f = facts(context)
    speed: Speed = "curved" if bend_of(context, _faced(context).a).curved else "straight"
    rows = 2 if f["slit"] else 1
    out = [Stitching(LOCKSTITCH, f["length"], "understitching", SUPERIMPOSED, rows, speed)]
    if "tack" in context.acts and _tack_count(context):
        out.append(
            Stitching(
                HAND, TACK * _tack_count(context), "tacking", SUPERIMPOSED, _tack_count(context), "hand"
            )
        )
    basted = sum(b["length"] for b in f["baste"])
    if basted:
        out.append(Stitching(LOCKSTITCH, basted, "basting", SUPERIMPOSED, len(f["baste"])))
    return tuple(out)


def effort(context: Context) -> Effort:
    f = facts(context)
    return Effort(1, acts=("press", *act_names(f["acts"])), iron=f["length"])


OPERATION = Operation("understitch", facts, stitching, effort)
