"""A pattern piece at full scale with all its sizes on each other: what each size has of its own, and what all share.

Stitch lines are left out: with many sizes they would only hide the cut lines. What moves with the size is drawn for
each, on its own layer and with its own dashes; what all sizes have in the same place is drawn once.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.display import Board, Item, PathItem, Stroke, circle_path
from booklet.drawing.page import EdgeNote, SheetPiece, SizeLines
from booklet.model import CutPiece, Job, Stack
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines
from booklet.pages.ground import Ground, line_of, polygon_of
from booklet.pages.nest_lines import pens_of, size_lines
from booklet.pages.nest_words import layer_name, meeting_words
from booklet.pages.piece_block import broken, facing_edges, label_lines, shared_edge_words
from booklet.pages.piece_lines import OnPaper, button_lines, net_paper, on_paper, slit_path
from booklet.pages.sheet_piece import callouts, draw_bracket, draw_grain, fold_note, sheet_piece
from booklet.pages.words import Words, words_for
from booklet.paths import Path, Placement
from booklet.stacking import place_at

ALIKE = 0.05  # mm: what is nearer to each other than this is in one place
OFF_EDGE = 6.0  # mm: a mark that lies nearer to its cut line shows by it which size it is of
MARK_PT = 0.55  # weight of the marks inside a piece
DART_POINT, MEETING = 0.8, 1.8  # radii, mm


@dataclass(frozen=True)
class _Sized:
    """One size of a piece, as it lies in the nest."""

    name: str
    cut: CutPiece
    at: Placement
    shown: OnPaper


def nest_pieces(job: Job) -> tuple[SheetPiece, ...]:
    """All pieces of a job of several sizes, in the order of their numbers."""
    return tuple(nest_piece(stack, job) for stack in job.stacks)


def nest_piece(stack: Stack, job: Job) -> SheetPiece:
    """One piece with all sizes; drawn as a piece of one size where it is the same in all of them."""
    words = words_for(job.language, job.wording)
    sized = [
        _Sized(s.size, s.cut_piece(stack.piece), at, on_paper(s.cut_piece(stack.piece)))
        for s, at in zip(job.sizes, stack.placements, strict=True)
    ]
    base = sized[job.base]
    cut = base.cut
    outlines = [s.cut.paper_cut.placed(s.at) for s in sized]
    nets = [polygon_of(net_paper(s.cut).placed(s.at)) for s in sized]
    common = _largest(shapely.intersection_all(nets))
    union = _largest(shapely.union_all([polygon_of(o) for o in outlines]))
    cuts = [tuple(p.placed(s.at) for p in s.shown.cut) for s in sized]
    lines = size_lines(cuts, pens_of(len(sized)), job.base)
    own: list[list[Item]] = [list(line.items) for line in lines]
    shared, ground = Board(), Ground(common, 2.5)
    fold = _fold(shared, own, sized)
    _inner(shared, own, sized)
    if all(_same(outlines[job.base], o) for o in outlines) and not any(map(_drawn, own)):
        return sheet_piece(cut, job)
    ground.block([line_of(p) for items in (shared.items, *own) for p in _drawn(items)], 2.0)
    on_fold = any(line.fold for line in copy_lines(cut, job.size, words))
    if fold is not None and on_fold:
        draw_bracket(shared, ground, cut, fold)
    meeting = place_at(cut, stack.at, None)
    shared.path(circle_path(meeting, MEETING), Stroke(0.6, look.INK), role="meeting")
    shared.path(circle_path(meeting, MEETING / 4), fill=look.SOLID, role="meeting")
    draw_grain(shared, ground, cut)
    notes = _edge_notes(sized, cut, common, job, words)
    if fold is not None:
        notes.append(fold_note(cut, fold, job, words, on_fold))
    label = (*label_lines(job, cut, words), *broken(words("nest.no_stitch")))
    return SheetPiece(
        key=cut.piece.key,
        number=str(cut.piece.number),
        title=cut.piece.heading,
        outline=_path_of(union),
        items=tuple(shared.items),
        lines=(*label, *broken(meeting_words(cut, stack, words, job.units))),
        edge_notes=tuple(notes),
        callouts=tuple(callouts(cut, base.shown, job, words)),
        sizes=tuple(
            SizeLines(
                s.name, layer_name(s.name, words), outline, paths, tuple(items), line.turns, _spots(s, sized)
            )
            for s, outline, paths, items, line in zip(sized, outlines, cuts, own, lines, strict=True)
        ),
        ground=_path_of(common),
    )


def nest_check(job: Job, keys: Sequence[str], words: Words, off: str) -> str:
    """What of the base size's lines is measured once the pages of these pieces are joined: the longest fold, else the
    longest straight stretch of a cut line."""
    cuts = sorted((c for c in job.size.cut_pieces if c.piece.key in keys), key=lambda c: c.piece.number)
    lines = [(f.length, "nest.check_fold", c) for c in cuts if (f := on_paper(c).fold) is not None]
    if not lines:
        straight = [(seg, c) for c in cuts for seg in c.paper_cut.segments if len(seg) == 2]
        lines = [(abs(seg[1] - seg[0]), "nest.check_cut", c) for seg, c in straight]
    if not lines:
        return words("pattern.check_none")
    long, key, cut = max(lines, key=lambda line: line[0])
    length = figures.length(long, job.units)
    return words(key, number=cut.piece.number, length=length, size=job.size.size, off=off)


# ---------------------------------------------------------------- shapes


def _same(a: Path, b: Path) -> bool:
    """Whether two lines run in one place all along."""
    if abs(a.length - b.length) > ALIKE or len(a.segments) != len(b.segments):
        return False
    return all(
        abs(p - q) < ALIKE for x, y in zip(a.segments, b.segments, strict=True) for p, q in _points(x, y)
    )


def _points(x: tuple[complex, ...], y: tuple[complex, ...]) -> Iterator[tuple[complex, complex]]:
    yield from zip(x, y, strict=len(x) == len(y))


def _largest(shape: BaseGeometry) -> BaseGeometry:
    """The largest part of a ground that may have fallen into several."""
    parts = [g for g in getattr(shape, "geoms", [shape]) if g.geom_type == "Polygon"]
    return max(parts, key=lambda g: g.area) if parts else shapely.Polygon()


def _path_of(ground: BaseGeometry) -> Path:
    return Path.polyline([complex(x, y) for x, y in ground.exterior.coords], True)


def _drawn(items: Sequence[Item]) -> list[Path]:
    """The lines of marks, the cut line aside."""
    return [p for i in items if isinstance(i, PathItem) and i.role != "cut" for p in i.subpaths if p.segments]


# ---------------------------------------------------------------- lines


def _fold(shared: Board, own: list[list[Item]], sized: Sequence[_Sized]) -> Path | None:
    """The fold, on which all sizes lie: drawn once as far as the longest reaches. Returns what all of them have of it."""
    folds = [s.shown.fold.placed(s.at) for s in sized if s.shown.fold is not None]
    if len(folds) < len(sized):
        return None
    way = (folds[0].end - folds[0].start) / abs(folds[0].end - folds[0].start)
    origin = folds[0].start

    def along(z: complex) -> float:
        return float(((z - origin) * way.conjugate()).real)

    ends = [sorted((along(f.start), along(f.end))) for f in folds]
    off = max(abs(((z - origin) * way.conjugate()).imag) for f in folds for z in (f.start, f.end))
    if off > ALIKE:  # the sizes lie on each other elsewhere: each has a fold of its own
        for items, f in zip(own, folds, strict=True):
            items.append(PathItem((f,), look.FOLD_FULL, role="fold"))
        return folds[0]
    low, high = min(a for a, _ in ends), max(b for _, b in ends)
    shared.path(Path.line(origin + way * low, origin + way * high), look.FOLD_FULL, role="fold")
    return Path.line(origin + way * max(a for a, _ in ends), origin + way * min(b for _, b in ends))


_Marks = Callable[[_Sized], dict[str, tuple[Path, ...]]]


def _inner(shared: Board, own: list[list[Item]], sized: Sequence[_Sized]) -> None:
    """Fold lines, darts, pleats, slits, buttons and notches: once where all sizes have them in one place."""
    dashed: tuple[tuple[str, Stroke, _Marks], ...] = (
        ("fold line", look.FOLD, _fold_lines),
        ("dart", look.STITCH_FULL, _dart_legs),
        ("opening", look.STITCH_FULL, _slits),
        ("pleat", look.FOLD, _pleat_folds),
        ("pleat", look.LEADER, _pleat_places),
    )
    for role, usual, found in dashed:
        _marks(shared, own, sized, role, usual, found, True)
    _marks(shared, own, sized, "button", look.NOTCH, _buttons, False)
    _marks(shared, own, sized, "notch", look.NOTCH, _notches, False)
    points = [[circle_path(s.at.apply(d.point), DART_POINT) for d in s.shown.darts] for s in sized]
    alike = all(len(p) == len(points[0]) and all(map(_same, p, points[0])) for p in points)
    for items, circles in [(shared.items, points[0])] if alike else zip(own, points, strict=True):
        items += [PathItem((c,), fill=look.SOLID, role="dart") for c in circles]


def _marks(
    shared: Board,
    own: list[list[Item]],
    sized: Sequence[_Sized],
    role: str,
    usual: Stroke,
    found: _Marks,
    dashed: bool,
) -> None:
    """Lines of one kind, by name; `usual` is their pen where they are the same in all sizes or have no dash a size."""
    named = [found(s) for s in sized]
    pens = [replace(p, width_pt=MARK_PT) for p in pens_of(len(sized))]
    for name in dict.fromkeys(name for lines in named for name in lines):
        each = [
            tuple(p.placed(s.at) for p in lines.get(name, ())) for s, lines in zip(sized, named, strict=True)
        ]
        if all(len(e) == len(each[0]) and all(map(_same, e, each[0])) for e in each):
            shared.path(each[0], usual, role=role)
        elif dashed:
            for items, line in zip(own, size_lines(each, pens, len(sized) // 2), strict=True):
                items += [replace(item, role=role) for item in line.items]
        else:
            for items, paths in zip(own, each, strict=True):
                items += [PathItem(paths, usual, role=role)] if paths else []


def _fold_lines(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {f.name: (f.path,) for f in (*s.shown.fold_lines, *s.shown.lines_across)}


def _dart_legs(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {f"{d.name} {d.side}": (Path.polyline([d.first, d.point, d.second]),) for d in s.shown.darts}


def _slits(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {o.name: (slit_path(o),) for o in s.shown.openings}


def _pleat_folds(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {f"{p.name} {p.side}": tuple(fold for fold, _ in p.moves) for p in s.shown.pleats}


def _pleat_places(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {f"{p.name} {p.side}": tuple(place for _, place in p.moves) for p in s.shown.pleats}


def _buttons(s: _Sized) -> dict[str, tuple[Path, ...]]:
    return {f"{n}": tuple(button_lines(b)) for n, b in enumerate(s.shown.buttons)}


def _notches(s: _Sized) -> dict[str, tuple[Path, ...]]:
    lines = [
        Path.line(a, b) for stroke in s.cut.paper_notches for a, b in stroke.strokes if abs(b - a) > 1e-9
    ]
    return {f"{n}": (line,) for n, line in enumerate(lines)}


def _spots(s: _Sized, sized: Sequence[_Sized]) -> tuple[tuple[str, complex], ...]:
    """The marks of a size that look alike in all sizes and lie elsewhere in some: buttons, and crosses off the cut line."""
    moved = [
        {
            row
            for row, at in _spots_of(s)
            if not any(abs(at - z) < ALIKE for name, z in _spots_of(o) if name == row)
        }
        for o in sized
    ]
    return tuple((row, at) for row, at in _spots_of(s) if any(row in rows for rows in moved))


def _spots_of(s: _Sized) -> list[tuple[str, complex]]:
    buttons = [(b.row, s.at.apply(b.at)) for b in s.shown.buttons]
    edge = line_of(s.cut.paper_cut)
    crosses = []
    for stroke in s.cut.paper_notches:
        middle = sum(z for pair in stroke.strokes for z in pair) / max(1, 2 * len(stroke.strokes))
        if stroke.strokes and edge.distance(shapely.Point(middle.real, middle.imag)) > OFF_EDGE:
            crosses.append((f"{stroke.edge} {stroke.mark.name}", s.at.apply(middle)))
    return [*buttons, *crosses]


# ---------------------------------------------------------------- words


def _edge_notes(
    sized: Sequence[_Sized], cut: CutPiece, common: BaseGeometry, job: Job, words: Words
) -> list[EdgeNote]:
    """Each edge's name along the innermost of its sizes, where the ground is that all of them have."""
    out = []
    sewn = {e.name for e in facing_edges(cut)}
    for edge in cut.paper_net:
        if edge.name == cut.piece.fold:
            continue
        lines = [e.path.placed(s.at) for s in sized for e in s.cut.paper_net if e.name == edge.name]
        inmost = max(lines, key=lambda p: _share_on(p, common))
        text = shared_edge_words(cut, job, edge, words) if edge.name in sewn else ""
        out.append(EdgeNote(text or figures.edge_called(edge, edge.name, words), inmost))
    fold_lines = {f.name: f.path for f in (*on_paper(cut).fold_lines, *on_paper(cut).lines_across)}
    out += [EdgeNote(figures.called(name, job.units), path) for name, path in fold_lines.items()]
    return out


def _share_on(path: Path, ground: BaseGeometry) -> float:
    """How much of a line lies on a ground or its edge."""
    z = np.array([path.point(path.length * share) for share in np.linspace(0.05, 0.95, 13)])
    return float(np.mean(shapely.dwithin(ground, shapely.points(z.real, z.imag), 0.5)))
