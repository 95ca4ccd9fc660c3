"""The length on the chart's base width, for a cloth that is not listed so wide: what its other widths are held against."""

from __future__ import annotations

from booklet.cloth.cloths import ClothToLay
from booklet.cloth.coarse import coarse
from booklet.cloth.engine import PLAIN, lay_on
from booklet.cloth.pieces import CannotLay, LayKind
from booklet.cloth.width_chart import BASE_WIDTH
from booklet.reading.shop import Shop


def base_length(cloth: ClothToLay, shop: Shop, kind: LayKind) -> float | None:
    """mm taken up on the base width, laid as another width is (`kind`) or open; None where some piece has no room.

    A placing pass with coarse outlines: the chart's band is far wider than what they add.
    """
    ground = cloth.ground(BASE_WIDTH, shop)
    pieces = tuple(coarse(p) for p in cloth.pieces)
    found = []
    for way in dict.fromkeys((kind if kind in PLAIN else "open", "open")):
        try:
            found.append(lay_on(pieces, way, ground).length)
        except CannotLay:
            continue
    return min(found, default=None)
