"""The improver of open lays: spyrrow, a heuristic for strips, in a process of its own.

    better = improved(pieces, usable_width=1400, seconds=20, start=our_own)

It knows no folds and no mirroring, and what it finds hangs on the clock, so that its lays come into booklets only
through kept lays. It may end in a panic instead of an exception, or not end at all; therefore what it is given is
checked before, it runs beside us, its time is limited, and what it finds counts only if this module's own look over
the true outlines passes it. Whatever fails, the lay that it was to better stays, with a sentence that says why.
All lengths mm.
"""

from __future__ import annotations

import json
import math
import queue
import random
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from importlib.util import find_spec
from pathlib import Path
from typing import Any

import numpy as np
import shapely

from booklet.cloth.decode import RULES, Gene
from booklet.cloth.lay import Lay, Placed, Recipe
from booklet.cloth.orient import UNIT, Item, Way, prepare
from booklet.cloth.pieces import CUTTING_GAP, CannotLay, LayPiece, opened
from booklet.cloth.search import PROVED_WITHIN
from booklet.model import LaySection
from booklet.paths import Placement

MANY = 10  # placings; below that our own engine finds as much (measured)
SLACK = 0.02  # mm more of strip: an exact fit is impossible for a solver that feels its way
THIN = 0.03  # mm: grown outlines are thinned by this
RACE = 30  # placings up to which several seeds at once find more than one run on several cores (measured)
APART = 1000  # between the seeds that race
POLL = 0.1  # s
HEIGHT = 80.0  # what the strip's height is scaled to: from 40 to 100 the solver does best, by a point or more (measured)
LATE = 5.0  # s beyond its time after which the solver is ended
NEAR = 0.05  # mm: how far a lay may miss the gap or the strip, as the judge has it
_CHILD = Path(__file__).with_name("spyrrow_child.py")


@dataclass(frozen=True)
class Improved:
    """The shorter lay, or the one to start from; `said` is the sentence why nothing came of it, '' where it did."""

    lay: Lay | None
    said: str = ""


@dataclass(frozen=True)
class _Piece:
    """What the solver lays `demand` times: a grown outline already turned by `base`, and the items it stands for."""

    points: tuple[tuple[float, float], ...]
    turns: tuple[int, ...]
    base: Way
    items: tuple[Item, ...]


def available() -> bool:
    """Whether the solver is installed (the extra `lay`)."""
    return find_spec("spyrrow") is not None


