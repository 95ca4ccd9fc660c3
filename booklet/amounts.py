"""Numbers with a dimension, and the arithmetic that formulas do with them.

Every work takes its arguments and the file's unit in mm, and gives one amount. Lengths are millimetres,
angles degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

Kind = Literal["length", "ratio", "angle", "count"]
KINDS: tuple[Kind, ...] = ("length", "ratio", "angle", "count")

LARGEST_POWER = 8.0
EQUAL_WITHIN = 1e-6


@dataclass(frozen=True)
class Amount:
    """A number and its dimension: power 0 a pure number, 1 a length in mm, 2 an area in mm².

    `bare` marks a number that nobody has given a unit, which a length beside it turns into a length.
    """

    value: float
    power: int = 1
    bare: bool = False

    @classmethod
    def of_kind(cls, value: float, kind: Kind) -> Amount:
        """What a value declared `kind: ...` counts as in other formulas."""
        return cls(value, 1 if kind == "length" else 0)


class Refused(Exception):
    """What is wrong inside an expression, before file and line are put to it."""

    def __init__(self, code: str, what: str, mend: str = "") -> None:
        self.code, self.what, self.mend = code, what, mend
        super().__init__(what)


COMPARE: dict[str, Callable[[float, float], bool]] = {
    "<": lambda a, b: a < b,
    "<=": lambda a, b: a <= b,
    ">": lambda a, b: a > b,
    ">=": lambda a, b: a >= b,
    "==": lambda a, b: abs(a - b) <= EQUAL_WITHIN,
    "!=": lambda a, b: abs(a - b) > EQUAL_WITHIN,
}


# ---------------------------------------------------------------- arithmetic with dimensions

_POWER_WORDS = {0: "a ratio", 1: "a length", 2: "an area"}


def kind_words(amount: Amount) -> str:
    return "a bare number" if amount.bare else _POWER_WORDS.get(amount.power, f"mm to the {amount.power}")


def alike(amounts: list[Amount], mm: float, doing: str) -> list[Amount]:
    """The same amounts in one dimension; bare numbers take that of the others, in the file's unit."""
    set_ones = [a for a in amounts if not a.bare]
    if not set_ones:
        return amounts
    power = set_ones[0].power
    for other in set_ones:
        if other.power != power:
            raise Refused(
                "formula-dimension",
                f"it {doing} {kind_words(set_ones[0])} and {kind_words(other)}",
                "Multiply or divide so that both are of one kind.",
            )
    return [Amount(a.value * mm**power, power) if a.bare else a for a in amounts]


def checked(amount: Amount) -> Amount:
    if isinstance(amount.value, complex) or not math.isfinite(amount.value):
        raise Refused("formula-number", "it comes out as no number that can be measured")
    return amount


def _add(parts: list[Amount], mm: float) -> Amount:
    a, b = alike(parts, mm, "adds")
    return checked(Amount(a.value + b.value, a.power, a.bare))


def _subtract(parts: list[Amount], mm: float) -> Amount:
    a, b = alike(parts, mm, "subtracts")
    return checked(Amount(a.value - b.value, a.power, a.bare))


def _multiply(parts: list[Amount], mm: float) -> Amount:
    a, b = parts
    return checked(Amount(a.value * b.value, a.power + b.power, a.bare and b.bare))


def _divide(parts: list[Amount], mm: float) -> Amount:
    a, b = parts
    if b.value == 0:
        raise Refused("formula-zero", "it divides by zero")
    return checked(Amount(a.value / b.value, a.power - b.power, a.bare and b.bare))


def _raise(parts: list[Amount], mm: float) -> Amount:
    base, exponent = parts
    if exponent.power != 0 or abs(exponent.value) > LARGEST_POWER:
        raise Refused(
            "formula-power",
            f"a power must be a plain number from -{LARGEST_POWER:.0f} to {LARGEST_POWER:.0f}",
        )
    power = base.power * exponent.value
    if power != round(power):
        raise Refused("formula-power", f"it takes {kind_words(base)} to the power of {exponent.value:g}")
    if base.value == 0 and exponent.value < 0:
        raise Refused("formula-zero", "it divides by zero")
    return checked(Amount(base.value**exponent.value, round(power), base.bare and exponent.bare))


def _negate(parts: list[Amount], mm: float) -> Amount:
    return Amount(-parts[0].value, parts[0].power, parts[0].bare)


def _least(parts: list[Amount], mm: float) -> Amount:
    return min(alike(parts, mm, "compares"), key=lambda a: a.value)


def _most(parts: list[Amount], mm: float) -> Amount:
    return max(alike(parts, mm, "compares"), key=lambda a: a.value)


def _root(parts: list[Amount], mm: float) -> Amount:
    (a,) = parts
    if a.value < 0:
        raise Refused("formula-root", f"it takes the square root of {a.value:g}, which is below zero")
    if a.power % 2:
        raise Refused("formula-root", f"it takes the square root of {kind_words(a)}")
    return Amount(math.sqrt(a.value), a.power // 2, a.bare)


def _hypot(parts: list[Amount], mm: float) -> Amount:
    a, b = alike(parts, mm, "joins")
    return checked(Amount(math.hypot(a.value, b.value), a.power, a.bare))


def _absolute(parts: list[Amount], mm: float) -> Amount:
    return Amount(abs(parts[0].value), parts[0].power, parts[0].bare)


def _round_to(parts: list[Amount], mm: float) -> Amount:
    """To the nearest multiple of the second; halves go away from zero."""
    a, step = alike(parts, mm, "rounds")
    if step.value <= 0:
        raise Refused("formula-round", "it rounds to a step that is not above zero")
    steps = math.copysign(math.floor(abs(a.value) / step.value + 0.5 + 1e-9), a.value)
    return checked(Amount(steps * step.value, a.power, a.bare))


def _of_angle(function: Callable[[float], float]) -> Callable[[list[Amount], float], Amount]:
    def work(parts: list[Amount], mm: float) -> Amount:
        (a,) = parts
        if a.power:
            raise Refused("formula-angle", f"it wants an angle in degrees and gets {kind_words(a)}")
        result = function(math.radians(a.value))
        if abs(result) > 1e12:  # the tangent of a right angle
            raise Refused("formula-angle", f"the tangent of {a.value:g} degrees has no end")
        return Amount(result, 0)

    return work


def _arctangent(parts: list[Amount], mm: float) -> Amount:
    (a,) = parts
    if a.power:
        raise Refused("formula-angle", f"atan wants a ratio and gets {kind_words(a)}", "Divide by a length.")
    return Amount(math.degrees(math.atan(a.value)), 0)


# name: (work, least number of arguments, most)
FUNCTIONS: dict[str, tuple[Callable[[list[Amount], float], Amount], int, int]] = {
    "min": (_least, 2, 12),
    "max": (_most, 2, 12),
    "sqrt": (_root, 1, 1),
    "sin": (_of_angle(math.sin), 1, 1),
    "cos": (_of_angle(math.cos), 1, 1),
    "tan": (_of_angle(math.tan), 1, 1),
    "atan": (_arctangent, 1, 1),
    "hypot": (_hypot, 2, 2),
    "abs": (_absolute, 1, 1),
    "round_to": (_round_to, 2, 2),
    "+": (_add, 2, 2),
    "-": (_subtract, 2, 2),
    "*": (_multiply, 2, 2),
    "/": (_divide, 2, 2),
    "**": (_raise, 2, 2),
    "negative": (_negate, 1, 1),
}
FUNCTION_NAMES = tuple(name for name in FUNCTIONS if name.isidentifier() and name != "negative")
