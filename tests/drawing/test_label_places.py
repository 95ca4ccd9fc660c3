"""Labels: on the thing where they fit, else outside with a leader; never over anything."""

from __future__ import annotations

import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing import look, marks
from booklet.drawing.bounds import text_corners
from booklet.drawing.display import Board, PathItem, Text, box_path
from booklet.drawing.judge import judge
from booklet.drawing.labels import Label, place_labels
from booklet.drawing.recorder import record
from booklet.paths import Path

FRAME = (0.0, 0.0, 140.0, 90.0)


def words_of(items: tuple) -> list[Text]:  # type: ignore[type-arg]
    return [i for i in items if isinstance(i, Text)]


def test_a_label_that_fits_stands_on_its_thing_with_clear_ground() -> None:
    board = Board()
    front = box_path(20, 20, 60, 40)
    board.path(front, look.CUT, look.RIGHT_SIDE, "cut")
    board.line(20 + 30j, 80 + 30j, look.STITCH, "stitch")
    placed = place_labels(FRAME, board.items, [Label("front, right side up", 50 + 40j, (front,))])
    assert not placed.left_over and len(placed.items) == 1, "one line, no leader"
    corners = text_corners(words_of(placed.items)[0])
    box = shapely.Polygon([(z.real, z.imag) for z in corners])
    assert shapely.LineString([(20, 30), (80, 30)]).distance(box) >= 1.7


def test_what_is_painted_over_is_no_place_for_a_label() -> None:
    board = Board()
    under, over = box_path(20, 20, 50, 40), box_path(35, 10, 60, 60)
    board.path(under, look.CUT, look.RIGHT_SIDE, "cut")
    board.path(over, look.CUT, look.WRONG_SIDE, "cut")
    placed = place_labels(FRAME, board.items, [Label("back", 28 + 40j, (under,))])
    (text,) = words_of(placed.items)
    assert max(z.real for z in text_corners(text)) < 35


def test_a_label_too_large_goes_outside_with_a_leader_to_its_target() -> None:
    board = Board()
    strip = box_path(40, 40, 50, 3)
    board.path(strip, look.CUT, look.INTERFACING, "cut")
    placed = place_labels(FRAME, board.items, [Label("facing, interfacing outside", 65 + 41.5j, (strip,))])
    lines = [i for i in placed.items if isinstance(i, PathItem) and i.stroke]
    assert len(lines) == 1 and lines[0].subpaths[0].end == 65 + 41.5j and lines[0].ends
    board.add(*placed.items)
    assert judge(board.drawing(140, 90)) == []


def test_a_label_without_any_room_is_handed_back() -> None:
    board = Board()
    board.path([Path.line(complex(0, y), complex(140, y)) for y in range(0, 90, 2)], look.CUT)
    label = Label("no room here", 70 + 45j, dot=False)
    assert place_labels(FRAME, board.items, [label]).left_over == (label,)


def test_leaders_keep_off_measures_and_arrows() -> None:
    board = Board()
    board.path(box_path(50, 30, 40, 30), look.CUT, look.WRONG_SIDE, "cut")
    board.add(*marks.measure_line(50 + 30j, 90 + 30j, "40 mm", 6))
    board.add(*marks.action_arrow(60 + 50j, 120 + 50j))
    labels = [Label("edge", 70 + 30j, dot=False), Label("right side of it", 90 + 40j, dot=False)]
    placed = place_labels(FRAME, board.items, labels)
    assert not placed.left_over
    leaders = [p for i in placed.items if isinstance(i, PathItem) and i.role == "leader" for p in i.subpaths]
    barred = [
        p for i in board.items if isinstance(i, PathItem) and i.stroke and i.role in ("measure", "action")
        for p in i.subpaths
    ]  # fmt: skip
    for one in leaders:
        for other in barred:
            assert not one.part(0, one.length * 0.9).crossings(other)


boxes = st.tuples(st.floats(5, 95), st.floats(5, 55), st.floats(4, 45), st.floats(3, 30))


@settings(max_examples=25)
@given(st.lists(boxes, min_size=1, max_size=5))
def test_any_scene_comes_out_clean_and_always_alike(raw: list[tuple[float, float, float, float]]) -> None:
    board = Board()
    labels = []
    for n, (x, y, w, h) in enumerate(raw):
        outline = box_path(x, y, w, h)
        board.path(outline, look.CUT, look.RIGHT_SIDE if n % 2 else look.WRONG_SIDE, "cut")
        labels.append(Label(f"piece {n}, wrong side up", complex(x + w, y + h / 2), (outline,), dot=False))
    placed = place_labels(FRAME, board.items, labels)
    again = place_labels(FRAME, board.items, labels)
    assert placed == again
    board.add(*placed.items)
    drawing = board.drawing(140, 90)
    found = [
        f for f in judge(drawing) if f.kind != "arrow in nothing"
    ]  # a target may be hidden by a later box
    assert found == [], record(drawing)


def test_a_label_too_wide_as_it_is_broken_is_broken_elsewhere() -> None:
    board = Board()
    board.path(box_path(34, 0, 8, 50), look.CUT, look.WRONG_SIDE, "cut")
    label = Label("left facing of the back neckline,\nwrong side up", 38 + 20j)
    narrow = place_labels((0.0, 0.0, 76.0, 50.0), board.items, [label])
    assert [t.text for t in words_of(narrow.items)] == ["left facing of the back", "neckline, wrong side up"]
    wide = place_labels(FRAME, board.items, [label])
    assert [t.text for t in words_of(wide.items)] == label.text.split("\n")
