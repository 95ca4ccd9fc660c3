"""try on: the garment is looked at on its wearer; no seam is touched."""

from __future__ import annotations

from collections.abc import Mapping

from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching
from booklet.sewing.operations.names import seam_called

CLOSINGS = ("zip", "hook", "button", "buttons", "loop", "tie")  # steps that make something to close


def facts(context: Context) -> Facts:
    spec = context.spec
    looked = spec.get("look at", ()) if isinstance(spec, Mapping) else spec
    here = context.steps.index(context.step)
    return {
        "look_at": tuple(context.tongue.said(str(x)) for x in looked),
        "closes": any(s.verb in CLOSINGS for s in context.steps),
        "closed": any(s.verb in CLOSINGS for s in context.steps[:here]),
        "basted": _basted(context),
        "finished": not any(s.b is not None or s.kind in ("hem", "bind", "casing") for s in context.later),
        "unlike": bool(context.draft.sides),
        "hem_later": any(s.verb == "hem" for s in context.steps[here + 1 :]),
    }


def _basted(context: Context) -> tuple[str, ...]:
    """The seams that are only basted for a fitting: of the steps named by `before:`, which come after it."""
    spec = context.spec
    named = [str(n) for n in spec.get("before", ())] if isinstance(spec, Mapping) else []
    return tuple(dict.fromkeys(seam_called(context, s) for s in context.later if s.step in named and s.b))


def effort(_: Context) -> Effort:
    return Effort(1)


OPERATION = Operation("try on", facts, no_stitching, effort, touches_cloth=False)
