"""face: a facing sewn to the edge that it will finish, with a slit inside it if there is one."""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.corners import corners_of
from booklet.sewing.operations.acts import act_facts, act_names
from booklet.sewing.operations.base import (
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
from booklet.sewing.operations.matches import match_points, match_words
from booklet.sewing.operations.names import (
    Name,
    called_together,
    edge_names,
    end_words,
    piece_names,
    seam_words,
)
from booklet.sewing.operations.openings import slit_facts, slit_of


def facts(context: Context) -> Facts:
    group = context.group("face")
    seam = group[0]
    slit = slit_of(context, context.step.raw.get("opening"))
    mouth = slit.opening.mouth if slit else 0.0
    facing = context.run_copies(seam.b)
    ends = ends_at_zip(context, seam.b)
    return {
        "sides": len(group),
        "allow": seam.allow_a,
        "facing": called_together(context, facing),
        "fused": any(context.fused_to(c) for c in facing),
        "work": piece_names(context.run_copies(seam.a)),
        "joined": len(context.connected(context.run_copies(seam.a))) > 1,
        "edges": edge_names(context, seam.a),
        "same_edges": edge_names(context, seam.a) == edge_names(context, seam.b),
        "matches": match_words(context, match_points(context, seam)),
        "ring": is_ring(seam.a),
        "start": seam_words(context, seam.a.parts[0], True)
        if is_ring(seam.a)
        else end_words(context, seam.a, True),
        "end": end_words(context, seam.a, False),
        # Ends at a zip are turned in first, so far back that the zip runs clear: the facing's own end is no longer sewn.
        "zip_ends": len(ends),
        "ended": _ended(context, seam) if ends else (),
        "turn": (ends[0].edge.allow if ends else 0.0) + CLEAR,
        "clear": CLEAR,
        "length": seam.a_mm - mouth + (slit.stitching if slit else 0.0) - CLEAR * len(ends),
        "run": seam.a_mm,
        "corners": len(corners_of(seam.a, context.copies)),
        "halves": _halves(context, seam, mouth),
        "slit": slit_facts(slit) if slit else None,
        "loop": _loop_caught(context),
        "caught": piece_names(c for g in context.groups("catch") for c in context.run_copies(g[0].a)),
        "press_to": called_together(context, facing)[0].words,
        "acts": act_facts(context, seam),
        "tolerance": context.shop.equal,
    }


def _ended(context: Context, seam: Seam) -> tuple[Name, ...]:
    """The pieces at the two ends of the facing."""
    assert seam.b is not None
    return piece_names(
        context.copies[i] for i in dict.fromkeys(p.copy for p in (seam.b.parts[0], seam.b.parts[-1]))
    )


def _halves(context: Context, seam: Seam, mouth: float) -> tuple[float, float] | None:
    """Of a ring with two centres: both ways round from centre to centre, mm."""
    centres = [p.at for p in match_points(context, seam) if p.words == "centre"]
    if not is_ring(seam.a) or len(centres) != 2:
        return None
    one = centres[1] - centres[0]
    return one - mouth / 2, seam.a_mm - one - mouth / 2


def _loop_caught(context: Context) -> bool:
    """Whether a loop was basted to this opening before."""
    raw = context.step.raw.get("opening")
    name = str(raw["is"] if isinstance(raw, dict) else raw)
    before = context.steps[: context.steps.index(context.step)]
    return any(s.verb == "loop" and str(s.spec.get("at")) == name for s in before)


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("face")
    f = facts(context)
    speed: Speed = "curved" if bend_of(context, group[0].a).curved else "straight"
    out = [Stitching(LOCKSTITCH, f["length"] * len(group), "seam", SUPERIMPOSED, len(group), speed)]
    if "topstitch" in context.acts:
        out.append(Stitching(LOCKSTITCH, f["length"] * len(group), "topstitching", SUPERIMPOSED, len(group)))
    return tuple(out)


def effort(context: Context) -> Effort:
    group = context.group("face")
    slit = slit_of(context, context.step.raw.get("opening"))
    acts = act_names(act_facts(context, group[0]))
    return Effort(
        len(group),
        sum(len(s.sections) for s in group),
        (*acts, *(("clip",) if slit else ())) * len(group),
        iron=sum(s.a_mm for s in group),
    )


OPERATION = Operation("face", facts, stitching, effort)
