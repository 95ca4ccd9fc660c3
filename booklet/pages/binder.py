"""A binder's index: every style with its drawing, what it takes, and the page where its sheet begins.

Pages keep the edge of the holes free, the left one, of backs the right one; short marks show where ISO 838 has them.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing, Item
from booklet.drawing.page import Bookmark, PageSpec
from booklet.drawing.scaled import fitted
from booklet.drawing.text import break_lines, measure, paragraph
from booklet.model import Job
from booklet.pages import figures
from booklet.pages.compose import compose
from booklet.pages.copy_words import recommended_lay
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.nest_words import sizes_told
from booklet.pages.packs import PageRun
from booklet.pages.shop_sheet import sheet_blocks
from booklet.pages.spec import Leaf, frame_words, framed, heading, paper_of, rule, shortened
from booklet.pages.words import Words, sentence
from booklet.paths import Placement
from booklet.problems import Problem
from booklet.reading.packs import Pack

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


def pack_run(job: Job, pack: Pack, views: Sequence[tuple[str, Drawing]]) -> PageRun:
    """The pages of a pack; their bookmarks stand under one of the style."""

    def pages(first: int, of: int) -> list[PageSpec]:
        made = compose(job, cover=views, pack=pack, begin=first, total=of)
        deeper = [
            replace(p, bookmarks=tuple(replace(m, level=m.level + 1) for m in p.bookmarks)) for p in made
        ]
        own = Bookmark(f"{job.style.code} {job.style.title}")
        return [replace(deeper[0], bookmarks=(own, *deeper[0].bookmarks)), *deeper[1:]]

    return PageRun(len(compose(job, cover=views, pack=pack)), pages)


def turned_page(shop: str, job: Job, words: Words, n: int, of: int) -> PageSpec:
    """The back of the last leaf before the next style: it says that it is empty on purpose."""
    paper = paper_of(job)
    board = Board()
    frame_words(board, paper, words("binder.title"), shop, shop, "", words("frame.page", n=n, of=of))
    middle = (paper.left + paper.right) / 2
    board.text(
        middle, paper.height / 2, words("binder.empty"), look.TABLE_PT, 400, look.SOFT, "middle", role="label"
    )
    return PageSpec(board.drawing(paper.width, paper.height), str(n))


def index_pages(
    name: str,
    entries: Sequence[Entry],
    broken: Sequence[Broken],
    job: Job,
    words: Words,
    of: int,
) -> list[PageSpec]:
    """The index of the shop called `name` with the entries as they are numbered, and what has no sheet. `job` lends the
    paper."""
    paper = paper_of(job)
    blocks: list[Block] = [_entry(e, paper, n) for n, e in enumerate(entries)]
    if broken:
        blocks.append(heading_block(words("binder.broken"), words("binder.broken_aside"), paper))
        blocks += [b for one in broken for b in _broken(one, paper)]
    pages = []
    for n, items in enumerate(flow(blocks, paper.top, paper.foot) or ((),), 1):
        board = Board()
        aside = words("binder.aside", count=len(entries))
        frame_words(board, paper, words("binder.title"), name, name, "", words("frame.page", n=n, of=of))
        title = name if n == 1 else words("chart.continues", title=name)
        heading(board, _beside_mark(board, job, paper), title, aside)
        board.add(*items)
        marks = (Bookmark(words("binder.title")),) if n == 1 else ()
        pages.append(PageSpec(board.drawing(paper.width, paper.height), str(n), marks))
    return pages


def _beside_mark(board: Board, job: Job, paper: look.Paper) -> look.Paper:
    """Draws the shop's mark at the right of the heading, if it has one; the paper that is left for the words."""
    if not isinstance(job.shop.mark, Drawing):
        return paper
    mark = fitted(job.shop.mark, 26.0, 10.0, pens=True)
    at = complex(paper.right - mark.width, paper.title_baseline - mark.height + 1.0)
    board.group(mark.items, Placement.move(at), role="mark")
    return replace(paper, right_margin=paper.right_margin + mark.width + 5.0)


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
    for line in _side_by_side(_amounts(job, words), right - left):
        y = paragraph(board, left, y, line, right - left, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT)
    return Block(max(ROW, y + 1.0), tuple(board.items), 0.0)


def _side_by_side(amounts: Sequence[str], wide: float) -> list[str]:
    """The first on a line of its own, then as many on a line as find room."""
    out = list(amounts[:2])
    for amount in amounts[2:]:
        longer = f"{out[-1]} · {amount}"
        out[-1:] = [longer] if measure(longer, look.CHECK_PT) <= wide else [out[-1], amount]
    return out


def _amounts(job: Job, words: Words) -> list[str]:
    minutes = figures.hours(sum(s.minutes for s in job.steps), words)
    pieces = words("cover.pieces", count=len(job.size.cut_pieces))
    size = f"{words('cover.size')} {job.size.size}"
    if job.nested:
        size = sentence(sizes_told([s.size for s in job.sizes], words))
    out = [f"{size} · " + words("binder.work", pieces=pieces, minutes=minutes)]
    for need in job.size.cloths:
        lays = [lay for s in job.sizes if (lay := recommended_lay(s, need.key)) is not None]
        if not lays:
            continue
        bought = [lay.buy_mm for lay in lays]
        least, most = (figures.cloth_length(mm, job.units) for mm in (min(bought), max(bought)))
        buy = least if least == most else words("binder.from_to", least=least, most=most)
        width = figures.cloth_width(lays[0].width_mm, job.units)
        out.append(words("binder.cloth", cloth=sentence(need.title), width=width, buy=buy))
    return out


def _broken(broken: Broken, paper: look.Paper) -> list[Block]:
    wide = paper.right - paper.left
    blocks = [words_block(broken.name, paper.left, wide, weight=600, before=4, keep=True)]
    for problem in broken.problems:
        blocks.append(
            words_block(
                problem.sentence(), paper.left + 4, wide - 4, look.CHECK_PT, look.CHECK_LEADING, before=1.2
            )
        )
    return blocks


def holed(page: PageSpec, paper: str, n: int, one_sided: bool = False) -> PageSpec:
    """Page `n` with two or three short marks at its edge, level with the binder's holes: the left one, and where both
    sides are printed the right one of backs, whose wide margin then lies there. A sheet that is folded has none.
    """
    off, places = HOLES[paper]
    form, drawing = look.PAPERS[paper], page.drawing
    if (drawing.width, drawing.height) != (form.width, form.height):
        return page
    back = not one_sided and n % 2 == 0
    items: tuple[Item, ...] = drawing.items
    board = Board()
    if back and items:
        board.group(items, Placement.move(form.right_margin - form.left), role="back")
        items = tuple(board.items)
    marks = Board()
    for down in places:
        y = drawing.height / 2 + down
        a, b = ((form.width - x if back else x) for x in (off - 4.0, off + 1.0))
        marks.line(complex(a, y), complex(b, y), MARK, "hole")
    return replace(page, drawing=replace(drawing, items=(*items, *marks.items)))
