"""Lengthen or shorten: cut across square to the grain at a line, moved apart or overlapped, crossed edges drawn true."""

from __future__ import annotations

from dataclasses import replace

import shapely

from booklet.drafting import details
from booklet.drafting.asked import Asked
from booklet.drafting.redrawn import Across, redrawn
from booklet.drafting.shape import Run, Shape, place_dart, snapped
from booklet.drafting.stretches import cloth, is_simple, line_within
from booklet.model import Dart, FoldLine, Pleat, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where, nearest

SQUARE = 0.01  # sine of how far a line may be off square to the grain
HERE = "lengthen_or_shorten_here"
SHORT = (
    3.0  # mm that the new line ends before the edges: it is for the paper, so it gets no snips in the cloth
)
TOUCH = 0.5  # mm: a line across that ends this near to an edge ends on it


def lengthened(
    shape: Shape, across: Across, line: str | None, where: Where, what: str = "the piece"
) -> Shape:
    """The shape cut at `across`, its lower part moved. `line` names the cut where it is to be kept as a line across.

    Edges that are not crossed keep their shape; marks, lines, levels and points stay where they were on the cloth.
    Raises Fault where the cut runs through a dart, or the fold is crossed askew.
    """
    _check_fold(shape, across, where, what)
    runs, told = [], []
    for run in shape.runs:
        new, change = _run(run, across, where, what)
        runs.append(new)
        told += change
    ring = snapped(runs)
    if not is_simple([r.path for r in ring]):
        raise Fault.of(
            "lengthen", f"changed by {across.by:.1f} mm at the line, {what} would lie over itself", where,
            "Shorten by less, or at another line.",
        )  # fmt: skip
    grain = shape.grain
    made = replace(
        shape,
        runs=ring,
        grain=grain and (across.carried(grain[0]), across.carried(grain[1])),
        darts=tuple(_dart(d, across, where, what) for d in shape.darts),
        pleats=tuple(_pleat(p, across, where, what) for p in shape.pleats),
        levels=tuple((n, _level(y, across)) for n, y in shape.levels),
        points=tuple((n, across.carried(z)) for n, z in shape.points),
        trueings=(*shape.trueings, *told),
    )
    lines = [_line_across(f, shape, made, across, where) for f in shape.lines_across]
    if line is not None:
        lines.append(_cut_line(made, across, line, where, what))
    return replace(made, lines_across=tuple(lines))


def _check_fold(shape: Shape, across: Across, where: Where, what: str) -> None:
    if shape.fold is None:
        return
    fold = shape.run(shape.fold).path
    if across.below(fold.start) != across.below(fold.end):
        slant = abs((fold.start_tangent * across.down.conjugate()).imag)
        if slant > SQUARE:
            raise Fault.of(
                "lengthen-fold", f"{shape.fold} of {what} lies on the fold askew to the grain, so that its halves "
                "would not meet", where, "Open the piece out first.",
            )  # fmt: skip


def _run(run: Run, across: Across, where: Where, what: str) -> tuple[Run, list[Trueing]]:
    path = run.path
    busy = [(t.start, t.end) for t in run.take_ups]
    new = redrawn(path, across, busy, f"{what}.{run.name}", where)
    if new is None:
        below = across.below(path.point(path.length / 2))
        return (replace(run, path=path.placed(Placement.move(across.move))) if below else run), []
    marks = sorted((replace(m, at=new.at(m.at)) for m in run.marks), key=lambda m: m.at)
    ups = tuple(replace(t, start=new.at(t.start), end=new.at(t.end)) for t in run.take_ups)
    made = replace(run, path=new.path, marks=tuple(marks), take_ups=ups)
    times = sum(1 for s in new.sections if s.fresh)
    words = "drawn true after lengthening" if across.by >= 0 else "drawn true after shortening"
    return made, [Trueing(run.name, words, path.length + times * across.by, made.path.length)]


def _dart(dart: Dart, across: Across, where: Where, what: str) -> Dart:
    sides = [across.below(z) for z in (dart.first, dart.point, dart.second)]
    if not any(sides):
        return dart
    if not all(sides):
        raise Fault.of("lengthen-dart", f"the cut runs through the dart {dart.name} of {what}", where,
                       "Take a line beyond its point, or draw the dart in a later state of the piece.")  # fmt: skip
    return place_dart(dart, Placement.move(across.move))


def _pleat(pleat: Pleat, across: Across, where: Where, what: str) -> Pleat:
    def through(path: Path) -> Path:
        return _carried(path, across, f"the pleat {pleat.name} of {what}", where)

    return replace(pleat, moves=tuple((through(a), through(b)) for a, b in pleat.moves))


def _carried(path: Path, across: Across, what: str, where: Where) -> Path:
    new = redrawn(path, across, (), what, where)
    if new is not None:
        return new.path
    below = across.below(path.point(path.length / 2))
    return path.placed(Placement.move(across.move)) if below else path


def _level(y: float, across: Across) -> float:
    low = (y - across.at.imag) * across.down.imag > 1e-6
    return y + across.move.imag if low else y


