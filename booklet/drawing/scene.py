"""What can be seen of a drawing: grounds and lines with everything painted over them taken away.

Labels are placed by it and arrows are judged by it. Geometry is shapely's, in the drawing's millimetres.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shapely import union_all
from shapely.geometry import LineString, MultiLineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Item, PathItem
from booklet.drawing.patterns import region
from booklet.paths import Path

# Drawn about the thing, not the thing: no arrow may end on these alone, and they never hide a surface.
ABOUT = frozenset(
    {"action", "order", "leader", "measure", "ring link", "label", "rule", "tick box", "check", "grain"}
)
# Neither words nor leaders may cross these.
BARRED = frozenset({"action", "order", "leader", "measure", "ring link"})


@dataclass(frozen=True)
class Ground:
    """A filled shape: the paths that drew it, and what is to be seen of it."""

    paths: tuple[Path, ...]
    seen: BaseGeometry
    order: int


@dataclass(frozen=True)
class Scene:
    """Grounds from the undermost up, visible lines, lines that leaders may not cross, and boxes of words."""

    grounds: tuple[Ground, ...]
    lines: tuple[BaseGeometry, ...]
    barred: tuple[BaseGeometry, ...]
    words: tuple[Polygon, ...]

    def shows(self, z: complex, within: float = 0.35) -> bool:
        """Whether something drawn lies at a point: a visible ground, or a line within so many mm."""
        spot = Point(z.real, z.imag)
        if any(g.seen.distance(spot) <= 0.05 for g in self.grounds):
            return True
        return any(line.distance(spot) <= within for line in self.lines)

    def surface(self, paths: Sequence[Path]) -> BaseGeometry:
        """What is seen of the ground that these paths drew; where they drew none, their region as it is."""
        wanted = tuple(paths)
        for ground in reversed(self.grounds):
            if ground.paths == wanted:
                return ground.seen
        return region(wanted)


def scene_of(items: Sequence[Item]) -> Scene:
    """Walks the items from the top down, so that each is cut by what lies over it."""
    cover: BaseGeometry = Polygon()
    grounds: list[Ground] = []
    lines: list[BaseGeometry] = []
    barred: list[BaseGeometry] = []
    words: list[Polygon] = []
    flat = flat_items(tuple(items))
    for order in range(len(flat) - 1, -1, -1):
        entry = flat[order]
        item = entry.item
        if not isinstance(item, PathItem):
            if item.text.strip():
                corners = text_corners(item, entry.placement)
                words.append(Polygon([(z.real, z.imag) for z in corners]))
            continue
        window = window_of(entry.clips) if entry.clips else None
        if item.stroke is not None:
            stroke = _within(line_shape(item.subpaths), window)
            if stroke.is_empty:
                pass
            elif item.role in BARRED:
                barred.append(stroke)
            elif item.role not in ABOUT and not cover.contains(stroke):
                seen = stroke.difference(cover)
                if not seen.is_empty:
                    lines.append(seen)
        if item.fill is not None and item.role not in ABOUT:
            ground = _areas(_within(region(item.subpaths), window))
            grounds.append(Ground(item.subpaths, ground.difference(cover), order))
            if item.fill.colour is not None:
                cover = cover.union(ground)
    grounds.reverse()
    lines.reverse()
    return Scene(tuple(grounds), tuple(lines), tuple(barred), tuple(words))


def window_of(clips: Sequence[Path]) -> BaseGeometry:
    """The ground that several clips leave together."""
    window = region(clips[:1])
    for clip in clips[1:]:
        window = window.intersection(region((clip,)))
    return window


def _within(shape: BaseGeometry, window: BaseGeometry | None) -> BaseGeometry:
    return shape if window is None else shape.intersection(window)


def _areas(shape: BaseGeometry) -> BaseGeometry:
    """What of a shape has an area: a window that meets a ground along its edge leaves lines too."""
    if shape.geom_type != "GeometryCollection":
        return shape
    return union_all([g for g in shape.geoms if g.area > 0])


def line_shape(paths: Sequence[Path]) -> BaseGeometry:
    """The paths as lines."""
    runs = [p.flatten(0.1) for p in paths if p.segments]
    return MultiLineString([LineString([(z.real, z.imag) for z in run]) for run in runs if len(run) > 1])
