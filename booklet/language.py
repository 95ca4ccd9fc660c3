"""The language that a booklet is printed in: its phrases, its grammar, and the style's own words in it.

A `Manner` is what tells every stage how to print: the units, 'cm' or 'in', and with them the language. It is a text, so
that code which asks only for the units (`units == "in"`) takes it or a plain 'cm' alike; a plain one prints English.
"""

from __future__ import annotations

import string
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal, cast

import yaml

from booklet.grammar import Grammar
from booklet.resources import data_folder
from booklet.units import Numbers
from booklet.wording import NONE, Wording, laid_over, laid_phrases, phrases

OWN = "en"  # the language that the package's own files and the shipped styles are written in
UnitName = Literal["cm", "in"]


class _Filler(string.Formatter):
    """Fills {slots}; a slot such as {piece:of_the} takes the article that the language gives the word."""

    def __init__(self, grammar: Grammar) -> None:
        self.grammar = grammar

    def format_field(self, value: Any, format_spec: str) -> str:
        return self.grammar.with_article(format_spec, str(value)) if format_spec else str(value)


@dataclass(frozen=True, eq=False)
class Words:
    """Phrases of one language. `words("chart.title", n=3)` fills a phrase; a missing key or slot is a KeyError."""

    language: str
    data: Mapping[str, Any]
    wording: Wording = NONE  # the shop's own texts, already part of `data`
    grammar: Grammar | None = None

    def __call__(self, key: str, **slots: object) -> str:
        value = self._at(key)
        if isinstance(value, Mapping):
            value = value["one" if slots.get("count") == 1 else "more"]
        if self.grammar is None:
            return str(value).format_map({k: str(v) for k, v in slots.items()})
        return self.grammar.spaced(_Filler(self.grammar).vformat(str(value), (), slots))

    def told(self, text: str) -> str:
        """Figures and units as the language writes them."""
        return text if self.grammar is None else self.grammar.numbers.told(text)

    def spaced(self, text: str) -> str:
        """A text put together by the program, with the language's spaces before its signs."""
        return text if self.grammar is None else self.grammar.spaced(text)

    def lines(self, key: str) -> tuple[str, ...]:
        """A list of phrases."""
        return tuple(str(v) for v in self._at(key))

    def table(self, key: str) -> dict[str, str]:
        """A mapping of phrases, in the file's order."""
        return {str(k): str(v) for k, v in self._at(key).items()}

    def has(self, key: str) -> bool:
        try:
            self._at(key)
        except KeyError:
            return False
        return True

    def name(self, key: str, fallback: str) -> str:
        """The words of a name that a style may also coin itself ('bust_girth'); else the name, spelt plainly."""
        return self(key) if self.has(key) else fallback.replace("_", " ")

    def _at(self, key: str) -> Any:
        value: Any = self.data
        for part in key.split("."):
            if not isinstance(value, Mapping) or part not in value:
                raise KeyError(f"no words for '{key}' in language '{self.language}'")
            value = value[part]
        return value


@dataclass(frozen=True, eq=False)
class Tongue:
    """Everything that a language says in one booklet."""

    language: str
    words: Words
    grammar: Grammar
    names: Mapping[str, str]  # English words of the style -> what they are called here

    @property
    def small(self) -> Mapping[str, Any]:
        return self.grammar.small

    def said(self, words: str) -> str:
        """The style's own words in this language; as they are where nobody has translated them."""
        return self.names.get(words, self.names.get(words.lower(), words)) if self.names else words

    def put(self, key: str, **slots: object) -> str:
        """A phrase of words.yaml, filled in."""
        return self.grammar.spaced(_Filler(self.grammar).vformat(str(self.small[key]), (), slots))


class Manner(str):
    """'cm' or 'in', and the language that goes with it."""

    tongue: Tongue

    def __new__(cls, units: str, tongue: Tongue) -> Manner:
        made = super().__new__(cls, units)
        made.tongue = tongue
        return made

    @property
    def numbers(self) -> Numbers:
        return self.tongue.grammar.numbers

    def __reduce__(self) -> tuple[Any, ...]:
        t = self.tongue
        return _manner_again, (
            str(self),
            t.language,
            t.words.wording,
            tuple(t.names.items()),
            t.grammar.own_feminine,
        )


def _manner_again(
    units: str, language: str, wording: Wording, names: tuple[tuple[str, str], ...], feminine: tuple[str, ...]
) -> Manner:
    return Manner(units, tongue_for(language, wording, names, feminine))


def manner(
    units: str,
    language: str = OWN,
    wording: Wording = NONE,
    names: Mapping[str, str] | None = None,
    feminine: Sequence[str] = (),
) -> UnitName:
    """How a booklet prints. `names` are a style's words in the language, `feminine` its nouns of that gender."""
    tongue = tongue_for(language, wording, tuple((names or {}).items()), tuple(feminine))
    return cast("UnitName", Manner(units, tongue))


def tongue_of(units: str) -> Tongue:
    """The language in which a booklet of these units prints."""
    return units.tongue if isinstance(units, Manner) else tongue_for(OWN)


def say(units: str, key: str, **slots: object) -> str:
    """A phrase of templates/<language>/pages, its numbers with the language's own decimal sign."""
    tongue = tongue_of(units)
    told = {k: tongue.grammar.numbers.told(v) if isinstance(v, str) else v for k, v in slots.items()}
    return tongue.words(key, **told)


@lru_cache(maxsize=32)
def tongue_for(
    language: str,
    wording: Wording = NONE,
    names: tuple[tuple[str, str], ...] = (),
    feminine: tuple[str, ...] = (),
) -> Tongue:
    """Raises FileNotFoundError for a language without templates."""
    grammar = Grammar.of(small_words(language, wording), feminine)
    data = laid_phrases(language, wording)
    if not data:
        raise FileNotFoundError(f"there are no page texts for the language '{language}'")
    words = Words(language, _spaced(data, grammar), wording, grammar)
    called = {key: grammar.spaced(said) for key, said in {**common_names(language), **dict(names)}.items()}
    return Tongue(language, words, grammar, called)


def _spaced(data: Any, grammar: Grammar) -> Any:
    if isinstance(data, Mapping):
        return {k: _spaced(v, grammar) for k, v in data.items()}
    if isinstance(data, list):
        return [_spaced(v, grammar) for v in data]
    return grammar.spaced(data) if isinstance(data, str) else data


@lru_cache(maxsize=8)
def small_words(language: str, wording: Wording = NONE) -> Mapping[str, Any]:
    """The language's words.yaml, a shop's own laid over it."""
    path = data_folder("templates") / language / "steps" / "words.yaml"
    own = yaml.safe_load(path.read_text(encoding="utf-8"))
    text = wording.text("steps/words.yaml")
    return own if text is None else laid_over(own, phrases(text))


@lru_cache(maxsize=8)
def common_names(language: str) -> Mapping[str, str]:
    """Words that many styles use for pieces, edges and marks, in this language: templates/<language>/names.yaml."""
    path = data_folder("templates") / language / "names.yaml"
    if not path.is_file():
        return {}
    return {str(k): str(v) for k, v in phrases(path.read_text(encoding="utf-8")).items()}


def languages() -> tuple[str, ...]:
    """The languages that there are templates for."""
    folders = data_folder("templates").iterdir()
    return tuple(sorted(f.name for f in folders if (f / "steps" / "words.yaml").is_file()))
