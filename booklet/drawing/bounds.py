"""What an item takes up on its drawing: boxes of paths, words and groups, under placing and clip."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from booklet.drawing.display import Group, Item, PathItem, Text
from booklet.drawing.text import ASCENT, DESCENT, measure
from booklet.paths import Box, Path, Placement
from booklet.units import MM_PER_POINT


@dataclass(frozen=True)
class Flat:
    """An item of a drawing taken out of its groups, in the drawing's own coordinates.

    Paths are moved there. A text is as it was written: `placement` brings it there. `clips` are in the
    drawing's coordinates.
    """

    item: PathItem | Text
    placement: Placement
    clips: tuple[Path, ...]


def flat_items(items: tuple[Item, ...], placement: Placement = Placement.IDENTITY) -> list[Flat]:
    """All paths and words in the order they are painted."""
    return list(_walk(items, placement, ()))


def _walk(items: tuple[Item, ...], at: Placement, clips: tuple[Path, ...]) -> Iterator[Flat]:
    for item in items:
        if isinstance(item, Group):
            inner = item.placement.then(at)
            own = (*clips, item.clip.placed(inner)) if item.clip is not None else clips
            yield from _walk(item.items, inner, own)
        elif isinstance(item, PathItem):
            yield Flat(placed_path_item(item, at), at, clips)
        else:
            yield Flat(item, at, clips)


def placed_path_item(item: PathItem, at: Placement) -> PathItem:
    if at == Placement.IDENTITY:
        return item
    return replace(
        item,
        subpaths=tuple(p.placed(at) for p in item.subpaths),
        ends=tuple(at.apply(z) for z in item.ends),
    )


def text_corners(text: Text, placement: Placement = Placement.IDENTITY) -> tuple[complex, ...]:
    """The four corners of the words' box (ascent to descent), from the lower left on."""
    wide = measure(text.text, text.size_pt, text.weight)
    size = text.size_pt * MM_PER_POINT
    left = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
    turn = cmath.rect(1, math.radians(text.angle_deg))
    at = complex(text.x, text.y)
    return tuple(
        placement.apply(at + turn * complex(left + u, v * size))
        for u, v in ((0.0, DESCENT), (wide, DESCENT), (wide, -ASCENT), (0.0, -ASCENT))
    )


def box_of(item: Item, placement: Placement = Placement.IDENTITY) -> Box | None:
    """The box that an item inks, strokes' widths counted; None where it inks nothing."""
    if isinstance(item, Group):
        inner = item.placement.then(placement)
        box = boxes_union([box_of(i, inner) for i in item.items])
        if box is None or item.clip is None:
            return box
        return boxes_meet(box, item.clip.placed(inner).bbox)
    if isinstance(item, Text):
        if not item.text.strip():
            return None
        return points_box(text_corners(item, placement))
    if not item.subpaths or (item.stroke is None and item.fill is None):
        return None
    half = item.stroke.width_pt * MM_PER_POINT / 2 if item.stroke else 0.0
    box = boxes_union([p.placed(placement).bbox for p in item.subpaths if p.segments])
    return (box[0] - half, box[1] - half, box[2] + half, box[3] + half) if box else None


def clip_box(clips: Sequence[Path]) -> Box | None:
    """The box that several clips leave together: None where nothing is clipped, of no size where nothing is left."""
    if not clips:
        return None
    box = clips[0].bbox
    for clip in clips[1:]:
        box = boxes_meet(box, clip.bbox) or (0.0, 0.0, 0.0, 0.0)
    return box


def points_box(points: tuple[complex, ...]) -> Box:
    xs, ys = [z.real for z in points], [z.imag for z in points]
    return min(xs), min(ys), max(xs), max(ys)


def boxes_union(boxes: list[Box | None]) -> Box | None:
    real = [b for b in boxes if b is not None]
    if not real:
        return None
    return min(b[0] for b in real), min(b[1] for b in real), max(b[2] for b in real), max(b[3] for b in real)


def boxes_meet(a: Box, b: Box) -> Box | None:
    box = max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])
    return box if box[0] < box[2] and box[1] < box[3] else None


def boxes_touch(a: Box, b: Box, gap: float = 0.0) -> bool:
    """Whether two boxes come nearer than `gap`."""
    return a[0] < b[2] + gap and b[0] < a[2] + gap and a[1] < b[3] + gap and b[1] < a[3] + gap
