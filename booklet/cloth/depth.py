"""How deep shapes lie in one another, for many pairs at once and for one shape on a whole grid of places.

The depth of a pair is how far one of the two must at least be moved to be clear of the other: the distance from the
difference of their places to the outline of their no-fit polygon, 0 outside it (Imamichi, Yagiura and Nagamochi 2009).
Coordinates are units (orient.UNIT to the millimetre) as floats. A state is a shape lying one way round; the states of a
task are numbered.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from booklet.cloth.nofit import NoFit, NoFits
from booklet.cloth.orient import AS_DRAWN, Task, Way

State = tuple[int, Way]  # shape, way round
Floats = npt.NDArray[np.float64]
Numbers = npt.NDArray[np.intp]

_FACTS = 7  # of an edge: x, y, dx, dy, 1 / length², its end's y, dx / dy
_AT_ONCE = 64  # edges, as many as keep a grid of each in the processor's cache


@dataclass(frozen=True)
class Raster:
    """Depths on a grid: `depth[i, j]` is that of a difference of places of (x + i, y + j) pitches."""

    x: int
    y: int
    depth: npt.NDArray[np.float32]


@dataclass
class Depths:
    """Depths between the shapes of one task, worked out as they are asked for. `pitch` is the grid's, in units."""

    task: Task
    nofits: NoFits
    pitch: float
    states: tuple[State, ...] = field(init=False)
    number: dict[State, int] = field(init=False)
    boxes: Floats = field(init=False)  # [a, b] -> x0, y0, x1, y1 of the no-fit polygon of state b against a
    _slots: Numbers = field(init=False)  # [a, b] -> which row of `_edges`, -1 for none yet
    _used: int = 0
    _edges: Floats = field(default_factory=lambda: np.zeros((_FACTS, 16, 16)))  # [fact, slot, edge]
    _rasters: dict[tuple[int, int], Raster] = field(default_factory=dict)
    _bases: dict[tuple[int, int, Way], Raster] = field(default_factory=dict)

    def __post_init__(self) -> None:
        self.states = tuple(dict.fromkeys((item.shape, way) for item in self.task.items for way in item.ways))
        self.number = {s: n for n, s in enumerate(self.states)}
        turned = [np.array(self.task.shapes[shape].grown) * way for shape, way in self.states]
        low, high = (
            np.array([f(axis=0) for f in fs]) for fs in ([t.min for t in turned], [t.max for t in turned])
        )
        self.boxes = np.concatenate([low[:, None] - high[None], high[:, None] - low[None]], axis=2).astype(
            float
        )
        self._slots = np.full((len(turned), len(turned)), -1)

    def between(self, a: Numbers, b: Numbers, dx: Floats, dy: Floats) -> tuple[Floats, Floats, Floats]:
        """Of pairs of states with b's place (dx, dy) from a's: the depth, and b's shortest way out (x, y)."""
        slots = self._slots[a, b]
        if (slots < 0).any():
            for i, j in zip(a.tolist(), b.tolist(), strict=True):
                self._add(i, j)
            slots = self._slots[a, b]
        x0, y0, ex, ey, per, y1, slope = self._edges[:, slots]
        px, py = x0 - dx[:, None], y0 - dy[:, None]
        t = np.minimum(np.maximum(-(px * ex + py * ey) * per, 0.0), 1.0)
        qx, qy = px + t * ex, py + t * ey
        apart = qx * qx + qy * qy
        rows = np.arange(len(dx))
        nearest = apart.argmin(axis=1)
        crossed = ((py > 0) != (y1 > dy[:, None])) & (px > py * slope)
        inside = np.count_nonzero(crossed, axis=1) % 2 == 1
        depth = np.sqrt(apart[rows, nearest]) * inside
        return depth, qx[rows, nearest] * inside, qy[rows, nearest] * inside

    def _add(self, a: int, b: int) -> None:
        if self._slots[a, b] >= 0:
            return
        rows = _edge_rows(self.nofits.get(*self.states[a], *self.states[b]))
        _, slots, edges = self._edges.shape
        if self._used == slots or rows.shape[1] > edges:
            more = (_FACTS, slots * 2 if self._used == slots else slots, max(edges, rows.shape[1]))
            old, self._edges = self._edges, np.zeros(more)
            self._edges[:, :slots] = _filled(old, more[2])
        self._edges[:, self._used] = _filled(rows, self._edges.shape[2])
        self._slots[a, b] = self._used
        self._used += 1

    def raster(self, a: int, b: int) -> Raster:
        """Depths of state b about state a."""
        found = self._rasters.get((a, b))
        if found is None:
            found = self._rasters[a, b] = self._turned(a, b)
        return found

    def _turned(self, a: int, b: int) -> Raster:
        base, (sx, sy) = self.nofits.base(*self.states[a], *self.states[b])
        raster = self._bases.get(base)
        if raster is None:
            low, high, way = base
            raster = self._bases[base] = self._drawn(self.nofits.get(low, AS_DRAWN, high, way))
        wide, tall = raster.depth.shape
        x = raster.x if sx > 0 else 1 - raster.x - wide
        y = raster.y if sy > 0 else 1 - raster.y - tall
        return Raster(x, y, np.ascontiguousarray(raster.depth[::sx, ::sy]))

    def _drawn(self, nofit: NoFit) -> Raster:
        """Some edges at a time, over the whole grid: which places have them to their left, and how far off they are."""
        first = [int(np.ceil(v / self.pitch)) for v in nofit.box[:2]]
        last = [int(np.floor(v / self.pitch)) for v in nofit.box[2:]]
        xs, ys = (np.arange(f, e + 1) * self.pitch for f, e in zip(first, last, strict=True))
        inside = np.zeros((len(xs), len(ys)), dtype=bool)
        apart = np.full(inside.shape, np.inf, dtype=np.float32)
        rows = _edge_rows(nofit)
        rows = rows[:, rows[4] > 0, None]
        for n in range(0, rows.shape[1], _AT_ONCE):
            x, y, ex, ey, per, y1, slope = rows[:, n : n + _AT_ONCE]
            crossed = np.where((y > ys) != (y1 > ys), x + (ys - y) * slope, -np.inf)
            inside ^= np.bitwise_xor.reduce(crossed[:, None] > xs[:, None], axis=0)
            # Along the edge from its start, and off its line: each is a sum of what x and what y give.
            length = np.sqrt(ex * ex + ey * ey)
            ux, uy = ex * per * length, ey * per * length
            along = _sums((xs - x) * ux, (ys - y) * uy)
            along -= np.clip(along, 0, length[:, :, None].astype(np.float32))  # past either end
            off = _sums((xs - x) * uy, (y - ys) * ux)
            along *= along
            off *= off
            along += off
            np.minimum(apart, along.min(axis=0), out=apart)
        depth = np.where(inside, np.sqrt(apart), np.float32(0))
        return Raster(first[0], first[1], depth)


