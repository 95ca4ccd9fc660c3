"""A lay found, as the booklet tells it: every ply's outline where it lies, the length taken up and the length to buy."""

from __future__ import annotations

from typing import Literal

from booklet.cloth.amounts import length_needed, length_to_buy, share_used
from booklet.cloth.cloths import ClothToLay
from booklet.cloth.lay import Lay
from booklet.cloth.plies import Drawn
from booklet.model import LayPlan, Placing
from booklet.reading.shop import Shop


def plan_of(
    lay: Lay,
    cloth: ClothToLay,
    width: float,
    shop: Shop,
    units: Literal["cm", "in"],
    why: str = "",
    kept: bool = False,
) -> LayPlan:
    """The plan of a lay on a cloth `width` mm wide as sold. KeyError or IndexError for a lay of other pieces."""
    placings = []
    for put in lay.placements:
        drawn = cloth.drawn[put.key]
        here = drawn.turn.then(put.placement)
        piece = drawn.copies[0].piece
        one_layer = lay.sections[put.section].layers == 1
        placings.append(
            Placing(
                piece.key,
                _copies_of(put.copies, put.mirrored, drawn, one_layer),
                (drawn.half if put.on_fold else drawn.whole).placed(here),
                here,
                put.mirrored,
                put.on_fold,
                (here.apply(piece.grain[0]), here.apply(piece.grain[1])),
                put.section,
                put.spare,
                drawn.part,
            )
        )
    need, buy = amounts_of(lay, cloth, shop, units)
    return LayPlan(
        cloth=cloth.key,
        width_mm=width,
        usable_mm=lay.width,
        kind=lay.kind,
        length_mm=lay.length,
        need_mm=need,
        buy_mm=buy,
        used=share_used(cloth.area, width, lay.length),
        recommended=False,
        placings=tuple(placings),
        why=why,
        sections=lay.sections,
        one_way=cloth.nap,
        repeat=cloth.repeat,
        bound_mm=lay.bound,
        proved=lay.proved,
        kept=kept,
    )


def amounts_of(lay: Lay, cloth: ClothToLay, shop: Shop, units: Literal["cm", "in"]) -> tuple[float, float]:
    """What a lay needs, mm, and what is bought for it: with squaring, shrinkage and one repeat of a matched cloth."""
    along = cloth.repeat[0]
    need = length_needed(lay.length, cloth.shrinkage, shop.squaring, along)
    return need, length_to_buy(lay.length, shop.buy_step[units], cloth.shrinkage, shop.squaring, along)


def _copies_of(numbers: tuple[int, ...], mirrored: bool, drawn: Drawn, one_layer: bool) -> tuple[str, ...]:
    """Which copies a placed ply is: in one layer the mirrored ply of a pair is the other side's; of a piece split at its
    fold two halves are one copy."""
    mine = drawn.copies
    piece = mine[0].piece
    if drawn.part and piece.split is not None and piece.split.at == "fold":
        return tuple(dict.fromkeys(mine[n // 2].id for n in numbers))
    if one_layer and mine[0].rule.how == "pair":
        turned = [c for c in mine if c.placing.mirrored == mirrored]
        return (turned[numbers[0] // 2].id,) if turned else (mine[numbers[0]].id,)
    return tuple(mine[n].id for n in numbers if n < len(mine))
