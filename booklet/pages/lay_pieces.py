"""The pieces on a lay plan: outline, number, title and grain, and what must be known to lay each; as far as it fits."""

from __future__ import annotations

from dataclasses import dataclass

import shapely

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Board, Fill, Group, Item, Stroke, Text, View, box_path
from booklet.drawing.text import height_mm, measure
from booklet.model import CutPiece, Job, LayPlan, LaySection, Placing
from booklet.pages.copy_words import PlacingLine, placing_line
from booklet.pages.ground import Ground, polygon_of
from booklet.pages.lay_ground import REPEAT, Box, Sheet, section_of, sections_of
from booklet.pages.lay_marks import face_down_lines, match_cross
from booklet.pages.lay_notes import cut_later
from booklet.pages.words import Words
from booklet.paths import Path, Placement

NUMBER_PT, TITLE_PT = 12.4, 9.0
CUT = Stroke(0.7, look.INK)
LATER = Stroke(0.7, look.INK, (2.6, 0.9))  # a broken outline is cut later, as the trade draws it
ON_FOLD = 0.02  # mm on paper
CLEAR = 0.35  # mm round a number on a small piece
NEAR_LINE = 7.0  # mm on paper from the meeting line to its words


def draw_piece(board: Board, job: Job, words: Words, sheet: Sheet, placing: Placing) -> None:
    """One outline, ruled if its paper lies face down, with its edge on a fold and its match point."""
    lay, view = sheet.lay, sheet.view
    outline = view.path(on_cloth(placing, lay))
    board.path(outline, None, look.WRONG_SIDE, role="ground")
    if placing_line(placing, lay, job.size, words).face_down:
        board.add(face_down_lines(outline))
    _matched(board, job.size.cut_piece(placing.piece), placing, sheet, outline)
    board.path(outline, LATER if cut_later(lay, placing) else CUT, role="cut")
    if placing.on_fold:
        _fold_edge(board, outline, view, section_of(lay, placing))


def name_piece(board: Board, job: Job, words: Words, sheet: Sheet, placing: Placing) -> PlacingLine | None:
    """Its number, title, grain and what must be known to lay it; given back if that had no room."""
    line = placing_line(placing, sheet.lay, job.size, words)
    outline = sheet.view.path(on_cloth(placing, sheet.lay))
    said = _placing_words(board, job, line, placing, outline, sheet)
    if said or line.words == words("copies.paper_down"):  # the ruling says that too
        return None
    return line


def on_cloth(placing: Placing, lay: LayPlan) -> Path:
    """The outline, of a whole ply on the fold the half that lies on the cloth; mm of the lay."""
    if not placing.on_fold:
        return placing.outline
    section = section_of(lay, placing)
    outline = polygon_of(placing.outline)
    x0, y0, x1, y1 = outline.bounds
    if y0 > section.low - ON_FOLD and y1 < section.high + ON_FOLD:
        return placing.outline
    half = shapely.intersection(outline, shapely.box(x0 - 1, section.low, x1 + 1, section.high))
    parts = [g for g in getattr(half, "geoms", [half]) if g.geom_type == "Polygon"]
    ring = max(parts, key=lambda g: g.area).exterior.coords
    return Path.polyline([complex(x, y) for x, y in ring[:-1]], closed=True)


def _fold_edge(board: Board, outline: Path, view: View, section: LaySection) -> None:
    """The edge on the fold, drawn as a fold and not as a cut."""
    folds = [view.point(complex(0, y)).imag for y in section.folds]
    for seg in outline.segments:
        if any(all(abs(z.imag - y) < ON_FOLD for z in seg) for y in folds):
            board.line(seg[0], seg[-1], Stroke(1.2, look.WHITE), "ground")
            board.line(seg[0], seg[-1], look.FOLD, "fold")


def _matched(board: Board, cut: CutPiece, placing: Placing, sheet: Sheet, outline: Path) -> None:
    """The point that lies on the repeat of a striped cloth, with the stripes through it."""
    if cut.piece.match is None or not any(sheet.lay.repeat):
        return
    at = sheet.view.point(placing.placing.apply(match_point(cut)))
    x0, y0, x1, y1 = outline.bbox
    along, across = sheet.lay.repeat
    lines = []
    if along:
        lines.append(Path.line(complex(at.real, y0), complex(at.real, y1)))
    if across:
        lines.append(Path.line(complex(x0, at.imag), complex(x1, at.imag)))
    stripes = Board()
    stripes.path(lines, REPEAT, role="repeat")
    board.add(Group(tuple(stripes.items), clip=outline), *match_cross(at))


