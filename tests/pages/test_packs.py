"""Packs: which sections, in which order, on which page; nothing over anything; figures of the shop's sheet add up."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import pytest
from sample_job import sample_job
from sample_pictures import plain_picture

from booklet.drawing import look
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Board, Drawing, Text, box_path
from booklet.drawing.judge import judge
from booklet.drawing.page import PageSpec
from booklet.model import Answer, Job, Rates
from booklet.pages.checking import groups_of
from booklet.pages.compose import TileRun, compose
from booklet.pages.costs import costs_of, total
from booklet.pages.seam_words import seam_rows
from booklet.pages.words import words_for
from booklet.problems import Fault
from booklet.reading.packs import SECTIONS, Pack, pack_names, read_pack
from booklet.reading.shop import read_shop

COVER = (("front", plain_picture(60, 70)), ("back", plain_picture(60, 66)))
WORDS = words_for("en")
REASON = "the cloth is stiff enough"


def job(units: str = "cm", paper: str = "a4") -> Job:
    """The sample with everything that a shop may say, and a rule answered at its second step."""
    made = sample_job(units, paper)
    own = read_shop()
    board = Board()
    board.path(box_path(0, 0, 100, 40), None, look.SOLID_ACCENT, "mark")
    shop = replace(
        made.shop,
        stitches=own.stitch,
        tolerances=own.tolerances,
        terms=("Sew from it as often as you like.", "Do not sell the pattern itself."),
        rates=Rates("EUR", 24.0, {"main": 14.5}, {"elastic": 1.8, "thread": 3.2}),
        mark=Drawing(100, 40, tuple(board.items)),
    )
    steps = [
        replace(s, answers=(Answer("soft-edge", REASON),)) if n == 1 else s for n, s in enumerate(made.steps)
    ]
    style = replace(
        made.style, changes=(("1.1", "2026-12-01", "The sleeve is shorter."), ("1.0", "2026-11-20", "New."))
    )
    return replace(made, shop=shop, steps=tuple(steps), style=style)


def tiles(count: int) -> TileRun:
    def pages(first: int, of: int) -> list[PageSpec]:
        return [PageSpec(Board().drawing(210, 297), f"T{n}") for n in range(count)]

    return TileRun(count, pages)


def texts(pages: list[PageSpec], role: str | None = None) -> list[str]:
    return [f.item.text for p in pages for f in flat_items(p.drawing.items)
            if isinstance(f.item, Text) and role in (None, f.item.role)]  # fmt: skip


def said(pages: list[PageSpec]) -> str:
    return re.sub(r"\s+", " ", " ".join(texts(pages)))


def test_the_packs_that_come_with_it() -> None:
    assert pack_names() == ("apprentice", "full", "sale", "shop")
    used = {s.name for name in pack_names() for s in read_pack(name).sections}
    assert used == set(SECTIONS)


@pytest.mark.parametrize("name", ["apprentice", "sale", "shop", "full"])
@pytest.mark.parametrize(("units", "paper"), [("cm", "a4"), ("in", "letter")])
def test_nothing_lies_over_anything_or_leaves_its_page(name: str, units: str, paper: str) -> None:
    for n, page in enumerate(compose(job(units, paper), cover=COVER, pack=read_pack(name)), 1):
        assert judge(page.drawing) == [], f"page {n}"
        for flat in flat_items(page.drawing.items):
            if isinstance(flat.item, Text):
                corners = text_corners(flat.item, flat.placement)
                assert (
                    min(z.real for z in corners) >= 10
                    and max(z.real for z in corners) <= page.drawing.width - 10
                )
                assert max(z.imag for z in corners) <= page.drawing.height - 8
                assert flat.item.size_pt >= look.SMALLEST_PT


@pytest.mark.parametrize("name", ["apprentice", "sale", "full"])
def test_contents_and_numbers_are_true(name: str) -> None:
    pages = compose(job(), cover=COVER, tiles=tiles(3), pack=read_pack(name))
    lines = texts(pages[:1], "contents")
    for title, page in zip(lines[::2], lines[1::2], strict=True):
        k = int(page) - 1
        assert k == len(pages) - 3 if "full-scale" in title else pages[k].bookmarks, title
    for n, page in enumerate(pages[:-3], 1):
        assert f"{n} of {len(pages)}" in texts([page], "foot")


def test_whoever_learns_sees_time_checks_and_sign_off_but_no_price() -> None:
    pages = compose(job(), cover=COVER, pack=read_pack("apprentice"))
    text = said(pages)
    for word in ("Tools and settings", "Checks", "Time and sign-off", "tutor", "Words used", "±"):
        assert word in text
    assert "EUR" not in text and "Costs" not in text and REASON not in text
    groups = groups_of(job(), WORDS)
    assert sum(g.minutes for g in groups) == sum(s.minutes for s in job().steps)
    assert [s.number for g in groups for s in g.steps] == [s.number for s in job().steps]
    for step in job().steps:
        assert step.check.replace("\u00a0", " ")[:30] in text.replace("\u00a0", " ")


def test_terms_and_contact_are_for_sale_and_costs_are_not() -> None:
    text = said(compose(job(), cover=COVER, pack=read_pack("sale")))
    assert (
        "Do not sell the pattern itself." in text
        and "Quay Lane 4" in text
        and "The sleeve is shorter." in text
    )
    assert "EUR" not in text and REASON not in text


def test_the_shops_sheet_is_one_sheet_with_both_lengths_of_every_seam() -> None:
    for units, paper, width in (("cm", "a4", 297.0), ("in", "letter", 279.4)):
        made = job(units, paper)
        pages = compose(made, cover=COVER, pack=read_pack("shop"))
        assert [(p.drawing.width, p.drawing.height > 200) for p in pages] == [(width, True)] * 2
        text = said(pages)
        for row in seam_rows(made, WORDS):
            assert row.a.split(" + ")[0].replace("\u00a0", " ") in text.replace("\u00a0", " ")
        assert REASON.capitalize() in text and "Costs" in text and "1 of 4" in text and "4 of 4" in text


def test_a_style_too_large_for_small_panels_goes_on_large_ones() -> None:
    made = job()
    answers = tuple(Answer("soft-edge", f"reason {n}") for n in range(30))
    steps = tuple(replace(s, answers=answers) if n < 3 else s for n, s in enumerate(made.steps))
    pages = compose(replace(made, steps=steps), cover=COVER, pack=read_pack("shop"))
    assert pages[0].drawing.width == 420.0 and len(pages) % 2 == 0
    assert all(judge(p.drawing) == [] for p in pages)


def test_seams_of_both_sides_are_one_row_where_they_are_alike() -> None:
    rows = seam_rows(job(), WORDS)
    two_runs = [s for s in job().size.seams if s.b is not None]
    assert 0 < len(rows) < len(two_runs) or all(s.side == "whole" for s in two_runs)
    longer = replace(
        job().size, seams=tuple(replace(s, a_mm=s.a_mm + 9) if s.side == "left" else s for s in two_runs)
    )
    apart = seam_rows(replace(job(), sizes=(longer,)), WORDS)
    assert {r.side for r in apart} >= {"left", "right"} or all(s.side == "whole" for s in two_runs)


def test_costs_add_up_as_printed() -> None:
    made = job()
    lines = costs_of(made)
    assert lines[0].amount == sum(s.minutes for s in made.steps) / 60
    assert round(sum(c.sum for c in lines), 2) == total(lines)
    main = next(c for c in lines if c.kind == "cloth")
    assert main.price == 14.5 and main.sum == round(main.amount * 14.5, 2)
    assert any(c.price is None for c in lines)
    figures = [
        float(t) for t in texts(compose(made, pack=read_pack("shop"))) if re.fullmatch(r"\d+\.\d\d", t)
    ]
    assert round(sum(figures[:-1]), 2) == figures[-1] == total(lines)
    assert costs_of(replace(made, shop=replace(made.shop, rates=None))) == ()


def test_answers_stand_beside_their_step_and_in_a_list() -> None:
    pages = compose(job(), cover=COVER, pack=read_pack("full"))
    beside = [p for p in pages if any(REASON in t for t in [said([p])]) and "Sewing" in texts([p], "head")]
    assert len(beside) == 1
    assert "Against the rule: a faced or banded edge is interfaced." in said(beside)
    listed = [p for p in pages if "Rules answered" in texts([p], "head")]
    assert len(listed) == 1 and REASON.capitalize() in said(listed)
    plain = compose(sample_job(), cover=COVER, pack=read_pack("full"))
    assert "Rules answered" not in texts(plain, "head") and "Rules answered" not in texts(plain[:1])


# ---------------------------------------------------------------- a shop's own


def own_pack(folder: Path, text: str) -> Pack:
    (folder / "mine.yaml").write_text(text, encoding="utf-8")
    return read_pack("mine", folder)


def test_a_shop_may_order_its_own(tmp_path: Path) -> None:
    pages = compose(job(), pack=own_pack(tmp_path, "sections: [chart, steps: {answers: false}, terms]\n"))
    heads = list(dict.fromkeys(texts([p], "head")[0] for p in pages))
    assert heads == ["Cutting", "Sewing", "Terms and contact"] and REASON not in said(pages)
    (tmp_path / "shop.yaml").write_text("sections: [chart]\n", encoding="utf-8")
    assert [s.name for s in read_pack("shop", tmp_path).sections] == ["chart"]


@pytest.mark.parametrize(
    ("text", "line", "told"),
    [
        ("title: A\nsections:\n  - chrat\n", 3, "'chrat' is no section. Did you mean 'chart'?"),
        ("title: A\n", 1, "a pack takes a list of `sections:`"),
        ("sections: [chart, chart]\n", 1, "listed twice"),
        ("sections:\n  - chart\n  - cover\n", 3, "the cover is not the first section"),
        ("sections:\n  - steps: {answer: true}\n", 2, "has 'answer'. Did you mean 'answers'?"),
        ("sections:\n  - steps: {answers: 3}\n", 2, "Write true or false."),
        ("sections:\n  - chart: {answers: true}\n", 2, "'chart' takes no settings"),
        ("sections:\n  - pages: none.pdf\n", 2, "none.pdf cannot be read: no such file"),
        ("sections:\n  - pages: mine.yaml\n", 2, "is no PDF that can be read"),
        ("sections: [chart]\nprice: no\n", 2, "'price' is not read"),
    ],
)
def test_faults_of_a_pack_are_told_at_their_line(tmp_path: Path, text: str, line: int, told: str) -> None:
    with pytest.raises(Fault) as caught:
        own_pack(tmp_path, text)
    sentence = caught.value.problems[0].sentence()
    assert f"mine.yaml:{line}: " in sentence and told in sentence


def test_an_unknown_pack_and_an_empty_one(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"--pack is 'sael'\. Did you mean 'sale'"):
        read_pack("sael")
    with pytest.raises(Fault, match="has no page"):
        compose(sample_job(), pack=own_pack(tmp_path, "sections: [answers]\n"))
