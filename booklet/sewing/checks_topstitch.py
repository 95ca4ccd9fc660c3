"""Checks of topstitching: rows that hold what they are meant to hold. When it is sewn, the rules of order say."""

from __future__ import annotations

from booklet.drafting.table import Table
from booklet.model import Run, Seam
from booklet.problems import Collector
from booklet.seams.follow import held_by
from booklet.seams.table import RecipeStep, SeamTable
from booklet.sewing.operations.topstitch import row_places

LEAST = 1.0  # mm from the seam: nearer the needle runs off into it (common practice, no source)
VERBS = ("topstitch", "edgestitch")


def check_topstitch(table: SeamTable, draft: Table, collector: Collector) -> None:
    order = {s.id: n for n, s in enumerate(table.steps)}
    for step in table.steps:
        if step.verb not in VERBS:
            continue
        rows = row_places(step, draft)
        if rows[0] < LEAST:
            collector.error(
                "topstitch-off",
                step.where,
                f"a row {rows[0]:.1f} mm from its seam runs off into it",
                f"Write {LEAST:.0f} mm or more in inside:.",
            )
        earlier = [s for s in table.seams if order[s.step] < order[step.id]]
        told: set[str] = set()
        for row in table.of_step(step.id):
            held = held_by(row, earlier)
            if held is not None and held.kind == "join" and row.press == "seam" and held.step not in told:
                told.add(held.step)
                _holds(step, row, held, rows[-1], collector)


def _holds(step: RecipeStep, row: Seam, held: Seam, last: float, collector: Collector) -> None:
    """Along a join the last row still catches both allowances, which lie on its side."""
    assert held.b is not None
    on_a = _shares(row.a, held.a)
    away = held.press == ("to b" if on_a else "to a")
    if away and held.neaten != "enclosed":
        other = held.b if on_a else held.a
        collector.warning(
            "topstitch-bare",
            step.where,
            f"the rows beside {row.a.text} hold nothing: step '{held.step}' presses the allowances to the other side",
            f"Name {other.text}, or the step.",
        )
        return
    narrow = min(held.allow_a, held.allow_b or held.allow_a)
    if held.press == "open":
        narrow = held.allow_a if on_a else (held.allow_b or held.allow_a)
    if last > narrow:
        collector.warning(
            "topstitch-wide",
            step.where,
            f"a row lies {last:.1f} mm from the seam of step '{held.step}', whose allowances are {narrow:.1f} mm wide: "
            "it does not hold them",
            "Sew it nearer (inside:, rows:), or widen the allowances.",
        )


def _shares(a: Run, b: Run) -> bool:
    mine = {(p.copy, p.edge) for p in a.parts}
    return any((p.copy, p.edge) in mine for p in b.parts)
