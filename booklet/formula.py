"""Arithmetic formulas and conditions, as drafts write them.

A formula is numbers, names of values, the signs + - * / ** and brackets, a few functions, lengths with
their own unit ('2 cm', '5/8 in', '1 1/2') and lengths of edges: `length of ring(front.neckline,
back.neckline)`; a name with a dot in it is an edge, and stands for its length. It is read by the small
grammar below, which knows nothing else, and is bounded in size.

Every part has a dimension. A bare number is a factor where it multiplies or divides, and a length in the
file's unit where it is added to, subtracted from or compared with a length. Lengths are millimetres, angles
are degrees.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any

from booklet.amounts import (
    COMPARE,
    EQUAL_WITHIN,
    FUNCTION_NAMES,
    FUNCTIONS,
    Amount,
    Kind,
    Refused,
    alike,
    checked,
    kind_words,
)
from booklet.formula_words import Word, split_words
from booklet.problems import Fault, Where
from booklet.units import MM_PER, parse_length, to_mm

LONGEST_TEXT = 500
MOST_WORDS = 160
DEEPEST = 30
LARGEST_MM = 100_000.0


# What a formula asks of the draft: a value (a plain float is a length in mm), and the length of a run in mm.
Lookup = Callable[[str], "float | Amount"]
LengthOf = Callable[[str], float]


@dataclass(frozen=True)
class _Scope:
    lookup: Lookup
    length_of: LengthOf
    mm: float  # one of the file's unit


# ---------------------------------------------------------------- the tree


@dataclass(frozen=True)
class _Constant:
    amount: Amount

    def value(self, scope: _Scope) -> Amount:
        return self.amount


@dataclass(frozen=True)
class _Name:
    name: str

    def value(self, scope: _Scope) -> Amount:
        found = scope.lookup(self.name)
        return found if isinstance(found, Amount) else Amount(float(found))


@dataclass(frozen=True)
class _Run:
    run: str

    def value(self, scope: _Scope) -> Amount:
        return Amount(float(scope.length_of(self.run)))


@dataclass(frozen=True)
class _Call:
    function: str
    parts: tuple[Any, ...]

    def value(self, scope: _Scope) -> Amount:
        return FUNCTIONS[self.function][0]([part.value(scope) for part in self.parts], scope.mm)


@dataclass(frozen=True)
class _Compare:
    sign: str
    left: Any
    right: Any

    def holds(self, scope: _Scope) -> bool:
        a, b = alike([self.left.value(scope), self.right.value(scope)], scope.mm, "compares")
        return COMPARE[self.sign](a.value, b.value)


@dataclass(frozen=True)
class _Logic:
    word: str
    parts: tuple[Any, ...]

    def holds(self, scope: _Scope) -> bool:
        if self.word == "not":
            return not self.parts[0].holds(scope)
        return (all if self.word == "and" else any)(part.holds(scope) for part in self.parts)


# ---------------------------------------------------------------- reading


class _Reader:
    """Reads words by descent, loosest sign first; gathers the names and runs met."""

    def __init__(self, words: tuple[Word, ...]) -> None:
        self.words = words
        self.at = 0
        self.depth = 0
        self.names: list[str] = []
        self.runs: list[str] = []

    def peek(self, *texts: str) -> bool:
        word = self.words[self.at]
        return word.kind in ("sign", "word") and word.text in texts

    def take(self, *texts: str) -> str | None:
        if not self.peek(*texts):
            return None
        self.at += 1
        return self.words[self.at - 1].text

    def expect(self, text: str) -> None:
        if not self.take(text):
            raise Refused("formula-words", f"'{text}' is missing {self.here()}")

    def here(self) -> str:
        word = self.words[self.at]
        return f"before '{word.text}'" if word.text else "at the end"

    def finish(self) -> None:
        if self.words[self.at].kind != "end":
            word = self.words[self.at].text
            mend = "Write decimals with a point." if word == "," else ""
            mend = "Only a condition compares." if word in COMPARE else mend
            raise Refused("formula-words", f"'{word}' cannot stand where it stands", mend)

    def sum(self) -> Any:
        self.depth += 1
        if self.depth > DEEPEST:
            raise Refused("formula-size", "its brackets are nested too deep")
        tree = self.product()
        while sign := self.take("+", "-"):
            tree = _Call(sign, (tree, self.product()))
        self.depth -= 1
        return tree

    def product(self) -> Any:
        tree = self.signed()
        while sign := self.take("*", "/"):
            tree = _Call(sign, (tree, self.signed()))
        return tree

    def signed(self) -> Any:
        minus = False
        while sign := self.take("+", "-"):
            minus ^= sign == "-"
        tree = self.power()
        return _Call("negative", (tree,)) if minus else tree

    def power(self) -> Any:
        tree = self.atom()
        if not self.take("**"):
            return tree
        minus = bool(self.take("-"))
        exponent = self.atom()
        return _Call("**", (tree, _Call("negative", (exponent,)) if minus else exponent))

    def atom(self) -> Any:
        word = self.words[self.at]
        if self.take("("):
            tree = self.sum()
            self.expect(")")
            return tree
        self.at += 1
        if word.kind == "number":
            return _Constant(_literal(word))
        if word.kind == "run":
            self.runs.append(word.text)
            return _Run(word.text)
        if word.kind == "call":
            return self.call(word.text)
        if word.kind == "word" and word.text not in ("and", "or", "not"):
            if word.text.lower() in ("nan", "inf", "infinity"):
                raise Refused("formula-number", f"'{word.text}' is no number that can be measured")
            if word.text == "pi":
                return _Constant(Amount(math.pi, 0))
            self.names.append(word.text)
            return _Name(word.text)
        self.at -= 1
        raise Refused("formula-words", f"a number or a name is missing {self.here()}")

    def call(self, function: str) -> Any:
        if function not in FUNCTION_NAMES:
            raise Refused(
                "formula-function",
                f"there is no function '{function}'",
                f"The functions are {', '.join(FUNCTION_NAMES)}.",
            )
        self.expect("(")
        parts = [self.sum()]
        while self.take(","):
            parts.append(self.sum())
        self.expect(")")
        _, least, most = FUNCTIONS[function]
        if not least <= len(parts) <= most:
            wanted = f"{least}" if least == most else f"{least} to {most}"
            raise Refused("formula-arguments", f"{function} wants {wanted} values and gets {len(parts)}")
        return _Call(function, tuple(parts))

    def either(self) -> Any:
        self.depth += 1
        if self.depth > DEEPEST:
            raise Refused("formula-size", "its brackets are nested too deep")
        parts = [self.both()]
        while self.take("or"):
            parts.append(self.both())
        self.depth -= 1
        return parts[0] if len(parts) == 1 else _Logic("or", tuple(parts))

    def both(self) -> Any:
        parts = [self.comparison()]
        while self.take("and"):
            parts.append(self.comparison())
        return parts[0] if len(parts) == 1 else _Logic("and", tuple(parts))

    def comparison(self) -> Any:
        if self.take("not"):
            return _Logic("not", (self.comparison(),))
        if self.peek("(") and (tree := self._bracketed_condition()):
            return tree
        left = self.sum()
        sign = self.take(*COMPARE)
        if sign is None:
            raise Refused("condition-words", f"a comparison (<, <=, >, >=, ==, !=) is missing {self.here()}")
        right = self.sum()
        if self.peek(*COMPARE):
            raise Refused("condition-words", "it compares twice in a row", "Join two comparisons with 'and'.")
        return _Compare(sign, left, right)

    def _bracketed_condition(self) -> Any:
        """A condition in brackets, or nothing and back at the bracket when it holds a sum."""
        at, depth, names, runs = self.at, self.depth, list(self.names), list(self.runs)
        try:
            self.expect("(")
            tree = self.either()
            self.expect(")")
            return tree
        except Refused:
            self.at, self.depth, self.names, self.runs = at, depth, names, runs
            return None


def _literal(word: Word) -> Amount:
    if word.unit == "":
        return Amount(float(word.number), 0, bare=True)
    if word.unit == "%":
        return Amount(float(word.number / 100), 0)
    if word.unit == "deg":
        return Amount(float(word.number), 0)
    return Amount(to_mm(word.number, word.unit))


# ---------------------------------------------------------------- what callers use


@dataclass(frozen=True)
class Formula:
    """A formula that has been read: `names` and `runs` are what it depends on, each once, in order."""

    text: str
    unit: str
    where: Where | None
    names: tuple[str, ...]
    runs: tuple[str, ...]
    _tree: Any

    def amount(self, lookup: Lookup, length_of: LengthOf) -> Amount:
        """Its value with its dimension. Raises `Fault`, with this formula's place, for what cannot be worked out."""
        try:
            return checked(self._tree.value(_Scope(lookup, length_of, MM_PER[self.unit])))
        except (
            Fault
        ) as fault:  # what a name or an edge in it has to say, told here where it has no place of its own
            raise fault.at(self.where) from None
        except Refused as refused:
            raise _fault(refused, self.text, self.where) from None
        except OverflowError:
            raise _fault(
                Refused("formula-number", "its numbers grow too large"), self.text, self.where
            ) from None

    def evaluate(self, lookup: Lookup, length_of: LengthOf, kind: Kind = "length") -> float:
        """Its value as a length in mm, or a plain number where `kind` is ratio, angle (degrees) or count."""
        amount = self.amount(lookup, length_of)
        try:
            return _as_kind(amount, kind, MM_PER[self.unit])
        except Refused as refused:
            raise _fault(refused, self.text, self.where) from None


