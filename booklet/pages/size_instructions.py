"""The parts of the instructions on a screen that a range of sizes has tables for: a column a size."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.model import Job, Step
from booklet.pages.instruction_parts import Part, Table
from booklet.pages.size_cloths import cloth_lines, notion_lines, refusals
from booklet.pages.size_tables import SizeLine
from booklet.pages.sizes import size_names, tables_of_measures, which_size
from booklet.pages.words import Words, sentence


def size_parts(job: Job, words: Words) -> list[Part]:
    """Which size to take, and the tables of bodies and garments."""
    out = [Part(words("sizes.which"), text=tuple(which_size(job, words)))]
    for key, lines in tables_of_measures(job, words):
        out.append(
            Part(words(f"sizes.{key}"), level=3, table=_table(lines, words("sizes.measure"), size_names(job)))
        )
    return out


def cloth_parts(job: Job, words: Words) -> list[Part]:
    """Cloth and notions to buy."""
    names = size_names(job)
    out = [
        Part(words("cloth.title"), text=(words("cloth.wash"), words("sizes.cloth_note", size=job.size.size)))
    ]
    for need in job.size.cloths:
        table = _table(cloth_lines(need, job, words), words("cloth.width"), names)
        text = tuple(refusals(need, job, words))
        out.append(Part(sentence(need.title), level=3, text=text, table=table))
    lines = notion_lines(job)
    if lines:
        out.append(Part(words("cloth.notions"), level=3, table=_table(lines, words("sizes.notion"), names)))
    return out


def step_table_told(step: Step, job: Job, words: Words) -> Table | None:
    """What the letters of a step stand for."""
    if not step.by_size:
        return None
    lines = [SizeLine(row.letter, row.values) for row in step.by_size]
    return _table(lines, words("sizes.of_step"), size_names(job))


def _table(lines: Sequence[SizeLine], head: str, names: Sequence[str]) -> Table:
    rows, label = [], ""
    for line in lines:
        label = line.label or label  # a line without one tells the same in another unit
        rows.append((label, *(v or "–" for v in line.values)))
    return Table((head, *names), tuple(rows), tuple(range(1, len(names) + 1)), sizes=True)
