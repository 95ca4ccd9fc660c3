"""A piece cut from its outline to one point and turned about it: what closes in one place opens in another.

Every cut runs from a place on the outline straight to the pivot, so the piece falls into parts that touch in the pivot
alone. Each part turns rigidly about it. The angles that close and those that open add up to nothing, so the piece lies flat.
"""

from __future__ import annotations

import cmath
from dataclasses import dataclass, replace
from functools import cached_property

import shapely

from booklet.drafting.darts import pivot_name, shaped_ends
from booklet.drafting.shape import Run, Shape, place_dart, place_pleat, snapped
from booklet.drafting.stretches import BENT, cloth, cut_up, level_within, off, region
from booklet.drafting.strips import bridged
from booklet.model import Dart, FoldLine, TakeUp
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where

LEAST = 5.0  # mm of its edge on both sides of a cut
TOUCH = 0.5  # mm: a cut may touch lines this near to its own ends
CLOSED = 1e-9  # radians


@dataclass(frozen=True)
class NewDart:
    """The dart that stands at a cut afterwards; its point lies `short` mm before the pivot."""

    name: str
    press_first: bool
    words: str
    short: float = 0.0


@dataclass(frozen=True)
class Cut:
    """From `start` mm along an edge (a dart's first leg; its second at `end`) to the pivot.

    Its legs are `was` radians apart and come to be `now`. `old` is the dart that was there. Without a new dart the gap is
    bridged straight.
    """

    edge: str
    start: float
    end: float
    was: float
    now: float
    old: str = ""
    new: NewDart | None = None


