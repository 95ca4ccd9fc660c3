"""No-fit polygons: where the origin of one shape may not lie so that it would overlap another.

Coordinates are whole units (orient.UNIT to the millimetre). The no-fit polygon of A and B is A + (-B), the Minkowski
sum; B's origin on its outline means that the two touch. It is made of the sum of the two outlines (pyclipper) and of
what that leaves open: A about one point of -B and -B about one point of A, for a shape that lies wholly in the other.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import pyclipper

from booklet.cloth.orient import AS_DRAWN, Made, Points, Shape, Way

# Rounding to whole units leaves hair-thin slits in a sum. They look like places and would lay one piece on top of
# another, so a hole counts only if it survives being made smaller by this.
SLIT = 200

Box = tuple[int, int, int, int]


@dataclass(frozen=True)
class NoFit:
    """Rings of a no-fit polygon (outer ones with positive area, holes with negative) and their box."""

    rings: tuple[Points, ...]
    box: Box


@dataclass
class NoFits:
    """No-fit polygons of the shapes of one task, each made once.

    Turning both shapes alike turns their no-fit polygon, and swapping them turns it by half, so that only one shape's
    way against the other's is worked out; the rest are signs.
    """

    shapes: tuple[Shape, ...]
    made: Made = field(default_factory=dict)  # shared between tasks of the same pieces
    _turned: dict[tuple[int, Way, int, Way], NoFit] = field(default_factory=dict)

    def get(self, a: int, way_a: Way, b: int, way_b: Way) -> NoFit:
        """Of shape `b` lying `way_b` against shape `a` lying `way_a` with its origin at (0, 0)."""
        key = (a, way_a, b, way_b)
        found = self._turned.get(key)
        if found is None:
            found = self._turned[key] = self._turn(a, way_a, b, way_b)
        return found

    @staticmethod
    def base(a: int, way_a: Way, b: int, way_b: Way) -> tuple[tuple[int, int, Way], Way]:
        """Which (lower shape, higher shape, way of it) is worked out for these two, and how it is turned for them."""
        between = (way_a[0] * way_b[0], way_a[1] * way_b[1])
        # NFP(w A, w r B) = w NFP(A, r B), and NFP(A, r B) = -r NFP(B, r A), as r is its own inverse.
        turn = way_a if a <= b else (-way_a[0] * between[0], -way_a[1] * between[1])
        return (min(a, b), max(a, b), between), turn

    def _turn(self, a: int, way_a: Way, b: int, way_b: Way) -> NoFit:
        (low, high, between), turn = self.base(a, way_a, b, way_b)
        first, second = self.shapes[low].grown, self.shapes[high].grown
        turns = self.made.setdefault((first, second, between), {})
        if AS_DRAWN not in turns:
            rings = no_fit(first, tuple((x * between[0], y * between[1]) for x, y in second))
            turns[AS_DRAWN] = NoFit(rings, box_of(rings))
        if turn not in turns:
            turns[turn] = _turned(turns[AS_DRAWN].rings, turn)
        return turns[turn]


def _turned(rings: tuple[Points, ...], turn: Way) -> NoFit:
    sx, sy = turn
    turned = tuple(tuple((x * sx, y * sy) for x, y in ring) for ring in rings)
    if sx * sy < 0:  # mirrored rings wind the other way; outer ones must stay positive
        turned = tuple(ring[::-1] for ring in turned)
    return NoFit(turned, box_of(turned))


def no_fit(a: Points, b: Points) -> tuple[Points, ...]:
    """The rings of A + (-B)."""
    a = _positive(a)
    minus_b = _positive(tuple((-x, -y) for x, y in b))
    clipper = pyclipper.Pyclipper()
    for ring in pyclipper.MinkowskiSum(minus_b, a, True):
        clipper.AddPath(ring, pyclipper.PT_SUBJECT, True)
    (ax, ay), (bx, by) = a[0], minus_b[0]
    clipper.AddPath([(x + bx, y + by) for x, y in a], pyclipper.PT_SUBJECT, True)
    clipper.AddPath([(x + ax, y + ay) for x, y in minus_b], pyclipper.PT_SUBJECT, True)
    union = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    rings = []
    for ring in union:
        if not pyclipper.Orientation(ring) and not _survives(ring):
            continue
        clean = pyclipper.CleanPolygon(ring)
        if len(clean) > 2:
            rings.append(tuple((int(x), int(y)) for x, y in clean))
    return tuple(rings)


def box_of(rings: tuple[Points, ...]) -> Box:
    """(x0, y0, x1, y1) of some rings."""
    points = np.array([p for ring in rings for p in ring])
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return x0, y0, x1, y1


def _positive(points: Points) -> Points:
    return points if pyclipper.Orientation(points) else points[::-1]


def _survives(hole: list[list[int]]) -> bool:
    """Is anything left of a hole made smaller by SLIT all round?"""
    offset = pyclipper.PyclipperOffset()
    offset.AddPath(hole[::-1], pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return bool(offset.Execute(-SLIT))
