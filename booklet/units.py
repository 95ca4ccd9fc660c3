"""Lengths, angles and ratios as users write them, and as a booklet prints them.

Inside the package every length is a float in millimetres. A file declares its unit (in, cm or mm); any
value may carry its own. In print a number and its unit are one word, joined by a no-break space. A printed
figure is rounded; it is never used to draw or to compare.
"""

from __future__ import annotations

import math
import re
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from booklet.problems import Fault, Where

NBSP = "\u00a0"

# Definitions: the inch is 25.4 mm exactly, a yard 36 inches, 40 ligne one inch (arithmetic).
MM_PER: dict[str, float] = {
    "mm": 1.0,
    "cm": 10.0,
    "m": 1000.0,
    "in": 25.4,
    "ft": 304.8,
    "yd": 914.4,
    "ligne": 0.635,
}
_EXACT = {unit: Fraction(str(mm)) for unit, mm in MM_PER.items()}
MM_PER_POINT = 25.4 / 72  # the default unit of a PDF page, ISO 32000
FILE_UNITS = ("in", "cm", "mm")
METRIC = ("mm", "cm", "m")

_OTHER_SPELLINGS = {'"': "in", "\u2033": "in", "inch": "in", "inches": "in", "yard": "yd", "yards": "yd"}
LARGEST_MM = 100_000.0  # 100 m, longer than any piece, cloth or body; a slipped unit or a typing error

_FRACTION = re.compile(r"(\d{1,6})/(\d{1,6})")
_MIXED = re.compile(r"(\d{1,6})(?: +|[-\u2013])(\d{1,6})/(\d{1,6})")
_DECIMAL = re.compile(r"\d{1,12}(?:\.\d{0,12})?|\.\d{1,12}")
_AMOUNT = re.compile(r"\s*([-+\u2212]?)\s*(\d[\d./ \u2013-]*?|\.\d+)\s*([^\d\s./-]*)\s*")


@dataclass(frozen=True)
class Numbers:
    """How a language prints numbers: its decimal sign, and its words for the units that are spelt otherwise."""

    point: str = "."
    units: tuple[tuple[str, str], ...] = ()  # ('in', 'po')

    def told(self, text: str) -> str:
        """English figures and units ('1.5 cm', '5/8 in') in the language's own; figures of three parts stay."""
        if self.point != ".":
            text = re.sub(r"(?<![\d.])(\d+)\.(\d+)(?![\d.]*\.\d)", rf"\1{self.point}\2", text)
        for unit, own in self.units:
            text = re.sub(rf"(?<=\d{NBSP}){re.escape(unit)}(?!\w)", own, text)
        return text


def told(text: str, booklet_unit: str) -> str:
    """A printed number as the booklet's language writes it; a plain 'cm' or 'in' stands for English."""
    numbers = getattr(booklet_unit, "numbers", None)
    return text if numbers is None else numbers.told(text)


@dataclass(frozen=True)
class Length:
    """A length that somebody wrote down: its true size in mm, its unit, and its words for print."""

    mm: float
    unit: str
    text: str

    @classmethod
    def of(cls, mm: float, unit: str) -> Length:
        """A length of so many millimetres, worded in `unit` as if it had been written so."""
        return cls(mm, unit, _words(mm / MM_PER[unit], unit))


# ---------------------------------------------------------------- reading


def to_mm(number: float | Fraction, unit: str) -> float:
    """So many of a unit in millimetres, rounded once: 3/8 in gives 9.525 and not its neighbour."""
    return float(Fraction(number) * _EXACT[unit])


def parse_number(text: str) -> Fraction | None:
    """'1.5', '3/8', '1 1/2', '1-1/2', '1½' or '½' as an exact number; None if it is none of these."""
    plain = spell_out_fractions(text).strip()
    if mixed := _MIXED.fullmatch(plain):
        whole, over, under = (int(g) for g in mixed.groups())
        return whole + Fraction(over, under) if under else None
    if part := _FRACTION.fullmatch(plain):
        over, under = (int(g) for g in part.groups())
        return Fraction(over, under) if under else None
    return Fraction(plain) if _DECIMAL.fullmatch(plain) else None


