"""Which ways round a piece may lie, and the outlines that the search lays.

A way round is a pair of signs (sx, sy): (x, y) -> (sx x, sy y). (1, 1) as drawn, (-1, -1) half a turn, (1, -1) turned
over across the cloth, (-1, 1) turned over end for end. These four keep the grain along the cloth; with nap sx stays 1.

The search works in whole micrometres, so that it gives the same lay on every machine. It lays grown outlines: the cut
line grown by half the cutting gap + TOLERANCE and then thinned by TOLERANCE, which holds the cut line grown by half
the gap.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import lru_cache
from typing import TYPE_CHECKING

import numpy as np
import shapely

from booklet.cloth.pieces import (
    ClothGround,
    LayPiece,
    Refusal,
    StripKind,
    crossing_fault,
    faults_of,
    fold_faults,
    opened,
)
from booklet.paths import Placement

if TYPE_CHECKING:
    from booklet.cloth.nofit import NoFit

Way = tuple[int, int]
Points = tuple[tuple[int, int], ...]
# No-fit polygons of grown outlines, the second lying so against the first, each by how it is then turned.
Made = dict[tuple[Points, Points, Way], dict[Way, "NoFit"]]

UNIT = 1000  # whole units in a millimetre
TOLERANCE = 0.5  # mm: outlines of 15 to 18 points, which cost 0.5 % of area
SAME_WITHIN = 1000  # units: two ways round whose thinned outlines differ by less are one
MITRE = 5.0

AS_DRAWN: Way = (1, 1)
HALF_TURN: Way = (-1, -1)
OVER_ACROSS: Way = (1, -1)
OVER_ENDWISE: Way = (-1, 1)


@dataclass(frozen=True)
class Shape:
    """One outline to lay, in units, its own corner at the origin. `grown` winds so that its area is positive."""

    grown: Points
    size: tuple[int, int]  # the cut line's own box is (0, 0) to size
    area: float  # of the cut line, mm²
    fold_span: tuple[int, int] = (0, 0)  # where `grown` meets the fold, for a half piece


@dataclass(frozen=True)
class Item:
    """One thing to place: a ply, or the plies of a folded lay that are cut through at once.

    `corner` and `flip` carry the piece's drawing to its shape: (x, y) -> (x - corner.x, flip * (y - corner.y)).
    `match` is the shape's point that lies on the cloth's repeat, if one must. `flat`: it lies in the single part of a
    cloth of which one side is folded in.
    """

    key: str
    copies: tuple[int, ...]
    shape: int
    ways: tuple[Way, ...]
    on_fold: bool
    corner: complex
    flip: int
    match: tuple[int, int] | None = None
    flat: bool = False

    def placement(self, way: Way, at: tuple[int, int]) -> Placement:
        """The piece's drawing -> the cloth, its shape's origin at `at` (units) after turning `way`."""
        sx, sy = way[0], way[1] * self.flip
        shift = complex(at[0] / UNIT - sx * self.corner.real, at[1] / UNIT - sy * self.corner.imag)
        return Placement(complex(sx), shift, sx != sy)


@dataclass(frozen=True)
class Strip:
    """A stretch of cloth lying one way. x runs along it, y across from a fold, or from the edge of a flat one.

    Two folds bring both selvedges to the line y = `meeting`; the other fold is the strip's far edge. One side folded in
    brings its selvedge there, and the pieces named in `flat` lie beyond, in one layer. A line of the repeat lies at
    y = `phase`.
    """

    kind: StripKind
    ground: ClothGround
    meeting: float = 0.0
    phase: float = 0.0
    flat: tuple[str, ...] = ()

    @property
    def along_fold(self) -> bool:
        """Has a fold along the cloth, on which half pieces lie."""
        return self.kind in ("fold", "two_folds", "side_fold")

    @property
    def double(self) -> bool:
        return self.kind != "open"

    @property
    def height(self) -> float:
        if self.kind == "side_fold":
            return self.ground.width - self.meeting
        return self.ground.width / 2 if self.along_fold else self.ground.width

    def under(self, key: str) -> Strip:
        """The cloth as it lies under a piece: beyond a side that is folded in it is open."""
        return replace(self, kind="open") if key in self.flat else self


@dataclass(frozen=True)
class Task:
    """All that a search needs: shapes, items, and the strip they lie on, in units (the fields as Strip has them)."""

    kind: StripKind
    shapes: tuple[Shape, ...]
    items: tuple[Item, ...]
    width: int  # of the strip: the usable cloth, or half of it when folded
    fold_gap: int  # how far pieces that do not lie on the fold keep off it
    meeting: int = 0
    repeat: tuple[int, int] = (0, 0)  # along and across, 0 where nothing is matched
    phase: int = 0
    made: Made = field(default_factory=dict, compare=False, repr=False)


def ways_of(piece: LayPiece, kind: StripKind, mirrored_twin: bool) -> tuple[Way, ...]:
    """The ways round that give the right ply; `mirrored_twin` is the other of a pair in one layer."""
    if piece.fold_edge is not None and kind in ("fold", "side_fold"):
        ways = [AS_DRAWN, OVER_ENDWISE]
    elif piece.either_face or kind != "open":
        # Face down in two layers only swaps which of them gives the left and which the right, or the one that is used.
        # Between two folds a half piece turned over across lies on the far one.
        ways = [AS_DRAWN, HALF_TURN, OVER_ACROSS, OVER_ENDWISE]
    elif mirrored_twin != piece.over:
        ways = [OVER_ACROSS, OVER_ENDWISE]
    else:
        ways = [AS_DRAWN, HALF_TURN]
    return tuple(w for w in ways if w[0] == 1 or not piece.nap)


def prepare(
    pieces: tuple[LayPiece, ...], kind: StripKind, width: float, gap: float
) -> tuple[Task, list[Refusal]]:
    """`prepare_strip` on plain cloth: usable width and cutting gap in mm."""
    return prepare_strip(pieces, Strip(kind, ClothGround(width, gap)))


def prepare_strip(
    pieces: tuple[LayPiece, ...], strip: Strip, made: Made | None = None
) -> tuple[Task, list[Refusal]]:
    """Shapes and items for a lay on this stretch of cloth, and every reason against it.

    `made` keeps no-fit polygons from one task of the same pieces to the next.
    """
    refusals: list[Refusal] = []
    shapes: list[Shape] = []
    items: list[Item] = []
    ground = strip.ground
    for piece in pieces:
        found = faults_of(piece)
        under = strip.under(piece.key)
        if not found:
            found = crossing_fault(piece) + _one_way(piece, under)
            if under.along_fold:
                found += fold_faults(piece)
        refusals += found
        if found:
            continue
        on_fold = under.along_fold and piece.fold_edge is not None
        whole = piece if under.along_fold else opened(piece)
        if ground.one_way:
            whole = replace(whole, nap=True)
        shape, corner, flip = _shape(whole, on_fold, ground.gap)
        refusals += _too_wide(piece.key, shape, strip, on_fold)
        if shape not in shapes:
            shapes.append(shape)
        index = shapes.index(shape)
        match = _match(whole, corner, flip) if ground.along or ground.across else None
        flat = piece.key in strip.flat
        for copies, twin in _placings(whole, under, on_fold):
            ways = ways_of(whole, under.kind, twin)
            if match is None and not (on_fold and strip.kind == "two_folds"):
                ways = _distinct(shape, ways)
            items.append(Item(piece.key, copies, index, ways, on_fold, corner, flip, match, flat))
    task = Task(
        strip.kind,
        tuple(shapes),
        tuple(items),
        _down(strip.height),
        round(ground.gap * UNIT),
        _down(strip.meeting),
        (round(ground.along * UNIT), round(ground.across * UNIT)),
        round(strip.phase * UNIT),
        {} if made is None else made,
    )
    return task, refusals


def _match(piece: LayPiece, corner: complex, flip: int) -> tuple[int, int] | None:
    if piece.match is None:
        return None
    at = piece.match - corner
    return round(at.real * UNIT), round(flip * at.imag * UNIT)


def _one_way(piece: LayPiece, strip: Strip) -> list[Refusal]:
    """Folded across, one layer's top lies the other way."""
    if strip.kind != "cross_fold" or not (piece.nap or strip.ground.one_way):
        return []
    what = f"piece {piece.key} has all tops to one end, and folding across turns one layer round"
    return [Refusal(piece.key, "one way", what, "Lay the cloth open or fold it lengthwise.")]


