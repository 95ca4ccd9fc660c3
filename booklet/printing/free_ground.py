"""Where there is room for words: boxes tried on a fixed grid of places, the farthest from all lines wins."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import Item, PathItem, Text
from booklet.paths import Path

_PLACES = 800  # looked at first; all places of the given step only where none of them will do


class FreeGround:
    """A ground and what lies on it. `add` puts more on it; `best` finds the freest place of a box."""

    def __init__(self, ground: BaseGeometry, obstacles: Sequence[BaseGeometry] = ()) -> None:
        self.ground = ground
        self.obstacles = [g for g in obstacles if not g.is_empty]
        shapely.prepare(self.ground)
        self._tree: STRtree | None = None

    def add(self, *more: BaseGeometry) -> None:
        self.obstacles += [g for g in more if not g.is_empty]
        self._tree = None

    @property
    def tree(self) -> STRtree | None:
        """The obstacles, sorted for looking up; None where there are none."""
        if self._tree is None and self.obstacles:
            self._tree = STRtree(self.obstacles)
        return self._tree

    def clearance(self, boxes: np.ndarray, most: float | None = None) -> np.ndarray:
        """How far each box is from the nearest obstacle; 0 where one crosses it.

        With `most`, what is farther off than that counts as infinitely far: much quicker.
        """
        out = np.full(len(boxes), np.inf)
        if self.tree is None:
            return out
        (which, _), gaps = self.tree.query_nearest(
            boxes, max_distance=most, return_distance=True, all_matches=False
        )
        out[which] = gaps
        return out

    def best(
        self,
        wide: float,
        tall: float,
        *,
        clear: float,
        enough: float,
        near: complex | None = None,
        pull: float = 0.02,
        step: float = 4.0,
    ) -> complex | None:
        """The middle of the freest place at least `clear` mm from everything, or None.

        More than `enough` mm of clear ground counts no further; then, or by `pull` mm a mm, nearer to `near`
        is better. Places that leave the ground do not count.
        """
        x0, y0, x1, y1 = self.ground.bounds
        room = max(0.0, x1 - x0 - wide) * max(0.0, y1 - y0 - tall)
        coarse = math.sqrt(room / _PLACES)
        for apart in (coarse, step) if coarse > step else (step,):
            xs = np.arange(x0 + wide / 2, x1 - wide / 2 + 1e-6, apart)
            ys = np.arange(y0 + tall / 2, y1 - tall / 2 + 1e-6, apart)
            cx, cy = (a.ravel() for a in np.meshgrid(xs, ys))
            at = self._freest(cx, cy, complex(wide, tall), clear, enough, near, pull)
            if at is not None:
                return at
        return None

    def _freest(
        self,
        cx: np.ndarray,
        cy: np.ndarray,
        size: complex,
        clear: float,
        enough: float,
        near: complex | None,
        pull: float,
    ) -> complex | None:
        """Of boxes about these middles the best one, as `best` says."""
        w, h = size.real / 2, size.imag / 2
        boxes = shapely.box(cx - w, cy - h, cx + w, cy + h)
        # What the box's ground, grown by `clear`, touches is told faster than how near it comes.
        good = shapely.contains(self.ground, boxes)
        numbers = np.flatnonzero(good)
        if self.tree is not None and len(numbers):
            x, y = cx[numbers], cy[numbers]
            grown = shapely.box(x - w - clear, y - h - clear, x + w + clear, y + h + clear)
            touched = self.tree.query(grown, predicate="intersects")[0]
            good[numbers[touched]] = False
        if not good.any():
            return None
        cx, cy, boxes = cx[good], cy[good], boxes[good]
        score = np.minimum(self.clearance(boxes, max(enough, clear) + 0.01), enough)
        if near is not None:
            score = score - pull * np.hypot(cx - near.real, cy - near.imag)
        k = int(np.argmax(score))
        return complex(cx[k], cy[k])


def line_shapes(items: Sequence[Item], tol: float = 0.3) -> list[BaseGeometry]:
    """All stroked or filled paths of items as short runs of line, which a tree can part well."""
    out: list[BaseGeometry] = []
    for flat in flat_items(tuple(items)):
        if isinstance(flat.item, PathItem):
            for path in flat.item.subpaths:
                out += _runs(path, tol)
    return out


def word_shapes(items: Sequence[Item]) -> list[BaseGeometry]:
    """The boxes of all words of items."""
    return [
        Polygon([(z.real, z.imag) for z in text_corners(flat.item, flat.placement)])
        for flat in flat_items(tuple(items))
        if isinstance(flat.item, Text)
    ]


def _runs(path: Path, tol: float) -> list[BaseGeometry]:
    if not path.segments:
        return []
    points = path.flatten(tol)
    xy = np.column_stack([points.real, points.imag])
    return [LineString(xy[n : n + 9]) for n in range(0, len(xy) - 1, 8)]
