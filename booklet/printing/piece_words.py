"""The words on a full-scale piece: its label upright and in free ground, edge names along their edges, callouts.

Placed on the sheet, after the pieces lie: words stay clear of lines, of each other and of the joints between tiles.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.bounds import text_corners
from booklet.drawing.display import Group, Item, PathItem, Text
from booklet.drawing.labels import Label, place_labels
from booklet.drawing.marks import readable_angle
from booklet.drawing.page import EdgeNote
from booklet.drawing.text import DESCENT, X_HEIGHT, height_mm, measure
from booklet.paths import Path, Placement
from booklet.printing.free_ground import FreeGround, line_shapes, word_shapes
from booklet.printing.grid import Grid
from booklet.printing.nest_names import nest_names
from booklet.printing.nest_spots import spot_names
from booklet.printing.sheet import PlacedPiece

_CLEAR = 2.5  # mm of clear ground round a label
_NOTE_PT = 9.0
_SMALLER_PT = (7.6, 6.4)  # where words with leaders find no room
_NOTE_OFF = 1.6  # an edge's name stands so far off its line
_BESIDE = 5.0  # mm: as far out a name on the cut line, or beside its turns, may reach


@dataclass(frozen=True)
class _Format:
    """Sizes of a label's number, title and lines in points; `stacked`: the title under the number."""

    number_pt: float
    title_pt: float
    line_pt: float
    leading: float
    stacked: bool = False


_FORMATS = (
    _Format(34, 18, 9.6, 4.9),
    _Format(26, 14, 8.8, 4.3),
    _Format(22, 11.5, 8.0, 3.8, stacked=True),
    _Format(18, 10, 7.6, 3.5),
    _Format(16, 9, 7.6, 3.4, stacked=True),
)


@dataclass(frozen=True)
class PieceWords:
    """The words of one piece in the sheet's mm, and what found no place. `named`: of a nest, each size's own names."""

    items: tuple[Item, ...]
    left_over: tuple[str, ...]
    named: tuple[tuple[Item, ...], ...] = ()


def piece_words(entry: PlacedPiece, grid: Grid) -> PieceWords:
    """Label, edge names and callouts of a placed piece."""
    piece, placement = entry.piece, entry.placement
    drawn = (Group(piece.items, placement), *(Group(s.items, placement) for s in piece.sizes))
    whole = _ground(piece.outline.placed(placement))
    ground = whole if piece.ground is None else _ground(piece.ground.placed(placement))
    lines, joints = line_shapes(drawn), [*_joints(whole, grid), *_joint_marks(whole, grid)]
    free = FreeGround(ground, [*lines, *joints])
    items: list[Item] = []
    left: list[str] = []
    label = _label(entry, free)
    if label is None:  # a piece is never printed without its number
        across = FreeGround(ground, [*lines, *_joint_marks(whole, grid)])
        label, lost = _in_parts(entry, free, across)
        left += lost
    if label is None:
        left.append(f"{piece.number} {piece.title}")
    else:
        items += label
        free.add(*word_shapes(label))
    inside = (piece.outline.placed(placement),)
    calls = [(c.text, placement.apply(c.target)) for c in piece.callouts]
    for note in piece.edge_notes:
        brief = replace(note, text=note.short or note.text)
        text = _edge_note(note, placement, free) or _edge_note(brief, placement, free)
        if text is None:  # too long for its edge: called out from the edge's middle
            calls.append((brief.text, placement.apply(note.line.point(note.line.length / 2))))
        else:
            items.append(text)
            free.add(*word_shapes([text]))
    wanted = [Label(text, at, dot=False, within=inside) for text, at in calls]
    names = nest_names(entry, [*joints, *word_shapes(items)])
    wanted += [Label(piece.sizes[n].size, at, within=inside) for n, at in names.unnamed]
    there = [*drawn, *items, *(item for named in names.named for item in named), *map(_as_item, joints)]
    called, lost = _called(ground, there, wanted)
    items += called
    left += lost
    taken = [*joints, *word_shapes(items), *word_shapes([i for named in names.named for i in named])]
    spots = spot_names(entry, [*lines, *line_shapes(called)], taken)
    if spots.unnamed:
        more = [Label(piece.sizes[n].size, at, within=inside) for n, at in spots.unnamed]
        around = [*there, *items, *(i for named in spots.named for i in named)]
        called, lost = _called(ground, around, more)
        items += called
        left += lost
    named = tuple((*a, *b) for a, b in zip(names.named, spots.named, strict=True))
    return PieceWords(tuple(items), tuple(left), named)


