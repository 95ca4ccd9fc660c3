"""The cut lines of a nest: a dash and a weight for each size, and turns where lines of sizes run together.

No line is moved. Where lines come nearer to each other than `NEAR`, each shows one stretch of its own dashes and leaves
the next stretches to the others, in size order, so that every size can still be read.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely import STRtree

from booklet.drawing.display import PathItem, Stroke
from booklet.drawing.look import INK
from booklet.paths import Path

NEAR = 1.0  # mm: lines that run nearer than this take turns
STEP = 2.0  # mm between the places looked at
LEAST_RUN = 8.0  # mm: lines that only cross stay as they are
RECKONED = 140.0  # mm: how far one line may grow longer than the other before that is made good
SLOTS = (10.0, 7.0, 5.0, 3.6)  # mm of each turn: the longest by which every size has one in the stretch
BETWEEN = 0.16  # share of a turn that is left blank at its end

# mm of ink and blank in turn. Sizes next to each other in the list are told apart by the length of their marks and
# by how often these come, also where a nest begins anew with the first of them.
DASHES: tuple[tuple[float, ...], ...] = (
    (),
    (2.2, 1.3),
    (7.0, 1.4, 0.9, 1.4),
    (0.8, 1.1),
    (11.0, 1.8),
    (2.2, 1.1, 2.2, 3.4),
    (7.0, 1.3, 0.9, 1.3, 0.9, 1.3),
    (4.0, 3.2),
    (0.8, 0.9, 0.8, 2.8),
    (9.0, 1.3, 2.6, 1.3),
)
HEAVY, LIGHT = 1.15, 0.75  # points


def pens_of(count: int) -> tuple[Stroke, ...]:
    """A pen a size. Beyond the family's length it comes again with the other weight."""
    out = []
    for n in range(count):
        again, at = divmod(n, len(DASHES))
        out.append(Stroke(HEAVY if (at + again) % 2 == 0 else LIGHT, INK, DASHES[at]))
    return tuple(out)


def one_turn(dash: Sequence[float], slot: float) -> tuple[float, ...]:
    """What of a dash fits into one turn, in mm: ink, blank, ink ..."""
    left = slot * (1 - BETWEEN)
    if not dash:
        return (left,)
    out: list[float] = []
    while (
        left > 0.3 and len(out) < 7
    ):  # a printer may take no more than eleven lengths (PostScript's least limit)
        out.append(min(dash[len(out) % len(dash)], left))
        left -= out[-1]
    return tuple(out if len(out) % 2 else out[:-1])


@dataclass(frozen=True)
class _Run:
    """A stretch of a line that takes turns: from `start` to `end` along it; `first` and `last` along the cluster's guide."""

    start: float
    end: float
    first: float
    last: float
    turns: int
    turn: int


def size_lines(lines: Sequence[Sequence[Path]], pens: Sequence[Stroke]) -> tuple[tuple[PathItem, ...], ...]:
    """Each size's cut line with its pen; `lines` lie as they are nested."""
    if len(lines) < 2:
        return tuple((PathItem(tuple(ps), pen, role="cut"),) for ps, pen in zip(lines, pens, strict=True))
    near = _Near(lines)
    out = []
    for n, (paths, pen) in enumerate(zip(lines, pens, strict=True)):
        items: list[PathItem] = []
        rest: list[Path] = []
        for k, path in enumerate(paths):
            runs = near.runs(n, k)
            rest += _between(path, runs)
            items += [PathItem((path.part(r.start, r.end),), _pen(pen, r), role="cut") for r in runs]
        out.append((*((PathItem(tuple(rest), pen, role="cut"),) if rest else ()), *items))
    return tuple(out)


def _between(path: Path, runs: Sequence[_Run]) -> list[Path]:
    """The path without the runs; of a closed one the last part goes on into the first."""
    ends = [0.0, *(x for r in runs for x in (r.start, r.end)), path.length]
    parts = [path.part(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True) if b - a > 1e-6]
    if len(parts) > 1 and path.closed and runs[0].start > 1e-6 and runs[-1].end < path.length - 1e-6:
        parts[0] = parts.pop().joined(parts[0])
    return parts


def _pen(pen: Stroke, run: _Run) -> Stroke:
    long = abs(run.last - run.first)
    slot = next((s for s in SLOTS if s * run.turns <= 0.8 * long), SLOTS[-1])
    turn = one_turn(pen.dash_mm, slot)
    scale = (run.end - run.start) / long
    period = slot * run.turns
    dash = (*turn, period - sum(turn))
    phase = (run.first - run.turn * slot) % period
    return replace(pen, dash_mm=tuple(d * scale for d in dash), phase_mm=phase * scale)


# ---------------------------------------------------------------- who lies near whom


