"""Cloth and notions to buy: a row for each width a cloth is sold in, and each notion with a note. Sums: the shop's copy."""

from __future__ import annotations

from dataclasses import replace

from booklet.drawing import look
from booklet.drawing.page import Bookmark
from booklet.model import ClothNeed, Job
from booklet.pages import figures
from booklet.pages.copy_words import plies_in_all, recommended_lay
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.lay_notes import saving_words
from booklet.pages.nest_words import sizes_told
from booklet.pages.piece_block import cloth_kind
from booklet.pages.size_cloths import cloth_blocks, notion_blocks
from booklet.pages.sizes import size_names
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence
from booklet.units import show_percent


def cloth_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    if not job.size.cloths and not job.size.notions:
        return []
    title, aside = words("cloth.title"), words("cloth.aside", size=job.size.size)
    if job.nested:
        blocks = [*cloth_blocks(job, words, paper), *notion_blocks(job, words, paper)]
        aside = sentence(sizes_told(size_names(job), words))
    else:
        blocks = [*_cloths(job, words, paper), *_notions(job, words, paper)]
    return [
        Leaf("cloth", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _cloths(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    lead = words_block(words("cloth.wash"), left, 150)
    notes = words_block(
        words("cloth.rounded") + " " + words("cloth.same_width"),
        left, 150, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=2.5,
    )  # fmt: skip
    blocks = [lead]
    for n, need in enumerate(job.size.cloths):
        aside = words("cloth.plies", count=plies_in_all(need, job.size))
        blocks.append(heading_block(sentence(need.title), aside, paper, before=9 if n == 0 else 7))
        blocks.append(_kind(need, words, left, job.units))
        rows = _rows(need, job, words, left, right)
        blocks += table_blocks(_columns(words, left, right), rows, left, right, before=2.5)
        ways = " ".join(saving_words(job, words, need))
        if ways:
            blocks.append(
                words_block(ways, left, 150, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=1.5)
            )
    return [*blocks, notes]


def _kind(need: ClothNeed, words: Words, left: float, units: str) -> Block:
    text = cloth_kind(need, words, units)
    return words_block(text, left, 170, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, keep=True)


def _columns(words: Words, left: float, right: float) -> tuple[Column, ...]:
    ends = [right - 116, right - 82, right - 50, right - 22, right]
    return (
        Column(left, 30, words("cloth.width")),
        Column(left + 24, 40, words("cloth.laid")),
        Column(ends[1] - 32, 32, words("cloth.taken"), "end"),
        Column(ends[2] - 32, 32, words("cloth.need"), "end"),
        Column(ends[3] - 26, 26, words("cloth.buy"), "end"),
        Column(ends[4] - 18, 18, words("cloth.used"), "end", colour=look.SOFT),
    )


def _rows(need: ClothNeed, job: Job, words: Words, left: float, right: float) -> list[Row]:
    chosen = recommended_lay(job.size, need.key)
    rows = []
    for lay in need.lays:
        rows.append(
            Row(
                (
                    figures.cloth_width(lay.width_mm, job.units),
                    words("cloth." + lay.kind),
                    figures.cloth_taken(lay.length_mm, job.units),
                    figures.cloth_taken(lay.need_mm, job.units),
                    figures.cloth_length(lay.buy_mm, job.units),
                    show_percent(round(lay.used, 2), job.units),
                ),
                strong=lay is chosen,
                pale=lay is chosen,
            )
        )
    for width, buy in need.estimates:
        cells = (
            figures.cloth_width(width, job.units),
            words("cloth.by_area"),
            "",
            "",
            figures.cloth_length(buy, job.units),
            "",
        )
        rows.append(Row(cells, soft=True))
    for width, why in need.refusals:
        first, second = _columns(words, left, right)[:2]
        columns = (first, replace(second, width=right - second.x))
        told = (figures.cloth_width(width, job.units), words.spaced(f"{words('cloth.cannot')}: {why}"))
        rows.append(Row(told, soft=True, columns=columns))
    return rows


def _notions(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 50, words("cloth.notion")),
        Column(left + 52, 28, words("cloth.amount"), "end", 600),
        Column(left + 87, right - left - 87, words("cloth.working"), size_pt=look.CHECK_PT, colour=look.SOFT),
    )
    rows = [Row((n.name, n.printed, n.working)) for n in job.size.notions]
    head = heading_block(words("cloth.notions"), "", paper)
    return [head, *table_blocks(columns, rows, left, right)] if rows else []
