"""A group of the construction as a sketch: its points and lines with their names, and what it takes from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any

from booklet.drafting.shape import outline_entries
from booklet.drafting.table import Table
from booklet.drawing import look
from booklet.drawing.display import Stroke
from booklet.drawn.sketch import Sketch
from booklet.paths import Path
from booklet.problems import Collector, Fault

EDGE = Stroke(0.75, look.INK)
AID = Stroke(0.35, look.INK)
TAKEN = look.HIDDEN
NEAR = 0.3  # mm: points nearer than this are drawn as one

_NAME = re.compile(r"[A-Za-z_]\w*(?:\.[A-Za-z_]\w*)?")
# Amounts, in which a word is a value and no point.
_AMOUNTS = frozenset(
    (
        "across",
        "out",
        "down",
        "up",
        "by",
        "part",
        "share",
        "angle",
        "radius",
        "and radius",
        "turned by",
        "when",
    )
)


def references(spec: Any, top: bool = True) -> Iterator[str]:
    """The words of a point's or a line's spec that may be names of others, in order."""
    if isinstance(spec, Mapping):
        for key, value in spec.items():
            if key in _AMOUNTS or (top and key == "in"):
                continue
            yield from references(value, False)
    elif isinstance(spec, list):
        for item in spec:
            yield from references(item, False)
    elif isinstance(spec, str):
        yield from _NAME.findall(spec)


def drawn_lines(raw_pieces: Mapping[str, Any]) -> frozenset[str]:
    """The lines (back.side) that are an edge of some piece."""
    out: list[str] = []
    for raw in raw_pieces.values():
        outline = raw.get("outline") if isinstance(raw, Mapping) else None
        for _, lines in outline_entries(outline) if isinstance(outline, list) else ():
            out += lines
    return frozenset(out)


def of_group(table: Table, group: str, collector: Collector) -> tuple[Sketch, tuple[str, ...]]:
    """The group as it can be drafted, and the names of what can't be; why not is in `collector`."""
    raw = table.data["construction"][group]
    sketch, failed = Sketch(), []
    edges = drawn_lines(table.data.get("pieces") or {})
    points: dict[str, complex] = {}
    lines: dict[str, Path] = {}
    for name in _listed(raw, "points"):
        try:
            points[name] = table.point(name, group)
        except Fault as fault:
            collector.add(*fault.problems)
            failed.append(f"point {name}")
    for name in _listed(raw, "lines"):
        try:
            lines[name] = table.line(group, name)
        except Fault as fault:
            collector.add(*fault.problems)
            failed.append(f"line {name}")
    taken_points, taken_lines = _taken(table, group, raw)
    for name, path in taken_lines.items():
        if not any(_same(path, own) for own in lines.values()):
            sketch.line(path, TAKEN, ((name, 400),), look.SOFT)
    for name, path in lines.items():
        sketch.line(path, EDGE if f"{group}.{name}" in edges else AID, ((name, 400),), look.INK, prefer=0)
    for names, at, own in _gathered(points, taken_points):
        sketch.point(at, ((names, 600 if own else 400),), look.INK if own else look.SOFT)
    return sketch, tuple(failed)


def _listed(raw: Any, kind: str) -> list[str]:
    found = raw.get(kind) if isinstance(raw, Mapping) else None
    return [str(n) for n in found] if isinstance(found, Mapping) else []


def _taken(table: Table, group: str, raw: Any) -> tuple[dict[str, complex], dict[str, Path]]:
    """Points and lines of other groups that this one's are drawn from."""
    points: dict[str, complex] = {}
    lines: dict[str, Path] = {}
    for kind in ("points", "lines"):
        for name in _listed(raw, kind):
            for word in references(raw[kind][name]):
                other, _, own = word.partition(".")
                if not own or other == group:
                    continue
                try:
                    if table.has_point(other, own):
                        points[word] = table.point(own, other)
                    elif table.has_line(other, own):
                        lines[word] = table.line(other, own)
                except Fault:
                    continue  # told where it stands
    return points, lines


def _same(a: Path, b: Path) -> bool:
    """Whether two lines lie on each other, whichever way they run."""
    if abs(a.length - b.length) > NEAR:
        return False
    ends = min(max(abs(a.start - p), abs(a.end - q)) for p, q in ((b.start, b.end), (b.end, b.start)))
    return ends < NEAR and abs(a.point(a.length / 2) - b.point(b.length / 2)) < NEAR


def _gathered(own: dict[str, complex], taken: dict[str, complex]) -> list[tuple[str, complex, bool]]:
    """(names, place, whether its own) with points of one place put together."""
    out: list[tuple[str, complex, bool]] = []
    for names, mine in ((own, True), (taken, False)):
        for name, at in names.items():
            k = next((k for k, (_, z, _) in enumerate(out) if abs(z - at) < NEAR), None)
            if k is None:
                out.append((name, at, mine))
            elif mine:
                out[k] = (f"{out[k][0]}, {name}", out[k][1], True)
    return out
