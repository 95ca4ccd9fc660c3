"""What holds for the words of every step, in both styles with all options and in both units."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path

import jinja2
import pytest
from helpers.drafts import case_name, cases, middling
from helpers.step_words import by_id, recipe_words, shop, style_words

from booklet.language import tongue_for
from booklet.reading.sewing_shape import VERBS
from booklet.sewing.operations import OPERATIONS
from booklet.sewing.words import StepWords, glossary, paragraphs, render, tidy, write_steps

TEMPLATES = Path(__file__).resolve().parents[2] / "templates" / "en" / "steps"
LONGEST_SENTENCE = 31  # words; a figure and its unit are one


def texts(words: tuple[StepWords, ...]) -> list[str]:
    return [t for w in words for t in (w.title, *w.paragraphs, w.check)]


def sentences(text: str) -> list[str]:
    return re.split(r"(?<=[.!?]) ", text)


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
class TestEveryStep:
    def test_is_clean_text(self, style: str, options: tuple, units: str) -> None:
        for text in texts(style_words(style, *options, units=units)):
            assert text and text == text.strip()
            assert "  " not in text and "\n" not in text
            assert not re.search(r"None|nan|Undefined|[{}\[\]_]", text), text
            assert not re.search(r" [,;.:]|\.\.|,,|\( | \)", text), text
            assert text.count("**") % 2 == 0, text

    def test_sentences_are_short_and_begin_with_a_capital(
        self, style: str, options: tuple, units: str
    ) -> None:
        for w in style_words(style, *options, units=units):
            for text in (*w.paragraphs, w.check):
                assert text.endswith("."), text
                for s in sentences(text):
                    assert len(s.split(" ")) <= LONGEST_SENTENCE, s
                    assert s[0].isupper(), s

    def test_keeps_number_and_unit_together(self, style: str, options: tuple, units: str) -> None:
        for text in texts(style_words(style, *options, units=units)):
            assert not re.search(r"\d (mm|cm|in|m|%)\b", text), text

    def test_puts_no_figure_behind_a_piece_number(self, style: str, options: tuple, units: str) -> None:
        for text in texts(style_words(style, *options, units=units)):
            assert not re.search(r"\(\d+\), \**\d", text), text

    def test_has_a_title_a_check_and_minutes(self, style: str, options: tuple, units: str) -> None:
        words = style_words(style, *options, units=units)
        assert [w.number for w in words] == list(range(1, len(words) + 1))
        for w in words:
            assert w.title[0].isupper() and not w.title.endswith(".")
            assert 1 <= len(w.paragraphs) <= 4
            assert 1 <= w.minutes <= 60

    def test_names_each_piece_with_its_number_once(self, style: str, options: tuple, units: str) -> None:
        for w in style_words(style, *options, units=units):
            body = " ".join(w.paragraphs)
            for number in re.findall(r"\((\d+)\)", body):
                assert body.count(f"({number})") == 1, body


@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_units_change_only_figures(style: str, options: tuple) -> None:
    def bare(words: tuple[StepWords, ...]) -> list[str]:
        return [re.sub(r"[\d/.\u00a0]+(mm|cm|in)\b", "#", t) for t in texts(words)]

    assert bare(style_words(style, *options)) == bare(style_words(style, *options, units="in"))


@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_every_seam_of_the_table_belongs_to_a_step_with_its_stitching(style: str, options: tuple) -> None:
    drafted = middling(style, *options)
    words = by_id(style_words(style, *options))
    assert [s.id for s in drafted.seams.seams] == [i for w in words.values() for i in w.seams]
    for seam in drafted.seams.seams:
        assert words[seam.step].stitching, seam.id


def test_templates_hold_no_figures_of_their_own() -> None:
    for file in sorted(TEMPLATES.glob("*.j2")):
        said = re.sub(r"\{[%{].*?[%}]\}", "", file.read_text(encoding="utf-8"), flags=re.DOTALL)
        assert not re.search(r"\d", said), file.name


def test_every_operation_of_a_recipe_has_words_and_a_rate() -> None:
    assert sorted(OPERATIONS) == sorted(VERBS)
    for verb, operation in OPERATIONS.items():
        assert (TEMPLATES / operation.template).is_file(), verb
        assert verb in shop().handling


def test_a_template_that_asks_for_an_unknown_fact_is_an_error() -> None:
    with pytest.raises(jinja2.UndefinedError):
        render("finish.j2", {"pieces": ()}, "cm", tongue_for("en"))


def test_tidy_joins_lines_and_begins_sentences_with_a_capital() -> None:
    assert tidy("  sew it ,\n  then press . \n turn **it**.") == "Sew it, then press. Turn **it**."
    assert tidy("**left** side first") == "**Left** side first"
    assert tidy("10\u00a0mm wide") == "10\u00a0mm wide"


def test_paragraphs_are_parted_by_empty_lines() -> None:
    assert paragraphs("one\ntwo.\n\n  \nthree.\n\n") == ("One two.", "Three.")


RECIPE = """
steps:
  - part: Marks
    mark: [back, left_front]
  - dart: [back.back_dart]
  - baste: [back.waist]
  - join: [back.side.left, left_front.side]
    id: side
    title: My own title
    check: My own check.
    minutes: 17
    note: Mind the nap.
    before: true
    neaten: apart
    press: to back
    then: [topstitch]
  - press: the left side seam
  - free: [Hang it over night., Level the hem.]
