"""Lay plans to scale: cloth pale, pieces white, selvedges, fold, width and length; what lies face down is ruled."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Board, Fill, Item, Stroke, Text, View, box_path
from booklet.drawing.page import Bookmark
from booklet.drawing.text import height_mm, measure
from booklet.model import ClothNeed, Job, LayPlan, Placing
from booklet.pages import figures
from booklet.pages.copy_words import PlacingLine, copy_line, placing_line
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.ground import Ground, polygon_of
from booklet.pages.lay_marks import face_down_lines
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence
from booklet.paths import Path, Placement
from booklet.units import show_percent

SCALES = (6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 30, 35, 40, 50)
SMALL = 18  # pieces are not drawn smaller only to save a page
LEFT_ROOM = 8.0  # for the width's measure
ABOVE, BELOW = 5.0, 9.0  # for the words at the cloth's edges and the length's measure
NUMBER_PT, TITLE_PT = 12.4, 9.0
EDGE = Stroke(0.6, look.INK)
BEYOND = Stroke(0.5, look.SOFT, (1.2, 0.9))


def lay_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    plans = [(c, lay) for c in job.size.cloths for lay in c.lays if lay.placings]
    if not plans:
        return []
    title = words("lays.title")
    scale, pages = _fitted(job, words, paper, plans)
    aside = words("lays.aside", scale=scale)
    return [
        Leaf("lays", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(pages)
    ]


Plans = Sequence[tuple[ClothNeed, LayPlan]]


def _fitted(
    job: Job, words: Words, paper: look.Paper, plans: Plans
) -> tuple[int, tuple[tuple[Item, ...], ...]]:
    """One scale for all plans, so that they can be compared: the largest that needs no more pages than SMALL does."""
    wide = paper.right - paper.left - LEFT_ROOM
    longest = max(max(lay.buy_mm, lay.length_mm) for _, lay in plans)
    scales = [s for s in SCALES if longest / s <= wide] or [SCALES[-1]]
    fewest: int | None = None
    for scale in reversed([s for s in scales if s <= SMALL] or scales[:1]):
        blocks: list[Block] = []
        for n, (cloth, lay) in enumerate(plans):
            blocks += _plan(job, words, paper, cloth, lay, scale, before=9 if n else 0)
        pages = flow(blocks, paper.top, paper.foot)
        if fewest is not None and len(pages) > fewest:
            break
        fewest, best = len(pages), (scale, pages)
    return best


def _across(lay: LayPlan) -> float:
    return lay.width_mm / 2 if lay.kind == "fold" else lay.width_mm


def _plan(
    job: Job, words: Words, paper: look.Paper, cloth: ClothNeed, lay: LayPlan, scale: int, before: float
) -> list[Block]:
    width = figures.cloth_width(lay.width_mm, job.units)
    title = words("lays.plan", cloth=sentence(cloth.title), width=width) + ", " + words("lays." + lay.kind)
    taken = words("lays.taken", length=figures.cloth_taken(lay.length_mm, job.units))
    head = heading_block(title, taken, paper, before=before)
    drawn, unsaid = _drawn(job, words, paper, lay, scale)
    notes = " ".join((_notes(job, words, lay), *unsaid))
    foot = words_block(
        notes, paper.left + LEFT_ROOM, paper.right - paper.left - LEFT_ROOM,
        look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=1.5,
    )  # fmt: skip
    return [head, Block(drawn.height, drawn.items, 0.6, keep=True), foot]


def _drawn(
    job: Job, words: Words, paper: look.Paper, lay: LayPlan, scale: int
) -> tuple[Block, tuple[str, ...]]:
    """The plan from y = 0 down, and words that found no room on it.

    A folded cloth is turned half round, so that its fold lies at the foot.
    """
    board = Board()
    left, top = paper.left + LEFT_ROOM, ABOVE
    high = _across(lay) / scale
    taken, buy = lay.length_mm / scale, max(lay.buy_mm, lay.length_mm) / scale
    border = (lay.width_mm - lay.usable_mm) / 2 / scale  # each selvedge; the lay's y begins inside it
    view = View(1 / scale, Placement.move(complex(left, top + border)))
    if lay.kind == "fold":
        view = View(1 / scale, Placement(-1 + 0j, complex(left + taken, top + high)))
    _cloth(board, words, lay, left, top, taken, buy, high, border)
    unsaid = dict.fromkeys(_placing(board, job, words, lay, placing, view) for placing in lay.placings)
    foot = top + high
    width = figures.cloth_width(_across(lay), job.units)
    board.add(*marks.measure_line(complex(left, foot), complex(left, top), width, offset=4.2, witness=False))
    text = words("lays.buy", length=figures.cloth_length(lay.buy_mm, job.units))
    board.add(
        *marks.measure_line(complex(left, foot), complex(left + buy, foot), text, offset=-6.4, witness=True)
    )
    return Block(foot + BELOW, tuple(board.items)), tuple(u for u in unsaid if u)


def _cloth(
    board: Board,
    words: Words,
    lay: LayPlan,
    left: float,
    top: float,
    taken: float,
    buy: float,
    high: float,
    border: float,
) -> None:
    """The cloth as far as it is bought, with a line where the lay ends and one along each selvedge."""
    board.path(box_path(left, top, buy, high), fill=look.GROUND, role="ground")
    foot = top + high
    for y in (top + border, *(() if lay.kind == "fold" else (foot - border,))):
        if border > 0.2:
            board.line(complex(left, y), complex(left + buy, y), look.Stroke(0.35, look.RULE), "selvedge")
    board.line(complex(left, top), complex(left + buy, top), EDGE, "selvedge")
    board.line(complex(left, top), complex(left, foot), EDGE, "cloth end")
    board.line(complex(left + buy, top), complex(left + buy, foot), EDGE, "cloth end")
    if buy - taken > 0.5:
        board.line(complex(left + taken, top), complex(left + taken, foot), BEYOND, "taken")
    folded = lay.kind == "fold"
    board.line(
        complex(left - 2 if folded else left, foot),
        complex(left + buy + (2 if folded else 0), foot),
        look.FOLD if folded else EDGE,
        "fold" if folded else "selvedge",
    )
    middle = left + buy / 2
    name = words("lays.selvedges" if folded else "lays.selvedge")
    board.text(middle, top - 1.6, name, look.LABEL_PT, 400, look.SOFT, "middle", role="label")
    name = words("lays.fold_edge" if folded else "lays.selvedge")
    board.text(middle, foot + 3.6, name, look.LABEL_PT, 400, look.SOFT, "middle", role="label")


def _placing(board: Board, job: Job, words: Words, lay: LayPlan, placing: Placing, view: View) -> str:
    """One outline with its number, title, grain and what must be known to lay it; what of that had no room."""
    line = placing_line(placing, lay, job.size, words)
    outline = view.path(_on_one_side(placing.outline) if placing.on_fold else placing.outline)
    board.path(outline, None, look.WRONG_SIDE, role="ground")
    if line.face_down and lay.kind == "open":
        board.add(face_down_lines(outline))
    board.path(outline, look.Stroke(0.7, look.INK), role="cut")
    if placing.on_fold:
        _fold_edge(board, outline, view)
    ruled = line.face_down and lay.kind == "open"
    said = _placing_words(board, job, line, placing, outline, view, ruled, lay)
    if said or line.words == words("copies.paper_down"):  # the ruling says that too
        return ""
    return words("lays.note", number=line.number, words=line.words)


def _on_one_side(outline: Path) -> Path:
    """Of a whole ply on the fold (y = 0), the half that lies on the cloth."""
    x0, _, x1, y1 = outline.bbox
    half = shapely.intersection(polygon_of(outline), shapely.box(x0 - 1, 0, x1 + 1, y1 + 1))
    parts = [g for g in getattr(half, "geoms", [half]) if g.geom_type == "Polygon"]
    ring = max(parts, key=lambda g: g.area).exterior.coords
    return Path.polyline([complex(x, y) for x, y in ring[:-1]], closed=True)


def _fold_edge(board: Board, outline: Path, view: View) -> None:
    """The edge on the fold, drawn as a fold and not as a cut."""
    _, _, _, y1 = outline.bbox
    on = [s for s in outline.segments if all(abs(z.imag - y1) < 0.02 for z in s)]
    for seg in on:
        board.line(seg[0], seg[-1], Stroke(1.2, look.WHITE), "ground")
        board.line(seg[0], seg[-1], look.FOLD, "fold")


@dataclass(frozen=True)
class _Form:
    """One way to set a piece's words on a lay: title or not, its note's lines under the number or at its right."""

    title: str
    notes: tuple[str, ...]
    beside: bool
    arrow: bool


def _forms(title: str, note: str, arrow: bool) -> list[_Form]:
    """From the fullest to the number alone."""
    parts = tuple(p if n == note.count(", ") else p + "," for n, p in enumerate(note.split(", ")))
    lines = dict.fromkeys([(note,), parts]) if note else {(): None}
    out = [_Form(t, n, False, a) for t in (title, "") for n in lines for a in dict.fromkeys((arrow, False))]
    if note:
        out += [_Form("", n, True, a) for n in lines for a in dict.fromkeys((arrow, False))]
        out += [_Form("", (), False, a) for a in dict.fromkeys((arrow, False))]
    return out


def _placing_words(
    board: Board,
    job: Job,
    line: PlacingLine,
    placing: Placing,
    outline: Path,
    view: View,
    ruled: bool,
    lay: LayPlan,
) -> bool:
    """Number, title, note and grain arrow on a piece, as far as they fit. False if the note found no room."""
    title = job.size.draft.pieces[placing.piece].heading
    ground = Ground(polygon_of(outline), 0.9)
    grain = marks.unit(view.direction(placing.grain[1] - placing.grain[0]))
    number = str(line.number)
    for form in _forms(title, line.words, abs(grain.imag) < 0.02):
        said, wide, high = _words_block(number, form, grain)
        box = ground.find(wide, high)
        if box is None:
            continue
        if ruled:
            patch = box_path(box[0] - 0.6, box[1] - 0.6, wide + 1.2, high + 1.2)
            board.path(patch, None, Fill(look.WHITE), role="ground")
        board.group(said, Placement.move(complex(box[0], box[1])), role="label")
        ground.block_box(box)
        if not form.arrow:
            _grain_alone(board, ground, placing, view)
        return bool(form.notes) or not line.words
    ground = Ground(polygon_of(outline), 0.35)
    size = look.TABLE_PT
    box = ground.find(measure(number, size, 600), height_mm(size))
    if box is None:
        box = _beside(board, outline, lay, view, measure(number, size, 600), height_mm(size))
    if box is None:
        _, y0, x1, _ = outline.bbox
        board.text(x1 + 1.2, y0 + 2.2, number, size, 600, role="label")
    else:
        board.text(box[0], box[3], number, size, 600, role="label")
    return not line.words


def _beside(
    board: Board, outline: Path, lay: LayPlan, view: View, wide: float, high: float
) -> tuple[float, float, float, float] | None:
    """Free cloth close beside a piece that is too small for its number; None where other pieces lie all round it."""
    x0, y0, x1, y1 = outline.bbox
    around = shapely.box(x0 - wide - 3, y0 - high - 3, x1 + wide + 3, y1 + high + 3)
    on_side = (_on_one_side(p.outline) if p.on_fold else p.outline for p in lay.placings)
    others = [polygon_of(view.path(path)) for path in on_side]
    for flat in flat_items(tuple(board.items)):
        if isinstance(flat.item, Text):  # numbers set before this one
            corners = text_corners(flat.item, flat.placement)
            others.append(shapely.Polygon([(z.real, z.imag) for z in corners]))
    usable = lay.usable_mm / 2 if lay.kind == "fold" else lay.usable_mm
    cloth = shapely.box(*view.path(Path.line(0j, complex(lay.length_mm, usable))).bbox)
    ground = Ground(around.intersection(cloth).difference(shapely.union_all(others)), 0.5)
    return ground.find(wide, high, complex((x0 + x1) / 2, (y0 + y1) / 2))


def _words_block(number: str, form: _Form, grain: complex) -> tuple[tuple[Item, ...], float, float]:
    """The words of a form, set from (0, 0), with their width and height."""
    board = Board()
    n_wide, high = measure(number, NUMBER_PT, 600), height_mm(NUMBER_PT)
    t_wide = measure(form.title, TITLE_PT) + 1.4 if form.title else 0.0
    notes_wide = max((measure(t, look.SMALLEST_PT) for t in form.notes), default=0.0)
    row = n_wide + t_wide + (notes_wide + 1.6 if form.beside else 0.0)
    wide = max(row, 0.0 if form.beside else notes_wide, 9.0 if form.arrow else 0.0)
    middle = wide / 2
    x, y = middle - row / 2, high
    board.text(x, y, number, NUMBER_PT, 600, role="label")
    if form.title:
        board.text(x + n_wide + 1.4, y, form.title, TITLE_PT, role="label")
    if form.beside:
        for n, note in enumerate(form.notes):
            at = high * 0.62 + 3.1 * n if len(form.notes) > 1 else high
            board.text(x + n_wide + 1.6, at, note, look.SMALLEST_PT, 400, look.SOFT, role="label")
            y = max(y, at)
    if form.arrow:
        y += 2.3
        half = grain * min(max(wide, 9.0), 16.0) / 2
        board.add(*marks.grain_arrow(complex(middle, y) - half, complex(middle, y) + half))
        y += 0.5
    if not form.beside:
        for note in form.notes:
            y += 3.2
            board.text(middle, y, note, look.SMALLEST_PT, 400, look.SOFT, "middle", role="label")
    return tuple(board.items), wide, y


def _grain_alone(board: Board, ground: Ground, placing: Placing, view: View) -> None:
    """A grain that doesn't run along the cloth (a piece on the bias): an arrow of its own."""
    way = marks.unit(view.direction(placing.grain[1] - placing.grain[0]))
    size = 11.0
    wide, high = abs(way.real) * size + 1.5, abs(way.imag) * size + 1.5
    box = ground.find(wide, high)
    if box is None:
        return
    middle = complex((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    board.add(*marks.grain_arrow(middle - way * size / 2, middle + way * size / 2))


def _notes(job: Job, words: Words, lay: LayPlan) -> str:
    """Why it lies so, how much is used, and what must be turned over, in one short paragraph."""
    out = []
    if lay.why:
        out.append(sentence(lay.why.rstrip(".")) + ".")
    out.append(words("lays.used", percent=show_percent(round(lay.used, 2))))
    if lay.kind == "fold":
        out.append(words("lays.both_layers"))
    else:
        over = _turned_over(job, words, lay)
        if over:
            out.append(words("lays.turn_over", numbers=", ".join(over)))
        if any(p.mirrored for p in lay.placings):
            out.append(words("lays.face_down"))
        if any(job.size.copy_by_id[p.copies[0]].rule.face == "up" for p in lay.placings):
            out.append(words("lays.face_up_note"))
    return " ".join(out)


def _turned_over(job: Job, words: Words, lay: LayPlan) -> list[str]:
    """Numbers of the pieces whose paper is a half and which this open lay shows whole."""
    numbers = []
    for key in dict.fromkeys(p.piece for p in lay.placings):
        cut = job.size.cut_piece(key)
        rule = next(r for r in cut.piece.cuts if r.cloth == lay.cloth)
        if cut.extent == "half" and not copy_line(cut, rule, lay, words).fold:
            numbers.append(str(cut.piece.number))
    return numbers
