"""band: a straight strip sewn to an edge, folded, and closed over the seam."""

from __future__ import annotations

from booklet.model import Part, Seam
from booklet.sewing.operations.base import (
    BOUND,
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
    sewn_length,
)
from booklet.sewing.operations.matches import match_points, match_words
from booklet.sewing.operations.names import edge_names, edge_words, mark_words, piece_names, seam_words
from booklet.sewing.operations.placket import bound_slit

OVERLAPS = 1.0  # mm by which the folded edge passes the seam (common practice, no source)


def _close(context: Context) -> Seam:
    return context.group("close")[0]


def facts(context: Context) -> Facts:
    group = context.group("band")
    seam = group[0]
    assert seam.b is not None
    close = _close(context)
    a, b = context.run_copies(seam.a), context.run_copies(seam.b)
    every_b = [c for s in group for c in context.run_copies(s.b)]
    caught = [c for g in context.groups("catch") for c in context.run_copies(g[0].a)]
    work = context.connected(a)
    return {
        "sides": len(group),
        "band": piece_names(every_b)[0],
        "one_band": piece_names(b)[0],
        "work": piece_names(a),
        "joined": len(work) > 1,
        "edges": edge_names(context, seam.a),
        "band_edge": edge_words(context.half(seam.b.parts[0])),
        "inner_edge": edge_words(context.half(close.a.parts[0])),
        "allow": seam.allow_a,
        "under_by": None if seam.allow_b is None else _level(seam.allow_a - seam.allow_b),
        "inner_press": close.allow_a + _deeper(context, seam, close) - OVERLAPS,
        "inner_less": OVERLAPS - _deeper(context, seam, close),
        "length": sewn_length(seam),
        "inner": close.a_mm,
        "wide": _finished_width(context, seam),
        "ring": is_ring(seam.a),
        "seams": tuple(dict.fromkeys(_ring_seams(context, seam))),
        "gathered": seam.treatment in ("gathers", "ease"),
        "matches": match_words(context, match_points(context, seam)),
        "ends": _ends(context, seam),
        "shut": _shut(context, seam),
        "caught": piece_names(caught),
        "overlaps": OVERLAPS,
        "tolerance": context.shop.equal,
    }


def _ring_seams(context: Context, seam: Seam) -> list[str]:
    """Of a ring: the seam of the garment and that of the band, which meet."""
    assert seam.b is not None
    return [seam_words(context, run.parts[0], True) for run in (seam.a, seam.b)]


def _ends(context: Context, seam: Seam) -> Facts | None:
    """Of a band with two ends: the edges that its ends lie at, and the pieces already sewn to its ends."""
    if is_ring(seam.a) or seam.b is None:
        return None
    at = []
    for part, start in ((seam.a.parts[0], True), (seam.a.parts[-1], False)):
        mark = context.mark_at(part, start)
        at.append(mark_words(mark, context.tongue) if mark else edge_words(context.beyond(part, start)))
    towards = [
        edge_words(context.beyond(part, not start))
        for part, start in ((seam.a.parts[0], True), (seam.a.parts[-1], False))
    ]
    joined = []
    for part, start in ((seam.b.parts[0], True), (seam.b.parts[-1], False)):
        end = context.beyond(part, start)
        met = context.treated(part.copy, end.name, context.earlier, "join")
        if met is not None and met.b is not None:
            others = [
                c for c in (*context.run_copies(met.a), *context.run_copies(met.b)) if c.id != part.copy
            ]
            joined += others
    one = at[0] == at[1] and towards[0] != towards[1]  # both ends lie at one slit
    return {
        "at": tuple(dict.fromkeys(at)),
        "towards": tuple(towards) if one else (),
        "tied": piece_names(joined),
        "strip": _ends_strip(context, seam),
    }


def _ends_strip(context: Context, seam: Seam) -> Facts | None:
    return bound_slit(context, seam.a.parts[0], True)


def _shut(context: Context, seam: Seam) -> Facts | None:
    """Of a band whose ends are sewn across: the edges at its ends, and the stretch that stands out beyond the run."""
    ends = [s for g in context.groups("end") for s in g if s.side == seam.side]
    if not ends:
        return None
    beyond = next((s for g in context.groups("beyond") for s in g if s.side == seam.side), None)
    halves = [context.half(s.a.parts[0]) for s in ends]
    mark, standing = None, None
    strip = _ends_strip(context, seam)
    if strip is not None and strip["two"]:
        beyond = None  # both ends lie on the strips, each as far as its own reaches
    if beyond is not None:
        part = beyond.a.parts[0]
        marked_first = context.mark_at(part, True) is not None
        mark, standing = context.mark_at(part, marked_first), context.beyond(part, not marked_first)
    level = [h for h in halves if standing is None or h.name != standing.name]
    return {
        "ends": tuple(edge_words(h) for h in halves),
        "allow": ends[0].allow_a,
        "trim": context.shop.trim["trim to"],
        "beyond": beyond.a_mm if beyond else None,
        "mark": mark_words(mark, context.tongue) if mark else "",
        "standing": edge_words(standing) if standing else "",
        "level": edge_words(level[0]) if level else "",
        "level_first": beyond is not None and context.mark_at(seam.b.parts[0], True) is None
        if seam.b
        else False,
    }


def _level(difference: float) -> float | None:
    """How far the band's raw edge lies inside the run's where their allowances differ, mm."""
    return difference if abs(difference) > 0.05 else None


def _deeper(context: Context, seam: Seam, close: Seam) -> float:
    """What the band measures more from its fold to its inside edge than from the seam to the fold, mm."""
    wide = _finished_width(context, seam)
    inner = _to_fold(context, close.a.parts[0])
    return inner - wide if wide is not None and inner is not None else 0.0


def _finished_width(context: Context, seam: Seam) -> float | None:
    """From the seam to the fold line, mm."""
    assert seam.b is not None
    return _to_fold(context, seam.b.parts[0])


def _to_fold(context: Context, part: Part) -> float | None:
    """From a part's edge to the fold line, mm."""
    copy = context.copies[part.copy]
    name = str(context.spec.get("fold", "")).split(".")[-1]
    line = next((f for f in copy.fold_lines if f.name == name), None)
    if line is None:
        return None
    path = context.half(part).edge.path
    middle = line.path.point(line.path.length / 2)
    return abs(path.point(path.nearest(middle)) - middle)


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("band")
    length = sum(sewn_length(s) for s in group)
    inner = sum(s.a_mm for s in context.group("close"))
    drawn = group[0].treatment in ("gathers", "ease")
    speed: Speed = "gathered" if drawn else "straight"
    close = (
        Stitching(HAND, inner, "inner edge", BOUND, len(group), "hand")
        if drawn or is_ring(group[0].a)
        else Stitching(LOCKSTITCH, inner, "inner edge", BOUND, len(group))
    )
    # An end is folded in half before it is sewn across.
    ends = [s for g in context.groups("end") for s in g]
    shut = sum(s.a_mm / 2 for s in ends) + sum(s.a_mm for g in context.groups("beyond") for s in g)
    across = (Stitching(LOCKSTITCH, shut, "ends", SUPERIMPOSED, len(ends)),) if ends else ()
    return (Stitching(LOCKSTITCH, length, "seam", SUPERIMPOSED, len(group), speed), *across, close)


def effort(context: Context) -> Effort:
    group = context.group("band")
    length = sum(sewn_length(s) for s in group)
    sections = sum(len(s.sections) for s in group)
    return Effort(len(group), sections, ("press",) * 2 * len(group), iron=3 * length)


OPERATION = Operation("band", facts, stitching, effort)
