"""Fewer pages for pieces that lie on a sheet already: one tile after another is closed, and its pieces go elsewhere.

What lay on the closed tile is laid again, each piece where it opens the fewest tiles, turned whichever way serves. A
step that needs no more tiles than before stands, so that the pieces wander until one tile is no longer needed. Which
tile is closed, and where pieces are looked for first, comes from a fixed series of numbers.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from booklet.printing.sheet_cells import Cells, Mask, Series, Spot, unpacked

STEPS = 80  # tiles closed in turn; what they find beyond these is not worth the wait
_TILE, _BARRED = (
    1 << 22,
    1 << 29,
)  # what a new tile and a place that is taken cost, against the order of the places
FOUR = 4  # quarter turns
_ALSO = 3  # fewer other pieces than this are laid again with those of the closed tile

Score = tuple[int, int, int]  # tiles, then the longer and the shorter side of the sheet in tiles


@dataclass(frozen=True, eq=False)
class _Form:
    """A mask as it lies on a sheet of this width. `met`: by tile rows and columns from the one that the mask's corner lies
    in, and by the corner's cell in it, the tiles that the piece meets; `sums` the same as a table for products."""

    mask: Mask
    bits: int
    met: np.ndarray
    sums: np.ndarray


def fewer_tiles(
    masks: Sequence[Sequence[Mask]], spots: Sequence[Spot], cells: Cells, least: int
) -> tuple[Score, list[Spot]]:
    """The pieces on as few tiles as the steps find, starting from where they lie; `least` tiles are never beaten.

    `masks` holds each piece's ways of lying in fours: the quarter turns, then fours that lean. The sheet
    begins with its first row and column that carry something.
    """
    return _Closing(masks, spots, cells).run(list(spots), least)


