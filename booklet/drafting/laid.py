"""`places:` where another piece is laid on this one, such as a patch pocket: its outline, and corners to be drilled."""

from __future__ import annotations

import cmath
import math

from booklet.drafting.asked import Asked
from booklet.drafting.copies import open_out
from booklet.drafting.places import edge_of
from booklet.model import Half, Piece, Place
from booklet.paths import Path, Placement

CORNER = math.radians(30)  # a turn above this between two edges is a corner


def places(asked: Asked, grain: tuple[complex, complex]) -> tuple[Place, ...]:
    """The entries of `places:` that apply. The laid piece keeps its grain along this one's."""
    out = []
    for name in asked.spec.get("places") or {}:
        one = asked.within("places", name)
        if not one.applies():
            continue
        key, edge = one.words("piece"), one.words("edge")
        edge_of(asked.maker.shape(key, one.where), edge, key, one.where)
        piece = asked.maker.piece(key)
        point = asked.table.point(one.words("at"), None, one.where)
        middle = _middle(piece, edge)
        turn = (grain[1] - grain[0]) / (piece.grain[1] - piece.grain[0])
        turn /= abs(turn)
        laid = Placement(turn, point - turn * middle)
        ring = open_out(piece).ring
        outline = ring[0].edge.path.joined(*(h.edge.path for h in ring[1:])).placed(laid)
        out.append(Place(str(name), key, laid, outline, tuple(laid.apply(z) for z in _corners(ring))))
    return tuple(out)


def _middle(piece: Piece, edge: str) -> complex:
    """The middle of an edge of the opened piece."""
    path: Path = next(h for h in open_out(piece).ring if h.base == edge).edge.path
    return path.point(path.length / 2)


def _corners(ring: tuple[Half, ...]) -> list[complex]:
    out = []
    for before, after in zip((ring[-1], *ring[:-1]), ring, strict=True):
        turn = after.edge.path.start_tangent / before.edge.path.end_tangent
        if abs(cmath.phase(turn)) > CORNER:
            out.append(after.edge.path.start)
    return out