def parse_length(
    value: Any,
    unit: str,
    *,
    booklet_unit: str | None = None,
    where: Where | None = None,
    name: str = "the length",
    negative: bool = False,
    zero: bool = True,
) -> Length:
    """Reads a plain length: a number in the file's `unit`, text with or without its own unit, or a pair
    {cm: , in: }.

    "1-1/2" is one and a half here, as the trade writes it (a formula refuses it). Of a pair, the half of
    the booklet's unit ('cm' or 'in', by default the file's) is the true one. Raises `Fault` for anything
    else, for a negative length unless `negative`, for zero unless `zero`, and for over 100 m.
    """
    if isinstance(value, Length):
        return value
    if isinstance(value, Mapping):
        return _parse_pair(value, booklet_unit or unit, where, name, negative, zero)
    number, written = _amount(value, unit, where, name)
    own = _OTHER_SPELLINGS.get(written, written) or unit
    if own not in MM_PER:
        raise Fault.of(
            "unit-unknown", f"{name} is '{value}': '{written}' is not a unit", where, f"Use {_known_units()}."
        )
    mm = to_mm(number, own)
    _check_size(mm, value, where, name, negative, zero)
    return Length(mm, own, _text_as_written(value, number, own))


def parse_ratio(
    value: Any, *, where: Where | None = None, name: str = "the ratio", negative: bool = False
) -> float:
    """Reads '8 %' as 0.08, '3/4' as 0.75, 1.5 as itself."""
    number, written = _amount(value, "", where, name)
    if written not in ("", "%"):
        raise Fault.of(
            "ratio-unit", f"{name} is '{value}', but a ratio has no unit", where, "Write 0.08 or 8 %."
        )
    if number < 0 and not negative:
        raise Fault.of("ratio-negative", f"{name} is {value}, but it cannot be below zero", where)
    return float(number / 100 if written == "%" else number)


def _amount(value: Any, unit: str, where: Where | None, name: str) -> tuple[Fraction, str]:
    """The signed number and the unit as written ('' when none) of a scalar out of a file."""
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        number = _finite(value)
        if number is None:
            raise Fault.of("not-finite", f"{name} is {str(value)[:24]}, which cannot be measured", where)
        return number, ""
    if isinstance(value, str) and (match := _AMOUNT.fullmatch(spell_out_fractions(value))):
        sign, digits, written = match.groups()
        number = parse_number(digits)
        if number is not None:
            return (-number if sign in ("-", "\u2212") else number), written
    shown = str(value)[:40] if value not in (None, "") else "empty"
    example = {"": "0.5 or 8 %", "in": "5/8, 1 1/2 or 1.5 cm"}.get(unit, "1.5 or 5/8 in")
    raise Fault.of("not-a-number", f"{name} is '{shown}', which is no number", where, f"Write {example}.")


def _finite(value: float) -> Fraction | None:
    try:
        return Fraction(value) if math.isfinite(float(value)) else None
    except OverflowError:
        return None


def _parse_pair(
    pair: Mapping[Any, Any], booklet_unit: str, where: Where | None, name: str, negative: bool, zero: bool
) -> Length:
    keys = [str(k) for k in pair]
    metric = [k for k in keys if k in METRIC]
    if len(keys) != 2 or "in" not in keys or len(metric) != 1:
        raise Fault.of(
            "length-pair",
            f"{name} is a pair of {', '.join(keys) or 'nothing'}",
            where,
            "A pair has one length in in and one in cm or mm, such as {cm: 1.5, in: 5/8}.",
        )
    # Both halves are read, so that a slip in the half not used today is found today.
    lengths = {
        k: parse_length(v, str(k), where=where, name=name, negative=negative, zero=zero)
        for k, v in pair.items()
    }
    return lengths["in"] if booklet_unit == "in" else lengths[metric[0]]


def _check_size(mm: float, value: Any, where: Where | None, name: str, negative: bool, zero: bool) -> None:
    if mm < 0 and not negative:
        raise Fault.of("length-negative", f"{name} is {value}, but it cannot be below zero", where)
    if mm == 0 and not zero:
        raise Fault.of("length-zero", f"{name} is {value}, but it must be more than zero", where)
    if abs(mm) > LARGEST_MM:
        raise Fault.of(
            "length-absurd",
            f"{name} is {value}, that is {abs(mm) / 1000:.0f} m, more than {LARGEST_MM / 1000:.0f} m",
            where,
            "Check the number and its unit.",
        )


