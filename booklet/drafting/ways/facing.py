"""Facings: a band of their parent along some of its edges, turned over, since it lies right sides together with it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.bands import band_along
from booklet.drafting.shape import Shape
from booklet.model import FacingOf, Side
from booklet.paths import Placement
from booklet.problems import Where


def facing_shape(
    parent: Shape,
    parent_key: str,
    along: list[str],
    wide: tuple[float, float],
    at_fold: float | None,
    where: Where,
    turn: float = 0.0,
) -> Shape:
    """The band of `along`, turned over. `turn` is the turn of cloth: so much shorter are the copied edges."""
    band = band_along(parent, parent_key, along, wide, at_fold, where)
    return turned_over(smaller(band.shape, band.long, turn), parent, parent_key, band.order)


def smaller(shape: Shape, long: float, turn: float) -> Shape:
    """The facing drawn in so that its copied edges are `turn` mm shorter in all: they lie inside the turn of the cloth."""
    if turn == 0:
        return shape
    k = (long - turn) / long
    about = shape.run(shape.fold).path.start if shape.fold else shape.runs[0].path.start
    runs = tuple(
        replace(r, path=r.path.stretched(k, k, about), marks=tuple(replace(m, at=m.at * k) for m in r.marks))
        for r in shape.runs
    )
    return replace(shape, runs=runs)


def turned_over(plain: Shape, parent: Shape, parent_key: str, edges: tuple[str, ...]) -> Shape:
    """The band as its own piece. A folded band is the same shape drawn for the other side; a one-off is mirrored."""
    other: dict[Side, Side] = {"left": "right", "right": "left", "whole": "whole"}
    if plain.fold is not None:
        fold = plain.run(plain.fold).path
        laid = Placement.mirror(fold.start, fold.end - fold.start)
        return replace(plain, drawn_for=other[parent.drawn_for], facing=FacingOf(parent_key, edges, laid))
    over = Placement.mirror(0j, 1j)
    turned = plain.placed(over)
    return replace(turned, facing=FacingOf(parent_key, edges, over.inverse))


def from_facing(asked: Asked) -> Shape:
    """`facing: {of, along: [edges], wide: LENGTH or {start, end}, at fold, turn}`."""
    parent = asked.other(asked.words("of"))
    wide = asked.spec["wide"]
    widths = (
        (asked.amount("wide", "start"), asked.amount("wide", "end"))
        if isinstance(wide, Mapping) and "start" in wide
        else (asked.amount("wide"),) * 2
    )
    deep = asked.amount("at fold") if asked.has("at fold") else None
    return facing_shape(
        parent, asked.words("of"), asked.listed("along"), widths, deep, asked.where, asked_turn(asked)
    )


def asked_turn(asked: Asked) -> float:
    """The turn of cloth, mm; 0 where none is asked for. Raises Fault beyond 10 mm."""
    turn = asked.amount("turn", default=0.0)
    if not 0 <= turn <= 10:
        raise asked.fault("turn", f"the turn of cloth of {asked.key} is {turn:.1f} mm", "Write 0 to 10 mm.")
    return turn
