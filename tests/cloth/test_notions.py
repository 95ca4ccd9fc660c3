"""Notions of the shipped styles and of lists changed by hand: amounts, their sums, and what is told of too little."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from helpers import all_styles
from helpers.changed import changed
from helpers.steps import ROOT

from booklet.cloth.amounts import STITCH_TYPES
from booklet.cloth.needles import needle_for, weight_of
from booklet.cloth.notions import work_out_notions
from booklet.job import Checked, check_style, shop_for
from booklet.model import Notion
from booklet.problems import Collector, Fault
from booklet.reading.read import StyleFiles, read_body
from booklet.reading.shop import Shop, read_shop
from booklet.units import NBSP

TOP = {"neck": "wide", "sleeve_end": "elastic"}


Edits = tuple[tuple[str, str], ...]


def changed_files(style: str, edits: Edits) -> StyleFiles:
    with TemporaryDirectory() as folder:
        return changed(Path(folder), style, {"style": edits})


def listed(
    style: str,
    *edits: tuple[str, str],
    options: dict[str, str] | None = None,
    units: str = "cm",
    shop: Shop | None = None,
) -> Checked:
    """A shipped style with its list changed, on its own body."""
    body = read_body(all_styles.files(style).base)
    return check_style(changed_files(style, edits), body, options or {}, units, shop)  # type: ignore[arg-type]


def weight_line(style: str) -> str:
    text = (ROOT / "styles" / style / "style.yaml").read_text(encoding="utf-8")
    return next(row for row in text.splitlines(keepends=True) if row.lstrip().startswith("weight:"))


def notion(made: Checked, name: str) -> Notion:
    return next(n for n in made.notions if n.name.startswith(name))


# ---------------------------------------------------------------- thread


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("style", ["top", "blouse"])
def test_thread_is_all_rows_at_their_own_ratio_with_tails(style: str, units: str) -> None:
    """A buttonhole's row is told as its needle's path, which takes a lockstitch's thread."""
    made = all_styles.checked(style, (), units)
    total = 0.0
    for name in ("sewing thread", "neatening thread"):
        found = notion(made, name)
        total += found.amount
        assert found.workings[0].result == pytest.approx(found.amount, abs=0.05)
        assert "→ 1 spool of" in found.workings[0].line
    rows = [s for w in made.words for s in w.stitching]
    ratios = [2.5 if s.what == "buttonholes" else STITCH_TYPES[str(s.stitch)].ratio for s in rows]
    wanted = sum(s.mm / 1000 * r * 1.15 + 0.3 * s.rows for s, r in zip(rows, ratios, strict=True))
    assert total == pytest.approx(wanted, abs=0.11)  # both are told to 0.1 m


def test_a_zigzag_row_takes_more_thread_than_a_straight_one() -> None:
    found = notion(all_styles.checked("top", (), "cm"), "sewing thread").workings[0]  # its elastics' ends
    terms = dict(found.terms)
    assert terms["304 ratio"] == 7.0 and terms["304 seam"] > 0
    assert "zigzag lockstitch 304:" in found.line
    product = terms["301 seam"] * 2.5 + terms["304 seam"] * 7 + terms.get("209 seam", 0) * 2.5
    assert found.result == pytest.approx(product * 1.15 + terms["rows"] * 0.3, abs=0.02)


def test_topstitching_in_another_colour_is_reckoned_apart() -> None:
    plain = notion(all_styles.checked("blouse", (), "cm"), "sewing thread")
    made = listed(
        "blouse", ("  - thread: sewing\n", "  - thread: sewing\n  - {thread: topstitching, colour: ochre}\n")
    )
    apart = notion(made, "topstitching thread, ochre")
    assert apart.amount > 1
    assert notion(made, "sewing thread").amount + apart.amount == pytest.approx(plain.amount, abs=0.11)


def test_spools_listed_by_hand_are_told_when_too_few() -> None:
    small = replace(read_shop(), spools_m=(20.0,))  # a shop that has nothing but small spools
    one = ("  - thread: sewing\n", "  - {thread: sewing, count: 1}\n")
    told = listed("blouse", one, shop=small)
    need = notion(told, "sewing thread")
    assert need.printed.startswith("4 spools")
    assert [p.what for p in told.problems if p.code == "notion-short"] == [
        f"1 spool of sewing thread is listed, and {need.amount:.0f} m are needed"
    ]
    more = listed("blouse", (one[0], one[1].replace("1", "6")), shop=small)
    assert notion(more, "sewing thread").printed.startswith("6 spools")
    assert more.problems == ()


# ---------------------------------------------------------------- by length


