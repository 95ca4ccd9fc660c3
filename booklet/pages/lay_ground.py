"""The cloth of a lay plan on paper: its layers, selvedges, folds, meeting line and repeat, to scale.

A lay's x runs along the cloth and its y across it from the fold or the lower selvedge. A cloth folded along its length
is turned half round on paper, so that the fold lies at the foot.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Stroke, View, box_path
from booklet.drawing.text import measure
from booklet.model import LayPlan, LaySection, Placing
from booklet.pages.words import Words
from booklet.paths import Placement

EDGE = Stroke(0.6, look.INK)
BEYOND = Stroke(0.5, look.SOFT, (1.2, 0.9))
SELVEDGE = Stroke(0.35, look.RULE)
REPEAT = Stroke(0.3, look.RULE)
SEEN = 0.2  # mm on paper: a selvedge narrower than this is not drawn
FOLD_OVER = 2.0  # by which a fold's line stands out beyond the cloth
ARROW = 9.0  # of a one-way cloth
_FOLDED = ("fold", "two_folds", "part_fold", "side_fold")

Box = tuple[float, float, float, float]


def sections_of(lay: LayPlan) -> tuple[LaySection, ...]:
    """The stretches of a lay; one that names none is a single stretch of its kind."""
    if lay.sections:
        return lay.sections
    if lay.kind == "fold":
        return (LaySection(0.0, lay.length_mm, 0.0, lay.usable_mm / 2, 2, (0.0,)),)
    return (LaySection(0.0, lay.length_mm, 0.0, lay.usable_mm, 1),)


def section_of(lay: LayPlan, placing: Placing) -> LaySection:
    return sections_of(lay)[placing.section]


def selvedge_mm(lay: LayPlan) -> float:
    """How wide each selvedge is that nothing is laid on."""
    return (lay.width_mm - lay.usable_mm) / 2


def across_mm(lay: LayPlan) -> float:
    """How wide the cloth lies. Of two folds both selvedges lie on top, lapped by what is not used of them."""
    if lay.kind == "two_folds":
        return lay.usable_mm / 2
    if lay.kind == "side_fold":
        return sections_of(lay)[1].high + selvedge_mm(lay)
    return lay.width_mm / 2 if lay.kind == "fold" else lay.width_mm


def along_mm(lay: LayPlan, mm: float) -> float:
    """How long so much of the cloth lies: half, if it is folded across."""
    return mm / 2 if lay.kind == "cross_fold" else mm


@dataclass(frozen=True)
class Sheet:
    """Where a lay lies on paper: its upper left corner, and millimetres of cloth to one of paper."""

    lay: LayPlan
    scale: float
    left: float
    top: float

    @property
    def high(self) -> float:
        return across_mm(self.lay) / self.scale

    @property
    def foot(self) -> float:
        return self.top + self.high

    @property
    def taken(self) -> float:
        return along_mm(self.lay, self.lay.length_mm) / self.scale

    @property
    def buy(self) -> float:
        return along_mm(self.lay, max(self.lay.buy_mm, self.lay.length_mm)) / self.scale

    @property
    def right(self) -> float:
        return self.left + self.buy

    @property
    def border(self) -> float:
        return selvedge_mm(self.lay) / self.scale

    @property
    def view(self) -> View:
        if self.lay.kind in _FOLDED:
            base = self.top + self.high / 2 if self.lay.kind == "part_fold" else self.foot
            return View(1 / self.scale, Placement(-1 + 0j, complex(self.left + self.taken, base)))
        return View(1 / self.scale, Placement.move(complex(self.left, self.top + self.border)))

    def box(self, section: LaySection) -> Box:
        """The usable cloth of a stretch on paper."""
        a = self.view.point(complex(section.start, section.low))
        b = self.view.point(complex(section.end, section.high))
        return min(a.real, b.real), min(a.imag, b.imag), max(a.real, b.real), max(a.imag, b.imag)

    @property
    def boundary(self) -> float | None:
        """Where a cloth folded in part is opened out."""
        parts = sections_of(self.lay)
        if len(parts) < 2 or self.lay.kind == "side_fold":
            return None
        return self.view.point(complex((parts[0].end + parts[1].start) / 2, 0.0)).real

    def cloths(self) -> list[Box]:
        """The cloth as it lies, as far as it is bought; of one folded in part the folded stretch first."""
        at = self.boundary
        if at is None:
            return [(self.left, self.top, self.right, self.foot)]
        middle = self.top + self.high / 2
        return [(at, self.top, self.right, middle), (self.left, self.top, at, self.foot)]


# ------------------------------------------------------------------ drawing


def draw_cloth(board: Board, words: Words, sheet: Sheet) -> None:
    """The cloth as far as it is bought, with a line where the lay ends, one along each selvedge, and its repeat."""
    lay = sheet.lay
    for x0, y0, x1, y1 in sheet.cloths():
        board.path(box_path(x0, y0, x1 - x0, y1 - y0), fill=look.GROUND, role="ground")
    _repeat(board, sheet)
    for n, box in enumerate(sheet.cloths()):
        _edges(board, words, sheet, box, sections_of(lay)[n])
    x = sheet.left + sheet.taken
    if sheet.buy - sheet.taken > 0.5:
        foot = sheet.cloths()[0][3]
        board.line(complex(x, sheet.top), complex(x, foot), BEYOND, "taken")
    _meeting(board, sheet)


def _edges(board: Board, words: Words, sheet: Sheet, box: Box, section: LaySection) -> None:
    x0, y0, x1, y1 = box
    folded = bool(section.folds)
    both = len(section.folds) == 2
    for y, inward, fold in ((y0, 1, both), (y1, -1, folded)):
        if fold:
            board.line(complex(x0 - FOLD_OVER, y), complex(x1 + FOLD_OVER, y), look.FOLD, "fold")
            continue
        board.line(complex(x0, y), complex(x1, y), EDGE, "selvedge")
        if sheet.border > SEEN:
            at = y + inward * sheet.border
            board.line(complex(x0, at), complex(x1, at), SELVEDGE, "selvedge")
    for x in (x0, x1):
        fold = section.cross_fold and x == x0
        over = FOLD_OVER if fold else 0.0
        pen, role = (look.FOLD, "fold") if fold else (EDGE, "cloth end")
        board.line(complex(x, y0 - over), complex(x, y1 + over), pen, role)
    if section.cross_fold:
        text = words("lays.fold_edge")
        at = y1 - 2.0 - measure(text, look.LABEL_PT) / 2
        board.add(marks.centred_text(complex(x0 - 2.0, at), text, look.LABEL_PT, 400, -90.0, look.SOFT))
    two = folded and sheet.lay.kind != "side_fold"  # both selvedges lie at the top
    top = "lays.fold_edge" if both else "lays.selvedges" if two else "lays.selvedge"
    start = x0
    if sheet.lay.one_way and x1 == sheet.right:
        start, x1 = _tops(board, words, sheet, x0, x1)
    if x1 - start > measure(words(top), look.LABEL_PT):
        board.text(
            (start + x1) / 2, y0 - 1.6, words(top), look.LABEL_PT, 400, look.SOFT, "middle", role="label"
        )
    foot = words("lays.fold_edge" if folded else "lays.selvedge")
    if box[2] - x0 > measure(foot, look.LABEL_PT):
        board.text((x0 + box[2]) / 2, y1 + 3.6, foot, look.LABEL_PT, 400, look.SOFT, "middle", role="label")


def _tops(board: Board, words: Words, sheet: Sheet, x0: float, x1: float) -> tuple[float, float]:
    """The arrow of a one-way cloth at the end to which the tops lie; what room it leaves of the row."""
    first = next((p for p in sheet.lay.placings), None)
    if first is None:
        return x0, x1
    left = sheet.view.direction(first.grain[1] - first.grain[0]).real < 0
    y = sheet.top - 2.6
    text = words("lays.tops")
    wide = ARROW + 1.5 + measure(text, look.LABEL_PT)
    a, b = (x0 + ARROW, x0) if left else (x1 - ARROW, x1)
    board.add(*marks.grain_arrow(complex(a, y), complex(b, y), one_way=True))
    at, anchor = (a + 1.5, "start") if left else (a - 1.5, "end")
    board.text(at, sheet.top - 1.6, text, look.LABEL_PT, 400, look.SOFT, anchor, role="label")  # type: ignore[arg-type]
    return (x0 + wide + 2, x1) if left else (x0, x1 - wide - 2)


def _meeting(board: Board, sheet: Sheet) -> None:
    """Of two folds the line where both selvedges lie on top, with what is not used of them on either side; of one side
    folded in its selvedge, and where what is used of it ends."""
    section = sections_of(sheet.lay)[0]
    if sheet.lay.kind == "side_fold":
        y = sheet.view.point(complex(0, section.high)).imag
        board.line(complex(sheet.left, y), complex(sheet.right, y), SELVEDGE, "selvedge")
        y -= sheet.border
        board.line(complex(sheet.left, y), complex(sheet.right, y), EDGE, "meeting")
        return
    if section.meeting is None:
        return
    y = sheet.view.point(complex(0, section.meeting)).imag
    board.line(complex(sheet.left, y), complex(sheet.right, y), EDGE, "meeting")
    for side in (-1, 1) if sheet.border > SEEN else ():
        at = y + side * sheet.border
        board.line(complex(sheet.left, at), complex(sheet.right, at), SELVEDGE, "selvedge")


def _repeat(board: Board, sheet: Sheet) -> None:
    """Faint lines of the stripes or checks that pieces are matched by."""
    along, across = sheet.lay.repeat
    for section in sections_of(sheet.lay):
        x0, y0, x1, y1 = sheet.box(section)
        for n in _whole(section.start, section.end, along):
            x = sheet.view.point(complex(n * along, 0)).real
            board.line(complex(x, y0), complex(x, y1), REPEAT, "repeat")
        for n in _whole(section.low, section.high, across):
            y = sheet.view.point(complex(0, n * across)).imag
            board.line(complex(x0, y), complex(x1, y), REPEAT, "repeat")


def _whole(low: float, high: float, step: float) -> range:
    return range(math.ceil(low / step), math.floor(high / step) + 1) if step else range(0)
