"""Pieces on the sheet: apart, true, on few pages, always alike."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from helpers.sheet_pieces import piece, pieces
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.look import A4, LETTER
from booklet.drawing.page import SheetPiece
from booklet.paths import Path
from booklet.printing.grid import Grid, row_name, tile_name
from booklet.printing.sheet import GAP, Sheet, arrange
from booklet.problems import Fault


def ground(sheet: Sheet) -> list[shapely.Polygon]:
    out = []
    for entry in sheet.placed:
        points = entry.piece.outline.placed(entry.placement).flatten(0.1)
        out.append(shapely.Polygon(np.column_stack([points.real, points.imag])))
    return out


def holds(sheet: Sheet) -> None:
    """No two pieces nearer than the gap, none mirrored, all of each on printed tiles and none empty."""
    shapes = ground(sheet)
    for n, one in enumerate(shapes):
        for other in shapes[n + 1 :]:
            assert one.distance(other) >= GAP - 0.5
    cells = [shapely.box(*sheet.grid.cell(r, c)) for r, c in sheet.tiles]
    paper = shapely.union_all(cells).buffer(0.01)
    for entry, shape in zip(sheet.placed, shapes, strict=True):
        assert not entry.placement.mirrored
        assert abs(entry.placement.turn) == pytest.approx(1, abs=1e-12), "turned, and nothing else"
        assert paper.contains(shape)
    for cell in cells:
        assert any(cell.intersects(shape) for shape in shapes)


@pytest.mark.parametrize("paper", [A4, LETTER])
def test_a_garment_lies_on_few_pages(paper) -> None:  # type: ignore[no-untyped-def]
    sheet = arrange(pieces(), Grid(paper))
    holds(sheet)
    assert sheet == arrange(pieces(), Grid(paper))
    covered = sum(s.area for s in ground(sheet))
    least = math.ceil(covered / (sheet.grid.step_x * sheet.grid.step_y))
    assert len(sheet.tiles) <= least * 1.7


def box_piece(n: int, w: float, h: float) -> SheetPiece:
    return piece(str(n), "Box", Path.polyline([0j, w + 0j, complex(w, h), complex(0, h)], True))


@settings(max_examples=6)
@given(st.lists(st.tuples(st.floats(20, 420), st.floats(20, 700)), min_size=1, max_size=5))
def test_any_rectangles_hold(sizes: list[tuple[float, float]]) -> None:
    holds(arrange([box_piece(n, w, h) for n, (w, h) in enumerate(sizes)], Grid(A4)))


def test_a_piece_turns_where_that_saves_paper() -> None:
    """160 x 250 and 150 x 240 go on a page each; 250 x 160 would need two if it could not turn."""
    sheet = arrange([box_piece(1, 250, 160)], Grid(A4))
    assert len(sheet.tiles) == 1 and abs(sheet.placed[0].placement.turn.imag) == 1
    assert len(arrange([box_piece(1, 170, 120), box_piece(2, 120, 170)], Grid(A4)).tiles) <= 2


def test_a_piece_leans_where_that_saves_paper() -> None:
    """A strip 280 mm long, drawn so steep that it is a little too wide for a page of 180 x 267 mm."""
    corner = 8.0
    strip = [complex(x, y) for x, y in ((0, 0), (280, 0), (280, 10), (0, 10))]
    leant = Path.polyline([z * complex(math.cos(math.radians(-60 + corner)), math.sin(math.radians(-60 + corner)))
                           for z in strip], True)  # fmt: skip
    sheet = arrange([piece("1", "Strip", leant)], Grid(A4))
    holds(sheet)
    assert len(sheet.tiles) == 1
    turn = sheet.placed[0].placement.turn
    assert min(abs(turn.real), abs(turn.imag)) > 0.1, "no quarter turn serves"


def test_empty_pages_are_left_out() -> None:
    """A long belt and a tall strip: the rectangle round them has pages with nothing on them."""
    tall = Path.polyline([0j, 60 + 0j, 60 + 900j, 1000 + 900j, 1000 + 960j, 960j], True)
    sheet = arrange([piece("1", "Corner", tall)], Grid(A4))
    holds(sheet)
    assert len(sheet.tiles) < sheet.rows * sheet.columns


def test_names_count_on() -> None:
    assert tile_name(1, 1) == "B2" and row_name(25) == "Z" and row_name(26) == "AA" and row_name(52) == "BA"


def test_faults_are_sentences() -> None:
    with pytest.raises(Fault, match="no piece to print"):
        arrange([], Grid(A4))
    with pytest.raises(Fault, match=r"'Box' is 6\.0 m long"):
        arrange([box_piece(1, 100, 6000)], Grid(A4))
