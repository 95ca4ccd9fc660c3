"""From a Job to the finished PDF: the pages of reading in front, then the run of full-scale pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.drawing.page import Bookmark, PageSpec
from booklet.facts import Pages
from booklet.model import CutPiece, Job
from booklet.pages.compose import TileRun, compose
from booklet.pages.figures import edge_called
from booklet.pages.piece_lines import on_paper
from booklet.pages.sheet_piece import sheet_pieces
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.words import Words, words_for
from booklet.printing.files import write_beside
from booklet.printing.grid import Grid
from booklet.printing.guide import GuideFacts, GuideWords, print_guide
from booklet.printing.pdf import pdf_bytes
from booklet.printing.sheet import Sheet, arrange
from booklet.printing.tiles import TileWords, draw_sheet, tile_pages
from booklet.units import show

_OFF = {
    "cm": "2\u00a0mm",
    "in": "1/16\u00a0in",
}  # how exactly joined paper can be measured; common practice, no source


@dataclass(frozen=True)
class Printed:
    """A finished booklet, not yet on disk."""

    pdf: bytes
    pages: Pages


def write_pdf(job: Job, out: Path | str) -> None:
    """Writes the booklet at once, or leaves an earlier file as it was. Raises `Fault` where it cannot be written."""
    write_beside(Path(out), print_booklet(job).pdf)


def print_booklet(job: Job) -> Printed:
    """The whole booklet. Raises `Fault` for a piece that cannot be printed or words that the fonts lack."""
    words = words_for(job.language)
    paper = paper_of(job)
    sheet = arrange(sheet_pieces(job), Grid(paper))
    drawn = draw_sheet(sheet)
    style, size = job.style, job.size
    note = f"{style.code}  {size.size}"
    tiles = tile_pages(drawn, note, TileWords(**_table(words, "pattern.tile")))

    def run(first: int, of: int) -> Sequence[PageSpec]:
        facts = GuideFacts(first, first + 1, first + len(tiles), _check(job, sheet, words))
        items = print_guide(sheet, paper, facts, GuideWords(**_table(words, "pattern.guide")))
        title = words("pattern.title")
        aside = words("pattern.aside", count=len(tiles))
        guide = framed(Leaf("tiles", title, aside, items, (Bookmark(title),)), job, words, first, of)
        return [guide, *tiles]

    views = [(title, view) for title, view in job.views if isinstance(view, Drawing)]
    pages = compose(job, cover=views, tiles=TileRun(1 + len(tiles), run))
    pdf = pdf_bytes(
        pages,
        title=f"{style.title}, {size.size}",
        author=job.shop.name,
        subject=style.summary,
        language=job.language,
    )
    counted = Pages(len(pages), len(pages) - len(tiles) + 1, sheet.names(), drawn.left_over)
    return Printed(pdf, counted)


def _table(words: Words, key: str) -> dict[str, str]:
    return words.table(key) if words.has(key) else {}


def _check(job: Job, sheet: Sheet, words: Words) -> str:
    """A long straight line to measure once the pages are joined: the longest fold, else the longest straight edge."""
    cuts = sorted(job.size.cut_pieces, key=lambda c: c.piece.number)
    folds = [(fold.length, c) for c in cuts if (fold := on_paper(c).fold) is not None]
    long = max(sheet.grid.step_x, sheet.grid.step_y)
    off = _OFF[job.units]
    if folds and max(length for length, _ in folds) > long:
        length, cut = max(folds, key=lambda f: f[0])
        return words("pattern.check_fold", number=cut.piece.number, length=show(length, job.units), off=off)
    straight = [(e.length, n, c, e) for n, c in enumerate(cuts) for e in c.paper_net if _straight(c, e.name)]
    if not straight:
        return words("pattern.check_none")
    length, _, cut, edge = max(straight, key=lambda s: (s[0], -s[1]))
    name = edge_called(edge, edge.name)
    return words(
        "pattern.check_edge", number=cut.piece.number, edge=name, length=show(length, job.units), off=off
    )


def _straight(cut: CutPiece, name: str) -> bool:
    edge = next(e for e in cut.paper_net if e.name == name)
    return abs(edge.path.end - edge.path.start) > edge.length - 0.01 and edge.name != cut.piece.fold
