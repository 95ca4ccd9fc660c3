"""Darts moved to another place about their point, whole or a share of their angle."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.darts import check_short, pivot_of, presses_first
from booklet.drafting.places import drawn_at, sewn_at
from booklet.drafting.shape import Run, Shape
from booklet.drafting.turning import Cut, NewDart, angle_of, turned
from booklet.drafting.verbs.cut_along import EQUAL_LEGS, dart_named
from booklet.drafting.verbs.spread_edges import Opened, drawn_smooth
from booklet.model import Dart, Trueing
from booklet.problems import Fault

BENDS = math.radians(1.0)  # an edge that bends by less where a dart was closed needs no smoothing


def ask_move_dart(asked: Asked, shape: Shape) -> Shape:
    """`move dart: {dart, to: {on, from, at}, press, short of point, true}`: pivoted round its point, its angle kept."""
    dart, pivot, whole = to_turn(asked, shape)
    run, at = _place(asked.within("to"), shape, dart)
    new = _new_dart(asked, shape, dart.name, dart, run, at, pivot)
    cuts = [opened_cut(shape, dart, whole, 0.0), Cut(run.name, at, at, 0.0, whole, new=new)]
    made = turned(shape, pivot, cuts, asked.key, asked.where)
    return smoothed(asked, shape, made, dart) if asked.words("true") == "smooth" else made


def ask_split_dart(asked: Asked, shape: Shape) -> Shape:
    """`split dart: {dart, into: [STAYS, MOVES], share, to: {on, from, at}, ...}`: `share` of its angle is moved."""
    dart, pivot, whole = to_turn(asked, shape)
    stays, moves = asked.listed("into")
    share = asked.amount("share", kind="ratio")
    if not 0.02 <= share <= 0.98:
        raise asked.fault(
            "dart-share", f"{share:.3g} of {dart.name} is to be moved", "Write a share between 0 and 1."
        )
    others = [d.name for d in shape.darts if d.name != dart.name]
    taken = [n for n in (stays, moves) if n in others]
    if taken or stays == moves:
        raise asked.fault(
            "twice", f"{asked.key} would have two darts '{taken[0] if taken else stays}'", "Take other names."
        )
    run, at = _place(asked.within("to"), shape, dart)
    new = _new_dart(asked, shape, moves, dart, run, at, pivot)
    old = NewDart(stays, dart.press_first, dart.press_words, abs(dart.point - pivot))
    cuts = [
        replace(opened_cut(shape, dart, whole, whole * (1 - share)), new=old),
        Cut(run.name, at, at, 0.0, whole * share, new=new),
    ]
    return turned(shape, pivot, cuts, asked.key, asked.where)


# ---------------------------------------------------------------- what is turned, and where to


def to_turn(asked: Asked, shape: Shape) -> tuple[Dart, complex, float]:
    """The dart asked for, the point it turns about, its angle there."""
    dart = dart_named(asked, shape, asked.words("dart"))
    pivot = pivot_of(shape, dart)
    gap = abs(abs(dart.first - pivot) - abs(dart.second - pivot))
    if gap > EQUAL_LEGS:
        raise asked.fault("legs", f"the legs of {dart.name} differ by {gap:.1f} mm", "True the dart first.")
    return dart, pivot, angle_of(dart, pivot)


def _place(asked: Asked, shape: Shape, dart: Dart) -> tuple[Run, float]:
    run = asked.run(shape, asked.words("on"))
    at = asked.along(shape, run, f"the new place of {dart.name}")
    up = next(t for t in shape.run(dart.edge).take_ups if t.name == dart.name)
    if run.name == dart.edge and up.start - 1 < at < up.end + 1:
        raise asked.fault("dart-place", f"{dart.name} lies there already", "Move it further along.")
    return run, at


def opened_cut(shape: Shape, dart: Dart, whole: float, now: float) -> Cut:
    up = next(t for t in shape.run(dart.edge).take_ups if t.name == dart.name)
    return Cut(dart.edge, up.start, up.end, whole, now, old=dart.name)


def _new_dart(
    asked: Asked, shape: Shape, name: str, dart: Dart, run: Run, at: float, pivot: complex
) -> NewDart:
    words = asked.words("press") or _press_words(shape, run, dart)
    short = asked.amount("short of point", default=0.0)
    check_short(asked, name, short, abs(run.path.point(at) - pivot))
    return NewDart(name, presses_first(shape, run, at, words), words, short)


def _press_words(shape: Shape, run: Run, dart: Dart) -> str:
    """Upright edges have their darts pressed down, level ones as the dart was (common practice, no source)."""
    chord = run.path.end - run.path.start
    before, after = shape.neighbours(run.name)
    if abs(chord.imag) > abs(chord.real):
        return f"to {after.name if chord.imag > 0 else before.name}"
    known = {"centre", before.name, after.name, *(f.name for f in shape.lines_across)}
    words = dart.press_words
    return words if words.removeprefix("to ").strip() in known else "to centre"


# ---------------------------------------------------------------- trueing


def between_take_ups(run: Run, at: float) -> tuple[float, float]:
    """The stretch round a place that no dart or pleat interrupts."""
    low = max((t.end for t in run.take_ups if t.end <= at + 1e-6), default=0.0)
    return low, min((t.start for t in run.take_ups if t.start >= at - 1e-6), default=run.path.length)


def smoothed(asked: Asked, before: Shape, made: Shape, dart: Dart) -> Shape:
    """The edge that lost its dart, drawn smooth where it bends there, as long as it was."""
    old, run = before.run(dart.edge), made.run(dart.edge)
    sewn = sewn_at(old, next(t.start for t in old.take_ups if t.name == dart.name))
    s = drawn_at(run, sewn)
    if abs(cmath.phase(run.path.tangent(s + 1e-3) / run.path.tangent(s - 1e-3))) < BENDS:
        return made
    low, high = between_take_ups(run, s)
    opened = Opened(
        run, [run.path.part(0, s), run.path.part(s, run.path.length)], (s,), (0.0,), low, high, False
    )
    return trued(asked, made, opened, f"drawn smooth where {dart.name} was")


def trued(asked: Asked, made: Shape, opened: Opened, words: str) -> Shape:
    name = opened.run.name
    try:
        new = drawn_smooth(opened, True, asked.where)
    except Fault:
        raise asked.fault(
            "dart-smooth", f"no smooth line for {asked.key}.{name} joins its two parts at their length",
            "Write `true: none`.",
        ) from None  # fmt: skip
    change = Trueing(name, words, opened.run.path.length + opened.gain, new.path.length)
    return replace(made.with_run(new), trueings=(*made.trueings, change))