def _sums(of_x: Floats, of_y: Floats) -> npt.NDArray[np.float32]:
    """[edge, x, y] from [edge, x] and [edge, y]; to a tenth of a unit, which is enough for a grid."""
    return of_x.astype(np.float32)[:, :, None] + of_y.astype(np.float32)[:, None]


def _edge_rows(nofit: NoFit) -> Floats:
    """The facts of the edges of all rings: [fact, edge]."""
    x, y = np.array([p for ring in nofit.rings for p in ring], dtype=float).T
    x1, y1 = np.array([p for ring in nofit.rings for p in (*ring[1:], ring[0])], dtype=float).T
    ex, ey = x1 - x, y1 - y
    square = ex * ex + ey * ey
    per = np.divide(1.0, square, out=np.zeros_like(square), where=square > 0)
    slope = np.divide(ex, ey, out=np.zeros_like(ex), where=ey != 0)
    return np.stack([x, y, ex, ey, per, y1, slope])


def _filled(rows: Floats, edges: int) -> Floats:
    """With the first point repeated as edges of no length up to so many."""
    rest = edges - rows.shape[-1]
    zero = np.zeros_like(rows[0, ..., :1])
    point = np.stack([rows[0, ..., :1], rows[1, ..., :1], zero, zero, zero, rows[1, ..., :1], zero])
    return np.concatenate([rows, np.repeat(point, rest, axis=-1)], axis=-1)
