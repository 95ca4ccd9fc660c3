"""Open out: a half piece with a fold becomes the whole one, so that it may be shaped unlike on its two sides."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.copies import OTHER
from booklet.drafting.shape import JOIN_GAP, Run, Shape
from booklet.model import Dart, FoldLine, Mark, Pleat, Side, TakeUp, Trueing
from booklet.paths import Placement
from booklet.problems import Fault, Where


def opened_out(shape: Shape, where: Where, what: str = "the piece") -> Shape:
    """The whole ring: edges that meet the fold run on over it, the others are there twice, as .left and .right.

    The drawn half stays where it is. Raises Fault where the shape has no fold.
    """
    if shape.fold is None:
        raise Fault.of("no-fold", f"{what} has no fold to be opened at", where,
                       "Name its edge on the fold with `fold:`, or leave `open out` away.")  # fmt: skip
    line = shape.run(shape.fold).path
    over = Placement.mirror(line.start, line.end - line.start)
    mine = _from_fold(shape)
    theirs = _from_fold(shape.placed(over))[::-1]  # edge for edge as `mine`, each run the other way
    if len(mine) < 2:
        raise Fault.of("open-out", f"{what} has one edge beside its fold", where, "Divide that edge in two.")
    side: Side = "right" if shape.drawn_for == "whole" else shape.drawn_for
    other = OTHER[side]
    ends = (mine[0].name, mine[-1].name)
    runs = [_over_fold(_sided(theirs[0], other), _sided(mine[0], side))]
    runs += [replace(_sided(r, side), name=f"{r.name}.{side}") for r in mine[1:-1]]
    runs.append(_over_fold(_sided(mine[-1], side), _sided(theirs[-1], other)))
    runs += [replace(_sided(r, other), name=f"{r.name}.{other}") for r in theirs[-2:0:-1]]

    def named(edge: str, which: Side) -> str:
        return edge if edge in ends else f"{edge}.{which}"

    def darts(of: Shape, which: Side) -> tuple[Dart, ...]:
        return tuple(replace(d, edge=named(d.edge, which), side=which) for d in of.darts)

    def pleats(of: Shape, which: Side) -> tuple[Pleat, ...]:
        return tuple(
            replace(
                p,
                edge=named(p.edge, which),
                foot=named(p.foot, which),
                sewn=tuple(named(e, which) for e in p.sewn),
                side=which,
            )
            for p in of.pleats
        )

    def both(edges: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(dict.fromkeys(named(e, s) for e in edges for s in (side, other)))

    def trueing(t: Trueing) -> tuple[Trueing, ...]:
        if t.edge in ends:
            return (replace(t, before=2 * t.before, after=2 * t.after),)
        return tuple(replace(t, edge=named(t.edge, s)) for s in (side, other))

    twin = shape.placed(over)
    points = [(f"{n}_{other}", z) for n, z in twin.points if abs(over.apply(z) - z) > JOIN_GAP]
    return replace(
        shape,
        runs=tuple(runs),
        drawn_for="whole",
        fold=None,
        darts=(*darts(shape, side), *darts(twin, other)),
        lines_across=tuple(
            line for f in shape.lines_across for line in _both_lines(f, over, shape, side, other)
        ),
        points=(*shape.points, *points),
        facing=shape.facing and replace(shape.facing, edges=both(shape.facing.edges)),
        trueings=tuple(x for t in shape.trueings if t.edge != shape.fold for x in trueing(t)),
        derived=both(tuple(e for e in shape.derived if e != shape.fold)),
        pleats=(*pleats(shape, side), *pleats(twin, other)),
    )


def _from_fold(shape: Shape) -> list[Run]:
    """The edges that follow the fold, round the ring."""
    n = shape.index(shape.fold or "")
    return [*shape.runs[n + 1 :], *shape.runs[:n]]


def _sided(run: Run, side: Side) -> Run:
    """An edge with the marks that hold for its half."""
    return replace(run, marks=tuple(replace(m, side=None) for m in run.marks if m.side in (None, side)))


def _over_fold(before: Run, after: Run) -> Run:
    """The two halves of an edge as one run over the fold, with a snip where it crosses the centre."""
    shift = before.path.length
    marks = (
        *before.marks,
        Mark("centre", "snip", shift),
        *(replace(m, at=m.at + shift) for m in after.marks),
    )
    ups = (
        *before.take_ups,
        *(TakeUp(t.name, t.start + shift, t.end + shift) for t in after.take_ups),
    )
    return replace(before, path=before.path.joined(after.path), marks=marks, take_ups=ups)


def _both_lines(
    line: FoldLine, over: Placement, shape: Shape, side: Side, other: Side
) -> tuple[FoldLine, ...]:
    """A line across on both halves: one line where it meets the fold, the line alone where it lies on it."""
    back = line.path.placed(over).reversed()
    fold = shape.run(shape.fold or "").path
    middle = line.path.point(line.path.length / 2)
    start, end, within = (
        abs(fold.point(fold.nearest(z)) - z) < 0.5 for z in (line.path.start, line.path.end, middle)
    )
    if start and end and within:
        return (line,)
    if start:
        return (replace(line, path=back.joined(line.path)),)
    if end:
        return (replace(line, path=line.path.joined(back)),)
    return (
        replace(line, name=f"{line.name}_{side}"),
        replace(line, name=f"{line.name}_{other}", path=back.reversed()),
    )


def ask_open_out(asked: Asked, shape: Shape) -> Shape:
    """`open out: true`: the half piece as a whole one."""
    return opened_out(shape, asked.where, asked.key) if asked.spec is not False else shape