@dataclass(frozen=True)
class Condition:
    """A `when:`. `options` are the options it names, each with the choices that fulfil it; all must hold."""

    text: str
    unit: str
    where: Where | None
    names: tuple[str, ...]
    runs: tuple[str, ...]
    options: tuple[tuple[str, tuple[str, ...]], ...]
    _trees: tuple[Any, ...]

    def chosen(self, options: Mapping[str, str]) -> bool:
        """Whether the choices made fulfil the part that speaks of options."""
        return all(options.get(name) in wanted for name, wanted in self.options)

    def holds(self, lookup: Lookup, length_of: LengthOf, options: Mapping[str, str]) -> bool:
        """Whether it holds. Values are not asked for when the choices already fail."""
        if not self.chosen(options):
            return False
        try:
            return all(tree.holds(_Scope(lookup, length_of, MM_PER[self.unit])) for tree in self._trees)
        except Fault as fault:
            raise fault.at(self.where) from None
        except Refused as refused:
            raise _fault(refused, self.text, self.where, "condition") from None


def parse_formula(
    value: Any, unit: str, where: Where | None = None, *, booklet_unit: str | None = None
) -> Formula:
    """Reads a number, a formula's text, or a pair {cm: , in: }, in a file whose unit is `unit`."""
    if isinstance(value, Mapping):
        length = parse_length(value, unit, booklet_unit=booklet_unit, where=where, negative=True)
        return Formula(length.text, unit, where, (), (), _Constant(Amount(length.mm)))
    if isinstance(value, (int, float)) and not isinstance(value, bool):
        value = _plain_number(value, where)
    reader = _start(value, where, "formula")
    try:
        tree = reader.sum()
        reader.finish()
    except Refused as refused:
        raise _fault(refused, value, where) from None
    return Formula(value.strip(), unit, where, _once(reader.names), _once(reader.runs), tree)


