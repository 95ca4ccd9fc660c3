"""join: two runs laid right sides together and sewn."""

from __future__ import annotations

from booklet.model import Run, Seam
from booklet.sewing.operations.acts import act_facts, act_names
from booklet.sewing.operations.base import (
    EDGE_FINISH,
    LOCKSTITCH,
    OVEREDGE,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Speed,
    Stitching,
    is_ring,
    sewn_length,
)
from booklet.sewing.operations.curves import bend_of, crossing_turns
from booklet.sewing.operations.matches import match_points, match_words
from booklet.sewing.operations.names import (
    Name,
    called_together,
    edge_names,
    end_words,
    named_many,
    piece_names,
    seam_called,
    seam_words,
)

GAP_STITCH_IN = 5.0  # mm from the edges of an opening left in a seam (common practice, no source)
STRAIGHT_ON = 15.0  # degrees: a seam that turns less is sewn straight on


def facts(context: Context) -> Facts:
    group = context.group("join")
    seam = group[0]
    assert seam.b is not None
    points = match_points(context, seam)
    a, b = context.run_copies(seam.a), context.run_copies(seam.b)
    edges_a, edges_b = edge_names(context, seam.a), edge_names(context, seam.b)
    return {
        "sides": len(group),
        "allow": seam.allow_a,
        "length": sewn_length(seam),
        "lengths": [sewn_length(s) for s in group],
        "tolerance": context.shop.equal,
        "pieces": called_together(context, (*a, *b)),
        "each": piece_names((*a, *b)),
        "upper": piece_names(context.run_copies(seam.a)[:1])[0],
        "under": piece_names(context.run_copies(seam.b)[:1])[0],
        "under_title": _one_title(
            context, piece_names(dict.fromkeys(c for s in group for c in context.run_copies(s.b)))
        ),
        "upper_edges": edges_a,
        "under_edges": edges_b,
        "same_edges": edges_a == edges_b,
        "lay": _laying(context, seam),
        "spans": len(group) > 1 and len({p.copy for s in group for p in s.a.parts}) == 1,
        "pair": [c.piece.number for c in a] == [c.piece.number for c in b],
        "folded_at": _folded_at(context, seam),
        "others_open": len(context.connected(b)) > len(b),
        "matches": match_words(context, points),
        "ring": is_ring(seam.a),
        "start": end_words(context, seam.a, True),
        "end": end_words(context, seam.a, False),
        "crosses": _crossings(context, seam.a),
        "treatment": seam.treatment,
        "longer": _longer(context, seam),
        "free": _free(context),
        "gathered_between": _gathered_between(seam),
        "legs": _legs(seam),
        "gap": sum(s.a_mm for s in seam.sections if s.open),
        "gap_inside": GAP_STITCH_IN,
        "filled": _filled(context, seam),
        "before": bool(context.step.raw.get("before")) and not _done(context, seam),
        "neaten": "" if _done(context, seam) else seam.neaten,
        "press": seam.press,
        "press_to": _press_to(context, seam),
        "acts": act_facts(context, seam),
    }


def _done(context: Context, seam: Seam) -> bool:
    """Whether both edges were neatened before, each on its own."""
    return seam.neaten == "apart" and context.neatened(seam.a, seam.b)


def _laying(context: Context, seam: Seam) -> str:
    """How the two come together: 'self' (one ply on itself), 'fold' (they hang together), 'tubes' (two that are closed
    already, as trouser legs: one is put into the other), 'turn' or 'lay'."""
    assert seam.b is not None
    a, b = context.run_copies(seam.a), context.run_copies(seam.b)
    if len(a) == 1 and [c.id for c in a] == [c.id for c in b]:
        return "self"
    if context.connected(a) & {c.id for c in b}:
        return "fold"
    if _tube(context, seam.a) and _tube(context, seam.b):
        return "tubes"
    return "turn" if len(b) > 1 else "lay"


def _tube(context: Context, run: Run) -> bool:
    """Whether a run's two copies are joined by two seams that do not lie end to end: together they are a tube."""
    copies = {p.copy for p in run.parts}
    between = [
        s
        for s in context.earlier
        if s.kind == "join" and s.b is not None and {p.copy for p in (*s.a.parts, *s.b.parts)} == copies
    ]
    return len(copies) == 2 and len({s.step for s in between}) > 1


def _folded_at(context: Context, seam: Seam) -> str:
    """The seam at which the work is folded: the one that joins the two runs' first pieces."""
    assert seam.b is not None
    first, second = seam.a.parts[0].copy, seam.b.parts[0].copy
    for s in context.earlier:
        if s.kind == "join" and s.b is not None and {first, second} == {s.a.parts[0].copy, s.b.parts[0].copy}:
            return seam_called(context, s)
    return ""


