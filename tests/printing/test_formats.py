"""Papers of the pattern: their sizes, what goes on each, and what a projector throws."""

from __future__ import annotations

from pathlib import Path as FilePath

import pikepdf
import pytest
from helpers.page_paths import paths_of
from helpers.sheet_pieces import piece, pieces
from helpers.steps import ROOT

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Board, Drawing, PathItem, Text
from booklet.drawing.judge import judge
from booklet.drawing.look import A4
from booklet.inputs import SheetWords, read_inputs, sheet_choice
from booklet.paths import Path
from booklet.printing.formats import FORMATS, LONGEST, sheet_format
from booklet.printing.grid import Grid
from booklet.printing.guide import GuideFacts, page_runs, print_guide
from booklet.printing.pdf import write_pdf_pages
from booklet.printing.projected import GRID, HEAVIER, projected
from booklet.printing.sheet import GAP, arrange
from booklet.printing.tiles import draw_sheet, tile_pages
from booklet.problems import Fault


def test_papers_are_as_the_standards_have_them() -> None:
    """ISO 216: each A size is half the next, sides 1 to the root of 2; ANSI/ASME Y14.1: whole inches and halves."""
    for key in ("a4", "a3", "a2", "a1", "a0"):
        paper = FORMATS[key].paper
        assert paper.height / paper.width == pytest.approx(2**0.5, rel=0.004)
    for small, large in (("a4", "a3"), ("a3", "a2"), ("a2", "a1"), ("a1", "a0")):
        assert FORMATS[large].paper.width == FORMATS[small].paper.height
    for key, inches in {"letter": (8.5, 11), "tabloid": (11, 17), "ansi e": (34, 44)}.items():
        paper = FORMATS[key].paper
        assert (paper.width, paper.height) == pytest.approx((inches[0] * 25.4, inches[1] * 25.4))
    assert FORMATS["roll 36 in"].paper.width == pytest.approx(914.4)
    assert LONGEST == 5080.0  # 14,400 units of 1/72 in


def test_the_tile_that_fits_both_papers() -> None:
    """A print area of 190 x 259.4 mm prints on A4 and on Letter at 100 % with 10 mm margins (arithmetic)."""
    grid = FORMATS["both"].grid()
    assert (grid.area_width, grid.area_height) == pytest.approx((190.0, 259.4))
    for key in ("a4", "letter"):
        other = FORMATS[key].grid()
        assert grid.area_width <= other.area_width and grid.area_height <= other.area_height + 1e-9


@pytest.mark.parametrize("text", ["700 x 1000 mm", "70 x 100 cm", "700mm x 1000mm", "700 × 1000 mm"])
def test_a_print_shops_own_sheet(text: str) -> None:
    paper = sheet_format(text).paper
    assert (paper.width, paper.height) == pytest.approx((700, 1000))


@pytest.mark.parametrize("text", ["a9", "rol 914 mm", "7 x 1000 mm", "700 x 9000 mm", "x", "700 x mm"])
def test_papers_that_there_are_not(text: str) -> None:
    with pytest.raises(Fault) as told:
        sheet_format(text)
    assert "--sheets" in str(told.value) or "no paper" in str(told.value)


@pytest.mark.parametrize("key", ["roll 914 mm", "roll 36 in", "projector"])
def test_a_long_page_holds_whole_pieces_and_ends_with_them(key: str) -> None:
    sheet = arrange(pieces(), FORMATS[key].grid())
    paper = sheet.grid.paper
    assert len(sheet.tiles) == 1
    ends = [p.piece.outline.placed(p.placement).bbox for p in sheet.placed]
    assert max(b[3] for b in ends) == pytest.approx(paper.height - 20 - GAP / 2, abs=1.0)
    if key.startswith("roll"):
        assert paper.width == FORMATS[key].paper.width
    else:
        assert max(b[2] for b in ends) == pytest.approx(paper.width - 20 - GAP / 2, abs=0.01)


def test_a_full_roll_goes_on_with_the_next_page_and_parts_no_piece() -> None:
    tall = [piece(str(n), "Panel", Path.polyline([0j, 600 + 0j, 600 + 2000j, 2000j], True)) for n in range(3)]
    sheet = arrange(tall, FORMATS["roll 914 mm"].grid())
    assert len(sheet.tiles) == 2
    for entry in sheet.placed:
        _, y0, _, y1 = entry.piece.outline.placed(entry.placement).bbox
        assert y0 // sheet.grid.step_y == y1 // sheet.grid.step_y


def test_no_page_of_a_roll_is_longer_than_200_inches_nor_scaled(tmp_path: FilePath) -> None:
    """ISO 32000-1, Annex C: 14,400 units of 1/72 in a side; a larger unit is not understood by every viewer."""
    tall = [piece(str(n), "Panel", Path.polyline([0j, 600 + 0j, 600 + 1600j, 1600j], True)) for n in range(4)]
    drawn = draw_sheet(arrange(tall, FORMATS["roll 914 mm"].grid()))
    write_pdf_pages(tile_pages(drawn), tmp_path / "roll.pdf", title="Roll")
    with pikepdf.open(tmp_path / "roll.pdf") as pdf:
        assert len(pdf.pages) == 2
        for page in pdf.pages:
            assert max(float(v) for v in page.mediabox) <= 14400.01
            assert "/UserUnit" not in page
            drawn_on = [sub for d in paths_of(page) if d.form for sub in d.subpaths]
            heights = [max(z.imag for z in sub) - min(z.imag for z in sub) for sub in drawn_on]
            assert max(heights) == pytest.approx(1600, abs=0.05)


