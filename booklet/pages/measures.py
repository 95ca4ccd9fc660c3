"""Body and finished measurements: what was measured, what was worked out, and the ease between body and garment."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from booklet.drawing import look
from booklet.drawing.page import Bookmark
from booklet.model import BodyMeasure, Finished, Job
from booklet.pages import figures
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.sizes import size_leaves
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words

NONE = "–"
OFF = {
    "cm": 10.0,
    "in": 9.525,
}  # mm a body may have changed by: a quarter of a size's step, common practice, no source


def measure_leaves(job: Job, words: Words) -> list[Leaf]:
    if job.nested:
        return size_leaves(job, words)
    paper = paper_of(job)
    wide = paper.right - paper.left
    off = figures.length(OFF[job.units], job.units)
    blocks: list[Block] = [words_block(words("measures.use", off=off), paper.left, min(wide, 150.0))]
    blocks += _body(job, words, paper)
    blocks += _finished(job, words, paper)
    blocks += _openings(job, words, paper)
    title, aside = words("measures.title"), words("measures.aside", size=job.size.size)
    return [
        Leaf("measures", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def body_name(name: str, words: Words) -> str:
    return words.name("body." + name, name)


def _body(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """Given measures in two columns, then those worked out with their rules."""
    left, right = paper.left, paper.right
    half = (right - left - 12) / 2
    given = [m for m in job.size.measures if m.given]
    rest = [m for m in job.size.measures if not m.given]
    blocks: list[Block] = []
    if given:
        count = (len(given) + 1) // 2
        sides = [table_blocks(_two(words, x, half), _amounts(part, job, words), x, x + half)
                 for x, part in ((left, given[:count]), (left + half + 12, given[count:]))]  # fmt: skip
        blocks.append(heading_block(words("measures.body"), job.size.body_code, paper))
        for n, block in enumerate(sides[0]):
            other = sides[1][n].items if n < len(sides[1]) else ()
            blocks.append(replace(block, items=(*block.items, *other)))
    if rest:
        columns = (
            Column(left, 52, words("measures.name")),
            Column(left + 55, 26, words("measures.amount"), "end", 600),
            Column(left + half + 12, half, words("measures.rule"), size_pt=look.CHECK_PT, colour=look.SOFT),
        )
        rows = [
            Row((*row.cells, figures.rule_words(m.rule, words)))
            for row, m in zip(_amounts(rest, job, words), rest, strict=True)
        ]
        blocks.append(heading_block(words("measures.worked_out"), "", paper))
        blocks += table_blocks(columns, rows, left, right)
    return blocks


def _two(words: Words, x: float, wide: float) -> tuple[Column, ...]:
    return (
        Column(x, wide - 27, words("measures.name")),
        Column(x + wide - 26, 26, words("measures.amount"), "end", 600),
    )


def _amounts(measures: Sequence[BodyMeasure], job: Job, words: Words) -> list[Row]:
    return [Row((_of_side(m, words), figures.length(m.mm, job.units))) for m in measures]


def _of_side(measure: BodyMeasure, words: Words) -> str:
    name = body_name(measure.name, words)
    return name if measure.side == "whole" else f"{name}, {words('measures.' + measure.side)}"


def _finished(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    step = 22.0
    first = right - 4 * step
    columns = (
        Column(left, 58, words("measures.name")),
        Column(left + 60, 22, words("measures.amount"), "end"),
        Column(first - 2, 22, words("measures.garment"), "end", 600),
        *(
            Column(first + step * n, step, words(f"measures.{key}"), "end", 600 if key == "actual" else 400)
            for n, key in enumerate(("least", "intended", "actual"), 1)
        ),
    )
    rows = [Row(_finished_cells(f, job)) for f in job.size.finished]
    head = heading_block(words("measures.finished"), words("measures.ease"), paper)
    note = words_block(
        words("measures.explain_ease"),
        left,
        150,
        look.CHECK_PT,
        look.CHECK_LEADING,
        colour=look.SOFT,
        before=2.5,
    )
    return [head, *table_blocks(columns, rows, left, right), note] if rows else []


def _finished_cells(f: Finished, job: Job) -> tuple[str, ...]:
    def show(mm: float | None) -> str:
        return NONE if mm is None else figures.length(mm, job.units)

    title = f.title or f.name.replace("_", " ")
    if f.note and f.note not in title:
        title += f"\n{f.note}"
    return title, show(f.body_mm), show(f.garment_mm), show(f.least_mm), show(f.intended_mm), show(f.ease_mm)


def _openings(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 34, words("measures.opening")),
        Column(left + 36, 24, words("measures.opens"), "end", 600),
        Column(left + 66, 40, words("measures.passes")),
        Column(left + 100, 22, words("measures.spare"), "end"),
        Column(
            left + 128, right - left - 128, words("measures.note"), size_pt=look.CHECK_PT, colour=look.SOFT
        ),
    )
    rows = []
    for f in job.size.openings:
        passes = NONE
        if f.body_name and f.body_mm is not None:
            passes = f"{body_name(f.body_name, words)} {figures.length(f.body_mm, job.units)}"
        spare = NONE if f.ease_mm is None else figures.length(f.ease_mm, job.units)
        title = f.title or f.name.replace("_", " ")
        note = f.note if f.note_mm is None else f"{f.note} {figures.length(f.note_mm, job.units)}"
        rows.append(Row((title, figures.length(f.garment_mm, job.units), passes, spare, note)))
    head = heading_block(words("measures.openings"), "", paper)
    return [head, *table_blocks(columns, rows, left, right)] if rows else []
