"""The numbers of a sum as they are printed: thread by the metre or yard, tape and elastic as the shop sells them."""

from __future__ import annotations

import math
from typing import Literal

from booklet.cloth.amounts import round_up
from booklet.units import MM_PER, NBSP, fraction_words, show, told

Units = Literal["cm", "in"]
EIGHTH = MM_PER["yd"] / 8  # of a yard, mm
TENTH = 100.0  # mm


def tape_step(units: Units) -> float:
    """Elastic, tape and piping are sold by 10 cm or by the eighth of a yard (common practice, no source)."""
    return EIGHTH if units == "in" else TENTH


def sold(mm: float, units: Units) -> tuple[float, str]:
    """A length rounded up to what is sold, mm, and its words: '0.6 m' or '5/8 yd'."""
    bought = round_up(mm, tape_step(units))
    if units == "in":
        return bought, told(f"{fraction_words(bought / MM_PER['yd'], 8)}{NBSP}yd", units)
    return bought, told(f"{bought / 1000:.1f}{NBSP}m", units)


def long_run(metres: float, units: Units, places: int = 1) -> str:
    """A length of seam or thread: '9.4 m' or '10.3 yd'."""
    number = metres * 1000 / MM_PER["yd"] if units == "in" else metres
    text = f"{number:.{places if number >= 0.95 or not places else places + 1}f}"
    plain = text.rstrip("0").rstrip(".") if "." in text else text
    return told(f"{plain}{NBSP}{'yd' if units == 'in' else 'm'}", units)


def tenths(mm: float, units: Units) -> str:
    """One unit throughout a sum: centimetres with their tenths, or inches."""
    return show(mm, units) if units == "in" else told(f"{mm / 10:.1f}{NBSP}cm", units)


def sold_wide(mm: float, units: Units) -> str:
    """A cloth's width as it is sold, in whole centimetres or inches: '150 cm', '59 in'."""
    return told(f"{mm / MM_PER['in']:.0f}{NBSP}in" if units == "in" else f"{mm / 10:.0f}{NBSP}cm", units)


def wide_enough(mm: float, units: Units) -> str:
    """The next whole centimetre or inch of a cloth's width that is no narrower."""
    step = MM_PER["in"] if units == "in" else 10.0
    return sold_wide(math.ceil(mm / step - 1e-6) * step, units)


def plural(count: int, one: str, more: str = "") -> str:
    """'1 spool', '2 spools'."""
    return f"{count} {one if count == 1 else more or one + 's'}"
