"""Placeholder step pictures for tests of pages: plain frames with a label, and one seam between two shapes."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Drawing, box_path
from booklet.paths import Path


def plain_picture(width: float, height: float) -> Drawing:
    board = Board()
    board.path(box_path(0.5, 0.5, width - 1, height - 1), look.CUT, look.RIGHT_SIDE, role="cut")
    if height > 20:
        board.add(marks.centred_text(complex(width / 2, height / 2), "front, right side up", look.LABEL_PT))
    return board.drawing(width, height)


def join_picture() -> Drawing:
    board = Board()
    board.path(box_path(2, 4, 98, 34), look.CUT, look.RIGHT_SIDE, role="cut")
    board.path(box_path(6, 10, 96, 34), look.CUT, look.WRONG_SIDE, role="cut")
    board.path(Path.line(6 + 14j, 102 + 14j), look.SEW_NOW, role="seam")
    board.add(*marks.measure_line(20 + 10j, 20 + 14j, "10 mm"))
    board.add(marks.centred_text(54 + 30j, "front, wrong side up", look.LABEL_PT))
    return board.drawing(106, 48)
