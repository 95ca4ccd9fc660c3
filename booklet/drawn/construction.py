"""A group of the construction as a sketch: its points and lines with their names, and what it takes from elsewhere."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from booklet.drafting.shape import outline_entries
from booklet.drawing import look
from booklet.drawing.display import Stroke
from booklet.drawn.draft import SLIPS, Drafted
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


def outlines(raw_pieces: Mapping[str, Any]) -> list[list[str]]:
    """For each piece given by lines, those lines (back.side)."""
    out = []
    for raw in raw_pieces.values():
        outline = raw.get("outline") if isinstance(raw, Mapping) else None
        if isinstance(outline, list):
            out.append([line for _, lines in outline_entries(outline) for line in lines])
    return out


def of_group(drafted: Drafted, group: str, collector: Collector) -> tuple[Sketch, tuple[str, ...]]:
    """The group as it can be drafted, and the names of what can't be; why not is in `collector`."""
    table = drafted.table
    raw = table.data["construction"][group]
    sketch = Sketch()
    failed: list[str] = []
    pieces = outlines(table.data.get("pieces") or {})
    edges = {line for piece in pieces for line in piece}
    points: dict[str, complex] = {}
    lines: dict[str, Path] = {}
    for name in _listed(raw, "points"):
        with _telling(drafted, f"point {name}", failed, collector):
            points[name] = table.point(name, group)
    for name in _listed(raw, "lines"):
        with _telling(drafted, f"line {name}", failed, collector):
            lines[name] = table.line(group, name)
    shared = [line for piece in pieces if any(own.startswith(f"{group}.") for own in piece) for line in piece]
    taken_points, taken_lines = _taken(drafted, group, raw, shared)
    for name, path in taken_lines.items():
        if not any(_same(path, own) for own in lines.values()):
            sketch.line(path, TAKEN, ((name, 400),), look.SOFT)
    for name, path in lines.items():
        sketch.line(path, EDGE if f"{group}.{name}" in edges else AID, ((name, 400),), look.INK, prefer=0)
    for names, at, own in _gathered(points, taken_points):
        sketch.point(at, ((names, 600 if own else 400),), look.INK if own else look.SOFT)
    return sketch, tuple(failed)


@contextmanager
def _telling(drafted: Drafted, what: str, failed: list[str], collector: Collector) -> Iterator[None]:
    """Takes in why something cannot be worked out, and its name."""
    try:
        yield
    except Fault as fault:
        collector.add(*fault.problems)
        failed.append(what)
    except SLIPS:
        if drafted.sound:
            raise
        failed.append(what)


def _listed(raw: Any, kind: str) -> list[str]:
    found = raw.get(kind) if isinstance(raw, Mapping) else None
    return [str(n) for n in found] if isinstance(found, Mapping) else []


def _taken(
    drafted: Drafted, group: str, raw: Any, shared: list[str]
) -> tuple[dict[str, complex], dict[str, Path]]:
    """Points and lines of other groups: what this one's are drawn from, and what closes its pieces (`shared`)."""
    points: dict[str, complex] = {}
    lines: dict[str, Path] = {}
    table = drafted.table
    named = [
        word
        for kind in ("points", "lines")
        for name in _listed(raw, kind)
        for word in references(raw[kind][name])
    ]
    for word in (*named, *shared):
        other, _, own = word.partition(".")
        if not own or other == group:
            continue
        with _telling(drafted, word, [], Collector()):  # it is told where it stands
            if table.has_point(other, own):
                points[word] = table.point(own, other)
            elif table.has_line(other, own):
                lines[word] = table.line(other, own)
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
