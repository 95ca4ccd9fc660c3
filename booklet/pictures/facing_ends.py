"""A facing whose ends are turned in beside a zip, and the work whose opening is folded there, laid for sewing."""

from __future__ import annotations

import shapely

from booklet.drawing import look
from booklet.model import Part, Run
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, polygon
from booklet.pictures.plies import (
    allowance_strip,
    draw_darts,
    draw_notches,
    lay_cloth,
    placed_area,
    short_title,
)

IN = "end folded in"
FAR = 400.0  # mm: longer than any facing is deep


def zipped_edge(bench: Bench, copy: str) -> Part | None:
    """The edge of a copy into which a zip was set, whole."""
    for seam in bench.done:
        for run in (seam.a, seam.b) if seam.kind == "zip" and seam.b is not None else ():
            for part in run.parts:
                if part.copy == copy:
                    return Part(copy, part.edge, 0.0, bench.half(part).edge.length)
    return None


def draw_folded_host(frame: Frame, bench: Bench, host: str, at: Placement, area: shapely.Geometry) -> None:
    """The work (`area`, where it lies), the allowance of its zipped opening folded under."""
    edge = zipped_edge(bench, host)
    if edge is not None:
        area = area.difference(placed_area(allowance_strip(bench, edge), at))
    lay_cloth(frame, bench, host, at, area)
    draw_darts(frame, bench, host, at)
    draw_notches(frame, bench, host, at)


def draw_turned_end(
    frame: Frame,
    bench: Bench,
    facing: str,
    at: Placement,
    area: shapely.Geometry,
    end: str,
    clear: float,
    run: Run,
    told: set[str],
) -> Path | None:
    """The facing (`area`, where it lies) with its end folded over, `clear` mm inside the end's stitch line.

    Given back is its seam as far as the fold, or None where nothing of the seam is left.
    """
    half = next(h for h in bench.copies[facing].edges if h.name == end)
    line = half.edge.path.placed(at)
    way = (line.end - line.start) / abs(line.end - line.start)
    middle = area.centroid
    inward = way * 1j
    if ((complex(middle.x, middle.y) - line.start) / inward).real < 0:
        inward = -inward
    foot = line.start + inward * clear
    corners = [
        foot - way * FAR,
        foot + way * FAR,
        foot + way * FAR - inward * FAR,
        foot - way * FAR - inward * FAR,
    ]
    outside = polygon(Path.polyline(corners, closed=True))
    lay_cloth(frame, bench, facing, at, area.difference(outside))
    over = Placement.mirror(foot, way)
    frame.area(placed_area(area.intersection(outside), over), look.RIGHT_SIDE, of=short_title(bench, facing))
    if IN not in told:
        frame.label(IN, _middle(placed_area(area.intersection(outside), over)), None)
        told.add(IN)
    left = [p for path in bench.run_path(run, {facing: at}) for p in _outside(path, outside)]
    return left[0] if left else None


def _middle(area: shapely.Geometry) -> complex:
    spot = area.representative_point()
    return complex(spot.x, spot.y)


def _outside(path: Path, area: shapely.Geometry) -> list[Path]:
    """What of a path lies outside an area."""
    points = path.flatten(0.1)
    rest = shapely.LineString([(z.real, z.imag) for z in points]).difference(area)
    lines = [g for g in getattr(rest, "geoms", [rest]) if not g.is_empty]
    return [Path.polyline([complex(x, y) for x, y in g.coords]) for g in lines]
