"""One frame of a picture: a window of the scene brought onto paper, with what lies in it, then marks and labels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Board, Drawing, Fill, Item, PathItem, Stroke, Text, View, box_path
from booklet.drawing.labels import Label, place_labels
from booklet.paths import Path, Placement

Box = tuple[float, float, float, float]


def polygon(path: Path, tol: float = 0.3) -> shapely.Geometry:
    """A closed path as a valid area."""
    pts = path.flatten(tol)
    shape = shapely.Polygon(np.column_stack((pts.real, pts.imag)))
    return shape if shape.is_valid else shape.buffer(0)


def outlines(area: shapely.Geometry) -> list[Path]:
    """The rings of an area as closed paths."""
    out = []
    for part in getattr(area, "geoms", [area]):
        if part.geom_type != "Polygon" or part.is_empty or part.area < 1e-6:
            continue
        for ring in (part.exterior, *part.interiors):
            out.append(Path.polyline([complex(x, y) for x, y in ring.coords]))
    return out


@dataclass
class Frame:
    """A window (`box` of the scene, mm) shown at `scale` with its top left corner at `corner` on the paper."""

    box: Box
    scale: float
    corner: complex
    board: Board = field(default_factory=Board)
    labels: list[Label] = field(default_factory=list)
    cloth: list[shapely.Geometry] = field(default_factory=list)  # on paper
    lines: list[Path] = field(default_factory=list)  # on paper: what labels must keep off

    @property
    def view(self) -> View:
        return View(self.scale, Placement.move(self.corner - complex(self.box[0], self.box[1]) * self.scale))

    @property
    def size(self) -> tuple[float, float]:
        return (self.box[2] - self.box[0]) * self.scale, (self.box[3] - self.box[1]) * self.scale

    @property
    def paper_box(self) -> Box:
        w, h = self.size
        return self.corner.real, self.corner.imag, self.corner.real + w, self.corner.imag + h

    @property
    def clip(self) -> Path:
        x0, y0, x1, y1 = self.paper_box
        return box_path(x0, y0, x1 - x0, y1 - y0)

    def on_paper(self, z: complex) -> complex:
        return self.view.point(z)

    def put(self, *items: Item) -> None:
        """Items already on paper, kept within the window."""
        self.board.group(items, clip=self.clip)

    def shape(
        self, paths: Path | Sequence[Path], stroke: Stroke | None, fill: Fill | None, role: str
    ) -> None:
        many = [paths] if isinstance(paths, Path) else list(paths)
        self.put(PathItem(tuple(self.view.path(p) for p in many), stroke, fill, role))

    def ply(self, outline: Path, fill: Fill, stroke: Stroke = look.CUT, of: str = "") -> None:
        """A piece of cloth (`of` so named): filled, its edge drawn inside the window, a wave where that cuts it."""
        paper = self.view.path(outline)
        self.put(PathItem((paper,), stroke, fill, "cut", of=of))
        area = polygon(paper, 0.05)
        self.cloth.append(area)
        self.lines.append(paper)

    def area(
        self, area: shapely.Geometry, fill: Fill, stroke: Stroke | None = look.CUT, of: str = ""
    ) -> None:
        """An area of the scene (after cutting away), drawn like a ply."""
        for ring in outlines(area):
            paper = self.view.path(ring)
            self.put(PathItem((paper,), stroke, fill, "cut", of=of))
            self.lines.append(paper)
            self.cloth.append(polygon(paper, 0.05))

    def line(self, path: Path, stroke: Stroke, role: str) -> None:
        paper = self.view.path(path)
        self.put(PathItem((paper,), stroke, None, role))
        self.lines.append(paper)

    def waves(self) -> None:
        """The window's edge as a wave wherever it cuts cloth."""
        cloth = shapely.union_all(self.cloth) if self.cloth else None
        if cloth is None:
            return
        x0, y0, x1, y1 = self.paper_box
        corners = [complex(x0, y0), complex(x1, y0), complex(x1, y1), complex(x0, y1)]
        for a, b in zip(corners, [*corners[1:], corners[0]], strict=True):
            inward = (b - a) / abs(b - a) * 1j * 0.06
            edge = shapely.LineString([((z + inward).real, (z + inward).imag) for z in (a, b)])
            cut = edge.intersection(cloth)
            for part in getattr(cut, "geoms", [cut]):
                if part.geom_type != "LineString" or part.length < 1.0:
                    continue
                (ax, ay), (bx, by) = part.coords[0], part.coords[-1]
                self.board.add(
                    PathItem((marks.wave(complex(ax, ay), complex(bx, by)),), look.CUT_OFF, None, "cut off")
                )

    def label(self, text: str, at_scene: complex, surface: Path | None = None, dot: bool = True) -> None:
        """Words for the thing at a scene point; they may stand on the `surface` (a ply's outline in the scene)."""
        on = () if surface is None else (self.view.path(surface),)
        self.labels.append(Label(text, self.on_paper(at_scene), on, dot, window=(self.clip,)))

    def visible(self, z: complex) -> bool:
        x0, y0, x1, y1 = self.box
        return x0 <= z.real <= x1 and y0 <= z.imag <= y1

    def measure(
        self, a: complex, b: complex, words: str, offset: float, beside: complex | None = None
    ) -> None:
        """A measure between two scene points, `offset` mm off on paper."""
        items = marks.measure_line(self.on_paper(a), self.on_paper(b), words, offset, beside=beside)
        self.board.add(*items)