def match_point(cut: CutPiece) -> complex:
    """The match point on the drawing; of a piece opened at its fold line, the point of that line level with it."""
    assert cut.piece.match is not None
    fold = cut.piece.edge(cut.piece.fold or "")
    if fold is None:
        return cut.piece.match
    way = (fold.path.end - fold.path.start) / abs(fold.path.end - fold.path.start)
    return fold.path.start + way * ((cut.piece.match - fold.path.start) * way.conjugate()).real


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
    board: Board, job: Job, line: PlacingLine, placing: Placing, outline: Path, sheet: Sheet
) -> bool:
    """Number, title, note and grain arrow on a piece, as far as they fit. False if the note found no room."""
    piece = job.size.draft.pieces[placing.piece]
    title, one_way = piece.heading, piece.nap or sheet.lay.one_way
    ground = Ground(polygon_of(outline), 0.9)
    grain = marks.unit(sheet.view.direction(placing.grain[1] - placing.grain[0]))
    number = str(line.number)
    for form in _forms(title, line.words, abs(grain.imag) < 0.02):
        said, wide, high = _words_block(number, form, grain, one_way)
        box = ground.find(wide, high)
        if box is None:
            continue
        if line.face_down:
            patch = box_path(box[0] - 0.6, box[1] - 0.6, wide + 1.2, high + 1.2)
            board.path(patch, None, Fill(look.WHITE), role="ground")
        board.group(said, Placement.move(complex(box[0], box[1])), role="label")
        ground.block_box(box)
        if not form.arrow:
            _grain_alone(board, ground, grain, one_way)
        return bool(form.notes) or not line.words
    _number_alone(board, number, line.face_down, outline, sheet)
    return not line.words


def _number_alone(board: Board, number: str, ruled: bool, outline: Path, sheet: Sheet) -> None:
    """The number of a small piece: on it, smaller on it, close beside it, at the worst over its lines."""
    sizes = [(pt, measure(number, pt, 600), height_mm(pt)) for pt in (look.TABLE_PT, look.SMALLEST_PT)]
    for pt, wide, high in sizes:
        box = _within(outline, wide, high)
        if box is not None:
            return _set_number(board, box, number, pt, ruled)
    pt, wide, high = sizes[0]
    box = _beside(board, outline, sheet, wide, high)
    if box is not None:
        return _set_number(board, box, number, pt, False)
    return _set_number(board, _over_lines(board, outline, wide, high), number, pt, True)


def _over_lines(board: Board, outline: Path, wide: float, high: float) -> Box:
    """A box on a piece too slim for its number: about its middle, or further along it if another number stands there."""
    ground = polygon_of(outline)
    x0, y0, x1, y1 = outline.bbox
    long = x1 - x0 > y1 - y0
    said = shapely.union_all(_words_set(board)).buffer(0.4)
    boxes = []
    for share in (0.5, 0.25, 0.75, 0.1, 0.9):
        x, y = x0 + share * (x1 - x0), y0 + share * (y1 - y0)
        across = shapely.LineString([(x, y0), (x, y1)] if long else [(x0, y), (x1, y)])
        middle = ground.intersection(across).representative_point()
        boxes.append((middle.x - wide / 2, middle.y - high / 2, middle.x + wide / 2, middle.y + high / 2))
    return next((b for b in boxes if not said.intersects(shapely.box(*b))), boxes[0])


def _set_number(board: Board, box: Box, number: str, pt: float, on_lines: bool) -> None:
    x0, y0, x1, y1 = box
    if on_lines:
        board.path(
            box_path(x0 - 0.3, y0 - 0.3, x1 - x0 + 0.6, y1 - y0 + 0.6), None, Fill(look.WHITE), role="ground"
        )
    board.text(x0, y1, number, pt, 600, role="label")


