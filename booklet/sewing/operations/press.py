"""press: the whole garment, or a seam named, pressed in a step of its own."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching


def facts(context: Context) -> Facts:
    whole = isinstance(context.spec, Mapping) and bool(context.spec.get("all"))
    verbs = {s.verb for s in context.steps}
    return {
        "all": whole,
        "what": "" if whole else str(context.spec),
        "last": context.steps[-1].id == context.step.id,
        "gathers": "gather" in verbs,
        "basted": bool(verbs & {"baste", "gather"}),
    }


def effort(_: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("press", facts, no_stitching, effort, touches_cloth=False)
