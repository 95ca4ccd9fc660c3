"""Guide minutes of a step: handling, pinning, acts and pressing at the shop's rates, and stitching by length."""

from __future__ import annotations

import math

from booklet.reading.shop import Shop
from booklet.sewing.operations.base import Effort, Stitching


def guide_minutes(verb: str, effort: Effort, stitching: tuple[Stitching, ...], shop: Shop) -> int:
    """Whole minutes, at least one. Raises KeyError for an operation or act that the shop has no rate for."""
    minutes = shop.handling[verb] * effort.handlings + shop.match * effort.matches
    minutes += sum(shop.acts[act] for act in effort.acts)
    minutes += sum(row.mm / shop.speed[row.speed] for row in stitching)
    minutes += effort.iron / shop.speed["iron"]
    return max(1, math.floor(minutes + 0.5))
