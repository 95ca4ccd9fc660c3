"""Bias strips against printed figures and against each other."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet import bias


@pytest.mark.parametrize(
    ("wide", "long"),
    [(1, 1.414), (2, 2.828), (3, 4.243), (4, 5.657), (5, 7.071), (6, 8.485), (10, 14.142)],
)
def test_a_strip_takes_root_two_of_the_selvedge(wide: float, long: float) -> None:
    """Source: arithmetic."""
    assert bias.along_selvedge(wide) == pytest.approx(long, abs=1e-3)


@pytest.mark.parametrize(
    ("wide", "long"),
    [(1, 1.375), (1.5, 2.125), (2, 2.75), (2.5, 3.5), (3, 4.25), (3.5, 5), (4, 5.625), (4.5, 6.375),
     (5, 7.125), (6, 8.5), (10, 14.125)],
)  # fmt: skip
def test_the_textbook_table_in_eighths_of_an_inch(wide: float, long: float) -> None:
    """Source: L. I. Baldt, Clothing for Women, 1916, bias table: within its eighth."""
    assert abs(bias.along_selvedge(wide) - long) <= 1 / 8


def test_a_square_of_twenty_gives_two_hundred() -> None:
    """Source: mydecozo.co.uk, soft furnishing questions: 20 in square, 2 in strip."""
    assert bias.yield_of_square(20, 2) == 200


@pytest.mark.parametrize(("long", "wide", "exact", "cut"), [(250, 2, 22.36, 23), (55, 2.5, 11.73, 12)])
def test_the_square_for_a_length(long: float, wide: float, exact: float, cut: int) -> None:
    """Sources: mydecozo.co.uk (250 in of 2 in); getasquiltingstudio.com, April 2018 (55 in of 2 1/2 in)."""
    side = bias.square_for_length(long, wide)
    assert side == pytest.approx(exact, abs=0.01)
    assert math.ceil(side) == cut


def test_the_continuous_tube() -> None:
    """Source: thebuttonship.blogspot.com, September 2014: 98 in of 1 in strip, quarter-inch joins, 7 strips."""
    side = bias.tube_square(98, 1, 0.25)
    assert side == pytest.approx(10.40, abs=0.01)
    # By area the half inch of joins is lost first (the same page; found-tools.com says so too).
    assert bias.yield_of_square(side - 0.5, 1) == pytest.approx(98.0, abs=0.1)


def test_joined_strips_from_a_rectangle() -> None:
    """Source: National Instructional Media Institute, Dress Making (trade practical), p. 220; it takes root two as 1.4."""
    assert bias.end_triangles(10) == pytest.approx(50.41, rel=0.01)
    assert bias.rectangle_long(500, 2.5, 10, 86) == pytest.approx(15.12, abs=0.01)
    assert bias.yield_of_rectangle(96, 20, 2, 10) == pytest.approx(934.8, rel=0.001)


def test_one_bias_line_across_a_square() -> None:
    """Source: sheet on piped bias, scribd.com document 510430004: 46 in."""
    assert bias.square_for_line(46) == pytest.approx(32.53, abs=0.01)


def test_cut_widths() -> None:
    """Common practice, no source: four and six times the finished width, and the turn of cloth."""
    assert bias.cut_width(10, "single", 4) == 44
    assert bias.cut_width(6, "double", 3) == 39


@given(
    long=st.floats(200, 4000), width=st.floats(20, 70), join=st.floats(4, 10), longest=st.floats(300, 1500)
)
def test_joined_strips_give_the_length_and_no_more(
    long: float, width: float, join: float, longest: float
) -> None:
    got = bias.strips_for(long, width, join, longest)
    assert got.square == pytest.approx(long, abs=1e-6)
    assert got.each <= longest + 1e-6
    if got.count > 1:
        fewer = (long + width + (got.count - 2) * bias.join_loss(join)) / (got.count - 1)
        assert fewer > longest


@given(long=st.floats(200, 4000), width=st.floats(25, 70))
def test_the_simple_rule_never_asks_for_less(long: float, width: float) -> None:
    """One strip width a join, and 2 in at the end (common practice, no source), with quarter-inch joins."""
    got = bias.strips_for(long, width, 6.35, 900)
    simple = long + got.count * width + 50.8
    assert got.joined <= simple


def test_strips_that_a_join_would_eat_are_refused() -> None:
    with pytest.raises(ValueError, match="too short"):
        bias.strips_for(500, 50, 6, 60)
