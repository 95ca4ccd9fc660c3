"""No-fit polygons: where the origin of one shape may not lie so that it would overlap another.

Coordinates are whole units (orient.UNIT to the millimetre). The no-fit polygon of A and B is A + (-B), the Minkowski
sum; B's origin on its outline means that the two touch. It is what their convolution winds about (Guibas, Ramshaw and
Stolfi 1983): the edges of the one at those corners of the other where its outline turns through the edge's direction.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
import numpy.typing as npt
import pyclipper

from booklet.cloth.orient import AS_DRAWN, Made, Points, Shape, Way

# Rounding to whole units leaves hair-thin slits in a sum. They look like places and would lay one piece on top of
# another, so a hole counts only if it survives being made smaller by this.
SLIT = 200

Box = tuple[int, int, int, int]
Span = tuple[float, float]
Edges = npt.NDArray[np.int64]  # [edge, x or y], from each corner to the next


@dataclass(frozen=True)
class NoFit:
    """Rings of a no-fit polygon (outer ones with positive area, holes with negative) and their box."""

    rings: tuple[Points, ...]
    box: Box
    _covered: dict[int, list[Span]] = field(default_factory=dict, compare=False, repr=False)

    def covered(self, y: int) -> list[Span]:
        """Where it covers the level line at y, from x to x.

        The line itself may run along an outline, which is allowed. So a part counts as covered where it is covered half
        a unit above and below, where no corner can lie.
        """
        if y not in self._covered:
            above, below = self._inside(y + 0.5), self._inside(y - 0.5)
            both = [(max(a, c), min(b, d)) for a, b in above for c, d in below]
            self._covered[y] = [(a, b) for a, b in both if a < b]
        return self._covered[y]

    def _inside(self, y: float) -> list[Span]:
        """Where the level line at y, which meets no corner, runs inside."""
        crossings = []
        for ring in self.rings:
            px, py = ring[-1]
            for qx, qy in ring:
                if (py > y) != (qy > y):
                    crossings.append(px + (qx - px) * (y - py) / (qy - py))
                px, py = qx, qy
        crossings.sort()
        return list(zip(crossings[::2], crossings[1::2], strict=True))

    @cached_property
    def swapped(self) -> NoFit:
        """With x and y swapped."""
        x0, y0, x1, y1 = self.box
        return NoFit(tuple(tuple((y, x) for x, y in ring) for ring in self.rings), (y0, x0, y1, x1))

    @cached_property
    def quarter(self) -> NoFit:
        """With -y for x, and x for y."""
        x0, y0, x1, y1 = self.box
        return NoFit(tuple(tuple((-y, x) for x, y in ring) for ring in self.rings), (-y1, x0, -y0, x1))


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
    minus_b = tuple((-x, -y) for x, y in b)
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(_convolution(_positive(a), _positive(minus_b)), pyclipper.PT_SUBJECT, True)
    union = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    rings = []
    for ring in union:
        if not pyclipper.Orientation(ring) and not _survives(ring):
            continue
        clean = pyclipper.CleanPolygon(ring)
        if len(clean) > 2:
            rings.append(tuple((int(x), int(y)) for x, y in clean))
    return tuple(rings)


def _convolution(a: Points, b: Points) -> list[list[tuple[int, int]]]:
    """Closed paths that wind about the points of A + B, once for each part in which A meets the -B laid there."""
    a_at, b_at = np.array(a), np.array(b)
    a_edges, b_edges = np.roll(a_at, -1, axis=0) - a_at, np.roll(b_at, -1, axis=0) - b_at
    # From (corner of a, corner of b) to the next such pairs, over an edge of either.
    on: dict[tuple[int, int], list[tuple[int, int]]] = {}
    for i, j, forth in _passed(a_edges, b_edges, False):
        ends = (i, j), (i, (j + 1) % len(b))
        on.setdefault(ends[not forth], []).append(ends[forth])
    for j, i, forth in _passed(b_edges, a_edges, True):
        ends = (i, j), ((i + 1) % len(a), j)
        on.setdefault(ends[not forth], []).append(ends[forth])
    paths = []
    while on:
        at = next(iter(on))
        path = []
        while at in on:
            (ax, ay), (bx, by) = a[at[0]], b[at[1]]
            path.append((ax + bx, ay + by))
            after = on[at].pop()
            if not on[at]:
                del on[at]
            at = after
        paths.append(path)
    return paths


def _passed(outline: Edges, edges: Edges, later: bool) -> Iterator[tuple[int, int, bool]]:
    """(corner of an outline, edge of the other, whether it is passed forth) where the outline turns through the edge's
    direction: forth at a corner that stands out, back at one that stands in.

    Of the directions from one edge of the outline to the next the first counts and the last does not; the other way
    about for the `later` of two outlines, as if its edges were turned on by a hair.
    """
    before = np.roll(outline, 1, axis=0)
    out = _cross(before, outline) > 0
    low, high = np.where(out[:, None], (before, outline), (outline, before))
    above, below = _cross(low[:, None], edges), _cross(high[:, None], edges)
    passed = (above > 0) & (below <= 0) if later else (above >= 0) & (below < 0)
    corners, others = passed.nonzero()
    return zip(corners.tolist(), others.tolist(), out[corners].tolist(), strict=True)


def _cross(p: Edges, q: Edges) -> Edges:
    return p[..., 0] * q[..., 1] - p[..., 1] * q[..., 0]


def box_of(rings: tuple[Points, ...]) -> Box:
    """(x0, y0, x1, y1) of some rings."""
    points = np.array([p for ring in rings for p in ring])
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return x0, y0, x1, y1


def _positive(points: Points) -> Points:
    """Counted positive, and no corner twice running: an edge without length turns through no direction."""
    points = tuple(p for n, p in enumerate(points) if p != points[n - 1])
    return points if pyclipper.Orientation(points) else points[::-1]


def _survives(hole: list[list[int]]) -> bool:
    """Is anything left of a hole made smaller by SLIT all round?"""
    offset = pyclipper.PyclipperOffset()
    offset.AddPath(hole[::-1], pyclipper.JT_MITER, pyclipper.ET_CLOSEDPOLYGON)
    return bool(offset.Execute(-SLIT))