def _crossings(context: Context, run: Run) -> tuple[tuple[str, bool], ...]:
    """Seams that a run crosses, each with whether its line turns there."""
    turns = crossing_turns(context, run)
    return tuple(
        (seam_words(context, part, at_start=False), turn > STRAIGHT_ON)
        for part, after, turn in zip(run.parts, run.parts[1:], turns, strict=False)
        if part.copy != after.copy
    )


def _one_title(context: Context, names: tuple[Name, ...]) -> str:
    """What the upper pieces are joined to in a title, where that is of one piece."""
    return named_many(names[0], context.tongue) if len(names) == 1 else ""


def _longer(context: Context, seam: Seam) -> Facts | None:
    """Which of the two is eased in, and by how much, mm."""
    if seam.treatment != "ease" or abs(seam.difference) < context.shop.equal:
        return None
    run = seam.a if seam.difference > 0 else seam.b
    names = piece_names(context.run_copies(run)[:1])
    return {"piece": names[0], "by": abs(seam.difference)}


def _free(context: Context) -> tuple[Name, ...]:
    """Layers that hang from the work already and are felled over this seam later: they keep out of it."""
    steps = [s.id for s in context.steps if s.verb == "fell" and str(s.spec.get("to")) == context.step.id]
    copies = [c for s in context.later if s.step in steps for c in context.run_copies(s.a)]
    return piece_names(dict.fromkeys(copies))


def _gathered_between(seam: Seam) -> bool:
    """Whether gathers or ease lie in some sections and not in others."""
    drawn = [s.wanted is not None for s in seam.sections]
    return any(drawn) and not all(drawn)


def _legs(seam: Seam) -> list[tuple[float, bool]]:
    """The seam as sewn: lengths between openings, each with whether it is left open."""
    out: list[tuple[float, bool]] = []
    for s in seam.sections:
        if out and out[-1][1] == s.open:
            out[-1] = (out[-1][0] + s.a_mm, s.open)
        else:
            out.append((s.a_mm, s.open))
    return out


def _filled(context: Context, seam: Seam) -> bool:
    """Whether what the seam leaves open has been sewn to something else before, as the mouth of a pocket to its bags."""
    if not any(s.open for s in seam.sections):
        return False
    mine = {(p.copy, p.edge) for p in seam.a.parts}
    return any(
        (p.copy, p.edge) in mine
        for s in context.earlier
        if s.kind == "join" and s.b
        for p in (*s.a.parts, *s.b.parts)
    )


def _press_to(context: Context, seam: Seam) -> str:
    """The piece towards which the allowances lie; its edge where the seam joins a piece to itself."""
    run = {"to a": seam.a, "to b": seam.b}.get(seam.press)
    if run is None:
        return ""
    if _laying(context, seam) == "self":
        return edge_names(context, run)[0]
    return piece_names(context.run_copies(run)[:1])[0].words


def stitching(context: Context) -> tuple[Stitching, ...]:
    out: list[Stitching] = []
    for group in context.groups("join"):
        gap = sum(s.a_mm for s in group[0].sections if s.open)
        length = sum(sewn_length(s) for s in group) - gap * len(group)
        drawn = group[0].treatment != "equal"
        speed: Speed = (
            "gathered" if drawn else "curved" if bend_of(context, group[0].a).curved else "straight"
        )
        rows = len(group) * (2 if gap and not _filled(context, group[0]) else 1)
        out.append(Stitching(LOCKSTITCH, length, "seam", SUPERIMPOSED, rows, speed))
        if group[0].neaten == "apart" and not _done(context, group[0]):
            both = sum(s.a_mm + (s.b_mm or 0.0) for s in group)
            out.append(Stitching(OVEREDGE, both, "neatening", EDGE_FINISH, 2 * len(group), "neatening"))
        elif group[0].neaten == "together":
            one = sum(sewn_length(s) for s in group)
            out.append(Stitching(OVEREDGE, one, "neatening", EDGE_FINISH, len(group), "neatening"))
        if gap:
            round_it = (2 * gap + 8 * GAP_STITCH_IN) * len(group)
            out.append(Stitching(LOCKSTITCH, round_it, "round the opening", EDGE_FINISH, len(group)))
        if "topstitch" in context.acts:
            out.append(Stitching(LOCKSTITCH, length, "topstitching", SUPERIMPOSED, len(group)))
    return tuple(out)


def effort(context: Context) -> Effort:
    group = context.group("join")
    sections = sum(len(s.sections) for s in group)
    press = () if group[0].press == "none" else ("press",) * len(group)
    acts = act_names(act_facts(context, group[0])) * len(group)
    return Effort(len(group), sections, (*press, *acts), iron=sum(sewn_length(s) for s in group))


OPERATION = Operation("join", facts, stitching, effort)
