"""The page before the tiles: true squares, true figures, the right page numbers."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path as FilePath

import pikepdf
import pytest
from helpers.page_paths import paths_of
from helpers.sheet_pieces import piece, pieces

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Board, Drawing, Text
from booklet.drawing.judge import judge
from booklet.drawing.look import A4, LETTER, Paper
from booklet.drawing.page import PageSpec
from booklet.pages.words import words_for
from booklet.paths import Path
from booklet.printing.formats import FORMATS
from booklet.printing.grid import Grid
from booklet.printing.guide import GuideFacts, GuideWords, print_guide, wrong_scale
from booklet.printing.pdf import write_pdf_pages
from booklet.printing.sheet import Sheet, arrange

CHECK = "The fold edge of piece 1 measures 545\u00a0mm, \u00b1 2\u00a0mm."


def page(sheet: Sheet, paper: Paper, words: GuideWords | None = None) -> Drawing:
    board = Board()
    facts = GuideFacts(15, 16, 15 + len(sheet.tiles), CHECK)
    board.add(*print_guide(sheet, paper, facts, words))
    return board.drawing(paper.width, paper.height)


@pytest.fixture(scope="module", params=[A4, LETTER], ids=["a4", "letter"])
def guide(request: pytest.FixtureRequest) -> tuple[Sheet, Paper, Drawing]:
    sheet = arrange(pieces(), Grid(request.param))
    return sheet, request.param, page(sheet, request.param)


def words_of(drawing: Drawing) -> list[str]:
    return [f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text)]


def test_the_squares_are_true(guide: tuple[Sheet, Paper, Drawing], tmp_path: FilePath) -> None:
    out = tmp_path / "guide.pdf"
    write_pdf_pages([PageSpec(guide[2])], out, title="Guide")
    with pikepdf.open(out) as pdf:
        drawn = paths_of(pdf.pages[0])
    sizes = []
    for path in drawn[:2]:
        xs, ys = ([f(z) for z in path.subpaths[0]] for f in (lambda z: z.real, lambda z: z.imag))
        sizes.append((max(xs) - min(xs), max(ys) - min(ys)))
    assert sizes[0] == pytest.approx((101.6, 101.6), abs=0.001), "4 in"
    assert sizes[1] == pytest.approx((100.0, 100.0), abs=0.001)


def test_the_page_is_clean_and_within_its_grid(guide: tuple[Sheet, Paper, Drawing]) -> None:
    _, paper, drawing = guide
    assert judge(drawing, (paper.left - 0.1, paper.top - 1.5, paper.right + 0.1, paper.foot)) == []


def test_it_names_pages_as_a_print_window_counts_them(guide: tuple[Sheet, Paper, Drawing]) -> None:
    sheet, paper, drawing = guide
    last = 15 + len(sheet.tiles)
    said = words_of(drawing)
    text = " ".join(said)
    assert "Print page 15 alone." in text and f"Print pages 16 to {last} at the same setting." in text
    assert f"15, then 16\u2013{last}" in said and f"{paper.name}, plain" in said
    assert f"{len(sheet.tiles)} pages" in said
    for name in sheet.names():
        assert name in said
    assert "measures 545\u00a0mm" in text


def test_wrong_sizes_are_worked_out() -> None:
    """ISO 216 A4 is 210 x 297 mm, letter paper 8 1/2 x 11 in: the smaller ratio of the sides is the scale."""
    assert wrong_scale(A4) == (LETTER, pytest.approx(279.4 / 297))
    assert wrong_scale(LETTER) == (A4, pytest.approx(210 / 215.9))
    sheet = arrange([piece("1", "Belt", Path.polyline([0j, 150 + 0j, 150 + 40j, 40j], True))], Grid(A4))
    said = words_of(page(sheet, A4))
    assert "94.1" in said and "3.76" in said


BELT = Path.polyline([0j, 150 + 0j, 150 + 40j, 40j], True)


@pytest.mark.parametrize("language", ["en", "fr", "es"])
@pytest.mark.parametrize("key", tuple(FORMATS))
@pytest.mark.parametrize("paper", [A4, LETTER], ids=lambda p: p.name)
def test_what_goes_wrong_on_each_paper_is_what_can(key: str, paper: Paper, language: str) -> None:
    """Nobody fits a roll or a projector's page to paper, and a page for both papers is not made smaller by either."""
    words = GuideWords.of(words_for(language))
    form = FORMATS[key]
    sheet = arrange([piece("1", "Belt", BELT)], form.grid())
    thrown = form.kind == "projector"
    facts = GuideFacts(1, 3, 3, "It measures 545 mm.", grid="100 mm" if thrown else "")
    board = Board()
    board.add(*print_guide(sheet, paper, facts, words))
    drawing = board.drawing(paper.width, paper.height)
    assert judge(drawing, (paper.left - 0.1, paper.top - 1.5, paper.right + 0.1, paper.foot)) == []
    text = " ".join(words_of(drawing))
    measured = paper if key == "both" else form.paper
    others = [n for n in ("A3", "A4", "Letter") if n != measured.name]
    fitted = [words.off_fitted.format(paper=measured.name, other=n) in text for n in others]
    if form.kind != "tiles":
        assert not any(fitted) and (thrown or words.off_percent.format(percent=97) in text)
    else:
        assert sum(fitted) == 1
        shares = [float(s.replace(",", ".")) for s in re.findall(r"\b(\d\d[.,]\d|100[.,]0)\b", text)]
        assert shares.count(100.0) == 1, "a wrong size is never the right one"
    assert (words.viewer_view_value in text) == thrown and (words.window_sides_value in text) != thrown
    assert (words.thrown_less_why.split()[0] in text and words.thrown_what in text) == thrown


def test_one_page_needs_no_joining() -> None:
    sheet = arrange([piece("1", "Belt", Path.polyline([0j, 150 + 0j, 150 + 40j, 40j], True))], Grid(A4))
    drawing = page(sheet, A4)
    text = " ".join(words_of(drawing))
    assert "there is nothing to join" in text and "1 page" in words_of(drawing)
    assert judge(drawing) == []


def test_words_can_be_given_in_another_language() -> None:
    sheet = arrange(pieces(), Grid(A4))
    said = words_of(page(sheet, A4, replace(GuideWords.of(words_for("en")), map_title="Seitenplan")))
    assert "Seitenplan" in said and "Map of the pages" not in said
