"""One set of step words for several sizes: what differs from size to size becomes a row of figures or a letter.

A text is merged sentence by sentence. Where sentences differ in their figures alone, or in a counted word ('1 button',
'3 buttons'), the place holds the figures of all sizes in size order ('345 · 352 · 360 mm') if they are few, else a bold
letter whose figures stand in the step's own table. Sentences that differ in other words are told for their sizes apart:
'Sizes 34 to 38: …'. By construction each size's own words can be put together again from what is printed.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from typing import Any

from booklet.language import Tongue
from booklet.model import SizeRow, Step
from booklet.problems import Problem
from booklet.sewing.size_align import BOLD, Token, aligned, in_a_row, one_unit, parted, shared, tokens

LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"  # without I and O, which look like figures
IN_A_ROW = 4  # sizes whose figures still read well in a line

_SENTENCE_END = re.compile(r"(?<=[.!?]) +|(?<=[.!?]\*\*) +")
_BREAK = "\n"  # between paragraphs


class Unmerged(Exception):
    """What cannot be told for several sizes at once, as the end of a sentence about a step."""


@dataclass
class _Rows:
    """The rows of one step, found while its texts are merged: each holds a value a size, '' where a size has none."""

    values: list[tuple[str, ...]] = field(default_factory=list)
    lettered: set[int] = field(default_factory=set)

    def place(self, values: tuple[str, ...], letter: bool) -> str:
        """The mark that stands in the text for these values until it is known how they are printed."""
        if values not in self.values:
            self.values.append(values)
        n = self.values.index(values)
        if letter:
            self.lettered.add(n)
        return f"\0{n}\0"


# ---------------------------------------------------------------- steps


def size_phrases(tongue: Tongue) -> dict[str, Any]:
    """The small words of a language that the merging needs."""
    small = tongue.small
    point = tongue.grammar.numbers.point
    return {
        "and": small["and"],
        "numbers": small["numbers"],
        "point": point,
        **tongue.words.table("sizes.runs"),
    }


def merge_steps(
    names: Sequence[str],
    base: int,
    sized: Sequence[Sequence[Step]],
    small: Mapping[str, Any],
    shown: Mapping[str, frozenset[str]] | None = None,
) -> tuple[tuple[Step, ...], tuple[Problem, ...]]:
    """The steps of all sizes as one list with the base's pictures, and an error for each that cannot be told so.

    `sized` holds each size's own steps, `small` the `size_phrases`. `shown` has, by step, the quantities that
    its pictures show: their rows get letters. Minutes are those of the size that takes longest.
    """
    if len(names) < 2:
        return tuple(sized[base]), ()
    problems = list(_other_steps(names, base, sized))
    if problems:
        return tuple(sized[base]), tuple(problems)
    out = []
    for n, step in enumerate(sized[base]):
        of_sizes = [steps[n] for steps in sized]
        try:
            out.append(_merged(step, of_sizes, names, small, (shown or {}).get(step.id, frozenset())))
        except Unmerged as reason:
            mend = "Sizes of one range are sewn alike: make it another range, or write the step's own words."
            what = f"step '{step.id}' cannot be told for all sizes: {reason}"
            problems.append(Problem("sizes-words", "error", step.where, what, mend))
            out.append(step)
    return tuple(out), tuple(problems)


def merge_lines(
    names: Sequence[str], told: Sequence[Sequence[str]], small: Mapping[str, Any]
) -> tuple[str, ...]:
    """Lines of text of several sizes as one, figures that differ in size order however many there are."""
    rows = _Rows()
    merged = _Merging(names, small, rows).paragraphs(told)
    return tuple(_printed(line, rows, {}, small["point"]) for line in merged)


def _other_steps(names: Sequence[str], base: int, sized: Sequence[Sequence[Step]]) -> Iterator[Problem]:
    for name, steps in zip(names, sized, strict=True):
        if [(s.id, s.part) for s in steps] != [(s.id, s.part) for s in sized[base]]:
            here = [s.id for s in steps]
            lost = next((s for s in sized[base] if s.id not in here), None)
            added = next((s for s in steps if s.id not in [b.id for b in sized[base]]), None)
            told = f"lacks step '{lost.id}'" if lost else f"has step '{added.id}' more" if added else ""
            what = f"size {name} {told or 'has its steps in another order'} than size {names[base]}"
            where = (lost or added or sized[base][0]).where
            yield Problem("sizes-words", "error", where, what, "Make it another range.")


def _merged(
    step: Step,
    of_sizes: Sequence[Step],
    names: Sequence[str],
    small: Mapping[str, Any],
    shown: frozenset[str],
) -> Step:
    rows = _Rows()
    merging = _Merging(names, small, rows)
    title = merging.title([s.title for s in of_sizes])
    text = merging.paragraphs([s.text for s in of_sizes])
    note = merging.line([s.note for s in of_sizes])
    check = merging.line([s.check for s in of_sizes])
    base = of_sizes.index(step)
    rows.lettered |= {n for n, values in enumerate(rows.values) if values[base] in shown}
    letters = {
        n: letter for n, letter in zip(_used(rows, (title, *text, note, check)), LETTERS, strict=False)
    }
    if len(letters) < len(rows.lettered):
        raise Unmerged(
            f"{len(rows.lettered)} things differ between sizes {_first_last(names)}, more than the letters"
        )

    def printed(told: str) -> str:
        return _printed(told, rows, letters, small["point"])

    return replace(
        step,
        title=printed(title).replace(BOLD, ""),
        text=tuple(printed(p) for p in text),
        note=printed(note),
        check=printed(check),
        minutes=max(s.minutes for s in of_sizes),
        by_size=tuple(SizeRow(letter, rows.values[n]) for n, letter in letters.items()),
    )


def _first_last(names: Sequence[str]) -> str:
    return f"{names[0]} to {names[-1]}"


def _used(rows: _Rows, texts: Sequence[str]) -> list[int]:
    """The rows that get letters, in the order in which the step names them."""
    found = dict.fromkeys(int(n) for text in texts for n in re.findall(r"\0(\d+)\0", text))
    return [n for n in found if n in rows.lettered]


def _printed(text: str, rows: _Rows, letters: Mapping[int, str], point: str) -> str:
    """A merged text with each mark as a letter or as its figures in a row; letters are bold wherever they stand."""
    out, bold = [], False
    for n, part in enumerate(re.split(r"\0(\d+)\0", text)):
        if n % 2 == 0:
            out.append(part)
            bold ^= part.count(BOLD) % 2 == 1
        elif (row := int(part)) in letters:
            out.append(letters[row] if bold else f"{BOLD}{letters[row]}{BOLD}")
        else:
            out.append(in_a_row(rows.values[row], point))
    return "".join(out)


# ---------------------------------------------------------------- texts


@dataclass(frozen=True)
class _Merging:
    names: Sequence[str]
    small: Mapping[str, Any]
    rows: _Rows

    def title(self, titles: Sequence[str]) -> str:
        every = range(len(titles))
        told = aligned([self._tokens(t) for t in titles])
        if told is None:
            other = next(n for n in every if titles[n] != titles[0])
            raise Unmerged(
                f"size {self.names[0]} calls it '{titles[0]}' and size {self.names[other]} '{titles[other]}'"
            )
        return self._written(told, every)

    def line(self, texts: Sequence[str]) -> str:
        return " ".join(self.paragraphs([[t] if t else [] for t in texts]))

    def paragraphs(self, texts: Sequence[Sequence[str]]) -> tuple[str, ...]:
        """The paragraphs of all sizes as one text."""
        sentences = [_sentences(t) for t in texts]
        kinds = [tuple(self._masks(s) for s in told) for told in sentences]
        common = list(kinds[0])
        for kind in dict.fromkeys(kinds):
            common = shared(common, kind)
        parts = [parted(told, kind, common) for told, kind in zip(sentences, kinds, strict=True)]
        out: list[str] = []
        for n in range(2 * len(common) + 1):  # what differs, a shared sentence, what differs, ...
            stretches = [p[n] for p in parts]
            if n % 2:
                out += self._alike([s[0] for s in stretches], range(len(texts))) or ()
            else:
                out += self._apart(stretches)
        return tuple(p for p in _joined(out) if p)

    def _apart(self, stretches: Sequence[Sequence[str]]) -> list[str]:
        """Sentences that differ in words: as one where only counted words differ, else for each group of sizes."""
        if not any(stretches):
            return []
        every = range(len(stretches))
        if len({len(s) for s in stretches}) == 1:
            told = [self._alike(s, every) for s in zip(*stretches, strict=True)]
            if all(t is not None for t in told):
                return [sentence for t in told for sentence in t or ()]
        groups: dict[tuple[Any, ...], list[int]] = {}
        for n, stretch in enumerate(stretches):
            groups.setdefault(tuple(self._masks(s) for s in stretch), []).append(n)
        out: list[str] = []
        for members in groups.values():
            merged = [
                s
                for told in zip(*(stretches[n] for n in members), strict=True)
                for s in self._alike(told, members) or ()
            ]
            words = next((n for n, s in enumerate(merged) if s != _BREAK), None)
            if words is not None:
                merged[words] = f"{BOLD}{self._lead(members)}{BOLD} {merged[words]}"
                out += merged
        return out

    def _alike(self, told: Sequence[str], members: Sequence[int]) -> list[str] | None:
        """Sentences, one a size of `members`, as one; None where they differ in more than may stand in a row."""
        if len(set(told)) == 1:
            return [told[0]]
        if _BREAK in told:
            return None
        parts = aligned([self._tokens(t) for t in told])
        return None if parts is None else [self._written(parts, members)]

    def _written(self, parts: Sequence[str | tuple[str, ...]], members: Sequence[int]) -> str:
        differ = [p for p in parts if not isinstance(p, str)]
        letter = len(set(differ)) > 1 or len(members) > IN_A_ROW or any(one_unit(p) is None for p in differ)
        out = []
        for part in parts:
            if isinstance(part, str):
                out.append(part)
                continue
            values = [""] * len(self.names)
            for n, value in zip(members, part, strict=True):
                values[n] = value
            out.append(self.rows.place(tuple(values), letter))
        return "".join(out)

    def _lead(self, members: Sequence[int]) -> str:
        """'Sizes 34 to 38 and 44:'."""
        key = "for_size" if len(members) == 1 else "for_sizes"
        return str(self.small[key]).format(sizes=size_runs(self.names, members, self.small))

    def _tokens(self, text: str) -> list[Token]:
        return tokens(text, self.small["numbers"])

    def _masks(self, text: str) -> tuple[str, ...]:
        return tuple(t.mask for t in self._tokens(text))


def size_runs(names: Sequence[str], members: Sequence[int], small: Mapping[str, Any]) -> str:
    """'34 to 38 and 44': sizes by their places, neighbours of three or more told by the first and the last."""
    runs: list[list[int]] = []
    for n in sorted(members):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    told: list[str] = []
    for run in runs:
        if len(run) < 3:
            told += [names[n] for n in run]
        else:
            told.append(str(small["from_to"]).format(first=names[run[0]], last=names[run[-1]]))
    return f" {small['and']} ".join(part for part in (", ".join(told[:-1]), told[-1]) if part)


def _sentences(paragraphs: Sequence[str]) -> list[str]:
    out: list[str] = []
    for n, paragraph in enumerate(paragraphs):
        out += [_BREAK] if n else []
        out += _SENTENCE_END.split(paragraph)
    return out


def _joined(sentences: Sequence[str]) -> list[str]:
    out = [""]
    for sentence in sentences:
        if sentence == _BREAK:
            out.append("")
        else:
            out[-1] = f"{out[-1]} {sentence}" if out[-1] else sentence
    return out
