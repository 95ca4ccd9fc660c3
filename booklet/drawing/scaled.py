"""Drawings made smaller or larger, paths and places of words; pens keep their width unless they are told to go along."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from booklet.drawing.bounds import box_of, boxes_union
from booklet.drawing.display import Drawing, Group, Item, PathItem, Text
from booklet.paths import Path, Placement


def scaled(items: Iterable[Item], scale: float, pens: bool = False) -> tuple[Item, ...]:
    """Items about their own origin; type keeps its size."""
    return tuple(_scaled(i, scale, pens) for i in items)


def fitted(drawing: Drawing, wide: float, high: float, pens: bool = False) -> Drawing:
    """The inked part of a drawing, as large as a box allows and no larger than drawn; its corner at the origin."""
    box = boxes_union([box_of(i) for i in drawing.items]) or (0.0, 0.0, drawing.width, drawing.height)
    scale = min(1.0, wide / max(box[2] - box[0], 1e-9), high / max(box[3] - box[1], 1e-9))
    shift = Placement.move(-complex(box[0], box[1]) * scale)
    group = Group(scaled(drawing.items, scale, pens), shift)
    return Drawing((box[2] - box[0]) * scale, (box[3] - box[1]) * scale, (group,))


def _scaled(item: Item, scale: float, pens: bool) -> Item:
    if isinstance(item, Group):
        clip = None if item.clip is None else _path(item.clip, scale)
        at = item.placement
        moved = Placement(at.turn, at.shift * scale, at.mirrored)
        name = None if item.name is None else f"{item.name} x{scale:.6f}"
        return replace(item, items=scaled(item.items, scale, pens), placement=moved, clip=clip, name=name)
    if isinstance(item, Text):
        return replace(item, x=item.x * scale, y=item.y * scale)
    return _drawn(item, scale, pens)


def _drawn(item: PathItem, scale: float, pens: bool) -> PathItem:
    pen = item.stroke
    if pens and pen is not None:
        pen = replace(pen, width_pt=pen.width_pt * scale)
    paths = tuple(_path(p, scale) for p in item.subpaths)
    return replace(item, subpaths=paths, stroke=pen, ends=tuple(z * scale for z in item.ends))


def _path(path: Path, scale: float) -> Path:
    return Path(tuple(tuple(p * scale for p in seg) for seg in path.segments))
