"""Hems beside the single and the double one: narrow, rolled in two small turns, and blind, whose stitches do not show.

Words and figures of all kinds come together in hem.py. A faced hem is a facing, sewn on by `face` and held by `tack`.
"""

from __future__ import annotations

from booklet.model import Seam
from booklet.sewing.operations.base import EDGE_FINISH, HAND, LOCKSTITCH, Context, Facts, Stitching

# All common practice, no source.
NARROW_LEAST, NARROW_MOST = 3.0, 5.0  # mm that each turn of a narrow hem is deep
NARROW_IN = 1.0  # mm from its inner fold to its row
BLIND_LEAST = 15.0  # mm: a shallower hem cannot be folded back to be sewn blind
FOLD_BACK = 6.0  # mm from the neatened edge to the fold at which a blind hem is caught
APART = 8.0  # mm from stitch to stitch by hand

BLIND_CHAIN = 103  # ISO 4915: the single-thread chain stitch of a blindstitch machine


def by_hand(context: Context) -> bool:
    return context.spec.get("by", "hand") == "hand"


def kind_facts(context: Context, seam: Seam) -> Facts:
    """What the words of these two kinds need besides the figures of every hem."""
    return {
        "kind": seam.neaten,
        "by_hand": seam.neaten == "blind" and by_hand(context),
        "fold_back": FOLD_BACK,
        "apart": APART,
    }


def kind_rows(context: Context, seam: Seam, length: float, count: int) -> list[Stitching]:
    """The rows that sew `count` hems of these kinds down, `length` mm in all. The neatening of a blind one not counted."""
    if seam.neaten == "narrow":
        return [
            Stitching(LOCKSTITCH, length, "first row", EDGE_FINISH, count),
            Stitching(LOCKSTITCH, length, "hem", EDGE_FINISH, count),
        ]
    if by_hand(context):
        return [Stitching(HAND, length, "blind stitching", EDGE_FINISH, count, "hand")]
    return [Stitching(BLIND_CHAIN, length, "blind stitching", EDGE_FINISH, count)]
