"""Pieces that the style lets be cut in two, laid so: what a lay of their parts would save.

A part is the whole outline as far as the line to split along, and the allowance of the join beyond it. The halves of a
piece on the fold are each other's mirror image, so they are laid as a pair; of another line the first and the second
part are pieces of their own. All lengths mm.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import TYPE_CHECKING

import numpy as np
import shapely

from booklet.cloth.pieces import LayPiece
from booklet.cloth.plies import Drawn, ring_of
from booklet.model import Split
from booklet.paths import Path

if TYPE_CHECKING:
    from booklet.cloth.cloths import ClothToLay

FLAT = 0.02  # mm: outlines are flattened within this


def splittings(cloth: ClothToLay) -> Iterator[tuple[tuple[str, ...], ClothToLay]]:
    """The cloth with each piece that may be split in its parts, and with all of them so. None for what is fused, which
    has nothing to join, nor where stripes are matched."""
    if cloth.fusible or any(cloth.repeat):
        return
    keys = [p.key for p in cloth.pieces if _split(cloth, p.key) is not None]
    choices = [(key,) for key in keys] + ([tuple(keys)] if len(keys) > 1 else [])
    for chosen in choices:
        pieces: list[LayPiece] = []
        drawn = dict(cloth.drawn)
        for piece in cloth.pieces:
            split = _split(cloth, piece.key)
            if piece.key not in chosen or split is None:
                pieces.append(piece)
                continue
            for part in (1,) if split.at == "fold" else (1, 2):
                key = f"{piece.key}#{part}"
                drawn[key] = _drawn(cloth.drawn[piece.key], split, part)
                pieces.append(_laid(piece, key, split, drawn[key]))
        yield chosen, replace(cloth, pieces=tuple(pieces), drawn=drawn)


def _split(cloth: ClothToLay, key: str) -> Split | None:
    """Of one ply of a piece; a half that is not drawn on a fold any more is not split there."""
    piece = cloth.drawn[key].copies[0].piece
    if piece.split is None or (piece.split.at == "fold" and piece.fold is None):
        return None
    return piece.split


def _drawn(whole: Drawn, split: Split, part: int) -> Drawn:
    path = part_of(whole.whole, split, part)
    return replace(whole, half=path, whole=path, part=part)


def _laid(piece: LayPiece, key: str, split: Split, drawn: Drawn) -> LayPiece:
    ring = ring_of(drawn.whole.placed(drawn.turn))
    part = replace(piece, key=key, outline=ring, fold_edge=None, match=None)
    if split.at == "fold":
        return replace(part, mode="pair", count=2 * piece.count, turnable=False, over=False)
    return part


def part_of(whole: Path, split: Split, part: int) -> Path:
    """The outline of the first or second part, with the allowance beyond the line."""
    points = whole.flatten(FLAT)
    a, b = split.line
    way = (b - a) / abs(b - a)
    inward = 1j * way * (1 if part == 1 else -1)
    far = 4 * (float(abs(points - a).max()) + split.allow)
    near = a - inward * split.allow
    corners = (
        near - way * far,
        near + way * far,
        near + way * far + inward * far,
        near - way * far + inward * far,
    )
    side = shapely.Polygon([(z.real, z.imag) for z in corners])
    cut = shapely.Polygon(np.column_stack((points.real, points.imag))).buffer(0).intersection(side)
    if cut.geom_type != "Polygon":
        cut = max(cut.geoms, key=lambda g: g.area)
    ring = shapely.geometry.polygon.orient(cut).exterior.coords[:-1]
    return Path.polyline([complex(x, y) for x, y in ring], closed=True)
