"""Lengths to buy and notions against published tables and plain arithmetic; each row names its source."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.cloth import amounts as a

YARD = 914.4
EIGHTH = YARD / 8

# need, step, shrinkage, squaring -> buy; all arithmetic (round up)
BUYING = [
    (1.31 * YARD, EIGHTH, 0, 0, 1.375 * YARD),
    (1.375 * YARD, EIGHTH, 0, 0, 1.375 * YARD),  # must not jump to 1 1/2
    (1180, 100, 0, 0, 1200),
    (1200.0, 100, 0, 0, 1200),
    (1370, 100, 0.04, 0, 1500),  # 1370 / 0.96 = 1427
    (1180, 100, 0, 30, 1300),
    (1201e-6 * 1e6, 100, 0, 0, 1300),
]


@pytest.mark.parametrize(("need", "step", "shrinkage", "squaring", "buy"), BUYING)
def test_length_to_buy(need: float, step: float, shrinkage: float, squaring: float, buy: float) -> None:
    assert a.length_to_buy(need, step, shrinkage, squaring) == pytest.approx(buy, rel=1e-12)


@given(st.integers(1, 400), st.sampled_from([EIGHTH, 100.0, 50.0]))
def test_a_whole_number_of_steps_stays_and_a_millimetre_more_does_not(n: int, step: float) -> None:
    assert a.round_up(n * step, step) == pytest.approx(n * step, rel=1e-12)
    assert a.round_up(sum([step / 10] * (10 * n)), step) == pytest.approx(n * step, rel=1e-12)
    assert a.round_up(n * step + 1, step) == pytest.approx((n + 1) * step, rel=1e-12)


def test_a_shrinkage_is_a_share() -> None:
    for wrong in (1.0, -0.1, 4.0):
        with pytest.raises(ValueError, match="shrinkage"):
            a.length_needed(1000, wrong)


def test_interfacing_from_areas() -> None:
    # Common practice, no source: sum of areas / (usable width x 0.7 to 0.8), up to the next 10 cm.
    assert a.length_by_area([120_000, 90_000], 860) == pytest.approx(325.6, abs=0.05)  # 210 000 / 645
    assert a.round_up(a.length_by_area([120_000, 90_000], 860, share=0.7), 100) == 400  # 348.8
    assert a.round_up(a.length_by_area([860 * 75], 860), 100) == 100


def test_every_stitch_type_says_where_its_ratio_comes_from() -> None:
    assert all(s.code == code and s.title and s.source for code, s in a.STITCH_TYPES.items())
    assert "memory" in a.STITCH_TYPES["514"].source
    assert all("common practice" in a.STITCH_TYPES[code].source for code in ("103", "209"))


# Inches of thread in an inch of seam by formula, thickness and stitches an inch. The ratio is for common seams, so it
# may not be below these.
@pytest.mark.parametrize(
    ("code", "thick", "stitches"), [("101", 0.005, 9), ("301", 0.01, 10), ("401", 0.075, 8)]
)
def test_thread_ratio_is_not_below_the_stitch_formula(code: str, thick: float, stitches: float) -> None:
    printed = a.thread_by_formula(code, thick, stitches)
    assert printed <= a.STITCH_TYPES[code].ratio <= printed * 1.35


def test_spools() -> None:
    sizes = (100, 200, 500, 1000)  # lowercaseonline.com: home spools 100-200 m, large 300-500 m, cones 1000 m
    assert a.spools(99.9, sizes) == (1, 100)
    assert a.spools(100, sizes) == (1, 100)
    assert a.spools(122.5, sizes) == (1, 200)
    assert a.spools(1000.5, sizes) == (2, 1000)
    assert a.spools(3000, sizes) == (3, 1000)
    assert a.spools(40, (200, 100)) == (1, 100)


@given(st.floats(100, 900), st.floats(0, 500), st.floats(0, 80))
def test_a_zip_as_long_as_reckoned_just_lets_the_body_through(
    passes: float, ring: float, ease: float
) -> None:
    least = a.zip_for_opening(passes, ring, ease)
    assert ring + 2 * least >= passes + ease - 1e-9
    assert least == 0 or ring + 2 * least == pytest.approx(passes + ease)


def test_button_loop() -> None:
    # A buttonhole is diameter + thickness: 1 in and 1/4 in give 1 1/4 in (sewing.about.com); a loop is twice that.
    assert a.loop_finished(1, 0.25) == 2 * 1.25
    assert a.loop_cut(a.loop_finished(11, 3), 10) == 48  # arithmetic
