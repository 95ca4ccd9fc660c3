"""Interfacing dots and lining hatch as drawn marks on one page-wide grid, kept clear of the shape's edge."""

from __future__ import annotations

import math
from collections.abc import Sequence
from functools import lru_cache

import numpy as np
import shapely
from shapely.geometry import LineString, MultiLineString, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing.look import DOT_CLEAR, DOT_PITCH, DOT_RADIUS, HATCH_PITCH
from booklet.paths import Box, Path


def region(paths: Sequence[Path], tol: float = 0.05) -> BaseGeometry:
    """The ground that closed paths cover; a path inside another is a hole (even-odd)."""
    ground: BaseGeometry = Polygon()
    for path in paths:
        pts = path.flatten(tol)
        if len(pts) < 3:
            continue
        shape = shapely.make_valid(Polygon(np.column_stack([pts.real, pts.imag])))
        ground = shape if ground.is_empty else ground.symmetric_difference(shape)
    return ground


def _seen(ground: BaseGeometry, window: Box | None) -> BaseGeometry:
    if window is None:
        return ground
    # A little more than is seen, so that the clear edge of the cut lies outside the window.
    return ground.intersection(shapely.box(*window).buffer(2.0, join_style="mitre"))


@lru_cache(maxsize=256)
def dots(paths: tuple[Path, ...], window: Box | None = None) -> tuple[complex, ...]:
    """Centres of the dots in a shape, row by row. Rows are half a pitch apart and staggered.

    Of a shape that is seen through a clip, those in the `window` round the clip are enough.
    """
    ground = _seen(region(paths), window).buffer(-(DOT_CLEAR + DOT_RADIUS))
    if ground.is_empty:
        return ()
    x0, y0, x1, y1 = ground.bounds
    half = DOT_PITCH / 2
    rows = np.arange(math.floor(y0 / half), math.ceil(y1 / half) + 1)
    cols = np.arange(math.floor(x0 / DOT_PITCH) - 1, math.ceil(x1 / DOT_PITCH) + 1)
    xs = (cols[None, :] + (rows[:, None] % 2) / 2) * DOT_PITCH
    ys = np.broadcast_to(rows[:, None] * half, xs.shape)
    inside = shapely.contains_xy(ground, xs.ravel(), ys.ravel())
    return tuple(complex(x, y) for x, y in zip(xs.ravel()[inside], ys.ravel()[inside], strict=True))


@lru_cache(maxsize=256)
def hatch(paths: tuple[Path, ...], window: Box | None = None) -> tuple[tuple[complex, complex], ...]:
    """Lines of the hatch in a shape (as far as a window shows it): 45 degrees, falling to the right."""
    ground = _seen(region(paths), window)
    if ground.is_empty:
        return ()
    x0, y0, x1, y1 = ground.bounds
    step = HATCH_PITCH * math.sqrt(2)  # pitch is square to the lines; this is along x
    out: list[tuple[complex, complex]] = []
    for n in range(math.ceil((x0 - y1) / step), math.floor((x1 - y0) / step) + 1):
        c = n * step  # x - y along the line
        cut = ground.intersection(LineString([(c + y0 - 1, y0 - 1), (c + y1 + 1, y1 + 1)]))
        parts = cut.geoms if isinstance(cut, MultiLineString) else [cut]
        for part in parts:
            if isinstance(part, LineString) and part.length > 0.05:
                (ax, ay), *_, (bx, by) = part.coords
                out.append((complex(ax, ay), complex(bx, by)))
    return tuple(out)
