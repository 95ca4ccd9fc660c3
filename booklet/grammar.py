"""What a language does to the words that are put into its sentences: articles, plurals, sides, numbers, spaces, dates.

All of it is told by templates/<language>/steps/words.yaml; nothing here knows a language by name. A noun's gender and
number are taken from its first word where a language puts the main word first (`first: head`), else they don't matter.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

from booklet.units import Numbers

ARTICLES = ("the", "of_the", "to_the", "of", "a")
_WORD = re.compile(r"[^\W\d_]+(?:['\u2019\-][^\W\d_]+)*['\u2019]?")
_SIDES = ("left", "right")


class Plural(str):
    """Words put into the plural: known to be so even where the plural looks like the singular ('dos', 'croix')."""


@dataclass(frozen=True, eq=False)
class Grammar:
    """One language's rules. `small` is its words.yaml with a shop's own laid over it."""

    small: Mapping[str, Any]
    own_feminine: tuple[str, ...] = ()  # nouns that a style adds
    numbers: Numbers = field(default_factory=Numbers)

    @classmethod
    def of(cls, small: Mapping[str, Any], own_feminine: Sequence[str] = ()) -> Grammar:
        units = tuple((str(k), str(v)) for k, v in (small.get("units") or {}).items())
        return cls(small, tuple(own_feminine), Numbers(str(small.get("point", ".")), units))

    # ------------------------------------------------ nouns

    @property
    def head_first(self) -> bool:
        """Whether the main word of a name comes first ('parementure d'encolure'), not last ('neck facing')."""
        return str(self.small.get("main word", "last")) == "first"

    def head(self, words: str) -> str:
        found = [w for w in re.findall(r"[^\s]+", words.replace("*", "")) if _WORD.match(w)]
        if not found:
            return ""
        return re.split(r"['\u2019]", found[0] if self.head_first else found[-1])[-1].lower()

    def feminine(self, words: str) -> bool:
        head = self.head(words)
        known = (*(self.small.get("feminine") or ()), *self.own_feminine)
        return head in known or any(head == self._plural_word(str(k)) for k in known)

    def is_plural(self, words: str) -> bool:
        if isinstance(words, Plural):
            return True
        head = self.head(words)
        ends = tuple(str(self.small.get("plural ends", "")).split())
        return bool(ends) and head.endswith(ends) and head not in (self.small.get("not plural") or ())

    def plural(self, words: str) -> str:
        """'facing' -> 'facings', "parementure d'encolure" -> "parementures d'encolure"; figures and brackets stay."""
        if not self.head_first:
            cut = len(words) - len(words.split(" ")[-1])
            return Plural(words[:cut] + self._plural_word(words[cut:]))
        stops = self.small.get("plural stops") or ()
        fixed = self.small.get("invariable") or ()
        out, going = [], True
        for n, word in enumerate(words.split(" ")):
            going = going and word not in stops and not re.match(r"[ld]['\u2019]", word) and "(" not in word
            alone = n > 0 and word in fixed
            out.append(self._plural_word(word) if going and not alone else word)
        return Plural(" ".join(out))

    def _plural_word(self, word: str) -> str:
        for pattern, put in self.small.get("plural") or ():
            if re.search(str(pattern), word):
                return re.sub(str(pattern), str(put), word, count=1)
        return word

    def with_article(self, kind: str, words: str) -> str:
        """Words behind their article: kind 'the', 'of_the', 'to_the', 'of' or 'a'."""
        forms: Mapping[str, str] = self.small["articles"][kind]
        plain = words.lstrip("*")
        if self.is_plural(words):
            key = "fp" if self.feminine(words) and "fp" in forms else "p"
        elif "v" in forms and self._begins_with_vowel(plain):
            key = "v"
        else:
            key = "f" if self.feminine(words) and "f" in forms else "m"
        return f"{forms.get(key, forms['m'])}{words}"

    def _begins_with_vowel(self, words: str) -> bool:
        first = re.match(r"\w+", words)
        if first is None or first[0].lower() in (self.small.get("no elision") or ()):
            return False
        return first[0][0].lower() in str(self.small.get("vowels", ""))

    def sided(self, words: str, side: str) -> str:
        """'left sleeve', 'manche gauche'."""
        if side not in _SIDES:
            return words
        forms = self.small["sided"]
        return str(forms[f"{side} f" if self.feminine(words) and f"{side} f" in forms else side]).format(
            words=words
        )

    def listed(self, items: Iterable[object]) -> str:
        """'a, b and c'."""
        words = [str(i) for i in items]
        if len(words) < 2:
            return "".join(words)
        return f"{', '.join(words[:-1])} {self._and(words[-1])} {words[-1]}"

    def _and(self, following: str) -> str:
        """'and'; before some sounds a language may have another form ('y', but 'e' before 'i')."""
        for pattern, word in self.small.get("and before") or ():
            if re.match(str(pattern), following.lstrip("*"), re.IGNORECASE):
                return str(word)
        return str(self.small["and"])

    # ------------------------------------------------ signs

    def spaced(self, text: str) -> str:
        """The spaces that the language wants before its signs: a narrow no-break space before ';' in French."""
        for pattern, put in self.small.get("spaces") or ():
            text = re.sub(str(pattern), str(put), text)
        return text

    def date(self, iso: str) -> str:
        """'2026-11-25' as the language writes it; anything else as it is."""
        found = re.fullmatch(r"(\d{4})-(\d\d)-(\d\d)", iso)
        form = str(self.small.get("date", ""))
        return form.format(year=found[1], month=found[2], day=found[3]) if found and form else iso
