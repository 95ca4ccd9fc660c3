"""How a cloth with a nap is laid: a plan of its own, told and drawn where the recommended one turns pieces round."""

from __future__ import annotations

import pytest
from helpers import all_styles

from booklet.cloth.judge import judge_plan
from booklet.cloth.one_way import tops_to_one_end
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.model import Job
from booklet.pages.lays import lay_leaves, shown_lays
from booklet.pages.words import words_for
from booklet.reading.shop import read_shop

TITLE = "all tops to one end"


def job(style: str) -> Job:
    return all_styles.job(style, all_styles.options_of(style)[0], all_styles.own_unit(style))


@pytest.mark.parametrize("style", all_styles.STYLES)
def test_the_plan_for_a_nap_has_all_tops_to_one_end(style: str) -> None:
    made = job(style)
    for need in made.size.cloths:
        best, lay = need.lays[0], need.one_way_lay
        if lay is None:
            assert need.one_way_mm in (None, best.buy_mm)
            continue
        assert not tops_to_one_end(best) and tops_to_one_end(lay) and lay.one_way
        assert lay.buy_mm == need.one_way_mm and lay.width_mm == best.width_mm
        assert judge_plan(lay, made.size.copies, made.size.cut_pieces, read_shop(None).gap) == ()
        assert lay not in need.lays and not lay.recommended


def test_it_is_drawn_and_named() -> None:
    made = job("blouse")
    need = made.size.cloths[0]
    assert need.one_way_lay is not None
    assert shown_lays(need)[-1] is need.one_way_lay
    text = [
        f.item.text
        for leaf in lay_leaves(made, words_for("en"))
        for f in flat_items(leaf.items)
        if isinstance(f.item, Text)
    ]
    assert sum(TITLE in line for line in text) == 1
    assert "all tops to this end" in " ".join(text)