@dataclass(frozen=True)
class Turning:
    """A shape, its pivot and its cuts, clockwise. Part k lies after cut k and turns by `turns[k]` radians."""

    shape: Shape
    pivot: complex
    cuts: tuple[Cut, ...]
    turns: tuple[float, ...] = ()

    def part_at(self, edge: str, at: float) -> int:
        """The part that a place on the outline lies on."""
        here = (self.shape.index(edge), at)
        before = sum(1 for c in self.cuts if (self.shape.index(c.edge), c.end) <= here)
        return (before - 1) % len(self.cuts)

    def placing(self, part: int) -> Placement:
        if self.turns[part] == 0.0:
            return Placement.IDENTITY
        return Placement.rotation(self.turns[part], self.pivot)

    @cached_property
    def regions(self) -> tuple[shapely.Polygon, ...]:
        """The cloth of each part."""
        out = []
        for n, cut in enumerate(self.cuts):
            nxt = self.cuts[(n + 1) % len(self.cuts)]
            i, j = self.shape.index(cut.edge), self.shape.index(nxt.edge)
            runs = self.shape.runs
            if i == j and cut.end < nxt.start:
                lines = [runs[i].path.part(cut.end, nxt.start)]
            else:
                count = (j - i) % len(runs) or len(runs)
                inner = [runs[(i + k) % len(runs)].path for k in range(1, count)]
                lines = [
                    runs[i].path.part(cut.end, runs[i].path.length),
                    *inner,
                    runs[j].path.part(0, nxt.start),
                ]
            rays = (Path.line(self.pivot, lines[0].start), *lines, Path.line(lines[-1].end, self.pivot))
            out.append(region(rays))
        return tuple(out)

    def part_of(self, z: complex) -> int:
        """The part that a point lies on, or lies nearest to."""
        return min(range(len(self.cuts)), key=lambda k: off(self.regions[k], z))

    def stays(self, z: complex) -> bool:
        """Whether a point lies on cloth that is not turned; none between the legs of a dart does."""
        part = self.part_of(z)
        return self.turns[part] == 0.0 and off(self.regions[part], z) < 0.2

    @cached_property
    def legs(self) -> tuple[Path, ...]:
        """The lines of the cuts, as they lie before the turning."""
        ends = [
            self.shape.run(c.edge).path.point(s) for c in self.cuts for s in dict.fromkeys((c.start, c.end))
        ]
        return tuple(Path.line(z, self.pivot) for z in ends)

    # ------------------------------------------------ what is turned

    def run(self, run: Run) -> tuple[Run, list[Dart]]:
        """An edge with its parts turned, and the new darts on it. Their mouths are straight still."""
        here = [c for c in self.cuts if c.edge == run.name]
        if not here:
            placing = self.placing(self.part_at(run.name, 0.0))
            return replace(run, path=run.path.placed(placing)), []
        pieces: list[Path] = []
        grown: list[tuple[float, float]] = []
        ups: list[TakeUp] = []
        darts: list[Dart] = []
        at, length = 0.0, 0.0
        for cut in here:
            before = self.placing(self.part_at(run.name, cut.start - 1e-6))
            after = self.placing(self.part_at(run.name, cut.end + 1e-6))
            pieces.append(run.path.part(at, cut.start).placed(before))
            first, second = pieces[-1].end, after.apply(run.path.point(cut.end))
            length += cut.start - at
            gap = abs(second - first) if cut.now > CLOSED else 0.0
            if gap > 0:
                pieces.append(Path.line(first, second))
            if cut.new is not None:
                ups.append(TakeUp(cut.new.name, length, length + gap))
                darts.append(self._dart(cut.new, run.name, first, second))
            length += gap
            grown.append((cut.end, gap - (cut.end - cut.start)))
            at = cut.end
        last = self.placing(self.part_at(run.name, here[-1].end + 1e-6))
        pieces.append(run.path.part(at, run.path.length).placed(last))

        def moved(s: float) -> float:
            s = next(
                (c.start for c in here if c.start < s < c.end), s
            )  # what lay in a mouth lies at its first leg
            return s + sum(by for end, by in grown if s > end + 1e-9 or (s == end and by < 0))

        gone = {c.old for c in here}
        kept = [
            replace(t, start=moved(t.start), end=moved(t.end)) for t in run.take_ups if t.name not in gone
        ]
        marks = tuple(replace(m, at=moved(m.at)) for m in run.marks)
        all_ups = tuple(sorted([*kept, *ups], key=lambda t: t.start))
        return replace(run, path=bridged(pieces), marks=marks, take_ups=all_ups), darts

    def _dart(self, new: NewDart, edge: str, first: complex, second: complex) -> Dart:
        axis = (first + second) / 2 - self.pivot
        point = self.pivot + axis / abs(axis) * new.short
        return Dart(new.name, edge, first, point, second, abs(second - first), new.press_first, new.words)

    def line_across(self, line: FoldLine) -> FoldLine | None:
        """A line drawn across the piece, cut where the piece is and its stretches turned; gaps are bridged straight.

        A bent level that ran out through the mouth of a dart now runs out along its leg, as on the sewn dart.
        """
        level = line.name.startswith(BENT)
        parts = []
        for part in cut_up(line.path, self.legs):
            middle = part.point(part.length / 2)
            k = self.part_of(middle)
            ends = abs(part.start - line.path.start) < TOUCH, abs(part.end - line.path.end) < TOUCH
            if off(self.regions[k], middle) < 0.2:
                parts.append(part.placed(self.placing(k)))
            elif level and ends[0] != ends[1]:
                parts += self._out_along(part.start if ends[1] else part.end, ends[1])
        return replace(line, path=bridged(parts)) if parts else None

    def _out_along(self, z: complex, forth: bool) -> list[Path]:
        """A dart's leg from a place on it out to the edge, turned with the cloth beside it; the other way if not `forth`."""
        leg = min(self.legs, key=lambda p: abs(p.point(p.nearest(z)) - z))
        at = leg.nearest(z)
        if at < 1e-3:
            return []
        away = leg.part(0, at)
        out = away.placed(self.placing(self.part_of(away.point(away.length / 2))))
        return [out.reversed() if forth else out]

    def levels(self) -> tuple[tuple[tuple[str, float], ...], list[FoldLine]]:
        """The levels that stay straight, and the others as lines, stretch for stretch, before the turning."""
        shape = self.shape
        outline = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))
        straight: list[tuple[str, float]] = []
        bent: list[FoldLine] = []
        for name, y in shape.levels:
            lines = [Path.line(complex(a, y), complex(b, y)) for a, b in level_within(outline, y)]
            middles = [p.point(p.length / 2) for line in lines for p in cut_up(line, self.legs)]
            if all(self.stays(z) for z in middles):
                straight.append((name, y))
            else:
                bent += [FoldLine(f"{BENT}{name}:{n}", line) for n, line in enumerate(lines)]
        return tuple(straight), bent


