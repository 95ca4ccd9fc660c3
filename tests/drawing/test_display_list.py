"""The display list, its boxes and its readable record."""

from __future__ import annotations

import cmath
import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.drawing import look
from booklet.drawing.bounds import box_of, flat_items
from booklet.drawing.display import Board, Fill, Group, PathItem, Text, View, arc_path, box_path
from booklet.drawing.recorder import record
from booklet.paths import Path, Placement

angles = st.floats(-math.pi, math.pi)
places = st.builds(
    Placement, angles.map(lambda a: cmath.rect(1, a)), st.complex_numbers(max_magnitude=300), st.booleans()
)


def test_arc_keeps_its_radius_and_length() -> None:
    arc = arc_path(10 + 5j, 20, -30, 215)
    assert abs(arc.start - (10 + 5j + cmath.rect(20, math.radians(-30)))) < 1e-9
    assert max(abs(abs(z - (10 + 5j)) - 20) for z in arc.flatten(0.01)) < 0.01
    assert arc.length == pytest.approx(20 * math.radians(245), rel=3e-4)


@given(places, places)
def test_nested_groups_place_like_one(a: Placement, b: Placement) -> None:
    path = Path.polyline([0j, 30 + 0j, 30 + 10j])
    item = PathItem((path,), look.CUT, ends=(30 + 10j,))
    (flat,) = flat_items((Group((Group((item,), a),), b),))
    assert isinstance(flat.item, PathItem)
    assert abs(flat.item.ends[0] - b.apply(a.apply(30 + 10j))) < 1e-9
    assert abs(flat.item.subpaths[0].end - b.apply(a.apply(30 + 10j))) < 1e-9


def test_a_box_counts_stroke_clip_and_words() -> None:
    square = PathItem((box_path(0, 0, 10, 10),), look.Stroke(72 / 25.4, look.INK))
    assert box_of(square) == pytest.approx((-0.5, -0.5, 10.5, 10.5))
    assert box_of(Group((square,), Placement.move(5), clip=box_path(0, 0, 4, 4))) == pytest.approx(
        (5, 0, 9, 4)
    )
    assert box_of(Group((square,), clip=box_path(20, 20, 4, 4))) is None
    down = box_of(Text(50, 50, "front", 10, angle_deg=90))
    assert down is not None
    assert down[1] == pytest.approx(50) and down[3] - down[1] > down[2] - down[0]
    assert box_of(PathItem((box_path(0, 0, 1, 1),))) is None


def test_a_view_scales_and_turns() -> None:
    view = View(0.5, Placement.rotation(math.pi / 2).then(Placement.move(100)))
    assert abs(view.point(20 + 0j) - (100 + 10j)) < 1e-9
    assert view.path(Path.line(0, 20)).length == pytest.approx(10)
    assert not view.mirrored and View(1, Placement.mirror()).mirrored


def test_the_record_reads_well() -> None:
    board = Board()
    board.path(Path(((0j, 1j, 1 + 1j, 1 + 0j),)), look.STITCH, Fill(look.TINT, "dots"), "stitch")
    board.group([Text(1, 2, "front", 8, 600)], Placement.move(3 + 4j), clip=box_path(0, 0, 9, 9), name="a")
    assert record(board.drawing(100, 50)) == (
        "drawing 100.00 x 50.00\n"
        "  path stitch pen 0.4 pt #1C1B1A dash 1-0.7 fill #DFD9CE dots\n"
        "    0.00,0.00  ~ 0.00,1.00 1.00,1.00 1.00,0.00\n"
        "  group 'a' at 3.00,4.00 turn 1.0000,0.0000\n"
        "    clip 0.00,0.00  9.00,0.00  9.00,9.00  0.00,9.00  0.00,0.00\n"
        "    text (1.00 2.00) start 'front' 8 pt 600 #1C1B1A\n"
    )
