"""Points of the construction: found in one of the drafter's ways, then moved across, down, up, in or out."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from typing import TYPE_CHECKING, Any

from booklet.arcs import circle_meets, circles_meet
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where

if TYPE_CHECKING:
    from booklet.drafting.table import Table

DIRECTIONS = {"across": 1 + 0j, "out": 1 + 0j, "in": -1 + 0j, "down": 1j, "up": -1j}
PROLONGED = 2000.0  # mm: how far a line is drawn on, both ways, to meet another


class Asking:
    """One point or line being worked out: its words, its group and the table it is on."""

    def __init__(self, table: Table, group: str, raw: Mapping[str, Any], path: tuple[str, ...]) -> None:
        self.table, self.group, self.raw, self.path = table, group, raw, path

    @property
    def where(self) -> Where:
        return self.table.where(*self.path)

    def point(self, ref: Any) -> complex:
        return self.table.point(str(ref), self.group, self.where)

    def line(self, ref: Any) -> Path:
        return self.table.any_line(str(ref), self.group, self.where)

    def amount(self, *keys: str, kind: str = "length") -> float:
        raw: Any = self.raw
        for key in keys:
            raw = raw[key]
        return self.table.amount(raw, *self.path, *keys, kind=kind)

    def fault(self, code: str, what: str, mend: str = "") -> Fault:
        return Fault.of(code, what, self.where, mend)

    def towards(self, text: Any, at: complex) -> complex:
        """A direction word, or the way to a point, as a vector."""
        word = str(text).strip()
        if word in DIRECTIONS:
            return DIRECTIONS[word]
        way = self.point(word.removeprefix("toward ").strip()) - at
        if abs(way) < 1e-6:
            raise self.fault("direction", f"{word} lies in the same place, so there is no way towards it")
        return way


def find_point(ask: Asking) -> complex:
    """The point that the words ask for. Raises Fault where it cannot be found, with how much is missing."""
    way = next((k for k in WAYS if k in ask.raw), None)
    at = WAYS[way](ask) if way else 0j
    for word, direction in DIRECTIONS.items():
        if word in ask.raw:
            at += direction * ask.amount(word)
    return at


def _from(ask: Asking) -> complex:
    return ask.point(ask.raw["from"])


def _midway(ask: Asking) -> complex:
    a, b = (ask.point(p) for p in ask.raw["midway"])
    return (a + b) / 2


def _divide(ask: Asking) -> complex:
    a, b = (ask.point(p) for p in ask.raw["divide"])
    share = ask.amount("part", kind="ratio") if "part" in ask.raw else 0.5
    return a + (b - a) * share


def _along(ask: Asking) -> complex:
    raw = ask.raw
    line = ask.line(raw["along"])
    far = ask.amount("by") if "by" in raw else 0.0
    if "share" in raw:
        far = line.length * ask.amount("share", kind="ratio")
    if not -1e-6 <= far <= line.length + 1e-6:
        raise ask.fault(
            "past-end",
            f"{raw['along']} is {line.length:.1f} mm long and has no point at {far:.1f} mm",
            "Take a length within the line.",
        )
    if "starting" in raw and _starts_at_end(ask, line):
        far = line.length - far
    return line.point(min(max(far, 0.0), line.length))


def _starts_at_end(ask: Asking, line: Path) -> bool:
    start = ask.point(ask.raw["starting"])
    gaps = abs(line.start - start), abs(line.end - start)
    if min(gaps) > 0.1:
        raise ask.fault(
            "starting",
            f"{ask.raw['starting']} lies {min(gaps):.1f} mm from the nearer end of {ask.raw['along']}",
            "Name the point at one of its two ends.",
        )
    return gaps[1] < gaps[0]


def _meet(ask: Asking) -> complex:
    names = [str(n) for n in ask.raw["meet"]]
    a, b = (ask.line(n) for n in names)
    if ask.raw.get("prolong"):
        a, b = _prolonged(a), _prolonged(b)
    met = [z for _, z in a.crossings(b)]
    if not met:
        gap = min(abs(b.point(b.nearest(z)) - z) for z in (a.start, a.end, a.point(a.nearest(b.start))))
        more = "" if ask.raw.get("prolong") else " Or let them be drawn on: prolong: true."
        raise ask.fault(
            "no-meeting",
            f"{names[0]} and {names[1]} do not meet: they stay about {gap:.1f} mm apart",
            "Let them cross." + more,
        )
    return _nearest(ask, met, ask.raw.get("near"))


def _prolonged(line: Path) -> Path:
    ahead = Path.line(line.end, line.end + line.end_tangent * PROLONGED)
    behind = Path.line(line.start - line.start_tangent * PROLONGED, line.start)
    return behind.joined(line, ahead)


def _nearest(ask: Asking, found: list[complex] | tuple[complex, ...], near: Any) -> complex:
    """One of several places: the first, or the one nearest to a point or furthest in a direction."""
    if near is None:
        return found[0]
    if str(near) in DIRECTIONS:
        way = DIRECTIONS[str(near)]
        return max(found, key=lambda z: (z * way.conjugate()).real)
    point = ask.point(near)
    return min(found, key=lambda z: abs(z - point))


def _square(ask: Asking) -> complex:
    spec = ask.raw["square"]
    start, line = ask.point(spec["from"]), ask.line(spec["to"])
    out = line.tangent(line.nearest(start)) * 1j
    towards = ask.towards(spec["toward"], start)
    side = (out * towards.conjugate()).real
    if abs(side) < 1e-6 * abs(towards):
        raise ask.fault(
            "direction",
            f"{spec['toward']} lies along {spec['to']}, so it does not tell the side",
            "Name a direction or a point off the line.",
        )
    return start + (out if side > 0 else -out) * ask.amount("square", "by")


def _foot(ask: Asking) -> complex:
    spec = ask.raw["foot"]
    start, line = ask.point(spec["from"]), ask.line(spec["on"])
    s = line.nearest(start)
    foot = line.point(s)
    off = start - foot
    lean = abs((off * line.tangent(s).conjugate()).real)
    if abs(off) > 1e-6 and lean > 1e-3 * abs(off) and min(s, line.length - s) < 1e-6:
        raise ask.fault(
            "no-foot",
            f"the square from {spec['from']} falls {lean:.1f} mm past the end of {spec['on']}",
            "Draw the line longer.",
        )
    return foot


def _arc(ask: Asking) -> complex:
    spec = ask.raw["arc"]
    centre, radius = ask.point(spec["round"]), ask.amount("arc", "radius")
    if radius <= 0:
        raise ask.fault("radius", f"the radius comes out as {radius:.1f} mm", "It must be more than 0.")
    if "meets" in spec:
        line = ask.line(spec["meets"])
        found = circle_meets(centre, radius, line)
        if not found:
            gaps = [abs(z - centre) for z in (line.start, line.end, line.point(line.nearest(centre)))]
            near, far = min(gaps), max(gaps)
            miss = near - radius if radius < near else radius - far
            mend = (
                "Take a longer radius."
                if radius < near
                else "Take a shorter radius, or draw the line longer."
            )
            raise ask.fault(
                "arc-short" if radius < near else "arc-long",
                f"an arc of {radius:.1f} mm round {spec['round']} does not meet {spec['meets']}: "
                f"{abs(miss):.1f} mm are {'missing' if radius < near else 'too many'}",
                mend,
            )
        return _nearest(ask, found, spec.get("near"))
    other, second = ask.point(spec["and round"]), ask.amount("arc", "and radius")
    found = circles_meet(centre, radius, other, second)
    if not found:
        far = abs(other - centre)
        miss = far - radius - second if far > radius + second else abs(radius - second) - far
        raise ask.fault(
            "arcs-apart",
            f"the arcs round {spec['round']} and {spec['and round']} do not meet: {miss:.1f} mm are missing",
            "Lengthen one of the two radii."
            if far > radius + second
            else "Bring the two radii nearer each other.",
        )
    return _nearest(ask, found, spec.get("near"))


def _mirrored(ask: Asking) -> complex:
    spec = ask.raw["mirrored"]
    line = ask.line(spec["in"])
    return Placement.mirror(line.start, line.end - line.start).apply(ask.point(spec["point"]))


def _turned(ask: Asking) -> complex:
    spec = ask.raw["turned"]
    angle = math.radians(ask.amount("turned", "by", kind="angle"))
    return Placement.rotation(angle, ask.point(spec["round"])).apply(ask.point(spec["point"]))


def _ray(ask: Asking) -> complex:
    angle = math.radians(ask.amount("ray", "angle", kind="angle"))
    return ask.point(ask.raw["ray"]["from"]) + cmath.rect(ask.amount("ray", "by"), angle)


WAYS: dict[str, Callable[[Asking], complex]] = {
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
