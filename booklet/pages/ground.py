"""Free ground on a piece: where a label of a given size lies clear of every line and of the labels before it."""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from booklet.paths import Path

FLAT = 0.3  # mm: what a line is flattened to for this purpose


def polygon_of(path: Path) -> BaseGeometry:
    """The ground inside a closed path."""
    points = path.flatten(FLAT)
    return shapely.make_valid(shapely.Polygon(np.column_stack([points.real, points.imag])))


def line_of(path: Path) -> BaseGeometry:
    points = path.flatten(FLAT)
    return shapely.LineString(np.column_stack([points.real, points.imag]))


class Ground:
    """A region with what lies on it. Boxes are (x0, y0, x1, y1), mm, upright."""

    def __init__(self, region: BaseGeometry, clear: float = 2.0) -> None:
        self.free = region.buffer(-clear)
        self.clear = clear

    def block(self, shapes: Iterable[BaseGeometry], clear: float | None = None) -> None:
        """Keeps labels clear of some lines or shapes."""
        grown = [s.buffer(self.clear if clear is None else clear) for s in shapes]
        if grown:
            self.free = self.free.difference(shapely.union_all(grown))

    def block_box(self, box: tuple[float, float, float, float]) -> None:
        self.block([shapely.box(*box)])

    def find(
        self, wide: float, high: float, near: complex | None = None
    ) -> tuple[float, float, float, float] | None:
        """The box of this size that lies freest, or nearest to a point where one is given; None if none fits.

        Freest is farthest from the edge of the free ground, with a slight pull to the middle.
        """
        if self.free.is_empty:
            return None
        x0, y0, x1, y1 = self.free.bounds
        if x1 - x0 < wide or y1 - y0 < high:
            return None
        step = max(1.0, min(wide, high) / 4, (x1 - x0) / 120, (y1 - y0) / 120)
        xs = np.arange(x0, x1 - wide + 1e-9, step)
        ys = np.arange(y0, y1 - high + 1e-9, step)
        gx, gy = (a.ravel() for a in np.meshgrid(xs, ys))
        boxes = shapely.box(gx, gy, gx + wide, gy + high)
        shapely.prepare(self.free)
        inside = shapely.contains(self.free, boxes)
        if not inside.any():
            return None
        gx, gy, boxes = gx[inside], gy[inside], boxes[inside]
        middle = near if near is not None else complex((x0 + x1) / 2, (y0 + y1) / 2)
        away = np.hypot(gx + wide / 2 - middle.real, gy + high / 2 - middle.imag)
        if near is not None:
            score = -away
        else:
            room = shapely.distance(boxes, self.free.boundary)
            score = np.minimum(room, 30.0) - 0.1 * away
        best = int(np.argmax(np.round(score, 6)))  # the first of equals: the same on every machine
        return float(gx[best]), float(gy[best]), float(gx[best]) + wide, float(gy[best]) + high
