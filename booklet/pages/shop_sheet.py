"""The shop's copy: one sheet, printed on both sides and folded once, with what a workroom keeps of a style.

It is set on four panels: A5 ones on A4 (half letters on Letter) where all has room on them, else A4 ones on A3 (letters
on Tabloid). The outer side carries the last panel and the first, the inner one the second and the third.
"""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_union
from booklet.drawing.display import Board, Drawing, Group, Item
from booklet.drawing.page import Bookmark, PageSpec
from booklet.drawing.scaled import fitted
from booklet.drawing.text import height_mm, measure, paragraph
from booklet.model import Job
from booklet.pages import figures
from booklet.pages.answers import answer_table
from booklet.pages.flow import Block, flow, heading_block
from booklet.pages.sheet_tables import (
    amount_blocks,
    cost_blocks,
    lay_blocks,
    notion_blocks,
    piece_blocks,
    seam_blocks,
)
from booklet.pages.sizes import range_words
from booklet.pages.spec import shortened
from booklet.pages.terms import changes_table
from booklet.pages.words import Words
from booklet.paths import Placement

SIDES = 2
PANELS = 4
ORDER = (3, 0, 1, 2)  # panels from left to right, outer side first
NOTE_LINE = 8.0
LEAST_NOTES = 24.0
EDGE, FOLD_LONG = 10.0, 5.0  # mm: the fold's marks from the paper's edge, and how long they are
FOLD = look.Stroke(0.4, look.SOFT, (3.2, 0.8, 0.5, 0.8))


def _panel(width: float, height: float, large: bool) -> look.Paper:
    margin, top = (16.0, 14.0) if large else (11.0, 11.0)
    return look.Paper(
        "panel",
        width,
        height,
        left=margin,
        right_margin=margin,
        top=top,
        foot_clear=top + 7.5,
        foot_rule_up=top + 5.0,
    )


# ISO 216 and ANSI/ASME Y14.1: a panel is half of the sheet.
SMALL = {"a4": _panel(148.5, 210.0, False), "letter": _panel(139.7, 215.9, False)}
LARGE = {"a4": _panel(210.0, 297.0, True), "letter": _panel(215.9, 279.4, True)}


def sheet_pages(
    job: Job, words: Words, views: Sequence[tuple[str, Drawing]], first: int, of: int
) -> list[PageSpec]:
    """The two sides of the sheet; two sides more where even the large one is too small."""
    for panel in (SMALL[job.paper], LARGE[job.paper]):
        filled = flow(sheet_blocks(job, words, views, panel), panel.top, panel.foot, balanced=False)
        if len(filled) <= PANELS:
            break
    while len(filled) % PANELS:
        filled = (*filled, ())
    pages: list[PageSpec] = []
    for sheet in range(0, len(filled), PANELS):
        for side in range(SIDES):
            order = ORDER[side * 2 : side * 2 + 2]
            panels = [(sheet + n, filled[sheet + n]) for n in order]
            pages.append(_side(job, words, panel, panels, first + len(pages), of, len(filled)))
    return pages


def sheet_count(job: Job, words: Words, views: Sequence[tuple[str, Drawing]]) -> int:
    return len(sheet_pages(job, words, views, 1, 1))


def sheet_blocks(
    job: Job, words: Words, views: Sequence[tuple[str, Drawing]], panel: look.Paper
) -> list[Block]:
    """Everything on the sheet, in order, for panels of this form."""
    large = panel.width > 180
    left, right = panel.left, panel.right
    changes = changes_table(job, words, left, right, look.CHECK_PT)
    answers = answer_table(job, words, left, right, look.CHECK_PT)
    blocks = [_head(job, words, views, panel, large), *piece_blocks(job, words, panel)]
    blocks += lay_blocks(job, words, panel)
    blocks += notion_blocks(job, words, panel)
    blocks += amount_blocks(job, words, panel)
    blocks += seam_blocks(job, words, panel)
    blocks += cost_blocks(job, words, panel)
    if answers:
        blocks += [heading_block(words("sheet.answers"), "", panel), *answers]
    if changes:
        blocks += [heading_block(words("sheet.changes"), "", panel), *changes]
    return blocks


def _head(
    job: Job, words: Words, views: Sequence[tuple[str, Drawing]], panel: look.Paper, large: bool
) -> Block:
    """Code, title and summary, the shop's mark, the drawings, and what size and choices it is all for."""
    board = Board()
    left, right = panel.left, panel.right
    wide = right - left
    y = height_mm(look.STEP_TITLE_PT, 0.72)
    board.text(left, y, job.style.code, look.STEP_TITLE_PT, 600, look.ACCENT, role="title")
    room = wide
    if isinstance(job.shop.mark, Drawing):
        mark = fitted(job.shop.mark, 26.0, 13.0, pens=True)
        board.group(mark.items, Placement.move(complex(right - mark.width, 0)), role="mark")
        room -= mark.width + 5.0
    dated = words("cover.dated", version=job.style.version, dated=job.style.dated)
    at = left + measure(job.style.code, look.STEP_TITLE_PT, 600) + 5
    board.text(at, y, dated, look.CHECK_PT, 400, look.SOFT, role="title")
    size = 19.0 if large else 15.0
    y = paragraph(
        board, left, y + size * 0.47, job.style.title, room, size, size * 0.42, weight=600, role="title"
    )
    y = paragraph(
        board, left, y - size * 0.42 + 5.6, job.style.summary, wide, look.CHECK_PT, look.CHECK_LEADING
    )
    high = 78.0 if large else 50.0
    y = _views(board, views, panel, y, high)
    for name, value in _facts(job, words):
        board.text(left, y, name, look.CHECK_PT, 400, look.SOFT, role="label")
        y = paragraph(board, left + 22, y, value, wide - 22, look.CHECK_PT, look.CHECK_LEADING) + 0.5
    return Block(y - look.CHECK_LEADING, tuple(board.items))


