"""Filters by which step templates print names and numbers: lengths in the booklet's unit, pieces by title and number.

A piece carries its number where a step names it first.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any, ClassVar

import jinja2

from booklet.sewing.operations.names import Name, plural
from booklet.units import NBSP, show, show_percent

ALIKE = 0.5  # mm: sides that differ by less print as one length


@dataclass
class Phrases:
    """The printing of one step: its units, and the pieces that it has named so far."""

    units: str
    small: Mapping[str, Any]
    named: set[int] = field(default_factory=set)
    unlike: frozenset[int] = frozenset()  # numbers that a left and a right piece, drawn apart, share
    side: str = ""  # which of the two the words are for; empty where they are for both

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
        return f"{length:g}{NBSP}mm"

    def percent(self, ratio: float) -> str:
        return show_percent(ratio)

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
        return plural(words) if count > 1 else words

    def listed(self, items: Iterable[str]) -> str:
        """'a, b and c'."""
        words = [str(i) for i in items]
        if len(words) < 2:
            return "".join(words)
        return f"{', '.join(words[:-1])} {self.small['and']} {words[-1]}"

    def many_listed(self, items: Iterable[str]) -> str:
        return self.listed([plural(i) for i in items])

    # ------------------------------------------------ pieces

    def name(self, piece: Name) -> str:
        return self._numbered(piece, self.of_side(piece) + piece.words)

    def of_side(self, piece: Name) -> str:
        """'right ', before a piece that differs from its partner on the other side; else nothing."""
        apart = self.side and any(n in self.unlike for n in piece.numbers)
        return f"{self.small['sides'][self.side]} " if apart else ""

    def other(self, pieces: Name | Sequence[Name]) -> str:
        """'other sleeve', for work that is done once more; 'left sleeve' where the two differ."""
        listed = [pieces] if isinstance(pieces, Name) else list(pieces)
        apart = self.side and any(n in self.unlike for p in listed for n in p.numbers)
        return f"{self.small['sides']['left'] if apart else self.small['other']} {self.bare(pieces)}"

    def names_one(self, pieces: Sequence[Name]) -> str:
        """Each piece in the singular, for work that is done once a side."""
        return f" {self.small['and']} the ".join(self.name(p) for p in pieces)

    def names(self, pieces: Sequence[Name]) -> str:
        """Pieces under their shared name, or one after the other."""
        return self.names_one(pieces)

    def all_the(self, pieces: Sequence[Name]) -> str:
        """'the front (1) and the cuffs (6)'."""
        return self.listed([f"the {self._numbered(p, p.many)}" for p in pieces])

    def all_the_bare(self, pieces: Sequence[Name]) -> str:
        return self.listed([f"the {p.many}" for p in pieces])

    def titles(self, pieces: Sequence[Name]) -> str:
        """For a title, after its own 'the'."""
        return f" {self.small['and']} the ".join(p.many for p in pieces)

    def bare(self, pieces: Name | Sequence[Name]) -> str:
        """Without numbers and in the singular."""
        return pieces.words if isinstance(pieces, Name) else self.listed([p.words for p in pieces])

    def bares(self, pieces: Sequence[Name]) -> str:
        return self.listed([p.many for p in pieces])

    def last_words(self, pieces: Sequence[Name]) -> str:
        """'neck facing' -> 'facing'."""
        return self.listed(dict.fromkeys(p.words.split()[-1] for p in pieces))

    def _numbered(self, piece: Name, words: str) -> str:
        new = [n for n in piece.numbers if n not in self.named]
        if not new:
            return words
        self.named.update(piece.numbers)
        return f"{words}{NBSP}({self.listed([str(n) for n in piece.numbers])})"


def _filter(method: str) -> Callable[..., str]:
    @jinja2.pass_context
    def run(context: jinja2.runtime.Context, value: Any, *more: Any) -> str:
        return getattr(context[Phrases.KEY], method)(value, *more)

    return run


Phrases.FILTERS.update(
    (name, _filter(name))
    for name in (
        "mm", "no_less", "strong", "strong_list", "dial", "percent", "plus_minus", "word", "each_length", "times", "listed",
        "many_listed", "of_side", "other",
        "name", "names", "names_one", "all_the", "all_the_bare", "titles", "bare", "bares", "last_words",
    )
)  # fmt: skip
