"""Plain darts: equal legs, a waist line that runs on smoothly when the dart is folded, an end that lies in the seam."""

from __future__ import annotations

import cmath
import math

import pytest
from helpers.bodies import sample
from helpers.darts import folded
from helpers.drafts import MIDDLING, draft_style, middling
from helpers.rings import length
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.darts import put_dart
from booklet.drafting.shape import Run, Shape, clockwise
from booklet.model import Dart, Edge
from booklet.paths import Path
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

HERE = Where("draft.yaml", 1)


def skirt_quarter(dip: float = 12.0, wide: float = 260.0) -> Shape:
    """A quarter of a skirt with a curved waist, invented measures (mm); the waist runs from the centre to the side."""
    waist = smooth_curve([complex(0, dip), complex(wide, 0)], 1 + 0j, complex(1, -0.08))
    corners = [complex(wide, 0), complex(wide + 15, 200), complex(0, 205), complex(0, dip)]
    sides = [
        Run(n, Path.line(a, b))
        for n, a, b in zip(("side", "foot", "centre"), corners, corners[1:], strict=False)
    ]
    return clockwise(Shape((Run("waist", waist), *sides), "right", fold="centre"))


def darted(
    middle: float, wide: float, long: float, press_first: bool, dip: float = 12.0
) -> tuple[Shape, Dart]:
    shape = put_dart(skirt_quarter(dip), "d", "waist", middle, wide, long, press_first, "to centre", HERE)
    return shape, shape.darts[0]


mouths = st.floats(8, 45)
depths = st.floats(70, 150)
places = st.floats(90, 170)


@given(places, mouths, depths, st.booleans(), st.floats(0, 20))
def test_a_dart_has_equal_legs_and_its_own_width(
    middle: float, wide: float, long: float, first: bool, dip: float
) -> None:
    """Equal legs within 0.5 mm (tolerance: common practice, no source)."""
    shape, dart = darted(middle, wide, long, first, dip)
    assert abs(dart.first - dart.point) == pytest.approx(abs(dart.second - dart.point), abs=0.5)
    assert abs(dart.second - dart.first) == pytest.approx(wide, abs=0.05 * wide)
    assert dart.intake == pytest.approx(abs(dart.second - dart.first))
    mouth = (dart.first + dart.second) / 2
    assert abs(mouth - dart.point) == pytest.approx(long, abs=1e-6)
    (up,) = shape.run("waist").take_ups
    path = shape.run("waist").path
    assert abs(path.point(up.start) - dart.first) < 0.01
    assert abs(path.point(up.end) - dart.second) < 0.01


@given(places, mouths, depths, st.booleans(), st.floats(0, 20))
def test_a_folded_dart_leaves_a_smooth_waist_and_its_end_in_the_seam(
    middle: float, wide: float, long: float, first: bool, dip: float
) -> None:
    shape, dart = darted(middle, wide, long, first, dip)
    (up,) = shape.run("waist").take_ups
    assert folded(shape.run("waist").path, up.start, up.end, dart) == []


@given(places, mouths, depths, st.booleans())
def test_a_dart_takes_its_intake_out_of_the_sewn_length(
    middle: float, wide: float, long: float, first: bool
) -> None:
    plain = length(skirt_quarter().run("waist").path)
    shape, _ = darted(middle, wide, long, first)
    assert shape.run("waist").sewn == pytest.approx(plain - wide, abs=0.06 * wide)
    (change,) = shape.trueings
    assert change.after == pytest.approx(shape.run("waist").sewn, abs=1e-6)


def test_what_counts_is_the_angle_at_the_point() -> None:
    """TRADE.md 1.13: width = 2 L sin(a/2). Leg 9 in, width 3 in: a = 19.188 degrees; the same dart with leg 6 in is
    2.000 in wide (arithmetic)."""
    inch = 25.4
    _, dart = darted(130.0, 3 * inch, math.sqrt(9**2 - 1.5**2) * inch, True, dip=0.01)
    leg = abs(dart.first - dart.point)
    angle = abs(cmath.phase((dart.second - dart.point) / (dart.first - dart.point)))
    assert leg / inch == pytest.approx(9.0, abs=0.02)
    assert math.degrees(angle) == pytest.approx(19.188, abs=0.05)
    shorter = [dart.point + (z - dart.point) * (6 * inch / leg) for z in (dart.first, dart.second)]
    assert abs(shorter[1] - shorter[0]) / inch == pytest.approx(2.000, abs=0.005)


@pytest.mark.parametrize("middle", [5.0, 25.0, 255.0])
def test_a_dart_with_no_room_is_told(middle: float) -> None:
    with pytest.raises(Fault, match="does not fit on waist"):
        darted(middle, 40.0, 100.0, True)


# ------------------------------------------------------------------ the skirt's own darts

DARTED = (("back", "back_dart"), ("left_front", "left_dart"), ("right_front", "right_dart"))


@pytest.mark.parametrize(("key", "name"), DARTED)
def test_the_skirts_darts_fold_into_the_waist(key: str, name: str) -> None:
    seen = 0
    for measures in [MIDDLING, *(b.measures for b in sample()[::5])]:
        piece = draft_style("skirt", measures).draft.pieces[key]
        waist = piece.edge("waist")
        assert isinstance(waist, Edge)
        for dart, up in zip(piece.darts, waist.take_ups, strict=True):
            seen += 1
            assert dart.name == name
            assert abs(dart.first - dart.point) == pytest.approx(abs(dart.second - dart.point), abs=0.5)
            assert folded(waist.path, up.start, up.end, dart) == []
    assert seen > 5


@pytest.mark.parametrize(("key", "name"), DARTED)
def test_the_skirts_darts_are_pressed_to_the_centre(key: str, name: str) -> None:
    piece = middling("skirt").draft.pieces[key]
    (dart,) = piece.darts
    towards = dart.first if dart.press_first else dart.second
    away = dart.second if dart.press_first else dart.first
    assert abs(towards.real) < abs(away.real)  # the centre line lies at x = 0
    assert dart.press_words == "to centre"


def test_a_dart_under_its_least_vanishes_and_so_does_its_step() -> None:
    """Hip minus waist runs from -106 to 347 mm over the survey's women: without a waist there are no front darts, and
    what they would have taken goes to the side seam, so that the waist still comes out right."""
    made = draft_style("skirt", {**MIDDLING, "waist_girth": 985.0})
    darts = {key: [d.name for d in p.darts] for key, p in made.draft.pieces.items()}
    assert darts["left_front"] == darts["right_front"] == []
    assert made.draft.values["front_dart"] == 0
    assert "front-darts" not in [s.id for s in made.seams.steps]
    assert "front-darts" in [s.id for s in middling("skirt").seams.steps]
    waist = next(f for f in made.finished if f.name == "waist")
    assert 12 <= waist.garment_mm - 985 < 30
    assert made.errors == ()
