"""What is to be laid, on what cloth, and the refusals where it cannot be.

Millimetres; x runs along the cloth (the grain), y across it. In a one-fold lay the fold is y = 0 and the strip is half
the usable width of the cloth.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from typing import Literal

import numpy as np
import shapely

from booklet.problems import Fault, Problem

# One layer; folded lengthwise; both selvedges folded in to a meeting line; folded across; folded for a length only; one
# selvedge folded in as deep as the pieces on the fold need, the rest of the width single.
LayKind = Literal["open", "fold", "two_folds", "cross_fold", "part_fold", "side_fold"]
StripKind = Literal[
    "open", "fold", "two_folds", "cross_fold", "side_fold"
]  # what one stretch of cloth can be
Mode = Literal["single", "pair", "same", "whole"]

CUTTING_GAP = 3.0  # mm between cut lines (common practice, no source)
QUARTER = 1j  # the turn of a piece laid across the grain
FOLD_STRAIGHT = 0.05  # mm: how far the drawn fold edge may stray from its line, or the piece across it


@dataclass(frozen=True)
class ClothGround:
    """The cloth that pieces are laid on: `width` mm between its selvedges (those off), `gap` mm between cut lines.

    `one_way`: a nap or a print with a top, so that all pieces lie with their tops to one end. `along` and `across` are
    the repeat of stripes or checks, 0 where there is none; a repeat begins at x = 0 and at the fold, or in an open
    lay at the lower edge.
    """

    width: float
    gap: float = CUTTING_GAP
    one_way: bool = False
    along: float = 0.0
    across: float = 0.0


@dataclass(frozen=True)
class LayPiece:
    """A piece to be cut `count` times (plies in all) from one cloth.

    `outline` is the cut line flattened, as seen on the right side of the cloth, with its grain already turned on to +x;
    the last point need not repeat the first. `fold_edge` names the two ends of the edge that lies on the fold; then the
    outline is a half and each of the `count` plies is whole.

    Modes: 'single' and 'same' lie right side up only; a 'pair' is as many plies one way as mirrored (`count` is even);
    'whole' is a piece whose mirror image is itself. `turnable` says that any ply may be cut either face up: its cloth
    has no right side, or the piece is symmetric. `nap`: all tops to the same end. `may_cross`: the grain may also lie
    across the cloth. `match`: the point that lies on the repeat of a striped or checked cloth; of a half piece on its
    fold edge's side of the drawing. `over`: in one layer a 'single' or 'same' lies with its paper face down instead,
    since it is drawn for the other side of the wearer or of the cloth.
    """

    key: str
    outline: tuple[complex, ...]
    mode: Mode = "pair"
    count: int = 2
    fold_edge: tuple[complex, complex] | None = None
    nap: bool = False
    turnable: bool = False
    may_cross: bool = False
    match: complex | None = None
    over: bool = False

    @property
    def either_face(self) -> bool:
        return self.turnable or self.mode == "whole"


@dataclass(frozen=True)
class Refusal:
    """Why a piece cannot lie: `over_mm` is how much too wide it is, 0 where that is not the reason."""

    key: str
    reason: Literal["outline", "count", "fold edge", "too wide", "one way", "repeat", "no use"]
    what: str
    mend: str = ""
    over_mm: float = 0.0


class CannotLay(Fault):
    """No lay of the asked-for kind on a cloth of this width exists; says why for each piece at fault."""

    def __init__(self, refusals: Sequence[Refusal]) -> None:
        self.refusals = tuple(refusals)
        super().__init__(
            Problem(f"lay-{r.reason.replace(' ', '-')}", "error", None, r.what, r.mend) for r in refusals
        )


def faults_of(piece: LayPiece) -> list[Refusal]:
    """What is wrong with a piece by itself, whatever the cloth."""
    return list(_faults_of(piece))


@lru_cache(maxsize=1024)
def _faults_of(piece: LayPiece) -> tuple[Refusal, ...]:
    found: list[Refusal] = []
    if piece.count < 1 or (piece.mode == "pair" and piece.count % 2):
        found.append(
            Refusal(
                piece.key,
                "count",
                f"piece {piece.key} is to be cut {piece.count} times",
                "A pair has an even count.",
            )
        )
    points = np.array(piece.outline, dtype=complex)
    if len(points) < 3 or not np.isfinite(points).all():
        found.append(Refusal(piece.key, "outline", f"the outline of piece {piece.key} has no area"))
        return tuple(found)
    polygon = shapely.Polygon(np.column_stack([points.real, points.imag]))
    if not polygon.is_valid:
        where = shapely.is_valid_reason(polygon).replace("[", " near (").replace("]", ")")
        found.append(
            Refusal(piece.key, "outline", f"the outline of piece {piece.key} is not simple: {where.lower()}")
        )
    elif polygon.area < 1.0:
        found.append(
            Refusal(piece.key, "outline", f"the outline of piece {piece.key} has an area under 1 mm²")
        )
    return tuple(found)


def fold_faults(piece: LayPiece) -> list[Refusal]:
    """What keeps a half piece's fold edge from lying on the fold of the cloth."""
    if piece.fold_edge is None:
        return []
    a, b = piece.fold_edge
    if abs(b - a) < 1.0:
        return [Refusal(piece.key, "fold edge", f"the fold edge of piece {piece.key} has no length")]
    if abs(b.imag - a.imag) > FOLD_STRAIGHT:
        return [
            Refusal(
                piece.key,
                "fold edge",
                f"the fold edge of piece {piece.key} is {abs(b.imag - a.imag):.1f} mm off the grain",
                "A piece on the fold of the cloth has its grain along its fold edge; else it is laid open.",
            )
        ]
    return []