def turned(shape: Shape, pivot: complex, cuts: list[Cut], what: str, where: Where) -> Shape:
    """The shape with its cuts closed and opened about the pivot. The part with the fold stays, else that with the grain,
    else the largest.

    Edges keep their sewn length, those without a cut their shape too; marks, lines and points stay on their cloth.
    Raises Fault where a cut leaves the cloth or runs into a fold line, a dart or a pleat, or cloth would overlap.
    """
    order = sorted(cuts, key=lambda c: (shape.index(c.edge), c.start))
    plain = Turning(shape, pivot, tuple(order))
    _check(plain, what, where)
    turns = [0.0]
    for cut in order[1:]:
        turns.append(turns[-1] + cut.now - cut.was)
    still = _still(plain)
    turning = replace(
        plain, turns=tuple(t - turns[still] if n != still else 0.0 for n, t in enumerate(turns))
    )
    made = [turning.run(r) for r in shape.runs]
    gone = {c.old for c in order}
    kept = [
        place_dart(
            d, turning.placing(turning.part_at(d.edge, next(t.start for t in ups if t.name == d.name)))
        )
        for d in shape.darts
        if d.name not in gone and (ups := shape.run(d.edge).take_ups)
    ]
    darts = (*kept, *(d for _, new in made for d in new))
    names = {c.edge for c in order}
    runs = snapped([shaped_ends(r, darts) if r.name in names else r for r, _ in made])
    if not _is_simple(runs):
        raise Fault.of(
            "dart-overlap", f"turned about the point, {what} would lie over itself", where,
            "Take another place or a smaller angle.",
        )  # fmt: skip
    points = [(n, turning.placing(turning.part_of(z)).apply(z)) for n, z in shape.points]
    points = [(n, z) for n, z in points if n not in {pivot_name(g) for g in gone}]
    points += [(pivot_name(c.new.name), pivot) for c in order if c.new is not None and c.new.short > 0]
    levels, bent = turning.levels()
    lines = [turning.line_across(f) for f in (*shape.lines_across, *bent)]
    return replace(
        shape,
        runs=runs,
        darts=darts,
        pleats=tuple(place_pleat(p, turning.placing(_pleat_part(turning, p.sewn, p.name)), False) for p in shape.pleats),
        lines_across=tuple(f for f in lines if f is not None),
        levels=levels,
        points=tuple(points),
    )  # fmt: skip


def _is_simple(runs: tuple[Run, ...]) -> bool:
    points = [z for run in runs for z in run.path.flatten(0.05)[:-1]]
    return bool(shapely.Polygon([(z.real, z.imag) for z in points]).is_valid)


def _still(turning: Turning) -> int:
    """The part that stays where it is."""
    shape = turning.shape
    if shape.fold is not None:
        return turning.part_at(shape.fold, 0.0)
    if shape.grain is not None:
        return turning.part_of((shape.grain[0] + shape.grain[1]) / 2)
    return max(range(len(turning.cuts)), key=lambda k: (round(turning.regions[k].area, 3), -k))


def _pleat_part(turning: Turning, sewn: tuple[str, ...], name: str) -> int:
    """The part that a pleat lies on; it lies on one alone, or _check would have told."""
    edge = sewn[0]
    return turning.part_at(edge, next(t.start for t in turning.shape.run(edge).take_ups if t.name == name))


def _check(turning: Turning, what: str, where: Where) -> None:
    shape = turning.shape
    for cut in turning.cuts:
        path = shape.run(cut.edge).path
        if cut.edge == shape.fold:
            raise Fault.of("dart-fold", f"{cut.edge} of {what} lies on the fold and cannot be opened", where,
                           "Take another edge.")  # fmt: skip
        if cut.start < LEAST or cut.end > path.length - LEAST:
            raise Fault.of(
                "dart-place", f"the place lies {min(cut.start, path.length - cut.end):.1f} mm from the end of {cut.edge}",
                where, f"Keep {LEAST:.0f} mm from its ends.",
            )  # fmt: skip
        for up in shape.run(cut.edge).take_ups:
            if up.name != cut.old and up.start - 1 < cut.end and cut.start < up.end + 1:
                raise Fault.of("dart-place", f"the place lies in the mouth of {up.name} on {cut.edge}", where,
                               "Take one beside it.")  # fmt: skip
    near = cloth(shape).buffer(TOUCH)
    gone = {c.old for c in turning.cuts}
    lines = [
        (d.name, Path.line(z, d.point))
        for d in shape.darts
        if d.name not in gone
        for z in (d.first, d.second)
    ]
    lines += [(p.name, line) for p in shape.pleats for move in p.moves for line in move]
    for leg in turning.legs:
        ends = shapely.LineString([(z.real, z.imag) for z in (leg.start, leg.end)])
        if not near.covers(ends):
            raise Fault.of(
                "dart-cut", f"the way from {what}'s edge to the point of the dart does not lie on its cloth", where,
                "Take a place from which the point can be reached straight.",
            )  # fmt: skip
        for name, line in lines:
            if any(TOUCH < s < leg.length - TOUCH for s, _ in leg.crossings(line)):
                raise Fault.of("dart-cut", f"the way from {what}'s edge to the point of the dart crosses {name}", where,
                               "Take another place, or move that one first.")  # fmt: skip
    for pleat in shape.pleats:
        parts = {
            turning.part_at(edge, up.start)
            for edge in pleat.sewn
            for up in shape.run(edge).take_ups
            if up.name == pleat.name
        }
        if len(parts) > 1:
            raise Fault.of("dart-pleat", f"the pleat {pleat.name} of {what} would be turned apart", where,
                           "Move the dart first and lay the pleat in a later state of the piece.")  # fmt: skip


def angle_of(dart: Dart, pivot: complex) -> float:
    """The angle of a dart's legs at the point it turns about, radians."""
    return cmath.phase((dart.second - pivot) / (dart.first - pivot))
