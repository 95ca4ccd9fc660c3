"""Lays of one cloth on several widths: a wider cloth never takes more than a narrower one, by construction.

Each lay of a narrower cloth can be laid on a wider one as it stands, so it is a candidate of its kind there; and what
is recommended there is chosen among the lays no longer than what the narrower cloth takes. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from booklet.cloth.engine import EASE, useful
from booklet.cloth.lay import Lay, widened
from booklet.cloth.pieces import LayKind


class Offer(NamedTuple):
    """What a lay comes to."""

    buy: float
    length: float
    kind: LayKind


def preferred(offer: Offer) -> tuple[float, float, int]:
    """Sorts lays of one width: the least to buy, of these the shortest to a millimetre, then the least work."""
    return (offer.buy, float(round(offer.length)), EASE.index(offer.kind))


def in_order(offers: Sequence[Offer], most: float = math.inf) -> list[int]:
    """Their numbers, the recommended one first: the least to buy and the shortest of those no longer than `most`.

    `most` is the length recommended on narrower cloth, inf where there is none.
    """
    numbers = sorted(range(len(offers)), key=lambda n: preferred(offers[n]))
    within = [n for n in numbers if offers[n].length <= most] or numbers
    return [*within[:1], *(n for n in numbers if n not in within[:1])]


def no_longer(lays: Sequence[Lay], width: float, narrower: Sequence[Lay], most: float) -> tuple[Lay, ...]:
    """The lays of a usable width, each kind's own or the one that lies on a narrower cloth, whichever is shorter.

    A kind that this cloth was not given is added where it saves.
    """
    out = []
    for kind in dict.fromkeys(lay.kind for lay in (*lays, *narrower)):
        own = next((lay for lay in lays if lay.kind == kind), None)
        other = min((n for n in narrower if n.kind == kind), key=lambda n: n.length, default=None)
        if other is not None and (own is None or other.length < own.length):
            out.append(widened(other, width, own.bound if own is not None else 0.0))
        elif own is not None:
            out.append(own)
    saving, here = useful(out, most)[0], {lay.kind for lay in lays}
    return tuple(lay for lay in out if lay.kind in here or lay in saving)
