"""Join to: another piece laid with one edge to an edge of this one, and the two made one. It undoes a cut."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping
from dataclasses import dataclass, replace

import numpy as np

from booklet.drafting.asked import Asked
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.stretches import is_simple
from booklet.model import FoldLine
from booklet.paths import Path, fit_rigid
from booklet.problems import Fault, Where

WITHIN = 0.5  # mm: two edges that are joined agree this well in length and in shape
SPOTS = 81  # places along the edges that are compared
STRAIGHT = math.radians(0.5)  # two halves of a fold meet at no more


def joined(
    shape: Shape,
    edge: str,
    other: Shape,
    their: str,
    names: Mapping[str, str],
    where: Where,
    what: str,
    whose: str,
) -> Shape:
    """`other` laid with its edge `their` to `edge`; both edges are gone. `names` renames what is the other's.

    Edges of one name that meet where the two pieces do become one; any other name that is there twice has to be changed.
    Raises Fault where the two edges differ by more than half a millimetre in length or in shape.
    """  # fmt: skip
    mine = shape.run(edge)
    other = _renamed(
        _laid(shape, mine, other, other.run(their), where, what, whose), names, their, where, whose
    )
    theirs = other.run(their)
    ours, new = _others(shape, edge), _others(other, their)
    if not ours or not new:
        raise Fault.of("join", f"{what if not ours else whose} has no other edge", where)
    new[0] = replace(new[0], path=_ending(new[0].path, mine.path.start, None))
    new[-1] = replace(new[-1], path=_ending(new[-1].path, None, mine.path.end))
    ring, merged = _ring(ours, new)
    _check_twice([r.name for r in ring], "edge", what, whose, where)
    ring = list(snapped(ring))
    if not is_simple([r.path for r in ring]):
        raise Fault.of("join-overlap", f"joined at {edge}, {what} and {whose} would lie over each other", where,
                       "Join them at another edge.")  # fmt: skip
    return _together(shape, other, ring, merged, (edge, theirs.name), where, what, whose)


def _laid(shape: Shape, mine: Run, other: Shape, theirs: Run, where: Where, what: str, whose: str) -> Shape:
    names = f"{what}.{mine.name}", f"{whose}.{theirs.name}"
    for run, one, name in ((mine, shape, names[0]), (theirs, other, names[1])):
        if run.take_ups:
            raise Fault.of("join-dart", f"{name} has {run.take_ups[0].name} on it", where,
                           "Fold it out first with `close dart`.")  # fmt: skip
        if run.name == one.fold:
            raise Fault.of("join-fold", f"{name} lies on the fold", where, "Write `open out: true` before.")
    gap = mine.path.length - theirs.path.length
    if abs(gap) > WITHIN:
        raise Fault.of(
            "join-length", f"{names[0]} is {mine.path.length:.1f} mm, {names[1]} {theirs.path.length:.1f} mm: they differ "
            f"by {abs(gap):.1f} mm", where, f"Let them agree within {WITHIN} mm.",
        )  # fmt: skip
    a, b = _spots(mine.path), _spots(theirs.path.reversed())
    placing = fit_rigid(b, a, False)
    off = float(np.max(np.abs(placing.apply_all(b) - a)))
    if off > WITHIN:
        raise Fault.of(
            "join-shape", f"laid to {names[0]}, {names[1]} lies up to {off:.1f} mm off it", where,
            "Two edges are joined that have one shape, as both sides of a cut.",
        )  # fmt: skip
    return other.placed(placing)


def _spots(path: Path) -> np.ndarray:
    return np.array([path.point(path.length * k / (SPOTS - 1)) for k in range(SPOTS)])


def _renamed(other: Shape, names: Mapping[str, str], their: str, where: Where, whose: str) -> Shape:
    """The other piece with the names that were asked for, of edges, darts and lines across."""
    known = [r.name for r in other.runs if r.name != their]
    known += [d.name for d in other.darts] + [f.name for f in other.lines_across]
    for name in names:
        if name not in known:
            raise Fault.of("unknown-edge", f"`names:` changes '{name}', which {whose} does not bring", where,
                           f"It brings {', '.join(known)}.")  # fmt: skip

    def new(name: str) -> str:
        return names.get(name, name)

    return replace(
        other,
        runs=tuple(
            replace(r, name=new(r.name), take_ups=tuple(replace(t, name=new(t.name)) for t in r.take_ups))
            for r in other.runs
        ),
        fold=other.fold and new(other.fold),
        darts=tuple(replace(d, name=new(d.name), edge=new(d.edge)) for d in other.darts),
        lines_across=tuple(replace(f, name=new(f.name)) for f in other.lines_across),
        pleats=tuple(
            replace(p, edge=new(p.edge), foot=new(p.foot), sewn=tuple(new(e) for e in p.sewn)) for p in other.pleats
        ),
        trueings=tuple(replace(t, edge=new(t.edge)) for t in other.trueings),
        derived=tuple(new(e) for e in other.derived),
    )  # fmt: skip


def _others(shape: Shape, edge: str) -> list[Run]:
    """The edges that follow one, round the ring."""
    n = shape.index(edge)
    return [*shape.runs[n + 1 :], *shape.runs[:n]]


def _ending(path: Path, start: complex | None, end: complex | None) -> Path:
    """The line begun or ended exactly there, its handle moved along."""
    segments = [list(s) for s in path.segments]
    if start is not None:
        shift = start - segments[0][0]
        segments[0][0] = start
        if len(segments[0]) == 4:
            segments[0][1] += shift
    if end is not None:
        shift = end - segments[-1][-1]
        segments[-1][-1] = end
        if len(segments[-1]) == 4:
            segments[-1][2] += shift
    return Path(tuple(tuple(s) for s in segments))


@dataclass(frozen=True)
class Merged:
    """An edge of both pieces that has become one, and how far it turns where they meet, radians."""

    name: str
    turn: float


def _ring(ours: list[Run], new: list[Run]) -> tuple[list[Run], list[Merged]]:
    """Both rings as one; edges of one name that meet are one edge."""
    ring, merged = list(ours), []
    rest = list(new)
    if rest[0].name == ring[-1].name:
        merged.append(_turn(ring[-1], rest[0]))
        ring[-1] = _one(ring[-1], rest.pop(0))
    ring += rest
    if len(ring) > 1 and ring[-1].name == ring[0].name:
        merged.append(_turn(ring[-1], ring[0]))
        ring[0] = _one(ring.pop(), ring[0])
    return ring, merged


def _turn(a: Run, b: Run) -> Merged:
    return Merged(a.name, abs(cmath.phase(b.path.start_tangent / a.path.end_tangent)))


def _one(a: Run, b: Run) -> Run:
    shift = a.path.length
    marks = (*a.marks, *(replace(m, at=m.at + shift) for m in b.marks))
    ups = (*a.take_ups, *(replace(t, start=t.start + shift, end=t.end + shift) for t in b.take_ups))
    lines = tuple(dict.fromkeys((*a.lines, *b.lines)))
    return Run(a.name, _straight(a.path, b.path), marks, ups, lines)


def _straight(a: Path, b: Path) -> Path:
    """Two lines joined; two straight ones in one direction as one."""
    p, q = a.segments[-1], b.segments[0]
    if len(p) == len(q) == 2 and abs(cmath.phase((q[1] - q[0]) / (p[1] - p[0]))) < 1e-7:
        return Path((*a.segments[:-1], (p[0], q[1]), *b.segments[1:]))
    return a.joined(b)


def _check_twice(names: list[str], kind: str, what: str, whose: str, where: Where) -> None:
    twice = list(dict.fromkeys(n for n in names if names.count(n) > 1))
    if twice:
        raise Fault.of(
            "twice", f"{what} and {whose} both have {' and '.join(twice)} ({kind}), which do not meet", where,
            f"Name {whose}'s otherwise: names: {{{', '.join(f'{n}: {n}_2' for n in twice)}}}.",
        )  # fmt: skip


def _together(
    shape: Shape, other: Shape, ring: list[Run], merged: list[Merged], gone: tuple[str, str], where: Where,
    what: str, whose: str,
) -> Shape:  # fmt: skip
    """All that is drawn on both, on the one piece."""
    darts = (*shape.darts, *other.darts)
    _check_twice([d.name for d in darts], "dart", what, whose, where)
    lines, seen = list(shape.lines_across), {f.name: n for n, f in enumerate(shape.lines_across)}
    for line in other.lines_across:
        n = seen.get(line.name)
        one = None if n is None else _one_line(lines[n].path, line.path)
        if n is None or one is None:
            lines.append(line)
        else:
            lines[n] = FoldLine(line.name, one)
    _check_twice([f.name for f in lines], "line across", what, whose, where)
    points = dict(other.points) | dict(shape.points)
    levels = dict(other.levels) | dict(shape.levels)
    pleats = {p.name: p for p in (*other.pleats, *shape.pleats)}
    facing = shape.facing
    if facing is not None:
        left = tuple(e for e in facing.edges if e != gone[0])
        facing = replace(facing, edges=left) if left else None
    return replace(
        shape,
        runs=tuple(ring),
        drawn_for=shape.drawn_for if shape.drawn_for == other.drawn_for else "whole",
        fold=_fold(shape, other, merged, where, what, whose),
        grain=shape.grain,
        darts=darts,
        lines_across=tuple(lines),
        levels=tuple(levels.items()),
        points=tuple(points.items()),
        facing=facing,
        binding=None,
        trueings=tuple(
            t for of, end in ((shape, gone[0]), (other, gone[1])) for t in of.trueings if t.edge != end
        ),
        derived=tuple(
            dict.fromkeys(
                e for of, end in ((shape, gone[0]), (other, gone[1])) for e in of.derived if e != end
            )
        ),
        pleats=tuple(pleats.values()),
    )


def _one_line(a: Path, b: Path) -> Path | None:
    """Two stretches of a line across that meet, as one."""
    for p in (a, a.reversed()):
        for q in (b, b.reversed()):
            if abs(p.end - q.start) < WITHIN:
                return _straight(p, _ending(q, p.end, None))
    return None


def _fold(
    shape: Shape, other: Shape, merged: list[Merged], where: Where, what: str, whose: str
) -> str | None:
    if shape.fold is None and other.fold is None:
        return None
    both = next((m for m in merged if m.name in (shape.fold, other.fold)), None)
    if both is not None and shape.fold == other.fold:
        if both.turn < STRAIGHT:
            return shape.fold
        raise Fault.of("join-fold", f"the folds of {what} and {whose} meet at {math.degrees(both.turn):.1f} degrees",
                       where, "Write `open out: true` before.")  # fmt: skip
    if both is None and (shape.fold is None or other.fold is None):
        return shape.fold or other.fold
    raise Fault.of(
        "join-fold", f"{what} and {whose} do not lie on one fold", where, "Write `open out: true` before."
    )


def ask_join_to(asked: Asked, shape: Shape) -> Shape:
    """`join to: {piece: OTHER, edge: MINE, their: EDGE, names: {EDGE: NEW}}`."""
    key = asked.words("piece")
    other = asked.other(key)
    run = asked.run(shape, asked.words("edge"))
    theirs = edge_of(other, asked.words("their"), key, asked.where)
    names = {str(k): str(v) for k, v in (asked.spec.get("names") or {}).items()}
    return joined(shape, run.name, other, theirs.name, names, asked.where, asked.key, key)
