"""Shorter lays by way of overlap: the strip is cut a little shorter, and the items move until none overlaps.

Guided local search (Voudouris and Tsang 1999): each item that overlaps takes the place of least weighted depth on the
whole strip, any way round it may lie; all are pushed apart together; and pairs that still overlap weigh more. Where an
item may lie is room.py's to say, so that fold pieces stay on the fold and match points on their lines throughout.
Coordinates are units (orient.UNIT to the millimetre).
"""

from __future__ import annotations

import random
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt

from booklet.cloth.decode import LOWEST, Decoder, Laid
from booklet.cloth.depth import Depths, Floats, Numbers
from booklet.cloth.orient import Item, Way
from booklet.cloth.room import Room, room_of

CLEAR = 2.0  # units: a depth that counts as none
_ROWS = 80  # places of the grid across the strip
_SWEEPS = 60  # at one length before it is given up
_FIRST, _MOST, _LEAST = 0.01, 0.02, 0.001  # shares of the length that one attempt takes off
_NARROWER, _WIDER = 0.7, 1.1  # that share after a failure and after a success
_TIGHTEN, _TIGHTEST = 0.004, 0.0004  # shares of the length taken off by pushing alone
_PUSHES, _LAST_PUSHES = 12, 80  # steps of pushing within a sweep, and to be rid of the last overlaps
_LOOK, _HARDLY = 10, 0.7  # steps after which pushing ends unless what overlaps is down to this share
_NEARLY = 0.3  # of the grid's pitch: no deeper overlaps are worth the last pushes
_DECAY, _GROW, _GROW_DEEPEST = 0.95, 0.2, 0.8  # of the weights, by sweep

Kept = tuple[Floats, list[Way], float]  # places, ways round, length


