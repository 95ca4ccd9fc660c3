"""Extend: an edge moved out parallel by a width and its neighbours prolonged: a stand, a grown-on facing, a hem."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.stretches import is_simple
from booklet.model import FoldLine
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

CORNER = math.radians(10)  # an edge that turns by more has a corner
STEEP = 6.0  # times the width: how far a neighbour may be prolonged until it meets the moved edge
TOUCH = 0.5  # mm: a line across that ends this near to the edge ends on it


def extended(
    shape: Shape,
    edge: str,
    by: float,
    mirrored: bool,
    fold_as: str | None,
    where: Where,
    what: str = "the piece",
) -> Shape:
    """The shape with one edge moved out by `by` mm. `fold_as` keeps the old edge as a line across of that name.

    Its neighbours run straight on, or, `mirrored`, as their own mirror image in the old edge: then what is grown on lies
    on the piece when it is folded there. Marks stay opposite their old places. Raises Fault where a neighbour does not
    meet the moved edge, or a dart or pleat is in the way.
    """  # fmt: skip
    run = shape.run(edge)
    before, after = shape.neighbours(edge)
    if run.take_ups:
        raise Fault.of("extend-dart", f"{what}.{edge} has {run.take_ups[0].name} on it", where,
                       "Extend it first, and draw the dart or pleat in a later state of the piece.")  # fmt: skip
    if before.name == after.name:
        raise Fault.of(
            "extend", f"{edge} of {what} has one neighbour at both ends", where, "Divide that edge in two."
        )
    if fold_as is not None and any(f.name == fold_as for f in shape.lines_across):
        raise Fault.of(
            "twice", f"{what} already has a line '{fold_as}'", where, "Give the fold another name."
        )
    outer = moved_out(run.path, by, f"{edge} of {what}", where)
    flip = (mirrored and before.name != shape.fold, mirrored and after.name != shape.fold)
    on = prolonged(before, run.path, outer, by, True, flip[0], what, where)
    back = prolonged(after, run.path, outer, by, False, flip[1], what, where)
    long = outer_line(outer, by)
    s0, s1 = long.nearest(on.end), long.nearest(back.start)
    if s1 - s0 < 1:
        raise Fault.of("extend", f"{by:.0f} mm beyond {edge}, the two sides of {what} have met", where,
                       "Take a smaller width.")  # fmt: skip
    new = long.part(s0, s1)
    new = _ending(new, on.end, back.start)
    runs = []
    for r in shape.runs:
        if r.name == edge:
            runs.append(carried_out(r, new, by))
        elif r.name == before.name:
            runs.append(replace(r, path=straightened(r.path, on)))
        elif r.name == after.name:
            runs.append(shifted(r, straightened(back, r.path), back.length))
        else:
            runs.append(r)
    ring = snapped(runs)
    if not is_simple([r.path for r in ring]):
        raise Fault.of("extend", f"with {by:.0f} mm beyond {edge}, {what} would lie over itself", where,
                       "Take a smaller width.")  # fmt: skip
    lines = [_prolonged_line(f, run.path, new, by) for f in shape.lines_across]
    if fold_as is not None:
        lines.append(FoldLine(fold_as, run.path))
    return replace(shape, runs=ring, lines_across=tuple(lines))


def moved_out(path: Path, by: float, what: str, where: Where) -> Path:
    """The line `by` mm to the left of its way: outwards of a clockwise ring. Curves to 0.02 mm."""
    if all(len(s) == 2 for s in path.segments) and abs(abs(path.end - path.start) - path.length) < 1e-6:
        return path.placed(Placement.move(path.start_tangent * -1j * by))
    for a, b in zip(path.segments, path.segments[1:], strict=False):
        if abs(cmath.phase(Path((b,)).start_tangent / Path((a,)).end_tangent)) > CORNER:
            raise Fault.of("extend", f"{what} has a corner", where,
                           "Divide it there into two edges, and extend one of them.")  # fmt: skip

    def off(s: float) -> complex:
        return path.point(s) + path.normal(s) * by

    drawn = Path.line(off(0.0), off(path.length))
    for count in (4, 8, 16, 32, 64):
        stops = [path.length * k / count for k in range(count + 1)]
        points = [off(s) for s in stops]
        ways = [path.tangent(s) for s in stops]
        if any(
            ((b - a) * w.conjugate()).real <= 0 for a, b, w in zip(points, points[1:], ways, strict=False)
        ):
            raise Fault.of("extend", f"{what} bends more tightly than {by:.0f} mm", where,
                           "Take a smaller width, or a rounder edge.")  # fmt: skip
        drawn = smooth_curve(points, path.start_tangent, path.end_tangent)
        checks = [off((a + b) / 2) for a, b in zip(stops, stops[1:], strict=False)]
        if max(abs(drawn.point(drawn.nearest(z)) - z) for z in checks) < 0.02:
            break
    return drawn


def outer_line(outer: Path, by: float) -> Path:
    """A moved-out edge run on straight at both ends, as far as its neighbours may need it."""
    reach = STEEP * by
    start, end = outer.start_tangent * reach, outer.end_tangent * reach
    return Path.line(outer.start - start, outer.start).joined(outer, Path.line(outer.end, outer.end + end))


def prolonged(
    side: Run, edge: Path, outer: Path, by: float, before: bool, mirrored: bool, what: str, where: Where
) -> Path:
    """What is grown on to a neighbour, in the ring's way: from the corner out to the moved edge, or from there back."""
    corner = edge.start if before else edge.end
    way = side.path.end_tangent if before else -side.path.start_tangent
    if mirrored:
        axis = edge.start_tangent if before else edge.end_tangent
        image = side.path.placed(Placement.mirror(corner, axis))
        ray = image.reversed() if before else image
    else:
        ray = Path.line(corner, corner + way * STEEP * by)
    met = [s for s, _ in ray.crossings(outer_line(outer, by)) if s > 1e-6]
    if not met:
        words = "its mirror image" if mirrored else "run straight on, it"
        raise Fault.of(
            "extend", f"{side.name} of {what} does not meet the edge moved out by {by:.0f} mm: {words} misses it", where,
            "Take a smaller width." if mirrored else "Write `ends: mirrored`, or bring the two to a corner.",
        )  # fmt: skip
    out = ray.part(0, met[0])
    if mirrored and any(
        (t.end > side.path.length - out.length if before else t.start < out.length) for t in side.take_ups
    ):
        raise Fault.of("extend-dart", f"a dart or pleat on {side.name} of {what} lies where it is to be mirrored", where,
                       "Take a smaller width, or draw the dart in a later state of the piece.")  # fmt: skip
    return out if before else out.reversed()


