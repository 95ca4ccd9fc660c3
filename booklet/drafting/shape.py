"""A piece while it is being shaped: named edges in a ring, and what is drawn on it. Every verb returns a new Shape."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from booklet.drafting.table import Table
from booklet.model import BindingOf, Dart, FacingOf, FoldLine, Mark, Pleat, Side, TakeUp, Trueing
from booklet.paths import Path, Placement, area
from booklet.problems import Fault, Where

JOIN_GAP = 0.05  # mm: lines of an outline must meet within this


@dataclass(frozen=True)
class Run:
    """One edge of a shape; `lines` are the construction lines it was made of."""

    name: str
    path: Path
    marks: tuple[Mark, ...] = ()
    take_ups: tuple[TakeUp, ...] = ()
    lines: tuple[tuple[str, str], ...] = ()

    @property
    def sewn(self) -> float:
        return self.path.length - sum(t.end - t.start for t in self.take_ups)


@dataclass(frozen=True)
class Shape:
    """Edges clockwise as seen (y down). `levels` are heights (y) by name."""

    runs: tuple[Run, ...]
    drawn_for: Side
    fold: str | None = None
    grain: tuple[complex, complex] | None = None
    darts: tuple[Dart, ...] = ()
    lines_across: tuple[FoldLine, ...] = ()
    levels: tuple[tuple[str, float], ...] = ()
    points: tuple[tuple[str, complex], ...] = ()
    facing: FacingOf | None = None
    binding: BindingOf | None = None
    trueings: tuple[Trueing, ...] = ()
    derived: tuple[str, ...] = ()
    pleats: tuple[Pleat, ...] = ()

    def index(self, name: str) -> int:
        for n, run in enumerate(self.runs):
            if run.name == name:
                return n
        raise KeyError(name)

    def run(self, name: str) -> Run:
        return self.runs[self.index(name)]

    def has(self, name: str) -> bool:
        return any(r.name == name for r in self.runs)

    def with_run(self, run: Run) -> Shape:
        n = self.index(run.name)
        return replace(self, runs=(*self.runs[:n], run, *self.runs[n + 1 :]))

    def neighbours(self, name: str) -> tuple[Run, Run]:
        """The edges before and after one, round the ring."""
        n = self.index(name)
        return self.runs[n - 1], self.runs[(n + 1) % len(self.runs)]

    def placed(self, placing: Placement) -> Shape:
        """The shape moved rigidly; a mirroring placing keeps the ring clockwise by running it the other way."""
        flip = placing.mirrored

        def run_of(r: Run) -> Run:
            path = r.path.placed(placing)
            if not flip:
                return replace(r, path=path)
            size = r.path.length
            marks = tuple(replace(m, at=size - m.at) for m in reversed(r.marks))
            ups = tuple(replace(t, start=size - t.end, end=size - t.start) for t in reversed(r.take_ups))
            return replace(r, path=path.reversed(), marks=marks, take_ups=ups)

        runs = tuple(run_of(r) for r in self.runs)
        if flip:
            runs = tuple(reversed(runs))
        return replace(
            self,
            runs=runs,
            grain=None
            if self.grain is None
            else (placing.apply(self.grain[0]), placing.apply(self.grain[1])),
            darts=tuple(place_dart(d, placing) for d in self.darts),
            lines_across=tuple(replace(f, path=f.path.placed(placing)) for f in self.lines_across),
            levels=tuple((n, placing.apply(1j * y).imag) for n, y in self.levels),
            points=tuple((n, placing.apply(z)) for n, z in self.points),
            pleats=tuple(place_pleat(p, placing, placing.mirrored) for p in self.pleats),
        )


def place_pleat(pleat: Pleat, placing: Placement, turned: bool) -> Pleat:
    """A pleat moved; `turned` where its edge now runs the other way."""
    moves = tuple((a.placed(placing), b.placed(placing)) for a, b in pleat.moves)
    return replace(pleat, moves=moves, press_first=pleat.press_first != turned)


def place_dart(dart: Dart, placing: Placement) -> Dart:
    first, second = placing.apply(dart.first), placing.apply(dart.second)
    if placing.mirrored:
        first, second = second, first
    return replace(
        dart, first=first, second=second, point=placing.apply(dart.point),
        press_first=dart.press_first != placing.mirrored,
    )  # fmt: skip


# ---------------------------------------------------------------- outlines from lines


def outline_entries(raw: list[Any]) -> list[tuple[str, list[str]]]:
    """(edge name, its lines) for each entry of an outline: a line's name, or {edge: line} / {edge: [lines]}."""
    out = []
    for entry in raw:
        if isinstance(entry, Mapping):
            name, lines = next(iter(entry.items()))
            out.append((str(name), [str(x) for x in (lines if isinstance(lines, list) else [lines])]))
        else:
            out.append((str(entry).split(".")[-1], [str(entry)]))
    return out


