"""Checks of joins whose raw edges lie inside: there must be enough allowance to shut them in, and no sharp bend."""

from __future__ import annotations

from booklet.model import Seam
from booklet.problems import Collector
from booklet.seams.table import RecipeStep, SeamTable
from booklet.seams.uses import ENCLOSED
from booklet.sewing.operations.enclosed import FELL_UNDER, FRENCH_INSIDE, covering

TURN = 5.0  # mm: a raw edge is turned in by so much at the least (common practice, no source)
FRENCH_FIRST = (
    4.0  # mm: narrower, the first row of a French seam runs off the edge (common practice, no source)
)


def check_enclosed(table: SeamTable, collector: Collector) -> None:
    for step in table.steps:
        if step.verb not in ENCLOSED:
            continue
        for seam in table.of_step(step.id)[:1]:  # both sides have one allowance
            _allowances(step, seam, collector)


def _allowances(step: RecipeStep, seam: Seam, collector: Collector) -> None:
    allow_b = seam.allow_b or 0.0
    if step.verb == "french seam":
        if seam.allow_a - FRENCH_INSIDE < FRENCH_FIRST:
            collector.error(
                "narrow-allowance",
                step.where,
                f"{seam.a.text} has {seam.allow_a:.1f} mm allowance; a French seam needs "
                f"{FRENCH_INSIDE + FRENCH_FIRST:.0f} mm",
                "Give both edges more.",
            )
    elif step.verb == "flat fell":
        over, under = covering(seam)
        if over - min(FELL_UNDER, under) < TURN:
            collector.error(
                "narrow-allowance",
                step.where,
                f"the allowance that is folded over is {over:.1f} mm wide: too narrow to shut in "
                f"{min(FELL_UNDER, under):.1f} mm and turn under {TURN:.0f} mm",
                "Give the piece that the seam is pressed away from more allowance there.",
            )
    elif min(seam.allow_a, allow_b) < TURN:
        collector.error(
            "narrow-allowance",
            step.where,
            f"{seam.a.text} laps over {seam.b.text if seam.b else ''} with allowances of {seam.allow_a:.1f} and "
            f"{allow_b:.1f} mm; both need {TURN:.0f} mm",
            "Give both edges more.",
        )