def parse_equation(value: Any, unit: str, where: Where | None = None) -> tuple[Formula, Formula]:
    """Reads 'LEFT = RIGHT', as a `solve:` has it, into its two sides."""
    sides = value.split("=") if isinstance(value, str) else []
    if len(sides) != 2:
        raise Fault.of(
            "equation",
            f"'{_short(value)}' is not an equation",
            where,
            "Write two formulas with one = between.",
        )
    return parse_formula(sides[0], unit, where), parse_formula(sides[1], unit, where)


def parse_condition(value: Any, unit: str, where: Where | None = None) -> Condition:
    """Reads `back_dart > 6 mm`, {neck: wide, sleeves: [long, short]}, or a list of such that must all hold."""
    options: list[tuple[str, tuple[str, ...]]] = []
    trees: list[Any] = []
    names: list[str] = []
    runs: list[str] = []
    for part in value if isinstance(value, list) else [value]:
        if isinstance(part, Mapping):
            options += [(str(name), _choices(wanted, where)) for name, wanted in part.items()]
            continue
        reader = _start(part, where, "condition")
        try:
            trees.append(reader.either())
            reader.finish()
        except Refused as refused:
            raise _fault(refused, part, where, "condition") from None
        names += reader.names
        runs += reader.runs
    return Condition(str(value), unit, where, _once(names), _once(runs), tuple(options), tuple(trees))


