"""Lengths in, lengths out."""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.problems import Fault, Where
from booklet.units import (
    MM_PER_POINT,
    NBSP,
    Length,
    fraction_words,
    in_inches,
    in_metric,
    parse_length,
    parse_ratio,
    show,
    show_both,
    show_cloth,
    show_percent,
    to_mm,
)


def spaced(text: str) -> str:
    """With plain spaces, for reading."""
    return text.replace(NBSP, " ")


@pytest.mark.parametrize(
    ("text", "mm"),
    [
        # The definition of the inch; TRADE sheet 1.1, source: arithmetic.
        ("1 in", 25.4),
        ("1 yd", 914.4),
        ("36 in", 914.4),
        # Source of the eighth of a yard: a printed conversion chart that gives 4 1/2 in and 11.4 cm.
        ("4 1/2 in", 114.3),
        ("5/8 in", 15.875),
        ("1/4 in", 6.35),
        ("3/8 in", 9.525),
        ("1/2 in", 12.7),
        # 40 ligne make an inch; source: button sellers' tables.
        ("40 ligne", 25.4),
        ("1 ligne", 0.635),
        ("24 ligne", 15.24),
    ],
)
def test_trade_lengths_are_exact(text: str, mm: float) -> None:
    assert parse_length(text, "cm").mm == mm


def test_a_metre_in_inches_and_yards() -> None:
    # TRADE sheet 1.1: 39.3701 in, 1.09361 yd; source: arithmetic.
    assert 1000 / to_mm(1, "in") == pytest.approx(39.3701, abs=1e-4)
    assert 1000 / to_mm(1, "yd") == pytest.approx(1.09361, abs=1e-4)


def test_a_pdf_unit_is_a_72nd_of_an_inch() -> None:
    # ISO 32000: the default user unit.
    assert pytest.approx(0.352778, abs=1e-6) == MM_PER_POINT


@pytest.mark.parametrize(
    ("written", "mm", "text"),
    [
        ("1 1/2", 38.1, "1 1/2 in"),
        ("1-1/2", 38.1, "1 1/2 in"),
        ("1½", 38.1, "1 1/2 in"),
        ("1 ½ in", 38.1, "1 1/2 in"),
        ("1⁄2", 12.7, "1/2 in"),
        ('½"', 12.7, "1/2 in"),
        ("1.5 cm", 15.0, "1.5 cm"),
        ("12mm", 12.0, "12 mm"),
        (0.5, 12.7, "1/2 in"),
        (3, 76.2, "3 in"),
        (0.3, 7.62, "0.3 in"),
        (".25", 6.35, ".25 in"),
    ],
)
def test_a_length_keeps_its_size_and_its_writers_words(written: Any, mm: float, text: str) -> None:
    length = parse_length(written, "in")
    assert length.mm == mm
    assert spaced(length.text) == text


@pytest.mark.parametrize(("booklet_unit", "mm", "text"), [("in", 15.875, "5/8 in"), ("cm", 15.0, "1.5 cm")])
def test_of_a_pair_the_booklets_unit_is_the_true_one(booklet_unit: str, mm: float, text: str) -> None:
    length = parse_length({"cm": 1.5, "in": "5/8"}, "in", booklet_unit=booklet_unit)
    assert (length.mm, spaced(length.text)) == (mm, text)


@pytest.mark.parametrize(
    ("written", "code"),
    [
        ("nan", "not-a-number"),
        (float("nan"), "not-finite"),
        (float("inf"), "not-finite"),
        (10**400, "not-finite"),
        ("5 ells", "unit-unknown"),
        ("", "not-a-number"),
        (None, "not-a-number"),
        (True, "not-a-number"),
        ([1], "not-a-number"),
        ("1/0", "not-a-number"),
        ("1,5 cm", "not-a-number"),
        ("-2 cm", "length-negative"),
        ("9999 m", "length-absurd"),
        ({"cm": 1.5}, "length-pair"),
        ({"cm": 1.5, "mm": 15}, "length-pair"),
        ({"cm": "x", "in": "5/8"}, "not-a-number"),
    ],
)
def test_what_is_no_length_is_refused_with_its_place(written: Any, code: str) -> None:
    with pytest.raises(Fault) as caught:
        parse_length(written, "in", where=Where("a.yaml", 7), name="the hem")
    assert caught.value.problems[0].code == code
    assert str(caught.value).startswith("a.yaml:7: the hem")


