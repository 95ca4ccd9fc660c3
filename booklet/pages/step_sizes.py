"""A step's own small table: its letters down, the sizes across."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawing import look
from booklet.drawing.display import Board, Item
from booklet.drawing.text import measure
from booklet.model import SizeRow
from booklet.pages.size_tables import NONE, bands_of
from booklet.pages.words import Words
from booklet.sewing.size_align import one_unit

LEADING = 4.2
LETTER_WIDE, UNIT_WIDE = 5.0, 6.5
GAP = 2.2
WIDEST = 14.0  # of a size's column
SIZE_PT = look.CHECK_PT
BEFORE, BETWEEN = 2.4, 2.2  # white above the table, and between its bands


def step_table(
    rows: Sequence[SizeRow], names: Sequence[str], left: float, width: float, words: Words
) -> tuple[tuple[Item, ...], float]:
    """The table from y = 0 down, and its height; sizes that find no room beside the others follow below in a band.

    A unit that all figures of a row share stands once, after its letter.
    """
    point = words.grammar.numbers.point if words.grammar is not None else "."
    shown = [(row.letter, *_shown(row.values, point)) for row in rows]
    unit_wide = UNIT_WIDE if any(unit for _, unit, _ in shown) else 0.0
    room = width - LETTER_WIDE - unit_wide
    widest = max(measure(c, SIZE_PT) for c in [*names, *(v for _, _, values in shown for v in values)]) + GAP
    bands = bands_of(len(names), max(1, int(room / widest)))
    step = min(max(widest, WIDEST), room / len(bands[0]))
    wide = LETTER_WIDE + unit_wide + step * len(bands[0])
    board = Board()
    y = BEFORE
    for n, band in enumerate(bands):
        y += BETWEEN if n else 0.0
        board.line(complex(left, y), complex(left + wide, y), look.TABLE_RULE, "rule")
        y += 3.2
        board.text(left, y, words("sizes.of_step"), SIZE_PT, 400, look.SOFT, role="cell")
        first = left + LETTER_WIDE + unit_wide
        for k, at in enumerate(band):
            board.text(first + step * (k + 1), y, names[at], SIZE_PT, 400, look.SOFT, "end", role="cell")
        y += 1.3
        board.line(complex(left, y), complex(left + wide, y), look.ROW_RULE, "rule")
        y += 3.4
        for letter, unit, values in shown:
            board.text(left, y, letter, SIZE_PT, 600, role="cell")
            board.text(left + LETTER_WIDE, y, unit, SIZE_PT, 400, look.SOFT, role="cell")
            for k, at in enumerate(band):
                board.text(first + step * (k + 1), y, values[at], SIZE_PT, role="cell", anchor="end")
            y += LEADING
        y += 1.5 - LEADING
        board.line(complex(left, y), complex(left + wide, y), look.TABLE_RULE, "rule")
    return tuple(board.items), y


def _shown(values: Sequence[str], point: str) -> tuple[str, tuple[str, ...]]:
    found = one_unit(values, point)
    unit, told = found if found is not None else ("", tuple(values))
    return unit, tuple(v or NONE for v in told)
