"""Pieces drawn small, all at one scale: each facing beside the piece it is sewn to, with an arrow between the edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Group, Item, Text, View
from booklet.drawing.text import height_mm, measure, paragraph
from booklet.model import CutPiece, Edge, Job
from booklet.pages.copy_words import copy_lines
from booklet.pages.ground import Ground, line_of, polygon_of
from booklet.pages.piece_block import cloth_title, shared_edge_words
from booklet.pages.piece_lines import SMALL, draw_lines, fill_items, grain_line, on_paper
from booklet.pages.words import Words
from booklet.paths import Path, Placement

SCALES = (5, 6, 7, 8, 9, 10, 12, 14, 16, 18, 20, 25)
NUMBER_PT, TITLE_PT, WORDS_PT, WORDS_LEADING = 15.0, 10.4, 8.4, 3.7
GAP, ROW_GAP, LABEL_GAP, STACK_GAP = 9.0, 9.0, 2.6, 6.0
BRACKET = 3.6


@dataclass(frozen=True)
class Thumb:
    """A small drawing with its own box, its upper left corner at (0, 0)."""

    items: tuple[Item, ...]
    wide: float
    high: float


@dataclass(frozen=True)
class Label:
    """Number, title and copies of a piece, set from (0, 0)."""

    items: tuple[Item, ...]
    wide: float
    high: float


def chart_drawing(job: Job, words: Words, wide: float, room: float) -> tuple[tuple[Item, ...], float, int]:
    """All pieces in shelves `wide` mm, as large as `room` mm of height allows: items, height, scale."""
    for scale in SCALES:
        shelves = _shelves(_groups(job, words, scale), wide)
        high = sum(max(c.high for c in row) for row in shelves) + ROW_GAP * (len(shelves) - 1)
        if high <= room and all(c.wide <= wide for row in shelves for c in row):
            break
    return _set(shelves, wide), high, scale


@dataclass
class _Column:
    """Thumbs one above the other on a shelf."""

    thumbs: list[Thumb]

    @property
    def wide(self) -> float:
        return max(t.wide for t in self.thumbs)

    @property
    def high(self) -> float:
        return sum(t.high for t in self.thumbs) + STACK_GAP * (len(self.thumbs) - 1)


Shelf = list[_Column]


def _shelves(thumbs: Sequence[Thumb], wide: float) -> list[Shelf]:
    """In order: over a lower piece of the shelf if there is height for it, beside the last, or on a new shelf."""
    shelves: list[Shelf] = []
    for thumb in thumbs:
        shelf = shelves[-1] if shelves else []
        used = sum(c.wide for c in shelf) + GAP * len(shelf)
        tallest = max((c.high for c in shelf), default=0.0)
        over = next(
            (
                c
                for c in shelf
                if c.high + STACK_GAP + thumb.high <= tallest
                and used - GAP - c.wide + max(c.wide, thumb.wide) <= wide
            ),
            None,
        )
        if over is not None:
            over.thumbs.append(thumb)
        elif shelf and used + thumb.wide <= wide:
            shelf.append(_Column([thumb]))
        else:
            shelves.append([_Column([thumb])])
    return shelves


def _set(shelves: Sequence[Shelf], wide: float) -> tuple[Item, ...]:
    """Shelves from y = 0 down; on a shelf the pieces stand on one line, the spare width between them."""
    items: list[Item] = []
    y = 0.0
    for shelf in shelves:
        high = max(c.high for c in shelf)
        spare = wide - sum(c.wide for c in shelf)
        gap = min(spare / max(len(shelf) - 1, 1), 2.6 * GAP)
        x = 0.0
        for column in shelf:
            foot = y + high
            for thumb in column.thumbs:
                items.append(Group(thumb.items, Placement.move(complex(x, foot - thumb.high))))
                foot -= thumb.high + STACK_GAP
            x += column.wide + gap
        y += high + ROW_GAP
    return tuple(items)


def _groups(job: Job, words: Words, scale: int) -> list[Thumb]:
    """One thumb for each piece that is nobody's facing, its facings with it, in the order of the numbers."""
    cuts = sorted(job.size.cut_pieces, key=lambda c: c.piece.number)
    keys = {c.piece.key for c in cuts}
    facings: dict[str, list[CutPiece]] = {}
    for cut in cuts:
        facing = cut.piece.facing
        if facing is not None and facing.parent in keys:
            facings.setdefault(facing.parent, []).append(cut)
    held = {c.piece.key for row in facings.values() for c in row}
    return [
        _thumb(job, words, cut, facings.get(cut.piece.key, []), scale)
        for cut in cuts
        if cut.piece.key not in held
    ]


