"""The phrases that pages print, by language: templates/<language>/pages/*.yaml, each value a phrase or a list, with a shop's
own laid over them by key.

A phrase may hold {slots}. A phrase that counts is a mapping {one: ..., more: ...} and is asked for with `count`.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from booklet.reading.wording import laid_phrases
from booklet.wording import NONE, Wording


@dataclass(frozen=True)
class Words:
    """Phrases of one language. `words("chart.title", n=3)` fills a phrase; a missing key or slot is a KeyError."""

    language: str
    data: Mapping[str, Any]
    wording: Wording = NONE  # the shop's own texts, already part of `data`

    def __call__(self, key: str, **slots: object) -> str:
        value = self._at(key)
        if isinstance(value, Mapping):
            value = value["one" if slots.get("count") == 1 else "more"]
        return str(value).format_map({k: str(v) for k, v in slots.items()})

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


@lru_cache(maxsize=8)
def words_for(language: str, wording: Wording = NONE) -> Words:
    """Raises FileNotFoundError for a language without templates."""
    data = laid_phrases(language, wording)
    if not data:
        raise FileNotFoundError(f"there are no page texts for the language '{language}'")
    return Words(language, data, wording)


def sentence(text: str) -> str:
    """With a capital at its start."""
    return text[:1].upper() + text[1:]
