"""Phrases: none is missing, none is left over; lengths, allowances and rules as they are printed."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path as FilePath

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sample_job import sample_job

from booklet.pages import figures
from booklet.pages.words import Words, words_for

WORDS = words_for("en")
# Keys that the code puts together: a table's prefix, asked for with a name at its end.
BUILT = (
    "body.",
    "operators.",
    "copies.face.",
    "copies.side.",
    "copies.how_to.",
    "cautions.",
    "rules.",
    "checks.names.",
    "cloth.two_folds",
    "cloth.cross_fold",
    "cloth.part_fold",
    "cloth.side_fold",
    "lays.split_",
    "tools.stitches.",
    "sections.",
    "sizes.runs.",
    "key.",
    "label.knife",
    "label.box",
    "label.inverted",
    "label.tuck",
    "labels.",
    "lays.both_",
    "lays.saves_",
    "amounts.",
    "pattern.tile.",
    "pattern.guide.",
    "nest.guide.",
    "copies.one_layer",
    "copies.under_layer",
    "copies.upper_layer",
    "refused.",
)


def _sources(root: FilePath, folder: str = "booklet") -> str:
    files = sorted((root / folder).rglob("*.py"))
    return "\n".join(f.read_text(encoding="utf-8") for f in files)


def _leaves(data: object, before: str = "") -> list[str]:
    if not isinstance(data, dict) or set(data) == {"one", "more"}:
        return [before]
    return [leaf for k, v in data.items() for leaf in _leaves(v, f"{before}.{k}" if before else str(k))]


def test_every_phrase_asked_for_is_there(root: FilePath) -> None:
    pages = _sources(root, "booklet/pages")
    asked = re.findall(r'words(?:\.lines|\.table)?\(\s*"([a-z_.]+)"', pages)
    assert len(asked) > 60
    missing = [key for key in asked if not key.endswith((".", "_")) and not WORDS.has(key)]
    assert missing == []


def test_no_phrase_is_left_over(root: FilePath) -> None:
    said = _sources(root).replace("'", '"')
    unused = []
    for key in _leaves(WORDS.data):
        if key.startswith(BUILT) or key == "care":
            continue
        tail = key.rpartition(".")[2]
        if f'"{key}"' not in said and f'"{tail}"' not in said:
            unused.append(key)
    assert unused == []


def test_key_samples_have_words_and_words_have_samples() -> None:
    from booklet.pages.key import _groups

    samples = {name for _, entries in _groups() for name, _ in entries}
    titles = {"title", "aside", "shading", "lines", "marks", "signs", "sides", "sides_pictures",
              "transfer", "lengths", "sew_with"}  # fmt: skip
    assert samples == set(WORDS.data["key"]) - titles


def test_a_missing_phrase_or_slot_is_an_error() -> None:
    with pytest.raises(KeyError, match=r"no words for 'chart\.nothing'"):
        WORDS("chart.nothing")
    with pytest.raises(KeyError):
        WORDS("frame.page", n=1)
    with pytest.raises(FileNotFoundError):
        words_for("xx")


def test_counting_phrases() -> None:
    words = Words("en", {"a": {"one": "{count} page", "more": "{count} pages"}})
    assert words("a", count=1) == "1 page"
    assert words("a", count=0) == "0 pages"


@pytest.mark.parametrize(
    ("mm", "text"),
    [
        (9.525, "3/8 in (≈ 10 mm)"),
        (12.7, "1/2 in (≈ 13 mm)"),
        (25.4, "1 in (≈ 25 mm)"),
        (10.0, "10 mm (≈ 3/8 in)"),
        (15.0, "15 mm (≈ 9/16 in)"),
        (12.5, "12.5 mm (≈ 1/2 in)"),
    ],
)
def test_a_declared_length_stands_first_in_the_unit_it_was_written_in(mm: float, text: str) -> None:
    assert figures.both(mm, WORDS).replace("\u00a0", " ") == text


@given(st.integers(1, 64))
def test_whole_sixteenths_of_an_inch_and_whole_millimetres_are_told_apart(n: int) -> None:
    assert figures.declared(float(n)).unit == "mm"
    if n % 5:  # every fifth sixteenth of 1.5875 mm ... none is whole below 80/16, save multiples of 127 mm
        assert figures.declared(n * 25.4 / 16).unit == "in"


def test_allowances_name_the_usual_one_first() -> None:
    front = sample_job().size.cut_piece("front")
    text = figures.allowance_words(front, WORDS, "cm").replace("\u00a0", " ")
    assert text == "shoulder, side 12 mm; neckline, armhole 10 mm; hem 25 mm"
    cuff = sample_job().size.cut_piece("cuff")
    assert figures.allowance_words(cuff, WORDS, "cm").replace("\u00a0", " ") == "12 mm all round"
    facing = sample_job().size.cut_piece("front_neck_facing")
    assert "outer none" in figures.allowance_words(facing, WORDS)


def test_an_edge_is_called_as_its_style_calls_it() -> None:
    sleeve = sample_job().size.cut_piece("sleeve").piece
    assert figures.edge_called(sleeve.edge("lower"), "lower", WORDS) == "sleeve end"
    assert figures.edge_called(None, "back_seam.left", WORDS) == "back seam, left"
    plain = replace(sleeve.edges[2], called="")
    assert figures.edge_called(plain, "lower", WORDS) == "lower"


def test_one_half_of_an_edge_keeps_its_side_in_every_language() -> None:
    seam = replace(sample_job().size.cut_piece("sleeve").piece.edges[0], name="side.left")
    assert figures.edge_called(seam, "side.left", WORDS).endswith(", left")
    said = replace(seam, called="côté")
    assert figures.edge_called(said, "side.left", words_for("fr")) == "côté, gauche"


def test_a_rule_is_printed_in_plain_words() -> None:
    assert figures.rule_words("bust_girth / 8 + 10.25", WORDS) == "bust ÷ 8 + 10.25"
    assert figures.rule_words("waist_height * 0.195", WORDS) == "waist height × 0.195"
    assert figures.rule_words("my_own - 1", WORDS) == "my own − 1"
