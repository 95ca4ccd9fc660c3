"""Which ways round a piece may lie, and the outlines that the search lays.

A way round is a pair of signs (sx, sy): (x, y) -> (sx x, sy y). (1, 1) as drawn, (-1, -1) half a turn, (1, -1) turned
over across the cloth, (-1, 1) turned over end for end. These four keep the grain along the cloth; with nap sx stays 1.

The search works in whole micrometres, so that it gives the same lay on every machine. It lays grown outlines: the cut
line grown by half the cutting gap + TOLERANCE and then thinned by TOLERANCE, which holds the cut line grown by half
the gap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.cloth.pieces import LayKind, LayPiece, Refusal, crossing_fault, faults_of, fold_faults, opened
from booklet.paths import Placement

Way = tuple[int, int]
Points = tuple[tuple[int, int], ...]

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
    """

    key: str
    copies: tuple[int, ...]
    shape: int
    ways: tuple[Way, ...]
    on_fold: bool
    corner: complex
    flip: int

    def placement(self, way: Way, at: tuple[int, int]) -> Placement:
        """The piece's drawing -> the cloth, its shape's origin at `at` (units) after turning `way`."""
        sx, sy = way[0], way[1] * self.flip
        shift = complex(at[0] / UNIT - sx * self.corner.real, at[1] / UNIT - sy * self.corner.imag)
        return Placement(complex(sx), shift, sx != sy)


@dataclass(frozen=True)
class Task:
    """All that a search needs: shapes, items, and the strip they lie on, in units."""

    kind: LayKind
    shapes: tuple[Shape, ...]
    items: tuple[Item, ...]
    width: int  # of the strip: the usable cloth, or half of it when folded
    fold_gap: int  # how far pieces that do not lie on the fold keep off it


def ways_of(piece: LayPiece, kind: LayKind, mirrored_twin: bool) -> tuple[Way, ...]:
    """The ways round that give the right ply; `mirrored_twin` is the other of a pair in an open lay."""
    if piece.fold_edge is not None and kind == "fold":
        ways = [AS_DRAWN, OVER_ENDWISE]
    elif piece.either_face or (kind == "fold" and piece.mode == "pair"):
        # Face down, a pair in the folded cloth only swaps which ply gives the left and which the right.
        ways = [AS_DRAWN, HALF_TURN, OVER_ACROSS, OVER_ENDWISE]
    elif mirrored_twin:
        ways = [OVER_ACROSS, OVER_ENDWISE]
    else:
        ways = [AS_DRAWN, HALF_TURN]
    return tuple(w for w in ways if w[0] == 1 or not piece.nap)


def prepare(
    pieces: tuple[LayPiece, ...], kind: LayKind, width: float, gap: float
) -> tuple[Task, list[Refusal]]:
    """Shapes and items for a lay on usable cloth of this width (mm), and every reason against it."""
    refusals: list[Refusal] = []
    shapes: list[Shape] = []
    items: list[Item] = []
    strip = width / 2 if kind == "fold" else width
    for piece in pieces:
        found = faults_of(piece)
        if not found:
            found = crossing_fault(piece)
            if kind == "fold":
                found += fold_faults(piece) + _one_face(piece)
        refusals += found
        if found:
            continue
        on_fold = kind == "fold" and piece.fold_edge is not None
        whole = piece if kind == "fold" else opened(piece)
        shape, corner, flip = _shape(whole, on_fold, gap)
        refusals += _too_wide(piece.key, shape, kind, strip, 0.0 if kind == "open" or on_fold else gap)
        if shape not in shapes:
            shapes.append(shape)
        index = shapes.index(shape)
        for copies, twin in _placings(whole, kind, on_fold):
            ways = _distinct(shape, ways_of(whole, kind, twin))
            items.append(Item(piece.key, copies, index, ways, on_fold, corner, flip))
    strip_units = int(np.floor(strip * UNIT + 1e-6))
    return Task(kind, tuple(shapes), tuple(items), strip_units, round(gap * UNIT)), refusals


def _one_face(piece: LayPiece) -> list[Refusal]:
    """In a folded cloth the plies lie face to face: only pairs, fold pieces and turnable ones come out right."""
    if piece.mode == "pair" or piece.either_face or piece.fold_edge is not None:
        return []
    what = f"piece {piece.key} is cut right side up only, and one ply of a folded cloth lies face down"
    return [Refusal(piece.key, "one face", what, "Lay the cloth open.")]


def _too_wide(key: str, shape: Shape, kind: LayKind, strip: float, keep_off: float) -> list[Refusal]:
    tall = shape.size[1] / UNIT
    over = tall + keep_off - strip
    # A measure that fits within rounding fits: exact fits are wanted.
    if over <= 1e-3:
        return []
    room = strip - keep_off
    which = "on either side of its fold" if kind == "fold" else "across"
    what = f"piece {key} is {tall:.0f} mm wide, {over:.1f} mm more than the {room:.0f} mm that this cloth has {which}"
    mend = "Use a wider cloth" + (" or lay it open." if kind == "fold" else ".")
    return [Refusal(key, "too wide", what, mend, over)]


def _placings(piece: LayPiece, kind: LayKind, on_fold: bool) -> list[tuple[tuple[int, ...], bool]]:
    """(plies cut together, is a mirrored twin) of each placing. A pair's odd plies are the mirrored ones."""
    numbers = range(piece.count)
    if kind == "open" or on_fold:
        return [((n,), piece.mode == "pair" and n % 2 == 1) for n in numbers]
    return [(tuple(numbers[n : n + 2]), False) for n in range(0, piece.count, 2)]


def _shape(piece: LayPiece, on_fold: bool, gap: float) -> tuple[Shape, complex, int]:
    """The shape of a piece, where its origin lies on the drawing, and -1 where it was turned over the fold."""
    z = np.array(piece.outline, dtype=complex)
    flip = 1
    top = float(z.imag.min())
    if on_fold and piece.fold_edge is not None:
        top = piece.fold_edge[0].imag
        flip = 1 if (z.imag - top).sum() > 0 else -1
    corner = complex(float(z.real.min()), top)
    xy = np.column_stack([z.real - corner.real, flip * (z.imag - corner.imag)])
    grown = _grown(xy, on_fold, gap / 2)
    units = np.rint(grown * UNIT).astype(np.int64)
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


def _distinct(shape: Shape, ways: tuple[Way, ...]) -> tuple[Way, ...]:
    """Ways that look different: a rectangle turned or turned over is the same rectangle."""
    kept: list[tuple[Way, shapely.LinearRing]] = []
    for way in ways:
        points = np.array(shape.grown) * way
        ring = shapely.LinearRing(points - points.min(axis=0))
        if all(shapely.hausdorff_distance(ring, other) > SAME_WITHIN for _, other in kept):
            kept.append((way, ring))
    return tuple(w for w, _ in kept)


def _up(mm: float) -> int:
    return int(np.ceil(float(mm) * UNIT - 1e-6))
