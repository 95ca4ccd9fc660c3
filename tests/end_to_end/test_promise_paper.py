"""Papers and pieces asked for as on the command line, read back from the finished file."""

from __future__ import annotations

import io
import re
from functools import cache

import pikepdf
import pypdfium2
import pytest
import shapely
from helpers.page_paths import MM, Drawn, over_the_edge, paths_of
from helpers.sheet_pieces import piece
from helpers.steps import ROOT
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.look import A4
from booklet.drawing.page import SheetPiece
from booklet.inputs import SheetWords, read_inputs, sheet_choice
from booklet.job import make_job
from booklet.model import Job
from booklet.paths import Path
from booklet.printing.formats import FORMATS
from booklet.printing.grid import Grid
from booklet.printing.sheet import Sheet, arrange, tiles_of
from booklet.printing.sheet_cells import polygon_of
from booklet.problems import Fault
from booklet.write import print_booklet

STYLE = ROOT / "styles" / "trousers"
TITLES = {"front": "Front", "back": "Back"}
LONGEST = 14400.0  # units of 1/72 in: ISO 32000-1, Annex C
SLACK = 0.05  # mm


@cache
def job_of(sizes: str | None) -> Job:
    given = read_inputs(STYLE, sizes=sizes)
    return make_job(given.style, given.bodies, base=given.base, shop=given.shop, evaluations=0)


def printed(asked: SheetWords, sizes: str | None = None) -> bytes:
    return print_booklet(job_of(sizes), sheet_choice(asked, "a4")).pdf


def words(pdf: bytes) -> str:
    document = pypdfium2.PdfDocument(pdf)
    try:
        text = " ".join(page.get_textpage().get_text_range() for page in document)
    finally:
        document.close()
    return " ".join(text.replace("\u00a0", " ").split())


# ---------------------------------------------------------------- papers


@pytest.mark.parametrize("name", [*FORMATS, "700 x 1000 mm"])
def test_every_paper_is_printed_in_its_own_size_without_a_larger_unit(name: str) -> None:
    """Pages of the named paper (a roll's and a projector's as long as what lies on them), squares of true size."""
    form = FORMATS.get(name)
    with pikepdf.open(io.BytesIO(printed(SheetWords(name, pieces="front", part="pattern")))) as pdf:
        tiles = [p for p in pdf.pages if re.fullmatch(r"[A-Z]+\d+", p.label)]
        assert tiles and len(tiles) < len(pdf.pages)
        for page in pdf.pages:
            assert "/UserUnit" not in page and int(page.get("/Rotate", 0)) == 0
            assert max(float(v) for v in page.mediabox) <= LONGEST
        for page in tiles:
            size = tuple(float(page.mediabox[n]) * MM for n in (2, 3))
            assert name == "projector" or over_the_edge(page, 10.0) == 0.0
            if form is None or form.kind == "tiles":
                paper = form.paper if form is not None else None
                wanted = (paper.width, paper.height) if paper is not None else (700, 1000)
                assert size == pytest.approx(wanted, abs=0.01)
            else:
                assert len(tiles) == 1 and size[1] < 2000
                assert size[0] == pytest.approx(form.paper.width, abs=0.01) or form.kind == "projector"
        drawn = [box for page in pdf.pages for path in paths_of(page, steps=4) for box in rectangles(path)]
    for side in (100.0, 101.6):
        assert [b for b in drawn if b == pytest.approx((side, side), abs=SLACK)], side


def rectangles(path: Drawn) -> list[tuple[float, float]]:
    """Width and height of the rectangles that are stroked."""
    out = []
    for sub in path.subpaths if path.operator in "sS" else ():
        xs, ys = [z.real for z in sub], [z.imag for z in sub]
        if len({(round(z.real, 2), round(z.imag, 2)) for z in sub}) == 4:
            out.append((max(xs) - min(xs), max(ys) - min(ys)))
    return out


# ---------------------------------------------------------------- chosen pieces


@pytest.mark.parametrize("sizes", [None, "92,128"], ids=["one", "nested"])
def test_a_reprint_holds_the_asked_pieces_and_no_other(sizes: str | None) -> None:
    """By their titles, and by the length of all their lines on the projector's one page."""
    alone = {key: printed(SheetWords("projector", pieces=key), sizes) for key in TITLES}
    both = printed(SheetWords("projector", pieces="back, front"), sizes)
    assert both == printed(SheetWords("projector", part="pattern"), sizes)
    for key, title in TITLES.items():
        other = next(t for k, t in TITLES.items() if k != key)
        assert re.search(rf"\b{title}\b", words(alone[key])) and re.search(rf"\b{title}\b", words(both))
        assert not re.search(rf"\b{other}\b", words(alone[key]))
    lengths = {key: line_length(pdf) for key, pdf in alone.items()}
    assert lengths["front"] != pytest.approx(lengths["back"], rel=0.01)
    assert line_length(both) == pytest.approx(sum(lengths.values()), rel=1e-3)
    (cut,) = [c for c in job_of(sizes).sizes[0].cut_pieces if c.piece.key == "front"]
    assert lengths["front"] > cut.paper_cut.length


