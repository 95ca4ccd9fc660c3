"""Outlines with few corners that hold the true ones, for a lay of which only the length is asked for.

What a placing costs goes by the corners of two pieces multiplied. The true outlines fit wherever the coarse ones do.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace

import numpy as np
import shapely

from booklet.cloth.lay import Lay
from booklet.cloth.pieces import LayPiece, opened
from booklet.cloth.plies import Drawn

COARSE = 2.0  # mm: how far a coarse outline may stand off the true one, about


def coarse(piece: LayPiece) -> LayPiece:
    """The piece with a coarser outline in the same frame; as it is where that would not hold it."""
    points = np.array(opened(piece).outline, dtype=complex)
    shape = shapely.Polygon(np.column_stack([points.real, points.imag])).buffer(0)
    if shape.geom_type != "Polygon":
        return piece
    wide = shape.buffer(COARSE, join_style="mitre", mitre_limit=3.0).simplify(COARSE * 0.95)
    if wide.geom_type != "Polygon" or not wide.covers(shape):
        return piece
    if piece.fold_edge is not None:
        wide = wide.intersection(_near_side(piece, wide))
        if wide.geom_type != "Polygon":
            return piece
    ring = shapely.get_coordinates(wide.exterior)[:-1]
    if len(ring) >= len(piece.outline):
        return piece
    return replace(piece, outline=tuple(complex(x, y) for x, y in ring))


def trued(lay: Lay, drawn: Mapping[str, Drawn]) -> Lay:
    """A lay of coarse outlines, as long as the true ones take."""
    ends = []
    for put in lay.placements:
        piece = drawn[put.key]
        outline = piece.half if put.on_fold else piece.whole
        ends.append(outline.placed(piece.turn.then(put.placement)).bbox[2])
    last = lay.sections[-1]
    end = max(ends)
    length = 2 * end if last.cross_fold else end
    beside = lay.kind == "side_fold"  # its stretches lie side by side, equally long
    sections = tuple(replace(s, end=end) if s is last or beside else s for s in lay.sections)
    return replace(lay, length=length, bound=min(lay.bound, length), proved=False, sections=sections)


def _near_side(piece: LayPiece, ground: shapely.Polygon) -> shapely.Polygon:
    """The half plane of a half piece, as far as `ground` reaches."""
    assert piece.fold_edge is not None
    a, b = piece.fold_edge
    way = (b - a) / abs(b - a)
    x0, y0, x1, y1 = ground.bounds
    far = 2 * (x1 - x0 + y1 - y0)
    off = ((np.array(piece.outline) - a) * np.conj(way)).imag
    inward = way * 1j * (1 if off.sum() > 0 else -1)
    corners = (a - way * far, a + way * far, a + way * far + inward * far, a - way * far + inward * far)
    return shapely.Polygon([(z.real, z.imag) for z in corners])