@dataclass
class Squeeze:
    """The items of one task at places that may overlap, within `length`."""

    decoder: Decoder
    chance: random.Random
    length: float = 0.0
    depths: Depths = field(init=False)
    ways: list[Way] = field(init=False)
    state: Numbers = field(init=False)
    at: Floats = field(init=False)
    _low: Floats = field(init=False)  # the range of places, in which pushing moves
    _high: Floats = field(init=False)
    _right: Floats = field(init=False)  # of the cut line, from its place
    _weight: Floats = field(init=False)  # of pairs
    _pairs: tuple[Numbers, Numbers] = field(init=False)

    def __post_init__(self) -> None:
        task = self.decoder.task
        count = len(task.items)
        self.depths = Depths(task, self.decoder.nofits, task.width / _ROWS)
        self.ways = [item.ways[0] for item in task.items]
        self.state = np.zeros(count, dtype=np.intp)
        self.at, self._low, self._high = (np.zeros((count, 2)) for _ in range(3))
        self._right = np.zeros(count)
        self._weight = np.ones((count, count))
        first, second = np.triu_indices(count, 1)
        self._pairs = first.astype(np.intp), second.astype(np.intp)

    def shorten(self, laid: Sequence[Laid], spend: Callable[[], bool]) -> Iterator[list[Laid]]:
        """Ever shorter lays, from one without overlaps, until there is no more to spend (asked before each sweep)."""
        self.length = float(laid[-1].right)
        for one in laid:
            self._put(one.gene[0], one.way, one.at)
        best = self._tightened(self._kept())
        yield self._laid()
        share = _FIRST
        while spend():
            self._cut(best[2] * (1 - share))
            if self._separated(spend):
                best = self._tightened(self._kept())
                share = min(share * _WIDER, _MOST)
                yield self._laid()
            else:
                share = max(share * _NARROWER, _LEAST)
                self._restore(best)
                self._swap_two()

    # ------------------------------------------------------------------ places

    def _item(self, n: int) -> Item:
        return self.decoder.task.items[n]

    def _put(self, n: int, way: Way, at: Sequence[float] | Floats) -> None:
        """Lays the item as near the place as it may lie within the length."""
        item = self._item(n)
        (x0, _, x1, _), _, _ = self.decoder.extent(item.shape, way)
        room = room_of(self.decoder.task, item, way)
        low, high = min(room.ys, key=lambda r: max(r[0] - at[1], at[1] - r[1], 0))
        low_x, high_x = float(-x0), max(-x0, self.length - x1)
        if room.grid:
            low_x = high_x = _on_grid(room.grid, min(max(at[0], low_x), high_x), low_x, high_x)
        self.ways[n] = way
        self.state[n] = self.depths.number[item.shape, way]
        self._right[n] = x1
        self._low[n], self._high[n] = (low_x, low), (high_x, high)
        self.at[n] = np.minimum(np.maximum(at, self._low[n]), self._high[n])

    def _cut(self, length: float) -> None:
        self.length = length
        for n, way in enumerate(self.ways):
            self._put(n, way, self.at[n])

    def _kept(self) -> Kept:
        """What there is, its length as far as it reaches."""
        return self.at.copy(), list(self.ways), float((self.at[:, 0] + self._right).max())

    def _restore(self, kept: Kept) -> None:
        self.length = kept[2]
        for n, way in enumerate(kept[1]):
            self._put(n, way, kept[0][n])

    def _laid(self) -> list[Laid]:
        """From left to right, in whole units."""
        order = sorted(range(len(self.ways)), key=lambda n: (self.at[n, 0] + self._left(n), self.at[n, 1], n))
        laid: list[Laid] = []
        right = reach = ends = 0
        for n in order:
            at = (round(self.at[n, 0]), round(self.at[n, 1]))
            (_, _, x1, _), _, grown1 = self.decoder.extent(self._item(n).shape, self.ways[n])
            right, reach, ends = max(right, at[0] + x1), max(reach, at[0] + grown1), ends + at[0] + x1
            laid.append(Laid((n, self.ways[n], LOWEST), self.ways[n], at, right, reach, ends))
        return laid

    def _left(self, n: int) -> int:
        return self.decoder.extent(self._item(n).shape, self.ways[n])[0][0]

    def _swap_two(self) -> None:
        """Two items change places, middle for middle."""
        a, b = self.chance.sample(range(len(self.ways)), 2) if len(self.ways) > 1 else (0, 0)
        boxes = [np.array(self.decoder.extent(self._item(n).shape, self.ways[n])[0]) for n in (a, b)]
        middles = [
            at + (box[:2] + box[2:]) / 2 for at, box in zip((self.at[a], self.at[b]), boxes, strict=True)
        ]
        apart = middles[1] - middles[0]
        self._put(a, self.ways[a], self.at[a] + apart)
        self._put(b, self.ways[b], self.at[b] - apart)

    # ------------------------------------------------------------------ overlaps

    def _overlaps(self, first: Numbers, second: Numbers) -> tuple[Numbers, Numbers, Floats, Floats, Floats]:
        """Of these pairs those that overlap: their depth, and the way out (x, y) for the second."""
        apart = self.at[second] - self.at[first]
        box = self.depths.boxes[self.state[first], self.state[second]]
        near = ((box[:, :2] < apart) & (apart < box[:, 2:])).all(axis=1)
        first, second, apart = first[near], second[near], apart[near]
        depth, x, y = self.depths.between(self.state[first], self.state[second], apart[:, 0], apart[:, 1])
        some = depth > 0
        return first[some], second[some], depth[some], x[some], y[some]

    def _clear(self) -> bool:
        depth = self._overlaps(*self._pairs)[2]
        within = (self.at[:, 0] + self._right).max() <= self.length + CLEAR
        return bool(within and (not len(depth) or depth.max() <= CLEAR))

    def _push(self, steps: int, weighted: bool) -> None:
        """All apart together: spectral projected gradient (Birgin et al. 2000) on the sum of weight * depth²."""
        step, least, best = 0.25, np.inf, self.at
        last: tuple[Floats, Floats] | None = None
        before = np.inf
        for n in range(steps):
            a, b, depth, x, y = self._overlaps(*self._pairs)
            weight: Floats = self._weight[a, b] if weighted else np.ones(len(a))
            value = float((weight * depth * depth).sum())
            if value < least:
                least, best = value, self.at
            if not len(depth) or depth.max() <= CLEAR / 2:
                break
            if n % _LOOK == _LOOK - 1:
                if least > _HARDLY * before:
                    break
                before = least
            slope = np.empty_like(self.at)
            for k, out in enumerate((x, y)):
                pull = 2 * weight * out
                slope[:, k] = np.bincount(a, pull, len(slope)) - np.bincount(b, pull, len(slope))
            if last is not None:
                moved, bent = self.at - last[0], slope - last[1]
                curve = float((moved * bent).sum())
                step = min(max(float((moved * moved).sum()) / curve, 0.01), 2.0) if curve > 0 else 0.25
            last = self.at, slope
            self.at = np.minimum(np.maximum(self.at - step * slope, self._low), self._high)
        self.at = best

    def _tightened(self, kept: Kept) -> Kept:
        """Shortened by pushing alone, by less wherever that does not go."""
        share = _TIGHTEN
        while share > _TIGHTEST:
            self._cut(kept[2] * (1 - share))
            self._push(_LAST_PUSHES, False)
            if self._clear():
                kept = self._kept()
                share *= 1.5
            else:
                share /= 3
                self._restore(kept)
        self._restore(kept)
        return kept

    # ------------------------------------------------------------------ the search at one length

    def _separated(self, spend: Callable[[], bool]) -> bool:
        """Whether the items could be laid without overlaps within the length."""
        self._weight[:] = 1.0
        everything = np.arange(len(self.ways))
        for _ in range(_SWEEPS):
            self._push(_PUSHES, True)
            if self._clear():
                return True
            a, b, depth, _, _ = self._overlaps(*self._pairs)
            deepest = float(depth.max()) if len(depth) else 0.0
            if deepest < _NEARLY * self.depths.pitch:
                kept = self.at
                self._push(_LAST_PUSHES, False)
                if self._clear():
                    return True
                self.at = kept
            if not spend():
                return False
            self._weight = np.maximum(self._weight * _DECAY, 1.0)
            self._weight[a, b] *= 1.0 + _GROW + _GROW_DEEPEST * depth / max(deepest, 1.0)
            self._weight[b, a] = self._weight[a, b]
            moving = np.unique(np.concatenate([a, b])).tolist()
            self.chance.shuffle(moving)
            for n in moving:
                others = everything[everything != n]
                if len(self._overlaps(others, np.full(len(others), n))[2]):
                    self._move(n)
        return False

    def _move(self, n: int) -> None:
        """The item goes where, of the places of the grid, its weighted depth is least."""
        least = np.inf
        found = self.ways[n], (float(self.at[n, 0]), float(self.at[n, 1]))
        item = self._item(n)
        for way in item.ways:
            room = room_of(self.decoder.task, item, way)
            (x0, _, x1, _), _, _ = self.decoder.extent(item.shape, way)
            xs = self._steps(-x0, self.length - x1)
            for low, high in room.ys:
                ys = self._steps(low, high)
                total = self._depth_map(n, self.depths.number[item.shape, way], xs, ys)
                columns = _columns(room, xs)
                k = int(total[columns].argmin())
                i, j = divmod(k, len(ys))
                value = float(total[columns[i], j])
                if value < least:
                    least = value
                    found = way, (float(xs[columns[i]]), float(ys[j]))
        self._put(n, *found)

    def _steps(self, low: float, high: float) -> Floats:
        """The grid's places from low to high, both included."""
        count = int(np.ceil(max(0.0, high - low) / self.depths.pitch)) + 1
        return np.minimum(low + np.arange(count) * self.depths.pitch, max(low, high))

    def _depth_map(self, n: int, state: int, xs: Floats, ys: Floats) -> npt.NDArray[np.float32]:
        """[x, y]: the item's weighted depth in all the others, theirs rounded to the grid."""
        total = np.zeros((len(xs), len(ys)), dtype=np.float32)
        shifts = np.rint((self.at - np.array([xs[0], ys[0]])) / self.depths.pitch).astype(int).tolist()
        weights, states = self._weight[n].tolist(), self.state.tolist()
        for m, (shift_x, shift_y) in enumerate(shifts):
            if m == n:
                continue
            raster = self.depths.raster(states[m], state)
            i, j = raster.x + shift_x, raster.y + shift_y
            wide, high = raster.depth.shape
            i0, j0, i1, j1 = max(i, 0), max(j, 0), min(i + wide, len(xs)), min(j + high, len(ys))
            if i0 < i1 and j0 < j1:
                total[i0:i1, j0:j1] += weights[m] * raster.depth[i0 - i : i1 - i, j0 - j : j1 - j]
        return total


def _columns(room: Room, xs: Floats) -> Numbers:
    """Which of the grid's columns to look at: all, or those nearest to the lines of a repeat."""
    if room.grid is None:
        return np.arange(len(xs))
    first, step = room.grid
    lines = np.arange(xs[0] + (first - xs[0]) % step, xs[-1] + 1, step)
    if not len(lines):
        return np.zeros(1, dtype=np.intp)
    return np.abs(xs[:, None] - lines[None]).argmin(axis=0)


def _on_grid(grid: tuple[int, int], x: float, low: float, high: float) -> float:
    """The line nearest to x that lies from low to high; the first one behind low where there is none."""
    first, step = grid
    least = low + (first - low) % step
    most = least + max(0.0, (high - least) // step) * step
    return min(max(first + round((x - first) / step) * step, least), most)
