"""A dart folded out for good: what it took up turns through its point to another edge, which opens as flare."""

from __future__ import annotations

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape
from booklet.drafting.turning import Cut, turned
from booklet.drafting.verbs.move_dart import between_take_ups, opened_cut, smoothed, to_turn, trued
from booklet.drafting.verbs.spread_edges import Opened
from booklet.model import Dart
from booklet.paths import Path


def ask_close_dart(asked: Asked, shape: Shape) -> Shape:
    """`close dart: {dart, open: EDGE, from, at, true}`: folded out for good; the edge opens by its angle, as flare."""
    dart, pivot, whole = to_turn(asked, shape)
    run = asked.run(shape, asked.words("open"))
    if run.name == dart.edge:
        raise asked.fault("dart-place", f"{dart.name} lies on {run.name} itself", "Open another edge.")
    if any(asked.has(k) for k in ("at", "where", "mark")):
        at = asked.along(shape, run, "the place that opens")
    else:
        at = _straight_on(asked, dart, pivot, run)
    cuts = [opened_cut(shape, dart, whole, 0.0), Cut(run.name, at, at, 0.0, whole)]
    made = turned(shape, pivot, cuts, asked.key, asked.where)
    if asked.words("true", "smooth") == "none":
        return made
    made = _drawn_over_gap(asked, made, run, at)
    return smoothed(asked, shape, made, dart)


def _straight_on(asked: Asked, dart: Dart, pivot: complex, run: Run) -> float:
    """Where the dart's own line, drawn on beyond its point, meets an edge."""
    way = pivot - (dart.first + dart.second) / 2
    ray = Path.line(pivot + way / abs(way), pivot + way / abs(way) * 5000)
    met = min(run.path.crossings(ray), key=lambda m: abs(m[1] - pivot), default=None)
    if met is None:
        raise asked.fault(
            "dart-place",
            f"{dart.name} does not point at {run.name}",
            "Say with from: and at: where it opens.",
        )
    return met[0]


def _drawn_over_gap(asked: Asked, made: Shape, old: Run, at: float) -> Shape:
    """The opened edge drawn smooth over its gap, as long as it was and what was opened."""
    run = made.run(old.name)
    gap = run.path.length - old.path.length
    parts = [run.path.part(0, at), run.path.part(at + gap, run.path.length)]
    low, high = between_take_ups(old, at)
    opened = Opened(old, parts, (at,), (gap,), low, high, False)
    return trued(asked, made, opened, "drawn smooth over the opening")
