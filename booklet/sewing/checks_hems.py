"""Checks of narrow and blind hems: their allowance is what that kind of hem can be made of."""

from __future__ import annotations

from booklet.problems import Collector
from booklet.seams.table import SeamTable
from booklet.sewing.operations.hem_kinds import BLIND_LEAST, NARROW_LEAST, NARROW_MOST

ROUNDING = 0.05  # mm


def check_hems(table: SeamTable, collector: Collector) -> None:
    for step in table.steps:
        if step.verb != "hem":
            continue
        for seam in table.of_step(step.id)[:1]:  # both sides have one allowance
            if seam.neaten == "narrow" and not (
                2 * NARROW_LEAST - ROUNDING <= seam.allow_a <= 2 * NARROW_MOST + ROUNDING
            ):
                collector.error(
                    "hem-allowance",
                    step.where,
                    f"{seam.a.text} has {seam.allow_a:.1f} mm to turn up; a narrow hem takes twice "
                    f"{NARROW_LEAST:.0f} to {NARROW_MOST:.0f} mm",
                    f"Give it {2 * NARROW_LEAST:.0f} to {2 * NARROW_MOST:.0f} mm in `allow:`, or another kind of hem.",
                )
            if seam.neaten == "blind" and seam.allow_a < BLIND_LEAST - ROUNDING:
                collector.error(
                    "hem-allowance",
                    step.where,
                    f"{seam.a.text} has {seam.allow_a:.1f} mm to turn up; a blind hem is folded back inside it and takes "
                    f"{BLIND_LEAST:.0f} mm",
                    f"Give it {BLIND_LEAST:.0f} mm or more in `allow:`, or another kind of hem.",
                )
