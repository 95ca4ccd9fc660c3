"""A pattern piece at full scale, in its own millimetres: what is drawn on it, and the words that go on free ground.

Lines are drawn as cutting left them. Words are placed later, where the piece lies on its sheet, so that they stand
upright and clear of the joints between pages.
"""

from __future__ import annotations

import shapely

from booklet.drawing import marks
from booklet.drawing.display import Board, View
from booklet.drawing.page import Callout, EdgeNote, SheetPiece
from booklet.model import ButtonMark, CutPiece, Job
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines, side_words
from booklet.pages.ground import Ground, line_of
from booklet.pages.nest_words import in_all_sizes
from booklet.pages.piece_block import cloth_title, facing_edges, label_lines, shared_edge_words
from booklet.pages.piece_lines import (
    FULL,
    OnPaper,
    button_lines,
    draw_lines,
    grain_line,
    on_paper,
    paper_ground,
    pleat_arrows,
    slit_path,
)
from booklet.pages.words import Words, words_for
from booklet.paths import Path

GRAIN_CAP = 320.0
BRACKET_DEPTH, BRACKET_CAP = 11.0, 360.0
LONG_FOLD = 130.0  # room for the long form of the words along it
HOLES = {"right": "label.holes_right", "left": "label.holes_left"}  # by the side that has the buttonholes
ARROW = 15.0  # length of the arrows that point at the edge a facing is sewn to


def sheet_pieces(job: Job) -> tuple[SheetPiece, ...]:
    """All pieces of a job's base size, in the order of their numbers."""
    return tuple(sheet_piece(c, job) for c in sorted(job.size.cut_pieces, key=lambda c: c.piece.number))


def sheet_piece(cut: CutPiece, job: Job) -> SheetPiece:
    """One piece as the full-scale sheet takes it."""
    words = words_for(job.language, job.wording)
    shown = on_paper(cut)
    on_fold = any(line.fold for line in copy_lines(cut, job.size, words))
    board = Board()
    draw_lines(board, cut, shown, View(), FULL)
    ground = _ground(cut, shown)
    if shown.fold is not None and on_fold:
        draw_bracket(board, ground, cut, shown.fold)
    for edge in facing_edges(cut):
        _facing_arrows(board, ground, edge.path)
    draw_grain(board, ground, cut)
    return SheetPiece(
        key=cut.piece.key,
        number=str(cut.piece.number),
        title=cut.piece.heading,
        outline=cut.paper_cut,
        items=tuple(board.items),
        lines=label_lines(job, cut, words),
        edge_notes=tuple(_edge_notes(cut, shown, job, words, on_fold)),
        callouts=tuple(callouts(cut, shown, job, words)),
    )


def _ground(cut: CutPiece, shown: OnPaper) -> Ground:
    """The piece inside its stitch lines, less what is drawn there."""
    ground = Ground(paper_ground(cut), 2.5)
    lines = [f.path for f in (*shown.fold_lines, *shown.lines_across)]
    lines += [Path.polyline([d.first, d.point, d.second]) for d in shown.darts]
    lines += [slit_path(s) for s in shown.openings]
    lines += [p for button in shown.buttons for p in button_lines(button)]
    lines += [p for pleat in shown.pleats for move in pleat.moves for p in move]
    lines += [arrow for pleat in shown.pleats for arrow in pleat_arrows(pleat)]
    ground.block([line_of(p) for p in lines], 2.0)
    return ground


def inwards(cut: CutPiece, fold: Path) -> complex:
    """The unit direction from a piece's fold into the piece."""
    way = marks.unit(fold.end - fold.start)
    probe = fold.point(fold.length / 2) + way * 1j * 4
    inside = paper_ground(cut).contains(shapely.Point(probe.real, probe.imag))
    return way * 1j if inside else way * -1j


def draw_bracket(board: Board, ground: Ground, cut: CutPiece, fold: Path) -> None:
    way, inward = marks.unit(fold.end - fold.start), inwards(cut, fold)
    long = min(fold.length * 0.7, BRACKET_CAP)
    roomy = long > 3 * BRACKET_DEPTH
    depth = BRACKET_DEPTH if roomy else 5.0
    middle = fold.point(fold.length / 2)
    a, b = middle - way * long / 2, middle + way * long / 2
    board.add(*marks.fold_bracket(a, b, inward, depth, full=roomy))
    ground.block([line_of(Path.polyline([a, a + inward * depth, b + inward * depth, b]))], 2.5)


def _facing_arrows(board: Board, ground: Ground, path: Path) -> None:
    """Arrows of action onto the stitch line that meets the parent's edge."""
    count = 1 if path.length < 120 else 2 if path.length < 600 else 3
    for n in range(count):
        s = path.length * (n + 0.5) / count
        tip = path.point(s)
        start = tip - path.normal(s) * ARROW
        board.add(*marks.action_arrow(start, tip))
        ground.block([line_of(Path.line(start, tip))], 2.0)