def fit_frame(box: Box, width: float, height: float, corner: complex, largest: float = 1.2) -> Frame:
    """The window as large as the given paper room allows, centred in its width."""
    scale = min(width / max(box[2] - box[0], 1.0), height / max(box[3] - box[1], 1.0), largest)
    spare = width - (box[2] - box[0]) * scale
    return Frame(box, scale, corner + spare / 2)


@dataclass
class Picture:
    """Frames and sections side by side on one drawing, labelled together."""

    width: float = 106.0
    items: list[Item] = field(default_factory=list)
    labels: list[Label] = field(default_factory=list)
    bottom: float = 0.0

    def add(self, frame: Frame) -> None:
        frame.waves()
        self.items += frame.board.items
        self.labels += frame.labels
        self.bottom = max(self.bottom, frame.paper_box[3])

    def add_items(self, items: Sequence[Item], bottom: float) -> None:
        self.items += items
        self.bottom = max(self.bottom, bottom)

    def finish(self, spare: float = 1.0) -> tuple[Drawing, tuple[Label, ...]]:
        """The drawing, its labels placed, and those that found no place. Ground is added below where labels need it."""
        for more in (spare, spare + 8.0):
            height = self.bottom + more
            placed = place_labels((0.5, 0.8, self.width - 0.5, height - 0.3), self.items, self.labels)
            if not placed.left_over:
                break
        return Drawing(self.width, height, _readable((*self.items, *placed.items))), placed.left_over


def _readable(items: tuple[Item, ...]) -> tuple[Item, ...]:
    """The items with white ground behind words that stand on interfacing dots."""
    dotted = [
        polygon(path.placed(flat.placement), 0.1)
        for flat in flat_items(items)
        if isinstance(flat.item, PathItem) and flat.item.fill is not None and flat.item.fill.pattern == "dots"
        for path in flat.item.subpaths
    ]
    if not dotted:
        return items
    ground = shapely.union_all(dotted)
    out: list[Item] = []
    for item in items:
        if isinstance(item, Text):
            box = shapely.Polygon([(z.real, z.imag) for z in text_corners(item)]).buffer(
                0.35, join_style="mitre"
            )
            if box.intersects(ground):
                out.append(PathItem(tuple(outlines(box)), None, look.WRONG_SIDE, "label"))
        out.append(item)
    return tuple(out)
