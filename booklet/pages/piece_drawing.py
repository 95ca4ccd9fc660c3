"""A pattern piece at full scale, with all its words, in the piece's own millimetres.

Lines are drawn as cutting left them. Words stand on free ground, upright as the piece lies on its sheet: `turn` is the
way it is turned there. What finds no ground gets smaller, then goes without.
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass, field

import numpy as np
import shapely
import shapely.affinity

from booklet.drawing import look, marks
from booklet.drawing.bounds import text_corners
from booklet.drawing.display import Board, Group, Text, View
from booklet.drawing.text import height_mm, measure
from booklet.model import CutPiece, Edge, Job
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines
from booklet.pages.ground import Ground, line_of
from booklet.pages.piece_block import STYLES, label_block
from booklet.pages.piece_lines import FULL, OnPaper, draw_lines, grain_line, on_paper, paper_ground, slit_path
from booklet.pages.words import Words, words_for
from booklet.paths import Path, Placement

EDGE_PT = 8.6
GRAIN_CAP = 320.0
BRACKET_DEPTH, BRACKET_CAP = 11.0, 360.0
ARROW = 15.0  # length of the arrows that point at the edge a facing is sewn to
SHARES = (0.5, 0.4, 0.6, 0.3, 0.7, 0.22, 0.78, 0.15, 0.85)


def piece_drawing(cut: CutPiece, job: Job, turn: complex = 1 + 0j, name: str | None = None) -> Group:
    """The piece as one group (a form of the PDF), its cut line where `cut.paper_cut` has it.

    `turn` is the unit direction by which the sheet turns the piece; the words are turned back by it.
    """
    words = words_for(job.language)
    pen = _Pen(cut, job, words, Placement(turn / abs(turn)))
    draw_lines(pen.board, cut, pen.shown, View(1.0, pen.turned), FULL)
    pen.signs()
    pen.block()
    pen.edge_names()
    pen.small_words()
    items = tuple(pen.board.items)
    own = name or f"piece-{cut.piece.number}-{job.size.size}"
    if pen.turned == Placement.IDENTITY:
        return Group(items, name=own)
    return Group((Group(items, pen.turned.inverse),), name=own)


@dataclass
class _Pen:
    """One piece on its way: everything in the turned frame, where words are upright."""

    cut: CutPiece
    job: Job
    words: Words
    turned: Placement
    board: Board = field(default_factory=Board)

    def __post_init__(self) -> None:
        self.shown: OnPaper = on_paper(self.cut)
        net = paper_ground(self.cut)
        m = self.turned.turn
        self.net = shapely.affinity.affine_transform(net, [m.real, -m.imag, m.imag, m.real, 0, 0])
        self.ground = Ground(self.net, 2.5)
        lines = [f.path for f in (*self.shown.fold_lines, *self.shown.lines_across)]
        lines += [Path.polyline([d.first, d.point, d.second]) for d in self.shown.darts]
        lines += [slit_path(s) for s in self.shown.openings]
        for stroke in self.cut.paper_notches:
            lines += [Path.line(a, b) for a, b in stroke.strokes if abs(b - a) > 1e-6]
        self.ground.block([line_of(p.placed(self.turned)) for p in lines], 2.0)

    # ------------------------------------------------------------ signs

    def signs(self) -> None:
        """Fold bracket, facing arrows and grain arrow, in the order of what has least choice."""
        if self.shown.fold is not None:
            self._fold(self.shown.fold.placed(self.turned))
        if self.cut.piece.facing is not None:
            for edge in self._facing_edges():
                self._facing_arrows(edge)
        self._grain()

    def _fold(self, fold: Path) -> None:
        way = marks.unit(fold.end - fold.start)
        inward = way * 1j
        probe = fold.point(fold.length / 2) + inward * 4
        if not self.net.contains(shapely.Point(probe.real, probe.imag)):
            inward = -inward
        on_cloth = any(line.fold for line in copy_lines(self.cut, self.job.size, self.words))
        text = self.words("label.fold" if on_cloth else "label.fold_draw")
        depth = 0.0
        middle = fold.point(fold.length / 2)
        if on_cloth:
            long = min(fold.length * 0.7, BRACKET_CAP)
            depth = BRACKET_DEPTH if long > 3 * BRACKET_DEPTH else 5.0
            a, b = middle - way * long / 2, middle + way * long / 2
            self.board.add(*marks.fold_bracket(a, b, inward, depth, full=long > 3 * BRACKET_DEPTH))
            bracket = Path.polyline([a, a + inward * depth, b + inward * depth, b])
            self.ground.block([line_of(bracket)], 2.5)
        angle = marks.readable_angle(way)
        for off in (depth + 2.4, depth - 4.6, 2.4):
            at = middle + inward * (off + height_mm(EDGE_PT) / 2)
            if off > 0 and self._try_text(marks.centred_text(at, text, EDGE_PT, 400, angle, look.SOFT, "label")):
                return

    def _facing_edges(self) -> list[Edge]:
        facing = self.cut.piece.facing
        names = facing.edges if facing else ()
        return [e for e in self.cut.paper_net if e.name.partition(".")[0] in names]

    def _facing_arrows(self, edge: Edge) -> None:
        """Arrows of action onto the stitch line that meets the parent's edge."""
        path = edge.path.placed(self.turned)
        count = 1 if path.length < 120 else 2 if path.length < 600 else 3
        for n in range(count):
            s = path.length * (n + 0.5) / count
            tip, inward = path.point(s), path.normal(s) * -1
            start = tip + inward * ARROW
            line = shapely.LineString([(start.real, start.imag), (tip.real, tip.imag)])
            self.board.add(*marks.action_arrow(start, tip))
            self.ground.block([line], 2.0)

    def _grain(self) -> None:
        whole = shapely.affinity.affine_transform(self.ground.free, _matrix(self.turned.inverse))
        ends = grain_line(self.cut, whole, GRAIN_CAP)
        if ends is None:
            return
        a, b = (self.turned.apply(z) for z in ends)
        self.board.add(*marks.grain_arrow(a, b, one_way=self.cut.piece.nap, full=abs(b - a) > 25))
        self.ground.block([line_of(Path.line(a, b))], 3.0)

    # ------------------------------------------------------------ words

    def block(self) -> None:
        """The block in the roomiest form that finds ground, upright or else along the piece."""
        for style in STYLES:
            block = label_block(self.job, self.cut, self.words, style)
            box = self.ground.find(block.wide, block.high)
            if box is not None:
                self.board.group(block.items, Placement.move(complex(box[0], box[1])), role="label")
                self.ground.block_box(box)
                return
            if style.number_pt > 24:
                continue
            box = self.ground.find(block.high, block.wide)
            if box is not None:  # a narrow piece: words from foot to top
                self.board.group(block.items, Placement(-1j, complex(box[0], box[3])), role="label")
                self.ground.block_box(box)
                return
        self._number_alone()

    def _number_alone(self) -> None:
        """The least: the number, as large as there is ground for, or beside the piece with a leader."""
        number = str(self.cut.piece.number)
        for size in (14.0, 11.0, 9.0, look.SMALLEST_PT):
            wide, high = measure(number, size, 600), height_mm(size)
            box = self.ground.find(wide, high)
            if box is not None:
                self.board.text(box[0], box[3], number, size, 600, role="label")
                self.ground.block_box(box)
                return
        block = label_block(self.job, self.cut, self.words, STYLES[-2])
        _, y0, x1, y1 = self.net.bounds
        foot = self.net.representative_point()
        at = complex(x1 + 14, (y0 + y1) / 2)
        self.board.group(block.items, Placement.move(at - block.high / 2 * 1j), role="label")
        self.board.add(*marks.leader(at - 1, complex(foot.x, foot.y)))

    def edge_names(self) -> None:
        piece = self.cut.piece
        facing = {e.name for e in self._facing_edges()}
        for edge in self.cut.paper_net:
            if edge.name == piece.fold:
                continue
            text = figures.edge_called(edge, edge.name)
            if edge.name in facing:
                text = sewn_to_words(self.cut, self.job, edge, self.words)
            self._along(edge.path.placed(self.turned), text)

    def _along(self, path: Path, text: str) -> None:
        """Words along the inside of an edge, at its flattest free place; straight words keep off a bent line."""
        for size in (EDGE_PT, look.SMALLEST_PT):
            half = measure(text, size) / 2
            if path.length < 2 * half + 6:
                continue
            for off in (2.2, 4.0, 6.5):
                for share in SHARES:
                    s = path.length * share
                    if s < half + 3 or s > path.length - half - 3:
                        continue
                    way, inward = path.tangent(s), path.normal(s) * -1
                    at = path.point(s) + inward * (off + height_mm(size) / 2)
                    words = marks.centred_text(
                        at, text, size, 400, marks.readable_angle(way), look.SOFT, "label"
                    )
                    if self._try_text(words, 1.2):
                        return

    def _try_text(self, text: Text, clear: float = 1.2) -> bool:
        """Sets words if their box lies inside the stitch lines and on nothing else."""
        corners = np.array(text_corners(text))
        box = shapely.Polygon(np.column_stack([corners.real, corners.imag]))
        allowed = self.ground.free.buffer(self.ground.clear - clear)
        if not allowed.contains(box):
            return False
        self.board.add(text)
        self.ground.block([box], 1.5)
        return True

    def small_words(self) -> None:
        """Darts, slits and marks that aren't cut say what they are."""
        for slit in self.shown.openings:
            depth = figures.length(slit.depth, self.job.units)
            text = self.words("label.slit", name=slit.name.replace("_", " "), depth=depth)
            self._beside((slit.at + slit.foot) / 2, text)
        for dart in self.shown.darts:
            self._beside(dart.point, self.words("label.dart") + f", {dart.press_words}" * bool(dart.press_words))
        for line in (*self.shown.fold_lines, *self.shown.lines_across):
            self._on_line(line.path.placed(self.turned), line.name.replace("_", " "))
        for stroke in self.cut.paper_notches:
            if not stroke.cut and stroke.strokes and stroke.mark.kind != "snip":
                self._beside(stroke.strokes[0][1], self.words("label.mark"))

    def _on_line(self, path: Path, text: str) -> None:
        half = measure(text, EDGE_PT) / 2
        for share in SHARES:
            s = path.length * share
            if s < half + 3 or s > path.length - half - 3:
                continue
            for side in (1, -1):
                at = path.point(s) + path.normal(s) * side * (1.6 + height_mm(EDGE_PT) / 2)
                angle = marks.readable_angle(path.tangent(s))
                if self._try_text(marks.centred_text(at, text, EDGE_PT, 400, angle, look.SOFT, "label"), 1.0):
                    return

    def _beside(self, at: complex, text: str) -> None:
        """Words near a point, with a leader to it."""
        at = self.turned.apply(at)
        wide, high = measure(text, EDGE_PT), height_mm(EDGE_PT, 0.8)
        box = self.ground.find(wide, high, near=at + cmath.rect(6.0, 0.6))
        if box is None:
            return
        middle = complex((box[0] + box[2]) / 2, (box[1] + box[3]) / 2)
        if abs(middle - at) > 90:
            return
        self.board.text(box[0], box[3] - 0.2, text, EDGE_PT, 400, look.SOFT, role="label")
        start = complex(box[2] + 0.9, middle.imag)
        if at.real < box[0]:
            start = complex(box[0] - 0.9, middle.imag)
        elif at.real < box[2]:
            start = complex(middle.real, box[1] - 0.9 if at.imag < box[1] else box[3] + 0.9)
        if abs(at - start) > 1.0:
            self.board.add(*marks.leader(start, at, dot=False))
            self.ground.block([line_of(Path.line(start, at))], 1.0)
        self.ground.block_box(box)


def sewn_to_words(cut: CutPiece, job: Job, edge: Edge, words: Words) -> str:
    """'sewn to Front neckline', for an edge that a facing copies."""
    facing = cut.piece.facing
    if facing is None:
        return ""
    parent = job.size.cut_piece(facing.parent).piece
    base = edge.name.partition(".")[0]
    own = next((e for e in parent.edges if e.name.partition(".")[0] == base), None)
    return words("label.sewn_to", piece=parent.title, edge=figures.edge_called(own, base))


def _matrix(p: Placement) -> list[float]:
    """shapely's matrix of a placing without mirror."""
    return [p.turn.real, -p.turn.imag, p.turn.imag, p.turn.real, p.shift.real, p.shift.imag]
