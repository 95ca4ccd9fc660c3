"""The whole file: the booklet's pages, then the full-scale run with its print guide and tiles."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path as FilePath

from booklet.drawing.display import Drawing
from booklet.drawing.page import Bookmark, PageSpec
from booklet.model import Job
from booklet.pages.compose import TileRun, compose
from booklet.pages.sheet_piece import sheet_pieces
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.tile_run import check_words
from booklet.pages.words import words_for
from booklet.printing.grid import Grid
from booklet.printing.guide import GuideFacts, print_guide
from booklet.printing.pdf import write_pdf_pages
from booklet.printing.sheet import arrange
from booklet.printing.tiles import draw_sheet, tile_pages


def book_pages(job: Job, cover: Sequence[tuple[str, Drawing]] = ()) -> list[PageSpec]:
    """Every page of the file, in order. `cover`: captions with drawings of the garment."""
    return compose(job, cover=cover, tiles=tile_run(job))


def tile_run(job: Job) -> TileRun:
    """The guide and the tiles of a job. Raises `Fault` for a job without pieces."""
    paper, words = paper_of(job), words_for(job.language)
    sheet = arrange(sheet_pieces(job), Grid(paper))
    note = words("print.note", code=job.style.code, size=job.size.size)
    tiles = tile_pages(draw_sheet(sheet), note)

    def pages(first: int, of: int) -> list[PageSpec]:
        facts = GuideFacts(first, first + 1, first + len(tiles), check_words(job, words))
        title = words("print.title")
        leaf = Leaf(
            "tiles",
            title,
            words("print.aside", page=first),
            print_guide(sheet, paper, facts),
            (Bookmark(title),),
        )
        return [framed(leaf, job, words, first, of), *tiles]

    return TileRun(1 + len(tiles), pages)


def write_book(job: Job, out: FilePath, cover: Sequence[tuple[str, Drawing]] = ()) -> int:
    """Writes the PDF and returns its number of pages. Raises `Fault` where it cannot be written."""
    pages = book_pages(job, cover)
    write_pdf_pages(
        pages,
        out,
        title=f"{job.style.code} {job.style.title}, size {job.size.size}",
        author=job.shop.name,
        subject=job.style.summary,
        language=job.language,
    )
    return len(pages)
