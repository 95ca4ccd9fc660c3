"""Cuts a formula's text into words: numbers with their unit, names, runs of edges, calls, signs."""

from __future__ import annotations

import re
from dataclasses import dataclass
from fractions import Fraction

from booklet.problems import Fault, Where
from booklet.units import parse_number, spell_out_fractions


@dataclass(frozen=True)
class Word:
    """One word. `kind`: number, word, call (a name before its bracket), run, sign, end."""

    kind: str
    text: str
    number: Fraction = Fraction(0)
    unit: str = ""


_UNCLEAR = re.compile(r"(?<![\w.])(\d+)[-\u2013](\d+/\d+)")
_LENGTH_OF = re.compile(r"length\s+of\b\s*")
_RUN_CALL = re.compile(r"(ring|chain|straight)\s*\(")
_NAME = re.compile(r"[^\W\d]\w*(?:\.[^\W\d]\w*)*")
_SIGN = re.compile(r"\*\*|<=|>=|==|!=|[-+*/(),<>]")
_DECIMAL = r"\d{1,12}(?:\.\d{0,30})?(?![\d.])|\.\d{1,30}(?![\d.])"
_UNIT = r"(?:\s*(in|cm|mm|ft|yd|m|deg|\u00b0|%)(?![\w]))"
# With a unit, or after a whole number, 5/8 is one number; alone it is a division, which comes to the same.
_NUMBER = re.compile(
    rf"(?P<mixed>\d{{1,6}}\s+\d{{1,6}}/\d{{1,6}}(?![\d.])){_UNIT}?"
    rf"|(?P<part>\d{{1,6}}/\d{{1,6}}(?![\d.])){_UNIT}"
    rf"|(?P<plain>{_DECIMAL}){_UNIT}?"
)


def split_words(text: str, where: Where | None) -> tuple[Word, ...]:
    """The words of a formula or condition, an end word last. Raises `Fault` for what is no word at all."""
    _refuse_unclear_fraction(text, where)
    plain = spell_out_fractions(text).replace("\u2212", "-").replace("\u00d7", "*")
    words: list[Word] = []
    at = 0
    while True:
        while at < len(plain) and plain[at].isspace():
            at += 1
        if at == len(plain):
            return (*words, Word("end", ""))
        word, at = _next_word(plain, at, where)
        words.append(word)


def _refuse_unclear_fraction(text: str, where: Where | None) -> None:
    """'1-1/2' is one and a half to the trade and a subtraction to arithmetic; so the writer is asked."""
    if unclear := _UNCLEAR.search(spell_out_fractions(text)):
        whole, part = unclear.groups()
        raise Fault.of(
            "formula-fraction",
            f"in the formula '{text.strip()[:60]}' it is not clear what '{unclear.group()}' means",
            where,
            f"Write '{whole} {part}' for {whole} and {part}, or '{whole} - {part}' to subtract.",
        )


def _next_word(text: str, at: int, where: Where | None) -> tuple[Word, int]:
    if number := _NUMBER.match(text, at):
        return _number(text, number, where), number.end()
    if (phrase := _LENGTH_OF.match(text, at)) or _RUN_CALL.match(text, at):
        start = phrase.end() if phrase else at
        end = _run_end(text, start, where)
        return Word("run", " ".join(text[start:end].split())), end
    if name := _NAME.match(text, at):
        if "." in name.group() or text[name.end() : name.end() + 1] == "[":
            end = _run_end(text, at, where)
            return Word("run", " ".join(text[at:end].split())), end
        rest = text[name.end() :].lstrip()
        logic = name.group() in ("and", "or", "not")
        return Word("call" if rest.startswith("(") and not logic else "word", name.group()), name.end()
    if sign := _SIGN.match(text, at):
        return Word("sign", sign.group()), sign.end()
    raise _refused(text, at, where)


def _number(text: str, match: re.Match[str], where: Where | None) -> Word:
    digits = " ".join((match["mixed"] or match["part"] or match["plain"]).split())
    number = parse_number(digits)
    if number is None:
        raise Fault.of(
            "formula-zero", f"in the formula '{text.strip()[:60]}' '{digits}' divides by zero", where
        )
    unit = next((g for g in (match[2], match[4], match[6]) if g), "")
    return Word("number", match.group().strip(), number, "deg" if unit == "\u00b0" else unit)


def _run_end(text: str, at: int, where: Where | None) -> int:
    """Where the run at `at` ends: a name, or ring(...) with its brackets; then [from..to] if there."""
    call = _RUN_CALL.match(text, at)
    if call:
        end = _closing(text, call.end() - 1, where)
    elif name := _NAME.match(text, at):
        end = name.end()
    else:
        raise Fault.of(
            "formula-run", f"in the formula '{text.strip()[:60]}' an edge is missing after 'length of'", where
        )
    return _closing(text, end, where) if text[end : end + 1] == "[" else end


def _closing(text: str, opening: int, where: Where | None) -> int:
    """The position after the bracket that closes the one at `opening`."""
    depth = 0
    for i in range(opening, len(text)):
        depth += (text[i] in "([") - (text[i] in ")]")
        if depth == 0:
            return i + 1
    raise Fault.of(
        "formula-words", f"in the formula '{text.strip()[:60]}' '{text[opening]}' is never closed", where
    )


def _refused(text: str, at: int, where: Where | None) -> Fault:
    mend = {"^": "Write ** for a power.", "=": "Write == to compare.", ",": "Write a point in decimals."}
    return Fault.of(
        "formula-words",
        f"in the formula '{text.strip()[:60]}' '{text[at]}' means nothing",
        where,
        mend.get(text[at], ""),
    )
