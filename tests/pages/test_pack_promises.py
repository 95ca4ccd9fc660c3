"""What each pack promises to its reader, found on its pages."""

from __future__ import annotations

import re

from sample_pictures import plain_picture
from sized_job import sized_job
from test_packs import COVER, WORDS, job, said, texts, tiles

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem
from booklet.drawing.marks import tick_box
from booklet.drawing.page import PageSpec
from booklet.pages import figures
from booklet.pages.compose import compose
from booklet.pages.copy_words import recommended_lay
from booklet.reading.packs import read_pack


def pages_of(pack: str) -> list[PageSpec]:
    return compose(job(), cover=COVER, tiles=tiles(2), pack=read_pack(pack))


def sections(pages: list[PageSpec]) -> list[str]:
    return list(dict.fromkeys(p.section for p in pages))


def test_an_apprentice_ticks_every_step_and_knows_its_time() -> None:
    pages = [p for p in pages_of("apprentice") if p.section == "steps"]
    (box,) = [i for i in (tick_box(0, 0),)]
    assert isinstance(box, PathItem)
    ticks = [
        f.item for p in pages for f in flat_items(p.drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == box.role and f.item.stroke == box.stroke
    ]  # fmt: skip
    steps = job().steps
    assert len(ticks) >= len(steps)
    minutes = [int(re.findall(r"\d+", t)[0]) for t in texts(pages, "minutes")]
    assert minutes == [s.minutes for s in steps if s.minutes]
    whole = figures.hours(sum(s.minutes for s in steps), WORDS).replace("\u00a0", " ")
    assert whole in said(pages_of("apprentice")).replace("\u00a0", " ")


def test_an_apprentice_has_safety_words_explained_tools_checks_and_sign_off() -> None:
    assert sections(pages_of("apprentice")) == [
        "cover", "tools", "measures", "cloth", "chart", "lays", "key", "steps", "checks", "sign_off", "safety",
        "pattern",
    ]  # fmt: skip
    text = said(pages_of("apprentice"))
    assert "Words used in this booklet" in text and "This is a reminder, not training" in text


def test_a_pattern_for_sale_has_cover_terms_contact_range_and_print_guide() -> None:
    ranged = compose(sized_job(), cover=COVER, tiles=tiles(2), pack=read_pack("sale"))
    assert "Sizes 34 to 48" in said(ranged[:1])
    found = sections(pages_of("sale"))
    assert found[:2] == ["cover", "terms"] and found[-1] == "pattern"
    text = said(pages_of("sale"))
    assert "Quay Lane 4" in text and "Do not sell the pattern itself." in text


def test_the_shop_s_sheet_has_drawing_pieces_lays_changes_and_costs() -> None:
    made = job()
    pages = compose(made, cover=COVER, pack=read_pack("shop"))
    text = said(pages).replace("\u00a0", " ")
    for heading in ("Pieces", "Cloth", "Notions", "Costs", "Changes"):
        assert heading in text, heading
    for cut in made.size.cut_pieces:
        assert cut.piece.heading in text
    for need in made.size.cloths:
        lay = recommended_lay(made.size, need.key)
        assert lay is None or figures.cloth_length(lay.buy_mm, made.units).replace("\u00a0", " ") in text
    drawn = {f.item.role for p in pages for f in flat_items(p.drawing.items)}
    plain = {f.item.role for f in flat_items(plain_picture(60, 70).items)}
    assert plain <= drawn
