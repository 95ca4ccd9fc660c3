"""Marks end where they are told to, and look as the booklet's look says."""

from __future__ import annotations

import math

import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from booklet.drawing import look, marks
from booklet.drawing.bounds import box_of, text_corners
from booklet.drawing.display import PathItem, Text
from booklet.drawing.text import measure
from booklet.paths import Path

points = st.complex_numbers(max_magnitude=120, allow_nan=False)


def solids(items: tuple) -> list[PathItem]:  # type: ignore[type-arg]
    return [i for i in items if isinstance(i, PathItem) and i.fill is not None]


@given(points, points)
def test_an_arrow_of_action_ends_exactly_on_its_points(start: complex, tip: complex) -> None:
    assume(abs(tip - start) > 1)
    items = marks.action_arrow(start, tip)
    shaft = items[0]
    assert isinstance(shaft, PathItem) and shaft.ends == (start, tip)
    head, dot = (i.subpaths[0] for i in solids(items))
    assert abs(head.start - tip) < 1e-9
    assert max(abs(z - start) for z in dot.flatten()) == pytest.approx(look.ACTION_DOT, rel=2e-3)
    # Nothing of the arrow lies beyond its tip.
    way = (tip - start) / abs(tip - start)
    assert max(((z - tip) / way).real for z in head.flatten()) < 1e-9


def test_a_long_arrow_has_the_head_of_the_look() -> None:
    head = solids(marks.action_arrow(0, 50))[0].subpaths[0]
    box = head.bbox
    assert box[2] - box[0] == pytest.approx(look.ACTION_HEAD_LONG)
    assert box[3] - box[1] == pytest.approx(look.ACTION_HEAD_WIDE)
    notch = [z for z in head.flatten() if abs(z.imag) < 1e-9 and z.real < 49]
    assert notch and notch[0].real > box[0], "its back is notched"


def test_a_curved_arrow_leaves_and_arrives_as_told() -> None:
    shaft = marks.curved_arrow(0, 40 + 20j, -1j, 1j)[0]
    assert isinstance(shaft, PathItem)
    assert abs(shaft.subpaths[0].start_tangent + 1j) < 1e-9
    assert abs(shaft.subpaths[0].end_tangent - 1j) < 0.3


@pytest.mark.parametrize("long", [1.5, 3.0, 8.0, 14.0, 60.0, 200.0])
@pytest.mark.parametrize("degrees", [0, 90, 37, 180, -120])
def test_a_measure_shows_its_length_and_keeps_its_words_off_its_line(long: float, degrees: float) -> None:
    way = complex(math.cos(math.radians(degrees)), math.sin(math.radians(degrees)))
    a, b = 5 + 5j, 5 + 5j + way * long
    items = marks.measure_line(a, b, "95 mm", 4.0)
    tips = [i.subpaths[0].start for i in solids(items)]
    assert abs(abs(tips[0] - tips[1]) - long) < 1e-9
    assert all(abs(t - z - 4.0 * way * -1j) < 1e-9 for t, z in zip(tips, (a, b), strict=True))
    (words,) = [i for i in items if isinstance(i, Text)]
    assert words.text == "95\u00a0mm" and words.weight == 600
    assert -90 <= words.angle_deg <= 90, "words never stand on their heads"
    line = items[0]
    assert isinstance(line, PathItem)
    corners = text_corners(words)
    middle = sum(corners) / 4
    for path in line.subpaths:
        for s in (0.0, path.length / 2, path.length):
            z = path.point(s)
            turned = (z - middle) / complex(
                math.cos(math.radians(words.angle_deg)), math.sin(math.radians(words.angle_deg))
            )
            inside = abs(turned.real) < measure(words.text, words.size_pt, 600) / 2 and abs(turned.imag) < 0.9
            assert not inside


def test_notches_run_inwards_and_stand_in_the_middle() -> None:
    double = marks.notch(10 + 0j, 1j, 6, 2)
    starts = [p.start for p in double.subpaths]
    assert sum(starts) / 2 == pytest.approx(10)
    assert all(p.end - p.start == pytest.approx(6j) for p in double.subpaths)


def test_a_wave_has_the_height_and_period_of_the_look() -> None:
    wave = marks.wave(0, 90)
    box = wave.bbox
    assert box[3] - box[1] == pytest.approx(look.WAVE_HEIGHT, rel=0.01)
    crossings = wave.crossings(Path.line(-1, 91))
    assert len(crossings) == pytest.approx(2 * 90 / look.WAVE_PERIOD + 1)


def test_other_marks_stand_where_they_should() -> None:
    link = marks.ring_link(0, 3, 30, 10)
    assert link.subpaths[0].start == pytest.approx(3) and link.subpaths[0].end == pytest.approx(20)
    box = box_of(marks.check_mark(10, 20))
    assert box is not None and box[0] >= 9.5 and box[3] <= 20.5
    line, dot = marks.leader(0, 10 + 0j)
    assert line.ends == (10 + 0j,) and len(marks.leader(0, 10, dot=False)) == 1 and dot.fill
    one_way = solids(marks.grain_arrow(0, 50j, one_way=True))
    assert len(one_way) == 1 and one_way[0].subpaths[0].start == 50j
    bracket = marks.fold_bracket(0, 40j, 1)
    assert [i.subpaths[0].start for i in solids(bracket)] == [0, 40j], "its heads touch the fold"


def test_a_measure_without_words_has_a_whole_line() -> None:
    items = marks.measure_line(10 + 10j, 50 + 10j, "", witness=False)
    assert not any(isinstance(i, Text) for i in items)
    (line,) = items[0].subpaths  # type: ignore[union-attr]
    assert line.length > 40 - 2 * look.MEASURE_HEAD_LONG