def shape_from_outline(table: Table, key: str, raw: Mapping[str, Any], drawn_for: Side) -> Shape:
    """The ring of lines named by `outline:`, each turned so that it begins where the last one ended."""
    where = table.where("pieces", key, "outline")
    entries = outline_entries(raw["outline"])
    flat: list[tuple[str, str, Path]] = []
    for name, lines in entries:
        for line in lines:
            parts = line.split(".")
            if len(parts) != 2:
                raise Fault.of(
                    "name", f"'{line}' in the outline of {key} is not a line such as back.neckline", where
                )
            flat.append((name, line, table.line(parts[0], parts[1], where)))
    names = [name for name, _ in entries]
    for name in names:
        if names.count(name) > 1:
            raise Fault.of(
                "twice", f"the outline of {key} has two edges called '{name}'", where,
                "Name one of them otherwise, as {name: line}.",
            )  # fmt: skip
    ring = _chain(flat, key, where)
    runs: list[Run] = []
    for name, line, path in ring:
        group, short = line.split(".")
        if runs and runs[-1].name == name:
            last = runs[-1]
            runs[-1] = replace(last, path=last.path.joined(path), lines=(*last.lines, (group, short)))
        else:
            runs.append(Run(name, path, lines=((group, short),)))
    return clockwise(Shape(tuple(runs), drawn_for))


def _chain(flat: list[tuple[str, str, Path]], key: str, where: Where) -> list[tuple[str, str, Path]]:
    if len(flat) < 2:
        raise Fault.of("open-outline", f"the outline of {key} has fewer than two lines", where)
    first, second = flat[0][2], flat[1][2]
    ends = (second.start, second.end)
    turned = min(abs(first.end - e) for e in ends) > min(abs(first.start - e) for e in ends) + 1e-9
    out = [(flat[0][0], flat[0][1], first.reversed() if turned else first)]
    for name, line, path in flat[1:]:
        at = out[-1][2].end
        nearer = path.reversed() if abs(path.end - at) < abs(path.start - at) else path
        gap = abs(nearer.start - at)
        if gap > JOIN_GAP:
            raise Fault.of(
                "open-outline",
                f"in the outline of {key}, {line} begins {gap:.1f} mm from where {out[-1][1]} ends",
                where,
                "Let the two lines share a point, and name the lines in order round the piece.",
            )
        out.append((name, line, nearer))
    gap = abs(out[-1][2].end - out[0][2].start)
    if gap > JOIN_GAP:
        raise Fault.of(
            "open-outline",
            f"the outline of {key} does not close: {out[-1][1]} ends {gap:.1f} mm from where {out[0][1]} begins",
            where,
            "Add the missing line, or let the two share a point.",
        )
    return out


def snapped(runs: Sequence[Run]) -> tuple[Run, ...]:
    """The ring with ends that differ by rounding made one point, so that it closes exactly."""
    out = list(runs)
    for n, run in enumerate(out):
        start = out[(n + 1) % len(out)].path.start
        if 0 < abs(start - run.path.end) <= JOIN_GAP:
            segments = list(run.path.segments)
            segments[-1] = (*segments[-1][:-1], start)
            out[n] = replace(run, path=Path(tuple(segments)))
    return tuple(out)


def clockwise(shape: Shape) -> Shape:
    path = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))
    if area(path.flatten(0.5)) > 0:
        return shape

    def turn(r: Run) -> Run:
        size = r.path.length
        marks = tuple(replace(m, at=size - m.at) for m in reversed(r.marks))
        return replace(r, path=r.path.reversed(), marks=marks)

    return replace(shape, runs=tuple(turn(r) for r in reversed(shape.runs)))


def rectangle(table: Table, key: str, raw: Mapping[str, Any], drawn_for: Side) -> Shape:
    """`rectangle: {long, wide}`, long across, wide down; `edges:` names top, right, foot, left."""
    spec = raw["rectangle"]
    long = table.amount(spec["long"], "pieces", key, "rectangle", "long")
    wide = table.amount(spec["wide"], "pieces", key, "rectangle", "wide")
    where = table.where("pieces", key, "rectangle")
    for name, size in (("long", long), ("wide", wide)):
        if not size > 0.5:
            raise Fault.of(
                "no-size",
                f"{key} comes out {size:.1f} mm {name}",
                where,
                "A rectangle needs a length and a width.",
            )
    names = [str(n) for n in raw.get("edges", ["top", "right", "foot", "left"])]
    if len(set(names)) != 4:
        raise Fault.of(
            "edges", f"{key} needs four different names for its edges: top, right, foot, left", where
        )
    corners = [0j, complex(long), complex(long, wide), complex(0, wide)]
    runs = tuple(Run(n, Path.line(corners[k], corners[(k + 1) % 4])) for k, n in enumerate(names))
    return Shape(runs, drawn_for, grain=(complex(long * 0.3, wide / 2), complex(long * 0.7, wide / 2)))
