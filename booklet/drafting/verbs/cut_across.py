"""Cut across at a length along an edge: square to the edge, level or upright, as far as the piece goes."""

from __future__ import annotations

from booklet.drafting.asked import Asked
from booklet.drafting.places import edge_of
from booklet.drafting.shape import JOIN_GAP, Shape
from booklet.drafting.stretches import cloth, off
from booklet.drafting.verbs.cut_along import divide, kept
from booklet.paths import Path


def chord(shape: Shape, at: complex, way: complex) -> Path | None:
    """The straight line across the piece from a place on its outline, either way of `way`; None where there is none."""
    polygon = cloth(shape)
    x0, y0, x1, y1 = polygon.bounds
    reach = abs(complex(x1 - x0, y1 - y0)) + 10
    best: Path | None = None
    for unit in (way / abs(way), -way / abs(way)):
        ray = Path.line(at, at + unit * reach)
        stops = sorted(
            s for run in shape.runs for _, z in run.path.crossings(ray) if (s := abs(z - at)) > JOIN_GAP
        )
        if stops and off(polygon, at + unit * stops[0] / 2) == 0 and (best is None or stops[0] > best.length):
            best = Path.line(at, at + unit * stops[0])
    return best


def ask_cut_across(asked: Asked, shape: Shape) -> Shape:
    """`cut across: {on: EDGE, from, at, way: square, level or upright, keep or drop: EDGE, edge: NAME, marks, names}`."""
    run = asked.run(shape, asked.words("on"))
    edge_of(shape, asked.words("keep" if asked.has("keep") else "drop"), asked.key, asked.where)
    s = asked.along(shape, run, "the cut")
    ways = {"square": run.path.tangent(s) * 1j, "level": 1 + 0j, "upright": 1j}
    line = chord(shape, run.path.point(s), ways[asked.words("way", "square")])
    if line is None:
        raise asked.fault(
            "cut-misses", f"the cut from {asked.key}.{run.name} has no cloth to run through",
            "Take another way: square, level or upright.",
        )  # fmt: skip
    count = int(asked.amount("marks", default=0.0, kind="count"))
    parts = divide(shape, line, [], asked.words("edge"), count, asked.key, asked.where)
    return kept(asked, shape, parts)
