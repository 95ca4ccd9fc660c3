"""The soft rules of the sewing order that this work goes against, with the style's reason for each."""

from __future__ import annotations

from booklet.drawing import look
from booklet.drawing.page import Bookmark
from booklet.model import Job
from booklet.pages.flow import Block, Column, Row, flow, table_blocks, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.steps import rule_words
from booklet.pages.words import Words, sentence


def answer_leaves(job: Job, words: Words) -> list[Leaf]:
    """No leaf where no rule is answered."""
    paper = paper_of(job)
    table = answer_table(job, words, paper.left, paper.right)
    if not table:
        return []
    blocks = [words_block(words("answers.lead"), paper.left, min(paper.right - paper.left, 150.0)), *table]
    title = words("answers.title")
    return [
        Leaf("answers", title, words("answers.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def answer_table(
    job: Job, words: Words, left: float, right: float, size_pt: float = look.TABLE_PT
) -> list[Block]:
    """A row for each rule answered, in the order of the steps."""
    half = (right - left - 14.0 - 6.0) / 2
    columns = (
        Column(left, 11, words("answers.step"), "middle", 600, size_pt=size_pt),
        Column(left + 14, half, words("answers.what"), size_pt=size_pt),
        Column(left + 14 + half + 6, half, words("answers.why"), size_pt=size_pt),
    )
    rows = [
        Row((str(s.number), sentence(rule_words(a.rule, words)) + ".", f"{sentence(a.reason.rstrip('.'))}."))
        for s in job.steps
        for a in s.answers
    ]
    return table_blocks(columns, rows, left, right, before=4.0)