def test_a_piece_too_wide_for_a_roll_is_refused_by_name() -> None:
    wide = piece("7", "Circle", Path.polyline([0j, 1500 + 0j, 1500 + 1400j, 1400j], True))
    with pytest.raises(Fault, match=r"piece 7 'Circle' is 5\d cm too wide for the 914 mm roll"):
        arrange([wide], FORMATS["roll 914 mm"].grid())


def test_a_margin_that_printers_cannot_keep() -> None:
    with pytest.raises(ValueError, match="under 6"):
        FORMATS["a4"].grid(margin=5.9)


def test_pages_of_a_piece_are_told_in_runs() -> None:
    assert page_runs([27, 22, 23, 24]) == "22\u201324, 27"
    assert page_runs([5]) == "5"


@pytest.mark.parametrize("key", ["a0", "roll 914 mm", "projector"])
def test_a_big_page_carries_both_squares(key: str) -> None:
    drawn = draw_sheet(arrange(pieces(), FORMATS[key].grid()))
    (page,) = tile_pages(drawn, "W-014  size 92")
    squares = {
        f.item.role: f.item.subpaths[0].bbox
        for f in flat_items(page.drawing.items)
        if isinstance(f.item, PathItem) and f.item.role.startswith("square")
    }
    for role, side in {"square 4 in": 101.6, "square 100 mm": 100.0}.items():
        x0, y0, x1, y1 = squares[role]
        assert (x1 - x0, y1 - y0) == pytest.approx((side, side))
    assert judge(page.drawing) == []


def _drawing() -> Drawing:
    drawn = draw_sheet(arrange(pieces(), FORMATS["projector"].grid()))
    return tile_pages(drawn)[0].drawing


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_projectors_page_has_heavy_lines_over_a_true_grid(units: str) -> None:
    before = _drawing()
    after = projected(before, units)
    grid = [f.item for f in flat_items(after.items) if isinstance(f.item, PathItem) and f.item.role == "grid"]
    upright = sorted(p.subpaths[0].start.real for p in grid if p.subpaths[0].start.imag == 0)
    assert len(upright) > 2
    for a, b in zip(upright, upright[1:], strict=False):
        assert b - a == pytest.approx(GRID[units])
    thin, thick = (_cuts(d) for d in (before, after))
    assert [w * HEAVIER for w in thin] == pytest.approx(thick)


def _cuts(drawing: Drawing) -> list[float]:
    return [
        f.item.stroke.width_pt
        for f in flat_items(drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == "cut" and f.item.stroke
    ]


def test_inverted_every_line_and_word_is_light() -> None:
    def light(colour: str) -> float:
        return sum(int(colour[n : n + 2], 16) for n in (1, 3, 5)) / 765

    for flat in flat_items(projected(_drawing(), "cm", inverted=True).items):
        item = flat.item
        if isinstance(item, Text):
            assert light(item.colour) > 0.5
        elif isinstance(item, PathItem) and item.stroke and item.role not in ("grid", "tile edge"):
            assert light(item.stroke.colour) > 0.35


@pytest.mark.parametrize("key", list(FORMATS))
@pytest.mark.parametrize("overlap", [10.0, pytest.param(0.0, marks=pytest.mark.more)])
def test_the_guide_is_clean_for_every_paper(key: str, overlap: float) -> None:
    sheet = arrange(pieces(), FORMATS[key].grid(overlap=overlap))
    each = tuple(
        (f"{p.piece.number} {p.piece.title}", page_runs(range(16, 16 + n)))
        for n, p in enumerate(sheet.placed)
    )
    board = Board()
    grid = "100\u00a0mm" if key == "projector" else ""
    facts = GuideFacts(15, 16, 15 + len(sheet.tiles), "The fold edge measures 545 mm.", each, True, grid)
    board.add(*print_guide(sheet, A4, facts))
    drawing = board.drawing(A4.width, A4.height)
    assert judge(drawing, (A4.left - 0.1, A4.top - 1.5, A4.right + 0.1, A4.foot)) == []


def test_what_the_command_line_says_is_checked_at_once() -> None:
    with pytest.raises(Fault) as told:
        sheet_choice(SheetWords("a7", "sewn", None, "half", True), "a4")
    text = str(told.value)
    for word in ("--sheets", "--joining", "--only", "--inverted"):
        assert word in text
    choice = sheet_choice(SheetWords(pieces="sleeve, cuff"), "letter")
    assert (choice.pieces, choice.part, choice.format.key) == (("sleeve", "cuff"), "pattern", "letter")
    assert choice.grid == Grid(FORMATS["letter"].paper)


def test_a_shops_own_margin_goes_onto_its_pages(tmp_path: FilePath) -> None:
    def file(margin: str) -> FilePath:
        (tmp_path / "shop.yaml").write_text(f"shop: Heron\nprints:\n  margin: {margin}\n", encoding="utf-8")
        return tmp_path / "shop.yaml"

    style = ROOT / "styles" / "apron"
    choice = read_inputs(style, shop=file("7 mm")).sheets
    assert choice is not None and choice.grid.margin == 7.0
    assert read_inputs(style, shop=file("10 mm")).sheets is None
    with pytest.raises(Fault, match=r"shop.yaml:3: the pattern's margin is 4 mm"):
        read_inputs(style, shop=file("4 mm"))
