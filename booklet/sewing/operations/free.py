"""free: a step in the recipe's own words."""

from __future__ import annotations

from booklet.reading.translations import joined
from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching


def facts(context: Context) -> Facts:
    spec = context.spec
    said = context.tongue.said
    return {"sentences": tuple(said(joined(x)) for x in (spec if isinstance(spec, list) else [spec]))}


def effort(_: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("free", facts, no_stitching, effort, touches_cloth=False)
