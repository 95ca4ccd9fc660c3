"""Checks of hems: their allowance is what that kind of hem can be made of; what hangs on the bias has hung before (rule 31)."""

from __future__ import annotations

import cmath
import math

from booklet.model import Copy, Seam
from booklet.problems import Collector
from booklet.seams.table import SeamTable
from booklet.sewing.operations.hem_kinds import BLIND_LEAST, NARROW_LEAST, NARROW_MOST

ROUNDING = 0.05  # mm
# A hem hangs on the bias where the cloth falls to it at 30 to 60 degrees to the grain. All common practice, no source.
BIAS_FROM, BIAS_TO = 30.0, 60.0
MUCH = 0.25  # of its length: as in a circle skirt, where it is a third; in a flared panel it is nothing
HANGS = 600.0  # mm: a shorter edge, as of a sleeve, does not drop so that it shows


def check_hems(table: SeamTable, copies: tuple[Copy, ...], collector: Collector) -> None:
    by_id = {c.id: c for c in copies}
    hung = {(p.copy, p.edge) for s in table.seams if s.kind == "hang" for p in s.a.parts}
    for step in table.steps:
        for seam in table.of_step(step.id)[:1] if step.verb == "hem" else ():
            share = on_bias(seam, by_id)
            if share > MUCH and seam.a_mm > HANGS and not {(p.copy, p.edge) for p in seam.a.parts} <= hung:
                collector.warning(
                    "hang",
                    step.where,
                    f"{seam.a.text} hangs on the bias over {share:.0%} of its length, and is hemmed before it has hung: "
                    "cloth on the bias drops, and drops unevenly",
                    f"Let it hang and level it first: `hang: [{seam.a.text}]`, or say why not: `although:`.",
                )
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


def on_bias(seam: Seam, copies: dict[str, Copy]) -> float:
    """The share of an edge to which the cloth falls on the bias, square to the edge, 0 to 1."""
    bias = whole = 0.0
    for part in seam.a.parts:
        copy = copies[part.copy]
        tail, head = (copy.placing.apply(z) for z in copy.piece.grain)
        path = copy.by_name[part.edge].edge.path
        low, high = sorted((part.start, part.end))
        count = max(2, math.ceil((high - low) / 10.0))
        for k in range(count):
            fall = path.tangent(low + (high - low) * (k + 0.5) / count) * 1j
            angle = abs(math.degrees(cmath.phase(fall / (head - tail)))) % 180.0
            angle = min(angle, 180.0 - angle)
            whole += (high - low) / count
            bias += (high - low) / count * (BIAS_FROM <= angle <= BIAS_TO)
    return bias / whole if whole else 0.0
