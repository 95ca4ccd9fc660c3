"""A binder's index: every style with its drawing, what it takes, and the page where its sheet begins.

Pages keep their left edge free for the holes; two short marks show where ISO 838 has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing, Item
from booklet.drawing.page import Bookmark, PageSpec
from booklet.drawing.scaled import fitted
from booklet.drawing.text import break_lines, paragraph
from booklet.model import Job
from booklet.pages import figures
from booklet.pages.copy_words import recommended_lay
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.packs import PageRun
from booklet.pages.shop_sheet import sheet_blocks
from booklet.pages.spec import Leaf, frame_words, framed, heading, paper_of, rule, shortened
from booklet.pages.words import Words, sentence
from booklet.paths import Placement
from booklet.problems import Problem

# ISO 838: holes 80 mm apart, their middles 12 mm from the edge and alike far from the page's middle. On Letter paper
# three holes 4 1/4 in apart, 1/2 in from the edge (common practice, no source).
HOLES = {"a4": (12.0, (-40.0, 40.0)), "letter": (12.7, (-107.95, 0.0, 107.95))}
VIEW_WIDE, VIEW_HIGH = 36.0, 32.0
ROW = 39.0
MARK = look.Stroke(0.35, look.SOFT)


@dataclass(frozen=True)
class Entry:
    """A style of the binder: its job, its run of pages and, once numbered, its first page."""

    job: Job
    words: Words
    run: PageRun
    first: int = 0


@dataclass(frozen=True)
class Broken:
    """A style that could not be made, with every reason."""

    name: str
    problems: tuple[Problem, ...]


def sheet_run(job: Job, words: Words, views: Sequence[tuple[str, Drawing]]) -> PageRun:
    """The shop's sheet of one style, set on upright pages for the binder."""
    paper = replace(paper_of(job), top=26.0)
    filled = flow(sheet_blocks(job, words, views, paper), paper.top, paper.foot)

    def pages(first: int, of: int) -> list[PageSpec]:
        mark = (Bookmark(f"{job.style.code} {job.style.title}"),)
        leaves = [Leaf("sheet", "", "", items, mark if n == 0 else ()) for n, items in enumerate(filled)]
        return [framed(leaf, job, words, first + n, of) for n, leaf in enumerate(leaves)]

    return PageRun(len(filled), pages)


def index_pages(
    name: str,
    shop: str,
    entries: Sequence[Entry],
    broken: Sequence[Broken],
    job: Job | None,
    words: Words,
    of: int,
) -> list[PageSpec]:
    """The index with the entries as they are numbered, and what has no sheet. `job` lends paper and units."""
    paper = paper_of(job) if job is not None else look.A4
    blocks: list[Block] = [_entry(e, paper, n) for n, e in enumerate(entries)]
    if broken:
        blocks.append(heading_block(words("binder.broken"), words("binder.broken_aside"), paper))
        blocks += [b for one in broken for b in _broken(one, paper)]
    pages = []
    for n, items in enumerate(flow(blocks, paper.top, paper.foot) or ((),), 1):
        board = Board()
        aside = words("binder.aside", count=len(entries))
        frame_words(board, paper, words("binder.title"), name, shop, "", words("frame.page", n=n, of=of))
        if n == 1:
            heading(board, paper, name, aside)
        board.add(*items)
        marks = (Bookmark(words("binder.title")),) if n == 1 else ()
        pages.append(PageSpec(board.drawing(paper.width, paper.height), str(n), marks))
    return pages


def _entry(entry: Entry, paper: look.Paper, n: int) -> Block:
    """One row: front and back at the left, code, title and amounts, the page at the right."""
    job, words = entry.job, entry.words
    board = Board()
    if n:
        rule(board, paper, 0.0, look.ROW_RULE)
    top = 4.0 if n else 0.0
    x = paper.left
    for _, view in [v for v in job.views if isinstance(v[1], Drawing)][:2]:
        assert isinstance(view, Drawing)
        small = fitted(view, VIEW_WIDE, VIEW_HIGH, pens=True)
        board.group(small.items, Placement.move(complex(x + (VIEW_WIDE - small.width) / 2, top)), role="view")
        x += VIEW_WIDE + 3
    left, right = paper.left + 2 * (VIEW_WIDE + 3) + 3, paper.right
    last = entry.first + entry.run.count - 1
    page = words("binder.page", n=entry.first)
    if last > entry.first:
        page = words("binder.pages", first=entry.first, last=last)
    y = top + 5.0
    board.text(right, y, page, look.TABLE_PT, 600, look.INK, "end", role="page")
    board.text(left, y, job.style.code, look.TABLE_PT, 600, look.ACCENT, role="title")
    y = paragraph(board, left, y + 6.2, job.style.title, right - left, look.STEP_TITLE_PT, 5.4, weight=600)
    lines = break_lines(job.style.summary, right - left, look.CHECK_PT)
    text = (
        job.style.summary
        if len(lines) <= 3
        else shortened(job.style.summary, 3 * (right - left), look.CHECK_PT)
    )
    y = paragraph(board, left, y, text, right - left, look.CHECK_PT, look.CHECK_LEADING) + 0.8
    for line in _amounts(job, words):
        y = paragraph(board, left, y, line, right - left, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT)
    return Block(max(ROW, y + 1.0), tuple(board.items), 0.0)


def _amounts(job: Job, words: Words) -> list[str]:
    minutes = figures.hours(sum(s.minutes for s in job.steps), words)
    pieces = words("cover.pieces", count=len(job.size.cut_pieces))
    out = [f"{words('cover.size')} {job.size.size} · " + words("binder.work", pieces=pieces, minutes=minutes)]
    for need in job.size.cloths:
        lay = recommended_lay(job.size, need.key)
        if lay is not None:
            width, buy = (
                figures.cloth_width(lay.width_mm, job.units),
                figures.cloth_length(lay.buy_mm, job.units),
            )
            out.append(words("binder.cloth", cloth=sentence(need.title), width=width, buy=buy))
    return out


def _broken(broken: Broken, paper: look.Paper) -> list[Block]:
    wide = paper.right - paper.left
    blocks = [words_block(broken.name, paper.left, wide, weight=600, before=4, keep=True)]
    for problem in broken.problems:
        where = f"{problem.where}: " if problem.where is not None else ""
        text = f"{where}{problem.sentence()}"
        blocks.append(
            words_block(text, paper.left + 4, wide - 4, look.CHECK_PT, look.CHECK_LEADING, before=1.2)
        )
    return blocks


def holed(page: PageSpec, paper: str) -> PageSpec:
    """The page with two or three short marks at its left edge, level with the binder's holes."""
    off, places = HOLES[paper]
    drawing = page.drawing
    board = Board()
    for down in places:
        y = drawing.height / 2 + down
        board.line(complex(off - 4.0, y), complex(off + 1.0, y), MARK, "hole")
    items: tuple[Item, ...] = (*drawing.items, *board.items)
    return replace(page, drawing=replace(drawing, items=items))
