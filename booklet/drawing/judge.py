"""Looks over a finished drawing: words over words, words off the page, words too small, arrows that hit nothing."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Literal

from shapely import STRtree, get_dimensions, union_all
from shapely.geometry import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing.bounds import Flat, flat_items, text_corners
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.patterns import region
from booklet.drawing.scene import Scene, line_shape, scene_of, window_of

Kind = Literal[
    "words over words",
    "words off the page",
    "words cut off",
    "words too small",
    "arrow in nothing",
    "leader over leader",
    "line through words",
]

SMALLEST_PT = 6.0
_TOUCH = 0.05  # mm2 of two words' boxes on each other that is not yet a clash
_STRUCK = 0.5  # mm of a line within a word's box that is not yet one


@dataclass(frozen=True)
class Finding:
    """What is wrong, in words, and where on the drawing."""

    kind: Kind
    what: str
    at: complex


def judge(
    drawing: Drawing, frame: tuple[float, float, float, float] | None = None, cut_words: bool = True
) -> list[Finding]:
    """All findings of a drawing; words must keep inside `frame`, by default the drawing's own edges.

    `cut_words` False: words may run over a clip's edge, as on a tile, whose neighbour prints them whole.
    """
    frame = frame or (0.0, 0.0, drawing.width, drawing.height)
    flat = flat_items(drawing.items)
    out: list[Finding] = []
    words: list[tuple[Text, BaseGeometry]] = []
    for entry in flat:
        if not isinstance(entry.item, Text) or not entry.item.text.strip():
            continue
        corners = text_corners(entry.item, entry.placement)
        middle = sum(corners) / 4
        box = Polygon([(z.real, z.imag) for z in corners])
        if entry.clips:
            seen = box.intersection(window_of(entry.clips))
            if seen.is_empty:
                continue
            if cut_words and seen.area < box.area * 0.98:
                out.append(Finding("words cut off", f"'{entry.item.text}' is cut off by a clip", middle))
            if seen.area < box.area * 0.98:
                words.append((entry.item, seen))
                continue
        words.append((entry.item, box))
        if entry.item.size_pt < SMALLEST_PT:
            size = f"'{entry.item.text}' is set in {entry.item.size_pt:g} pt"
            out.append(Finding("words too small", size, middle))
        out += _off_page(entry.item, corners, frame)
    out += _over_each_other(words)
    leaders: list[LineString] = []
    scene: Scene | None = None
    for entry in flat:
        if not isinstance(entry.item, PathItem):
            continue
        if entry.item.role == "leader" and entry.item.stroke is not None:
            leaders += [_line(p.start, p.end) for p in entry.item.subpaths]
        for end in entry.item.ends:
            if entry.clips and not window_of(entry.clips).contains(Point(end.real, end.imag)):
                continue
            scene = scene or scene_of(drawing.items)
            if not scene.shows(end):
                where = f"a mark '{entry.item.role}' ends at ({end.real:.1f}, {end.imag:.1f}) mm on nothing"
                out.append(Finding("arrow in nothing", where, end))
    for n, line in enumerate(leaders):
        for other in leaders[n + 1 :]:
            if line.crosses(other):
                spot = line.intersection(other).centroid
                at = complex(spot.x, spot.y)
                out.append(
                    Finding("leader over leader", f"two leaders cross at {at.real:.1f}, {at.imag:.1f}", at)
                )
    return out


def struck_words(drawing: Drawing) -> list[Finding]:
    """Words with a line through them: painted before them and not covered between, or after them.

    Not part of `judge`: on tiles and lay plans words stand over lines that are pale or wide apart.
    """
    flat = flat_items(drawing.items)
    lines = [(n, e) for n, e in enumerate(flat) if isinstance(e.item, PathItem) and e.item.stroke is not None]
    shapes = [_seen(e, line_shape(e.item.subpaths)) for _, e in lines if isinstance(e.item, PathItem)]
    tree = STRtree(shapes)
    out = []
    for n, entry in enumerate(flat):
        if not isinstance(entry.item, Text) or not entry.item.text.strip():
            continue
        box = _inked(
            entry.item, Polygon([(z.real, z.imag) for z in text_corners(entry.item, entry.placement)])
        )
        for k in sorted(tree.query(box, predicate="intersects").tolist()):
            at, line = lines[k][0], shapes[k].intersection(box)
            for over in flat[at + 1 : n]:
                if isinstance(over.item, PathItem) and over.item.fill is not None and over.item.fill.colour:
                    line = line.difference(_seen(over, region(over.item.subpaths)))
            if line.length > _STRUCK:
                spot, item = line.centroid, lines[k][1].item
                said = f"a line '{item.role}' runs through '{entry.item.text}'"
                out.append(Finding("line through words", said, complex(spot.x, spot.y)))
    return out


def _seen(entry: Flat, shape: BaseGeometry) -> BaseGeometry:
    """What of a shape its clips leave; an area that a clip only touches leaves lines too, which are none of it."""
    if not entry.clips:
        return shape
    left = shape.intersection(window_of(entry.clips))
    if left.geom_type != "GeometryCollection":
        return left
    return union_all([g for g in left.geoms if get_dimensions(g) == get_dimensions(shape)])


def _inked(text: Text, box: BaseGeometry) -> BaseGeometry:
    """The words' box taken in a little: ascent and descent are seldom both inked."""
    return box.buffer(-0.12 * text.size_pt * 0.3528, join_style="mitre")


def _line(a: complex, b: complex) -> LineString:
    return LineString([(a.real, a.imag), (b.real, b.imag)])


def _off_page(
    text: Text, corners: Sequence[complex], frame: tuple[float, float, float, float]
) -> list[Finding]:
    x0, y0, x1, y1 = frame
    over = max(max(x0 - z.real, z.real - x1, y0 - z.imag, z.imag - y1) for z in corners)
    if over <= 0.01:
        return []
    return [Finding("words off the page", f"'{text.text}' leaves the frame by {over:.1f} mm", corners[0])]


def _over_each_other(words: list[tuple[Text, BaseGeometry]]) -> list[Finding]:
    if len(words) < 2:
        return []
    shrunk = [_inked(text, poly) for text, poly in words]
    tree = STRtree(shrunk)
    out = []
    for a, b in sorted(zip(*tree.query(shrunk, predicate="intersects").tolist(), strict=True)):
        if a >= b:
            continue
        meet = shrunk[a].intersection(shrunk[b])
        if meet.area > _TOUCH:
            spot = meet.centroid
            said = f"'{words[a][0].text}' and '{words[b][0].text}' lie over each other"
            out.append(Finding("words over words", said, complex(spot.x, spot.y)))
    return out
