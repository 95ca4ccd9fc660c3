"""A shirt sleeve's slit with an over and an under strip: words, rows, the cuff on it, its sizes, its pictures."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.changed import Changes, codes, drawn, made, problems, said, words

from booklet.drawing.judge import judge
from booklet.sewing.operations.base import BOUND, LAPPED, LOCKSTITCH

STRIP = """  placket:
    number: 9
    title: Placket strip
    drawn for: whole
    rectangle: {long: (slit_deep + 1.2) * 2, wide: 3.2}   # up and down the slit; its width is folded in four
    cut: [{cloth: main, count: 2, as: same}]
    allow: {other: 0}
"""
TWO = """  over_strip:
    number: 9
    title: Over strip
    drawn for: whole
    rectangle: {long: slit_deep + 1.2 + 4, wide: OVER_WIDE}
    cut: [{cloth: main, count: 2, as: same}]
    allow: {other: 0}
  under_strip:
    number: 11
    title: Under strip
    drawn for: whole
    rectangle: {long: UNDER_LONG, wide: 3.6}
    cut: [{cloth: main, count: 2, as: same}]
    allow: {other: 0}
"""
BAND = (
    "with: 'cuff.upper[lap..buttonhole_end]',\n           fold: cuff.fold, inside: cuff.under, "
    "ends: [cuff.button_end, cuff.buttonhole_end], beyond: 'cuff.upper[lap..button_end]'}"
)
BAND_TWO = """with: 'cuff.upper[lap..over_lap]',
           fold: cuff.fold, inside: cuff.under, ends: [cuff.button_end, cuff.buttonhole_end],
           beyond: ['cuff.upper[lap..button_end]', 'cuff.upper[over_lap..buttonhole_end]']}"""
LAP = "  lap: {on: cuff.upper, from: button_end, at: cuff_lap, notch: dot}\n"


def two(
    top: str = "pointed", over_wide: str = "6", under_long: str = "slit_deep + 2.2", lap: str = "2.4"
) -> Changes:
    """The blouse with strips finished 24 and 12 mm wide on rows 12 mm apart: its cuffs lap by 24 mm."""
    return {
        "draft": [
            (STRIP, TWO.replace("OVER_WIDE", over_wide).replace("UNDER_LONG", under_long)),
            ("cuff_lap: 2\n", f"cuff_lap: {lap}\n"),
            (LAP, "  lap: {on: cuff.upper, from: button_end, at: 1.2, notch: dot}\n"
                  "  over_lap: {on: cuff.upper, from: buttonhole_end, at: 2.4, notch: dot}\n"),
        ],
        "sewing": [
            ("placket: {slit: sleeve.slit, with: placket, seam: 6 mm}",
             f"placket: {{slit: sleeve.slit, over: over_strip, under: under_strip, top: {top}, seam: 6 mm}}"),
            (BAND, BAND_TWO),
            ("to: cuff_long - cuff_lap", "to: cuff_long - 3.6"),
        ],
    }  # fmt: skip


@pytest.mark.parametrize("top", ["pointed", "square"])
def test_a_blouse_with_it_is_sewn_without_a_word_of_the_checker(tmp_path: Path, top: str) -> None:
    assert codes(tmp_path, "blouse", two(top)) == []


def test_its_words_have_the_sizes_of_the_strips(tmp_path: Path) -> None:
    step = words(made(tmp_path, "blouse", two()), "plackets")
    text = said(step)
    f = step.facts
    assert (f["finished_over"], f["finished_under"], f["above"]) == pytest.approx((24.0, 12.0, 34.0))
    assert f["row"] == pytest.approx(122.0)  # 110 mm of slit and 12 mm of allowance
    assert "a point 12 mm deep" in text and "a small triangle stands" in text
    assert "towards the back" in text and "towards the front" in text
    square = said(words(made(tmp_path, "blouse", two("square")), "plackets"))
    assert "point" not in square and "Fold it in half" in square


@pytest.mark.parametrize("units", ["cm", "in"])
def test_its_sentences_are_whole(tmp_path: Path, units: str) -> None:
    for step in ("plackets", "gather-lower", "set-cuffs"):
        text = said(words(made(tmp_path, "blouse", two(), units), step, units))
        for sentence in text.replace("\n", " ").split(". "):
            assert sentence[0].isupper() and "  " not in sentence and "None" not in sentence, sentence


def test_its_rows_are_those_of_the_standards(tmp_path: Path) -> None:
    rows = words(made(tmp_path, "blouse", two("square")), "plackets").stitching
    assert [(r.stitch, r.seam_class) for r in rows] == [
        (LOCKSTITCH, BOUND),
        (LOCKSTITCH, BOUND),
        (LOCKSTITCH, LAPPED),
    ]
    # Two sleeves: two strips each; the under one's fold; up, round a square top of 34 mm and across.
    assert [r.mm for r in rows] == pytest.approx(
        [2 * 2 * 122.0, 2 * 122.0, 2 * (122.0 + 2 * 34.0 + 24.0 + 24.0)]
    )


def test_the_cuff_reaches_from_fold_to_fold(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", two())
    text = said(words(what, "set-cuffs"))
    assert "24 mm lie on the over strip, 12 mm on the under strip" in text
    beyond = [
        s.a_mm for s in what.seams.seams if s.step == "set-cuffs" and s.kind == "beyond" and s.side == "right"
    ]
    assert sorted(beyond) == pytest.approx([12.0, 24.0])
    assert "seams of the under strip and the over strip" in said(words(what, "gather-lower"))


@pytest.mark.parametrize(
    ("change", "told", "words_of"),
    [
        ({"over_wide": "4"}, "error strip-width", "must cover the slit"),
        ({"under_long": "slit_deep"}, "error strip-length", "under_strip is cut"),
        ({"lap": "3"}, "warning button-lap", "they should lap by 24.0 mm"),
    ],
)
def test_sizes_that_do_not_fit_are_told(
    tmp_path: Path, change: dict[str, str], told: str, words_of: str
) -> None:
    found = [p for p in problems(tmp_path, "blouse", two(**change)) if f"{p.severity} {p.code}" == told]
    assert found and words_of in found[0].what and found[0].where is not None


def test_the_pointed_top_takes_more_than_the_square_one(tmp_path: Path) -> None:
    short = {
        "draft": [(a, b.replace("slit_deep + 1.2 + 4,", "slit_deep + 1.2 + 1.8,")) for a, b in two()["draft"]]
    }
    assert "error strip-length" in codes(tmp_path, "blouse", {**two(), **short})
    assert codes(tmp_path, "blouse", {**two("square"), **short}) == []


@pytest.mark.parametrize("top", ["pointed", "square"])
@pytest.mark.parametrize("units", ["cm", "in"])
def test_its_picture_has_room_for_every_label(tmp_path: Path, top: str, units: str) -> None:
    drawings, left = drawn(made(tmp_path, "blouse", two(top), units), "plackets", units)
    assert len(drawings) == 1 and not left
    assert [f.what for f in judge(drawings[0])] == []
