"""Stretches of a shape's ring between two places on it, with the marks and take-ups that lie on them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from booklet.drafting.shape import JOIN_GAP, Run, Shape
from booklet.model import FoldLine
from booklet.paths import Path


@dataclass(frozen=True)
class Spot:
    """A place on the outline: an edge, and mm from its start along the drawn line."""

    edge: str
    at: float


def settled(shape: Shape, spot: Spot) -> Spot:
    """The spot, moved to the very end of its edge where it lies nearer to it than lines have to meet."""
    long = shape.run(spot.edge).path.length
    if spot.at < JOIN_GAP:
        return Spot(spot.edge, 0.0)
    return Spot(spot.edge, long) if spot.at > long - JOIN_GAP else spot


def place(shape: Shape, spot: Spot) -> complex:
    path = shape.run(spot.edge).path
    return path.start if spot.at <= 0 else path.end if spot.at >= path.length else path.point(spot.at)


def stretch(run: Run, s0: float, s1: float) -> Run | None:
    """A part of an edge with what lies on it; None where it has no length. Marks on a new end are left out."""
    long = run.path.length
    if s1 - s0 < 1e-6:
        return None
    if s0 <= 0 and s1 >= long:
        return run
    inner = [m for m in run.marks if (s0 + 0.1 < m.at or s0 <= 0) and (m.at < s1 - 0.1 or s1 >= long)]
    marks = tuple(replace(m, at=m.at - s0) for m in inner)
    ups = tuple(
        replace(t, start=t.start - s0, end=t.end - s0)
        for t in run.take_ups
        if t.start > s0 - 1e-6 and t.end < s1 + 1e-6
    )
    return replace(run, path=run.path.part(s0, s1), marks=marks, take_ups=ups)


def between(shape: Shape, start: Spot, end: Spot) -> list[Run]:
    """The ring from one place on to another, clockwise; all the way round where the end lies before the start."""
    a, b = settled(shape, start), settled(shape, end)
    i, j = shape.index(a.edge), shape.index(b.edge)
    first, last = shape.runs[i], shape.runs[j]
    if i == j and a.at < b.at:
        only = stretch(first, a.at, b.at)
        return [only] if only else []
    count = (j - i) % len(shape.runs) or len(shape.runs)
    inner = [shape.runs[(i + k) % len(shape.runs)] for k in range(1, count)]
    ends = (stretch(first, a.at, first.path.length), *inner, stretch(last, 0.0, b.at))
    return [run for run in ends if run is not None]


# ---------------------------------------------------------------- levels

BENT = "level:"  # so begins the name of a line across that is a bent level, or a stretch of it


def level_within(outline: Path, y: float) -> list[tuple[float, float]]:
    """Where the level line at y lies inside an outline: x from and to. Through the ends of edges it is moved by a hair."""
    for nudge in (0.0, -0.02, 0.02, -0.2, 0.2):
        met = outline.crossings(Path.line(complex(-6000, y + nudge), complex(6000, y + nudge)))
        xs = sorted(z.real for _, z in met)
        if len(xs) >= 2 and len(xs) % 2 == 0:
            return list(zip(xs[::2], xs[1::2], strict=True))
    return []


def bent_levels(lines: Sequence[FoldLine]) -> tuple[tuple[str, tuple[Path, ...]], ...]:
    """The bent levels among some lines across, each with its stretches."""
    out: dict[str, tuple[Path, ...]] = {}
    for line in lines:
        if line.name.startswith(BENT):
            name = line.name.removeprefix(BENT).split(":")[0]
            out[name] = (*out.get(name, ()), line.path)
    return tuple(out.items())


# ---------------------------------------------------------------- the cloth within a ring


def region(runs: Sequence[Path]) -> shapely.Polygon:
    """The cloth inside a ring of lines."""
    points = [z for path in runs for z in path.flatten(0.05)[:-1]]
    polygon = shapely.Polygon([(z.real, z.imag) for z in points])
    return polygon if polygon.is_valid else shapely.make_valid(polygon)


def is_simple(paths: Sequence[Path]) -> bool:
    """Whether a ring of lines neither crosses nor touches itself."""
    points = [z for path in paths for z in path.flatten(0.05)[:-1]]
    return bool(shapely.Polygon([(z.real, z.imag) for z in points]).is_valid)


def cloth(shape: Shape) -> shapely.Polygon:
    return region([r.path for r in shape.runs])


def off(polygon: shapely.Polygon, z: complex) -> float:
    """How far a point lies outside a region, mm; 0 within it."""
    return float(polygon.distance(shapely.Point(z.real, z.imag)))


def cut_up(path: Path, cuts: Sequence[Path]) -> list[Path]:
    """A line in the stretches between its crossings with some cuts."""
    met = sorted({round(s, 6) for cut in cuts for s, _ in path.crossings(cut)})
    stops = [0.0, *(s for s in met if JOIN_GAP < s < path.length - JOIN_GAP), path.length]
    return [path.part(a, b) for a, b in zip(stops[:-1], stops[1:], strict=True) if b - a > JOIN_GAP]


def line_within(line: FoldLine, polygon: shapely.Polygon, cuts: Sequence[Path]) -> FoldLine | None:
    """The stretch of a line across that lies on a part of the cloth, the longest of them; None where it has none."""
    inside = [p for p in cut_up(line.path, cuts) if off(polygon, p.point(p.length / 2)) < 0.2]
    return replace(line, path=max(inside, key=lambda p: p.length)) if inside else None