def _too_wide(key: str, shape: Shape, strip: Strip, on_fold: bool) -> list[Refusal]:
    tall = shape.size[1] / UNIT
    keep_off = strip.ground.gap if strip.along_fold and not on_fold else 0.0
    room = strip.height - keep_off
    which = "across"
    if strip.kind == "two_folds":
        room = max(strip.meeting, strip.height - strip.meeting) - keep_off
        which = "between a fold and the meeting line"
    elif strip.kind == "side_fold":
        flat = key in strip.flat
        room = strip.height - strip.meeting if flat else strip.meeting - keep_off
        which = "beside its fold" if flat else "in its fold"
    elif strip.kind == "fold":
        which = "on either side of its fold"
    over = tall - room
    # A measure that fits within rounding fits: exact fits are wanted.
    if over <= 1e-3:
        return []
    what = f"piece {key} is {tall:.0f} mm wide, {over:.1f} mm more than the {room:.0f} mm that this cloth has {which}"
    mend = "Use a wider cloth" + (" or lay it open." if strip.along_fold else ".")
    return [Refusal(key, "too wide", what, mend, over)]


def _placings(piece: LayPiece, strip: Strip, on_fold: bool) -> list[tuple[tuple[int, ...], bool]]:
    """(plies cut together, is a mirrored twin) of each placing. A pair's odd plies are the mirrored ones.

    In two layers a piece that must lie right side up gives one ply at a time; the other layer's is not used.
    """
    numbers = range(piece.count)
    if not strip.double or on_fold:
        return [((n,), piece.mode == "pair" and n % 2 == 1) for n in numbers]
    if piece.mode != "pair" and not piece.either_face:
        return [((n,), False) for n in numbers]
    return [(tuple(numbers[n : n + 2]), False) for n in range(0, piece.count, 2)]


