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
CROSSING = 16.0  # mm: two lines that are near each other for less only cross, and stay as they are
AROUND = 4.0  # mm: turns begin so far before lines come near each other
LEAST_RUN = 12.0  # mm: a shorter run goes on with the turns of the one beside it
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
TURNS = (2, 3, 4, 6, 8, 12, 16, 24)  # few kinds of them, so that runs are long
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
class SizeLine:
    """A size's cut line: what is drawn, and a place of each of its turns with the direction across the line there."""

    items: tuple[PathItem, ...]
    turns: tuple[tuple[complex, complex], ...] = ()


@dataclass(frozen=True)
class _Run:
    """A stretch of a line that takes turns: from `start` to `end` along it; `first` and `last` along the guide."""

    start: float
    end: float
    first: float
    last: float
    turns: int
    turn: int

    @property
    def slot(self) -> float:
        return next((s for s in SLOTS if s * self.turns <= 0.8 * abs(self.last - self.first)), SLOTS[-1])

    @property
    def scale(self) -> float:
        return (self.end - self.start) / (self.last - self.first)

    @property
    def phase(self) -> float:
        """How much of its turns has gone before the run's start, on the guide."""
        return (self.first - self.turn * self.slot) % (self.slot * self.turns)

    def middles(self) -> list[float]:
        """The middles of its turns, along the line."""
        period, half = self.slot * self.turns, self.slot * (1 - BETWEEN) / 2
        at = half - self.phase
        at += period if at < 0 else 0.0
        return [self.start + g * self.scale for g in np.arange(at, self.last - self.first, period)]


def size_lines(lines: Sequence[Sequence[Path]], pens: Sequence[Stroke], guide: int) -> tuple[SizeLine, ...]:
    """Each size's line with its pen; `lines` lie as they are nested. Turns are counted along the `guide`'s line."""
    near = _Near(lines, guide)
    out = []
    for n, (paths, pen) in enumerate(zip(lines, pens, strict=True)):
        items: list[PathItem] = []
        rest: list[Path] = []
        turns: list[tuple[complex, complex]] = []
        for k, path in enumerate(paths):
            runs = near.runs(n, k)
            rest += _between(path, runs)
            items += [PathItem((path.part(r.start, r.end),), _pen(pen, r), role="cut") for r in runs]
            turns += [(path.point(s), path.normal(s)) for r in runs for s in r.middles()]
        plain = (PathItem(tuple(rest), pen, role="cut"),) if rest else ()
        out.append(SizeLine((*plain, *items), tuple(turns)))
    return tuple(out)


def _between(path: Path, runs: Sequence[_Run]) -> list[Path]:
    """The path without the runs; of a closed one the last part goes on into the first."""
    ends = [0.0, *(x for r in runs for x in (r.start, r.end)), path.length]
    parts = [path.part(a, b) for a, b in zip(ends[::2], ends[1::2], strict=True) if b - a > 1e-6]
    if len(parts) > 1 and path.closed and runs[0].start > 1e-6 and runs[-1].end < path.length - 1e-6:
        parts[0] = parts.pop().joined(parts[0])
    return parts


def _pen(pen: Stroke, run: _Run) -> Stroke:
    turn = one_turn(pen.dash_mm, run.slot)
    dash = (*turn, run.slot * run.turns - sum(turn))
    return replace(pen, dash_mm=tuple(d * run.scale for d in dash), phase_mm=run.phase * run.scale)


# ---------------------------------------------------------------- who lies near whom