class _Closing:
    def __init__(self, masks: Sequence[Sequence[Mask]], spots: Sequence[Spot], cells: Cells) -> None:
        self.cells = cells
        right = max(x + masks[k][turn].wide for k, (turn, x, _) in enumerate(spots))
        foot = max(y + masks[k][turn].tall for k, (turn, _, y) in enumerate(spots))
        # A tile more each way is ground to move on.
        self.columns, self.rows = -(-right // cells.across) + 1, -(-foot // cells.down) + 1
        self.wide, self.tall = self.columns * cells.across, self.rows * cells.down
        self.forms = [[self._form(m) for m in ways] for ways in masks]
        y, x = np.mgrid[0 : self.tall, 0 : self.wide].astype(np.int32)
        downs, acrosses = (y, self.tall - 1 - y), (x, self.wide - 1 - x)
        self.orders = [v * self.wide + h for v in downs for h in acrosses]
        self.orders += [h * self.tall + v for v in downs for h in acrosses]
        self.series = Series()

    def run(self, spots: list[Spot], least: int) -> tuple[Score, list[Spot]]:
        score = self._score(self._used(spots))
        best = (score, spots)
        for n in range(STEPS):
            if best[0][0] <= least:
                break
            tried = self._step(spots, score[0], n % 2 == 1)
            if tried is not None and tried[0][0] <= score[0]:
                score, spots = tried
                best = min(best, tried, key=lambda b: b[0])
        return best[0], self._moved_up(self._unparted(best[1]))

    def _unparted(self, spots: Sequence[Spot]) -> list[Spot]:
        """Pieces that lie across a joint put whole on one of the tiles, where it has room for them; smaller ones last."""
        out = list(spots)
        parted = [k for k, spot in enumerate(out) if self._tiles(k, spot)[2].sum() > 1]
        for k in sorted(parted, key=lambda k: (-self.forms[k][0].mask.near.sum(), k)):
            taken, others = 0, np.zeros((self.rows, self.columns), bool)
            for n, spot in enumerate(out):
                taken = taken if n == k else self._put(n, spot, taken, others)
            out[k] = self._on_one(k, taken, self._used(out)) or out[k]
        return out

    def _on_one(self, k: int, taken: int, used: np.ndarray) -> Spot | None:
        """The first place at which a piece lies on a used tile alone."""
        down, across = self.cells.down, self.cells.across
        for turn, form in enumerate(self.forms[k]):
            mask, columns = form.mask, form.met.shape[1]
            alone = form.met.sum((0, 1)) == 1
            if not alone.any() or mask.tall > self.tall or mask.wide > self.wide:
                continue
            free = unpacked(mask.barred(taken, self.wide), self.tall, self.wide) == 0
            ys, xs = np.nonzero(free[: self.tall - mask.tall + 1, : self.wide - mask.wide + 1])
            at = form.met.reshape(-1, down, across).argmax(0)[ys % down, xs % across]
            fits = (
                alone[ys % down, xs % across] & used[ys // down + at // columns, xs // across + at % columns]
            )
            if fits.any():
                n = int(fits.argmax())
                return turn, int(xs[n]), int(ys[n])
        return None

    # ------------------------------------------------------------ one step

    def _step(self, spots: list[Spot], most: int, free: bool) -> tuple[Score, list[Spot]] | None:
        """The sheet with one tile closed; None where its pieces find no room, or only on more tiles than `most`."""
        there = np.argwhere(self._used(spots))
        row, column = (int(v) for v in there[self.series.below(len(there))])
        out = [k for k, spot in enumerate(spots) if self._meets(k, spot, row, column)]
        for _ in range(self.series.below(_ALSO)):
            k = self.series.below(len(spots))
            out += [k] if k not in out else []
        out.sort(key=lambda k: (-self.forms[k][0].mask.near.sum(), k))
        for n in range(len(out) - 1):
            if self.series.below(3) == 0:
                out[n], out[n + 1] = out[n + 1], out[n]
        taken, used = self._closed(row, column), np.zeros((self.rows, self.columns), bool)
        for k, spot in enumerate(spots):
            if k not in out:
                taken = self._put(k, spot, taken, used)
        order = self.orders[self.series.below(len(self.orders))]
        first = FOUR * self.series.below(len(self.forms[0]) // FOUR) if free else 0
        ways = range(first, first + FOUR)
        laid = list(spots)
        for k in out:
            found = self._best(k, ways, taken, used, order)
            if found is None:
                return None
            taken = self._put(k, found, taken, used)
            laid[k] = found
            if used.sum() > most:
                return None
        return self._score(used), laid

    def _best(
        self, k: int, ways: Sequence[int], taken: int, used: np.ndarray, order: np.ndarray
    ) -> Spot | None:
        """The place that opens the fewest tiles, the first of these in the given order of places."""
        best: tuple[int, Spot] | None = None
        for turn in ways:
            form = self.forms[k][turn]
            mask = form.mask
            if mask.wide > self.wide or mask.tall > self.tall:
                continue
            # Corners lie in these rows and columns of cells, and of tiles, and no others.
            tall, wide = self.tall - mask.tall + 1, self.wide - mask.wide + 1
            rows, columns = -(-tall // self.cells.down), -(-wide // self.cells.across)
            down, across = form.met.shape[:2]
            empty = np.ones((rows + down - 1, columns + across - 1), np.float32)
            inside = ~used[: empty.shape[0], : empty.shape[1]]
            empty[: inside.shape[0], : inside.shape[1]] = inside
            near = np.lib.stride_tricks.sliding_window_view(empty, (down, across)).reshape(rows * columns, -1)
            new = (form.sums @ near.T).reshape(self.cells.down, self.cells.across, rows, columns)
            new = new.transpose(2, 0, 3, 1).reshape(rows * self.cells.down, -1)[:tall, :wide]
            barred = unpacked(mask.barred(taken, self.wide), self.tall, self.wide)[:tall, :wide]
            cost = new.astype(np.int32) * _TILE + order[:tall, :wide] + barred.astype(np.int32) * _BARRED
            at = int(cost.argmin())
            y, x = divmod(at, cost.shape[1])
            if cost[y, x] < _BARRED and (best is None or cost[y, x] < best[0]):
                best = (int(cost[y, x]), (turn, x, y))
        return None if best is None else best[1]

    # ------------------------------------------------------------ tiles

    def _form(self, mask: Mask) -> _Form:
        """Counted by a table of running totals."""
        down, across = self.cells.down, self.cells.across
        total = np.zeros((mask.tall + 1, mask.wide + 1), int)
        total[1:, 1:] = mask.near.cumsum(0).cumsum(1)
        rows, columns = (mask.tall + down - 2) // down + 1, (mask.wide + across - 2) // across + 1
        met = np.zeros((rows, columns, down, across), bool)
        ys, xs = np.arange(down), np.arange(across)
        for i in range(rows):
            top, foot = (np.clip((i + n) * down - ys, 0, mask.tall) for n in (0, 1))
            for j in range(columns):
                left, right = (np.clip((j + n) * across - xs, 0, mask.wide) for n in (0, 1))
                inside = total[foot][:, right] - total[top][:, right]
                met[i, j] = inside - total[foot][:, left] + total[top][:, left] > 0
        sums = met.reshape(rows * columns, -1).T.astype(np.float32)
        return _Form(mask, mask.bits(self.wide), met, sums)

    def _tiles(self, k: int, spot: Spot) -> tuple[int, int, np.ndarray]:
        """The tile that a piece's corner lies in, and which tiles from there it meets."""
        turn, x, y = spot
        row, down = divmod(y, self.cells.down)
        column, across = divmod(x, self.cells.across)
        return row, column, self.forms[k][turn].met[:, :, down, across]

    def _meets(self, k: int, spot: Spot, row: int, column: int) -> bool:
        first, left, met = self._tiles(k, spot)
        i, j = row - first, column - left
        return 0 <= i < met.shape[0] and 0 <= j < met.shape[1] and bool(met[i, j])

    def _put(self, k: int, spot: Spot, taken: int, used: np.ndarray) -> int:
        """The cells taken with this piece; its tiles become used ones."""
        turn, x, y = spot
        row, column, met = self._tiles(k, spot)
        i, j = np.nonzero(met)
        used[row + i, column + j] = True
        return taken | self.forms[k][turn].bits << (y * self.wide + x)

    def _used(self, spots: Sequence[Spot]) -> np.ndarray:
        used = np.zeros((self.rows, self.columns), bool)
        for k, spot in enumerate(spots):
            self._put(k, spot, 0, used)
        return used

    def _closed(self, row: int, column: int) -> int:
        """A tile's cells."""
        line, out = (1 << self.cells.across) - 1, 0
        for y in range(row * self.cells.down, (row + 1) * self.cells.down):
            out |= line << (y * self.wide + column * self.cells.across)
        return out

    def _score(self, used: np.ndarray) -> Score:
        rows, columns = (np.flatnonzero(used.any(axis)) for axis in (1, 0))
        tall, wide = (int(n[-1] - n[0] + 1) for n in (rows, columns))
        return int(used.sum()), max(tall, wide), min(tall, wide)

    def _moved_up(self, spots: Sequence[Spot]) -> list[Spot]:
        """Whole tiles up and left, as far as there is nothing."""
        used = self._used(spots)
        row, column = (int(np.flatnonzero(used.any(axis))[0]) for axis in (1, 0))
        return [(t, x - column * self.cells.across, y - row * self.cells.down) for t, x, y in spots]
