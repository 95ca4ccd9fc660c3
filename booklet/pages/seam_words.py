"""Seams in words for tables: what meets what, once for both sides where they are alike."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.model import Job, Run, Seam
from booklet.pages import figures
from booklet.pages.words import Words

JOINT = " + "
ALIKE = 0.5  # mm: sides that differ by less are one row


@dataclass(frozen=True)
class SeamRow:
    """`a` and `b` name the runs; lengths in mm, sewn; `ease` is a less b."""

    number: int  # of the step
    a: str
    b: str
    a_mm: float
    b_mm: float
    ease: float
    treatment: str
    side: str  # 'left' or 'right' where the sides differ, else ''
    times: int = 1  # so many seams alike that have no side


def seam_rows(job: Job, words: Words) -> tuple[SeamRow, ...]:
    """Every seam of two runs, in the order of sewing."""
    numbers = {s.id: s.number for s in job.steps}
    rows: list[SeamRow] = []
    for step in dict.fromkeys(s.step for s in job.size.seams):
        seams = [s for s in job.size.seams if s.step == step and s.b is not None]
        if step in numbers:
            rows += _of_step(numbers[step], seams, job, words)
    return tuple(rows)


def _of_step(number: int, seams: Sequence[Seam], job: Job, words: Words) -> list[SeamRow]:
    rows: list[SeamRow] = []
    for seam in seams:
        assert seam.b is not None and seam.b_mm is not None
        row = SeamRow(
            number,
            run_words(seam.a, job, words),
            run_words(seam.b, job, words),
            seam.a_mm,
            seam.b_mm,
            seam.difference,
            seam.treatment,
            "" if seam.side == "whole" else seam.side,
        )
        twin = next((n for n, r in enumerate(rows) if _alike(r, row)), None)
        if twin is None:
            rows.append(row)
        elif row.side:
            rows[twin] = replace(rows[twin], side="")
        else:
            rows[twin] = replace(rows[twin], times=rows[twin].times + 1)
    return rows


def _alike(one: SeamRow, two: SeamRow) -> bool:
    # A seam of the other side may name its pieces the other way round.
    same = [sorted(x.split(JOINT)) for x in (one.a, one.b)] == [
        sorted(x.split(JOINT)) for x in (two.a, two.b)
    ]
    sides = {one.side, two.side} in ({"left", "right"}, {""})
    return same and sides and abs(one.a_mm - two.a_mm) < ALIKE and abs(one.b_mm - two.b_mm) < ALIKE


def run_words(run: Run, job: Job, words: Words) -> str:
    """'1 armhole + 3 armhole': numbers of pieces with the words of their edges, each once."""
    by_id = job.size.copy_by_id
    told: dict[int, list[str]] = {}
    for part in run.parts:
        copy = by_id[part.copy]
        base = part.edge.partition(".")[0]
        own = next((e for e in copy.piece.edges if e.name.partition(".")[0] == base), None)
        names = told.setdefault(copy.piece.number, [])
        name = figures.edge_called(own, base, words)
        if name not in names:
            names.append(name)
    return JOINT.join(f"{number}\u00a0{words('label.and').join(names)}" for number, names in told.items())
