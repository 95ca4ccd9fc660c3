"""The judge finds each fault that it is there for, and nothing in a clean drawing."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Board, PathItem, box_path
from booklet.drawing.judge import judge, struck_words
from booklet.paths import Path, Placement


def scene() -> Board:
    board = Board()
    board.path(box_path(20, 20, 40, 30), look.CUT, look.WRONG_SIDE, "cut")
    board.path(box_path(100, 20, 20, 30), look.CUT, look.RIGHT_SIDE, "cut")
    board.text(25, 40, "front", 8)
    board.add(*marks.action_arrow(50 + 30j, 110 + 30j))
    return board


def kinds(board: Board, **how: bool) -> list[str]:
    return [f.kind for f in judge(board.drawing(150, 80), **how)]  # type: ignore[arg-type]


def test_a_clean_drawing_has_no_findings() -> None:
    assert kinds(scene()) == []


def test_words_over_words() -> None:
    board = scene()
    board.text(30, 41, "back", 8)
    assert kinds(board) == ["words over words"]


def test_words_off_the_page_and_too_small() -> None:
    board = scene()
    board.text(147, 60, "leaves", 8)
    board.text(30, 60, "tiny", 5.5)
    assert kinds(board) == ["words off the page", "words too small"]


def test_words_cut_off_by_a_clip() -> None:
    board = scene()
    clipped = Board()
    clipped.text(0, 5, "cut off here", 10)
    board.group(clipped.items, Placement.move(30 + 55j), clip=box_path(0, 0, 10, 10))
    assert kinds(board) == ["words cut off"]
    assert kinds(board, cut_words=False) == []
    hidden = Board()
    hidden.text(50, 5, "not there", 10)
    away = scene()
    away.group(hidden.items, clip=box_path(0, 0, 10, 10))
    assert kinds(away) == []


def test_an_arrow_that_hits_nothing_or_a_hidden_thing() -> None:
    board = scene()
    board.add(*marks.action_arrow(50 + 45j, 80 + 45j))
    assert kinds(board) == ["arrow in nothing"]
    edge = scene()
    edge.line(70 + 10j, 70 + 70j, look.CUT)
    edge.add(*marks.action_arrow(50 + 45j, 70 + 45j))
    assert kinds(edge) == []
    # A line that a later piece covers is no target.
    hidden = Board()
    hidden.line(70 + 10j, 70 + 70j, look.CUT)
    hidden.path(box_path(65, 5, 10, 30), None, look.WRONG_SIDE, "cut")
    hidden.path(box_path(20, 20, 20, 30), look.CUT, look.WRONG_SIDE, "cut")
    hidden.add(*marks.action_arrow(30 + 50j, 70 + 60j))
    assert kinds(hidden) == []


def test_leaders_that_cross() -> None:
    board = scene()
    board.add(*marks.leader(10 + 60j, 30 + 45j))
    board.add(*marks.leader(10 + 40j, 40 + 42j))
    assert kinds(board) == []
    board.add(*marks.leader(10 + 35j, 35 + 48j, dot=False))
    assert kinds(board) == ["leader over leader"] * 2, "it crosses both"


def test_a_cover_that_its_window_touches_along_an_edge_is_an_area_all_the_same() -> None:
    board = Board()
    board.line(5 + 9j, 40 + 9j, look.CUT, "cut")
    board.box(0, 0, 50, 20, None, look.WRONG_SIDE, "cut")
    touching = [8 + 5j, 12 + 5j, 12 + 2j, 20 + 2j, 20 + 20j, 12 + 20j, 12 + 8j, 8 + 8j]
    cover = PathItem((Path.polyline(touching, True),), None, look.WRONG_SIDE, "cut")
    board.group([cover], clip=box_path(0, 0, 60, 5.0))
    board.text(10, 10, "front", 8)
    assert struck_words(board.drawing(60, 30)) == []