def _line_across(line: FoldLine, old: Shape, made: Shape, across: Across, where: Where) -> FoldLine:
    """A line across, carried with its cloth. Ends that lay on an edge are brought to where that edge now runs."""
    path = _carried(line.path, across, f"the line {line.name}", where)
    ends = [_on_edge(old, z) for z in (line.path.start, line.path.end)]
    if not any(ends) or path.length < 1:
        return replace(line, path=path)
    if ends[0]:
        path = Path.line(path.start - path.start_tangent * 50, path.start).joined(path)
    if ends[1]:
        path = path.joined(Path.line(path.end, path.end + path.end_tangent * 50))
    ring = [r.path for r in made.runs]
    cut = line_within(replace(line, path=path), cloth(made), ring)
    return cut or replace(line, path=_carried(line.path, across, line.name, where))


def _on_edge(shape: Shape, z: complex) -> bool:
    return any(abs(r.path.point(r.path.nearest(z)) - z) < TOUCH for r in shape.runs)


def _cut_line(made: Shape, across: Across, name: str, where: Where, what: str) -> FoldLine:
    x0, y0, x1, y1 = cloth(made).bounds
    far = abs(complex(x1 - x0, y1 - y0)) + abs(across.at - complex(x0, y0))
    found = line_within(FoldLine(name, across.line(far)), cloth(made), [r.path for r in made.runs])
    if found is None:
        raise Fault.of(
            "lengthen-misses", f"the line does not cross {what}", where, "Take one that runs across it."
        )
    return replace(found, path=_clear(found.path, made))


def _clear(path: Path, made: Shape) -> Path:
    """The line with each end drawn in until it is clear of the edges; an end on the fold stays."""
    ring = shapely.MultiLineString([[(z.real, z.imag) for z in r.path.flatten(0.05)] for r in made.runs])
    fold = None if made.fold is None else made.run(made.fold).path

    def clear(way: Path) -> float:
        if fold is not None and abs(fold.point(fold.nearest(way.start)) - way.start) < TOUCH:
            return 0.0
        for far in (SHORT, 2 * SHORT, 4 * SHORT, 8 * SHORT):
            z = way.point(min(far, way.length / 3))
            if ring.distance(shapely.Point(z.real, z.imag)) > 1:
                break
        return min(far, way.length / 3)

    return path.part(clear(path), path.length - clear(path.reversed()))


# ---------------------------------------------------------------- as the file asks for it


def ask_lengthen(asked: Asked, shape: Shape) -> Shape:
    """`lengthen: {at: LINE or level, by, line: NAME}`; `by` below 0 shortens."""
    tail, head = details.grain(asked.maker.asked(asked.key), shape)
    down = (tail - head) / abs(tail - head)
    by = asked.amount("by")
    name = asked.words("at")
    across = Across(_place(asked, shape, name, down, tail), down, by)
    sides = {across.below(z) for r in shape.runs for z in (r.path.start, r.path.point(r.path.length / 2))}
    if len(sides) < 2:
        raise asked.fault(
            "lengthen-misses", f"'{name}' does not cross {asked.key}", "Take a line that runs across it."
        )
    taken = [f.name for f in shape.lines_across]
    line: str | None = asked.words("line", HERE)
    if not asked.has("line"):
        count = sum(1 for n in taken if n.startswith(HERE))
        line = None if name in taken else f"{HERE}_{count + 1}" if count else HERE
    elif line in taken:
        raise asked.fault("twice", f"{asked.key} already has a line '{line}'", "Give this one another name.")
    return lengthened(shape, across, line, asked.where, asked.key)


def _place(asked: Asked, shape: Shape, name: str, down: complex, tail: complex) -> complex:
    """A point of the cut: of a line across or of the construction, which must lie square to the grain, or of a level."""
    drawn = next((f.path for f in shape.lines_across if f.name == name), None)
    group, _, line = name.partition(".")
    if drawn is None and line:
        drawn = asked.table.line(group, line, asked.where)
    if drawn is not None:
        middle = drawn.point(drawn.length / 2)
        way = (drawn.end - drawn.start) / max(abs(drawn.end - drawn.start), 1e-9)
        bow = max(
            abs(((drawn.point(drawn.length * k / 8) - middle) * down.conjugate()).real) for k in range(9)
        )
        if abs((way * down.conjugate()).real) > SQUARE or bow > max(0.5, drawn.length * SQUARE):
            raise asked.fault(
                "lengthen-askew",
                f"'{name}' is not square to the grain of {asked.key}: it is {bow:.1f} mm off at its ends",
                "Draw it straight and square to the grain, or name a level.",
            )
        return middle
    levels = dict(shape.levels)
    if name not in levels:
        known = [f.name for f in shape.lines_across] + list(levels)
        raise asked.fault(
            "unknown-line",
            f"{asked.key} has no line across and no level '{name}'",
            nearest(name, known).strip(),
        )
    if abs(down.imag) < 0.05:
        raise asked.fault(
            "lengthen-askew", f"'{name}' is a level, and the grain of {asked.key} runs level itself",
            "Name a line across that is square to it.",
        )  # fmt: skip
    return tail + down * (levels[name] - tail.imag) / down.imag
