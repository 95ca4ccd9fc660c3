"""Pleats, gathers, circle skirts and flounces: the trade's own figures, each with its source."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.fullness import (
    circle_angle,
    circle_radius,
    even_pleats,
    flounce_ring,
    strips_of,
    take_up,
)

# NIMI TP: National Instructional Media Institute, India, Dress Making, trade practical; NIMI TT: trade theory.


# ------------------------------------------------------------------ pleats


def test_knife_pleats_are_whole_and_their_face_is_corrected() -> None:
    """F 92 cm, d 4, wanted w 5: 18 pleats, w = 5.11 cm, cloth 2 x 4 x 18 + 92 = 236 cm [NIMI TP p203]."""
    made = even_pleats(92, 4, 5)
    assert (made.count, made.finished, made.cloth) == (18, 92, 236)
    assert made.face == pytest.approx(5.11, abs=0.005)


def test_pleats_from_joined_strips() -> None:
    """236 cm from 90 cm cloth with 2 cm joins: 236 / 88 = 2.68, so 3 strips; 15 cm deep, 45 cm of cloth [NIMI TP p203]."""
    assert strips_of(236, 90, 2) == 3
    assert strips_of(236, 90, 2) * 15 == 45


def test_full_depth_knife_pleats_take_three_times_the_width() -> None:
    """F 50 cm, w = d = 2.5 cm: 20 pleats, 3 x 50 = 150 cm, and 2 cm of seams: 152 cm [NIMI TP p204]."""
    made = even_pleats(50, 2.5, 2.5)
    assert (made.count, made.cloth, made.cloth + 2) == (20, 150, 152)


@pytest.mark.parametrize(
    ("kind", "finished", "deep", "cloth"),
    [
        ("box", 60, 12, 108),  # NIMI TP p204
        ("inverted", 66, 6.5, 92),  # question in NIMI TP p204, answer by the same rule
    ],
)
def test_a_box_or_inverted_pleat_is_two_knife_pleats(
    kind: str, finished: float, deep: float, cloth: float
) -> None:
    assert finished + take_up(kind, deep) == cloth
    assert take_up(kind, deep) == 2 * take_up("knife", deep)


def test_full_box_pleats_take_three_to_one_and_double_ones_five_to_one() -> None:
    """3 in of cloth gives 1 in [BoxFold, x-playn.com/whats-a-box-fold; NZPleaters, nzpleaters.co.nz]; double 5:1 [BoxFold]."""
    assert even_pleats(1, 0.5, 1, "box").cloth == 3
    assert even_pleats(1, 0.5, 1, "double box").cloth == 5


@given(st.floats(20, 200), st.floats(0.5, 10), st.floats(1, 15))
def test_the_finished_width_is_never_corrected(finished: float, deep: float, face: float) -> None:
    made = even_pleats(finished, deep, face)
    assert made.finished == finished
    assert made.count * made.face == pytest.approx(finished)
    assert abs(made.count - finished / face) <= 0.5 + 1e-9
    assert made.cloth == pytest.approx(finished + 2 * deep * made.count)


def test_pleats_wider_than_what_they_finish_are_refused() -> None:
    with pytest.raises(ValueError, match="no pleat with a face of 30 fits in 12"):
        even_pleats(12, 2, 30)


# ------------------------------------------------------------------ circles

RADII = [  # TRADE.md 1.5, arithmetic: waist, and r of the full, three-quarter, half and quarter circle
    (24, 3.820, 5.093, 7.639, 15.279),
    (28, 4.456, 5.942, 8.913, 17.825),
    (30, 4.775, 6.366, 9.549, 19.099),
    (36, 5.730, 7.639, 11.459, 22.918),
    (70, 11.141, 14.854, 22.282, 44.563),  # cm
]


@pytest.mark.parametrize("row", RADII)
def test_radii_of_circle_skirts(row: tuple[float, ...]) -> None:
    waist, *radii = row
    tolerance = 0.01 if waist == 70 else 0.001
    for part, radius in zip(("full", "three-quarter", "half", "quarter"), radii, strict=True):
        assert circle_radius(waist, part) == pytest.approx(radius, abs=tolerance)
        assert circle_radius(waist, part) * circle_angle(part) == pytest.approx(waist)


def test_a_quarter_of_the_waist_laid_as_a_chord_would_be_too_big() -> None:
    """The known fault: W/4 as a straight chord gives pi / (2 root 2) = 1.1107 times the waist, 32 in becomes 35.54 in
    (whatthecraft.com/circtrouble.htm describes it); the radius used here does not."""
    wrong = 32 / 4 / math.sqrt(2) * math.tau
    assert wrong / 32 == pytest.approx(1.1107, abs=1e-4)
    assert wrong == pytest.approx(35.54, abs=0.005)
    assert circle_radius(32) * math.tau == pytest.approx(32)


def test_a_circular_flounce() -> None:
    """Top 72 in, bottom 112 in, 12 in deep: r = 21.6 in (L. I. Baldt, Clothing for Women, 1916); 3.333 rad x 33.6 = 112."""
    radius, angle = flounce_ring(72, 112, 12)
    assert radius == pytest.approx(21.6)
    assert angle == pytest.approx(3.333, abs=0.001)
    assert angle * (radius + 12) == pytest.approx(112)
    with pytest.raises(ValueError, match="longer than its upper"):
        flounce_ring(112, 72, 12)
