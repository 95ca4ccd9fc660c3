"""Tiles, read back from the finished file: joined they give the pattern, and every mark is where it must be."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path as FilePath

import numpy as np
import pikepdf
import pytest
import shapely
from helpers.page_paths import Drawn, paths_of
from helpers.sheet_pieces import piece, pieces
from shapely import affinity

from booklet.drawing.bounds import box_of, flat_items
from booklet.drawing.display import Text, box_path
from booklet.drawing.judge import judge
from booklet.drawing.look import A4
from booklet.drawing.page import PageSpec
from booklet.printing.formats import FORMATS
from booklet.printing.grid import Grid, tile_name
from booklet.printing.pdf import write_pdf_pages
from booklet.printing.sheet import Sheet, arrange
from booklet.printing.tiles import draw_sheet, joints_of, tile_pages


@dataclass
class Printed:
    sheet: Sheet
    pages: tuple[PageSpec, ...]
    left_over: tuple[str, ...]
    drawn: list[list[Drawn]]
    labels: list[str]


GRIDS = {key: FORMATS[key].grid() for key in ("a4", "letter", "both", "a3")}
GRIDS["butt"] = FORMATS["a4"].grid(overlap=0.0)
GRIDS["narrow margin"] = FORMATS["letter"].grid(margin=6.0)


@pytest.fixture(scope="module", params=list(GRIDS.values()), ids=list(GRIDS))
def printed(request: pytest.FixtureRequest, tmp_path_factory: pytest.TempPathFactory) -> Printed:
    sheet = arrange(pieces(), request.param)
    drawn = draw_sheet(sheet)
    pages = tile_pages(drawn, "W-014  size 92")
    out = tmp_path_factory.mktemp("tiles") / "tiles.pdf"
    write_pdf_pages(pages, out, title="Tiles")
    return read(sheet, pages, drawn.left_over, out)


def read(sheet: Sheet, pages: tuple[PageSpec, ...], left: tuple[str, ...], out: FilePath) -> Printed:
    with pikepdf.open(out) as pdf:
        return Printed(sheet, pages, left, [paths_of(p) for p in pdf.pages], [p.label for p in pdf.pages])


def on_sheet(printed: Printed, dashed: bool) -> tuple[list[shapely.LineString], shapely.Polygon]:
    """Lines of the forms as the pages show them (clipped), brought back to the sheet; and what paper there is."""
    grid = printed.sheet.grid
    shown = []
    for tile, drawn in zip(printed.sheet.tiles, printed.drawn, strict=True):
        shift = grid.origin(*tile) - complex(grid.margin, grid.margin)
        for path in drawn:
            if not path.form or bool(path.dash) != dashed or path.operator != "S":
                continue
            (clip,) = path.clips
            for sub in path.subpaths:
                line = shapely.LineString([(z.real, z.imag) for z in sub])
                cut = line.intersection(shapely.box(*clip))
                if not cut.is_empty:
                    moved = affinity.translate(cut, shift.real, shift.imag)
                    shown.append(moved)
    return shown, shapely.union_all([shapely.box(*grid.area(*t)) for t in printed.sheet.tiles])


@pytest.mark.parametrize("dashed", [False, True], ids=["cut lines", "stitch lines"])
def test_joined_tiles_give_every_line_back(printed: Printed, dashed: bool) -> None:
    shown, _ = on_sheet(printed, dashed)
    union = shapely.union_all(shown)
    true = []
    for entry in printed.sheet.placed:
        for item in entry.piece.items:
            if item.role == ("stitch" if dashed else "cut"):  # type: ignore[union-attr]
                points = item.subpaths[0].placed(entry.placement).flatten(0.02)  # type: ignore[union-attr]
                true.append(shapely.LineString(np.column_stack([points.real, points.imag])))
    for line in true:
        assert line.difference(union.buffer(0.1)).length < 0.2, "no part of a line is missing"
    real = shapely.union_all(true)
    if dashed:
        assert union.difference(real.buffer(0.1)).is_empty, "and none is drawn elsewhere"
    assert union.hausdorff_distance(real) < 150  # grain arrows and notches share the forms


def test_every_page_is_named_counted_and_listed(printed: Printed) -> None:
    names = [tile_name(r, c) for r, c in printed.sheet.tiles]
    assert printed.labels == names
    for n, (page, name) in enumerate(zip(printed.pages, names, strict=True)):
        words = [f.item.text for f in flat_items(page.drawing.items) if isinstance(f.item, Text)]
        assert name in words
        assert f"tile {n + 1} of {len(names)}" in words and "print at 100 %" in words and "50 mm" in words
        assert page.bookmarks[-1].title == name


def test_every_page_has_a_bar_of_fifty_millimetres(printed: Printed) -> None:
    for drawn in printed.drawn:
        bars = [
            d
            for d in drawn
            if d.operator == "S"
            and len(d.subpaths) == 7
            and abs(abs(d.subpaths[0][1] - d.subpaths[0][0]) - 50) < 0.001
        ]
        assert len(bars) == 1


def test_diamonds_of_neighbours_make_one_whole(printed: Printed) -> None:
    """Each joint has two; both pages draw them about the same point of the sheet, exactly on the joint."""
    grid = printed.sheet.grid
    middles: dict[tuple[int, int], list[complex]] = {}
    for tile, drawn in zip(printed.sheet.tiles, printed.drawn, strict=True):
        shift = grid.origin(*tile) - complex(grid.margin, grid.margin)
        black = [d for d in drawn if d.operator == "f*" and len(d.subpaths) == 2 and not d.form]
        middles[tile] = [d.subpaths[0][0] + shift for d in black]
    for joint in joints_of(printed.sheet.tiles):
        x0, y0, x1, y1 = grid.cell(*joint.second)
        for share in (0.25, 0.75):
            at = complex(x0, y0 + (y1 - y0) * share) if joint.upright else complex(x0 + (x1 - x0) * share, y0)
            for tile in (joint.first, joint.second):
                assert min(abs(z - at) for z in middles[tile]) < 0.001
    assert sum(len(v) for v in middles.values()) == 4 * len(joints_of(printed.sheet.tiles))


def test_neighbours_are_named_and_joints_numbered_alike(printed: Printed) -> None:
    words = {
        tile: [f.item.text for f in flat_items(page.drawing.items) if isinstance(f.item, Text)]
        for tile, page in zip(printed.sheet.tiles, printed.pages, strict=True)
    }
    for joint in joints_of(printed.sheet.tiles):
        first, second = tile_name(*joint.first), tile_name(*joint.second)
        arrows = ("{} \u2192", "\u2190 {}") if joint.upright else ("\u2193 {}", "\u2191 {}")
        assert arrows[0].format(second) in words[joint.first]
        assert arrows[1].format(first) in words[joint.second]
        lapped = printed.sheet.grid.overlap > 0
        assert (f"{second} lies over this strip" in words[joint.first]) is lapped
        assert words[joint.first].count("trim this edge") >= (0 if lapped else 1)
        for letter in "ab":
            for tile in (joint.first, joint.second):
                assert words[tile].count(f"{joint.number}{letter}") == 1


def test_words_clash_with_nothing_and_keep_off_the_paper_edge(printed: Printed) -> None:
    assert printed.left_over == ()
    for page in printed.pages:
        drawing = page.drawing
        margin = printed.sheet.grid.margin
        frame = (margin, margin, drawing.width - margin, drawing.height - margin)
        assert judge(drawing, frame, cut_words=False) == []


def test_nothing_is_printed_in_the_margin(printed: Printed) -> None:
    near = printed.sheet.grid.margin - 0.2  # half a line's width
    for page, drawn in zip(printed.pages, printed.drawn, strict=True):
        limit = shapely.box(near, near, page.drawing.width - near, page.drawing.height - near)
        for path in drawn:
            window = shapely.box(*path.clips[-1]) if path.clips else None
            for sub in path.subpaths:
                line = shapely.LineString([(z.real, z.imag) for z in sub])
                shown = line.intersection(window) if window else line
                assert shown.is_empty or limit.contains(shown)


def test_each_piece_label_is_printed_once_in_full(printed: Printed) -> None:
    said = [f.item for p in printed.pages for f in flat_items(p.drawing.items) if isinstance(f.item, Text)]
    for entry in printed.sheet.placed:
        titles = [t for t in said if t.role == "piece title" and t.text == entry.piece.title]
        assert len(titles) == 1, "a label that a joint would cut is moved"
        assert titles[0].angle_deg in (0.0, -90.0)
    notes = [t for t in said if t.role == "edge name"]
    assert len(notes) == 1
    for page in printed.pages:
        assert box_of(page.drawing.items[0]) is not None


def test_long_narrow_pieces_leave_room_for_name_and_bar() -> None:
    """Ties side by side: words and bar take a quarter turn where they do not fit upright."""
    ties = [piece(str(n), "Tie", box_path(0, 0, 46, 900), lines=("main 2",)) for n in (1, 2, 3, 4)]
    drawn = draw_sheet(arrange(ties, Grid(A4)))
    assert drawn.left_over == ()
    for page in tile_pages(drawn):
        assert judge(page.drawing, (10.0, 10.0, 200.0, 287.0), cut_words=False) == []
        words = [f.item.text for f in flat_items(page.drawing.items) if isinstance(f.item, Text)]
        assert page.label in words and words.count("50 mm") == 1
