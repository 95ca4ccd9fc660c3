"""What an apprentice's pack leaves out, and the page numbers that it tells for each size, read back from the file."""

from __future__ import annotations

from functools import cache

import pytest
from helpers.numbers_read import RULES
from helpers.packs_made import Made, made
from helpers.steps import ROOT

from booklet.job import make_job
from booklet.language import languages
from booklet.pages.words import words_for
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.reading.sizes import read_sizes

SIZES = "92,110,128"


@cache
def pack_of(name: str, language: str, sizes: str | None) -> Made:
    """Trousers for the invented workroom, which has rates."""
    files = read_style(ROOT / "styles" / "trousers")
    shop = read_shop(files.folder, ROOT / "demo" / "shop.yaml", language)
    assert shop.rates is not None
    table = read_sizes(files.folder).chosen(sizes) if sizes else None
    bodies, base = (table.bodies, table.base) if table is not None else (None, 0)
    return made(make_job(files, bodies, base=base, shop=shop, evaluations=0), name, tiles=False)


def text_of(booklet: Made) -> str:
    return " ".join(page.text for page in booklet.pages)


@pytest.mark.parametrize("language", languages())
def test_an_apprentice_is_told_no_price(language: str) -> None:
    """Neither the currency nor a heading of the costs, which the shop's own sheet has both."""
    words = words_for(language)
    rates = pack_of("shop", language, None).job.shop.rates
    assert rates is not None
    for priced in (rates.currency, words("sheet.costs")):
        assert priced in text_of(pack_of("shop", language, None))
        assert priced not in text_of(pack_of("apprentice", language, None))


def test_the_pages_told_for_each_size_and_piece_are_those_it_lies_on() -> None:
    booklet = pack_of("apprentice", "en", SIZES)
    assert booklet.job.nested and booklet.first_tile
    assert [told for rule in RULES for told in rule(booklet)] == []