def draw_grain(board: Board, ground: Ground, cut: CutPiece) -> None:
    ends = grain_line(cut, ground.free, GRAIN_CAP)
    if ends is not None:
        board.add(*marks.grain_arrow(*ends, one_way=cut.piece.nap, full=abs(ends[1] - ends[0]) > 25))


def _edge_notes(cut: CutPiece, shown: OnPaper, job: Job, words: Words, on_fold: bool) -> list[EdgeNote]:
    """Names along the edges, what a facing's edge is sewn to, and what the fold line is for."""
    out = []
    sewn = {e.name for e in facing_edges(cut)}
    for edge in cut.paper_net:
        if edge.name == cut.piece.fold:
            continue
        text = shared_edge_words(cut, job, edge, words) if edge.name in sewn else ""
        called = text or figures.edge_called(edge, edge.name, words)
        out.append(EdgeNote(words("label.hem_fold", edge=called) if edge.hem_fold else called, edge.path))
    if shown.fold is not None:
        out.append(fold_note(cut, shown.fold, job, words, on_fold))
    for line in (*shown.fold_lines, *shown.lines_across):
        out.append(EdgeNote(figures.called(line.name, job.units), line.path))
    return out


def fold_note(cut: CutPiece, fold: Path, job: Job, words: Words, on_fold: bool) -> EdgeNote:
    """What the fold of a half piece is for."""
    key = (
        "label.fold" if on_fold else "label.fold_draw" if fold.length > LONG_FOLD else "label.fold_draw_short"
    )
    lines = copy_lines(cut, job.size, words)
    some = on_fold and not all(line.fold for line in lines)
    cloths = dict.fromkeys(cloth_title(job, line.cloth) for line in lines if line.fold)
    if some:
        return EdgeNote(words("label.fold_some", cloth=words("label.and").join(cloths)), fold)
    return EdgeNote(
        words(key), fold, words("label.fold_short") if on_fold else words("label.fold_draw_short")
    )


def callouts(cut: CutPiece, shown: OnPaper, job: Job, words: Words) -> list[Callout]:
    """Darts, slits and marks that aren't cut say what they are."""
    out = []
    for slit in shown.openings:
        depth = _slit_depth(slit.name, cut.piece.key, job) if job.nested else ""
        depth = depth or figures.length(slit.depth, job.units)
        text = words("label.slit", name=figures.called(slit.name, job.units), depth=depth)
        out.append(Callout(text, (slit.at + slit.foot) / 2))
    for dart in shown.darts:
        out.append(Callout(words("label.dart", press=_pressed(dart.press_words, job, words)), dart.point))
    for pleat in {(p.group, p.side): p for p in reversed(shown.pleats)}.values():  # the first of even ones
        fold = pleat.moves[0][0]
        text = words(f"label.{pleat.kind}", press=_pressed(pleat.press_words, job, words))
        out.append(Callout(text, fold.point(min(30.0, fold.length * 0.3))))
    out += _button_callouts(shown, job, words)
    for stroke in cut.paper_notches:
        mark = stroke.mark
        if not stroke.strokes or mark.kind == "snip":
            continue
        text = ""
        if not stroke.cut:
            text = words("label.stop" if mark.kind == "dot" else "label.mark")
        if cut.extent == "half" and mark.side in ("left", "right"):
            # The paper is a half, its cloth a whole: the mark goes onto one side of it.
            what = text or figures.called(mark.name, job.units)
            text = words("label.one_side", what=what, side=side_words(mark.side, words))
        if text:
            out.append(Callout(text, stroke.strokes[0][1]))
    return out


def _slit_depth(name: str, key: str, job: Job) -> str:
    """How deep a slit is in all sizes, in size order; '' where some have none."""
    of_sizes = [[s for s in on_paper(size.cut_piece(key)).openings if s.name == name] for size in job.sizes]
    if not all(of_sizes):
        return ""
    return in_all_sizes([figures.length(s[0].depth, job.units) for s in of_sizes], job)


def _pressed(press: str, job: Job, words: Words) -> str:
    """'to centre', in the booklet's language."""
    edge = figures.called(press.removeprefix("to "), job.units)
    return words("label.press_to", edge=edge) if press.startswith("to ") else edge


def _button_callouts(shown: OnPaper, job: Job, words: Words) -> list[Callout]:
    """One for the first place of each row: what is sewn there, and on which side where both sides share the paper."""
    out = []
    rows: dict[str, list[ButtonMark]] = {}
    for mark in shown.buttons:
        rows.setdefault(mark.row, []).append(mark)
    for row in rows.values():
        first = next((m for m in row if m.kind == "buttonhole"), row[0])
        shared = len({m.kind for m in row}) > 1
        key = HOLES[first.side] if shared else f"label.{first.kind}"
        long = figures.length(abs(first.ends[1] - first.ends[0]), job.units)
        out.append(Callout(words(key, long=long), first.ends[1]))
    return out
