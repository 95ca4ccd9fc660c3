"""Copies drawn on a frame: the right side tinted, the wrong side white, fused interfacing dotted."""

from __future__ import annotations

from collections.abc import Iterable, Mapping

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import Fill, PathItem
from booklet.model import Part, Run
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, outlines, polygon

PLEAT_SHOWN = 0.55  # of its line: from the edge down, where the fold lies pressed
DART = look.Stroke(0.5, look.INK)


def side_fill(at: Placement) -> Fill:
    return look.WRONG_SIDE if at.mirrored else look.RIGHT_SIDE


def dotted(bench: Bench, copy: str, at: Placement) -> bool:
    """Whether fused interfacing shows on a copy: it is less easy to write upon."""
    return at.mirrored and copy in bench.fused


def lay_cloth(
    frame: Frame,
    bench: Bench,
    copy: str,
    at: Placement,
    area: shapely.Geometry | Path | None = None,
    stroke: look.Stroke = look.CUT,
) -> None:
    """A copy where it lies, or what is left of it (`area`, in the scene): its side, and the dots of its interfacing,
    which ends at the stitch lines.
    """
    shape = bench.cut_line(copy).placed(at) if area is None else area
    title = short_title(bench, copy)
    if isinstance(shape, Path):
        frame.ply(shape, side_fill(at), stroke, of=title)
        shape = polygon(shape)
    else:
        frame.area(shape, side_fill(at), stroke, of=title)
    for ring in glue_on(bench, copy, at, shape):
        frame.put(PathItem((frame.view.path(ring),), None, look.GLUE, "interfacing", of=title))


def glue_on(bench: Bench, copy: str, at: Placement, area: shapely.Geometry) -> list[Path]:
    """The outlines of the interfacing that shows on an area of a copy."""
    if not dotted(bench, copy, at):
        return []
    return outlines(polygon(bench.stitch_line(copy).placed(at)).intersection(area))


def side_words(bench: Bench, copy: str, at: Placement) -> str:
    """'front,\\nwrong side up', with the interfacing named where it shows."""
    title = short_title(bench, copy)
    return f"{title},\n{'wrong' if at.mirrored else 'right'} side up"


def short_title(bench: Bench, copy: str) -> str:
    c = bench.copies[copy]
    title = c.piece.title.lower().split(" (")[0]
    return f"{c.side} {title}" if c.piece.base else title  # left and right were drawn apart


def draw_copy(
    frame: Frame, bench: Bench, copy: str, at: Placement, notches: bool = True, stitch: bool = False
) -> None:
    lay_cloth(frame, bench, copy, at)
    if stitch:
        frame.line(bench.stitch_line(copy).placed(at), look.STITCH, "stitch")
    draw_darts(frame, bench, copy, at)
    if notches:
        draw_notches(frame, bench, copy, at)


def draw_darts(frame: Frame, bench: Bench, copy: str, at: Placement) -> None:
    """Sewn darts: a line from the closed mouth to the point; on the wrong side also the fold, as it is pressed.

    Folded pleats: a line down from the edge where each fold lies.
    """
    for dart in bench.sewn_darts(copy):
        point = at.apply(bench.lies(copy, dart.point))
        mouth = at.apply(bench.lies(copy, (dart.first + dart.second) / 2))
        frame.line(Path.line(mouth, point), DART, "dart")
        if at.mirrored:
            towards = dart.first - dart.second if dart.press_first else dart.second - dart.first
            fold = mouth + at.direction(towards / abs(towards)) * dart.intake / 2
            frame.line(Path.polyline([mouth, fold, point]), DART, "dart")
    for pleat in bench.folded_pleats(copy):
        for _, onto in pleat.moves:
            a, b = (at.apply(bench.lies(copy, z)) for z in (onto.start, onto.end))
            frame.line(Path.line(a, a + (b - a) * PLEAT_SHOWN), DART, "pleat")


def draw_notches(frame: Frame, bench: Bench, copy: str, at: Placement) -> None:
    c = bench.copies[copy]
    for notch in bench.cuts[c.piece.key].notches:
        if notch.mark.kind == "dot" or not notch.mark.match:
            continue
        for a, b in notch.strokes:
            za, zb = (at.apply(bench.lies(copy, c.placing.apply(z))) for z in (a, b))
            if frame.visible(za) and abs(zb - za) > 1e-9:
                way = (zb - za) / abs(zb - za)
                frame.put(marks.notch(frame.on_paper(za), way, look.NOTCH_LENGTH, 1))


def draw_seam(frame: Frame, paths: Iterable[Path]) -> None:
    """The seam being sewn: heavy and dashed."""
    for path in paths:
        frame.line(path, look.SEW_NOW, "seam")


def allowance_strip(bench: Bench, part: Part, reach: float = 1.15) -> shapely.Geometry:
    """The allowance beside a part, in its copy's frame: the cut area beyond the stitch line there."""
    half = bench.half(part)
    path = bench.part_path(Part(part.copy, part.edge, *sorted((part.start, part.end))))
    pts = path.flatten(0.2)
    way = np.gradient(pts)
    way = way / np.abs(way)
    out = pts + way * -1j * bench.copies[part.copy].sign * max(half.edge.allow * reach, 0.5)
    first, last = way[0] * 60, way[-1] * 60
    ring = np.concatenate(
        ([pts[0] - first], pts, [pts[-1] + last], [out[-1] + last], out[::-1], [out[0] - first])
    )
    strip = shapely.Polygon(np.column_stack((ring.real, ring.imag))).buffer(0)
    return strip.intersection(polygon(bench.cut_line(part.copy)))


def placed_area(area: shapely.Geometry, at: Placement) -> shapely.Geometry:
    def move(xy: np.ndarray) -> np.ndarray:
        z = at.apply_all(xy[:, 0] + 1j * xy[:, 1])
        return np.column_stack((z.real, z.imag))

    return shapely.transform(area, move)


def run_box(
    bench: Bench, runs: Iterable[Run], at: Mapping[str, Placement]
) -> tuple[float, float, float, float]:
    paths = [p for run in runs for p in bench.run_path(run, at)]
    boxes = [p.bbox for p in paths]
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip


def inner_point(
    bench: Bench, copy: str, at: Placement, frame: Frame, avoid: shapely.Geometry | None = None
) -> complex | None:
    """A scene point well inside what shows of a copy, clear of `avoid`: where its label may stand."""
    x0, y0, x1, y1 = frame.box
    area = polygon(bench.cut_line(copy).placed(at)).intersection(shapely.box(x0, y0, x1, y1))
    if avoid is not None:
        area = area.difference(avoid)
    if area.is_empty:
        return None
    best = max(getattr(area, "geoms", [area]), key=lambda g: g.area)
    spot = (
        shapely.maximum_inscribed_circle(best, tolerance=max(1.0, best.length / 200))
        if best.area > 1
        else None
    )
    if spot is None:
        return None
    x, y = spot.coords[0]
    return complex(x, y)
