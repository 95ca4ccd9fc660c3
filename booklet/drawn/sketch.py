"""A sketch: lines, points and names in a draft's own mm, painted at whatever scale gives every name its room."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

import shapely
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_union, flat_items
from booklet.drawing.display import Board, Fill, Group, Item, PathItem, Stroke, Text, View, circle_path
from booklet.drawing.patterns import region
from booklet.drawn.names import Name, Words, set_names
from booklet.paths import Box, Path, Placement

THIN = Stroke(0.35, look.SOFT)
DOT = 0.55
GROWTH, TIMES = 1.3, 4  # a drawing whose names do not fit is drawn larger, so often at most

Draw = Callable[[View], tuple[Item, ...]]


@dataclass
class Sketch:
    """Collects what is drawn, undermost first. Names are placed when it is painted."""

    draws: list[Draw] = field(default_factory=list)
    named: list[Name] = field(default_factory=list)
    extent: list[Path] = field(default_factory=list)

    def fill(self, outline: Path, fill: Fill) -> None:
        self.extent.append(outline)
        self.draws.append(lambda v: (PathItem((v.path(outline),), fill=fill, role="ground"),))

    def line(
        self,
        path: Path,
        pen: Stroke = THIN,
        words: Words = (),
        colour: str = look.INK,
        prefer: int = 0,
        role: str = "line",
    ) -> None:
        self.extent.append(path)
        self.draws.append(lambda v: (PathItem((v.path(path),), pen, role=role),))
        if words:
            middle = path.point(path.length / 2)
            self.named.append(Name(words, middle, path, prefer, colour))

    def point(self, at: complex, words: Words = (), colour: str = look.INK, radius: float = DOT) -> None:
        self.extent.append(Path.line(at, at))
        self.draws.append(
            lambda v: (PathItem((circle_path(v.point(at), radius),), fill=Fill(colour), role="point"),)
        )
        if words:
            self.named.append(Name(words, at, None, 0, colour))

    def name(self, at: complex, words: Words, colour: str = look.INK) -> None:
        """Words, if any, for a place that is drawn already."""
        if words:
            self.named.append(Name(words, at, None, 0, colour))

    def draw(self, draw: Draw, *extent: Path) -> None:
        """Anything else, drawn by a view: its sizes may be the paper's."""
        self.extent += extent
        self.draws.append(draw)

    @property
    def box(self) -> Box:
        """What is drawn, in the draft's mm. A sketch of nothing has no size."""
        box = boxes_union([p.bbox for p in self.extent])
        return box or (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True)
class Painted:
    """Items that fill a box from 0, 0 to `width`, `height`, and the names that found no place."""

    items: tuple[Item, ...]
    width: float
    height: float
    left_over: tuple[str, ...]
    scale: float


def paint(sketch: Sketch, wide: float, tall: float, most: float = 1.0, grow: bool = True) -> Painted:
    """The sketch so large that it fits a box of paper mm (names may reach a little beyond it), `most` at most.

    Where names find no room it is drawn larger, as long as `grow` lets it.
    """
    x0, y0, x1, y1 = sketch.box
    scale = min(wide / max(x1 - x0, 1.0), tall / max(y1 - y0, 1.0), most)
    painted = paint_at(sketch, scale)
    for _ in range(TIMES if grow else 0):
        if not painted.left_over:
            break
        scale *= GROWTH
        painted = paint_at(sketch, scale)
    return painted


def paint_at(sketch: Sketch, scale: float) -> Painted:
    """The sketch at one scale, with its names set."""
    view = View(scale)
    board = Board()
    for draw in sketch.draws:
        board.add(*draw(view))
    lines, grounds = _obstacles(board.items)
    names = [_at_scale(n, view) for n in sketch.named]
    done = set_names(names, lines, None, shapely.union_all(grounds) if grounds else None)
    items = (*board.items, *done.items)
    box = boxes_union([box_of(i) for i in items]) or (0.0, 0.0, 0.0, 0.0)
    moved = Group(items, Placement.move(complex(-box[0], -box[1])))
    left = tuple(" ".join(text for text, _ in n.words) for n in done.left_over)
    return Painted((moved,), box[2] - box[0], box[3] - box[1], left, scale)


def _at_scale(name: Name, view: View) -> Name:
    along = view.path(name.along) if name.along is not None else None
    return replace(name, at=view.point(name.at), along=along)


def _obstacles(items: list[Item]) -> tuple[list[BaseGeometry], list[BaseGeometry]]:
    """The lines and marks that words may not cross, and the grounds that they may stand on."""
    lines: list[BaseGeometry] = []
    grounds: list[BaseGeometry] = []
    for flat in flat_items(tuple(items)):
        item = flat.item
        if isinstance(item, Text):
            continue
        if item.role == "ground":
            grounds.append(region(item.subpaths))
        elif item.stroke is None:
            lines.append(region(item.subpaths))
        else:
            for path in item.subpaths:
                points = [(z.real, z.imag) for z in path.flatten(0.05)] if path.segments else []
                if len(points) > 1:
                    lines.append(shapely.LineString(points))
    return lines, grounds
