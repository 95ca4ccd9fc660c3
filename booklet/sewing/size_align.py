"""Sentences of several sizes laid beside each other: what they share, and the figures in which they differ.

A text is parted into tokens: numbers with their units, words, signs and spaces. Two tokens are of one kind if they are
alike but for their numbers ('12 mm' and '1.2 cm', '3' and 'three').
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, NamedTuple, TypeVar

from booklet.units import NBSP

_NUMBER = rf"\d+(?:[.,]\d+)?(?:{NBSP}\d+/\d+)?(?!\d)"
_QUANTITY = re.compile(rf"(?P<number>\d+/\d+|{_NUMBER})(?:{NBSP}(?P<unit>[^\W\d_]+|%))?")
_TOKEN = re.compile(rf"\*\*|{_QUANTITY.pattern}|[^\W\d_]+(?:['’-][^\W\d_]+)*|\s|[^\w\s]|\w")
_LENGTHS = ("mm", "cm", "m", "in", "yd")
LONGEST_PHRASE = 4  # words of a counted phrase that may stand in a table
BOLD = "**"
COUNT = "#"  # the mask of a bare number; one with a unit begins with it
DOT = f"{NBSP}· "  # between figures in size order; a line never begins with it
_T = TypeVar("_T")


class Token(NamedTuple):
    text: str
    mask: str  # without its number: what is alike in two sizes that differ in figures alone

    @property
    def number(self) -> bool:
        return self.mask.startswith(COUNT)


def tokens(text: str, numbers: Sequence[str] = ()) -> list[Token]:
    """The tokens of a text; `numbers` are the language's numbers in words."""
    words = [str(n) for n in numbers]
    return [Token(m.group(), _mask(m.group(), words)) for m in _TOKEN.finditer(text)]


def _mask(token: str, numbers: Sequence[str]) -> str:
    quantity = _QUANTITY.fullmatch(token)
    if quantity:
        unit = quantity["unit"]
        return "# length" if unit in _LENGTHS else f"# {unit}" if unit else "#"
    return "#" if token.lower() in numbers else token


# ---------------------------------------------------------------- alignment

_Part = tuple[tuple[Token, ...], ...]  # a stretch of a sentence, for each size


def shared(a: Sequence[Any], b: Sequence[Any]) -> list[Any]:
    """The longest run of things, gaps allowed, that both have in this order."""
    if list(a) == list(b):
        return list(a)
    best = [[0] * (len(b) + 1) for _ in range(len(a) + 1)]
    for i in range(len(a) - 1, -1, -1):
        for j in range(len(b) - 1, -1, -1):
            best[i][j] = best[i + 1][j + 1] + 1 if a[i] == b[j] else max(best[i + 1][j], best[i][j + 1])
    out, i, j = [], 0, 0
    while i < len(a) and j < len(b):
        if a[i] == b[j]:
            out.append(a[i])
            i, j = i + 1, j + 1
        elif best[i + 1][j] >= best[i][j + 1]:
            i += 1
        else:
            j += 1
    return out


def parted(items: Sequence[_T], kinds: Sequence[Any], common: Sequence[Any]) -> list[list[_T]]:
    """Items parted at the common ones, each of which stands alone: other, common, other, common, ..., other."""
    out: list[list[_T]] = [[]]
    at = 0
    for item, kind in zip(items, kinds, strict=True):
        if at < len(common) and kind == common[at]:
            out += [[item], []]
            at += 1
        else:
            out[-1].append(item)
    return out


def aligned(sentences: Sequence[Sequence[Token]]) -> list[str | tuple[str, ...]] | None:
    """A sentence in parts: what all sizes share, and for each place that differs the values, one a size.

    None where the sentences differ in more than numbers and the words counted by them.
    """
    masks = [tuple(t.mask for t in told) for told in sentences]
    common: list[Any] = list(masks[0])
    for mask in dict.fromkeys(masks):
        common = shared(common, mask)
    split = [parted(told, mask, common) for told, mask in zip(sentences, masks, strict=True)]
    parts: list[_Part] = [tuple(tuple(p[n]) for p in split) for n in range(2 * len(common) + 1)]
    parts = [p for p in parts if any(p)]
    at = 0
    while at < len(parts):
        part = parts[at]
        if len(set(part)) > 1 and not all(len(p) == 1 and p[0].number for p in part):
            first = _counted_from(parts, at)
            joined = tuple(
                tuple(t for p in parts[first : at + 1] for t in p[n]) for n in range(len(sentences))
            )
            if not all(_is_phrase(p) for p in joined):
                return None
            parts[first : at + 1] = [joined]
            at = first
        at += 1
    out: list[str | tuple[str, ...]] = []
    for part in parts:
        told = ["".join(t.text for t in p) for p in part]
        out.append(told[0] if len(set(told)) == 1 else tuple(t.replace(BOLD, "") for t in told))
    return out


def _counted_from(parts: Sequence[_Part], at: int) -> int:
    """The part with the number that counts the words at `at`, with its bold mark; `at` itself where there is none."""
    if all(any(t.number for t in p) for p in parts[at]):
        return at
    first = at - 1
    while first >= 0 and all(t.text in (BOLD, " ") for p in parts[first] for t in p):
        first -= 1
    if first < 0 or not all(p and p[0].number for p in parts[first]):
        return at
    bold = [t.text for p in parts[first : at + 1] for t in p[0]].count(BOLD) % 2
    return first - 1 if bold and first else first


def _is_phrase(part: Sequence[Token]) -> bool:
    """Whether it is a count with a few words that may stand in a table; a length with words is not."""
    words = [t for t in part if t.text not in (BOLD, " ")]
    closed = [t.text for t in part].count(BOLD) % 2 == 0
    return closed and any(t.mask == COUNT for t in part) and len(words) <= LONGEST_PHRASE


# ---------------------------------------------------------------- figures


def quantities(text: str) -> list[str]:
    """The numbers of a text with their units, in order."""
    return [m.group() for m in _QUANTITY.finditer(text)]


def one_unit(values: Sequence[str], point: str = ".") -> tuple[str, tuple[str, ...]] | None:
    """The unit of quantities and their bare numbers; of millimetres and centimetres together, centimetres
    with the language's decimal `point`.

    Empty values stay empty. None where a value is no quantity, or units differ.
    """
    found = [_QUANTITY.fullmatch(v) for v in values]
    if any(m is None for m, v in zip(found, values, strict=True) if v) or not any(values):
        return None
    units = dict.fromkeys(m["unit"] or "" for m in found if m)
    if len(units) == 1:
        return next(iter(units)), tuple(m["number"] if m else "" for m in found)
    if set(units) != {"mm", "cm"} or any(
        m and m["unit"] == "mm" and not m["number"].isdigit() for m in found
    ):
        return None
    return "cm", tuple("" if m is None else _in_cm(m, point) for m in found)


def _in_cm(quantity: re.Match[str], point: str) -> str:
    number = str(quantity["number"])
    if quantity["unit"] != "mm":
        return number
    whole, tenth = divmod(int(number), 10)
    return f"{whole}{point}{tenth}" if tenth else str(whole)


def in_a_row(values: Sequence[str], point: str = ".") -> str:
    """'345 · 352 · 360 mm': the figures of the sizes that have one."""
    told = [v for v in values if v]
    of_one = one_unit(told, point)
    if of_one is None:
        return DOT.join(told)
    unit, numbers = of_one
    return DOT.join(numbers) + (f"{NBSP}{unit}" if unit else "")