def test_elastic_is_girth_less_its_stretch_and_the_lap() -> None:
    made = all_styles.checked("trousers", (), "cm")
    found = notion(made, "elastic")
    elastic = next(iter(made.prepared.elastics.values()))
    assert found.amount == pytest.approx(elastic.body * (1 - elastic.less) + elastic.overlap, abs=0.05)
    assert found.workings[0].result >= found.amount
    assert f"× (1 − {elastic.less * 100:.0f}{NBSP}%)" in found.workings[0].line


def test_elastic_listed_by_hand() -> None:
    entry = "  - elastic: {wide: 2.5 cm, for: casing}\n"
    short = listed("trousers", (entry, entry.replace("casing}", "casing, buy: 20 cm}")))
    assert [p.code for p in short.problems] == ["notion-short"]
    assert "too little" in short.problems[0].what
    long = listed("trousers", (entry, entry.replace("casing}", "casing, buy: 1 m}")))
    assert long.problems == () and notion(long, "elastic").printed == f"1.0{NBSP}m"


EXTRA = {
    "tape": "  - tape: {along: [front.shoulder, back.shoulder], kind: stay tape, wide: 6 mm, ends: 2 cm}\n",
    "piping": "  - piping: {along: ['ring(front.hem, back.hem)'], cord: 4 mm, allow: 12 mm}\n",
    "boning": "  - boning: {along: [front.side, back.side], times: 2}\n",
    "labels": "  - labels: [care, fibre, size]\n",
}


@pytest.mark.parametrize("units", ["cm", "in"])
def test_what_is_bought_by_length_is_measured_on_the_draft(units: str) -> None:
    made = listed("top", ("notions:\n", "notions:\n" + "".join(EXTRA.values())), options=TOP, units=units)
    edge = made.prepared.table.length_of
    assert notion(made, "stay tape").amount == pytest.approx(
        edge("front.shoulder") + edge("back.shoulder") + 40, abs=0.05
    )
    assert notion(made, "piping").amount == pytest.approx(edge("ring(front.hem, back.hem)") * 1.05, abs=0.05)
    assert notion(made, "boning").amount == pytest.approx(
        2 * (edge("front.side") + edge("back.side")) - 4 * 24, abs=0.05
    )
    assert notion(made, "labels").printed == "3"
    for name in ("stay tape", "piping", "boning"):
        found = notion(made, name)
        assert found.amount <= found.workings[0].result < found.amount + 115
        assert found.workings[0].line.count("→") == 1


def test_an_edge_that_is_not_drawn_is_told() -> None:
    with pytest.raises(Fault, match=r"front\.shuolder"):
        listed("top", ("notions:\n", "notions:\n  - tape: {along: [front.shuolder]}\n"), options=TOP)


def test_bought_tape_for_a_binding() -> None:
    entry = f"notions:\n  - tape: {{for: {_binding('apron')}, kind: bias tape}}\n"
    made = listed("apron", ("notions:\n", entry), options={"ties": "bound"})
    piece = made.prepared.draft.named(_binding("apron"))
    assert piece is not None and piece.binding is not None
    assert notion(made, "bias tape").amount == pytest.approx(piece.binding.long + 75, abs=0.05)


def _binding(style: str) -> str:
    made = all_styles.checked(style, (("ties", "bound"),), "cm")
    return next(p.name for p in made.prepared.draft.pieces.values() if p.binding)


# ---------------------------------------------------------------- zips, buttons, hooks


def test_a_zip_is_the_next_length_sold_and_lets_the_hip_through() -> None:
    found = notion(all_styles.checked("aline", (), "cm"), "skirt zip")
    opening, passing = found.workings
    terms = dict(opening.terms)
    assert opening.result >= terms["opening"] - terms["stop"] - 3
    assert passing.result <= terms["opening"]
    assert found.printed == f"1, {opening.result / 10:g}{NBSP}cm"


def test_a_zip_listed_too_short_is_told() -> None:
    entry = "{for: back.zip_end, kind: skirt}"
    told = listed("aline", (entry, "{for: back.zip_end, kind: skirt, long: 12 cm}"))
    assert any(p.code == "notion-short" and "too short" in p.what for p in told.problems)
    fine = listed("aline", (entry, "{for: back.zip_end, kind: skirt, long: 25 cm}"))
    assert notion(fine, "skirt zip").printed == f"1, 25{NBSP}cm"
    assert not any(p.code == "notion-short" for p in fine.problems)


