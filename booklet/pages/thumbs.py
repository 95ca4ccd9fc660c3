"""Pieces drawn small, all at one scale: each facing beside the piece it is sewn to, with an arrow between the edges."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Group, Item, PathItem, Text, View
from booklet.drawing.text import height_mm, measure, paragraph, widest_word
from booklet.model import CutPiece, Edge, Job
from booklet.pages.copy_words import copy_lines
from booklet.pages.ground import Ground, line_of, polygon_of
from booklet.pages.piece_block import cloth_title, facing_words
from booklet.pages.piece_lines import SMALL, draw_lines, fill_items, grain_line, net_paper, on_paper
from booklet.pages.words import Words
from booklet.paths import Box, Path, Placement
from booklet.units import NBSP

SCALES = (*range(5, 17), 18, 20, 25, 30)
NUMBER_PT, TITLE_PT, WORDS_PT, WORDS_LEADING = 15.0, 10.4, 8.4, 3.7
MOST_HIGH = 1.3  # of its width: how high a label on a piece may be
LABEL_WIDTHS = (46.0, 34.0, 28.0)  # what a label beside a piece is broken to
GAP, ROW_GAP, LABEL_GAP, STACK_GAP = 8.0, 9.0, 2.6, 6.0
BRACKET = 3.6
ROUND = 3.0  # how far an arrow passes a facing


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
        for label_wide in LABEL_WIDTHS:
            thumbs = _groups(job, words, scale, label_wide)
            for order in (thumbs, sorted(thumbs, key=lambda t: -t.high)):
                shelves = _shelves(order, wide)
                high = sum(max(c.high for c in row) for row in shelves) + ROW_GAP * (len(shelves) - 1)
                if high <= room and all(c.wide <= wide for row in shelves for c in row):
                    return _set(shelves, wide), high, scale
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


def _groups(job: Job, words: Words, scale: int, label_wide: float) -> list[Thumb]:
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
        _thumb(job, words, cut, facings.get(cut.piece.key, []), scale, label_wide)
        for cut in cuts
        if cut.piece.key not in held
    ]


# ---------------------------------------------------------------- one group


@dataclass(frozen=True)
class _Drawn:
    """A piece with its label where its view has it: the box of both, and that of the outline alone."""

    items: tuple[Item, ...]
    box: Box
    outline: Box


def _thumb(
    job: Job, words: Words, cut: CutPiece, facings: Sequence[CutPiece], scale: int, label_wide: float
) -> Thumb:
    """The parent in its own frame, each facing beside or over it, and an arrow between the edges.

    Where the shared edges look at each other, as in an open book, the facing lies beside its parent at the height of
    the edge; where they look the same way it stands over it, straight above its place.
    """
    plain = View(1 / scale)
    sides = [_side(*_shared(cut, facing)) for facing in facings]
    parent = _piece(job, words, cut, plain, "under" if "beside" in sides else "over", label_wide)
    items = list(parent.items)
    boxes = [parent.box]
    for facing, side in zip(facings, sides, strict=True):
        edge, own = _shared(cut, facing)
        x0, y0, x1, _ = _union(boxes)
        first = _piece(job, words, facing, plain, side, label_wide)
        gap = _middle(edge, plain) - _middle(own, plain)
        if side == "beside":
            move = complex(gap.real, y0 - STACK_GAP - first.box[3])
        else:
            across = x1 + GAP - first.outline[0] if side == "right" else x0 - GAP - first.outline[2]
            move = complex(across, gap.imag)
        view = View(1 / scale, Placement.move(move))
        moved = _piece(job, words, facing, view, side, label_wide)
        items += moved.items
        boxes.append(moved.box)
        if edge is not None and own is not None:
            arrow, box = _arrow(own, view, edge, plain, moved.outline, over=side == "beside")
            items += arrow
            boxes.append(box)
    x0, y0, x1, y1 = _union(boxes)
    return Thumb((Group(tuple(items), Placement.move(complex(-x0, -y0))),), x1 - x0, y1 - y0)


def _side(edge: Edge | None, own: Edge | None) -> str:
    """Where a facing lies: 'left' or 'right' of its parent, or over it, its label 'beside' it."""
    if edge is None or own is None:
        return "beside"
    out, own_out = edge.path.normal(edge.length / 2), own.path.normal(own.length / 2)
    if out.real * own_out.real > -0.02:
        return "beside"
    return "right" if out.real > 0 else "left"


def _union(boxes: Sequence[Box]) -> Box:
    return (
        min(b[0] for b in boxes),
        min(b[1] for b in boxes),
        max(b[2] for b in boxes),
        max(b[3] for b in boxes),
    )


def _middle(edge: Edge | None, view: View) -> complex:
    return view.point(edge.path.point(edge.length / 2)) if edge is not None else 0j


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
    own: Edge, own_view: View, edge: Edge, view: View, facing: Box, over: bool
) -> tuple[tuple[Item, ...], Box]:
    """From the middle of the facing's edge to the middle of the parent's, leaving and arriving square.

    From a facing that stands `over` its parent it goes round the side to which the edge looks.
    """
    start = own_view.point(own.path.point(own.length / 2))
    tip = view.point(edge.path.point(edge.length / 2))
    leave = own_view.direction(own.path.normal(own.length / 2))
    out = view.direction(edge.path.normal(edge.length / 2))
    if over:
        right = leave.real > 0.3
        turn = complex(facing[2] + ROUND if right else facing[0] - ROUND, (start.imag + tip.imag) / 2)
        reach = 1j * (tip.imag - start.imag) * 0.3
        lift = max(abs(turn.real - start.real) * 0.55, 3.5)
        path = Path(
            (
                (start, start + leave * lift, turn - reach, turn),
                (turn, turn + reach, tip + out * lift, tip),
            )
        )
        items = marks.arrow_along(path, look.MEETS)
    else:
        items = marks.curved_arrow(start, tip, leave, -out, look.MEETS, swing=0.45)
    shaft = items[0]
    assert isinstance(shaft, PathItem)
    return items, shaft.subpaths[0].bbox


def _piece(job: Job, words: Words, cut: CutPiece, view: View, where: str, label_wide: float) -> _Drawn:
    """A piece's small drawing and its label: on the piece if there is room, else `where`.

    'over' or 'under' it, 'beside' it at the right; 'left' or 'right': under a facing on that side of its parent.
    """
    shown = on_paper(cut)
    board = Board()
    board.add(*fill_items(cut, view, _linings(job)))
    draw_lines(board, cut, shown, view, SMALL)
    outline = view.path(cut.paper_cut).bbox
    ground = Ground(polygon_of(view.path(net_paper(cut))), 1.0)
    ground.block([line_of(view.path(f.path)) for f in (*shown.fold_lines, *shown.lines_across)], 0.9)
    ground.block([line_of(view.path(Path.polyline([d.first, d.point, d.second]))) for d in shown.darts], 0.9)
    ground.block([line_of(view.path(p)) for t in shown.pleats for m in t.moves for p in m], 0.9)
    folded = any(line.fold for line in copy_lines(cut, job.size, words))
    x0, y0, x1, y1 = outline
    if shown.fold is not None:
        x0 = min(x0, _fold_signs(board, ground, view.path(shown.fold), outline, folded, words))
    for width in (60.0, 34.0, 26.0, 18.0):
        label = _label(job, cut, words, width)
        # A column of single words reads ill: such a label stands outside.
        box = ground.find(label.wide, label.high) if label.high <= MOST_HIGH * label.wide else None
        if box is not None:
            board.group(label.items, Placement.move(complex(box[0], box[1])), role="label")
            ground.block_box(box)
            break
    if not folded:
        _small_grain(board, ground, cut)
    if box is not None:
        return _Drawn(tuple(board.items), (x0, y0, x1, y1), outline)
    wide = max(LABEL_WIDTHS[0], x1 - x0) if where in ("over", "under") else label_wide
    label = _label(job, cut, words, wide)
    corner = {
        "over": complex(x0, y0 - LABEL_GAP - label.high),
        "under": complex(outline[0], y1 + LABEL_GAP),
        "beside": complex(x1 + LABEL_GAP, y0 + 1.0),
        "right": complex(x0, y1 + LABEL_GAP),
        "left": complex(x1 - label.wide, y1 + LABEL_GAP),
    }[where]
    board.group(label.items, Placement.move(corner), role="label")
    end = corner + complex(label.wide, label.high)
    boxes = ((x0, y0, x1, y1), (corner.real, corner.imag, end.real, end.imag))
    return _Drawn(tuple(board.items), _union(boxes), outline)


def _linings(job: Job) -> tuple[str, ...]:
    return tuple(c.key for c in job.size.cloths if "lining" in c.key)


def _fold_signs(board: Board, ground: Ground, fold: Path, outline: Box, folded: bool, words: Words) -> float:
    """The fold line, drawn a little past its ends, its bracket and its word; returns how far left it reaches."""
    way = marks.unit(fold.end - fold.start)
    board.line(fold.start - way * 2, fold.end + way * 2, look.FOLD, "fold")
    x0, _, x1, _ = outline
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
        ground.block([line_of(bracket), shapely.box(*bracket.bbox)], 1.2)
    text = words("chart.fold" if folded else "chart.fold_line")
    if fold.length < measure(text, look.LABEL_PT) + 4:
        return x0
    out = fold.point(fold.length * (0.78 if fold.start.imag < fold.end.imag else 0.22)) - inward * 2.6
    board.add(
        marks.centred_text(out, text, look.LABEL_PT, 400, marks.readable_angle(way), look.SOFT, "label")
    )
    return min(x0, out.real - height_mm(look.LABEL_PT))


def _small_grain(board: Board, ground: Ground, cut: CutPiece) -> None:
    ends = grain_line(cut, ground.free, 22.0)
    if ends is None or abs(ends[1] - ends[0]) < 4.0:
        return
    board.add(*marks.grain_arrow(*ends, one_way=cut.piece.nap))
    ground.block([line_of(Path.line(*ends))], 1.4)


def _kept_together(text: str, width: float) -> tuple[str, float]:
    """The last two words as one where a line holds both, so that no line is a single last word; and the line's width, in
    mm, which holds every word."""
    joined = NBSP.join(text.rsplit(" ", 1))
    room = max(width, widest_word(text, WORDS_PT))
    return (joined, room) if widest_word(joined, WORDS_PT) <= room else (text, room)


def _label(job: Job, cut: CutPiece, words: Words, width: float) -> Label:
    """Number and title, then a line for each cloth, and the edge that a facing is sewn to."""
    number, title = str(cut.piece.number), cut.piece.heading
    lines = []
    for line in copy_lines(cut, job.size, words):
        lines.append(words("label.copies", cloth=cloth_title(job, line.cloth), copies=line.words))
    sewn = facing_words(cut, job, words)
    if sewn:
        lines.append(sewn)
    board = Board()
    base = height_mm(NUMBER_PT)
    board.text(0, base, number, NUMBER_PT, 600, role="label")
    x = measure(number, NUMBER_PT, 600) + 1.7
    room = max(width - x, widest_word(title, TITLE_PT, 600))
    y = paragraph(board, x, base, title, room, TITLE_PT, 4.4, weight=600, role="label") + 0.6
    for text in lines:
        text, room = _kept_together(text, width)
        y = paragraph(board, 0, y, text, room, WORDS_PT, WORDS_LEADING, role="label")
    ends = [i.x + measure(i.text, i.size_pt, i.weight) for i in board.items if isinstance(i, Text)]
    wide = max(ends)
    return Label(tuple(board.items), wide, y - WORDS_LEADING + height_mm(WORDS_PT, 0.3))
