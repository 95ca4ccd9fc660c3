"""ease: a row of longer stitches that draws an edge up a little, without folds, before it is joined to a shorter one.

A join may say `ease:` of its own: then its longer edge is worked in by hand as it is pinned. Both make the same seam.
"""

from __future__ import annotations

from booklet.sewing.operations.base import (
    LOCKSTITCH,
    ORNAMENTAL,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.gather import drawn_facts, row_depths

ROWS = 1
STITCH = 3.5  # mm: longer than a seam's, shorter than for gathers (common practice, no source)


def facts(context: Context) -> Facts:
    drawn = drawn_facts(context, "ease", ROWS)
    return {**drawn, "stitch": STITCH, "by": drawn["flat"] - drawn["drawn"]}


def stitching(context: Context) -> tuple[Stitching, ...]:
    group = context.group("ease")
    rows = len(row_depths(group[0].allow_a, int(context.spec.get("rows", ROWS)))[0])
    length = rows * sum(s.a_mm for s in group)
    return (Stitching(LOCKSTITCH, length, "easing", ORNAMENTAL, rows * len(group)),)


def effort(context: Context) -> Effort:
    group = context.group("ease")
    return Effort(len(group), acts=("press",) * len(group), iron=sum(s.a_mm for s in group))


OPERATION = Operation("ease", facts, stitching, effort)