class _Near:
    """Places along all lines, one after the other; `turns` says of each how many lines take turns there (1: none do).

    A line's turn is its size's number by the count of turns, so that lines near each other never share one.
    """

    def __init__(self, lines: Sequence[Sequence[Path]], guide: int) -> None:
        self.lines = lines
        self.guide = next((n for n in (guide, *range(len(lines))) if lines[n]), 0)
        self.at: dict[tuple[int, int], slice] = {}
        points, sizes, along = [np.zeros(0, complex)], [np.zeros(0, int)], [np.zeros(0)]
        count = 0
        for n, paths in enumerate(lines):
            for k, path in enumerate(paths):
                places = np.linspace(0.0, path.length, max(2, round(path.length / STEP) + 1))
                points.append(_points(path, places))
                sizes.append(np.full(len(places), n))
                along.append(places)
                self.at[n, k] = slice(count, count + len(places))
                count += len(places)
        self.points, self.size, self.along = map(np.concatenate, (points, sizes, along))
        self.turns = self._turns() if count else np.zeros(0, int)

    def _turns(self) -> np.ndarray:
        here = shapely.points(self.points.real, self.points.imag)
        # A place is near a line where it is near the chords that meet in the line's nearest places.
        a, b = STRtree(here).query(here, predicate="dwithin", distance=float(np.hypot(NEAR, STEP / 2)))
        apart = self.size[a] != self.size[b]
        a, b = a[apart], b[apart]
        close = self._gaps(a, b) < NEAR
        a, b = a[close], b[close]
        together = np.zeros((len(self.points), len(self.lines)), bool)
        together[a, self.size[b]] = True
        for part in self.at.values():
            for n in range(len(self.lines)):
                together[part, n] = _longer(together[part, n], round(CROSSING / STEP))
        keep = together[a, self.size[b]] & together[b, self.size[a]]
        a, b = a[keep], b[keep]
        turns = np.ones(len(self.points), int)
        np.maximum.at(turns, a, 1 + np.abs(self.size[a] - self.size[b]))
        for _ in self.lines:
            before = turns.copy()
            np.maximum.at(turns, a, before[b])
            if np.array_equal(before, turns):
                break
        for part in self.at.values():
            turns[part] = _level(turns[part])
        return turns

    def _gaps(self, a: np.ndarray, b: np.ndarray) -> np.ndarray:
        """How far places `a` lie from the lines through places `b`."""
        best = np.abs(self.points[a] - self.points[b])
        for step in (-1, 1):
            c = np.clip(b + step, 0, len(self.points) - 1)
            c = np.where(np.abs(self.along[c] - self.along[b]) < 2 * STEP, c, b)
            c = np.where(self.size[c] == self.size[b], c, b)
            way = self.points[c] - self.points[b]
            long = np.abs(way)
            off = (self.points[a] - self.points[b]) * way.conj() / np.where(long > 0, long, 1.0)
            best = np.minimum(best, np.abs(off - np.clip(off.real, 0, long)))
        return best

    def runs(self, size: int, number: int) -> list[_Run]:
        """The stretches of a line on which it takes turns, in order."""
        here = self.at[size, number]
        turns, along, points = self.turns[here], self.along[here], self.points[here]
        guide: np.ndarray | None = None
        out: list[_Run] = []
        for i, j in _stretches(turns):
            if turns[i] < 2:
                continue
            if guide is None:
                guide = along if size == self.guide else self._on_guide(points)
            j = min(j, len(turns) - 1)  # as far as the next stretch
            for g, h in _even(along[i : j + 1], guide[i : j + 1]):
                a, b = i + g, i + h
                many = int(turns[i])
                out.append(_Run(along[a], along[b], guide[a], guide[b], many, size % many))
        return out

    def _on_guide(self, points: np.ndarray) -> np.ndarray:
        """How far along the guide's lines, one after the other, each point lies."""
        best, far = np.zeros(len(points)), np.full(len(points), np.inf)
        here = shapely.points(points.real, points.imag)
        before = 0.0
        for path in self.lines[self.guide]:
            flat = path.flatten(0.05)
            line = shapely.linestrings(np.column_stack([flat.real, flat.imag]))
            gap = shapely.distance(line, here)
            found = before + shapely.line_locate_point(line, here)
            best, far = np.where(gap < far, found, best), np.minimum(gap, far)
            before += path.length
        return best


def _points(path: Path, places: np.ndarray) -> np.ndarray:
    flat = path.flatten(0.02)
    gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(flat)))])
    share = places * gone[-1] / path.length
    points: np.ndarray = np.interp(share, gone, flat.real) + 1j * np.interp(share, gone, flat.imag)
    return points


def _stretches(values: np.ndarray) -> list[tuple[int, int]]:
    """(first, end) of each stretch of equal values."""
    cuts = [0, *(np.flatnonzero(np.diff(values)) + 1).tolist(), len(values)]
    return list(zip(cuts, cuts[1:], strict=False))


def _longer(true: np.ndarray, least: int) -> np.ndarray:
    """Without true stretches of fewer places than that; one false place within a stretch doesn't part it."""
    out = true.copy()
    out[1:-1] |= true[:-2] & true[2:]
    for i, j in _stretches(out.astype(int)):
        if out[i] and j - i < least:
            out[i:j] = False
    return out


def _level(turns: np.ndarray) -> np.ndarray:
    """Turns begun a little earlier, their counts rounded up, and no short stretch between longer ones."""
    reach = round(AROUND / STEP)
    out = turns.copy()
    for step in range(1, reach + 1):
        out[step:] = np.maximum(out[step:], turns[:-step])
        out[:-step] = np.maximum(out[:-step], turns[step:])
    kinds = np.array((1, *TURNS))
    out = kinds[np.searchsorted(kinds, np.minimum(out, kinds[-1]))]
    least = round(LEAST_RUN / STEP)
    for _ in range(len(TURNS)):
        stretches = _stretches(out)
        short = [n for n, (i, j) in enumerate(stretches) if j - i < least]
        moved = False
        for n in short:
            i, j = stretches[n]
            beside = [out[stretches[m][0]] for m in (n - 1, n + 1) if 0 <= m < len(stretches)]
            more = [v for v in beside if v > out[i]]
            if more:
                out[i:j] = min(more)
                moved = True
        if not moved:
            break
    return out


def _even(along: np.ndarray, guide: np.ndarray) -> list[tuple[int, int]]:
    """Parts (first and last place) on which guide and line go on alike, and no longer than `RECKONED` on the guide."""
    out: list[tuple[int, int]] = []
    begin = 0
    for n in range(1, len(along)):
        gone, ran = guide[n] - guide[n - 1], along[n] - along[n - 1]
        jump = not 0.4 * ran < gone < 2.5 * ran
        over = guide[n] // RECKONED != guide[begin] // RECKONED and guide[n] - guide[begin] > LEAST_RUN
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
