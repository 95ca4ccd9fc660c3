"""No English word is left in the templates and translations of another language: what both write alike is listed here.

The sweeps of tests/test_languages.py hold what is printed against the words of a language's own templates, so that they can't
find a word that was left in these.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml
from helpers.printed_words import language_words, words_in
from helpers.steps import ROOT

from booklet.language import OWN, languages

ALIKE = {
    "fr": """angle auto base batiste border change contact correction cutter cutters date denim direction distances double
        face final instructions letter long machine machines min mm note notes on page pages part place placement plan
        plans point points presser rectangle second six table total triangle triple tube version viscose zigzag zoom""",
    "es": "base final letter local min mm no once plan total triple zigzag zoom",
}


def left_over(language: str, more: str = "") -> set[str]:
    """Words of the language's templates, and of `more`, that English has too and that aren't known to be alike."""
    words = language_words(language) | words_in(more)
    return set(words & language_words(OWN)) - set(ALIKE[language].split())


@pytest.mark.parametrize("language", [name for name in languages() if name != OWN])
def test_no_english_word_is_left_in_the_templates(language: str) -> None:
    assert left_over(language) == set()


@pytest.mark.parametrize("language", sorted(ALIKE))
def test_one_that_is_left_is_found(language: str) -> None:
    for text in ("Before", "the seam allowance", "wrong side up", "Press", "cut"):
        assert left_over(language, text), text


def texts(said: Any) -> Iterator[str]:
    if isinstance(said, Mapping | list):
        for value in said.values() if isinstance(said, Mapping) else said:
            yield from texts(value)
    else:
        yield str(said)


@pytest.mark.parametrize(
    "file", sorted((ROOT / "styles").glob("*/translations/*.yaml")), ids=lambda f: f"{f.parts[-3]}-{f.stem}"
)
def test_no_english_word_is_left_in_a_style_s_translation(file: Path) -> None:
    said = " ".join(texts(yaml.safe_load(file.read_text(encoding="utf-8"))["words"]))
    assert len(words_in(said)) > 20 and left_over(file.stem, said) == set()