def _called(
    ground: Polygon, there: Sequence[Item], wanted: Sequence[Label]
) -> tuple[tuple[Item, ...], tuple[str, ...]]:
    """Words with leaders, in smaller letters where that gives them room; and those that have none."""
    items: tuple[Item, ...] = ()
    for size_pt in (_NOTE_PT, *_SMALLER_PT):
        found = place_labels(ground.bounds, [*there, *items], [replace(w, size_pt=size_pt) for w in wanted])
        items += tuple(found.items)
        wanted = found.left_over
        if not wanted:
            break
    return items, tuple(label.text for label in wanted)


def _ground(outline: Path) -> Polygon:
    points = outline.flatten(0.2)
    return Polygon(np.column_stack([points.real, points.imag]))


def _joints(ground: Polygon, grid: Grid) -> list[LineString]:
    """The joints that cross the piece's box or run close by: words that lie over one are cut in two."""
    x0, y0, x1, y1 = ground.buffer(_BESIDE, cap_style="square", join_style="mitre").bounds
    out = []
    for column in range(math.ceil(x0 / grid.step_x), math.floor(x1 / grid.step_x) + 1):
        out.append(LineString([(column * grid.step_x, y0 - 1), (column * grid.step_x, y1 + 1)]))
    for row in range(math.ceil(y0 / grid.step_y), math.floor(y1 / grid.step_y) + 1):
        out.append(LineString([(x0 - 1, row * grid.step_y), (x1 + 1, row * grid.step_y)]))
    return out


def _joint_marks(ground: Polygon, grid: Grid) -> list[Polygon]:
    """Where tiles may print their diamonds with their numbers: at a quarter and three quarters of each side."""
    x0, y0, x1, y1 = ground.bounds
    out = []
    for row in range(max(0, math.floor(y0 / grid.step_y)), math.floor(y1 / grid.step_y) + 2):
        for column in range(max(0, math.floor(x0 / grid.step_x)), math.floor(x1 / grid.step_x) + 2):
            x, y = column * grid.step_x, row * grid.step_y
            for share in (0.25, 0.75):
                up, along = y + grid.step_y * share, x + grid.step_x * share
                out.append(shapely.box(x - 14, up - 7, x + 14, up + 7))
                out.append(shapely.box(along - 16, y - 8, along + 16, y + 8))
    return [box for box in out if box.dwithin(ground, _BESIDE)]


def _as_item(shape: BaseGeometry) -> Item:
    line = shape.exterior if isinstance(shape, Polygon) else shape
    path = Path.polyline([complex(x, y) for x, y in line.coords])
    return PathItem((path,), look.FINE, role="joint")


# ---------------------------------------------------------------- the label


def _label(entry: PlacedPiece, free: FreeGround, forms: tuple[_Format, ...] = _FORMATS) -> list[Item] | None:
    """The largest setting that finds clear ground; upright before turned, whole before over a joint."""
    middle = free.ground.representative_point()
    near = complex(middle.x, middle.y)
    for clear in (_CLEAR, 1.2, 0.6):
        for angle in (0.0, -90.0):
            for form in forms:
                block, wide, tall = _block(entry, form)
                box = (wide, tall) if angle == 0 else (tall, wide)
                step = 1.0 if clear < 1 else (4.0 if form.number_pt > 20 else 2.0)
                at = free.best(*box, clear=clear, enough=9.0, near=near, step=step)
                if at is not None:
                    corner = at - _spin(complex(wide, tall) / 2, angle)
                    return [_turned(text, corner, angle) for text in block]
    return None


def _in_parts(
    entry: PlacedPiece, free: FreeGround, across: FreeGround
) -> tuple[list[Item] | None, tuple[str, ...]]:
    """Number and title by themselves, the lines near them; and the lines that found no ground.

    The lines stay one block where any size of number leaves room for it, off the joints or, read once the pages are
    joined, over one; else they part in order. Where even number and title find no ground, the whole label lies over a
    joint.
    """
    bare = replace(entry, piece=replace(entry.piece, lines=()))
    labels = [found for form in _FORMATS if (found := _label(bare, free, (form,))) is not None]
    if not labels:
        return _label(entry, across), ()
    for ground in (free, across):
        for label in labels:
            lines, lost = _lines(
                entry.piece.lines, label, FreeGround(ground.ground, ground.obstacles), part=False
            )
            if not lost:
                return [*label, *lines], ()
    lines, lost = _lines(entry.piece.lines, labels[-1], FreeGround(free.ground, free.obstacles), part=True)
    return [*labels[-1], *lines], lost


