"""Plain drawn darts: the edge is redrawn smooth with the dart closed, then opened, and its end shaped for pressing."""

from __future__ import annotations

import cmath
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape
from booklet.model import Dart, TakeUp, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve


def put_dart(
    shape: Shape,
    name: str,
    edge: str,
    middle: float,
    wide: float,
    long: float,
    press_first: bool,
    words: str,
    where: Where,
) -> Shape:
    """A dart `wide` mm across its mouth and `long` mm deep, its middle at `middle` mm along the edge's way.

    The edge is redrawn so that it runs on smoothly when the dart is folded. The legs are equal. The mouth takes the
    shape got by folding the dart towards its first leg (`press_first`) or its second and cutting across.
    """
    run = shape.run(edge)
    line = run.path
    s1, s2 = middle - wide / 2, middle + wide / 2
    if s1 < 10 or s2 > line.length - 10:
        raise Fault.of(
            "dart-place",
            f"the dart {name}, {wide:.0f} mm wide at {middle:.0f} mm, does not fit on {edge}, {line.length:.0f} mm long",
            where,
            "Set it nearer the middle of the edge or make it narrower.",
        )
    first, second = line.point(s1), line.point(s2)
    chord = second - first
    inward = chord / abs(chord) * 1j  # the ring runs clockwise, so its inside is on the right hand
    point = (first + second) / 2 + inward * long
    closing = Placement.rotation(cmath.phase((first - point) / (second - point)), point)
    before, after = line.part(0, s1), line.part(s2, line.length).placed(closing)
    via_before = [seg[0] for seg in before.segments]
    via_after = [seg[-1] for seg in after.segments]
    closed = smooth_curve(
        [*via_before, first, *via_after], line.start_tangent, closing.direction(line.end_tangent)
    )
    at_first = sum(1 for _ in via_before)
    left = Path(closed.segments[:at_first])
    right = Path(closed.segments[at_first:]).placed(closing.inverse)
    cap = _cap(left if press_first else right.reversed(), first, point, second, press_first)
    path = left.joined(cap, right)
    new = replace(run, path=path, take_ups=(TakeUp(name, left.length, left.length + cap.length),))
    intake = abs(second - first)
    dart = Dart(name, edge, first, point, second, intake, press_first, words)
    change = Trueing(edge, f"redrawn over {name}", line.length - wide, left.length + right.length)
    return replace(shape.with_run(new), darts=(*shape.darts, dart), trueings=(*shape.trueings, change))


def _cap(beside: Path, first: complex, point: complex, second: complex, press_first: bool) -> Path:
    """The edge between the legs: the neighbouring stretch seen through the folded dart, mirrored leg by leg.

    `beside` ends at the first leg (or, reversed, at the second), on the side that the fold is pressed to.
    """
    near, far = (first, second) if press_first else (second, first)
    half = cmath.phase((far - point) / (near - point)) / 2
    ray_end = point + (near - point) * cmath.exp(-1j * half) * 3
    ray = Path.line(point, ray_end)
    met = beside.crossings(ray)
    s = met[-1][0] if met else max(0.0, beside.length - abs(far - near) / 2)
    strip = beside.part(s, beside.length)  # from the fold's far side up to the near leg
    over_leg = Placement.mirror(point, near - point)
    outer = strip.placed(over_leg).reversed()  # near leg -> fold line
    middle = Placement.mirror(point, (near - point) * cmath.exp(1j * half))
    inner = outer.placed(middle).reversed()  # fold line -> far leg
    whole = Path((*outer.segments, *inner.segments))
    return whole if press_first else whole.reversed()


def ask_dart(asked: Asked, shape: Shape, name: str) -> Shape:
    """An entry of `darts:`: `{on, from, at, wide, long, press}`."""
    wide, long, far = (asked.amount(k) for k in ("wide", "long", "at"))
    if wide <= 0 or long <= 0:
        raise asked.fault(
            "dart-size",
            f"the dart {name} is {wide:.1f} mm wide and {long:.1f} mm long",
            "Give it a width and a length, or a `when:` under which it vanishes.",
        )
    run = asked.run(shape, asked.words("on"), f"the dart {name}: {asked.key}")
    begins = asked.begins(shape, run, asked.words("from"), f"the dart {name}")
    middle = far if begins else run.path.length - far
    words = asked.words("press", "to centre")
    first = presses_first(shape, run, middle, words)
    return put_dart(shape, name, run.name, middle, wide, long, first, words, asked.where)


def presses_first(shape: Shape, run: Run, middle: float, words: str) -> bool:
    """Whether 'to centre' lies towards the start of the edge: the fold's end, or where the centre line crosses."""
    towards = words.removeprefix("to ").strip()
    before, after = shape.neighbours(run.name)
    if shape.fold is not None and towards == "centre":
        return before.name == shape.fold
    if towards in (before.name, after.name):
        return before.name == towards
    across = next((f for f in shape.lines_across if f.name == towards), None)
    if across is not None:
        return min(run.path.nearest(across.path.start), run.path.nearest(across.path.end)) < middle
    return True