# ---------------------------------------------------------------- one group


@dataclass(frozen=True)
class _Drawn:
    """A piece with its label, in its own frame at scale: its box, and where its view has it."""

    items: tuple[Item, ...]
    box: tuple[float, float, float, float]
    view: View


def _thumb(job: Job, words: Words, cut: CutPiece, facings: Sequence[CutPiece], scale: int) -> Thumb:
    """The parent in its own frame; each facing to that side to which the shared edge looks, at its own height."""
    parent = _piece(job, words, cut, View(1 / scale), label_side=0)
    items = list(parent.items)
    boxes = [parent.box]
    left, right = parent.box[0], parent.box[2]
    for facing in facings:
        edge, own = _shared(cut, facing)
        side = 1 if edge is not None and edge.path.normal(edge.length / 2).real > 0.1 else -1
        first = _piece(job, words, facing, View(1 / scale), label_side=side)
        shift = right + GAP - first.box[0] if side > 0 else left - GAP - first.box[2]
        drop = 0.0
        if edge is not None and own is not None:
            drop = (edge.path.point(edge.length / 2) - own.path.point(own.length / 2)).imag / scale
        view = View(1 / scale, Placement.move(complex(shift, drop)))
        moved = _piece(job, words, facing, view, label_side=side)
        items += moved.items
        boxes.append(moved.box)
        left, right = min(left, moved.box[0]), max(right, moved.box[2])
        if edge is not None and own is not None:
            arrow, box = _arrow(own, view, edge, parent.view)
            items += arrow
            boxes.append(box)
    x0, y0 = min(b[0] for b in boxes), min(b[1] for b in boxes)
    x1, y1 = max(b[2] for b in boxes), max(b[3] for b in boxes)
    return Thumb((Group(tuple(items), Placement.move(complex(-x0, -y0))),), x1 - x0, y1 - y0)


def _shared(parent: CutPiece, facing: CutPiece) -> tuple[Edge | None, Edge | None]:
    """The longest of the edges that the two share, on the parent's paper and on the facing's."""
    of = facing.piece.facing
    names = of.edges if of else ()

    def named(cut: CutPiece, name: str) -> Edge | None:
        return next((e for e in cut.paper_net if e.name.partition(".")[0] == name), None)

    pairs = [(named(parent, n), named(facing, n)) for n in names]
    found = [(a, b) for a, b in pairs if a is not None and b is not None]
    return max(found, key=lambda ab: ab[0].length, default=(None, None))


def _arrow(
    own: Edge, own_view: View, edge: Edge, view: View
) -> tuple[tuple[Item, ...], tuple[float, float, float, float]]:
    """From the middle of the facing's edge to the middle of the parent's, leaving and arriving square."""
    start = own_view.point(own.path.point(own.length / 2))
    tip = view.point(edge.path.point(edge.length / 2))
    leave = own_view.direction(own.path.normal(own.length / 2))
    arrive = -view.direction(edge.path.normal(edge.length / 2))
    items = marks.curved_arrow(start, tip, leave, arrive, look.MEETS, role="action", swing=0.45)
    curve = items[0].subpaths[0]  # type: ignore[union-attr]
    return items, curve.bbox