def test_buttons_are_counted_measured_and_spaced() -> None:
    made = all_styles.checked("blouse", (), "cm")
    found = notion(made, "flat shirt buttons")
    sums = {w.what: w for w in found.workings}
    assert found.name.endswith(f"11.5{NBSP}mm (18{NBSP}ligne)")
    assert sums["buttons"].result == found.amount
    assert sums["buttonhole"].result == pytest.approx(14.0)
    terms = dict(sums["spacing"].terms)
    assert sums["spacing"].result == pytest.approx(terms["from first to last"] / (terms["buttons"] - 1))


def test_buttons_listed_by_hand() -> None:
    told = listed("blouse", ("spare: 1, kind", "spare: 1, count: 4, kind"))
    short = [p for p in told.problems if p.code == "notion-short"]
    assert len(short) == 1 and "4 flat shirt buttons" in short[0].what and "too few" in short[0].what


def test_a_hook_for_each_step_that_sews_one() -> None:
    made = all_styles.checked("aline", (), "cm")
    assert notion(made, "hook and eye").printed == str(
        sum(s.verb == "hook" for s in made.prepared.seams.steps)
    )


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("style", ["top", "blouse", "skirt", "apron", "aline", "trousers"])
def test_every_notion_of_the_shipped_styles_shows_its_sum(style: str, units: str) -> None:
    for n in all_styles.checked(style, all_styles.options_of(style)[0], units).notions:
        assert n.workings and all(w.line and w.rule for w in n.workings), n.name


def test_labels_are_added_up() -> None:
    made = listed("apron", ("  - needle: main\n", "  - needle: main\n  - labels: [care, fibre, size]\n"))
    found = notion(made, "labels")
    assert found.workings[0].line == "care + fibre + size = 3" and found.workings[0].result == 3


# ---------------------------------------------------------------- needle


def test_the_needle_is_the_clothes_own() -> None:
    for style in ("top", "blouse", "skirt", "apron", "aline", "trousers"):
        files = all_styles.files(style)
        weight = weight_of(files.sources["style"].data["cloths"]["main"]["weight"])
        found = notion(all_styles.checked(style, (), "cm"), "machine needle")
        assert found.name == f"machine needle {needle_for(weight).called}"
        assert f"stitch 2.5{NBSP}mm" in found.working


def test_a_thin_needle_by_hand_and_a_cloth_without_weight_are_told() -> None:
    told = listed("trousers", ("  - needle: main\n", "  - item: machine needle 70\n"))
    assert [p.code for p in told.problems] == ["notion-short"]
    assert listed("trousers", ("  - needle: main\n", "  - item: machine needle 100\n")).problems == ()
    line = weight_line("trousers")
    assert [p.code for p in listed("trousers", (line, "")).problems] == ["cloth-weight"]


def test_fine_and_heavy_cloth_change_the_plain_stitch_everywhere() -> None:
    line = weight_line("trousers")
    for words, stitch in (("very light", 2.0), ("medium", 2.5), ("very heavy", 3.0)):
        files = changed_files("trousers", ((line, f"    weight: {words}\n"),))
        assert shop_for(files, read_shop()).stitch["plain"] == stitch


def test_a_ball_point_for_a_knit() -> None:
    line = weight_line("trousers")
    made = listed("trousers", (line, f"{line}    knit: true\n"))
    assert notion(made, "machine needle").name.endswith(", ball point")


# ---------------------------------------------------------------- both unit systems


@pytest.mark.parametrize("style", ["top", "blouse", "skirt", "apron", "aline", "trousers"])
def test_an_inch_list_shows_no_metric_lengths(style: str) -> None:
    for n in all_styles.checked(style, (), "in").notions:
        for text in (n.name, n.printed, n.working, *(w.line for w in n.workings)):
            dial = rf"stitch [\d.]+{NBSP}mm \(\d+ an inch\)"  # machines are marked in mm everywhere
            assert not re.search(rf"\d{NBSP}(mm|cm|m)\b", re.sub(dial, "", text)), text


@pytest.mark.parametrize("style", ["top", "blouse", "skirt", "apron", "aline", "trousers"])
def test_a_metric_list_shows_no_inches(style: str) -> None:
    for n in all_styles.checked(style, (), "cm").notions:
        for text in (n.name, n.printed, n.working, *(w.line for w in n.workings)):
            assert not re.search(rf"\d{NBSP}(in|yd)\b", text), text


def test_the_same_list_without_a_collector() -> None:
    made = all_styles.checked("top", (), "cm")
    files = all_styles.files("top")
    shop = shop_for(files, read_shop(files.folder))
    assert (
        work_out_notions(files.sources["style"], made.prepared, made.words, shop, "cm", Collector())
        == made.notions
    )
