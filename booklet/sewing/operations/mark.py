"""mark: marks carried over from the paper to the cloth; no seam is touched."""

from __future__ import annotations

from booklet.model import Copy
from booklet.sewing.operations.base import Context, Effort, Facts, Operation, no_stitching
from booklet.sewing.operations.names import piece_names

SNIP = 6.0  # mm, or half the allowance where that is less


def _copies(context: Context) -> tuple[Copy, ...]:
    names = context.spec if isinstance(context.spec, list) else [context.spec]
    keys = dict.fromkeys(str(n).split(".")[0] for n in names)
    return tuple(c for key in keys for c in context.plies(key))


def facts(context: Context) -> Facts:
    copies = _copies(context)
    allows = [h.edge.allow for c in copies for h in c.edges if h.edge.allow > 0 and h.edge.marks]
    return {
        "pieces": piece_names(copies),
        "snip": min([SNIP, *(a / 2 for a in allows)]),
        "notches": bool(allows),
        "darts": any(c.darts for c in copies),
        "lines": any(c.lines_across or c.fold_lines for c in copies),
    }


def effort(context: Context) -> Effort:
    marks = sum(len(h.edge.marks) for c in _copies(context) for h in c.edges)
    return Effort(len(_copies(context)), matches=marks)


OPERATION = Operation("mark", facts, no_stitching, effort, touches_cloth=False)