def test_zero_and_below_are_allowed_or_refused_as_asked() -> None:
    assert parse_length("-2 cm", "cm", negative=True).mm == -20
    assert parse_length(0, "cm").mm == 0
    with pytest.raises(Fault, match="more than zero"):
        parse_length(0, "cm", zero=False)


@pytest.mark.parametrize(("written", "ratio"), [("8 %", 0.08), ("3/4", 0.75), (1.5, 1.5), ("60%", 0.6)])
def test_ratios(written: Any, ratio: float) -> None:
    assert parse_ratio(written) == pytest.approx(ratio, abs=1e-15)


@pytest.mark.parametrize("written", ["8 cm", "-8 %", "eight", None])
def test_what_is_no_ratio_is_refused(written: Any) -> None:
    with pytest.raises(Fault):
        parse_ratio(written)


@pytest.mark.parametrize(
    ("mm", "unit", "text"),
    [
        (15.875, "in", "5/8 in"),
        (15, "in", "9/16 in"),
        (38.1, "in", "1 1/2 in"),
        (0, "in", "0 in"),
        (-12.7, "in", "-1/2 in"),
        (15.875, "cm", "16 mm"),
        (0.5, "cm", "1 mm"),
        (-0.3, "cm", "0 mm"),
        (999.4, "cm", "999 mm"),
        (999.6, "cm", "100 cm"),
        (1045, "cm", "104.5 cm"),
    ],
)
def test_a_computed_length_in_the_booklets_unit(mm: float, unit: str, text: str) -> None:
    assert spaced(show(mm, unit)) == text


def test_number_and_unit_are_one_word() -> None:
    assert " " not in in_inches(38.1) + in_metric(15) + show_cloth(1500, "in") + show_percent(0.08)


@pytest.mark.parametrize(
    ("mm", "unit", "text"), [(1550, "cm", "1.55 m"), (1485.9, "in", "1 5/8 yd"), (914.4, "in", "1 yd")]
)
def test_cloth_is_in_metres_or_in_eighths_of_a_yard(mm: float, unit: str, text: str) -> None:
    assert spaced(show_cloth(mm, unit)) == text


@pytest.mark.parametrize(
    ("written", "both"),
    [
        ("5/8 in", "5/8 in (≈ 16 mm)"),
        ("1.5 cm", "1.5 cm (≈ 9/16 in)"),
        ("12 mm", "12 mm (≈ 1/2 in)"),
    ],
)
def test_a_declared_length_stands_first_as_it_was_written(written: str, both: str) -> None:
    assert spaced(show_both(parse_length(written, "cm"))) == both


def test_percent_words() -> None:
    assert (spaced(show_percent(0.08)), spaced(show_percent(0.125))) == ("8 %", "12.5 %")


@given(st.integers(0, 64 * 40), st.sampled_from(["in", "yd"]))
def test_a_length_reads_back_from_its_own_words(sixty_fourths: int, unit: str) -> None:
    length = Length.of(to_mm(Fraction(sixty_fourths, 64), unit), unit)
    assert parse_length(length.text, "cm").mm == pytest.approx(length.mm, abs=1e-9)


@given(st.floats(0, 5000), st.sampled_from([2, 4, 8, 16]))
def test_a_printed_fraction_is_the_nearest_one(mm: float, denominator: int) -> None:
    shown = parse_length(in_inches(mm, denominator), "cm").mm
    assert abs(shown - mm) <= 25.4 / denominator / 2 + 1e-6


def test_halves_round_away_from_zero_on_both_sides() -> None:
    assert (fraction_words(1 / 32, 16), fraction_words(-1 / 32, 16)) == ("1/16", "-1/16")
