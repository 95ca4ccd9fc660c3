"""The lines of a pattern piece, at full scale or small: cut, stitch, fold, notches, darts, grain. No words here."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from booklet.drafting.copies import open_out
from booklet.drawing import look, marks
from booklet.drawing.display import Board, Fill, Item, PathItem, Stroke, View, circle_path
from booklet.model import ButtonMark, CutPiece, Dart, FoldLine, Opening, Pleat
from booklet.pages.ground import polygon_of
from booklet.paths import Path, Segment

NEAR = 0.02  # mm: what lies this near to the fold line lies on it
BUTTON_REACH, HOLE_BAR = 3.0, 2.0  # mm: half of a button's cross, half of the bar at a buttonhole's end
RAW = 0.05  # mm: an allowance below it is none, its stitch line is the cut line


@dataclass(frozen=True)
class Pens:
    """The weights of one scale."""

    cut: Stroke
    stitch: Stroke
    fold: Stroke
    inner: Stroke  # fold and centre lines within the piece
    notch: Stroke
    full: bool


FULL = Pens(look.CUT_FULL, look.STITCH_FULL, look.FOLD_FULL, look.FOLD, look.NOTCH, True)
SMALL = Pens(
    look.CUT,
    Stroke(0.35, look.INK, (0.9, 0.7)),
    look.FOLD,
    Stroke(0.35, look.INK, (2.2, 0.6, 0.4, 0.6)),
    Stroke(0.6, look.INK),
    False,
)


@dataclass(frozen=True)
class OnPaper:
    """What a printed piece shows, in the piece's frame: a half with its fold, or the whole."""

    cut: tuple[Path, ...]  # the cut line without what lies on the fold
    fold: Path | None
    stitch: tuple[Path, ...]
    fold_lines: tuple[FoldLine, ...]
    lines_across: tuple[FoldLine, ...]
    darts: tuple[Dart, ...]
    openings: tuple[Opening, ...]
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()
    hems: tuple[Path, ...] = ()  # edges turned up on their stitch line: to be folded, not sewn together


def on_paper(cut: CutPiece) -> OnPaper:
    piece = cut.piece
    edges = [e for e in cut.paper_net if e.allow > RAW and e.name != piece.fold]
    stitch, hems = (tuple(e.path for e in edges if e.hem_fold == turned) for turned in (False, True))
    if cut.extent == "half":
        edge = piece.edge(piece.fold or "")
        assert edge is not None
        lines, fold = _off_the_fold(cut.paper_cut, edge.path)
        return OnPaper(
            lines,
            fold,
            stitch,
            piece.fold_lines,
            piece.lines_across,
            piece.darts,
            piece.openings,
            piece.pleats,
            piece.buttons,
            hems,
        )
    opened = open_out(piece)
    return OnPaper(
        (cut.paper_cut,), None, stitch, opened.fold_lines, opened.lines_across, opened.darts, opened.openings,
        opened.pleats, opened.buttons, hems,
    )  # fmt: skip


def _off_the_fold(outline: Path, fold: Path) -> tuple[tuple[Path, ...], Path]:
    """The outline without its segments on the fold's line, and what it has on that line."""
    way = (fold.end - fold.start) / abs(fold.end - fold.start)

    def on(z: complex) -> bool:
        return abs(((z - fold.start) * way.conjugate()).imag) < NEAR

    runs: list[list[Segment]] = []
    ends: list[complex] = []
    open_run = False
    for seg in outline.segments:
        if len(seg) == 2 and on(seg[0]) and on(seg[1]):
            ends += [seg[0], seg[1]]
            open_run = False
            continue
        if not open_run:
            runs.append([])
        runs[-1].append(seg)
        open_run = True
    if len(runs) > 1 and open_run and abs(runs[0][0][0] - runs[-1][-1][-1]) < NEAR:
        runs[0] = runs.pop() + runs[0]  # the outline's start lay within a run
    ends.sort(key=lambda z: (z * way.conjugate()).real)
    line = Path.line(ends[0], ends[-1]) if ends else fold
    return tuple(Path(tuple(r)) for r in runs), line


def draw_lines(board: Board, cut: CutPiece, shown: OnPaper, view: View, pens: Pens) -> None:
    """Cut and stitch lines, fold, marks, darts, openings and buttons, in that order."""
    board.path([view.path(p) for p in shown.cut], pens.cut, role="cut")
    if shown.stitch:
        board.path([view.path(p) for p in shown.stitch], pens.stitch, role="stitch")
    if shown.hems:
        board.path([view.path(p) for p in shown.hems], pens.inner, role="fold line")
    if shown.fold is not None and pens.full:  # a small drawing draws it longer than the piece
        board.path(view.path(shown.fold), pens.fold, role="fold")
    for line in (*shown.fold_lines, *shown.lines_across):
        board.path(view.path(line.path), pens.inner, role="fold line")
    for dart in shown.darts:
        legs = Path.polyline([dart.first, dart.point, dart.second])
        board.path(view.path(legs), pens.stitch, role="dart")
        point = circle_path(view.point(dart.point), 0.8 if pens.full else 0.4)
        board.path(point, fill=look.SOLID, role="dart")
    for pleat in shown.pleats:
        _draw_pleat(board, pleat, view, pens)
    for slit in shown.openings:
        board.path(view.path(slit_path(slit)), pens.stitch, role="opening")
    for button in shown.buttons:
        board.path([view.path(p) for p in button_lines(button)], pens.notch, role=button.kind)
    _draw_notches(board, cut, view, pens)


