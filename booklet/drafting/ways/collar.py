"""`collar:` a collar for a stand or for a neckline, its neck edge solved; or the under collar of one, drawn in all round."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.necks import amount_above, grain_of, neck_marks, neckline_of, spread_of, sprung
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark
from booklet.paths import Path, Placement, segment_length
from booklet.splines import smooth_curve

DROPS = 10.0  # mm that the neck edge falls towards the front (common practice, no source)
EACH = 40.0  # mm between points of an edge that is drawn in, at the most


def point_of(neck: Path, long: float, spread: float) -> complex:
    """The tip of a collar point `long` mm long, `spread` mm beyond a square to the neck edge at its front end."""
    way = neck.end_tangent
    return neck.end + way * spread - 1j * way * math.sqrt(long * long - spread * spread)


def rounded(outer: Path, end: Path, radius: float) -> tuple[Path, Path] | None:
    """The outer edge with its corner rounded, and what is left of the end; None where there is no room for it."""
    turn = abs(cmath.phase(end.start_tangent / outer.end_tangent))
    back = radius * math.tan(turn / 2)
    if back > min(outer.length, end.length) * 0.98:
        return None
    kept, rest = outer.part(0, outer.length - back), end.part(back, end.length)
    corner = smooth_curve([kept.end, rest.start], kept.end_tangent, rest.start_tangent)
    return kept.joined(corner), rest


def collar_runs(neck: Path, outer: Path, end: Path) -> tuple[Run, ...]:
    """The ring of half a collar: `outer` from centre back to the tip, `end` down to the neck edge, `neck`, `centre`."""
    centre = Path.line(neck.start, outer.start)
    return (Run("outer", outer), Run("end", end), Run("neck", neck.reversed()), Run("centre", centre))


def with_corner(asked: Asked, outer: Path, end: Path) -> tuple[Path, Path]:
    """The two edges, their corner rounded where `round:` asks for it. Raises Fault where they have no room for it."""
    if not asked.has("round"):
        return outer, end
    radius = amount_above(asked, "round")
    done = rounded(outer, end, radius)
    if done is None:
        raise asked.fault(
            "collar-round",
            f"a corner of {radius:.1f} mm radius has no room on {asked.key}, whose end is {end.length:.1f} mm long",
            "Take a smaller radius.",
        )
    return done


# ---------------------------------------------------------------- the under collar


def _stops(path: Path) -> list[float]:
    """Places along a line, close enough for a parallel one: each of its curves in even parts, so that round corners keep."""
    out = [0.0]
    for segment in path.segments:
        long = segment_length(segment)
        parts = max(2, math.ceil(long / EACH))
        start = out[-1]
        out += [start + long * (k + 1) / parts for k in range(parts)]
    return out


def drawn_in(shape: Shape, turn: float) -> Shape:
    """A collar whose outer edge and ends lie `turn` mm further in; the ends taper to nothing at the neck edge, which stays."""
    if shape.neighbours("neck")[0].name == "centre":  # drawn with its neck edge above
        over = Placement.mirror(0j, 1 + 0j)
        return drawn_in(shape.placed(over), turn).placed(over)
    outer, end, neck = (shape.run(n).path for n in ("outer", "end", "neck"))
    before, after = 1j * outer.end_tangent, 1j * end.start_tangent
    corner = (before + after) / (1 + (before * after.conjugate()).real)
    tip = outer.end + turn * corner
    inner = _stops(outer)[:-1]
    points = [outer.point(s) + 1j * outer.tangent(s) * turn for s in inner]
    new_outer = smooth_curve([*points, tip], outer.start_tangent, outer.end_tangent)
    way = (tip - neck.start) / (end.start - neck.start)
    new_end = Path(tuple(tuple(neck.start + (z - neck.start) * way for z in s) for s in end.segments))
    kept = {"outer": new_outer, "end": new_end, "centre": Path.line(neck.end, new_outer.start)}

    def smaller(run: Run) -> Run:
        if run.name not in kept:
            return run
        path = kept[run.name]
        k = path.length / run.path.length
        return replace(run, path=path, marks=tuple(replace(m, at=m.at * k) for m in run.marks), lines=())

    return replace(shape, runs=tuple(smaller(r) for r in shape.runs), derived=("neck",))


def _under(asked: Asked) -> Shape:
    upper = asked.other(asked.words("under"))
    for name in ("outer", "end", "neck", "centre"):
        edge_of(upper, name, asked.words("under"), asked.where)
    turn = asked.amount("turn")
    room = min(upper.run("end").path.length, upper.run("centre").path.length)
    if not 0 <= turn < min(10.0, room / 3):
        raise asked.fault("turn", f"the turn of cloth of {asked.key} is {turn:.1f} mm", "Write 1 to 3 mm.")
    return drawn_in(upper, turn)


# ---------------------------------------------------------------- as asked for


def from_collar(asked: Asked) -> Shape:
    """`collar: {stand: PIECE or neck: [edges], past centre, wide back, wide point, spread, drop, round}`, or
    `collar: {under: PIECE, turn}`. Half a collar, its centre back `centre`, which may lie on the fold."""
    if asked.has("under"):
        return _under(asked)
    marks: tuple[Mark, ...] = ()
    if asked.has("stand"):
        long = edge_of(asked.other(asked.words("stand")), "upper", asked.words("stand"), asked.where).sewn
    else:
        neckline = neckline_of(asked)
        long = neckline.to_centre
        marks = neck_marks(replace(neckline, past_centre=0.0), long)
    back, point = amount_above(asked, "wide back", 5.0), amount_above(asked, "wide point", 5.0)
    spread = spread_of(asked, point)
    neck = sprung(asked, long, -asked.amount("drop", default=DROPS))
    tip = point_of(neck, point, spread)
    outer = smooth_curve([-1j * back, tip], 1 + 0j)
    outer, end = with_corner(asked, outer, Path.line(tip, neck.end))
    shape = Shape(
        collar_runs(neck, outer, end), asked.maker.side(asked.key), grain=grain_of(back), derived=("neck",)
    )
    return shape.with_run(replace(shape.run("neck"), marks=marks))
