"""What is promised of amounts: every kind is worked out from the draft and the recipe, and its sum stands in the shop's
copy in every language. The worked figures of the trade themselves are in tests/test_trade_values.py."""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from helpers import all_styles
from helpers.changed import Changes, changed
from helpers.steps import ROOT

from booklet import bias
from booklet.cloth.amounts import FORMULAS, STITCH_TYPES
from booklet.cloth.bias_amount import binding_workings, strip_width
from booklet.cloth.thread import ratio_through
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.job import Checked, check_style, make_job
from booklet.model import Job, Notion, Working
from booklet.pages.sheet_tables import amount_blocks
from booklet.pages.shop_sheet import _panel
from booklet.pages.words import words_for
from booklet.problems import Fault
from booklet.reading.read import read_body
from booklet.reading.shop import read_shop
from booklet.units import NBSP, show

INCH = 25.4


def checked(style: str, changes: Changes, units: str = "cm", **options: str) -> Checked:
    """A shipped style with words of its files changed, on its own body."""
    with TemporaryDirectory() as folder:
        files = changed(Path(folder), style, changes)
    return check_style(files, read_body(all_styles.files(style).base), options, units)  # type: ignore[arg-type]


def notion(made: Checked, name: str) -> Notion:
    return next(n for n in made.notions if n.name.startswith(name))


def working(found: Notion, what: str) -> Working:
    return next(w for w in found.workings if w.what == what)


# ---------------------------------------------------------------- elastic


def test_elastic_may_be_so_much_less_than_the_girth() -> None:
    """Waist 30 in, 1 in elastic: 30 - 2 + 1 = 29 in (firststitchco.com), here by the body's own waist in cm."""
    made = checked(
        "trousers",
        {"sewing": [("less: 8 %, stretch: 70 %, overlap: 2", "less: 5 cm, stretch: 70 %, overlap: 2.5")]},
    )
    elastic = next(iter(made.prepared.elastics.values()))
    assert (elastic.less, elastic.less_mm) == (0.0, 50.0)
    assert elastic.cut == pytest.approx(elastic.body - 50 + 25)
    found = notion(made, "elastic")
    assert found.amount == pytest.approx(elastic.cut, abs=0.05)
    assert f" − 50{NBSP}mm + 25{NBSP}mm lapped = " in found.workings[0].line
    (step,) = (w for w in made.words if w.verb == "casing")
    assert f"less 50{NBSP}mm, and 25{NBSP}mm to overlap" in " ".join(step.paragraphs)


@pytest.mark.parametrize("less", ["a little", "-3 %", "5 kg"])
def test_less_is_a_share_or_a_length(less: str) -> None:
    with pytest.raises(Fault, match="neither a share nor a length"):
        checked("trousers", {"sewing": [("less: 8 %, stretch", f"less: {less}, stretch")]})


def test_a_casing_too_narrow_is_told_with_the_depth_that_would_do() -> None:
    """Elastic, 3 mm clear and what is turned under (1/4 in each: firststitchco.com; 3 to 6 mm: common practice)."""
    wide = "elastic: {wide: 2.5, fits: waist_girth"
    entry = "  - elastic: {wide: 2.5 cm, for: casing}\n"
    with pytest.raises(Fault) as caught:
        checked(
            "trousers",
            {"sewing": [(wide, wide.replace("2.5", "5"))], "style": [(entry, entry.replace("2.5", "5"))]},
        )
    problem = next(p for p in caught.value.problems if p.code == "casing-narrow")
    assert (
        "set the fold line 53 mm from the edge" in problem.mend
        and "with what is turned under" in problem.mend
    )


# ---------------------------------------------------------------- thread


def test_thick_cloth_takes_more_thread_by_the_stitchs_formula() -> None:
    """301: 2 + 2ts, t and s by the inch (textiletechinsight.com); common cloth takes the ratio of the table."""
    assert ratio_through(301, 2.5, 0.0, 2.5) == ratio_through(301, 2.5, 0.3, 2.5) == (2.5, 0.0)
    ratio, through = ratio_through(301, 2.5, 1.5, 2.5)
    assert through == 3.0 and ratio == pytest.approx(2 + 2 * (3 / INCH) * (INCH / 2.5))
    assert ratio_through(504, 14.0, 9.0, 2.5) == (14.0, 0.0)  # two sources disagree: the ratio counts
    assert set(FORMULAS) <= set(STITCH_TYPES)