class _Near:
    """Places along all lines, and which lines run near each. `together` and `turns` hold a figure a place: the sizes
    that lie near each other there, directly or one by one, as bits; and how many of them must take turns.
    """

    def __init__(self, lines: Sequence[Sequence[Path]]) -> None:
        self.lines = lines
        self.first: dict[tuple[int, int], int] = {}  # (size, path) -> its first place
        points, sizes, along = [], [], []
        count = 0
        for n, paths in enumerate(lines):
            for k, path in enumerate(paths):
                flat = path.flatten(0.02)
                gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(flat)))])
                places = np.linspace(0.0, path.length, max(2, round(path.length / STEP) + 1))
                share = places * gone[-1] / path.length
                points.append(np.interp(share, gone, flat.real) + 1j * np.interp(share, gone, flat.imag))
                sizes.append(np.full(len(places), n))
                along.append(places)
                self.first[n, k] = count
                count += len(places)
        self.points, self.size = np.concatenate(points), np.concatenate(sizes)
        self.along = np.concatenate(along)
        self._cluster()

    def _cluster(self) -> None:
        tree = STRtree(shapely.points(self.points.real, self.points.imag))
        # A place counts as near a line where it is near the chord of the line's nearest places.
        reach = float(np.hypot(NEAR, STEP / 2))
        a, b = tree.query(
            shapely.points(self.points.real, self.points.imag), predicate="dwithin", distance=reach
        )
        apart = self.size[a] != self.size[b]
        a, b = a[apart], b[apart]
        gap = self._gaps(a, b)
        a, b, gap = a[gap < NEAR], b[gap < NEAR], gap[gap < NEAR]
        own = np.left_shift(1, self.size)
        direct = own.copy()
        np.bitwise_or.at(direct, a, own[b])
        after = np.zeros(len(direct), int)
        for n in range(len(self.lines)):
            after += (direct >> n & 1) * (self.size <= n)
        together, turns = direct.copy(), after
        self._spread(together, a, b, np.bitwise_or)
        self._spread(turns, a, b, np.maximum)
        rank = self._rank(together)
        clash = np.zeros(len(turns), int)
        same = rank[a] % np.maximum(turns[a], 1) == rank[b] % np.maximum(turns[b], 1)
        np.maximum.at(clash, a[same], 1)
        self._spread(clash, a, b, np.maximum)
        members = np.array([int(m).bit_count() for m in together])
        self.together, self.rank = together, rank
        self.turns = np.where(clash > 0, members, turns)

    def _gaps(self, a: np.ndarray, b: np.ndarray) -> np.ndarray:
        """How far places `a` lie from the lines through places `b`, by the two chords that meet there."""
        best = np.abs(self.points[a] - self.points[b])
        for step in (-1, 1):
            c = np.clip(b + step, 0, len(self.points) - 1)
            c = np.where(
                (self.size[c] == self.size[b]) & (np.abs(self.along[c] - self.along[b]) < 2 * STEP), c, b
            )
            way = self.points[c] - self.points[b]
            long = np.abs(way)
            safe = np.where(long > 0, long, 1.0)
            rel = (self.points[a] - self.points[b]) * way.conj() / safe
            inside = np.clip(rel.real, 0, long)
            best = np.minimum(best, np.abs(rel - inside))
        return best

    def _spread(self, values: np.ndarray, a: np.ndarray, b: np.ndarray, join: np.ufunc) -> None:
        """Values carried on from place to place until all that lie near each other share them."""
        for _ in range(len(self.lines)):
            before = values.copy()
            join.at(values, a, before[b])
            if np.array_equal(before, values):
                return

    def _rank(self, together: np.ndarray) -> np.ndarray:
        rank = np.zeros(len(together), int)
        for n in range(len(self.lines)):
            rank += (together >> n & 1) * (self.size > n)
        return rank

    def runs(self, size: int, number: int) -> list[_Run]:
        """The stretches of a line on which it takes turns, in order."""
        path = self.lines[size][number]
        first = self.first[size, number]
        count = max(2, round(path.length / STEP) + 1)
        here = slice(first, first + count)
        together, turns, along = self.together[here], self.turns[here], self.along[here]
        changes = np.flatnonzero((np.diff(together) != 0) | (np.diff(turns) != 0)) + 1
        out: list[_Run] = []
        for i, j in zip([0, *changes], [*changes, count], strict=True):
            if turns[i] < 2 or along[j - 1] - along[i] < LEAST_RUN:
                continue
            rank = int(self.rank[first + i])
            guide = self._guide(size, int(together[i]), self.points[first + i : first + j], along[i:j])
            for g, h in _even(along[i:j], guide):
                out.append(
                    _Run(
                        float(along[i + g]), float(along[i + h]), float(guide[g]), float(guide[h]), int(turns[i]),
                        rank % int(turns[i]),
                    )
                )  # fmt: skip
        return out

    def _guide(self, size: int, together: int, points: np.ndarray, along: np.ndarray) -> np.ndarray:
        """How far along the guide, the line of the smallest size that is together here, each point lies."""
        least = (together & -together).bit_length() - 1
        if least == size:
            return along
        paths = self.lines[least]
        middle = points[len(points) // 2]
        nearest = min(range(len(paths)), key=lambda k: abs(paths[k].point(paths[k].nearest(middle)) - middle))
        flat = paths[nearest].flatten(0.02)
        line = shapely.linestrings(np.column_stack([flat.real, flat.imag]))
        found: np.ndarray = shapely.line_locate_point(line, shapely.points(points.real, points.imag))
        return found


def _even(along: np.ndarray, guide: np.ndarray) -> list[tuple[int, int]]:
    """Parts (first and last place) on which guide and line go on alike, and no longer than `RECKONED` on the guide."""
    out: list[tuple[int, int]] = []
    begin = 0
    for n in range(1, len(along)):
        gone, ran = guide[n] - guide[n - 1], along[n] - along[n - 1]
        jump = not 0.5 * ran < gone < 2 * ran
        over = (
            int(guide[n] // RECKONED) != int(guide[begin] // RECKONED) and guide[n] - guide[begin] > LEAST_RUN
        )
        if jump and n - 1 > begin:
            out.append((begin, n - 1))
        if jump:
            begin = n
        elif over:
            out.append((begin, n))
            begin = n
    if len(along) - 1 > begin:
        out.append((begin, len(along) - 1))
    return out
