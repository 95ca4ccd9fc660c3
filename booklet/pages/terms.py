"""Terms of use, whom to ask, and what has changed from version to version: for whoever buys the pattern."""

from __future__ import annotations

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing
from booklet.drawing.page import Bookmark
from booklet.drawing.scaled import fitted
from booklet.model import Job
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words
from booklet.paths import Placement

MARK_WIDE, MARK_HIGH = 60.0, 30.0


def terms_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    wide = min(paper.right - paper.left, 150.0)
    blocks: list[Block] = []
    if job.shop.terms:
        blocks.append(heading_block(words("terms.use"), "", paper, ruled=True))
        blocks += [
            words_block(text, paper.left, wide, before=3.0 if n == 0 else 2.2)
            for n, text in enumerate(job.shop.terms)
        ]
    blocks += _contact(job, words, paper, wide)
    changes = changes_table(job, words, paper.left, paper.right)
    if changes:
        blocks += [heading_block(words("terms.changes"), "", paper), *changes]
    title = words("terms.title")
    return [
        Leaf("terms", title, words("terms.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _contact(job: Job, words: Words, paper: look.Paper, wide: float) -> list[Block]:
    style, shop = job.style, job.shop
    line = words(
        "terms.identity", code=style.code, title=style.title, version=style.version, dated=style.dated
    )
    blocks = [heading_block(words("terms.contact"), "", paper, ruled=True)]
    mark = mark_block(job, paper.left, MARK_WIDE, MARK_HIGH)
    if mark is not None:
        blocks.append(mark)
    made = words("terms.made_by", shop=f"**{shop.name}**")
    blocks.append(words_block(f"{made} {shop.contact}".strip(), paper.left, wide, before=3.0))
    blocks.append(words_block(f"{words('terms.ask')}\n**{line}**", paper.left, wide, before=2.2))
    return blocks


def mark_block(job: Job, left: float, wide: float, high: float) -> Block | None:
    """The shop's mark, as large as the box allows; None for a shop without one."""
    if not isinstance(job.shop.mark, Drawing):
        return None
    drawn = fitted(job.shop.mark, wide, high, pens=True)
    board = Board()
    board.group(drawn.items, Placement.move(complex(left, 0)), role="mark")
    return Block(drawn.height + 3.0, tuple(board.items), before=4.0, keep=True)


def changes_table(
    job: Job, words: Words, left: float, right: float, size_pt: float = look.TABLE_PT
) -> list[Block]:
    columns = (
        Column(left, 16, words("terms.version"), weight=600, size_pt=size_pt),
        Column(left + 18, 24, words("terms.dated"), size_pt=size_pt),
        Column(left + 44, right - left - 44, words("terms.what"), size_pt=size_pt),
    )
    return table_blocks(columns, [Row(c) for c in job.style.changes], left, right)
