"""Lengths, minutes and allowances in words, in the booklet's unit. Rounded figures are printed, never drawn from."""

from __future__ import annotations

import math
import re

from booklet.language import tongue_of
from booklet.model import CutPiece, Edge, Piece
from booklet.pages.words import Words
from booklet.units import NBSP, Length, in_inches, show, show_both, show_cloth, told

NAMED = 3  # edges of the usual allowance that are named; more are "the others"
_FINEST = 25.4 / 32  # a declared inch length is a multiple of this; a whole number of mm hardly ever is


def length(mm: float, units: str) -> str:
    """A computed length, in the booklet's unit alone."""
    return show(mm, units)


def cloth_taken(mm: float, units: str) -> str:
    """A length of cloth as it is taken up: finer than what is sold, so that the two can be compared.

    Up to the next half inch or centimetre, so that it never looks less than what is bought for it.
    """
    step = 12.7 if units == "in" else 10.0
    whole = math.ceil(mm / step - 1e-6) * step
    return told(in_inches(whole, 2), units) if units == "in" else show_cloth(whole, units)


def cloth_length(mm: float, units: str) -> str:
    return show_cloth(mm, units)


def cloth_width(mm: float, units: str) -> str:
    """Widths are sold in whole cm or inches: '150 cm', '59 in'."""
    return told(f"{mm / 25.4:.0f}{NBSP}in" if units == "in" else f"{mm / 10:.0f}{NBSP}cm", units)


def width_up(mm: float, units: str) -> str:
    """The next whole cm or inch that is no narrower."""
    step = 25.4 if units == "in" else 10.0
    return cloth_width(math.ceil(mm / step - 1e-6) * step, units)


def weights_told(text: str, units: str) -> str:
    """A cloth's words with its weight in the booklet's unit: '110 to 150 g/m²' is '3.2 to 4.4 oz/yd²' in inches."""
    if units != "in":
        return text
    return re.sub(r"[\d.]+(?: \w+ [\d.]+)? g/m²", lambda m: told(_ounces(m.group()), units), text)


def _ounces(weight: str) -> str:
    """1 oz/yd² is 28.3495 g on 0.836127 m², 33.906 g/m² (arithmetic)."""
    ounces = re.sub(r"[\d.]+", lambda m: f"{float(m.group()) / 33.906:.1f}", weight.removesuffix("g/m²"))
    return f"{ounces.strip()}{NBSP}oz/yd²"


def declared(mm: float) -> Length:
    """A declared length with the unit it was most likely written in: whole parts of an inch, else millimetres."""
    steps = mm / _FINEST
    inches = mm > 0 and abs(steps - round(steps)) < 1e-6 and abs(mm - round(mm)) > 1e-6
    return Length.of(round(mm, 6), "in" if inches else "mm")


def both(mm: float, words: Words) -> str:
    """A declared length in both units: '3/8 in (≈ 10 mm)'."""
    return words.told(show_both(declared(mm))).replace(" ", NBSP)


def minutes(count: int, words: Words) -> str:
    return words("steps.minutes", n=count).replace(" ", NBSP)


def hours(count: int, words: Words) -> str:
    """Minutes as hours and minutes: '3 h 20 min'; under an hour as minutes."""
    whole, rest = divmod(count, 60)
    return words("steps.hours", h=whole, m=rest).replace(" ", NBSP) if whole else minutes(rest, words)


def called(name: str, units: str) -> str:
    """What the booklet's language calls a line, a slit or a mark of the draft, else its name spelt plainly."""
    return tongue_of(units).said(name.replace("_", " "))


def edge_called(edge: Edge | None, name: str, words: Words) -> str:
    """An edge's words for print: as the style calls it, else its name, spelt plainly; one half of an opened piece with its
    side."""
    base, _, side = name.partition(".")
    plain = edge.called if edge is not None and edge.called else base.replace("_", " ")
    return (
        f"{plain}{words('sheet.side', side=words('measures.' + side))}"
        if side in ("left", "right")
        else plain
    )


def allowances(piece: Piece) -> tuple[tuple[float, tuple[Edge, ...]], ...]:
    """Allowances of a piece with their edges; the one of the greatest length of edge first, then as drawn.

    The fold edge has none, and isn't listed.
    """
    found: dict[float, list[Edge]] = {}
    for edge in piece.edges:
        if edge.name != piece.fold:
            found.setdefault(round(edge.allow, 4), []).append(edge)
    usual = max(
        found,
        key=lambda a: (a > 0 and len(found[a]) > 1, a > 0, sum(e.length for e in found[a])),
        default=0.0,
    )
    rest = [a for a in found if a != usual]
    return tuple((a, tuple(found[a])) for a in [usual, *rest]) if found else ()


def allowance_words(cut: CutPiece, words: Words, units: str | None = None) -> str:
    """'12 mm (≈ 1/2 in); neckline 10 mm (≈ 3/8 in)'; with `units` in the booklet's unit alone."""
    groups = allowances(cut.piece)
    usual, parts = "", []
    for n, (mm, edges) in enumerate(groups):
        size = words("chart.none") if mm == 0 else both(mm, words) if units is None else show(mm, units)
        called = dict.fromkeys(edge_called(e, e.name, words) for e in edges)
        if len(groups) == 1 and mm > 0:
            return words("chart.allowance_all", length=size)
        if n == 0 and mm > 0 and len(called) > NAMED:
            usual = words("chart.allowance_other", length=size)
            continue
        names = ", ".join(called)
        parts.append(words("chart.allowance_of", edges=names, length=size))
    return f"{usual} {'; '.join(parts)}".strip()


def rule_words(rule: str, words: Words) -> str:
    """A rule of the style for people: measure names spelt out, signs as the trade prints them."""
    signs = words.table("operators")
    text = re.sub(r"[a-z][a-z0-9_]*", lambda m: words.name("body." + m.group(), m.group()), rule)
    for sign, printed in signs.items():
        text = re.sub(rf"\s*{re.escape(sign)}\s*", f" {printed} ", text)
    return words.told(text.strip())
