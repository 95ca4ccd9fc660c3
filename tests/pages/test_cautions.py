"""Cautions: every one that a style may name has words, and an unknown one is told."""

from __future__ import annotations

import pytest
from pydantic import TypeAdapter, ValidationError

from booklet.pages.words import words_for
from booklet.reading.style_shape import CAUTIONS, Caution


@pytest.mark.parametrize("name", CAUTIONS)
def test_every_caution_has_a_title_and_lines(name: str) -> None:
    words = words_for("en")
    assert words(f"cautions.{name}.title")
    assert words.lines(f"cautions.{name}.lines")


def test_no_caution_has_words_but_no_name() -> None:
    assert set(words_for("en").data["cautions"]) == set(CAUTIONS)


def test_an_unknown_caution_is_told_and_a_sentence_of_ones_own_is_kept() -> None:
    check = TypeAdapter(Caution).validate_python
    assert check("Hang it away from an open fire.") == "Hang it away from an open fire."
    with pytest.raises(ValidationError, match="no caution 'irons'"):
        check("irons")
