"""Signs that the booklet's fonts lack, told before anything is printed: the sign, the text and its line."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator

from booklet.problems import Collector, Where
from booklet.reading.read import Body, StyleFiles
from booklet.reading.shop import Shop
from booklet.reading.translations import own_texts

PLAIN = frozenset(map(chr, range(0x180))) | frozenset(
    "–—‘’“”„…•₂≈−×÷½¼¾²³"
)  # Latin letters and signs in every text face


def check_signs(style: StyleFiles, body: Body, shop: Shop, collector: Collector) -> None:
    """An error for each text of the style, its translation, the body or the shop with a sign that no font has."""
    odd = [(text, where) for text, where in _texts(style, body, shop) if not PLAIN.issuperset(text)]
    if not odd:
        return
    from booklet.drawing.text import lacking  # brings in the shaper

    for text, where in odd:
        for sign in lacking(text):
            name = unicodedata.name(sign, "a sign without a name").lower()
            short = text if len(text) <= 60 else text[:57] + "..."
            what = f"'{sign}' (U+{ord(sign):04X}, {name}) in '{short}' is in none of the booklet's fonts"
            collector.error("missing-glyph", where, what, "Write it another way.")


def _texts(style: StyleFiles, body: Body, shop: Shop) -> Iterator[tuple[str, Where]]:
    for own in own_texts(style.sources):
        yield own.words, own.where
    said = style.translations.get(shop.language)
    for key, value in (said.data.get("words") or {}).items() if said is not None else ():
        yield str(value), said.where("words", key)  # type: ignore[union-attr]
    yield f"{body.name} {body.code}".strip(), Where(body.file, 1)
    if shop.file:
        for text in (shop.name, shop.contact, *shop.terms):
            yield text, Where(shop.file, 1)