def test_a_style_says_how_thick_its_cloth_is() -> None:
    line = "    weight: [110, 150]"
    plain = all_styles.checked("top", (("neck", "wide"), ("sleeve_end", "elastic")), "cm")
    thick = checked(
        "top", {"style": [(line, f"    thick: 1.5 mm\n{line}")]}, neck="wide", sleeve_end="elastic"
    )
    one, other = (notion(made, "sewing thread") for made in (plain, thick))
    assert other.amount > one.amount * 1.2
    sum_, terms = other.workings[0], dict(other.workings[0].terms)
    assert f"lockstitch 301 through 3{NBSP}mm:" in sum_.line and "× 4.4" in sum_.line
    assert terms["301 ratio"] == pytest.approx(4.4) and terms["301 through"] == 3.0
    assert "through" not in one.workings[0].line


# ---------------------------------------------------------------- zips, buttons, loops


def test_a_separating_zip_for_a_whole_edge() -> None:
    """The front less collar and hem, and 2 % less (apparel-merchandising.com): in a length that is sold."""
    entry = "notions:\n  - zip: {along: front.side, off: 10 cm, kind: separating}\n"
    made = checked("top", {"style": [("notions:\n", entry)]}, neck="wide", sleeve_end="elastic")
    found = notion(made, "separating zip")
    edge = made.prepared.table.length_of("front.side")
    sum_ = found.workings[0]
    assert dict(sum_.terms)["edge"] == pytest.approx(edge)
    most = (edge - 100) * 0.98
    sold = read_shop(None).zip_sizes["cm"]
    assert sum_.result == max(s for s in sold if s <= most + read_shop(None).warning)
    assert f"× (1 − 2{NBSP}%) = {show(most, 'cm')} →" in sum_.line
    assert not any(p.code == "notion-unused" for p in made.problems)


@pytest.mark.parametrize(
    ("entry", "told"),
    [
        ("{kind: skirt}", "neither an opening nor an edge"),
        ("{for: back.zip_end, along: back.side}", "neither an opening nor an edge, or both"),
        ("{for: back.zip_end, off: 2 cm}", "no off with for"),
        ("{along: back.sode, kind: separating}", "cannot be measured"),
        ("{along: front.shoulder, off: 90 cm}", "too short for this zip"),
    ],
)
def test_a_zip_that_cannot_be_worked_out_is_told(entry: str, told: str) -> None:
    with pytest.raises(Fault, match=told):
        checked(
            "top",
            {"style": [("notions:\n", f"notions:\n  - zip: {entry}\n")]},
            neck="wide",
            sleeve_end="elastic",
        )


def test_a_ball_buttons_hole_is_half_of_a_strip_round_it_and_an_eighth() -> None:
    """Half the length of a strip wrapped round it, and 1/8 in (thesewingcorner.blogspot.com, May 2013)."""
    rows = [
        ("first: 6.5, last: 9, apart: 8.5, size: button,", "first: 6.5, last: 9, apart: 8.5, size: button, round: 4.4,"),
        ("inside: 1.4, size: button, holes: right", "inside: 1.4, size: button, round: 4.4, holes: right"),
        ("size: button, holes: both, cut: across", "size: button, round: 4.4, holes: both, cut: across"),
        ("cuff_lap - cuff_hole, size: button, holes: none", "cuff_lap - cuff_hole, size: button, round: 4.4, holes: none"),
    ]  # fmt: skip
    made = checked("blouse", {"draft": rows})
    found = working(notion(made, "flat shirt buttons"), "buttonhole")
    assert found.result == pytest.approx(22 + INCH / 8)
    assert f"half of 4.4{NBSP}cm round it" in found.line or f"half of 44{NBSP}mm round it" in found.line
    holes = [m for c in made.prepared.copies for m in c.buttons if m.kind == "buttonhole"]
    assert {round(abs(m.ends[1] - m.ends[0]), 3) for m in holes} == {round(22 + INCH / 8, 3)}


def test_buttons_are_as_many_as_are_drawn_and_the_spare_ones() -> None:
    """One spare (TRADE.md 6), or as many as the style says."""
    made = all_styles.checked("blouse", (), "cm")
    drawn = sum(m.kind == "button" for c in made.prepared.copies if c.host is None for m in c.buttons)
    assert drawn > 8 and notion(made, "flat shirt buttons").amount == drawn + 1
    more = checked("blouse", {"style": [("spare: 1, kind", "spare: 3, kind")]})
    assert notion(more, "flat shirt buttons").amount == drawn + 3
    single = all_styles.checked("top", (("neck", "slit"), ("sleeve_end", "elastic")), "cm")
    sewn = sum(w.verb == "button" for w in single.words)
    assert sewn == 1 and notion(single, "button").amount == sewn + 1


