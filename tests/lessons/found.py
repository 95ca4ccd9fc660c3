"""Panels of one point or one line: what is given in ink, what is found in the accent, with the way it is found."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from typing import Any

from booklet.drafting.lines import direction
from booklet.drafting.points import DIRECTIONS, Asking
from booklet.drawing import look, marks
from booklet.drawing.display import Item, PathItem, Stroke, View, arc_path
from booklet.drawn.construction import references
from booklet.drawn.sketch import Sketch
from booklet.paths import Path, Placement

from .draft import Lesson

GIVEN = Stroke(0.5, look.INK)
WAY = Stroke(0.6, look.ACCENT, (1.1, 0.8))
FOUND = Stroke(1.5, look.ACCENT)
FAR = 36.0  # of a dashed arc either side of what is found, degrees at most


def found_point(lesson: Lesson, group: str, name: str) -> Sketch:
    path = ("construction", group, "points", name)
    raw: Mapping[str, Any] = lesson.source.data["construction"][group]["points"][name]
    ask = Asking(lesson.table, group, raw, path)
    sketch = Sketch()
    _given(sketch, lesson, group, raw)
    at = lesson.table.point(name, group)
    way = next((k for k in HINTS if k in raw), None)
    start = HINTS[way](sketch, ask, at) if way else 0j
    if way is None:
        sketch.point(0j, (("0, 0", 400),), look.SOFT, radius=0.4)
    _moves(sketch, ask, start)
    sketch.point(at, ((name, 600),), look.ACCENT, radius=0.9)
    return sketch


def _given(sketch: Sketch, lesson: Lesson, group: str, raw: Mapping[str, Any]) -> None:
    """The points and lines that the words name."""
    points, lines = [], []
    for word in references(raw):
        other, _, own = word.rpartition(".")
        other = other or group
        if lesson.table.has_line(other, own) and word not in lines:
            lines.append(word)
        elif lesson.table.has_point(other, own) and word not in points:
            points.append(word)
    for word in lines:
        other, _, own = word.rpartition(".")
        sketch.line(lesson.table.line(other or group, own), GIVEN, ((word, 400),))
    for word in points:
        other, _, own = word.rpartition(".")
        sketch.point(lesson.table.point(own, other or group), ((word, 400),))


def _moves(sketch: Sketch, ask: Asking, at: complex) -> None:
    for word, way in DIRECTIONS.items():
        if word in ask.raw:
            to = at + way * ask.amount(word)
            _arrow(sketch, at, to, word)
            at = to


def _arrow(sketch: Sketch, a: complex, b: complex, word: str = "") -> None:
    """A dashed way with a head at its end."""
    if abs(b - a) < 1e-6:
        return
    sketch.line(Path.line(a, b), WAY, ((word, 400),) if word else (), look.ACCENT, role="way")

    def head(view: View) -> tuple[Item, ...]:
        tip, tail = view.point(b), view.point(a)
        long = min(1.8, abs(tip - tail) * 0.6)
        shape = marks.arrow_head(tip - marks.unit(tip - tail) * 0.5, tip - tail, long, long * 0.75)
        return (PathItem((shape,), fill=look.SOLID_ACCENT, role="way"),)

    sketch.draw(head)


def _dashed(sketch: Sketch, a: complex, b: complex) -> None:
    if abs(b - a) > 1e-6:
        sketch.line(Path.line(a, b), WAY, role="way")


def _right_angle(sketch: Sketch, corner: complex, one: complex, other: complex) -> None:
    """The small square at a right angle between two directions."""

    def draw(view: View) -> tuple[Item, ...]:
        z, u, v = view.point(corner), marks.unit(one) * 1.9, marks.unit(other) * 1.9
        return (PathItem((Path.polyline([z + u, z + u + v, z + v]),), Stroke(0.5, look.ACCENT), role="way"),)

    sketch.draw(draw)


def _ticks(sketch: Sketch, *places: tuple[complex, complex]) -> None:
    """Short strokes across a way, each at a place along a direction."""

    def draw(view: View) -> tuple[Item, ...]:
        strokes = []
        for at, way in places:
            z, across = view.point(at), marks.unit(way) * 1j * 1.1
            strokes.append(Path.line(z - across, z + across))
        return (PathItem(tuple(strokes), Stroke(0.6, look.ACCENT), role="way"),)

    sketch.draw(draw)


def _arc_at(sketch: Sketch, centre: complex, at: complex, back: float = FAR, on: float = FAR) -> None:
    """A dashed arc round a centre, from `back` degrees before a place to `on` after it."""
    angle, radius = math.degrees(cmath.phase(at - centre)), abs(at - centre)
    sketch.line(arc_path(centre, radius, angle - back, angle + on), WAY, role="way")


# ---------------------------------------------------------------- one hint a way


def _from(sketch: Sketch, ask: Asking, at: complex) -> complex:
    return ask.point(ask.raw["from"])


def _midway(sketch: Sketch, ask: Asking, at: complex) -> complex:
    a, b = (ask.point(p) for p in ask.raw["midway"])
    _dashed(sketch, a, b)
    _ticks(sketch, ((a * 3 + b) / 4, b - a), ((a + b * 3) / 4, b - a))
    return at


def _divide(sketch: Sketch, ask: Asking, at: complex) -> complex:
    a, b = (ask.point(p) for p in ask.raw["divide"])
    _dashed(sketch, a, b)
    _ticks(sketch, *((a + (b - a) * k / 5, b - a) for k in (1, 3, 4)))
    return at


def _along(sketch: Sketch, ask: Asking, at: complex) -> complex:
    line = ask.line(ask.raw["along"])
    s = line.nearest(at)
    turned = "starting" in ask.raw and abs(ask.point(ask.raw["starting"]) - line.end) < 1.0
    walked = line.part(s, line.length).reversed() if turned else line.part(0.0, s)
    sketch.line(walked, Stroke(1.3, look.ACCENT), role="way")
    sketch.point(walked.start, (), look.ACCENT, radius=0.4)
    return at


def _meet(sketch: Sketch, ask: Asking, at: complex) -> complex:
    for name in ask.raw["meet"]:
        line = ask.line(name)
        end = min((line.start, line.end), key=lambda z: abs(z - at))
        if abs(line.point(line.nearest(at)) - at) > 1.0:
            _dashed(sketch, end, at)
    return at


def _square(sketch: Sketch, ask: Asking, at: complex) -> complex:
    spec = ask.raw["square"]
    start, line = ask.point(spec["from"]), ask.line(spec["to"])
    tangent = line.tangent(line.nearest(start))
    _arrow(sketch, start, at)
    _right_angle(sketch, start, at - start, tangent)
    return at


def _foot(sketch: Sketch, ask: Asking, at: complex) -> complex:
    spec = ask.raw["foot"]
    start, line = ask.point(spec["from"]), ask.line(spec["on"])
    _arrow(sketch, start, at)
    _right_angle(sketch, at, start - at, line.tangent(line.nearest(at)))
    return at


def _arc(sketch: Sketch, ask: Asking, at: complex) -> complex:
    spec = ask.raw["arc"]
    for key in ("round", "and round"):
        if key in spec:
            centre = ask.point(spec[key])
            _dashed(sketch, centre, at)
            _arc_at(sketch, centre, at, 16.0, 16.0)
    return at


def _mirrored(sketch: Sketch, ask: Asking, at: complex) -> complex:
    start = ask.point(ask.raw["mirrored"]["point"])
    _arrow(sketch, start, at)
    middle = (start + at) / 2
    _ticks(sketch, ((start + middle) / 2, at - start), ((at + middle) / 2, at - start))
    return at


def _turned(sketch: Sketch, ask: Asking, at: complex) -> complex:
    spec = ask.raw["turned"]
    centre, angle = ask.point(spec["round"]), ask.amount("turned", "by", kind="angle")
    _dashed(sketch, centre, ask.point(spec["point"]))
    _dashed(sketch, centre, at)
    _arc_at(sketch, centre, at, angle, 0.0)
    return at


def _ray(sketch: Sketch, ask: Asking, at: complex) -> complex:
    start = ask.point(ask.raw["ray"]["from"])
    angle = ask.amount("ray", "angle", kind="angle")
    level = start + abs(at - start) * 0.75
    sketch.line(Path.line(start, level), Stroke(0.35, look.SOFT), role="way")
    _arrow(sketch, start, at)
    far = start + (at - start) * 0.45
    _arc_at(sketch, start, far, angle, 0.0)
    sketch.name(
        start + abs(far - start) * cmath.rect(1.0, math.radians(angle / 2)), ((f"{angle:.0f}°", 400),)
    )
    return at


HINTS: dict[str, Callable[[Sketch, Asking, complex], complex]] = {
    "from": _from,
    "midway": _midway,
    "divide": _divide,
    "along": _along,
    "meet": _meet,
    "square": _square,
    "foot": _foot,
    "arc": _arc,
    "mirrored": _mirrored,
    "turned": _turned,
    "ray": _ray,
}


# ---------------------------------------------------------------- lines


def found_line(lesson: Lesson, group: str, name: str) -> Sketch:
    path = ("construction", group, "lines", name)
    raw: Mapping[str, Any] = lesson.source.data["construction"][group]["lines"][name]
    ask = Asking(lesson.table, group, raw, path)
    line = lesson.table.line(group, name)
    sketch = Sketch()
    _given(sketch, lesson, group, raw)
    sketch.line(line, FOUND, ((name, 600),), look.ACCENT)
    _directions(sketch, ask, line)
    if "copy" in raw:
        _carried(sketch, ask, line)
    if "parallel" in raw:
        other = ask.line(raw["parallel"]["to"])
        for share in (0.2, 0.5, 0.8):
            z = other.point(other.length * share)
            _dashed(sketch, z, line.point(line.nearest(z)))
    if "arc" in raw and "round" in raw["arc"]:
        centre = ask.point(raw["arc"]["round"])
        _dashed(sketch, centre, line.start)
        _dashed(sketch, centre, line.end)
    return sketch


def _directions(sketch: Sketch, ask: Asking, line: Path) -> None:
    """How a curve leaves and arrives: a dashed stroke each, with a small square where it is square to a line."""
    chord = line.end - line.start
    for key, at, chord_there, sense in (("leave", line.start, chord, 1), ("arrive", line.end, chord, -1)):
        if key not in ask.raw:
            continue
        words = str(ask.raw[key])
        way = direction(ask, words, at, chord_there)
        assert way is not None
        if words.startswith("square to"):
            _right_angle(sketch, at, way * sense, way * 1j)
            continue
        far = abs(way) if words.startswith("toward") else abs(chord) * 0.3
        _dashed(sketch, at, at + marks.unit(way) * far)


def _carried(sketch: Sketch, ask: Asking, line: Path) -> None:
    spec = ask.raw["copy"]
    if "mirrored in" in spec:
        axis, other = ask.line(spec["mirrored in"]), ask.line(spec["line"])
        over = other.placed(Placement.mirror(axis.start, axis.end - axis.start))
        sketch.line(over, WAY, role="way")
        return
    other = ask.line(spec["line"])
    for share in (0.0, 0.5, 1.0):
        _arrow(sketch, other.point(other.length * share), line.point(line.length * share))
