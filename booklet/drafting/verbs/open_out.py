"""Open out: a half piece with a fold becomes the whole one, so that it may be shaped unlike on its two sides."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.copies import OTHER
from booklet.drafting.meeting import fold_between, with_fold
from booklet.drafting.shape import JOIN_GAP, Run, Shape
from booklet.model import Dart, FoldLine, Mark, Pleat, Side, TakeUp, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where


def opened_out(shape: Shape, where: Where, what: str = "the piece", twin: Shape | None = None) -> Shape:
    """The whole ring: edges that meet the fold run on over it, the others are there twice, as .left and .right.

    The drawn half stays where it is. `twin` is the same half as drawn for the wearer's other side, where that differs.
    Raises Fault where the shape has no fold.
    """
    if shape.fold is None:
        raise Fault.of("no-fold", f"{what} has no fold to be opened at", where,
                       "Name its edge on the fold with `fold:`, or leave `open out` away.")  # fmt: skip
    shape, twin = (shape, shape) if twin is None else _on_one_fold(shape, twin, where, what)
    line = shape.run(shape.fold or "").path
    over = Placement.mirror(line.start, line.end - line.start)
    mine = _from_fold(shape)
    twin = twin.placed(over)
    theirs = _from_fold(twin)[::-1]  # edge for edge as `mine`, each run the other way
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

    points = [(f"{n}_{other}", z) for n, z in twin.points if abs(over.apply(z) - z) > JOIN_GAP]
    return replace(
        shape,
        runs=tuple(runs),
        drawn_for="whole",
        fold=None,
        darts=(*darts(shape, side), *darts(twin, other)),
        lines_across=tuple(
            f
            for one, two in zip(shape.lines_across, twin.lines_across, strict=True)
            for f in _both_lines(one, two, line, side, other)
        ),
        points=(*shape.points, *points),
        facing=shape.facing and replace(shape.facing, edges=both(shape.facing.edges)),
        trueings=_both_trueings(shape, twin, ends, (side, other)),
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
    line: FoldLine, other_line: FoldLine, fold: Path, side: Side, other: Side
) -> tuple[FoldLine, ...]:
    """A line across on both halves: one line where it meets itself on the fold, the line alone where it lies on it."""
    back = other_line.path.reversed()
    middle = line.path.point(line.path.length / 2)
    start, end, within = (
        abs(fold.point(fold.nearest(z)) - z) < 0.5 for z in (line.path.start, line.path.end, middle)
    )
    if start and end and within:
        return (line,)
    if start and abs(back.end - line.path.start) < 0.5:
        return (replace(line, path=back.joined(line.path)),)
    if end and abs(back.start - line.path.end) < 0.5:
        return (replace(line, path=line.path.joined(back)),)
    return (
        replace(line, name=f"{line.name}_{side}"),
        replace(line, name=f"{line.name}_{other}", path=other_line.path),
    )


def _both_trueings(
    shape: Shape, twin: Shape, ends: tuple[str, str], sides: tuple[Side, Side]
) -> tuple[Trueing, ...]:
    """What trueing changed on both halves; of an edge that runs over the fold, on the two together."""
    out: list[Trueing] = []
    halves = [[t for t in s.trueings if t.edge != s.fold] for s in (shape, twin)]
    alike = [(t.edge, t.what) for t in halves[0]] == [(t.edge, t.what) for t in halves[1]]
    for side, half in zip(sides, halves, strict=True):
        for n, t in enumerate(half):
            if t.edge not in ends:
                out.append(replace(t, edge=f"{t.edge}.{side}"))
            elif not alike:
                out.append(t)
            elif side == sides[0]:
                u = halves[1][n]
                out.append(replace(t, before=t.before + u.before, after=t.after + u.after))
    return tuple(out)


def _on_one_fold(shape: Shape, twin: Shape, where: Where, what: str) -> tuple[Shape, Shape]:
    """Both halves with their fold between the same two points."""
    fold = shape.fold or ""
    ends = fold_between(shape.run(fold).path, twin.run(fold).path, fold, what, where)
    out = []
    for half in (shape, twin):
        runs, darts, pleats, told = with_fold(half.runs, fold, half.darts, half.pleats, *ends)
        out.append(replace(half, runs=runs, darts=darts, pleats=pleats, trueings=(*half.trueings, *told)))
    return out[0], out[1]


def ask_open_out(asked: Asked, shape: Shape) -> Shape:
    """`open out: true`: the half piece as a whole one. Of a body whose sides differ, each half is its own side's."""
    if asked.spec is False:
        return shape
    twin = None
    if asked.maker.sides and shape.fold is not None:
        side: Side = "right" if shape.drawn_for == "whole" else shape.drawn_for
        step = int(asked.path[3])  # pieces, the piece, do, its place there
        shape, twin = (asked.maker.sides[s].shaped_until(asked.key, step) for s in (side, OTHER[side]))
    return opened_out(shape, asked.where, asked.key, twin)
