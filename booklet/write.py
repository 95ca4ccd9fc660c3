"""From a Job to the finished PDF: the pages of reading in front, then the run of full-scale pages."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from booklet.drawing.display import Drawing, Item
from booklet.drawing.page import Bookmark, PageSpec, SheetPiece
from booklet.drawing.recolour import recoloured
from booklet.facts import Pages
from booklet.model import CutPiece, Job
from booklet.pages.compose import TileRun, compose
from booklet.pages.figures import edge_called
from booklet.pages.instructions import instructions
from booklet.pages.nest_lines import pens_of
from booklet.pages.nest_piece import nest_check, nest_pieces
from booklet.pages.nest_words import layer_name, sizes_told
from booklet.pages.piece_lines import on_paper
from booklet.pages.sheet_piece import sheet_pieces
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.words import Words, words_for
from booklet.printing.files import Attached, write_beside
from booklet.printing.formats import FORMATS, SheetChoice
from booklet.printing.guide import GuideFacts, GuideWords, page_runs, print_guide
from booklet.printing.hypertext import html_bytes, text_bytes
from booklet.printing.nest_guide import NestGuide, NestWords, nest_guide
from booklet.printing.pdf import pdf_bytes
from booklet.printing.projected import GRID, projected
from booklet.printing.sheet import Sheet, arrange, tiles_of
from booklet.printing.tiles import BIG_SHEET, TileWords, draw_sheet, tile_pages
from booklet.printing.weave import weave
from booklet.problems import Collector, nearest
from booklet.reading.packs import Pack
from booklet.units import show, told

_OFF = {
    "cm": "2\u00a0mm",
    "in": "1/16\u00a0in",
}  # how exactly joined paper can be measured; common practice, no source


@dataclass(frozen=True)
class Printed:
    """A finished booklet, not yet on disk."""

    pdf: bytes
    pages: Pages


def write_pdf(job: Job, out: Path | str, choice: SheetChoice | None = None, pack: Pack | None = None) -> None:
    """Writes the booklet at once, or leaves an earlier file as it was. Raises `Fault` where it cannot be written."""
    write_beside(Path(out), print_booklet(job, choice, pack).pdf)


def print_booklet(
    job: Job,
    choice: SheetChoice | None = None,
    pack: Pack | None = None,
    attached: Sequence[Attached] = (),
) -> Printed:
    """The whole booklet or a pack, or the part of it that is chosen; the pattern goes on the booklet's own paper if not
    told.

    Raises `Fault` for a piece that cannot be printed or is not there, or words that the fonts lack.
    """
    laid, counted = laid_out(job, choice, pack)
    return Printed(_bytes(job, laid, attached), counted)


def laid_out(
    job: Job, choice: SheetChoice | None = None, pack: Pack | None = None
) -> tuple[Sequence[PageSpec], Pages]:
    """The pages that `print_booklet` prints, in the booklet's own colours. Raises as it does."""
    words = words_for(job.language, job.wording)
    paper = paper_of(job)
    choice = choice or SheetChoice(FORMATS[job.paper])
    views = [(title, view) for title, view in job.views if isinstance(view, Drawing)]
    if choice.part == "booklet" or (pack is not None and not pack.has("pattern") and choice.part == "all"):
        pages = compose(job, cover=views, pack=pack)
        return pages, Pages(len(pages), 0, (), ())
    sheet = _paper_named(arrange(_wanted(job, choice), choice.grid), words)
    drawn = draw_sheet(sheet)
    style, size = job.style, job.size
    names = [s.size for s in job.sizes]
    note = f"{style.code}  {sizes_told(names, words) if job.nested else size.size}"
    tiles = tile_pages(drawn, note, TileWords.of(words))
    if choice.format.kind == "projector":
        tiles = tuple(replace(t, drawing=projected(t.drawing, job.units, choice.inverted)) for t in tiles)

    starts: list[int] = []
    nest = _nest_guide(job, sheet, words) if job.nested else None
    before = 1 + (len(nest.parts) if nest is not None else 0)  # pages before the pattern's first

    def run(first: int, of: int) -> Sequence[PageSpec]:
        starts.append(first + before)
        thrown = choice.format.kind == "projector"
        facts = GuideFacts(
            first,
            first + before,
            first + before + len(tiles) - 1,
            nest_check(job, [p.piece.key for p in sheet.placed], words, _off(job))
            if job.nested
            else _check(job, sheet, words),
            () if job.nested else _by_piece(sheet, first + 1),
            sheet.grid.paper.width >= BIG_SHEET,
            show(GRID[job.units], job.units) if thrown else "",
        )
        items = print_guide(sheet, paper, facts, GuideWords.of(words))
        title = words("pattern.title")
        aside = words("pattern.aside", count=len(tiles))
        guide = framed(Leaf("tiles", title, aside, items, (Bookmark(title),)), job, words, first, of)
        more = nest.pages(first + before) if nest is not None else []
        told = [
            framed(nest_leaf(page, sizes_told(names, words), words), job, words, first + n, of)
            for n, page in enumerate(more, 1)
        ]
        return [guide, *told, *tiles]

    if choice.part == "pattern":
        pages = list(run(1, before + len(tiles)))
    else:
        pages = compose(job, cover=views, tiles=TileRun(before + len(tiles), run), pack=pack)
    return pages, Pages(len(pages), starts[-1], sheet.names(), drawn.left_over)


