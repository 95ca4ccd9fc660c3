"""What a view of the finished garment is made of: its plies in their places, and the layers that come of them."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field

import shapely

from booklet.drawing import look
from booklet.drawing.display import Fill
from booklet.model import Seam
from booklet.paths import Path, Placement
from booklet.pictures import sewn_on
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, outlines
from booklet.pictures.hung_sleeve import Lines
from booklet.pictures.laid_plies import FoldOver

RISE = 40.0  # mm above and below the shown plies in which those behind are seen


@dataclass(frozen=True)
class Sewn:
    """What the recipe says beside the seams: elastic lengths by step, in how many parts a pocket is divided, straps."""

    elastics: Mapping[str, float] = field(default_factory=dict)
    parts: Mapping[str, int] = field(default_factory=dict)
    attached: tuple[sewn_on.Attached, ...] = ()


@dataclass(frozen=True)
class Layer:
    """Cloth of the view with the lines on it, `of` the piece that it is cut from."""

    area: shapely.Geometry
    fill: Fill
    lines: Lines = field(default_factory=list)
    of: str = ""


@dataclass(frozen=True)
class View:
    bench: Bench
    seams: tuple[Seam, ...]
    at: dict[str, Placement]
    front: list[str]
    back: list[str]
    folds: list[FoldOver]
    sewn: Sewn
    over: Fill = look.RIGHT_SIDE  # the side of the cloth that is seen
    under: Fill = look.WRONG_SIDE
    worn: bool = True


def seen_past(outer: shapely.Geometry, foot: float = RISE / 4) -> shapely.Geometry:
    """The ground of the plies shown, and what is seen past their upper and their lower edges, not at their sides."""
    x0, y0, x1, y1 = outer.bounds
    top = outer.intersection(shapely.box(x0, y0, x1, y0 + RISE * 0.6)).bounds
    low = outer.intersection(shapely.box(x0, y1 - RISE * 0.6, x1, y1)).bounds
    past = [shapely.box(top[0], y0 - RISE, top[2], y0 + RISE * 0.6)]
    if foot:
        past.append(shapely.box(low[0], y1 - 1, low[2], y1 + foot))
    neck = shapely.box(top[0], y0, top[2], y0 + 3 * RISE)
    return shapely.union_all([outer, *past, neck])


def paint(frame: Frame, layer: Layer) -> None:
    frame.area(layer.area, layer.fill, of=layer.of)
    ground = layer.area.buffer(0.4)
    for path, stroke, role in layer.lines:
        line = shapely.LineString([(z.real, z.imag) for z in path.flatten(0.2)]).intersection(ground)
        for part in getattr(line, "geoms", [line]):
            if part.geom_type == "LineString" and part.length > 0.5:
                frame.line(Path.polyline([complex(x, y) for x, y in part.coords]), stroke, role)
    for ring in outlines(layer.area):  # once more over the ends of the lines
        frame.line(ring, look.CUT, "cut")