def _piece(job: Job, words: Words, cut: CutPiece, view: View, label_side: int) -> _Drawn:
    """A piece's small drawing and its label: on the piece if there is room, else above or below it."""
    shown = on_paper(cut)
    board = Board()
    board.add(*fill_items(cut, view, _linings(job)))
    draw_lines(board, cut, shown, view, SMALL)
    outline = view.path(cut.paper_cut)
    ground = Ground(polygon_of(outline), 1.2)
    ground.block([line_of(view.path(f.path)) for f in (*shown.fold_lines, *shown.lines_across)], 0.9)
    ground.block([line_of(view.path(Path.polyline([d.first, d.point, d.second]))) for d in shown.darts], 0.9)
    folded = any(line.fold for line in copy_lines(cut, job.size, words))
    x0, y0, x1, y1 = outline.bbox
    if shown.fold is not None:
        x0 = min(x0, _fold_signs(board, ground, view.path(shown.fold), outline, folded, words))
        x1 = max(x1, outline.bbox[2])
    if not folded:
        _small_grain(board, ground, cut, view)
    for width in (60.0, 26.0, 18.0):
        label = _label(job, cut, words, width)
        box = ground.find(label.wide, label.high)
        if box is not None:
            board.group(label.items, Placement.move(complex(box[0], box[1])), role="label")
            return _Drawn(tuple(board.items), (x0, y0, x1, y1), view)
    label = _label(job, cut, words, 46.0)
    below = label_side != 0
    at = y1 + LABEL_GAP if below else y0 - LABEL_GAP - label.high
    # A facing's label ends level with its far side, so that it keeps clear of the piece beside it.
    left = x1 - label.wide if label_side < 0 else x0
    board.group(label.items, Placement.move(complex(left, at)), role="label")
    box = (min(x0, left), min(y0, at), max(x1, left + label.wide), max(y1, at + label.high))
    return _Drawn(tuple(board.items), box, view)


def _linings(job: Job) -> tuple[str, ...]:
    return tuple(c.key for c in job.size.cloths if "lining" in c.key)


def _fold_signs(board: Board, ground: Ground, fold: Path, outline: Path, folded: bool, words: Words) -> float:
    """The fold line, drawn a little past its ends, its bracket and its word; returns how far left it reaches."""
    way = marks.unit(fold.end - fold.start)
    board.line(fold.start - way * 2, fold.end + way * 2, look.FOLD, "fold")
    x0, _, x1, _ = outline.bbox
    inward = way * 1j
    if (complex((x0 + x1) / 2, 0).real - fold.start.real) * inward.real < 0:
        inward = -inward
    if folded:
        size = min(fold.length * 0.6, 26.0)
        middle = fold.point(fold.length / 2)
        depth = min(BRACKET, fold.length * 0.28)
        a, b = middle - way * size / 2, middle + way * size / 2
        board.add(*marks.fold_bracket(a, b, inward, depth))
        bracket = Path.polyline([a, a + inward * depth, b + inward * depth, b])
        ground.block([line_of(bracket), shapely.box(*_box_of(bracket))], 1.2)
    text = words("chart.fold")
    if fold.length < measure(text, look.LABEL_PT) + 4:
        return x0
    out = fold.point(fold.length * (0.78 if fold.start.imag < fold.end.imag else 0.22)) - inward * 2.6
    board.add(
        marks.centred_text(out, text, look.LABEL_PT, 400, marks.readable_angle(way), look.SOFT, "label")
    )
    return min(x0, out.real - height_mm(look.LABEL_PT))


def _box_of(path: Path) -> tuple[float, float, float, float]:
    return path.bbox


def _small_grain(board: Board, ground: Ground, cut: CutPiece, view: View) -> None:
    ends = grain_line(cut, ground.free, 22.0)
    if ends is None or abs(ends[1] - ends[0]) < 4.0:
        return
    board.add(*marks.grain_arrow(*ends, one_way=cut.piece.nap))
    ground.block([line_of(Path.line(*ends))], 1.4)


def _label(job: Job, cut: CutPiece, words: Words, width: float) -> Label:
    """Number and title, then a line for each cloth, and the edge that a facing is sewn to."""
    number, title = str(cut.piece.number), cut.piece.title
    lines = []
    for line in copy_lines(cut, job.size, words):
        lines.append(f"{cloth_title(job, line.cloth)}: {line.words}")
    if cut.piece.facing is not None:
        _, own = _shared(job.size.cut_piece(cut.piece.facing.parent), cut)
        if own is not None:
            lines.append(shared_edge_words(cut, job, own, words))
    board = Board()
    base = height_mm(NUMBER_PT)
    board.text(0, base, number, NUMBER_PT, 600, role="label")
    x = measure(number, NUMBER_PT, 600) + 1.7
    y = paragraph(board, x, base, title, max(width - x, 14.0), TITLE_PT, 4.4, weight=600, role="label") + 0.6
    for text in lines:
        y = paragraph(board, 0, y, text, width, WORDS_PT, WORDS_LEADING, role="label")
    ends = [i.x + measure(i.text, i.size_pt, i.weight) for i in board.items if isinstance(i, Text)]
    wide = max(ends)
    return Label(tuple(board.items), wide, y - WORDS_LEADING + height_mm(WORDS_PT, 0.3))
