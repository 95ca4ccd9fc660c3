"""free: a step in the recipe's own words."""

from __future__ import annotations

from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching


def facts(context: Context) -> Facts:
    spec = context.spec
    return {"sentences": tuple(str(x) for x in spec) if isinstance(spec, list) else (str(spec),)}


def effort(_: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("free", facts, no_stitching, effort, touches_cloth=False)
