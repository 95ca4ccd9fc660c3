"""Signs that the booklet's fonts lack, and writing that runs from right to left, told before anything is printed: the sign,
the text and its line."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Where
from booklet.reading.read import Body, StyleFiles
from booklet.reading.shop import Shop
from booklet.reading.translations import own_texts
from booklet.wording import Wording, phrases

PLAIN = frozenset(map(chr, range(0x180))) | frozenset(
    "–—‘’“”„…•₂≈−×÷½¼¾²³"
)  # Latin letters and signs in every text face
_LEFTWARD = ("R", "AL", "RLE", "RLO", "RLI")  # classes of the Unicode bidirectional algorithm, UAX 9
_NOTE = re.compile(r"\{#.*?#\}", re.DOTALL)


def check_signs(style: StyleFiles, body: Body, shop: Shop, collector: Collector) -> None:
    """An error for each text of the style, its translation, the body or the shop with a sign that can't be printed."""
    odd = [(text, where) for text, where in _texts(style, body, shop) if not PLAIN.issuperset(text)]
    if not odd:
        return
    from booklet.drawing.text import lacking  # brings in the shaper

    for text, where in odd:
        short = text if len(text) <= 60 else text[:57] + "..."
        leftward = [c for c in text if unicodedata.bidirectional(c) in _LEFTWARD]
        if leftward:
            what = f"'{short}' is written from right to left ({_named(leftward[0])}), which the booklet can't set"
            collector.error("right-to-left", where, what, "Write it in letters that run from left to right.")
        for sign in lacking(text):
            if sign not in leftward:
                what = f"'{sign}' ({_named(sign)}) in '{short}' is in none of the booklet's fonts"
                collector.error("missing-glyph", where, what, "Write it another way.")


def _named(sign: str) -> str:
    return f"U+{ord(sign):04X}, {unicodedata.name(sign, 'a sign without a name').lower()}"


def _texts(style: StyleFiles, body: Body, shop: Shop) -> Iterator[tuple[str, Where]]:
    for own in own_texts(style.sources):
        yield own.words, own.where
    said = style.translations.get(shop.language)
    for key, value in (said.data.get("words") or {}).items() if said is not None else ():
        yield str(value), said.where("words", key)  # type: ignore[union-attr]
    yield f"{body.name} {body.code}".strip(), Where(body.file, 1)
    if shop.file:
        currency = shop.rates.currency if shop.rates is not None else ""
        for text in (shop.name, shop.contact, currency, *shop.terms):
            yield text, _where_said(text, shop.file)
    yield from _wording_texts(shop.wording)


def _where_said(text: str, file: str) -> Where:
    """The line on which a text begins, or the file's first."""
    first = text.split("\n")[0].split(" ")[0]
    lines = Path(file).read_text(encoding="utf-8").splitlines() if Path(file).is_file() else []
    return Where(file, next((n for n, line in enumerate(lines, 1) if first and first in line), 1))


def _wording_texts(wording: Wording) -> Iterator[tuple[str, Where]]:
    """The shop's own phrases and templates, without what is only noted in them."""
    for name, text in wording.files:
        said = _values(phrases(text)) if name.endswith(".yaml") else iter([_NOTE.sub("", text)])
        for value in said:
            for part in value.splitlines():
                if not PLAIN.issuperset(part):
                    lines = text.splitlines()
                    at = next((n for n, line in enumerate(lines, 1) if part.strip() in line), 1)
                    yield part.strip(), Where(f"{wording.folder}/{name}", at)


def _values(data: Any) -> Iterator[str]:
    if isinstance(data, dict | list):
        for value in data.values() if isinstance(data, dict) else data:
            yield from _values(value)
    elif data is not None:
        yield str(data)