def line_length(pdf: bytes) -> float:
    """How long all lines of the pieces' own drawings (forms) on a file's last page are together, mm."""
    with pikepdf.open(io.BytesIO(pdf)) as file:
        drawn = [d for d in paths_of(file.pages[-1], steps=20) if d.form and d.operator == "S"]
    return sum(abs(b - a) for d in drawn for sub in d.subpaths for a, b in zip(sub, sub[1:], strict=False))


@pytest.mark.parametrize(
    ("asked", "told"),
    [
        (SheetWords(pieces=" , "), "--pieces names no piece"),
        (SheetWords(pieces="front", part="booklet"), "would leave the pieces out"),
    ],
)
def test_what_would_print_something_else_is_refused(asked: SheetWords, told: str) -> None:
    with pytest.raises(Fault, match=told):
        sheet_choice(asked, "a4")


def test_pieces_that_there_are_not_are_all_named() -> None:
    with pytest.raises(Fault) as told:
        printed(SheetWords(pieces="frnt,knee,back"))
    assert "'frnt'" in str(told.value) and "'knee'" in str(told.value) and "front" in str(told.value)
    assert "'back'" not in str(told.value)


# ---------------------------------------------------------------- parted only where it must be


def box_piece(n: int, wide: float, high: float) -> SheetPiece:
    return piece(str(n), "Box", Path.polyline([0j, wide + 0j, complex(wide, high), complex(0, high)], True))


def parted(sheet: Sheet) -> int:
    return sum(len(tiles_of((entry,), sheet.grid)) > 1 for entry in sheet.placed)


def test_pieces_that_fit_on_a_page_are_not_parted_where_that_saves_none() -> None:
    """Strips as of stand, collar and cuff: on A4 as many pages as ever, and each of them whole."""
    strips = [box_piece(n, *size) for n, size in enumerate([(250, 62), (250, 58), (258, 70), (170, 90)])]
    sheet = arrange(strips, Grid(A4))
    assert parted(sheet) == 0 and sheet.grid == Grid(A4)
    alone = [len(arrange([one], Grid(A4)).tiles) for one in strips]
    assert alone == [1, 1, 1, 1] and len(sheet.tiles) <= 2


def test_a_small_piece_beside_a_long_one_stays_whole() -> None:
    """The long one takes three pages one below the other, and the small one, which none of them has room for, a fourth."""
    sheet = arrange([box_piece(1, 150, 700), box_piece(2, 100, 100)], Grid(A4))
    pages = [len(tiles_of((entry,), sheet.grid)) for entry in sheet.placed]
    assert pages == [3, 1] and len(sheet.tiles) == 4


@settings(max_examples=10)
@given(st.lists(st.tuples(st.floats(20, 170), st.floats(20, 255)), min_size=1, max_size=6))
def test_whoever_is_parted_had_no_room_on_a_page(sizes: list[tuple[float, float]]) -> None:
    """Pieces of less than a page: of those parted none fits beside the others into a page's corner, turned or not."""
    sheet = arrange([box_piece(n, *size) for n, size in enumerate(sizes)], Grid(A4))
    shapes = [polygon_of(entry.piece, entry.placement) for entry in sheet.placed]
    for n, entry in enumerate(sheet.placed):
        if len(tiles_of((entry,), sheet.grid)) == 1:
            continue
        others = shapely.union_all([s for k, s in enumerate(shapes) if k != n])
        for tile in sheet.tiles:
            x0, y0, x1, y1 = sheet.grid.cell(*tile)
            for wide, high in (sizes[n], sizes[n][::-1]):
                # A little more room than it needs, as pieces lie on a grid of cells.
                for x, y in (
                    (x0, y0),
                    (x1 - wide - 20, y0),
                    (x0, y1 - high - 20),
                    (x1 - wide - 20, y1 - high - 20),
                ):
                    room = shapely.box(x, y, x + wide + 20, y + high + 20)
                    inside = shapely.box(x0, y0, x1 + 0.01, y1 + 0.01).contains(room)
                    assert not inside or room.intersects(others), (n, tile)


# ---------------------------------------------------------------- joining


@pytest.mark.parametrize(("joining", "shared"), [("lap", 10.0), ("butt", 0.0), (None, 10.0)])
def test_pages_share_a_strip_where_they_are_lapped_and_none_edge_to_edge(
    joining: str | None, shared: float
) -> None:
    """The grid's step against its print area, and what the guide tells to trim."""
    choice = sheet_choice(SheetWords(joining=joining, part="pattern"), "a4")
    grid = choice.grid
    assert grid.area_width - grid.step_x == grid.area_height - grid.step_y == shared
    told = words(print_booklet(job_of(None), choice).pdf)
    assert ("every edge that has diamonds on it" in told) == (joining == "butt")
    assert ("the left and the top edge of each page" in told) == (joining != "butt")
