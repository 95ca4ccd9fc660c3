"""Lays of one garment on cloths of several widths, against the trade's chart for changing widths.

Source: the width chart as reprinted in many places, cell by cell at greenspun.com and hookedonsewing.com; credited to a
United States extension service (which one: value from memory). It is a sanity band, not the answer.
"""

from __future__ import annotations

import numpy as np
import pytest
from helpers.lay_garments import blouse

from booklet.cloth.engine import lay

WIDTHS_IN = (35.5, 39, 41, 44.5, 50, 53, 59, 66)
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


def test_the_chart_keeps_the_area_of_a_row() -> None:
    area = np.array(YARDS) * WIDTHS_IN
    ratio = area / area[:, :1]
    assert ratio.min() >= 0.90 and ratio.max() <= 1.12  # arithmetic on the table


@pytest.mark.parametrize("column", [2, 4, 6])
def test_our_lays_change_with_the_width_as_the_chart_does(column: int) -> None:
    from_column = 3  # 44-45 in
    lengths = [lay(blouse(), "open", WIDTHS_IN[c] * 25.4, 250).length / 914.4 for c in (from_column, column)]
    table = np.array(YARDS)
    expected = np.interp(lengths[0], table[:, from_column], table[:, column])
    if lengths[0] < table[0, from_column]:  # shorter than the chart's first row: in proportion to it
        expected = lengths[0] * table[0, column] / table[0, from_column]
    assert 0.85 <= lengths[1] / expected <= 1.20