def _bytes(job: Job, pages: Sequence[PageSpec], attached: Sequence[Attached]) -> bytes:
    """The file, in the shop's colours, with the pages of its own laid in."""
    names, words = [s.size for s in job.sizes], words_for(job.language, job.wording)
    made = pdf_bytes(
        recoloured(pages, job.shop.palette),
        title=f"{job.style.title}, {sizes_told(names, words) if job.nested else job.size.size}",
        author=job.shop.name,
        subject=job.style.summary,
        language=job.language,
        attached=attached,
        layers=_layers(job),
    )
    return weave(made, pages)


def _layers(job: Job) -> list[str]:
    words = words_for(job.language, job.wording)
    return [layer_name(s.size, words) for s in job.sizes] if job.nested else []


def instructions_as(kind: str, job: Job) -> bytes:
    """What the booklet says as 'html' or 'txt'."""
    told = instructions(job, words_for(job.language, job.wording))
    return html_bytes(told) if kind == "html" else text_bytes(told)


def _wanted(job: Job, choice: SheetChoice) -> tuple[SheetPiece, ...]:
    pieces = nest_pieces(job) if job.nested else sheet_pieces(job)
    if not choice.pieces:
        return pieces
    known = [p.key for p in pieces]
    collector = Collector()
    for key in choice.pieces:
        if key not in known:
            collector.error(
                "usage",
                None,
                f"--pieces names '{key}', which is no printed piece",
                nearest(key, known).strip(),
            )
    collector.raise_if_errors()
    return tuple(p for p in pieces if p.key in choice.pieces)


def _paper_named(sheet: Sheet, words: Words) -> Sheet:
    """The sheet with its paper called as the language calls it, where that isn't the same everywhere."""
    paper = sheet.grid.paper
    name = words.table("pattern.papers").get(paper.name, paper.name)
    return replace(sheet, grid=replace(sheet.grid, paper=replace(paper, name=name)))


def _by_piece(sheet: Sheet, first_tile: int) -> tuple[tuple[str, str], ...]:
    """Which physical pages each piece lies on."""
    at = {tile: first_tile + n for n, tile in enumerate(sheet.tiles)}
    return tuple(
        (f"{p.piece.number} {p.piece.title}", page_runs([at[t] for t in tiles_of((p,), sheet.grid)]))
        for p in sheet.placed
    )


def _nest_guide(job: Job, sheet: Sheet, words: Words) -> NestGuide:
    names = [s.size for s in job.sizes]
    texts = NestWords(**words.table("nest.guide"))
    return nest_guide(sheet, names, pens_of(len(names)), paper_of(job), texts)


def nest_leaf(items: tuple[Item, ...], aside: str, words: Words) -> Leaf:
    """The page that tells which pages a size needs."""
    title = words("nest.title")
    return Leaf("tiles", title, aside, items, (Bookmark(title, 1),))


def _table(words: Words, key: str) -> dict[str, str]:
    return words.table(key) if words.has(key) else {}


def _check(job: Job, sheet: Sheet, words: Words) -> str:
    """A long straight line to measure once the pages are joined: the longest fold, else the longest straight edge."""
    here = {p.piece.key for p in sheet.placed}
    cuts = sorted((c for c in job.size.cut_pieces if c.piece.key in here), key=lambda c: c.piece.number)
    folds = [(fold.length, c) for c in cuts if (fold := on_paper(c).fold) is not None]
    long = max(sheet.grid.step_x, sheet.grid.step_y)
    off = _off(job)
    if folds and max(length for length, _ in folds) > long:
        length, cut = max(folds, key=lambda f: f[0])
        return words("pattern.check_fold", number=cut.piece.number, length=show(length, job.units), off=off)
    straight = [(e.length, n, c, e) for n, c in enumerate(cuts) for e in c.paper_net if _straight(c, e.name)]
    if not straight:
        return words("pattern.check_none")
    length, _, cut, edge = max(straight, key=lambda s: (s[0], -s[1]))
    name = edge_called(edge, edge.name, words)
    return words(
        "pattern.check_edge", number=cut.piece.number, edge=name, length=show(length, job.units), off=off
    )


def _off(job: Job) -> str:
    return told(_OFF[job.units], job.units)


def _straight(cut: CutPiece, name: str) -> bool:
    edge = next(e for e in cut.paper_net if e.name == name)
    return abs(edge.path.end - edge.path.start) > edge.length - 0.01 and edge.name != cut.piece.fold
