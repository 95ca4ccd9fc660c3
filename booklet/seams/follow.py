"""Rows that run along seams and edges sewn before: the runs that a step's name stands for.

A row follows a seam on the piece to which its allowances are pressed, where it holds them; on both where it is pressed open.
A seam that has been turned, as a collar's, is an edge by then: its row lies on the first run's piece.
"""

from __future__ import annotations

import re
from collections.abc import Collection, Sequence

from booklet.model import Run, Seam
from booklet.problems import Fault, Where, nearest

# What a row may follow. A face is followed on the garment, a band on itself.
FOLLOWED = ("join", "face", "band", "bind", "hem", "casing", "zip", "patch", "fell", "finish")
EDGES = ("face", "bind", "hem", "casing", "patch", "fell", "finish")


def names_step(text: object) -> bool:
    """Whether a word is a step's id, and no run: runs have a point, or brackets."""
    return re.fullmatch(r"[\w-]+", str(text).strip()) is not None


def held_by(row: Seam, earlier: Sequence[Seam]) -> Seam | None:
    """The last seam before a row that deals with the edge beside which it runs. None where it follows a raw edge."""
    mine = {(p.copy, p.edge) for p in row.a.parts}

    def meets(run: Run | None) -> bool:
        return run is not None and any((p.copy, p.edge) in mine for p in run.parts)

    return next((s for s in reversed(earlier) if s.kind in FOLLOWED and (meets(s.a) or meets(s.b))), None)


def is_edge(seam: Seam | None, turned: Collection[str]) -> bool:
    """Whether what is followed is an edge of the work by then; `turned` are the ids of steps that turn what they sew."""
    return seam is None or seam.b is None or seam.kind in EDGES or seam.step in turned


def followed(
    name: str, walked: Sequence[Seam], turned: Collection[str], where: Where
) -> list[tuple[Seam, Run]]:
    """Each seam of the step called `name` with the run beside which the row lies. Fault where no such step was sewn."""
    return [(s, run) for s in sewn_by(name, walked, "topstitch-early", where) for run in _runs(s, turned)]


def sewn_by(name: str, walked: Sequence[Seam], code: str, where: Where) -> list[Seam]:
    """The seams and edges of the step called `name`, which came before. Fault with this code where there are none."""
    found = [s for s in walked if s.step == name and s.kind in FOLLOWED]
    if not found:
        known = dict.fromkeys(s.step for s in walked if s.kind in FOLLOWED)
        raise Fault.of(
            code,
            f"no step '{name}' before this one has sewn a seam or an edge to follow",
            where,
            nearest(name, known).strip() or "Name a step that comes before, or a run.",
        )
    return found


def _runs(seam: Seam, turned: Collection[str]) -> tuple[Run, ...]:
    if seam.b is None or is_edge(seam, turned):
        return (seam.a,)
    if seam.kind == "band" or seam.press == "to b":
        return (seam.b,)
    return (seam.a, seam.b) if seam.press == "open" else (seam.a,)


def length_along(seam: Seam, run: Run) -> float:
    """The sewn length beside a run of a seam, mm: as sewn, eased or gathered, without what the seam leaves open."""
    if seam.b_mm is None:
        return seam.a_mm
    sewn = min(seam.a_mm, seam.b_mm) if seam.treatment in ("gathers", "ease") else None
    mine = seam.a_mm if run is seam.a else seam.b_mm
    return (mine if sewn is None else sewn) - sum(s.a_mm for s in seam.sections if s.open)
