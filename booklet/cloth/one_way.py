"""Cloth whose pieces must lie with all tops to one end (a nap, a pile, a one-way print): do they, and what it would take."""

from __future__ import annotations

from dataclasses import replace

from booklet.cloth.cloths import ClothToLay
from booklet.cloth.coarse import coarse
from booklet.cloth.engine import PLAIN, lay_on
from booklet.cloth.pieces import CannotLay, LayKind
from booklet.cloth.plan_of import amounts_of
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


def one_way_buy(cloth: ClothToLay, best: LayPlan, shop: Shop, units: Units) -> float | None:
    """What to buy, mm, on the width of the recommended lay if all tops must lie to one end; None where nothing fits so.

    A placing pass with coarse outlines, laid as that lay is and open: enough for sure, maybe a little more than a search
    would find.
    """
    if best.one_way or tops_to_one_end(best):
        return best.buy_mm
    ground = replace(cloth.ground(best.width_mm, shop), one_way=True)
    pieces = tuple(coarse(p) for p in cloth.pieces)
    kinds: tuple[LayKind, ...] = (
        "open",
        *((best.kind,) if best.kind in PLAIN and best.kind != "open" else ()),
    )
    found = []
    for kind in kinds:
        try:
            found.append(amounts_of(lay_on(pieces, kind, ground), cloth, shop, units)[1])
        except CannotLay:
            continue
    return max(best.buy_mm, min(found)) if found else None
