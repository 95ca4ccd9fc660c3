"""Checks of easing: more than a little cannot be worked in without folds."""

from __future__ import annotations

from booklet.problems import Collector
from booklet.seams.table import SeamTable

MOST = 0.15  # of the length drawn up to: above, folds show, and it is a gather (common practice, no source)


def check_ease(table: SeamTable, collector: Collector) -> None:
    for step in table.steps:
        if step.verb != "ease":
            continue
        for seam in table.of_step(step.id)[:1]:
            by = sum(
                d.by
                for d in table.drawn
                if d.step == step.id and any((d.copy, d.edge) == (p.copy, p.edge) for p in seam.a.parts)
            )
            if by > MOST * (seam.a_mm - by):
                collector.warning(
                    "ease-much",
                    step.where,
                    f"{seam.a.text} is to lose {by:.0f} of its {seam.a_mm:.0f} mm by easing: so much shows as folds",
                    "Gather it, or let the draft make the two edges more alike.",
                )
