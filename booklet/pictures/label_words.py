"""The words of picture labels: makers name them in plain keys, which templates/<language>/pages/labels.yaml words.

A key may hold {slots}, filled from what the maker wrote there; what is no key is the style's own, such as a piece's title.
"""

from __future__ import annotations

import re
from functools import lru_cache

from booklet.language import Tongue

_SIDED = re.compile(r"(left|right) (.+)", re.DOTALL)


def label_words(text: str, tongue: Tongue) -> str:
    """'left open' as the language words it; parts behind a comma each by itself, line breaks as the language sets them."""
    plain = text.replace("\n", " ")
    table = tongue.words.table("labels")
    if plain in table:
        return table[plain]
    for comma in re.finditer(r",([ \n])", text):
        first, rest = text[: comma.start()], text[comma.end() :]
        told = _worded(rest, tongue)
        if told is not None:
            return f"{label_words(first, tongue)},{comma[1]}{told}"
    return _worded(text, tongue) or _sided(text, tongue)


def _sided(text: str, tongue: Tongue) -> str:
    sided = _SIDED.fullmatch(text)
    return tongue.grammar.sided(sided[2], sided[1]) if sided else text


def _worded(text: str, tongue: Tongue) -> str | None:
    plain = text.replace("\n", " ")
    table = tongue.words.table("labels")
    if plain in table:
        return table[plain]
    for pattern, key in _patterns(tuple(table)):
        found = pattern.fullmatch(plain)
        if found:
            slots = {name: _sided(value, tongue) for name, value in found.groupdict().items()}
            return tongue.words(f"labels.{key}", **slots)
    return None


@lru_cache(maxsize=8)
def _patterns(keys: tuple[str, ...]) -> tuple[tuple[re.Pattern[str], str], ...]:
    """The keys that hold slots: a length is figures and a unit, anything else any words."""
    out = []
    for key in keys:
        if "{" in key:
            text = re.escape(key).replace(r"\{length\}", r"(?P<length>[±\d][^a-z]*[^\d\s]+)")
            out.append((re.compile(re.sub(r"\\\{(\w+)\\\}", r"(?P<\1>.+)", text)), key))
    return tuple(out)
