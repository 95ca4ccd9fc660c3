"""Slash and spread: cut from one edge to another, open the slashes, draw the opened edges smooth again."""

from __future__ import annotations

import cmath
import math
import re
from collections.abc import Callable
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.numeric import Unbracketed, find_root
from booklet.drafting.shape import Run, Shape, snapped
from booklet.model import Mark, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where, nearest
from booklet.splines import smooth_curve


def slash_and_spread(
    shape: Shape,
    head: str,
    start: Mark,
    end: Mark,
    lower: str,
    slashes: int,
    open_head: float,
    open_lower: float,
    where: Where,
) -> Shape:
    """Opens `slashes` slashes between two marks of `head` (start before end along it), running to `lower`.

    `open_head` and `open_lower` are what each edge gains in all (mm, 0 = hinged there). Strips move rigidly. Outside the
    marks the head keeps its line; between them it is drawn smooth and solved to its old length + `open_head`.
    """
    top, foot = shape.run(head), shape.run(lower)
    s0, s1 = start.at, end.at
    cuts = [s0 + (s1 - s0) * (k + 0.5) / slashes for k in range(slashes)]
    feet = [foot.path.length * (1 - (k + 0.5) / slashes) for k in range(slashes)]
    placings = _strip_placings(
        [(top.path.point(c), foot.path.point(f)) for c, f in zip(cuts, feet, strict=True)],
        open_head / slashes,
        open_lower / slashes,
        where,
    )
    middle = placings[len(placings) // 2]
    placings = [p.then(middle.inverse) for p in placings]  # the middle strip stays where it was
    head_pieces = _pieces(top.path, cuts, placings)
    lower_pieces = _pieces(foot.path, sorted(feet), list(reversed(placings)))
    new_head, marks = _redraw_head(top, start, end, head_pieces, open_head, where)
    new_lower = _redraw_lower(lower_pieces)
    first, last = placings[0], placings[-1]
    n_head, n_lower = shape.index(head), shape.index(lower)
    runs = []
    for n, run in enumerate(shape.runs):
        if n == n_head:
            runs.append(replace(run, path=new_head, marks=marks))
        elif n == n_lower:
            runs.append(replace(run, path=new_lower))
        else:  # beyond the last strip, or before the first
            between = (n - n_head) % len(shape.runs) < (n_lower - n_head) % len(shape.runs)
            runs.append(replace(run, path=run.path.placed(last if between else first)))
    changes = (
        Trueing(head, "drawn smooth after the spread", top.path.length + open_head, new_head.length),
        Trueing(lower, "drawn smooth after the spread", foot.path.length + open_lower, new_lower.length),
    )
    points = tuple((name, _carried(z, shape, placings, cuts, feet, head, lower)) for name, z in shape.points)
    return replace(shape, runs=snapped(runs), trueings=(*shape.trueings, *changes), points=points)


def _strip_placings(
    slashes: list[tuple[complex, complex]], gap_head: float, gap_lower: float, where: Where
) -> list[Placement]:
    """One placing a strip: the first stays, each next one opens its slash as an equal-sided wedge."""
    out = [Placement.IDENTITY]
    for top, foot in slashes:
        leg = top - foot
        size = abs(leg)
        if abs(gap_head - gap_lower) > size:
            raise Fault.of(
                "spread",
                f"a slash {size:.0f} mm long cannot open by {abs(gap_head - gap_lower):.0f} mm more at one end",
                where,
                "Take more slashes or less fullness.",
            )
        half = math.asin((gap_head - gap_lower) / (2 * size))
        axis = leg / size * cmath.exp(1j * half)
        base = (
            axis * 1j
        )  # from the slash's first side to its second, clockwise ring: to the right of the way up
        new_foot = foot + base * gap_lower
        here = Placement(
            cmath.exp(2j * half), new_foot - cmath.exp(2j * half) * foot
        )  # turns the rest about the foot, then moves it
        out.append(here.then(out[-1]))
    return out


def _pieces(path: Path, cuts: list[float], placings: list[Placement]) -> list[Path]:
    stops = [0.0, *cuts, path.length]
    return [path.part(a, b).placed(p) for a, b, p in zip(stops[:-1], stops[1:], placings, strict=True)]


def _redraw_head(
    top: Run, start: Mark, end: Mark, pieces: list[Path], gain: float, where: Where
) -> tuple[Path, tuple[Mark, ...]]:
    """Smooth between the marks; the crown rises or sinks until the length is right."""
    keep = top.path.length - end.at
    before = pieces[0].part(0, start.at)
    after = pieces[-1].part(pieces[-1].length - keep, pieces[-1].length)
    inner = [
        pieces[0].part(start.at, pieces[0].length),
        *pieces[1:-1],
        pieces[-1].part(0, pieces[-1].length - keep),
    ]
    points = [before.end]
    for n, piece in enumerate(inner):
        if 0 < n < len(inner) - 1:
            points.append(piece.point(piece.length / 2))
    points.append(after.start)
    chord = points[-1] - points[0]
    up = chord / abs(chord) * -1j
    wanted = end.at - start.at + gain

    def drawn(lift: float) -> Path:
        n = len(points) - 1
        lifted = [p + up * lift * math.sin(math.pi * k / n) for k, p in enumerate(points)]
        return smooth_curve(lifted, before.end_tangent, after.start_tangent)

    try:
        lift = _nearest_root(lambda x: drawn(x).length - wanted, abs(chord) * 0.05)
    except Unbracketed:
        raise Fault.of(
            "spread-head",
            f"no smooth line of {wanted:.0f} mm joins the two notches after the spread",
            where,
            "Take less fullness or more slashes.",
        ) from None
    middle = drawn(lift)
    path = before.joined(middle, after)
    shift = middle.length - (end.at - start.at)
    marks = []
    for m in top.marks:
        if m.at <= start.at + 1e-9:
            at = m.at
        elif m.at >= end.at - 1e-9:
            at = m.at + shift
        else:
            at = start.at + (m.at - start.at) * middle.length / (end.at - start.at)
        marks.append(replace(m, at=at))
    return path, tuple(marks)


def _nearest_root(gap: Callable[[float], float], step: float) -> float:
    """The root nearest 0 of a length that may both grow and shrink with the lift: steps outwards, then bracketed."""
    start = gap(0.0)
    for k in range(1, 21):
        for sign in (1.0, -1.0):
            a, b = sign * step * (k - 1), sign * step * k
            if (gap(a) > 0) != (gap(b) > 0):
                return find_root(gap, a, b, 1e-5)
    raise Unbracketed(start, start)


def _redraw_lower(pieces: list[Path]) -> Path:
    """A smooth line through the strips' middles, its two ends and their directions kept."""
    points = [pieces[0].start, *(p.point(p.length / 2) for p in pieces[1:-1]), pieces[-1].end]
    turn_in, turn_out = pieces[0].start_tangent, pieces[-1].end_tangent
    return smooth_curve(points, turn_in, turn_out)


def _carried(
    z: complex,
    shape: Shape,
    placings: list[Placement],
    cuts: list[float],
    feet: list[float],
    head: str,
    lower: str,
) -> complex:
    """A drawn point goes with the strip that it lies on: counted by the slashes to its left."""
    top, foot = shape.run(head).path, shape.run(lower).path
    n = 0
    for c, f in zip(cuts, feet, strict=True):
        a, b = foot.point(f), top.point(c)
        side = ((b - a).conjugate() * (z - a)).imag
        if side > 1e-6:
            n += 1
    return placings[n].apply(z)


def ask_slash_and_spread(asked: Asked, shape: Shape) -> Shape:
    """`slash and spread: {from: head[mark..mark], to, slashes, open: {head, lower}}`."""
    text, lower = asked.words("from"), asked.words("to")
    found = re.fullmatch(r"(\w+)\[(\w+)\.\.(\w+)\]", text.replace(" ", ""))
    if not found or not shape.has(found.group(1)):
        raise asked.fault(
            "spread-from",
            f"'{text}' is not an edge with two marks",
            "Write it as head[first_mark..second_mark].",
        )
    edge, a, b = found.groups()
    marks = {m.name: m for m in shape.run(edge).marks}
    for m in (a, b):
        if m not in marks:
            raise asked.fault(
                "unknown-mark", f"{asked.key}.{edge} has no mark '{m}'", nearest(m, marks).strip()
            )
    start, end = sorted((marks[a], marks[b]), key=lambda m: m.at)
    amounts = [asked.amount("open", name, default=0.0) for name in (edge, lower)]
    count = int(asked.amount("slashes", kind="count"))
    if min(amounts) < 0 or not 1 <= count <= 60:
        raise asked.fault(
            "spread",
            f"{count} slashes opened by {amounts[0]:.0f} and {amounts[1]:.0f} mm",
            "Amounts are 0 or more, slashes 1 to 60.",
        )
    return slash_and_spread(shape, edge, start, end, lower, count, amounts[0], amounts[1], asked.where)
