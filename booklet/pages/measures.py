"""Body and finished measurements: what was measured, what was worked out, and the ease between body and garment."""

from __future__ import annotations

from booklet.drawing import look
from booklet.drawing.page import Bookmark
from booklet.model import Finished, Job
from booklet.pages import figures
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words

NONE = "–"


def measure_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    wide = paper.right - paper.left
    blocks: list[Block] = [words_block(words("measures.use"), paper.left, min(wide, 150.0), colour=look.INK)]
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
    left, right = paper.left, paper.right
    columns = (
        Column(left, 52, words("measures.name")),
        Column(left + 54, 22, words("measures.amount"), "end", 600),
        Column(
            left + 84, right - left - 84, words("measures.origin"), size_pt=look.CHECK_PT, colour=look.SOFT
        ),
    )
    rows = []
    for m in sorted(job.size.measures, key=lambda m: not m.given):
        if m.given:
            origin = words("measures.given")
        elif m.rule:
            origin = words("measures.derived", rule=figures.rule_words(m.rule, words))
        else:
            origin = words("measures.derived_bare")
        rows.append(Row((body_name(m.name, words), figures.length(m.mm, job.units), origin)))
    head = heading_block(words("measures.body"), job.size.body_code, paper)
    return [head, *table_blocks(columns, rows, left, right)] if rows else []


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
    rows = [Row(_finished_cells(f, job, words)) for f in job.size.finished]
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


def _finished_cells(f: Finished, job: Job, words: Words) -> tuple[str, ...]:
    def show(mm: float | None) -> str:
        return NONE if mm is None else figures.length(mm, job.units)

    title = f.title or f.name.replace("_", " ")
    if f.note:
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
        rows.append(Row((title, figures.length(f.garment_mm, job.units), passes, spare, f.note)))
    head = heading_block(words("measures.openings"), "", paper)
    return [head, *table_blocks(columns, rows, left, right)] if rows else []
