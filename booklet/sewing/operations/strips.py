"""strips: the strips of a bias binding joined on the slant and pressed for use."""

from __future__ import annotations

from booklet.bias import cut_width, join_loss
from booklet.model import BindingOf, Copy
from booklet.sewing.operations.base import (
    LOCKSTITCH,
    SUPERIMPOSED,
    Context,
    Effort,
    Facts,
    Operation,
    Stitching,
)
from booklet.sewing.operations.names import piece_names


def strips_of(context: Context, key: str) -> tuple[tuple[Copy, ...], BindingOf]:
    """The strips of a binding's piece, and what they are for."""
    plies = context.plies(key)
    binding = plies[0].piece.binding
    assert binding is not None  # checked with the recipe
    return plies, binding


def width(copy: Copy) -> float:
    """A strip's cut width, mm: the distance between its long edges."""
    a, b = copy.edges[0].edge.path, copy.edges[2].edge.path
    way = (a.end - a.start) / abs(a.end - a.start)
    return abs(((b.start - a.start) * way.conjugate()).imag)


def _rows(context: Context) -> list[Facts]:
    out = []
    for key in context.spec:
        plies, binding = strips_of(context, str(key))
        wide = width(plies[0])
        each = plies[0].edges[0].edge.length
        out.append(
            {
                "piece": piece_names(plies)[0],
                "strips": binding.strips,
                "bindings": len(plies) // binding.strips,
                "each": each,
                "wide": wide,
                "join": binding.join,
                "double": binding.kind == "double",
                "half": wide / 2,
                "folded": wide / (2 if binding.kind == "double" else 4),
                "long": binding.strips * each - (binding.strips - 1) * join_loss(binding.join),
                "needed": binding.long,
                "plain_width": cut_width(binding.finished, binding.kind, 0.0),
            }
        )
    return out


def facts(context: Context) -> Facts:
    rows = _rows(context)
    return {"rows": rows, "first": rows[0], "tolerance": context.shop.equal}


def stitching(context: Context) -> tuple[Stitching, ...]:
    joins = [(r["bindings"] * (r["strips"] - 1), r["wide"] * 2**0.5) for r in _rows(context)]
    count = sum(n for n, _ in joins)
    if not count:
        return ()
    return (Stitching(LOCKSTITCH, sum(n * mm for n, mm in joins), "joins", SUPERIMPOSED, count),)


def effort(context: Context) -> Effort:
    rows = _rows(context)
    pressed = sum(r["bindings"] * r["long"] * (1 if r["double"] else 3) for r in rows)
    return Effort(sum(r["bindings"] * r["strips"] for r in rows), iron=pressed)


OPERATION = Operation("strips", facts, stitching, effort)
