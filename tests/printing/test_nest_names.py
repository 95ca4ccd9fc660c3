"""Names of sizes and other words of a nested piece, wherever it lies on the pages: none is cut in two by a joint."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.bounds import box_of, flat_items
from booklet.drawing.display import PathItem, Text, box_path
from booklet.drawing.look import CUT_FULL
from booklet.drawing.page import SheetPiece, SizeLines
from booklet.paths import Placement
from booklet.printing.formats import FORMATS
from booklet.printing.grid import Grid
from booklet.printing.piece_words import piece_words
from booklet.printing.sheet import PlacedPiece

SIDE, GROWN = 260.0, 9.0


def nested() -> SheetPiece:
    """Four rectangles, each out on the right and at the foot; all lie on each other at left and top."""
    outlines = [box_path(0, 0, SIDE + GROWN * n, SIDE + GROWN * n) for n in range(4)]
    sizes = tuple(
        SizeLines(f"{34 + 2 * n}", f"Size {34 + 2 * n}", o, (o,), (PathItem((o,), CUT_FULL, role="cut"),))
        for n, o in enumerate(outlines)
    )
    return SheetPiece(
        "front", "1", "Front", outlines[-1], (), ("main cloth: 1",), sizes=sizes, ground=outlines[0]
    )


def cut_in_two(entry: PlacedPiece, grid: Grid) -> list[str]:
    words = piece_words(entry, grid)
    found = []
    for item in (f.item for f in flat_items([*words.items, *(i for named in words.named for i in named)])):
        box = box_of(item)
        if not isinstance(item, Text) or box is None:
            continue
        lines = [(grid.step_x, box[0], box[2]), (grid.step_y, box[1], box[3])]
        if any(low + 0.1 < n * step < high - 0.1 for step, low, high in lines for n in range(12)):
            found.append(item.text)
    return found


@settings(max_examples=12, deadline=None)
@given(st.sampled_from(["a4", "letter", "a3"]), st.floats(-6, 6), st.floats(-6, 6), st.booleans())
def test_no_name_lies_over_a_joint_that_runs_along_its_line(
    key: str, dx: float, dy: float, far: bool
) -> None:
    """With its left or its right edge within a name's height of a joint."""
    grid = FORMATS[key].grid()
    corner = complex(2 * grid.step_x + dx, 2 * grid.step_y + dy)
    if far:
        corner -= (SIDE + 3 * GROWN) * (1 + 1j)
    assert cut_in_two(PlacedPiece(nested(), Placement.move(corner)), grid) == []


@pytest.mark.parametrize("off", [0.0, 0.5, 2.0])
def test_a_line_on_a_joint_is_named_all_the_same(off: float) -> None:
    grid = FORMATS["a4"].grid()
    entry = PlacedPiece(nested(), Placement.move(complex(grid.step_x + off, grid.step_y + off)))
    words = piece_words(entry, grid)
    assert words.left_over == () and cut_in_two(entry, grid) == []
    for named, size in zip(words.named, entry.piece.sizes, strict=True):
        assert sum(isinstance(i, Text) and i.text == size.size for i in named) >= 2