def _views(
    board: Board, views: Sequence[tuple[str, Drawing]], panel: look.Paper, y: float, high: float
) -> float:
    """The garment's drawings side by side; returns the first baseline below them."""
    if not views:
        return y + 2.0
    gap = 8.0
    each = (panel.right - panel.left - gap * (len(views) - 1)) / len(views)
    drawn = [fitted(d, each, high) for _, d in views]
    used = sum(d.width for d in drawn) + gap * (len(drawn) - 1)
    x = (panel.left + panel.right - used) / 2
    deep = max(d.height for d in drawn)
    for (caption, _), drawing in zip(views, drawn, strict=True):
        board.group(drawing.items, Placement.move(complex(x, y + deep - drawing.height)), role="picture")
        board.text(
            x + drawing.width / 2,
            y + deep + 4.2,
            caption,
            look.LABEL_PT,
            400,
            look.SOFT,
            "middle",
            role="label",
        )
        x += drawing.width + gap
    return y + deep + 12.0


def _facts(job: Job, words: Words) -> list[tuple[str, str]]:
    size = job.size
    minutes = figures.hours(sum(s.minutes for s in job.steps), words)
    rows = [(words("cover.size"), f"**{size.size}**")]
    if job.nested:
        told = words("sizes.sheet", sizes=f"**{range_words(job)}**", size=size.size)
        rows = [(words("sizes.cover"), told)]
    if job.style.options:
        rows.append(
            (words("cover.options"), words.spaced("; ".join(said for _, _, said in job.style.options)))
        )
    rows.append((words("cover.work"), f"{words('cover.pieces', count=len(size.cut_pieces))}, {minutes}"))
    return rows


def _side(
    job: Job,
    words: Words,
    panel: look.Paper,
    panels: Sequence[tuple[int, tuple[Item, ...]]],
    n: int,
    of: int,
    count: int,
) -> PageSpec:
    """Two panels beside each other, with the fold between them."""
    board = Board()
    for k, (number, items) in enumerate(panels):
        inner = Board()
        inner.add(*items)
        _notes(inner, words, panel, items)
        _foot(inner, job, words, panel, number + 1, count)
        board.add(Group(tuple(inner.items), Placement.move(complex(k * panel.width, 0))))
    for low in (EDGE, panel.height - EDGE - FOLD_LONG):
        board.line(complex(panel.width, low), complex(panel.width, low + FOLD_LONG), FOLD, "fold")
    marks = (Bookmark(words("sections.sheet")),) if n == 1 or panels[1][0] == 0 else ()
    return PageSpec(board.drawing(2 * panel.width, panel.height), str(n), marks)


def _notes(board: Board, words: Words, panel: look.Paper, items: tuple[Item, ...]) -> None:
    """Lines to write on where a panel has room left."""
    box = boxes_union([box_of(i) for i in items]) if items else None
    top = panel.top if box is None else box[3] + 9.0
    if panel.foot - top < LEAST_NOTES:
        return
    heading = heading_block(words("sheet.notes"), "", panel)
    board.group(heading.items, Placement.move(complex(0, top)))
    y = top + heading.height + NOTE_LINE
    while y <= panel.foot:
        board.line(complex(panel.left, y), complex(panel.right, y), look.ROW_RULE, "rule")
        y += NOTE_LINE


def _foot(board: Board, job: Job, words: Words, panel: look.Paper, n: int, of: int) -> None:
    y = panel.foot_rule + 4.1
    board.line(
        complex(panel.left, panel.foot_rule), complex(panel.right, panel.foot_rule), look.FOOT_RULE, "rule"
    )
    page = words("frame.page", n=n, of=of)
    room = panel.right - panel.left - measure(page, look.FOOT_PT, 600) - 6
    style = words("frame.head", code=job.style.code, title=job.style.title)
    told = f"{words('sheet.fold', shop=job.shop.name)}  ·  {style}"
    if measure(told, look.FOOT_PT) > room:  # the style is what a loose sheet must say
        told = shortened(style, room, look.FOOT_PT)
    board.text(panel.left, y, told, look.FOOT_PT, 400, look.SOFT, role="foot")
    board.text(panel.right, y, page, look.FOOT_PT, 600, look.INK, "end", role="foot")