def _lines(
    lines: tuple[str, ...], label: list[Item], free: FreeGround, part: bool
) -> tuple[list[Item], tuple[str, ...]]:
    """The lines as a block near the label, in the smallest size; with `part`, halved until they fit."""
    if not lines:
        return [], ()
    free.add(*word_shapes(label))
    near = shapely.union_all(word_shapes(label)).centroid
    form = _FORMATS[-1]
    base = height_mm(form.line_pt)
    block = [
        Text(0, base + n * form.leading, line, form.line_pt, 400, look.INK, role="piece line")
        for n, line in enumerate(lines)
    ]
    wide = max(measure(line, form.line_pt, 400) for line in lines)
    size = complex(wide, block[-1].y + height_mm(form.line_pt, DESCENT))
    for angle in (0.0, -90.0):
        box = (size.real, size.imag) if angle == 0 else (size.imag, size.real)
        at = free.best(*box, clear=0.7, enough=2.0, near=complex(near.x, near.y), step=1.5)
        if at is not None:
            corner = at - _spin(size / 2, angle)
            return [_turned(text, corner, angle) for text in block], ()
    if not part or len(lines) == 1:
        return [], lines
    half = (len(lines) + 1) // 2
    first, lost_first = _lines(lines[:half], label, free, part)
    second, lost_second = _lines(lines[half:], [*label, *first], free, part)
    return [*first, *second], (*lost_first, *lost_second)


def _block(entry: PlacedPiece, form: _Format) -> tuple[list[Text], float, float]:
    """The label's words with the upper left corner at the origin, and the block's size."""
    piece = entry.piece
    out: list[Text] = []
    base = height_mm(form.number_pt)
    out.append(Text(0, base, piece.number, form.number_pt, 600, look.INK, role="piece number"))
    number_wide = measure(piece.number, form.number_pt, 600)
    x, y = (0.0, base + form.title_pt * 0.42) if form.stacked else (number_wide + form.number_pt * 0.1, base)
    if piece.title:
        out.append(Text(x, y, piece.title, form.title_pt, 600, look.INK, role="piece title"))
    for n, line in enumerate(piece.lines):
        y += form.leading * (1.25 if n == 0 else 1.0)
        out.append(Text(0, y, line, form.line_pt, 400, look.INK, role="piece line"))
    wide = max(t.x + measure(t.text, t.size_pt, t.weight) for t in out)
    return out, wide, y + height_mm(out[-1].size_pt, DESCENT)


def _spin(z: complex, angle: float) -> complex:
    return z if angle == 0 else z * complex(math.cos(math.radians(angle)), math.sin(math.radians(angle)))


def _turned(text: Text, at: complex, angle: float) -> Text:
    foot = at + _spin(complex(text.x, text.y), angle)
    return Text(
        foot.real, foot.imag, text.text, text.size_pt, text.weight, text.colour, angle, role=text.role
    )


# ---------------------------------------------------------------- edge names


def _edge_note(note: EdgeNote, placement: Placement, free: FreeGround) -> Text | None:
    """The name on the inner side of its line, where it is clear of all else: near the middle first."""
    line = note.line.placed(placement)
    long = line.length
    wide = measure(note.text, _NOTE_PT, 400)
    if long < wide * 1.1:
        return None
    for share in _from_the_middle(25):
        s = wide / 2 + (long - wide) * share
        for inward in (-1j, 1j):
            text = _note_at(note.text, line, s, inward)
            box = Polygon([(z.real, z.imag) for z in text_corners(text)])
            if free.ground.contains(box) and free.clearance(np.array([box]))[0] >= 0.6:
                return text
    return None


def _note_at(words: str, line: Path, s: float, inward: complex) -> Text:
    """The words square off the line at s, along the chord that they span."""
    half = measure(words, _NOTE_PT, 400) / 2
    a, b = line.point(max(s - half, 0.0)), line.point(min(s + half, line.length))
    way = (b - a) / abs(b - a)
    angle = readable_angle(way)
    up = complex(math.cos(math.radians(angle)), math.sin(math.radians(angle))) * -1j
    out = way * inward
    # On a bend the line bulges past its chord: stand off from where it comes nearest.
    bulge = max(
        ((line.point(min(max(s + t * half, 0.0), line.length)) - a) / out).real for t in (-0.5, 0, 0.5)
    )
    over = (out / up).real > 0  # the words stand above the line as they read
    gap = (
        max(bulge, 0.0)
        + _NOTE_OFF
        + (height_mm(_NOTE_PT, DESCENT) if over else height_mm(_NOTE_PT, X_HEIGHT + 0.2))
    )
    middle = (a + b) / 2 + out * gap
    return Text(middle.real, middle.imag, words, _NOTE_PT, 400, look.SOFT, angle, "middle", "edge name")


def _from_the_middle(count: int) -> list[float]:
    """Shares of a length, the middle first: 0.5, 0.4, 0.6, 0.3 ..."""
    steps = [0.5]
    for n in range(1, count // 2 + 1):
        steps += [0.5 - n / count, 0.5 + n / count]
    return steps
