"""Tables with a column a size: lines of figures under the names of the sizes, in bands where there are many."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from booklet.drawing import look
from booklet.drawing.text import measure
from booklet.language import tongue_for
from booklet.pages.flow import Block, Column, Row, table_blocks
from booklet.pages.words import Words
from booklet.sewing.size_align import one_unit
from booklet.sewing.size_words import size_phrases, size_runs
from booklet.units import NBSP

NONE = "–"
GAP = 2.6  # between the figures of two sizes
UNIT_WIDE = 9.0
NARROWEST = 36.0  # of the labels
WIDEST = 17.0  # of a size's column: few sizes stand near each other


@dataclass(frozen=True)
class SizeLine:
    """A line of a table: what it is of, and its value for each size, with units ('' or a dash where there is none)."""

    label: str
    values: tuple[str, ...]
    strong: bool = False
    soft: bool = False
    pale: bool = False


def size_table(
    lines: Sequence[SizeLine],
    names: Sequence[str],
    left: float,
    right: float,
    label_wide: float,
    words: Words,
    *,
    head: str = "",
    grouped: bool = False,
    before: float = 0.0,
) -> list[Block]:
    """The lines under the sizes' names. The unit that the figures of a line share stands once, before them.

    Of figures too wide to stand beside each other labels are narrowed, or the sizes are parted in bands, one under the other.
    With `grouped` a line that is alike for all sizes or holds no bare figures is told in words:
    '34 to 46: 1 spool; 48: 2 spools'.
    """
    small = size_phrases(tongue_for(words.language, words.wording))
    told = [words.spaced(_in_words(line.values, names, small)) if grouped else "" for line in lines]
    shown = _of_one_kind(lines, small["point"])
    cells = [c for (_, values), text in zip(shown, told, strict=True) if not text for c in values]
    unit_wide = UNIT_WIDE if any(unit for unit, _ in shown) else 0.0
    widest = max((measure(c, look.TABLE_PT, 600) for c in [*cells, *names]), default=10.0) + GAP
    for label in (
        label_wide,
        (label_wide + NARROWEST) / 2,
        NARROWEST,
    ):  # labels take more lines where that spares a band
        room = right - left - label - unit_wide
        bands = bands_of(len(names), max(1, int(room / widest)))
        if len(bands) == 1:
            break
    if all(told):
        bands = [[]]
    first = left + label + unit_wide
    step = min(WIDEST, room / max(1, len(bands[0])))
    blocks: list[Block] = []
    for k, band in enumerate(bands):
        columns = (
            Column(left, label - 2.0, head),
            Column(left + label, unit_wide, size_pt=look.CHECK_PT, colour=look.SOFT),
            *(Column(first + step * n, step, names[i], "end") for n, i in enumerate(band)),
        )
        rows = []
        for line, (unit, values), text in zip(lines, shown, told, strict=True):
            if text and k:
                continue
            if text:
                alone = (columns[0], Column(left + label, right - left - label))
                row = Row((line.label, text), columns=alone)
            else:
                row = Row((line.label, unit, *(values[i] for i in band)))
            rows.append(replace(row, strong=line.strong, soft=line.soft, pale=line.pale))
        blocks += table_blocks(columns, rows, left, right, before=before if k == 0 else 4.0)
    return blocks


def _in_words(values: Sequence[str], names: Sequence[str], small: Mapping[str, Any]) -> str:
    """What is alike for all sizes, or differs in more than figures, as a text; '' for a row of figures."""
    if len(set(values)) == 1:
        return values[0]
    if one_unit(["" if v == NONE else v for v in values]) is not None:
        return ""
    groups = {value: [n for n, v in enumerate(values) if v == value] for value in dict.fromkeys(values)}
    out = []
    for value, members in groups.items():
        out.append(str(small["some"]).format(sizes=size_runs(names, members, small), what=value))
    return "; ".join(out)


def _of_one_kind(lines: Sequence[SizeLine], point: str) -> list[tuple[str, tuple[str, ...]]]:
    """Each line's unit and figures. Lines in millimetres beside lines in centimetres go over to those, soft ones apart, so
    that a column can be read down."""
    out = [_shown(line.values, point) for line in lines]
    if any(unit == "cm" for unit, _ in out):
        for n, line in enumerate(lines):
            if out[n][0] == "mm" and not line.soft:
                unit, numbers = _shown([*line.values, f"100{NBSP}cm"], point)
                out[n] = unit, numbers[:-1]
    return out


def bands_of(count: int, most: int) -> list[list[int]]:
    """The places of so many sizes in bands of at most `most`, as alike in length as can be."""
    bands = -(-count // most)
    each = -(-count // bands)
    return [list(range(at, min(at + each, count))) for at in range(0, count, each)]


def _shown(values: Sequence[str], point: str) -> tuple[str, tuple[str, ...]]:
    """The unit that the values share, and their figures; a dash stays."""
    found = one_unit(["" if v == NONE else v for v in values], point)
    if found is None:
        return "", tuple(v or NONE for v in values)
    unit, numbers = found
    return unit, tuple(n or NONE for n in numbers)
