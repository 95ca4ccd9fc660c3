"""Cloth whose pieces must lie with all tops to one end (a nap, a pile, a one-way print): do they, and what it would take."""

from __future__ import annotations

from dataclasses import replace

from booklet.cloth.cloths import ClothToLay
from booklet.cloth.engine import PLAIN, lays
from booklet.cloth.orient import Made
from booklet.cloth.plan_of import plan_of
from booklet.cloth.working import Units
from booklet.model import LayPlan
from booklet.reading.shop import Shop

ACROSS = 0.1  # of a grain's length: off the cloth's own by more, a piece lies across


def tops_to_one_end(lay: LayPlan) -> bool:
    """Whether no piece lies turned half round to another, or across: so that a nap would run one way on all."""
    if lay.kind == "cross_fold":
        return False
    ways = [p.grain[1] - p.grain[0] for p in lay.placings]
    return all(way.real * ways[0].real > 0 and abs(way.imag) < ACROSS * abs(way) for way in ways)


def one_way_lays(
    cloth: ClothToLay, best: LayPlan, shop: Shop, units: Units, made: Made | None = None
) -> tuple[LayPlan, ...]:
    """Plans on the width of the recommended lay with all tops to one end, the least to buy first; none where nothing
    fits so, or where that lay is one of them.

    A placing pass of the lays along the cloth: enough for sure, maybe a little more than a search would find.
    """
    if best.one_way or tops_to_one_end(best):
        return ()
    ground = replace(cloth.ground(best.width_mm, shop), one_way=True)
    found = lays(cloth.pieces, ground, kinds=PLAIN, made=made).lays
    return tuple(replace(plan_of(lay, cloth, best.width_mm, shop, units), one_way=True) for lay in found)
