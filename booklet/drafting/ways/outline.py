"""`outline:` and `rectangle:`: a ring of construction lines, or four straight edges."""

from __future__ import annotations

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Shape, rectangle, shape_from_outline


def from_outline(asked: Asked) -> Shape:
    raw = asked.maker.raw[asked.key]
    shape = shape_from_outline(asked.table, asked.key, raw, asked.maker.side(asked.key))
    return Shape(shape.runs, shape.drawn_for, points=_points(asked, shape))


def from_rectangle(asked: Asked) -> Shape:
    return rectangle(asked.table, asked.key, asked.maker.raw[asked.key], asked.maker.side(asked.key))


def _points(asked: Asked, shape: Shape) -> tuple[tuple[str, complex], ...]:
    """Construction points that the edges were drawn through, by their own names."""
    out: dict[str, complex] = {}
    groups = asked.table.data.get("construction") or {}
    for group, line in dict.fromkeys(x for r in shape.runs for x in r.lines):
        spec = groups[group].get("lines", {})[line]
        for ref in (*(spec.get("straight") or ()), *(spec.get("curve") or ())):
            out[str(ref).split(".")[-1]] = asked.table.point(str(ref), group)
    return tuple(out.items())
