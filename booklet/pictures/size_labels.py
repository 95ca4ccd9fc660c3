"""Lengths in the pictures of a nested booklet: those that differ by size become the letters of their step's table.

A picture is drawn for one size. Whether a length in it changes with the size is seen by drawing it for another one.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace

from booklet.drawing.display import Drawing, Group, Item, Text
from booklet.model import SizeRow, Step, StepPicture
from booklet.sewing.size_align import quantities


def shown_quantities(steps: Sequence[Step]) -> dict[str, frozenset[str]]:
    """The quantities that stand in each step's pictures, as printed: '375 mm'."""
    return {s.id: frozenset(q for text in _labels(s.pictures) for q in quantities(text)) for s in steps}


def telling_sizes(steps: Sequence[Step], base: int) -> dict[str, int]:
    """The steps whose pictures show a length that may differ by size, each with the size that tells most of them apart."""
    shown = shown_quantities(steps)
    out = {}
    for step in steps:
        rows = [r.values for r in step.by_size if r.values[base] in shown[step.id]]
        if rows:
            differing = [sum(bool(r[n]) and r[n] != r[base] for r in rows) for n in range(len(rows[0]))]
            out[step.id] = max(range(len(differing)), key=lambda n: (differing[n], abs(n - base), n))
    return out


def lettered(step: Step, base: int, others: Sequence[StepPicture], other: int) -> Step:
    """The step with letters in its pictures; `others` are its pictures as drawn for the size `other`.

    A label stays as it is, a length of the base size, where no row of the step says how it changes.
    """
    if len(step.pictures) != len(others):
        return step
    pictures = []
    for mine, theirs in zip(step.pictures, others, strict=True):
        texts, other_texts = list(_labels([mine])), list(_labels([theirs]))
        letters: dict[str, str] = {}
        kept: set[str] = set()
        if len(texts) == len(other_texts):
            for text, changed in zip(texts, other_texts, strict=True):
                told = _with_letter(text, changed, step.by_size, base, other)
                if told is None:
                    kept.add(text)
                else:
                    letters[text] = told
        letters = {text: told for text, told in letters.items() if text not in kept}
        assert isinstance(mine.drawing, Drawing)
        items = _changed(mine.drawing.items, letters)
        pictures.append(replace(mine, drawing=replace(mine.drawing, items=items)))
    return replace(step, pictures=tuple(pictures))


def with_letters(
    steps: Sequence[Step],
    base: int,
    draw: Callable[[int, frozenset[str]], Mapping[str, Sequence[StepPicture]]],
) -> tuple[Step, ...]:
    """All steps with letters in their pictures. `draw(size, steps)` gives the pictures of some steps for another size."""
    asked = telling_sizes(steps, base)
    drawn = {
        n: draw(n, frozenset(s for s, at in asked.items() if at == n))
        for n in sorted(dict.fromkeys(asked.values()))
    }
    return tuple(
        lettered(s, base, drawn[asked[s.id]].get(s.id, ()), asked[s.id]) if s.id in asked else s
        for s in steps
    )


def _with_letter(text: str, changed: str, rows: Sequence[SizeRow], base: int, other: int) -> str | None:
    """The label with the letter of the row that takes it from one size to the other; None where there is no such row."""
    for row in rows:
        mine, theirs = row.values[base], row.values[other]
        differs = mine and theirs and mine != theirs and mine in quantities(text)
        if differs and text.replace(mine, theirs) == changed:
            return text.replace(mine, row.letter)
    return None


def _labels(pictures: Sequence[StepPicture]) -> Iterator[str]:
    for picture in pictures:
        if isinstance(picture.drawing, Drawing):
            yield from _texts(picture.drawing.items)


def _texts(items: Sequence[Item]) -> Iterator[str]:
    for item in items:
        if isinstance(item, Group):
            yield from _texts(item.items)
        elif isinstance(item, Text) and quantities(item.text):
            yield item.text


def _changed(items: Sequence[Item], letters: Mapping[str, str]) -> tuple[Item, ...]:
    out: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            item = replace(item, items=_changed(item.items, letters))
        elif isinstance(item, Text) and item.text in letters:
            item = replace(item, text=letters[item.text], weight=600)
        out.append(item)
    return tuple(out)
