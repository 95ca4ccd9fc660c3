"""Vent: an extension grown on to the foot of an edge, as at the back of a straight skirt, folded back along that edge."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.stretches import is_simple, stretch
from booklet.drafting.verbs.extend import carried_out, moved_out, outer_line, prolonged, shifted, straightened
from booklet.model import FoldLine
from booklet.paths import Path
from booklet.problems import Fault, Where

ROOM = 5.0  # mm of the edge that stays above the vent


def vented(
    shape: Shape,
    edge: str,
    at_end: bool,
    high: float,
    wide: float,
    slant: float,
    names: tuple[str, str],
    fold_as: str,
    where: Where,
    what: str = "the piece",
) -> Shape:
    """The shape with a vent at the end (or the start) of an edge, `high` mm along it and `wide` mm out.

    The edge keeps its name above the vent. The new edges are the vent's top (`slant` mm lower at its outer end) and its
    own edge; the old one is kept as the line across `fold_as`. The hem is grown on as its own mirror image, so that it
    lies on itself when the vent is folded back. Marks beside the vent stand opposite their old places.
    """
    run = shape.run(edge)
    _check(shape, run, at_end, high, slant, names, fold_as, where, what)
    long = run.path.length
    upper = stretch(run, 0.0, long - high) if at_end else stretch(run, high, long)
    lower = stretch(run, long - high, long) if at_end else stretch(run, 0.0, high)
    assert upper is not None  # both have length: `high` lies within the edge
    assert lower is not None
    hem = shape.neighbours(edge)[1 if at_end else 0]
    outer = moved_out(lower.path, wide, f"the vent of {what}", where)
    grown = prolonged(hem, lower.path, outer, wide, not at_end, hem.name != shape.fold, what, where)
    line = outer_line(outer, wide)
    foot = line.nearest(grown.start if at_end else grown.end)
    top = line.nearest(outer.point(slant) if at_end else outer.point(outer.length - slant))
    if (foot - top if at_end else top - foot) < 1:
        raise Fault.of("vent", f"the vent of {what} has no length at its edge", where, "Make it higher.")
    side = line.part(min(foot, top), max(foot, top))
    corner = lower.path.start if at_end else lower.path.end
    tip = side.start if at_end else side.end
    own = carried_out(replace(lower, name=names[1], lines=()), side, wide)
    cap = Run(names[0], Path.line(corner, tip) if at_end else Path.line(tip, corner))
    fresh = (upper, cap, own) if at_end else (own, cap, upper)
    runs: list[Run] = []
    for r in shape.runs:
        if r.name == edge:
            runs += fresh
        elif r.name == hem.name:
            runs.append(
                shifted(r, straightened(grown, r.path), grown.length)
                if at_end
                else replace(r, path=straightened(r.path, grown))
            )
        else:
            runs.append(r)
    ring = snapped(runs)
    if not is_simple([r.path for r in ring]):
        raise Fault.of(
            "vent", f"with its vent {what} would lie over itself", where, "Make the vent narrower."
        )
    lines = (*shape.lines_across, FoldLine(fold_as, lower.path))
    return replace(shape, runs=ring, lines_across=lines)


def _check(
    shape: Shape, run: Run, at_end: bool, high: float, slant: float, names: tuple[str, str], fold_as: str,
    where: Where, what: str,
) -> None:  # fmt: skip
    if run.name == shape.fold:
        raise Fault.of("vent-fold", f"{run.name} of {what} lies on the fold", where,
                       "A vent needs a seam: leave `fold:` away.")  # fmt: skip
    if not 10 <= high <= run.path.length - ROOM:
        raise Fault.of(
            "vent", f"a vent {high:.0f} mm high does not fit {run.name} of {what}, which is {run.path.length:.0f} mm",
            where, f"Write from 10 mm up to {run.path.length - ROOM:.0f} mm.",
        )  # fmt: skip
    if not 0 <= slant < high:
        raise Fault.of("vent", f"the top of the vent of {what} slants by {slant:.0f} mm", where,
                       "Write a slant from 0 up to less than its height.")  # fmt: skip
    low, top = (run.path.length - high, run.path.length) if at_end else (0.0, high)
    for up in run.take_ups:
        if up.end > low - 1 and up.start < top + 1:
            raise Fault.of("vent-dart", f"{up.name} lies on {run.name} of {what} beside the vent", where,
                           "Make the vent less high, or draw the dart in a later state of the piece.")  # fmt: skip
    for name in names:
        if shape.has(name) or names[0] == names[1]:
            raise Fault.of("twice", f"{what} would have two edges '{name}'", where,
                           "Name them with `edges: [top, edge]`.")  # fmt: skip
    if any(f.name == fold_as for f in shape.lines_across):
        raise Fault.of(
            "twice", f"{what} already has a line '{fold_as}'", where, "Name this one with `fold as:`."
        )


def ask_vent(asked: Asked, shape: Shape) -> Shape:
    """`vent: {edge, from: EDGE at its foot, high, wide, slant, edges: [top, edge], fold as: NAME}`."""
    run = asked.run(shape, asked.words("edge"))
    at_end = not asked.begins(shape, run, asked.words("from"), "the vent")
    high, wide = asked.amount("high"), asked.amount("wide")
    if not wide >= 1:
        raise asked.fault("vent", f"the vent of {asked.key} comes out {wide:.1f} mm wide", "Give it a width.")
    top, edge = asked.listed("edges") or ("vent_top", "vent_edge")
    fold_as = asked.words("fold as", "vent_fold")
    slant = asked.amount("slant", default=0.0)
    return vented(shape, run.name, at_end, high, wide, slant, (top, edge), fold_as, asked.where, asked.key)
