"""A first arrangement: pieces laid one by one, each where it opens the fewest new pages, then highest, then leftmost."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np

from booklet.drawing.page import SheetPiece
from booklet.printing.grid import Grid
from booklet.printing.sheet_cells import GAP, Cells, Mask, Series, Spot, unpacked

_SHUFFLED = 8  # orders beside the four by size


def orders_of(pieces: Sequence[SheetPiece]) -> list[tuple[int, ...]]:
    """By longest side, area, height and shorter side, then shuffles of the first with numbers of a fixed series."""
    boxes = [p.outline.bbox for p in pieces]
    size = [(b[2] - b[0], b[3] - b[1]) for b in boxes]
    numbers = range(len(pieces))
    longest = tuple(sorted(numbers, key=lambda k: (-max(size[k]), k)))
    orders = [
        longest,
        tuple(sorted(numbers, key=lambda k: (-size[k][0] * size[k][1], k))),
        tuple(sorted(numbers, key=lambda k: (-size[k][1], k))),
        tuple(sorted(numbers, key=lambda k: (-min(size[k]), k))),
    ]
    series = Series()
    while len(orders) < 4 + _SHUFFLED and len(pieces) > 2:
        row = list(longest)
        for k in range(len(row) - 1):  # neighbours change places: large before small stays roughly true
            if series.below(2):
                row[k], row[k + 1] = row[k + 1], row[k]
        orders.append(tuple(row))
    return list(dict.fromkeys(orders))


def laid(
    masks: Sequence[Sequence[Mask]], order: Sequence[int], columns: int, cells: Cells, grid: Grid
) -> list[Spot]:
    """Where each piece lies on a sheet so many cells wide; with `grid.whole`, on one page each."""
    taken = 0  # bit y * columns + x: this cell is covered
    height = 0
    used = np.zeros((0, columns // cells.across), bool)
    out: list[Spot] = [(0, 0, 0)] * len(masks)
    for k in order:
        best: tuple[tuple[int, int, int], Spot] | None = None
        for turn, mask in enumerate(masks[k]):
            if mask.wide > columns:
                continue
            rows = height + (mask.tall if grid.whole else cells.down)
            if grid.whole and rows > (page := math.ceil(max(height, 1) / cells.down) * cells.down):
                rows = page + mask.tall  # the next page begins there
            score, x, y = _best_spot(mask, taken, columns, rows, used, cells, grid)
            if best is None or score < best[0]:
                best = (score, (turn, x, y))
        assert best is not None
        turn, x, y = out[k] = best[1]
        mask = masks[k][turn]
        taken |= mask.bits(columns) << (y * columns + x)
        height = max(height, y + mask.tall)
        used = _mark_used(used, mask, x, y, cells, grid)
    return out


def _best_spot(
    mask: Mask, taken: int, columns: int, rows: int, used: np.ndarray, cells: Cells, grid: Grid
) -> tuple[tuple[int, int, int], int, int]:
    """Of all free places: (score, x, y)."""
    barred = unpacked(mask.barred(taken, columns), rows, columns)
    free = barred[: rows - mask.tall + 1 if grid.whole else rows, : columns - mask.wide + 1] == 0
    if grid.whole:
        starts = np.arange(free.shape[0])
        free &= (starts // cells.down == (starts + mask.tall - 1) // cells.down)[:, None]
    ys, xs = np.nonzero(free)
    new = _new_tiles(mask, xs, ys, used, cells, grid)
    k = int(np.lexsort((xs, ys, new))[0])
    end = int(ys[k]) + (mask.tall if grid.whole else 0)
    return (int(new[k]), end, int(xs[k])), int(xs[k]), int(ys[k])


def _tile_range(starts: np.ndarray, size: float, cell: float, step: float) -> tuple[np.ndarray, np.ndarray]:
    """First and last tile, along one axis, that a piece's box meets when it starts at these cells."""
    first = starts * cell + GAP / 2
    return (first // step).astype(int), ((first + size) // step).astype(int)


def _new_tiles(
    mask: Mask, xs: np.ndarray, ys: np.ndarray, used: np.ndarray, cells: Cells, grid: Grid
) -> np.ndarray:
    """How many tiles that are still empty the piece's box would meet: sums over a table of running totals."""
    left, right = _tile_range(np.arange(int(xs.max()) + 1), mask.size.real, cells.x, grid.step_x)
    top, foot = _tile_range(np.arange(int(ys.max()) + 1), mask.size.imag, cells.y, grid.step_y)
    rows, columns = max(used.shape[0], int(foot[-1]) + 1), max(used.shape[1], int(right[-1]) + 1)
    table = np.zeros((rows + 1, columns + 1), int)
    table[1 : used.shape[0] + 1, 1 : used.shape[1] + 1] = used
    table = table.cumsum(0).cumsum(1)
    c0, c1, r0, r1 = left[xs], right[xs] + 1, top[ys], foot[ys] + 1
    have = table[r1, c1] - table[r0, c1] - table[r1, c0] + table[r0, c0]
    result: np.ndarray = (r1 - r0) * (c1 - c0) - have
    return result


def _mark_used(used: np.ndarray, mask: Mask, x: int, y: int, cells: Cells, grid: Grid) -> np.ndarray:
    c0, c1 = (int(v[0]) for v in _tile_range(np.array([x]), mask.size.real, cells.x, grid.step_x))
    r0, r1 = (int(v[0]) for v in _tile_range(np.array([y]), mask.size.imag, cells.y, grid.step_y))
    rows, columns = max(used.shape[0], r1 + 1), max(used.shape[1], c1 + 1)
    out = np.zeros((rows, columns), bool)
    out[: used.shape[0], : used.shape[1]] = used
    out[r0 : r1 + 1, c0 : c1 + 1] = True
    return out