def improved(
    pieces: Sequence[LayPiece],
    usable_width: float,
    *,
    seconds: float,
    gap: float = CUTTING_GAP,
    seeds: Sequence[int] = (1,),
    workers: int = 1,
    start: Lay | None = None,
    stop: Callable[[], bool] = lambda: False,
) -> Improved:
    """The shortest open lay of `start` and those found from each seed; the seconds are shared out between the seeds.

    Uses `workers` cores: a few pieces are laid from as many seeds at once, many by one run on all of them. Once
    `stop` says True the best so far is taken. Needs a whole second for each seed. Raises CannotLay where there is no
    open lay.
    """
    task, refusals = prepare(tuple(pieces), "open", usable_width, gap)
    if refusals:
        raise CannotLay(refusals)
    if not available():
        return Improved(start, "The solver spyrrow is not installed (pip install 'booklet[lay]').")
    if not task.items:
        return Improved(start)
    share = int(seconds / len(seeds))
    if share < 1:
        return Improved(start, "The solver spyrrow was given less than a second.")
    best, said = start, ""
    race = workers if len(task.items) <= RACE else 1
    for seed in seeds:
        runs = []
        for n in range(race):
            own = seed + APART * n
            given = _given(pieces, task.items, gap, _faces(task.items, start, own))
            wrong = given if isinstance(given, str) else _too_wide(given, usable_width, gap)
            if isinstance(given, str) or wrong:
                return Improved(start, wrong)
            runs.append((given, _asked(given, usable_width, gap, share, workers // race, own)))
        lines = run_children([asked for _, asked in runs], share + LATE, stop)
        for (given, _), line in zip(runs, lines, strict=True):
            lay, said = _taken(line, given, pieces, task.items, usable_width, gap, start)
            if lay is not None and (best is None or lay.length < best.length):
                best = lay
        if stop():
            break
    return Improved(best, "" if best is not start else said)


def _taken(
    line: str | None,
    given: Sequence[_Piece],
    pieces: Sequence[LayPiece],
    items: Sequence[Item],
    width: float,
    gap: float,
    start: Lay | None,
) -> tuple[Lay | None, str]:
    """A child's lay if it is one that can be cut; else why not."""
    if line is None:
        return None, "The solver spyrrow found no lay."
    try:
        lay = _lay(_read(json.loads(line), given, width / HEIGHT, gap / 2), pieces, items, width, start)
    except (ValueError, TypeError, KeyError, IndexError, OverflowError):
        return None, "The solver spyrrow gave no lay that can be read."
    wrong = _wrong(lay, pieces, gap)
    return (None, f"A lay of the solver spyrrow was not used: {wrong}.") if wrong else (lay, "")


# ------------------------------------------------------------------ what the solver is given


def _faces(items: Sequence[Item], start: Lay | None, seed: int) -> list[Way]:
    """Which way up each item lies, as the solver cannot turn it over: as in the lay to better, or drawn by lot."""
    chance = random.Random(seed)
    mirrored = (
        {(p.key, p.copies): p.mirrored for p in start.placements} if start is not None and seed % 2 else {}
    )
    out = []
    for item in items:
        lot = chance.choice(item.ways)
        wanted = mirrored.get((item.key, item.copies))
        same = [w for w in item.ways if (w[0] * w[1] * item.flip < 0) == wanted]
        # A turn more is left to the solver, so that of each face one way is enough.
        out.append(same[0] if same else lot if seed > 1 else item.ways[0])
    return out


def _given(
    pieces: Sequence[LayPiece], items: Sequence[Item], gap: float, bases: Sequence[Way]
) -> list[_Piece] | str:
    """The grown outlines, like ones together; or why the solver cannot have them."""
    outlines = {p.key: np.array(opened(p).outline, dtype=complex) for p in pieces}
    together: dict[tuple[str, Way, tuple[int, ...]], list[Item]] = {}
    for item, base in zip(items, bases, strict=True):
        # Without nap, half a turn is allowed to every ply, whichever ways differ enough to be listed.
        turns: tuple[int, ...] = (0, 180) if any(way[0] != base[0] for way in item.ways) else (0,)
        together.setdefault((item.key, base, turns), []).append(item)
    out = []
    for (key, base, turns), alike in together.items():
        item = alike[0]
        z = outlines[key] - item.corner
        grown = grown_outline(np.column_stack((base[0] * z.real, base[1] * item.flip * z.imag)), gap)
        if grown is None:
            return f"The solver spyrrow cannot be given the outline of piece {key}."
        out.append(_Piece(grown, turns, base, tuple(alike)))
    return out


def grown_outline(xy: np.ndarray, gap: float) -> tuple[tuple[float, float], ...] | None:
    """An outline with half the gap about it, in no case less, and nowhere beyond its own box by more."""
    by, thin = gap / 2, min(THIN, gap)
    shape = shapely.Polygon(xy)
    box = shapely.box(*shape.bounds).buffer(by, join_style="mitre")
    grown = shape.buffer(by + thin, join_style="mitre", mitre_limit=5.0) if gap else shape
    ring = grown.simplify(thin).intersection(box)
    if ring.geom_type != "Polygon" or not ring.is_valid or ring.area < 1.0:
        return None
    points = shapely.get_coordinates(ring.exterior)[:-1]
    if len(points) < 3 or not np.isfinite(points).all():
        return None
    return tuple((float(x), float(y)) for x, y in points)


# ------------------------------------------------------------------ the solver, beside us


def _height(width: float, gap: float) -> float:
    return width + gap + SLACK


def _too_wide(given: Sequence[_Piece], width: float, gap: float) -> str:
    """What would make the solver panic at once."""
    for piece in given:
        ys = [y for _, y in piece.points]
        if max(ys) - min(ys) > _height(width, gap) - SLACK / 2:
            return f"Piece {piece.items[0].key} is too wide for the solver spyrrow."
    return ""


def _asked(given: Sequence[_Piece], width: float, gap: float, seconds: int, workers: int, seed: int) -> str:
    scale = HEIGHT / width
    items = [
        {
            "id": n,
            "points": [(x * scale, y * scale) for x, y in p.points],
            "turns": p.turns,
            "demand": len(p.items),
        }
        for n, p in enumerate(given)
    ]
    height = _height(width, gap) * scale
    return json.dumps(
        {"height": height, "seconds": seconds, "workers": workers, "seed": seed, "items": items}
    )


def run_children(
    asked: Sequence[str],
    limit: float,
    stop: Callable[[], bool] = lambda: False,
    command: Sequence[str] = (),
) -> list[str | None]:
    """The last line that each child printed within so many seconds; None where there is none. None outlives this."""
    last: list[str | None] = [None] * len(asked)
    lines: queue.SimpleQueue[tuple[int, str | None]] = queue.SimpleQueue()
    ends = time.monotonic() + limit
    children: list[subprocess.Popen[str]] = []
    try:
        for n, text in enumerate(asked):
            child = subprocess.Popen(
                command or (sys.executable, "-P", str(_CHILD)),
                stdin=subprocess.PIPE,
                stdout=subprocess.PIPE,
                stderr=subprocess.DEVNULL,
                text=True,
                encoding="utf-8",
            )
            children.append(child)
            threading.Thread(target=_talk, args=(child, text, n, lines), daemon=True).start()
        left = len(children)
        while left and time.monotonic() < ends and not stop():
            try:
                n, line = lines.get(timeout=POLL)
            except queue.Empty:
                continue
            if line is None:
                left -= 1
            else:
                last[n] = line
    finally:
        for child in children:
            child.kill()
            child.wait()
    return last


def _talk(
    child: subprocess.Popen[str], asked: str, n: int, lines: queue.SimpleQueue[tuple[int, str | None]]
) -> None:
    """Tells a child what to lay and passes on what it prints: whole lines alone, and None at the end."""
    assert child.stdin is not None and child.stdout is not None
    with suppress(OSError), child.stdin:
        child.stdin.write(asked)
    with suppress(OSError, ValueError), child.stdout:
        for line in child.stdout:
            if line.endswith("\n"):
                lines.put((n, line))
    lines.put((n, None))


def _read(told: Any, given: Sequence[_Piece], scale: float, edge: float) -> list[tuple[Item, Way, complex]]:
    """Raises ValueError for anything but every item once, unturned or turned half round."""
    left = [list(p.items) for p in given]
    out = []
    for name, degrees, x, y in told:
        n = int(name)
        base = given[n].base
        half = abs(math.remainder(degrees, 360.0)) > 90
        if n < 0 or not math.isfinite(x + y) or abs(math.remainder(degrees, 180.0)) > 1e-6:
            raise ValueError(name)
        way = (-base[0], -base[1]) if half else base
        if half and 180 not in given[n].turns:
            raise ValueError(name)
        out.append((left[n].pop(0), way, complex(x, y) * scale - complex(edge, edge)))
    if any(left):
        raise ValueError("items left over")
    return out


# ------------------------------------------------------------------ the lay, on the true outlines


def _lay(
    found: Sequence[tuple[Item, Way, complex]],
    pieces: Sequence[LayPiece],
    items: Sequence[Item],
    width: float,
    start: Lay | None,
) -> Lay:
    """Moved to the cloth's beginning, and inside the strip where it lay out by the slack."""
    outlines = {p.key: np.array(opened(p).outline, dtype=complex) for p in pieces}
    placed: list[Placed] = []
    ends: list[float] = []
    first = min(_box(outlines[i.key], i.placement(w, _units(at)))[0] for i, w, at in found)
    for item, way, at in found:
        put = item.placement(way, _units(at))
        _, y0, x1, y1 = _box(outlines[item.key], put)
        up = -y0 if y0 < 0 else min(0.0, width - y1)
        if abs(up) <= 2 * SLACK:
            put = put.then(Placement.move(1j * up))
        placed.append(Placed(item.key, item.copies, put.then(Placement.move(complex(-first)))))
        ends.append(x1 - first)
    order = {key: n for n, key in enumerate(outlines)}
    placed.sort(key=lambda p: (order[p.key], p.copies))
    length = max(ends)
    bound = 0.0 if start is None else min(start.bound, length)
    return Lay(
        "open",
        width,
        length,
        tuple(placed),
        0,
        bound,
        start is not None and length <= start.bound + PROVED_WITHIN,
        _order(found, items),
        Recipe("open"),
        (LaySection(0.0, length, 0.0, width, 1),),
    )


def _order(found: Sequence[tuple[Item, Way, complex]], items: Sequence[Item]) -> tuple[Gene, ...]:
    """From the cloth's beginning on, each by the first of the placing rules: near to this lay, not the same."""
    numbers = {(item.key, item.copies): n for n, item in enumerate(items)}
    along = sorted(found, key=lambda f: (f[2].real, f[2].imag))
    genes = []
    for item, way, _ in along:
        # Of ways that look alike the engine knows one.
        known = way if way in item.ways else item.ways[0]
        genes.append((numbers[item.key, item.copies], known, RULES[0]))
    return tuple(genes)


def _units(at: complex) -> tuple[int, int]:
    return round(at.real * UNIT), round(at.imag * UNIT)


def _box(outline: np.ndarray, put: Placement) -> tuple[float, float, float, float]:
    z = put.apply_all(outline)
    return float(z.real.min()), float(z.imag.min()), float(z.real.max()), float(z.imag.max())


def _wrong(lay: Lay, pieces: Sequence[LayPiece], gap: float) -> str:
    """The first thing that is not as it must be, by shapely on the outlines as they were given; '' if all is well."""
    outlines = {p.key: np.array(opened(p).outline, dtype=complex) for p in pieces}
    wanted = [(p.key, n) for p in pieces for n in range(p.count)]
    if sorted((p.key, n) for p in lay.placements for n in p.copies) != sorted(wanted):
        return "not every piece lies there once"
    rings = []
    for put in lay.placements:
        z = put.placement.apply_all(outlines[put.key])
        rings.append(shapely.Polygon(np.column_stack((z.real, z.imag))))
    boxes = shapely.bounds(rings)
    if (
        boxes[:, :2].min() < -NEAR
        or boxes[:, 2].max() > lay.length + NEAR
        or boxes[:, 3].max() > lay.width + NEAR
    ):
        return "a piece lies beyond the cloth"
    for a, b in shapely.STRtree(rings).query(rings, predicate="dwithin", distance=max(gap, 1e-6)).T.tolist():
        if a >= b:
            continue
        if rings[a].buffer(-NEAR / 2).intersects(rings[b].buffer(-NEAR / 2)):
            return f"pieces {lay.placements[a].key} and {lay.placements[b].key} overlap"
        if gap > NEAR and rings[a].distance(rings[b]) < gap - NEAR:
            return f"pieces {lay.placements[a].key} and {lay.placements[b].key} lie too near"
    return ""
