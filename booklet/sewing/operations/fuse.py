"""fuse: interfacing joined to the wrong side of its host by heat."""

from __future__ import annotations

from booklet.model import Copy
from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching
from booklet.sewing.operations.names import called_together, piece_names


def _hosts(context: Context) -> tuple[Copy, ...]:
    return tuple(c for key in _listed(context.spec) for c in context.plies(str(key)))


def _listed(value: object) -> list[object]:
    return list(value) if isinstance(value, list) else [value]


def facts(context: Context) -> Facts:
    hosts = _hosts(context)
    fused = [f for h in hosts for f in context.fused_to(h)]
    trims = list(dict.fromkeys(f.rule.trim for f in fused))
    allowed = any(h.edge.allow > 0 for c in hosts for h in c.edges)
    return {
        "pieces": called_together(context, hosts),
        "each": piece_names(hosts),
        "count": len(hosts),
        "interfacing": context.cloth(fused[0].cloth) if fused else context.cloth("interfacing"),
        # None: as the piece; 0: on the stitch line; else so much beyond it
        "trim": trims[0] if len(trims) == 1 else None,
        "same_trim": len(trims) == 1,
        "allowances": allowed,
        "bare": any(h.edge.allow < 0.05 for c in hosts for h in c.edges),
    }


def effort(context: Context) -> Effort:
    return Effort(len(_hosts(context)))


OPERATION = Operation("fuse", facts, no_stitching, effort)
