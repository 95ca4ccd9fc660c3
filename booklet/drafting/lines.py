"""Lines of the construction: straight, smooth, arcs and quarters of ellipses, and lines made from other lines."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from typing import Any

import numpy as np

from booklet.arcs import arc_between, arc_round, arc_through, ellipse_quarter
from booklet.drafting.points import DIRECTIONS, Asking
from booklet.paths import Path, Placement
from booklet.problems import Fault
from booklet.splines import smooth_curve

JOIN = 0.05  # mm: the ends of lines that are joined must meet within this


def draw_line(ask: Asking) -> Path:
    """The line that the words ask for. Raises Fault where it cannot be drawn, with how much is missing."""
    way = next(k for k in WAYS if k in ask.raw)
    try:
        return WAYS[way](ask)
    except Fault:
        raise
    except ValueError as bad:
        raise ask.fault("line", f"{ask.group}.{ask.path[-1]} cannot be drawn: {bad}") from None


def _apart(ask: Asking, pts: Sequence[complex]) -> None:
    if any(abs(b - a) < 0.01 for a, b in zip(pts, pts[1:], strict=False)):
        raise ask.fault(
            "no-length",
            f"{ask.group}.{ask.path[-1]} has two neighbouring points in one place",
            "Leave one of them out or move it by a measure that is never 0.",
        )


def _straight(ask: Asking) -> Path:
    pts = [ask.point(p) for p in ask.raw["straight"]]
    _apart(ask, pts)
    return Path.polyline(pts)


def _curve(ask: Asking) -> Path:
    pts = [ask.point(p) for p in ask.raw["curve"]]
    _apart(ask, pts)
    leave = direction(ask, ask.raw.get("leave"), pts[0], pts[1] - pts[0])
    arrive = direction(ask, ask.raw.get("arrive"), pts[-1], pts[-1] - pts[-2])
    return smooth_curve(pts, leave, arrive)


def direction(ask: Asking, raw: Any, at: complex, chord: complex) -> complex | None:
    """A direction word as a vector. `square to LINE` and `along LINE` take the sense nearer the chord."""
    if raw is None:
        return None
    text = str(raw).strip()
    if text in DIRECTIONS:
        return DIRECTIONS[text]
    found = re.fullmatch(r"(square to|along|toward)\s+(\S+)", text)
    if not found:
        raise ask.fault(
            "direction",
            f"'{text}' is not a direction",
            "Write across, out, in, up, down, square to LINE, along LINE or toward POINT.",
        )
    how, what = found.groups()
    if how == "toward":
        return ask.towards(what, at)
    line = ask.line(what)
    tangent = line.tangent(_at(line, at))
    way = tangent * 1j if how == "square to" else tangent
    return way if (way * chord.conjugate()).real >= 0 else -way


def _arc(ask: Asking) -> Path:
    spec = ask.raw["arc"]
    if "through" in spec:
        a, b, c = (ask.point(p) for p in spec["through"])
        _apart(ask, (a, b, c))
        return arc_through(a, b, c)
    a, b = ask.point(spec["from"]), ask.point(spec["to"])
    _apart(ask, (a, b))
    if "round" in spec:
        centre = ask.point(spec["round"])
        _apart(ask, (a, centre, b))
        return arc_round(centre, a, b, spec["way"] == "clockwise")
    bulge = ask.towards(spec["bulge"], (a + b) / 2)
    return arc_between(a, b, ask.amount("arc", "radius"), bulge, bool(spec.get("large")))


def _ellipse(ask: Asking) -> Path:
    a, b = (ask.point(p) for p in ask.raw["ellipse"])
    _apart(ask, (a, b))
    leave = direction(ask, ask.raw["leave"], a, b - a)
    assert leave is not None  # the file's shape asks for it
    return ellipse_quarter(a, b, leave)


def _copy(ask: Asking) -> Path:
    spec = ask.raw["copy"]
    line = ask.line(spec["line"])
    if "mirrored in" in spec:
        axis = ask.line(spec["mirrored in"])
        line = line.placed(Placement.mirror(axis.start, axis.end - axis.start))
    if "turned round" in spec:
        angle = math.radians(ask.amount("copy", "turned by", kind="angle"))
        line = line.placed(Placement.rotation(angle, ask.point(spec["turned round"])))
    if "move" in spec:
        a, b = (ask.point(p) for p in spec["move"])
        line = line.placed(Placement.move(b - a))
    return line


def _at(line: Path, z: complex) -> float:
    """How far along a line a point lies. Its two ends, which are asked for most, are known at once."""
    if abs(z - line.start) < 1e-9:
        return 0.0
    return line.length if abs(z - line.end) < 1e-9 else line.nearest(z)


def _part_of(ask: Asking) -> Path:
    spec = ask.raw["part of"]
    line = ask.line(spec["line"])
    stops = []
    for key in ("from", "to"):
        z = ask.point(spec[key])
        s = _at(line, z)
        if abs(line.point(s) - z) > 0.5:
            raise ask.fault(
                "off-line",
                f"{spec[key]} lies {abs(line.point(s) - z):.1f} mm beside {spec['line']}",
                "Set it on the line: {along: LINE, by: LENGTH} or {foot: {from: POINT, on: LINE}}.",
            )
        stops.append(s)
    _apart(ask, [complex(s) for s in stops])
    part = line.part(min(stops), max(stops))
    return part if stops[0] < stops[1] else part.reversed()


def _joined(ask: Asking) -> Path:
    names = [str(n) for n in ask.raw["joined"]]
    lines = [ask.line(n) for n in names]
    first, second = lines[0], lines[1]
    turned = min(abs(first.start - second.start), abs(first.start - second.end)) < min(
        abs(first.end - second.start), abs(first.end - second.end)
    )
    out = first.reversed() if turned else first
    for before, name, line in zip(names, names[1:], lines[1:], strict=False):
        line = line.reversed() if abs(line.end - out.end) < abs(line.start - out.end) else line
        gap = abs(line.start - out.end)
        if gap > JOIN:
            raise ask.fault(
                "not-joined",
                f"{name} begins {gap:.1f} mm from where {before} ends",
                "Let the two share a point, and name the lines in order.",
            )
        out = out.joined(line)
    return out


def _parallel(ask: Asking) -> Path:
    """A smooth line through points square off the other, close enough to it: checked to 0.05 mm between them."""
    spec = ask.raw["parallel"]
    line, by = ask.line(spec["to"]), ask.amount("parallel", "by")
    middle = line.point(line.length / 2)
    out = line.tangent(line.length / 2) * 1j
    side = 1j if (out * ask.towards(spec["toward"], middle).conjugate()).real > 0 else -1j
    if all(len(seg) == 2 for seg in line.segments) and len(line.segments) == 1:
        shift = line.start_tangent * side * by
        return line.placed(Placement.move(shift))

    def off(s: float) -> complex:
        return line.point(s) + line.tangent(s) * side * by

    for count in (4, 8, 16, 32, 64):
        stops = [line.length * k / count for k in range(count + 1)]
        drawn = smooth_curve([off(s) for s in stops], line.start_tangent, line.end_tangent)
        checks = [off((a + b) / 2) for a, b in zip(stops, stops[1:], strict=False)]
        if max(abs(drawn.point(drawn.nearest(z)) - z) for z in checks) < 0.05:
            break
    ways = np.diff(drawn.flatten(0.5))
    turns = np.abs(np.angle(ways[1:] / ways[:-1]))
    if len(turns) and float(turns.max()) > math.radians(80):
        raise ask.fault(
            "parallel",
            f"a line {by:.1f} mm off {spec['to']} folds back on itself: it bends more tightly than that",
            "Take a smaller distance, or the other side.",
        )
    return drawn


WAYS: dict[str, Callable[[Asking], Path]] = {
    "straight": _straight,
    "curve": _curve,
    "arc": _arc,
    "ellipse": _ellipse,
    "copy": _copy,
    "part of": _part_of,
    "joined": _joined,
    "parallel": _parallel,
}