def spell_out_fractions(text: str) -> str:
    """'1½' -> '1 1/2'; the fraction slash becomes a plain one, a no-break space a plain one."""
    out = ""
    for char in text.replace("\u2044", "/").replace(NBSP, " "):
        parts = unicodedata.decomposition(char)
        if parts.startswith("<fraction>"):
            over, under = unicodedata.normalize("NFKC", char).split("\u2044")
            out += f" {over}/{under}" if out[-1:].isdigit() else f"{over}/{under}"
        else:
            out += char
    return out


def _text_as_written(value: Any, number: Fraction, unit: str) -> str:
    """Keeps a decimal or a fraction as its writer chose it, with the unit joined on."""
    if isinstance(value, str):
        match = _AMOUNT.fullmatch(spell_out_fractions(value))
        digits = match.group(2) if match else ""
        if _FRACTION.fullmatch(digits) or _DECIMAL.fullmatch(digits):
            return f"{'-' if number < 0 else ''}{digits}{NBSP}{unit}"
    return _words(float(number), unit)


def _known_units() -> str:
    return ", ".join(MM_PER)


# ---------------------------------------------------------------- printing


def fraction_words(number: float, denominator: int) -> str:
    """'1 1/2' with a no-break space, to the nearest 1/denominator; halves go away from zero."""
    steps = _nearest_whole(abs(number) * denominator)
    whole, rest = divmod(steps, denominator)
    sign = "-" if number < 0 and steps else ""
    if not rest:
        return f"{sign}{whole}"
    part = Fraction(rest, denominator)
    words = f"{part.numerator}/{part.denominator}"
    return f"{sign}{whole}{NBSP}{words}" if whole else sign + words


def in_inches(mm: float, denominator: int = 16) -> str:
    """'5/8 in', to the nearest 1/16 unless told otherwise."""
    return f"{fraction_words(mm / 25.4, denominator)}{NBSP}in"


def in_metric(mm: float) -> str:
    """Whole millimetres under one metre ('16 mm'), from there on centimetres ('104.5 cm')."""
    whole = math.copysign(_nearest_whole(abs(mm)), mm)
    if abs(whole) < 1000:
        return f"{whole + 0.0:.0f}{NBSP}mm".replace("-0" + NBSP, "0" + NBSP)
    return f"{_decimal(whole / 10, 1)}{NBSP}cm"


def show(mm: float, booklet_unit: str) -> str:
    """A computed length in the booklet's unit alone."""
    return told(in_inches(mm) if booklet_unit == "in" else in_metric(mm), booklet_unit)


def show_cloth(mm: float, booklet_unit: str) -> str:
    """A length of cloth: metres to the centimetre ('1.55 m'), or yards to the eighth ('1 5/8 yd').

    To the nearest; who works out what to buy has rounded up already.
    """
    if booklet_unit == "in":
        return told(f"{fraction_words(mm / 914.4, 8)}{NBSP}yd", booklet_unit)
    return told(f"{mm / 1000:.2f}{NBSP}m", booklet_unit)


def show_both(length: Length) -> str:
    """A declared length in the unit it was written in, then the other, rounded: '5/8 in (≈ 16 mm)'."""
    other = in_inches(length.mm) if length.unit in METRIC else in_metric(length.mm)
    return f"{length.text} (\u2248{NBSP}{other})"


def show_percent(ratio: float, booklet_unit: str = "cm") -> str:
    """'8 %'."""
    return told(f"{_decimal(ratio * 100, 1)}{NBSP}%", booklet_unit)


def _words(number: float, unit: str) -> str:
    """Inch-like units as fractions where the number is one to 1/64, else a plain decimal."""
    if unit not in METRIC and abs(number * 64 - round(number * 64)) < 1e-9:
        return f"{fraction_words(number, 64)}{NBSP}{unit}"
    return f"{_decimal(number, 4)}{NBSP}{unit}"


def _decimal(number: float, places: int) -> str:
    text = f"{number:.{places}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text


def _nearest_whole(number: float) -> int:
    # The tiny push lets 0.5 that came out as 0.49999999999 round up on every machine alike.
    return math.floor(number + 0.5 + 1e-9)
