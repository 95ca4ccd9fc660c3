"""The trade's chart for changing the width of the cloth: a band within which a length at another width is no surprise.

Source: the width chart as reprinted in many places, cell by cell at greenspun.com and hookedonsewing.com; credited to a
United States extension service (which one: value from memory). It is a sanity band, not the answer: lengths from 15 %
below to 20 % above it are usual (common practice, no source).
"""

from __future__ import annotations

import numpy as np

from booklet.units import MM_PER

WIDTHS_IN = (35.5, 39, 41, 44.5, 50, 53, 59, 66)  # the middle of each column's range
YARDS = (
    (1.75, 1.5, 1.5, 1.375, 1.25, 1.125, 1, 0.875),
    (2, 1.75, 1.75, 1.625, 1.5, 1.375, 1.25, 1.125),
    (2.25, 2, 2, 1.75, 1.625, 1.5, 1.375, 1.25),
    (2.5, 2.25, 2.25, 2.125, 1.75, 1.75, 1.625, 1.5),
    (2.875, 2.5, 2.5, 2.25, 2, 1.875, 1.75, 1.625),
    (3.125, 2.75, 2.75, 2.5, 2.25, 2, 1.875, 1.75),
    (3.375, 3, 2.875, 2.75, 2.375, 2.25, 2, 1.875),
    (3.75, 3.25, 3.125, 2.875, 2.625, 2.375, 2.25, 2.125),
    (4.25, 3.5, 3.375, 3.125, 2.75, 2.625, 2.375, 2.25),
    (4.5, 3.75, 3.625, 3.375, 3, 2.75, 2.625, 2.5),
    (4.75, 4, 3.875, 3.625, 3.25, 2.875, 2.75, 2.625),
    (5, 4.25, 4.125, 3.875, 3.375, 3.125, 2.875, 2.75),
)
BASE_IN = 44.5
BASE_WIDTH = BASE_IN * MM_PER["in"]  # mm
BASE_WITHIN = 40.0  # mm: a cloth of 110, 112 or 115 cm stands for the column
BELOW, ABOVE = 0.85, 1.20


def is_base(width: float) -> bool:
    """Whether a cloth so wide as sold, mm, is the one that lengths are reckoned from."""
    return abs(width - BASE_WIDTH) <= BASE_WITHIN


def expected(base_length: float, width: float) -> float:
    """The chart's length, mm, on a cloth `width` mm wide for what takes `base_length` mm on the base width.

    Shorter or longer than any of the chart's rows, it is in proportion to the nearest one.
    """
    yards = base_length / MM_PER["yd"]
    table = np.array(YARDS)
    inches = min(max(width / MM_PER["in"], WIDTHS_IN[0]), WIDTHS_IN[-1])
    row = np.array([np.interp(inches, WIDTHS_IN, line) for line in table])
    base = table[:, WIDTHS_IN.index(BASE_IN)]
    nearest = 0 if yards < base[0] else -1 if yards > base[-1] else None
    found = np.interp(yards, base, row) if nearest is None else yards * row[nearest] / base[nearest]
    return float(found) * MM_PER["yd"]


def within_band(length: float, base_length: float, width: float) -> bool:
    """Whether a length on a cloth of this width is what the chart leads one to expect; all mm."""
    return BELOW <= length / expected(base_length, width) <= ABOVE
