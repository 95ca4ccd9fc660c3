"""`measured:` a piece from coordinates read off paper: edges in order round it, each through its points."""

from __future__ import annotations

from typing import Any

from booklet.drafting.asked import Asked
from booklet.drafting.points import DIRECTIONS
from booklet.drafting.shape import Run, Shape, clockwise, snapped
from booklet.paths import Path
from booklet.splines import smooth_curve

GAP = 0.5  # mm: ends measured off paper may differ by so much and are made one point


def from_measured(asked: Asked) -> Shape:
    """`measured: {edges: {NAME: [[x, y], ...] or {smooth: [[x, y], ...], leave, arrive}}}`, x across and y down."""
    edges = asked.spec["edges"]
    lines = [(str(name), _edge(asked.within("edges", name))) for name in edges]
    return closed_ring(asked, lines, GAP)


def closed_ring(asked: Asked, lines: list[tuple[str, Path]], gap: float) -> Shape:
    """Named lines, in order round the piece, as a shape. Ends up to `gap` mm apart become one point; more is told."""
    if len(lines) < 2:
        raise asked.fault("open-outline", f"{asked.key} has fewer than two edges", "Name its edges in order.")
    names = [name for name, _ in lines]
    twice = next((name for name in names if names.count(name) > 1), None)
    if twice is not None:
        raise asked.fault("twice", f"{asked.key} has two edges called {twice}", "Name one of them otherwise.")
    out: list[tuple[str, Path]] = []
    for n, (name, line) in enumerate(lines):
        before = out[-1][1].end if out else None
        after = lines[(n + 1) % len(lines)][1]
        if before is None:  # turned so that it ends where the second begins or ends
            ends = (after.start, after.end)
            turn = min(abs(line.start - e) for e in ends) < min(abs(line.end - e) for e in ends) - 1e-9
        else:
            turn = abs(line.end - before) < abs(line.start - before) - 1e-9
        out.append((name, line.reversed() if turn else line))
    for n, (name, line) in enumerate(out):
        last, end = out[n - 1][0], out[n - 1][1].end
        if abs(line.start - end) > gap:
            raise asked.fault(
                "open-outline",
                f"{asked.key}: {name} begins {abs(line.start - end):.1f} mm from where {last} ends",
                "Let the two share a point, and name the edges in order round the piece.",
            )
        if n:
            out[n] = (name, _moved_start(line, end))
    first = out[0][1]
    out[-1] = (out[-1][0], _moved_start(out[-1][1].reversed(), first.start).reversed())
    runs = tuple(Run(name, line) for name, line in out)
    return clockwise(Shape(snapped(runs), asked.maker.side(asked.key)))


def _moved_start(line: Path, start: complex) -> Path:
    first = line.segments[0]
    return Path(((start, *first[1:]), *line.segments[1:]))


def _edge(asked: Asked) -> Path:
    if isinstance(asked.spec, list):
        return Path.polyline(_points(asked))
    points = _points(asked.within("smooth"))
    leave, arrive = (DIRECTIONS.get(asked.words(k)) for k in ("leave", "arrive"))
    return smooth_curve(points, leave, arrive)


def _points(asked: Asked) -> list[complex]:
    out = []
    for n, pair in enumerate(asked.spec):
        x, y = (asked.table.amount(pair[k], *asked.path, n, k) for k in (0, 1))
        out.append(complex(x, y))
    if any(abs(b - a) < 0.01 for a, b in zip(out, out[1:], strict=False)):
        raise asked.fault(
            "no-length", f"{asked.key}: two neighbouring points are in one place", "Leave one out."
        )
    return out


def listed_edges(raw: Any) -> list[tuple[str, str]]:
    """(edge, what it is called elsewhere) of `edges: {NAME: other}` or `edges: [NAME, ...]`."""
    if isinstance(raw, list):
        return [(str(name), str(name)) for name in raw]
    return [(str(name), str(other)) for name, other in raw.items()]