"""


class TestOwnRecipe:
    def test_overrides_stand_as_written(self) -> None:
        side = by_id(recipe_words("skirt", RECIPE))["side"]
        assert (side.title, side.check, side.minutes, side.note) == (
            "My own title", "My own check.", 17, "Mind the nap.",
        )  # fmt: skip

    def test_neatening_before_stands_before_sewing(self) -> None:
        body = " ".join(by_id(recipe_words("skirt", RECIPE))["side"].paragraphs)
        assert body.startswith("Neaten each edge on its own first.")
        assert body.count("eaten each") == 1

    def test_acts_stand_in_the_order_written(self) -> None:
        body = " ".join(by_id(recipe_words("skirt", RECIPE))["side"].paragraphs)
        order = [
            body.index(w) for w in ("Neaten", "Sew", "Press the seam flat", "towards the back", "Topstitch")
        ]
        assert order == sorted(order)

    def test_part_heads_only_its_own_step(self) -> None:
        assert [w.part for w in recipe_words("skirt", RECIPE)] == ["Marks", "", "", "", "", ""]

    def test_free_words_are_printed_as_they_are(self) -> None:
        last = recipe_words("skirt", RECIPE)[-1]
        assert last.paragraphs == ("Hang it over night.", "Level the hem.")
        assert not last.touches_cloth and not last.seams

    def test_marks_tell_of_darts_and_lines(self) -> None:
        first = recipe_words("skirt", RECIPE)[0]
        assert "darts, lines across, crosses and centres" in first.paragraphs[1]

    def test_a_press_step_touches_no_seam(self) -> None:
        press = recipe_words("skirt", RECIPE)[4]
        assert press.verb == "press" and not press.touches_cloth
        assert "the left side seam" in press.paragraphs[0]


def test_only_steps_without_cloth_go_without_pictures() -> None:
    for style, options in cases():
        for w in style_words(style, *options):
            assert w.touches_cloth == (w.verb not in ("try on", "press", "mark", "free"))


def test_sides_that_differ_print_both_lengths() -> None:
    drafted = middling("top", ("neck", "wide"), ("sleeve_end", "elastic"))
    table = drafted.seams
    longer = tuple(replace(s, a_mm=s.a_mm + 9) if s.id == "shoulders.right" else s for s in table.seams)
    words = write_steps(
        table.steps, replace(table, seams=longer), drafted.copies, drafted.table, shop(), "cm"
    )
    assert re.search(r"left \d+\u00a0mm, right \d+\u00a0mm", by_id(words)["shoulders"].check)


class TestGlossary:
    def test_terms_are_those_that_the_texts_use(self) -> None:
        words = by_id(style_words("skirt", ("length", "knee")))
        assert "dart" in words["back-darts"].terms
        assert "dart" not in words["left-side"].terms
        assert "neaten" in words["left-side"].terms

    def test_every_term_is_used_by_some_step(self) -> None:
        used = {k for style, options in cases() for w in style_words(style, *options) for k in w.terms}
        # Those of operations that these two styles do without stand in the operations' own texts.
        texts = " ".join(p.read_text(encoding="utf-8").lower() for p in TEMPLATES.glob("*.j2"))
        rest = [t for t in glossary("en") if t.key not in used | {"grain", "ease", "selvedge", "ply"}]
        assert [t.key for t in rest if not any(f.lower() in texts for f in t.forms)] == []


UNUSUAL = """
steps:
  - hem: {run: sleeve.lower, kind: single}
  - join: [sleeve.front_seam, sleeve.back_seam]
    press: to a
    then: [trim, topstitch]
  - finish: [front.side, back.side]
  - gather: {run: back.hem, by: 3, rows: 1}
  - casing: {run: front.hem, along: front.none, elastic: {wide: 1/4, fits: hip_girth, less: 8 %}, gap: 0}
  - face: {edge: back.neckline, with: back_neck_facing.neckline}
    then: [grade, clip, turn, press, topstitch]
  - button: {at: front.hem, side: left}
"""


def test_recipes_that_the_styles_do_not_hold_read_well_too() -> None:
    words = recipe_words("top", UNUSUAL, neck="wide", sleeve_end="elastic")
    hem, join, _, gather, casing, face, button = (" ".join(w.paragraphs) for w in words)
    assert "Do the other side the same way." in hem
    assert "towards the front seam." in join and "Topstitch" in join
    assert "one row" in gather and "Draw the row up" in gather and "from end to end" not in casing
    assert "to overlap" not in casing and "open at" not in casing
    assert "from end to end" in face
    assert "loop" not in button and "shank" not in button
    for text in texts(words):
        assert not re.search(r"None|  |[{}\[\]_]", text), text
