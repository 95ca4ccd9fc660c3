"""Which side of a cloth a piece is cut from, and whether its paper is turned over where the cloth lies in one layer.

A cloth in one layer lies with one side up. Where some of its pieces are cut right side up and others wrong side up, it
lies right side up and the others' paper is turned over instead, which comes to the same.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal

from booklet.model import CutRule

Face = Literal["up", "down", ""]


def one_faced(rule: CutRule) -> bool:
    """Whether the style says which side of the cloth its pieces are cut from, and it matters: of a pair, and of a piece
    whose two halves are alike, the other side gives the same."""
    return rule.how in ("single", "same") and rule.face != "either"


def side_up(rule: CutRule, own_mirror: bool) -> Face:
    """The side of the cloth that is up under a paper lying face up; "" where either will do.

    Copies that are all alike are cut from one side although none is named, unless their outline is its `own_mirror`:
    of fused cloth from its glue side, as the paper then shows the garment's right side.
    """
    if one_faced(rule):
        return "down" if rule.face == "down" else "up"
    if rule.how == "same" and not own_mirror:
        return "down" if rule.fused else "up"
    return ""


def mixes(sides: Iterable[Face]) -> bool:
    """Whether pieces of one cloth are cut from both of its sides."""
    return {"up", "down"} <= set(sides)
