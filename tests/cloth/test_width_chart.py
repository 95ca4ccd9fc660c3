"""Lays of one garment on cloths of several widths, against the trade's chart for changing widths."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest
from helpers.drafts import cases, middling
from helpers.lay_garments import blouse

from booklet.cloth.chart_base import base_length
from booklet.cloth.cloths import ClothToLay, cloths_to_lay
from booklet.cloth.engine import PLAIN, lay, lay_on
from booklet.cloth.kept import KeptLays
from booklet.cloth.stage import Laying
from booklet.cloth.width_chart import BASE_WIDTH, WIDTHS_IN, YARDS, expected, is_base, within_band
from booklet.problems import Collector
from booklet.reading.shop import read_shop

STYLES = tuple(dict.fromkeys(style for style, _ in cases()))
SEVEN = (900.0, 1150.0, 1400.0, 1500.0, 36 * 25.4, 45 * 25.4, 60 * 25.4)


def test_the_chart_keeps_the_area_of_a_row() -> None:
    area = np.array(YARDS) * WIDTHS_IN
    ratio = area / area[:, :1]
    assert ratio.min() >= 0.90 and ratio.max() <= 1.12  # arithmetic on the table


def test_the_chart_is_read_by_row_and_column() -> None:
    for row in YARDS:
        for inches, yards in zip(WIDTHS_IN, row, strict=True):
            assert expected(row[3] * 914.4, inches * 25.4) / 914.4 == pytest.approx(yards)
    assert expected(0.5 * 914.4, 59 * 25.4) / 914.4 == pytest.approx(0.5 * 1 / 1.375)  # as its first row
    assert is_base(1150) and is_base(45 * 25.4) and not is_base(900)
    assert within_band(1000, 1257.3, 59 * 25.4) and not within_band(1257.3, 1257.3, 59 * 25.4)


@pytest.mark.parametrize("column", [2, 4, 6])
def test_our_lays_change_with_the_width_as_the_chart_does(column: int) -> None:
    base, other = (lay(blouse(), "open", WIDTHS_IN[c] * 25.4, 250).length for c in (3, column))
    assert within_band(other, base, WIDTHS_IN[column] * 25.4)


@pytest.mark.parametrize("style", STYLES)
def test_seven_widths_of_a_style_lie_in_the_band_or_name_the_piece_that_binds(style: str) -> None:
    made = middling(style, *next(options for name, options in cases() if name == style))
    shop = read_shop(None)
    cloth = next(c for c in cloths_to_lay(made.style, made.copies, made.cut) if c.most)
    collector = Collector()
    laying = Laying(replace(cloth, widths=SEVEN), made.cut, shop, "cm", KeptLays(), collector, PLAIN)
    need = laying.need(0)
    best = {plan.width_mm: plan for plan in need.lays if plan.recommended}
    assert set(best) | {width for width, _ in need.refusals} == set(SEVEN)
    base = next(plan for width, plan in best.items() if is_base(width))
    keys = {c.piece.key for c in made.cut}
    for width, plan in best.items():
        inside = within_band(plan.length_mm, base.length_mm, width)
        assert (plan.binds == "") if inside else (plan.binds in keys)
    by_width = sorted(best.values(), key=lambda p: p.width_mm)
    for narrow, wide in zip(by_width, by_width[1:], strict=False):
        assert wide.length_mm <= narrow.length_mm + 1e-6 or wide.buy_mm <= narrow.buy_mm


def main_cloth(style: str) -> tuple[Laying, ClothToLay]:
    made = middling(style, *next(options for name, options in cases() if name == style))
    cloth = next(c for c in cloths_to_lay(made.style, made.copies, made.cut) if c.most)
    return Laying(cloth, made.cut, read_shop(None), "cm", KeptLays(), Collector(), PLAIN), cloth


@pytest.mark.parametrize("style", [name for name in STYLES if name in ("skirt", "apron", "blouse")])
def test_widths_are_held_against_the_base_row_where_the_base_width_is_not_listed(style: str) -> None:
    laying, cloth = main_cloth(style)
    assert not any(is_base(width) for width in cloth.widths)
    need = laying.need(0)
    best = [plan for plan in need.lays if plan.recommended]
    base = base_length(cloth, laying.shop, best[0].kind)
    assert base is not None and base >= min(plan.length_mm for plan in best) - 1
    for plan in best:
        assert (plan.binds == "") is within_band(plan.length_mm, base, plan.width_mm)


def test_the_apron_names_the_piece_that_binds() -> None:
    """It is as long as its body, on 115 cm and on 150 cm alike, so that the wider cloth saves nothing."""
    laying, _ = main_cloth("apron")
    widest = next(plan for plan in laying.need(0).lays if plan.recommended)
    assert widest.width_mm == 1500 and widest.binds == "apron"


def test_the_base_length_is_that_of_true_outlines_within_the_band() -> None:
    laying, cloth = main_cloth("aline")
    true = lay_on(cloth.pieces, "open", cloth.ground(BASE_WIDTH, laying.shop)).length
    found = base_length(cloth, laying.shop, "open")
    assert found is not None and true - 1 <= found <= 1.1 * true


def test_there_is_no_base_length_where_a_piece_has_no_room() -> None:
    laying, cloth = main_cloth("aline")
    selvedges = replace(laying.shop, selvedge=400.0)
    assert base_length(cloth, selvedges, "fold") is None
    need = replace(laying, shop=selvedges, cloth=replace(cloth, widths=(2000.0, 1900.0))).need(0)
    assert need.lays and all(plan.binds == "" for plan in need.lays)
