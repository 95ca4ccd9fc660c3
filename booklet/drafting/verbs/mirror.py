"""Mirror: a piece turned over, so that it is drawn for the wearer's other side."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.copies import OTHER
from booklet.drafting.details import side_of
from booklet.drafting.shape import Run, Shape
from booklet.model import Mark
from booklet.paths import Placement


def mirrored(shape: Shape) -> Shape:
    """The shape turned over. Lengths and area stay; left and right change places in all that names a side."""
    over = Placement.mirror(0j, 1j)
    made = shape.placed(over)
    facing = shape.facing
    if facing is not None:
        edges = tuple(_other_side(e) for e in facing.edges)
        facing = replace(facing, edges=edges, laid=over.then(facing.laid))
    return replace(
        made,
        runs=tuple(_renamed(r) for r in made.runs),
        drawn_for=OTHER[shape.drawn_for],
        fold=shape.fold,
        darts=tuple(replace(d, edge=_other_side(d.edge), side=OTHER[d.side]) for d in made.darts),
        pleats=tuple(
            replace(
                p,
                edge=_other_side(p.edge),
                foot=_other_side(p.foot),
                sewn=tuple(_other_side(e) for e in p.sewn),
                side=OTHER[p.side],
            )
            for p in made.pleats
        ),
        facing=facing,
        trueings=tuple(replace(t, edge=_other_side(t.edge)) for t in shape.trueings),
        derived=tuple(_other_side(e) for e in shape.derived),
    )


def _other_side(name: str) -> str:
    base, side = side_of(name)
    return name if side == "whole" else f"{base}.{OTHER[side]}"


def _renamed(run: Run) -> Run:
    def mark(m: Mark) -> Mark:
        return m if m.side is None else replace(m, side=OTHER[m.side])

    return replace(run, name=_other_side(run.name), marks=tuple(mark(m) for m in run.marks))


def ask_mirror(asked: Asked, shape: Shape) -> Shape:
    """`mirror: true`: the piece turned over."""
    return mirrored(shape) if asked.spec is not False else shape
