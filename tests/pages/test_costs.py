"""What a garment costs by a shop's rates: prices found in any language, and lengths in the unit that they are for."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

import pytest
from helpers import all_styles
from helpers.all_styles import CASES, Options

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.job import check_style
from booklet.model import Job, Notion, Rates
from booklet.pages.costs import costs_of
from booklet.pages.flow import Block
from booklet.pages.sheet_tables import cost_blocks
from booklet.pages.shop_sheet import SMALL
from booklet.pages.tools import tools_leaves
from booklet.pages.words import words_for
from booklet.reading.shop import read_shop
from booklet.units import MM_PER

PRICES = {"thread": 3.0, "zip": 2.8, "elastic": 1.6, "button": 0.4, "hook": 0.9, "needle": 0.5}


@cache
def notions_of(style: str, options: Options, units: str, language: str) -> tuple[Notion, ...]:
    shop = read_shop(None, language=language)
    return check_style(all_styles.files(style), None, dict(options), units, shop).notions  # type: ignore[arg-type]


def priced(style: str, language: str = "en", units: str = "cm", **rates: object) -> Job:
    """A style's notions in a language, with everything else as the quick job has it, and a shop's rates."""
    options = next(options for name, options in CASES if name == style)
    made = all_styles.job(style, options, units)
    notions = notions_of(style, options, units, language)
    own = replace(made.shop, rates=Rates("EUR", 20.0, {"main": 10.0}, PRICES, **rates))  # type: ignore[arg-type]
    size = replace(made.size, notions=notions)
    return replace(made, language=language, shop=own, sizes=(size,))


def said(blocks: list[Block]) -> str:
    found = [f.item.text for b in blocks for f in flat_items(b.items) if isinstance(f.item, Text)]
    return " ".join(found).replace("\u00a0", " ")


def told(made: Job) -> str:
    return said(cost_blocks(made, words_for(made.language), SMALL["a4"]))


@pytest.mark.parametrize(
    "style", [*(pytest.param(s, marks=pytest.mark.more) for s in ("top", "aline")), "blouse", "trousers"]
)
def test_prices_are_found_in_every_language(style: str) -> None:
    def prices(language: str) -> list[float | None]:
        return [c.price for c in costs_of(priced(style, language)) if c.kind == "notion"]

    assert None not in prices("en")
    assert prices("fr") == prices("es") == prices("en")
    names = [n.name for n in priced(style, "fr").size.notions]
    assert not any("thread" in name or "needle" in name for name in names)


def test_a_price_may_be_written_as_the_notion_is_printed() -> None:
    made = priced("blouse", "fr")
    button = next(n for n in made.size.notions if n.kind == "buttons")
    own = {button.name.split(",")[0]: 0.75}
    assert made.shop.rates is not None
    shop = replace(made.shop, rates=replace(made.shop.rates, notions=own))
    found = {c.what: c.price for c in costs_of(replace(made, shop=shop)) if c.kind == "notion"}
    assert found[button.name] == 0.75 and list(found.values()).count(None) == len(found) - 1


def test_cloth_is_reckoned_by_the_unit_that_its_price_is_for() -> None:
    metre, yard = (
        next(c for c in costs_of(priced("top", per=per)) if c.kind == "cloth") for per in ("m", "yd")
    )
    assert (metre.unit, yard.unit) == ("m", "yd") and metre.price == yard.price == 10.0
    assert yard.amount * MM_PER["yd"] == pytest.approx(metre.amount * 1000)
    assert yard.sum > metre.sum


@pytest.mark.parametrize(
    ("units", "per", "plain", "both"),
    [("cm", "m", " m at 10.00 a metre", False), ("in", "m", " m) at 10.00 a metre", True),
     ("in", "yd", " yd at 10.00 a yard", False), ("cm", "yd", " yd) at 10.00 a yard", True)],
)  # fmt: skip
def test_the_sheet_says_which_unit_it_is(units: str, per: str, plain: str, both: bool) -> None:
    text = told(priced("top", units=units, per=per))
    assert plain in text
    assert ((" yd (" if units == "in" else " m (") in text) is both


def test_prices_have_the_languages_decimal_sign() -> None:
    text = told(priced("top", "fr"))
    assert "10,00 le mètre" in text and "10.00" not in text


@pytest.mark.parametrize("language", ["en", "fr", "es"])
def test_the_needle_stands_with_the_settings_in_every_language(language: str) -> None:
    made = priced("top", language)
    shop = replace(made.shop, stitches=read_shop(None).stitch)
    leaves = tools_leaves(replace(made, shop=shop), words_for(language))
    words = " ".join(
        f.item.text for leaf in leaves for f in flat_items(leaf.items) if isinstance(f.item, Text)
    )
    needle = next(n for n in made.size.notions if n.kind == "needle")
    assert needle.name[1:] in words


def test_a_stitch_length_in_an_inch_booklet_is_said_as_both_kinds_of_dial_have_it() -> None:
    made = priced("top", units="in")
    shop = replace(made.shop, stitches=read_shop(None).stitch)
    leaves = tools_leaves(replace(made, shop=shop), words_for("en"))
    words = " ".join(
        f.item.text for leaf in leaves for f in flat_items(leaf.items) if isinstance(f.item, Text)
    )
    assert "2.5 mm (10 an inch)" in words.replace("\u00a0", " ")  # 25.4 / 2.5 = 10.16 (melgeecrafts.com)