def _within(outline: Path, wide: float, high: float) -> Box | None:
    """A box on a small piece: where the ground is freest, else about the middle of its widest place."""
    ground = polygon_of(outline)
    found = Ground(ground, CLEAR).find(wide, high)
    if found is not None:
        return found
    middle = shapely.maximum_inscribed_circle(ground, 0.1).coords[0]
    box = (middle[0] - wide / 2, middle[1] - high / 2, middle[0] + wide / 2, middle[1] + high / 2)
    return box if ground.buffer(-CLEAR).contains(shapely.box(*box)) else None


def _beside(board: Board, outline: Path, sheet: Sheet, wide: float, high: float) -> Box | None:
    """Free cloth close beside a piece that is too small for its number; None where other pieces lie all round it."""
    x0, y0, x1, y1 = outline.bbox
    around = shapely.box(x0 - wide - 3, y0 - high - 3, x1 + wide + 3, y1 + high + 3)
    others = [polygon_of(sheet.view.path(on_cloth(p, sheet.lay))) for p in sheet.lay.placings]
    others += _words_set(board)  # numbers set before this one
    cloth = shapely.union_all([shapely.box(*sheet.box(s)) for s in sections_of(sheet.lay)])
    ground = Ground(around.intersection(cloth).difference(shapely.union_all(others)), 0.5)
    return ground.find(wide, high, complex((x0 + x1) / 2, (y0 + y1) / 2))


def _words_set(board: Board) -> list[shapely.Polygon]:
    """Where words stand already."""
    flat = [f for f in flat_items(tuple(board.items)) if isinstance(f.item, Text)]
    corners = [text_corners(f.item, f.placement) for f in flat]  # type: ignore[arg-type]
    return [shapely.Polygon([(z.real, z.imag) for z in c]) for c in corners]


def name_meeting(board: Board, words: Words, sheet: Sheet) -> None:
    """What the line between two folds is, or that of a side folded in, beside it where no piece lies; the words under
    the plan tell it too."""
    first = sections_of(sheet.lay)[0]
    flap = sheet.lay.kind == "side_fold"
    meeting = first.high if flap else first.meeting
    if meeting is None:
        return
    text = words("lays.selvedge" if flap else "lays.selvedges_meet")
    wide, high = measure(text, look.LABEL_PT), height_mm(look.LABEL_PT)
    y = sheet.view.point(complex(0, meeting)).imag
    x0, y0, x1, y1 = sheet.cloths()[0]
    pieces = shapely.union_all(
        [polygon_of(sheet.view.path(on_cloth(p, sheet.lay))) for p in sheet.lay.placings]
    )
    edges = shapely.box(x0, y - sheet.border, x1, y + sheet.border)
    near = shapely.box(x0, max(y0, y - NEAR_LINE), x1, min(y1, y + NEAR_LINE))
    taken = shapely.LineString([(sheet.left + sheet.taken, y0), (sheet.left + sheet.taken, y1)]).buffer(0.2)
    numbers = _words_set(board)  # those of small pieces stand beside them
    ground = Ground(near.difference(shapely.union_all([pieces, edges, taken, *numbers])), 0.8)
    box = ground.find(wide, high, complex((x0 + x1) / 2, y))
    if box is not None:
        board.text(box[0], box[3], text, look.LABEL_PT, 400, look.SOFT, role="label")


def _words_block(
    number: str, form: _Form, grain: complex, one_way: bool
) -> tuple[tuple[Item, ...], float, float]:
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
        board.add(*marks.grain_arrow(complex(middle, y) - half, complex(middle, y) + half, one_way=one_way))
        y += 0.5
    if not form.beside:
        for note in form.notes:
            y += 3.2
            board.text(middle, y, note, look.SMALLEST_PT, 400, look.SOFT, "middle", role="label")
    return tuple(board.items), wide, y


def _grain_alone(board: Board, ground: Ground, way: complex, one_way: bool) -> None:
    """A grain that doesn't run along the cloth (a piece on the bias): an arrow of its own."""
    size = 11.0
    wide, high = abs(way.real) * size + 1.5, abs(way.imag) * size + 1.5
    box = ground.find(wide, high)
    if box is None:
        return
    middle = complex((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
    board.add(*marks.grain_arrow(middle - way * size / 2, middle + way * size / 2, one_way=one_way))