def crossing_fault(piece: LayPiece) -> list[Refusal]:
    """A half piece has its fold edge on its outline and lies on one side of it, whichever way the line runs."""
    return list(_crossing_fault(piece))


@lru_cache(maxsize=1024)
def _crossing_fault(piece: LayPiece) -> tuple[Refusal, ...]:
    if piece.fold_edge is None or abs(piece.fold_edge[1] - piece.fold_edge[0]) < 1.0:
        return ()
    a, b = piece.fold_edge
    ring = shapely.LinearRing([(z.real, z.imag) for z in piece.outline])
    away = max(ring.distance(shapely.Point(z.real, z.imag)) for z in (a, b))
    if away > FOLD_STRAIGHT:
        what = f"the fold edge of piece {piece.key} lies {away:.1f} mm off it"
        return (Refusal(piece.key, "fold edge", what),)
    off = ((np.array(piece.outline) - a) * np.conj((b - a) / abs(b - a))).imag
    across = min(float(off.max()), float(-off.min()))
    if across <= FOLD_STRAIGHT:
        return ()
    what = f"piece {piece.key} passes its own fold line by {across:.1f} mm"
    return (Refusal(piece.key, "fold edge", what, "Draw the half on one side of its fold edge."),)


def opened(piece: LayPiece) -> LayPiece:
    """A half piece opened out to its whole outline; any other piece as it is.

    The whole keeps the half's frame, so that a placement of it places the half's drawing too.
    """
    if piece.fold_edge is None:
        return piece
    a, b = piece.fold_edge
    unit = (b - a) / abs(b - a)
    points = np.array(piece.outline, dtype=complex)
    # The far half is the near one reflected in the line of the fold.
    far = a + unit * np.conj((points - a) * np.conj(unit))
    whole = _united(points, far)
    match = piece.match
    if match is not None:  # of a whole piece its middle line lies on the repeat
        match = complex(a + unit * ((match - a) * unit.conjugate()).real)
    return replace(piece, outline=tuple(whole.tolist()), fold_edge=None, mode="whole", match=match)


def _united(near: np.ndarray, far: np.ndarray) -> np.ndarray:
    """The ring round two halves that touch along the fold; a hair of overlap makes them one."""
    halves = [shapely.Polygon(np.column_stack([p.real, p.imag])) for p in (near, far)]
    union = shapely.union_all(halves)
    if union.geom_type != "Polygon" or union.interiors:
        hair = FOLD_STRAIGHT / 2
        union = union.buffer(hair, join_style="mitre").buffer(-hair, join_style="mitre")
    if union.geom_type != "Polygon":
        union = max(union.geoms, key=lambda g: g.area)
    ring = np.array(union.exterior.coords)[:-1]
    return ring[:, 0] + 1j * ring[:, 1]


def crossed(piece: LayPiece) -> LayPiece:
    """The piece, opened, with its grain turned to lie across the cloth."""
    whole = opened(piece)
    match = None if whole.match is None else whole.match * QUARTER
    return replace(whole, outline=tuple(z * QUARTER for z in whole.outline), match=match)