def _choices(wanted: Any, where: Where | None) -> tuple[str, ...]:
    listed = wanted if isinstance(wanted, list) else [wanted]
    if not listed or any(isinstance(choice, (list, Mapping)) or choice is None for choice in listed):
        raise Fault.of(
            "condition-choice", "a choice is missing", where, "Write {option: choice} or {option: [a, b]}."
        )
    return tuple(str(choice).lower() if isinstance(choice, bool) else str(choice) for choice in listed)


def _start(value: Any, where: Where | None, what: str) -> _Reader:
    if not isinstance(value, str) or not value.strip():
        raise Fault.of(f"{what}-missing", f"'{_short(value)}' is no {what}", where)
    if len(value) > LONGEST_TEXT:
        raise Fault.of(
            f"{what}-size",
            f"the {what} is {len(value)} characters long, at most {LONGEST_TEXT} are read",
            where,
        )
    words = split_words(value, where)
    if len(words) > MOST_WORDS:
        raise Fault.of(
            f"{what}-size", f"the {what} has {len(words)} words, at most {MOST_WORDS} are read", where
        )
    return _Reader(words)


def _plain_number(value: float, where: Where | None) -> str:
    if abs(value) > 1e12 or not math.isfinite(value):
        raise Fault.of("not-finite", f"{str(value)[:24]} cannot be measured", where)
    return f"{value:.12f}".rstrip("0").rstrip(".") if isinstance(value, float) else str(value)


def _as_kind(amount: Amount, kind: Kind, mm: float) -> float:
    if kind == "length":
        value = amount.value * mm if amount.bare else amount.value
        if not amount.bare and amount.power != 1:
            mend = "Give a number its unit, or say kind: ratio, angle or count." if amount.power == 0 else ""
            raise Refused("formula-kind", f"it comes out as {kind_words(amount)}, not as a length", mend)
        if abs(value) > LARGEST_MM:
            raise Refused("length-absurd", f"it comes out as {abs(value) / 1000:.0f} m")
        return value
    if amount.power != 0:
        raise Refused("formula-kind", f"it comes out as {kind_words(amount)}, not as {kind} is declared")
    if kind == "count":
        whole = round(amount.value)
        if abs(amount.value - whole) > EQUAL_WITHIN or whole < 0:
            raise Refused(
                "formula-kind",
                f"it comes out as {amount.value:g}, which is no count",
                "Use round_to(..., 1).",
            )
        return float(whole)
    return amount.value


def _fault(refused: Refused, text: Any, where: Where | None, what: str = "formula") -> Fault:
    return Fault.of(refused.code, f"in the {what} '{_short(text)}' {refused.what}", where, refused.mend)


def _short(value: Any) -> str:
    text = "" if value is None else " ".join(str(value).split())
    return text if len(text) <= 60 else text[:57] + "..."


def _once(names: list[str]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(names))