def _draw_pleat(board: Board, pleat: Pleat, view: View, pens: Pens) -> None:
    """Its fold lines broken, its placement lines whole, and near the edge an arrow from the one to the other."""
    for fold, placement in pleat.moves:
        board.path(view.path(fold), pens.inner, role="pleat")
        board.path(view.path(placement), look.LEADER, role="pleat")
    if pens.full:
        for arrow in pleat_arrows(pleat):
            board.add(*marks.action_arrow(view.point(arrow.start), view.point(arrow.end), role="pleat"))


def pleat_arrows(pleat: Pleat) -> list[Path]:
    """From each fold line to its placement line, a little inside the edge; none where they lie too near each other."""
    out = []
    for fold, placement in pleat.moves:
        deep = min(22.0, fold.length * 0.2)
        arrow = Path.line(fold.point(deep), placement.point(min(deep, placement.length)))
        if arrow.length > 4:
            out.append(arrow)
    return out


def button_lines(mark: ButtonMark) -> list[Path]:
    """A cross where a button sits; a buttonhole's cut with a bar across each end."""
    if mark.kind == "button":
        reach = (BUTTON_REACH * (1 + 1j) / abs(1 + 1j), BUTTON_REACH * (1 - 1j) / abs(1 - 1j))
        return [Path.line(mark.at - r, mark.at + r) for r in reach]
    a, b = mark.ends
    bar = (b - a) / abs(b - a) * 1j * HOLE_BAR
    return [Path.line(a, b), *(Path.line(z - bar, z + bar) for z in (a, b))]


def slit_path(slit: Opening) -> Path:
    """The stitching round a slit: in a point from both ends of its mouth."""
    way = (slit.foot - slit.at) / abs(slit.foot - slit.at)
    half = way * 1j * slit.mouth / 2
    return Path.polyline([slit.at + half, slit.foot, slit.at - half])


def _draw_notches(board: Board, cut: CutPiece, view: View, pens: Pens) -> None:
    paths: list[Path] = []
    for stroke in cut.paper_notches:
        for a, b in stroke.strokes:
            p, q = view.point(a), view.point(b)
            if not pens.full and abs(q - p) > 1e-9:
                q = p + marks.unit(q - p) * max(abs(q - p), look.NOTCH_LENGTH)
            if abs(q - p) > 1e-9:
                paths.append(Path.line(p, q))
    if paths:
        board.path(paths, pens.notch, role="notch")


def interfaced(cut: CutPiece) -> bool:
    """Whether a fused ply of another cloth goes onto this piece."""
    return any(r.fused for r in cut.piece.cuts) and any(not r.fused for r in cut.piece.cuts)


def net_paper(cut: CutPiece) -> Path:
    """The stitching outline as the paper shows it, closed."""
    first, *rest = cut.paper_net
    return first.path.joined(*(e.path for e in rest))


def fill_items(cut: CutPiece, view: View, linings: Sequence[str] = ()) -> tuple[Item, ...]:
    """The ground of a small drawing: right side tinted, dots where interfacing goes, hatch for a lining alone."""
    outline = view.path(cut.paper_cut)
    cloths = [r.cloth for r in cut.piece.cuts]
    if all(r.fused for r in cut.piece.cuts):
        return (PathItem((outline,), fill=look.INTERFACING, role="ground"),)
    if all(c in linings for c in cloths):
        return (PathItem((outline,), fill=look.LINING, role="ground"),)
    items: list[Item] = [PathItem((outline,), fill=look.RIGHT_SIDE, role="ground")]
    if interfaced(cut):
        rule = next(r for r in cut.piece.cuts if r.fused)
        area = view.path(net_paper(cut)) if rule.trim is not None else outline
        items.append(PathItem((area,), fill=Fill(None, "dots"), role="ground"))
    return tuple(items)


def grain_line(cut: CutPiece, free: BaseGeometry, cap: float) -> tuple[complex, complex] | None:
    """Where the grain arrow stands: along the grain, through free ground, long, and to one side of the middle.

    `free` is in the piece's frame, so is the answer; `cap` bounds the length.
    """
    if free.is_empty:
        return None
    tail, head = cut.piece.grain
    way = marks.unit(head - tail)
    points = shapely.get_coordinates(free)
    across = points[:, 1] * way.real - points[:, 0] * way.imag  # measured along way * 1j
    along = points[:, 0] * way.real + points[:, 1] * way.imag
    lo, hi = float(across.min()), float(across.max())
    a0, a1 = float(along.min()) - 1, float(along.max()) + 1
    best: tuple[float, complex, complex] | None = None
    for share in np.linspace(0.1, 0.9, 21):
        off = lo + (hi - lo) * float(share)
        p, q = way * (a0 + 1j * off), way * (a1 + 1j * off)
        met = shapely.intersection(free, shapely.LineString([(p.real, p.imag), (q.real, q.imag)]))
        for part in getattr(met, "geoms", [met]):
            if part.length < 1e-6:
                continue
            size = min(part.length * 0.75, cap)
            score = size - 0.25 * abs(float(share) - 0.3) * (hi - lo)
            if best is None or score > best[0] + 1e-6:
                ends = [complex(*c) for c in shapely.get_coordinates(part)]
                middle = (ends[0] + ends[-1]) / 2
                best = (score, middle - way * size / 2, middle + way * size / 2)
    return (best[1], best[2]) if best else None


def paper_ground(cut: CutPiece) -> BaseGeometry:
    """The piece's ground inside its stitch lines, in its own frame."""
    return polygon_of(net_paper(cut))
