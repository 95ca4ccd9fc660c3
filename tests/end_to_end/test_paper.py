"""Finished booklets as a printer and a viewer see them: paper, scale, fonts, names of pages."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pikepdf
import pypdfium2
import pytest
from helpers.page_paths import over_the_edge, paths_of

PAPERS = {
    "a4": (595.276, 841.890),  # ISO 216: 210 x 297 mm, at 72 units an inch
    "letter": (612.0, 792.0),  # ANSI/ASME Y14.1 size A: 8 1/2 x 11 in
}
TRUE = {100.0: "100 mm", 4 * 25.4: "4 in"}  # the international inch of 1959: 25.4 mm
DPI = 300


def test_every_page_is_of_the_chosen_paper(booklet: Any) -> None:
    wide, tall = PAPERS[booklet.job.paper]
    assert len(booklet.pdf.pages) == booklet.pages.count
    for page in booklet.pdf.pages:
        for box in (page.mediabox, page.cropbox):
            assert [float(v) for v in box] == pytest.approx([0, 0, wide, tall], abs=0.01)
        assert int(page.get("/Rotate", 0)) == 0 and float(page.get("/UserUnit", 1)) == 1


def test_nothing_of_the_pattern_is_nearer_to_the_papers_edge_than_ten_millimetres(booklet: Any) -> None:
    for page in booklet.tiles:
        assert over_the_edge(page, 10.0) == 0.0


def test_every_font_is_embedded(booklet: Any) -> None:
    fonts = [o for o in booklet.pdf.objects if _is_dictionary(o) and o.get("/Type") == "/Font"]
    assert fonts
    for font in fonts:
        for one in font.get("/DescendantFonts", [font]):
            told = one.get("/FontDescriptor")
            assert told is not None, f"{font.get('/BaseFont')} is not embedded"
            assert any(key in told for key in ("/FontFile", "/FontFile2", "/FontFile3")), font.BaseFont


def _is_dictionary(thing: Any) -> bool:
    return isinstance(thing, pikepdf.Dictionary)


def test_viewers_are_told_not_to_scale_and_what_it_is_called(booklet: Any) -> None:
    root, style = booklet.pdf.Root, booklet.job.style
    assert root.ViewerPreferences.PrintScaling == "/None"
    assert str(root.Lang) == booklet.job.language == "en"
    assert style.title in str(booklet.pdf.docinfo.Title)
    assert root.ViewerPreferences.get("/DisplayDocTitle", False)


def test_bookmarks_lead_through_the_booklet_and_pages_are_named(booklet: Any) -> None:
    with booklet.pdf.open_outline() as outline:
        titles = [item.title for item in outline.root]
        leads = [child.title for item in outline.root for child in item.children]
        assert all(item.destination is not None or item.action is not None for item in outline.root)
    assert len(titles) >= 8 and all(titles)
    names = list(booklet.pages.tiles)
    assert [t for t in [*titles, *leads] if t in names] == names, "every full-scale page can be gone to"
    labels = [page.label for page in booklet.pdf.pages]
    first = booklet.pages.first_tile
    assert labels[: first - 1] == [str(n) for n in range(1, first)]
    assert labels[first - 1 :] == names


def squares(booklet: Any) -> dict[float, tuple[float, float, float, float]]:
    """Boxes of the drawn test squares by the side each should have, from the page's content, mm, y down."""
    found: dict[float, tuple[float, float, float, float]] = {}
    for path in paths_of(booklet.pdf.pages[booklet.guide]):
        for sub in path.subpaths:
            xs, ys = [z.real for z in sub], [z.imag for z in sub]
            box = (min(xs), min(ys), max(xs), max(ys))
            corners = {(round(z.real, 2), round(z.imag, 2)) for z in sub}
            if path.operator in "sS" and len(corners) == 4 and min(box[2] - box[0], box[3] - box[1]) > 90:
                side = min(TRUE, key=lambda s: abs(box[2] - box[0] - s))
                assert side not in found
                found[side] = box
    assert set(found) == set(TRUE)
    return found


def test_the_squares_are_true_in_the_page_content(booklet: Any) -> None:
    for side, (x0, y0, x1, y1) in squares(booklet).items():
        assert x1 - x0 == pytest.approx(side, abs=0.05), TRUE[side]
        assert y1 - y0 == pytest.approx(side, abs=0.05), TRUE[side]


def test_the_squares_are_true_in_a_raster(booklet: Any) -> None:
    """Middles of the lines, weighed by their ink. The renderer stretches a page to whole pixels; this is undone."""
    ink, across, down = raster(booklet.file, booklet.guide)
    pixel = 25.4 / DPI
    for side, (x0, y0, x1, y1) in squares(booklet).items():
        # Between the ticks: those of 10 mm start at the lower left corner, those of 1/4 in too.
        rows = slice(int((y1 - 17) / down), int((y1 - 13) / down))
        columns = slice(int((x0 + 13) / across), int((x0 + 17) / across))
        wide = middle(ink[rows].sum(0), x1, across) - middle(ink[rows].sum(0), x0, across)
        tall = middle(ink[:, columns].sum(1), y1, down) - middle(ink[:, columns].sum(1), y0, down)
        assert wide == pytest.approx(side, abs=pixel), TRUE[side]
        assert tall == pytest.approx(side, abs=pixel), TRUE[side]


def raster(file: Path, page: int) -> tuple[np.ndarray, float, float]:
    """Ink of a page (1 is black), and how many mm a pixel is across and down."""
    document = pypdfium2.PdfDocument(file)
    try:
        sheet = document[page]
        bitmap = sheet.render(scale=DPI / 72, grayscale=True)
        ink = 1 - bitmap.to_numpy().reshape(bitmap.height, -1)[:, : bitmap.width].astype(float) / 255
        wide, tall = sheet.get_size()
        return ink, wide / 72 * 25.4 / bitmap.width, tall / 72 * 25.4 / bitmap.height
    finally:
        document.close()


def middle(ink: np.ndarray, near: float, scale: float) -> float:
    """Where the line lies whose middle is about `near` mm."""
    first, last = round((near - 0.7) / scale), round((near + 0.7) / scale)
    window = ink[first:last]
    assert window.sum() > 0, "there is a line"
    at = np.arange(first, last) + 0.5
    return float((at * window).sum() / window.sum()) * scale
