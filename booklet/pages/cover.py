"""The cover: what it is, for whom, made how; the garment's drawing, and what the booklet holds with page numbers."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_union
from booklet.drawing.display import Board, Drawing, Item
from booklet.drawing.page import Bookmark
from booklet.drawing.scaled import fitted
from booklet.drawing.text import measure, paragraph
from booklet.model import Job
from booklet.pages import figures
from booklet.pages.sizes import range_words
from booklet.pages.spec import Leaf, paper_of, shortened
from booklet.pages.words import Words, sentence
from booklet.paths import Placement

TITLE_PT, TITLE_LEADING = 30.0, 11.6
FACTS_X = 28.0  # from the left margin to the facts' values
MARK_WIDE, MARK_HIGH = 40.0, 22.0
# mm between the drawings, from one to its caption; no drawing is lower than the last
GAP, CAPTION, LEAST_DRAWN = 14.0, 5.0, 30.0
PAIRS = 5.2  # leading of the facts


def cover_leaf(
    job: Job, words: Words, cover: Sequence[tuple[str, Drawing]], contents: Sequence[tuple[str, int]]
) -> Leaf:
    """`cover`: captions with drawings, side by side; `contents`: lines with the page where each begins."""
    paper = paper_of(job)
    wide = paper.right - paper.left
    board = Board()
    y = 34.0
    board.text(paper.left, y, job.style.code, look.STEP_TITLE_PT, 600, look.ACCENT, role="title")
    dated = words("cover.dated", version=job.style.version, dated=job.style.dated)
    board.text(paper.right, y, dated, look.TABLE_PT, 400, look.SOFT, "end", role="title")
    room = wide
    if isinstance(job.shop.mark, Drawing):
        mark = fitted(job.shop.mark, MARK_WIDE, MARK_HIGH, pens=True)
        board.group(mark.items, Placement.move(complex(paper.right - mark.width, y + 4.0)), role="mark")
        room -= mark.width + 8.0
    y = paragraph(
        board, paper.left, y + 13.0, job.style.title, room, TITLE_PT, TITLE_LEADING, weight=600, role="title"
    )
    y = paragraph(board, paper.left, y - 2.6, job.style.summary, min(room, 128.0), 11.2, 5.4) + 1.5
    lower = _lower(job, words, paper, contents)
    low = paper.foot - lower[1]
    _drawings(board, cover, paper, y + 1.5, low - 8.0)
    board.group(lower[0], Placement.move(low * 1j))
    return Leaf("cover", "", "", tuple(board.items), (Bookmark(job.style.title),))


def _drawings(
    board: Board,
    cover: Sequence[tuple[str, Drawing]],
    paper: look.Paper,
    top: float,
    foot: float,
) -> None:
    """The garment's drawings in the middle of the ground between text and facts, with their captions: 1:1, or all alike
    smaller where the ground is too low for that."""
    if not cover:
        return
    boxes = [_inked(d) for _, d in cover]
    high = max(b[3] - b[1] for b in boxes)
    scale = min(1.0, max(foot - top - CAPTION, LEAST_DRAWN) / high)
    drawn = [fitted(d, (b[2] - b[0]) * scale, high * scale) for (_, d), b in zip(cover, boxes, strict=True)]
    wide = sum(d.width for d in drawn) + GAP * (len(drawn) - 1)
    x = (paper.left + paper.right - wide) / 2
    foot = top + (foot - top + high * scale - CAPTION) / 2
    for (caption, _), drawing in zip(cover, drawn, strict=True):
        board.group(drawing.items, Placement.move(complex(x, foot - drawing.height)), role="picture")
        if caption:
            at = x + drawing.width / 2
            board.text(at, foot + CAPTION, caption, look.LABEL_PT, 400, look.SOFT, "middle", role="label")
        x += drawing.width + GAP


def _inked(drawing: Drawing) -> tuple[float, float, float, float]:
    box = boxes_union([box_of(i) for i in drawing.items])
    return box if box is not None else (0.0, 0.0, drawing.width, drawing.height)


def _lower(
    job: Job, words: Words, paper: look.Paper, contents: Sequence[tuple[str, int]]
) -> tuple[tuple[Item, ...], float]:
    """Facts at the left, contents at the right, from y = 0 down."""
    board = Board()
    half = (paper.right - paper.left - 12) / 2
    board.line(complex(paper.left, 0), complex(paper.left + half, 0), look.TABLE_RULE, "rule")
    y = 5.4
    for name, value in _facts(job, words):
        board.text(paper.left, y, name, look.TABLE_PT, 400, look.SOFT, role="label")
        y = paragraph(board, paper.left + FACTS_X, y, value, half - FACTS_X, look.TABLE_PT, 4.3) - 4.3 + PAIRS
    low_left = y - PAIRS
    x = paper.left + half + 12
    board.line(complex(x, 0), complex(paper.right, 0), look.TABLE_RULE, "rule")
    y = 5.4
    board.text(x, y, words("cover.contents"), look.TABLE_PT, 600, role="label")
    board.text(paper.right, y, words("cover.page"), look.CHECK_PT, 400, look.SOFT, "end", role="label")
    for title, page in contents:
        y += PAIRS
        room = paper.right - x - measure(str(page), look.TABLE_PT) - 4
        board.text(x, y, shortened(title, room, look.TABLE_PT), look.TABLE_PT, role="contents")
        board.text(paper.right, y, str(page), look.TABLE_PT, 400, look.INK, "end", role="contents")
    return tuple(board.items), max(low_left, y) + 5.0


def _facts(job: Job, words: Words) -> list[tuple[str, str]]:
    size, style = job.size, job.style
    if job.nested:
        rows = [(words("sizes.cover"), f"**{range_words(job)}**")]
    else:
        made_for = words("cover.client", code=size.body_code) if size.body_code else size.size
        rows = [(words("cover.for"), made_for), (words("cover.size"), f"**{size.size}**")]
    if style.level:
        rows.append((words("cover.level"), style.level))
    for _, _, said in style.options:
        rows.append(("", said))
    if style.options:
        first = len(rows) - len(style.options)
        rows[first] = (words("cover.options"), rows[first][1])
    pieces = words("cover.pieces", count=len(size.cut_pieces))
    rows.append((words("cover.work"), f"{pieces}, {_work(job, words)}"))
    rows.append((words("cover.allowances"), _allowances(job, words)))
    shop = job.shop.name + (f"\n{job.shop.contact}" if job.shop.contact else "")
    rows.append((words("cover.shop"), shop))
    return rows


def _work(job: Job, words: Words) -> str:
    total = sum(s.minutes for s in job.steps)
    hours, rest = divmod(total, 60)
    return words("cover.minutes" if hours else "cover.minutes_short", h=hours, m=rest)


def _allowances(job: Job, words: Words) -> str:
    """All widths that occur, the most used first: '10 mm, 12 mm, hem 25 mm' is the chart's matter."""
    found: dict[float, float] = {}
    for cut in (c for size in job.sizes or (job.size,) for c in size.cut_pieces):
        for mm, edges in figures.allowances(cut.piece):
            if mm > 0:
                found[mm] = found.get(mm, 0.0) + sum(e.length for e in edges)
    sizes = ", ".join(figures.both(mm, words) for mm in sorted(found))
    told = words.spaced(f"{words('cover.allowances_in')}: {sizes}")
    return told if sizes else sentence(words("chart.none"))