def _shape(piece: LayPiece, on_fold: bool, gap: float) -> tuple[Shape, complex, int]:
    """The shape of a piece, where its origin lies on the drawing, and -1 where it was turned over the fold."""
    return _shape_of(piece.outline, piece.fold_edge if on_fold else None, gap)


@lru_cache(maxsize=1024)
def _shape_of(
    outline: tuple[complex, ...], fold_edge: tuple[complex, complex] | None, gap: float
) -> tuple[Shape, complex, int]:
    z = np.array(outline, dtype=complex)
    flip = 1
    top = float(z.imag.min())
    on_fold = fold_edge is not None
    if fold_edge is not None:
        top = fold_edge[0].imag
        flip = 1 if (z.imag - top).sum() > 0 else -1
    corner = complex(float(z.real.min()), top)
    xy = np.column_stack([z.real - corner.real, flip * (z.imag - corner.imag)])
    grown = _grown(xy, on_fold, gap / 2)
    units = np.rint(grown * UNIT).astype(np.int64)
    # Corners that fall together in whole units are one: an edge without length has no direction.
    units = units[(units != np.roll(units, 1, axis=0)).any(axis=1)]
    points = tuple((int(x), int(y)) for x, y in units)
    size = (_up(xy[:, 0].max()), _up(xy[:, 1].max()))
    span = (0, 0)
    if on_fold:
        on_line = [x for x, y in points if y == 0]
        span = (min(on_line), max(on_line))
    return Shape(points, size, float(shapely.Polygon(xy).area), span), corner, flip


def _grown(xy: np.ndarray, on_fold: bool, by: float) -> np.ndarray:
    """The ring of an outline grown and thinned, winding with positive area; a half ends exactly on the fold."""
    shape = shapely.Polygon(xy)
    if on_fold:
        # Grown as a whole piece and cut back, so that nothing is added across the fold.
        shape = shapely.union_all([shape, shapely.Polygon(xy * [1, -1])]).buffer(0.001, join_style="mitre")
    wanted = shape.buffer(by, join_style="mitre", mitre_limit=MITRE)
    grown = shape.buffer(by + TOLERANCE, join_style="mitre", mitre_limit=MITRE)
    thin = grown.simplify(TOLERANCE)
    if thin.geom_type != "Polygon" or not thin.buffer(0.01).covers(wanted):
        thin = grown
    ring = shapely.Polygon(thin.exterior)  # a hole smaller than the growth is no place for a piece
    if on_fold:
        x0, _, x1, y1 = ring.bounds
        ring = ring.intersection(shapely.box(x0 - 1, 0, x1 + 1, y1 + 1))
        if ring.geom_type != "Polygon":
            ring = max(ring.geoms, key=lambda g: g.area)
    return np.array(shapely.geometry.polygon.orient(ring).exterior.coords)[:-1]


@lru_cache(maxsize=1024)
def _distinct(shape: Shape, ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """Ways that look different: a rectangle turned or turned over is the same rectangle."""
    kept: list[tuple[Way, shapely.LinearRing]] = []
    for way in ways:
        points = np.array(shape.grown) * way
        ring = shapely.LinearRing(points - points.min(axis=0))
        if all(shapely.hausdorff_distance(ring, other) > SAME_WITHIN for _, other in kept):
            kept.append((way, ring))
    return tuple(w for w, _ in kept)


def _down(mm: float) -> int:
    return int(np.floor(mm * UNIT + 1e-6))


def _up(mm: float) -> int:
    return int(np.ceil(float(mm) * UNIT - 1e-6))
