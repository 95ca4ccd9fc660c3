"""Step words of several sizes as one: rows, letters, counted words, sentences of some sizes, and what is refused."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.language import tongue_for
from booklet.model import Step
from booklet.problems import Where
from booklet.sewing.size_align import in_a_row, one_unit
from booklet.sewing.size_words import LETTERS, merge_lines, merge_steps, size_phrases, size_runs

N = "\u00a0"
SMALL = size_phrases(tongue_for("en"))
NAMES = ("34", "36", "38", "40", "42", "44", "46", "48")


def step(text: Sequence[str] = ("Sew.",), check: str = "", title: str = "Sew it", **more: object) -> Step:
    made = Step(1, "it", "join", title, "", tuple(text), check, 5, (), True, Where("sewing.yaml", 3))
    return replace(made, **more)  # type: ignore[arg-type]


def merged(steps: Sequence[Step], base: int = 0, shown: frozenset[str] = frozenset()) -> Step:
    told, problems = merge_steps(NAMES[: len(steps)], base, [[s] for s in steps], SMALL, {"it": shown})
    assert problems == ()
    return told[0]


def own_words(told: str, step: Step, n: int) -> str:
    """What one size reads: letters replaced by its figures, all bold left out."""
    values = {r.letter: r.values[n] for r in step.by_size}
    return re.sub(r"\*\*([A-Z])\*\*|\*\*", lambda m: values.get(m[1], m[0]) if m[1] else "", told)


# ---------------------------------------------------------------- figures


def test_few_sizes_and_one_figure_stand_in_a_row() -> None:
    told = merged([step((f"Sew **{mm}{N}mm** round.",)) for mm in (345, 352, 360)])
    assert told.text == (f"Sew **345{N}· 352{N}· 360{N}mm** round.",)
    assert told.by_size == ()


def test_many_sizes_get_a_letter_and_a_row_of_the_table() -> None:
    told = merged([step((f"Sew {mm}{N}mm round.",)) for mm in range(345, 353)])
    assert told.text == ("Sew **A** round.",)
    assert told.by_size[0].values == tuple(f"{mm}{N}mm" for mm in range(345, 353))


def test_two_figures_in_a_sentence_get_letters_and_the_same_row_the_same_letter() -> None:
    told = merged(
        [
            step((f"Draw {a}{N}mm to {b}{N}mm.",), f"It lies along {b}{N}mm.")
            for a, b in ((350, 215), (385, 238))
        ]
    )
    assert told.text == ("Draw **A** to **B**.",)
    assert told.check == "It lies along **B**."


def test_two_figures_that_are_alike_in_all_sizes_still_stand_in_a_row() -> None:
    told = merged([step((f"Sew {a}{N}mm, then {a}{N}mm.",)) for a in (350, 385)])
    assert told.text == (f"Sew 350{N}· 385{N}mm, then 350{N}· 385{N}mm.",)


def test_what_a_picture_shows_gets_a_letter() -> None:
    told = merged([step((f"Sew {mm}{N}mm.",)) for mm in (345, 352)], shown=frozenset({f"345{N}mm"}))
    assert told.text == ("Sew **A**.",)


def test_a_figure_in_bold_stays_bold_as_a_letter() -> None:
    told = merged([step((f"Sew **{mm}{N}mm** and **10{N}mm**.",)) for mm in range(8)])
    assert told.text == (f"Sew **A** and **10{N}mm**.",)


def test_millimetres_and_centimetres_of_one_row_are_told_in_centimetres() -> None:
    values = (f"804{N}mm", f"883{N}mm", f"101.5{N}cm")
    assert one_unit(values) == ("cm", ("80.4", "88.3", "101.5"))
    told = merged([step((f"Neaten {v}.",)) for v in values])
    assert told.text == (f"Neaten 80.4{N}· 88.3{N}· 101.5{N}cm.",)


def test_a_decimal_comma_stays_one() -> None:
    assert one_unit((f"804{N}mm", f"101,5{N}cm"), ",") == ("cm", ("80,4", "101,5"))
    told, _ = merge_steps(
        NAMES[:2],
        0,
        [[step((f"Coudre {v}.",))] for v in (f"804{N}mm", f"101,5{N}cm")],
        {**SMALL, "point": ","},
    )
    assert told[0].text == (f"Coudre 80,4{N}· 101,5{N}cm.",)


def test_half_a_millimetre_is_not_rounded_into_centimetres() -> None:
    assert one_unit((f"2.5{N}mm", f"101.5{N}cm")) is None


def test_inches_with_fractions_are_one_figure() -> None:
    told = merged([step((f"Sew {v}{N}in.",)) for v in (f"14{N}1/2", f"14{N}5/8", "15")])
    assert told.text == (f"Sew 14{N}1/2{N}· 14{N}5/8{N}· 15{N}in.",)


def test_numbers_of_pieces_and_what_is_alike_stay() -> None:
    told = merged([step((f"Lay the back (2), **10{N}mm** in, {mm}{N}mm long.",)) for mm in (5, 6)])
    assert told.text == (f"Lay the back (2), **10{N}mm** in, 5{N}· 6{N}mm long.",)


def test_minutes_are_those_of_the_size_that_takes_longest() -> None:
    assert merged([step(minutes=m) for m in (9, 11, 10)]).minutes == 11


# ---------------------------------------------------------------- counts and words


def test_a_counted_word_goes_into_the_table_with_its_count() -> None:
    told = merged([step((f"Fold **{n}** {w} and press.",)) for n, w in ((1, "pleat"), (2, "pleats"))])
    assert told.text == ("Fold **A** and press.",)
    assert told.by_size[0].values == ("1 pleat", "2 pleats")


def test_counts_in_words_are_counts() -> None:
    told = merged([step((f"Sew the {w} buttons on.",)) for w in ("four", "four", "five")])
    assert told.text == ("Sew the **A** buttons on.",)
    assert told.by_size[0].values == ("four", "four", "five")


def test_a_sentence_that_only_some_sizes_have_is_told_for_them() -> None:
    plain, more = step(("Sew.", "Press.")), step(("Sew.", "Ease it in. Press."))
    told = merged([plain, more, more, more])
    assert told.text == ("Sew.", "**Sizes 36 to 40:** Ease it in. Press.")


def test_sentences_that_differ_in_words_are_told_for_their_sizes() -> None:
    told = merged(
        [
            step((f"The edge is {n}{N}mm {w}. Pin.",))
            for n, w in ((2, "longer"), (3, "shorter"), (4, "shorter"))
        ]
    )
    assert told.text == (
        f"**Size 34:** The edge is 2{N}mm longer. **Sizes 36 and 38:** The edge is 3{N}· 4{N}mm shorter. Pin.",
    )


def test_a_paragraph_more_stays_a_paragraph() -> None:
    told = merged([step(("Sew.", "Press.")), step(("Sew.", "Clip.", "Press."))])
    assert told.text == ("Sew.", "**Size 36:** Clip.", "Press.")


def test_a_check_that_only_some_sizes_have() -> None:
    told = merged([step(), step(check=f"It measures 12{N}mm.")])
    assert told.check == f"**Size 36:** It measures 12{N}mm."


def test_a_letter_has_no_figure_where_its_size_has_no_such_words() -> None:
    texts = [f"Ease {n}{N}mm in." for n in range(1, 7)] + ["Sew on.", "Sew on."]
    told = merged([step((t,)) for t in texts])
    assert told.text == ("**Sizes 34 to 44:** Ease **A** in. **Sizes 46 and 48:** Sew on.",)
    assert told.by_size[0].values[5:] == (f"6{N}mm", "", "")


def test_runs_of_sizes() -> None:
    assert size_runs(NAMES, [0, 1, 2, 5], SMALL) == "34 to 38 and 44"
    assert size_runs(NAMES, [0, 1], SMALL) == "34 and 36"


def test_lines_without_a_table_hold_all_figures() -> None:
    lines = merge_lines(NAMES, [[f"to the neck: {mm}{N}mm", "alike"] for mm in range(8)], SMALL)
    assert lines == ("to the neck: " + f"{N}· ".join(str(n) for n in range(8)) + f"{N}mm", "alike")


# ---------------------------------------------------------------- what is refused


def test_titles_in_other_words_are_an_error_that_names_step_and_sizes() -> None:
    steps = [[step(title="Gather the head")], [step(title="Ease the head")]]
    _, problems = merge_steps(NAMES[:2], 0, steps, SMALL)
    assert [(p.code, p.severity, p.where) for p in problems] == [
        ("sizes-words", "error", Where("sewing.yaml", 3))
    ]
    assert "'it'" in problems[0].what and "34" in problems[0].what and "36" in problems[0].what


def test_other_steps_are_an_error() -> None:
    steps = [[step(), step(id="more")], [step()]]
    _, problems = merge_steps(NAMES[:2], 0, steps, SMALL)
    assert "size 36 lacks step 'more'" in problems[0].what


def test_more_rows_than_letters_are_an_error() -> None:
    many = len(LETTERS) + 1
    told = [step(tuple(f"Sew {100 * n + size}{N}mm." for n in range(many))) for size in range(5)]
    _, problems = merge_steps(NAMES[:5], 0, [[s] for s in told], SMALL)
    assert len(problems) == 1 and "letters" in problems[0].what


# ---------------------------------------------------------------- nothing is lost

AMOUNTS = st.one_of(
    st.integers(1, 1200).map(lambda n: f"{n}{N}mm"),
    st.integers(1000, 2000).map(lambda n: f"{n / 10:g}{N}cm"),
    st.tuples(st.integers(1, 40), st.integers(1, 15)).map(lambda t: f"{t[0]}{N}{t[1]}/16{N}in"),
    st.integers(1, 9).map(str),
)


@given(st.lists(st.tuples(AMOUNTS, AMOUNTS, st.sampled_from(["one", "two", "five"])), min_size=5, max_size=8))
def test_each_size_reads_its_own_words(amounts: list[tuple[str, str, str]]) -> None:
    def text(a: str, b: str, word: str) -> tuple[str, ...]:
        return (f"Draw {a} up to **{b}** along the edge (3). Then {word} more, {a} in all.", "Press.")

    steps = [step(text(*of)) for of in amounts]
    told = merged(steps, base=2)
    for n, one in enumerate(steps):
        for mine, printed in zip(one.text, told.text, strict=True):
            if "**Size" not in printed:
                assert own_words(printed, told, n) == mine.replace("**", "")


@pytest.mark.parametrize("values", [(f"5{N}mm", "5 buttons"), ("", ""), ("no figure", f"5{N}mm")])
def test_what_shares_no_unit(values: tuple[str, ...]) -> None:
    assert one_unit(values) is None
    assert in_a_row(values) == f"{N}· ".join(v for v in values if v)
