"""Filters by which step templates print names and numbers: lengths in the booklet's unit, pieces by title and number.

A piece carries its number where a step names it first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

import jinja2

from booklet.grammar import Plural
from booklet.language import Tongue
from booklet.sewing.operations.names import Name, named_many
from booklet.units import NBSP, show, show_percent, told

ALIKE = 0.5  # mm: sides that differ by less print as one length


@dataclass
class Phrases:
    """The printing of one step: its units, and the pieces that it has named so far."""

    units: str
    tongue: Tongue
    named: set[int] = field(default_factory=set)
    unlike: frozenset[int] = frozenset()  # numbers that a left and a right piece, drawn apart, share
    side: str = ""  # which of the two the words are for; empty where they are for both

    @property
    def small(self) -> Mapping[str, Any]:
        return self.tongue.small

    KEY: ClassVar[str] = "phrases"
    FILTERS: ClassVar[dict[str, Callable[..., str]]] = {}

    # ------------------------------------------------ numbers

    def mm(self, length: float) -> str:
        return show(length, self.units)

    def no_less(self, length: float) -> str:
        """A length as printed, rounded up: what must pass through it passes."""
        step = 25.4 / 16 if self.units == "in" else 1.0
        return self.mm(math.ceil(length / step - 1e-6) * step)

    def strong(self, length: float) -> str:
        return f"**{self.mm(length)}**"

    def strong_list(self, lengths: Iterable[float]) -> str:
        return self.listed([self.strong(x) for x in lengths])

    def dial(self, length: float) -> str:
        """A stitch length, in millimetres everywhere, as machines are marked."""
        return told(f"{length:g}{NBSP}mm", self.units)

    def percent(self, ratio: float) -> str:
        return show_percent(ratio, self.units)

    def plus_minus(self, length: float) -> str:
        return f"±{NBSP}{self.mm(length)}"

    def word(self, count: int) -> str:
        """A small number in words."""
        numbers = self.small["numbers"]
        return str(numbers[count]) if count < len(numbers) else str(count)

    def each_length(self, lengths: Sequence[float]) -> str:
        """One length where left and right are alike, else both."""
        if max(lengths) - min(lengths) < ALIKE:
            return self.mm(lengths[0])
        sides = self.small["sides"]
        return ", ".join(f"{sides[s]} {self.mm(x)}" for s, x in zip(("left", "right"), lengths, strict=False))

    # ------------------------------------------------ lists and plurals

    def times(self, words: str, count: int) -> str:
        return self.tongue.grammar.plural(words) if count > 1 else words

    def listed(self, items: Iterable[str]) -> str:
        """'a, b and c'."""
        return self.tongue.grammar.listed(items)

    def many_listed(self, items: Iterable[str]) -> str:
        return self.listed([self.tongue.grammar.plural(i) for i in items])

    # ------------------------------------------------ articles

    def _with(self, kind: str, what: object, many: bool = False) -> str:
        """Words, a piece, or several, each behind its article; `many` puts a piece cut several times in the plural."""
        each = [what] if isinstance(what, (str, Name)) else list(what)  # type: ignore[call-overload]
        words = [x if isinstance(x, str) else self._many(x) if many else self.name(x) for x in each]
        return self.listed([self.tongue.grammar.with_article(kind, w) for w in words])

    def the(self, what: object) -> str:
        return self._with("the", what)

    def of_the(self, what: object) -> str:
        return self._with("of_the", what)

    def to_the(self, what: object) -> str:
        return self._with("to_the", what)

    def of(self, what: object) -> str:
        return self._with("of", what)

    def a(self, what: object) -> str:
        return self._with("a", what)

    def of_all(self, what: object) -> str:
        return self._with("of_the", what, many=True)

    def to_all(self, what: object) -> str:
        return self._with("to_the", what, many=True)

    def the_plural(self, items: Iterable[str]) -> str:
        """'the notches and the centres'."""
        return self._with("the", [self.tongue.grammar.plural(i) for i in items])

    # ------------------------------------------------ pieces

    def name(self, piece: Name) -> str:
        apart = self.side and any(n in self.unlike for n in piece.numbers)
        words = self.tongue.grammar.sided(piece.words, self.side) if apart else piece.words
        return self._numbered(piece, words)

    def of_side(self, piece: Name) -> str:
        """'right ', before a piece that differs from its partner on the other side; else nothing."""
        apart = self.side and any(n in self.unlike for n in piece.numbers)
        return f"{self.small['sides'][self.side]} " if apart else ""

    def other(self, pieces: Name | Sequence[Name]) -> str:
        """'other sleeve', for work that is done once more; 'left sleeve' where the two differ."""
        listed = [pieces] if isinstance(pieces, Name) else list(pieces)
        apart = self.side and any(n in self.unlike for p in listed for n in p.numbers)
        bare = self.bare(pieces)
        return self.tongue.grammar.sided(bare, "left") if apart else self.tongue.put("other", words=bare)

    def names_one(self, pieces: Sequence[Name]) -> str:
        """Each piece in the singular, for work that is done once a side."""
        return f" {self.small['and']} the ".join(self.name(p) for p in pieces)

    def names(self, pieces: Sequence[Name]) -> str:
        """Pieces under their shared name, or one after the other."""
        return self.names_one(pieces)

    def all_the(self, pieces: Sequence[Name]) -> str:
        """'the front (1) and the cuffs (6)'."""
        return self._with("the", pieces, many=True)

    def all_the_bare(self, pieces: Sequence[Name]) -> str:
        return self.the([named_many(p, self.tongue) for p in pieces])

    def of_all_bare(self, pieces: Sequence[Name]) -> str:
        return self.of_the([named_many(p, self.tongue) for p in pieces])

    def titles(self, pieces: Sequence[Name]) -> str:
        """For a title, after its own 'the'."""
        return f" {self.small['and']} the ".join(named_many(p, self.tongue) for p in pieces)

    def bare(self, pieces: Name | Sequence[Name]) -> str:
        """Without numbers and in the singular."""
        return pieces.words if isinstance(pieces, Name) else self.listed([p.words for p in pieces])

    def bares(self, pieces: Sequence[Name]) -> str:
        return self.listed([named_many(p, self.tongue) for p in pieces])

    def last_words(self, pieces: Sequence[Name]) -> str:
        """'neck facing' -> 'facing': the main word of each."""
        return self.listed(dict.fromkeys(self.tongue.grammar.head(p.words) for p in pieces))

    def _many(self, piece: Name) -> str:
        return self._numbered(piece, named_many(piece, self.tongue))

    def _numbered(self, piece: Name, words: str) -> str:
        new = [n for n in piece.numbers if n not in self.named]
        if not new:
            return words
        self.named.update(piece.numbers)
        told = f"{words}{NBSP}({self.listed([str(n) for n in piece.numbers])})"
        return Plural(told) if isinstance(words, Plural) else told


def _filter(method: str) -> Callable[..., str]:
    @jinja2.pass_context
    def run(context: jinja2.runtime.Context, value: Any, *more: Any) -> str:
        return getattr(context[Phrases.KEY], method)(value, *more)

    return run


Phrases.FILTERS.update(
    (name, _filter(name))
    for name in (
        "mm", "no_less", "strong", "strong_list", "dial", "percent", "plus_minus", "word", "each_length", "times", "listed",
        "many_listed", "of_side", "other", "the", "of_the", "to_the", "of", "a", "of_all", "to_all", "the_plural",
        "of_all_bare",
        "name", "names", "names_one", "all_the", "all_the_bare", "titles", "bare", "bares", "last_words",
    )
)  # fmt: skip
