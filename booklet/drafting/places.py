"""Places along the edges of a shape: which end is meant, where a line crosses, drawn and sewn distances."""

from __future__ import annotations

from booklet.drafting.shape import Run, Shape
from booklet.problems import Fault, Where, nearest


def edge_of(shape: Shape, name: str, what: str, where: Where | None) -> Run:
    """The edge of that name. Raises Fault with the nearest names, beginning with `what` (whose edge it is)."""
    if not shape.has(name):
        raise Fault.of(
            "unknown-edge",
            f"{what} has no edge '{name}'",
            where,
            nearest(name, [r.name for r in shape.runs]).strip(),
        )
    return shape.run(name)


def begins_at(shape: Shape, run: Run, start: str, what: str, where: Where) -> bool:
    """Whether `from:` (a neighbouring edge, `fold`, or a point at an end) names the edge's start rather than its end."""
    before, after = shape.neighbours(run.name)
    if start == "fold" and shape.fold:
        start = shape.fold
    if start == before.name:
        return True
    if start == after.name:
        return False
    for name, z in shape.points:
        if name == start:
            if abs(z - run.path.start) < 0.1:
                return True
            if abs(z - run.path.end) < 0.1:
                return False
    raise Fault.of(
        "from",
        f"{what}: '{start}' is at neither end of {run.name}",
        where,
        f"Its ends meet {before.name} and {after.name}.",
    )


def crossing(shape: Shape, run: Run, line: str, what: str, where: Where) -> float:
    """Where a named line across the piece meets an edge, mm from the edge's start."""
    across = next((f for f in shape.lines_across if f.name == line), None)
    if across is None:
        raise Fault.of(
            "unknown-line",
            f"{what}: there is no line '{line}' across the piece",
            where,
            nearest(line, [f.name for f in shape.lines_across]).strip(),
        )
    ends = (across.path.start, across.path.end)
    return run.path.nearest(min(ends, key=lambda z: abs(run.path.point(run.path.nearest(z)) - z)))


def mark_of(run: Run, name: str, what: str, where: Where) -> float:
    """Where a mark lies, mm from the edge's start."""
    for mark in run.marks:
        if mark.name == name:
            return mark.at
    raise Fault.of(
        "unknown-mark",
        f"{what}: {run.name} has no mark '{name}'",
        where,
        nearest(name, [m.name for m in run.marks]).strip(),
    )


def sewn_at(run: Run, at: float) -> float:
    """Sewn distance from the edge's start to a drawn one."""
    return at - sum(max(0.0, min(at, t.end) - t.start) for t in run.take_ups if at > t.start)


def drawn_at(run: Run, sewn: float) -> float:
    """Drawn position of a sewn distance from an edge's start: folded stretches are jumped over."""
    at = sewn
    for up in sorted(run.take_ups, key=lambda t: t.start):
        if at > up.start + 1e-9:
            at += up.end - up.start
    return at


Inner = tuple[float, str, str]  # a match point inside an edge: sewn distance, kind, name


def whole_edge(shape: Shape, edge: str, second: Shape | None = None) -> tuple[float, list[Inner]]:
    """Sewn length of an edge of the opened piece, and its inner match points.

    `second` is the half that is met after the fold, where the two halves differ.
    """
    size, inner = _half_edge(shape, edge)
    if shape.fold is None:
        return size, inner
    size_2, inner_2 = _half_edge(second or shape, edge)
    before, after = shape.neighbours(edge)
    if shape.fold == before.name:  # the edge leaves the fold
        mirrored = [(size - s, k, n) for s, k, n in inner]
        beyond = [(size + s, k, n) for s, k, n in inner_2]
        return size + size_2, [*mirrored, (size, "single", "centre"), *beyond]
    if shape.fold == after.name:
        mirrored = [(size + size_2 - s, k, n) for s, k, n in inner_2]
        return size + size_2, [*inner, (size, "single", "centre"), *mirrored]
    return size + size_2, inner


def _half_edge(shape: Shape, edge: str) -> tuple[float, list[Inner]]:
    run = shape.run(edge)
    met: list[Inner] = []
    for m in run.marks:
        if m.kind != "snip":
            met.append((sewn_at(run, m.at), m.kind, m.name))
        elif m.match:  # the centre of an edge that was opened out over the fold
            met.append((sewn_at(run, m.at), "single", m.name))
    return run.sewn, met