def test_a_loop_is_told_when_the_button_does_not_pass() -> None:
    """It opens to its own length as a buttonhole to twice its own: 2 x (diameter + thickness)."""
    fine = all_styles.checked("top", (("neck", "slit"), ("sleeve_end", "elastic")), "cm")
    sum_ = working(notion(fine, "button"), "button loop")
    terms = dict(sum_.terms)
    assert sum_.result == pytest.approx(2 * (terms["diameter"] + terms["thickness"]) + 2 * terms["sewn in"])
    assert terms["sewn in"] > 0 and terms["cut"] >= sum_.result
    large = checked(
        "top",
        {"style": [("diameter: 11 mm", "diameter: 25 mm, thick: 6 mm")]},
        neck="slit",
        sleeve_end="elastic",
    )
    told = [p for p in large.problems if p.code == "loop-short"]
    assert len(told) == 1 and "too short for the button" in told[0].what


# ---------------------------------------------------------------- bias


@pytest.mark.parametrize("units", ["cm", "in"])
def test_what_a_square_and_a_rectangle_give_is_told(units: str) -> None:
    """side² ÷ width (mydecozo.co.uk); (cloth × depth − shortest² ÷ 2) ÷ width (NIMI, trade practical, p. 220); a line
    across a square is its side × √2 (sheet on piped bias)."""
    draft = all_styles.checked("apron", (("ties", "bound"),), "cm").prepared.draft
    piece = next(p for p in draft.pieces.values() if p.binding)
    assert piece.binding is not None
    wide, long, step = strip_width(piece), piece.binding.long, 5.0 if units == "cm" else INCH / 2
    sums = {w.what.split(": ")[1]: w for w in binding_workings(piece, units, 1476)}  # type: ignore[arg-type]
    square, rectangle, line = sums["square"], sums["rectangle"], sums["one strip, no join"]
    side = math.ceil(square.result / step) * step
    assert dict(square.terms)["gives"] == pytest.approx(side**2 / wide) and side**2 / wide >= long
    deep = math.ceil(rectangle.result / step) * step
    assert dict(rectangle.terms)["gives"] == pytest.approx((1476 * deep - 100**2 / 2) / wide)
    assert deep * math.sqrt(2) >= 100  # the strips are as long as is said
    assert line.result * math.sqrt(2) == pytest.approx(long + wide)
    assert bias.strips_for(long, wide, 6, 1e6).each == pytest.approx(
        long + wide
    )  # one strip with both ends square
    for one in (square, rectangle):
        assert "which gives" in one.line


# ---------------------------------------------------------------- every kind, in every language

EVERY = """notions:
  - tape: {along: [front.shoulder, back.shoulder], kind: stay tape, wide: 6 mm, ends: 2 cm}
  - piping: {along: ['ring(front.hem, back.hem)'], cord: 4 mm, allow: 12 mm}
  - boning: {along: [front.side, back.side], times: 2}
  - zip: {along: front.side, off: 10 cm, kind: separating}
  - labels: [care, fibre, size]
"""


@cache
def with_every_kind(language: str) -> Job:
    with TemporaryDirectory() as folder:
        there = ("base: ../../demo/bodies/marit.yaml", f"base: {all_styles.files('top').base}")
        files = changed(Path(folder), "top", {"style": [("notions:\n", EVERY), there]})
    shop = read_shop(None, ROOT / "demo" / "shop.yaml", language)
    options = {"neck": "slit", "sleeve_end": "elastic"}
    return make_job(files, options=options, units="cm", shop=shop, evaluations=0)


@pytest.mark.parametrize("language", ["en", "fr", "es"])
def test_every_kind_of_amount_shows_its_sum_in_the_shops_copy(language: str) -> None:
    job = with_every_kind(language)
    assert job.language == language
    kinds = {n.kind for n in job.size.notions}
    assert kinds >= {"tape", "piping", "boning", "zip", "labels", "thread", "elastic", "button", "needle"}
    printed = " ".join(
        f.item.text
        for block in amount_blocks(job, words_for(language), _panel(210.0, 297.0, False))
        for f in flat_items(block.items)
        if isinstance(f.item, Text)
    )
    flat, words = "".join(printed.split()), words_for(language)
    for n in job.size.notions:
        assert n.workings, n.name
        assert all(w.rule and "".join(words.spaced(w.line).split()) in flat for w in n.workings), n.name
    for need in job.size.cloths:
        assert len(need.workings) >= len(need.lays)
        assert all("".join(words.spaced(w.line).split()) in flat for w in need.workings), need.key
