"""The phrases that pages print, by language: templates/<language>/pages/*.yaml, each value a phrase or a list, with a shop's
own laid over them by key.

A phrase may hold {slots}. A phrase that counts is a mapping {one: ..., more: ...} and is asked for with `count`.
"""

from __future__ import annotations

from booklet.language import Words, tongue_for
from booklet.wording import NONE, Wording

__all__ = ["Words", "sentence", "words_for"]


def words_for(language: str, wording: Wording = NONE) -> Words:
    """Raises FileNotFoundError for a language without templates."""
    return tongue_for(language, wording).words


def sentence(text: str) -> str:
    """With a capital at its start."""
    return text[:1].upper() + text[1:]