def straightened(first: Path, second: Path) -> Path:
    """Two lines joined; where the one runs straight on into the other, as one straight line."""
    a, b = first.segments[-1], second.segments[0]
    if len(a) == len(b) == 2 and abs(cmath.phase((b[1] - b[0]) / (a[1] - a[0]))) < 1e-9:
        return Path((*first.segments[:-1], (a[0], b[1]), *second.segments[1:]))
    return first.joined(second)


def shifted(run: Run, path: Path, by: float) -> Run:
    """An edge with a line that begins `by` mm before its old start."""
    marks = tuple(replace(m, at=m.at + by) for m in run.marks)
    ups = tuple(replace(t, start=t.start + by, end=t.end + by) for t in run.take_ups)
    return replace(run, path=path, marks=marks, take_ups=ups)


def carried_out(run: Run, new: Path, by: float) -> Run:
    """An edge on its moved line, every mark square out from its old place."""
    old = run.path
    marks = [replace(m, at=new.nearest(old.point(m.at) + old.normal(m.at) * by)) for m in run.marks]
    return replace(run, path=new, marks=tuple(sorted(marks, key=lambda m: m.at)))


def _ending(path: Path, start: complex, end: complex) -> Path:
    segments = [list(s) for s in path.segments]
    segments[0][0], segments[-1][-1] = start, end
    return Path(tuple(tuple(s) for s in segments))


def _prolonged_line(line: FoldLine, old: Path, new: Path, by: float) -> FoldLine:
    """A line across that ended on the old edge, run straight on to the new one."""
    path = line.path
    for at_end in (True, False):
        z = path.end if at_end else path.start
        if abs(old.point(old.nearest(z)) - z) > TOUCH:
            continue
        way = path.end_tangent if at_end else -path.start_tangent
        met = Path.line(z, z + way * STEEP * by).crossings(new)
        if met:
            tail = Path.line(z, met[0][1])
            path = straightened(path, tail) if at_end else straightened(tail.reversed(), path)
    return replace(line, path=path)


def ask_extend(asked: Asked, shape: Shape) -> Shape:
    """`extend: {edge, by, ends: straight or mirrored, fold as: NAME}`."""
    run = asked.run(shape, asked.words("edge"))
    by = asked.amount("by")
    if by < 0:
        raise asked.fault("extend", f"{asked.key}.{run.name} is to be moved out by {by:.1f} mm",
                          "A piece is made smaller with `cut along`.")  # fmt: skip
    if by == 0:
        return shape
    fold_as = asked.words("fold as") or None
    return extended(shape, run.name, by, asked.words("ends") == "mirrored", fold_as, asked.where, asked.key)
