"""Cut along a style line: a piece divided in two, the line made an edge of the same name and length on both parts."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import shapely

from booklet.drafting.asked import Asked
from booklet.drafting.places import edge_of
from booklet.drafting.shape import JOIN_GAP, Run, Shape, snapped
from booklet.drafting.stretches import Spot, between, cloth, line_within, off, place, region, settled
from booklet.model import Dart, Mark
from booklet.paths import Path
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

REACH = 0.5  # mm: a style line has to come this near to the outline or to a dart's point
EQUAL_LEGS = 0.5  # mm (TRADE: equal legs; tolerance: common practice, no source)


@dataclass(frozen=True)
class End:
    """Where a cut meets the outline, `along` mm along the line: the clockwise ring comes in at `arrive`, goes on at `leave`.

    At a dart these are its two legs' ends, and the dart's cloth falls away.
    """

    along: float
    at: complex
    arrive: Spot
    leave: Spot
    dart: Dart | None = None

    def out(self) -> tuple[Path, ...]:
        """The leg on which a cut leaves towards the ring that goes on."""
        return () if self.dart is None else (Path.line(self.dart.point, self.dart.second),)

    def into(self) -> tuple[Path, ...]:
        return () if self.dart is None else (Path.line(self.dart.first, self.dart.point),)


def divide(
    shape: Shape, line: Path | None, darts: Sequence[Dart], edge: str, marks: int, what: str, where: Where
) -> tuple[Shape, Shape]:
    """The two parts of a shape on both sides of a line, each with the new edge `edge`. `darts` are points it ends in.

    The line may run out beyond the outline. Where it ends in a dart's point, or runs out through it, the dart's legs
    become parts of the two new edges. Without a line it runs from leg to leg of two darts with one point.
    """
    if shape.has(edge):
        raise Fault.of(
            "twice", f"{what} already has an edge '{edge}'", where, "Give the cut edge another name."
        )
    at_darts = [_dart_end(shape, d, float(n)) for n, d in enumerate(darts)]
    ends = at_darts if line is None else _ends(shape, line, what, where)
    if len(ends) != 2:
        raise _no_two_ends(shape, line, ends, what, where)
    a, b = sorted(ends, key=lambda e: e.along)
    for end in (a, b):
        if (
            end.dart is not None
            and abs(abs(end.dart.first - end.at) - abs(end.dart.second - end.at)) > EQUAL_LEGS
        ):
            raise Fault.of(
                "legs", f"the legs of {end.dart.name} are not equally long", where, "True the dart first."
            )
    inner = _inner(shape, line, a, b, what, where)
    first = _joined((*b.into(), *(p.reversed() for p in inner), *a.out()))
    second = _joined((*a.into(), *inner, *b.out()))
    notches = [Mark(f"{edge}_{k + 1}", "single", share) for k, share in enumerate(_shares(marks))]
    back = tuple(replace(m, at=(1 - m.at) * first.length) for m in reversed(notches))
    forth = tuple(replace(m, at=m.at * second.length) for m in notches)
    used = tuple(e.dart.name for e in (a, b) if e.dart is not None)
    one = _part(shape, [*between(shape, a.leave, b.arrive), Run(edge, first, back)], used, what, where)
    other = _part(shape, [*between(shape, b.leave, a.arrive), Run(edge, second, forth)], used, what, where)
    return one, other


def _shares(count: int) -> list[float]:
    """Places of notches along a cut, unequally spaced, so that neither part can be sewn end for end."""
    return [((k + 1) / (count + 1)) ** 1.2 for k in range(count)]


def _joined(paths: tuple[Path, ...]) -> Path:
    return paths[0].joined(*paths[1:])


# ---------------------------------------------------------------- where the line meets the outline


def _dart_end(shape: Shape, dart: Dart, along: float) -> End:
    up = next(t for t in shape.run(dart.edge).take_ups if t.name == dart.name)
    return End(along, dart.point, Spot(dart.edge, up.start), Spot(dart.edge, up.end), dart)


def _ends(shape: Shape, line: Path, what: str, where: Where) -> list[End]:
    """Every place where the line comes to the outline or into a dart's point, in order along it."""
    out: list[End] = []
    pointed = [
        d for d in shape.darts if min(abs(d.point - line.start), abs(d.point - line.end)) < REACH
    ]  # the line ends in these
    out += [_dart_end(shape, d, line.nearest(d.point)) for d in pointed]
    long = _prolonged(line, [d.point for d in pointed])
    for run in shape.runs:
        for s, z in run.path.crossings(long):
            up = next((t for t in run.take_ups if t.start + JOIN_GAP < s < t.end - JOIN_GAP), None)
            if up is not None:
                dart = next((d for d in shape.darts if d.name == up.name and d.edge == run.name), None)
                if dart is None or abs(line.point(line.nearest(dart.point)) - dart.point) > REACH:
                    raise Fault.of(
                        "cut-dart",
                        f"the line runs out through {up.name} of {what}, but not through its point",
                        where,
                        "Let it end in the point of the dart, or beside the dart.",
                    )
                if all(e.dart is None or e.dart.name != dart.name for e in out):
                    out.append(_dart_end(shape, dart, line.nearest(dart.point)))
                continue
            if any(e.dart is None and abs(e.at - z) < JOIN_GAP for e in out):
                continue  # at a corner both edges meet the line
            spot = settled(shape, Spot(run.name, s))
            out.append(End(line.nearest(z), place(shape, spot), spot, spot))
    return sorted(out, key=lambda e: e.along)


def _prolonged(line: Path, points: Sequence[complex]) -> Path:
    """The line run on straight by a little where it ends at the outline, so that it surely meets it."""
    out = line
    if all(abs(line.start - p) >= REACH for p in points):
        out = Path.line(line.start - line.start_tangent * REACH, line.start).joined(out)
    if all(abs(line.end - p) >= REACH for p in points):
        out = out.joined(Path.line(line.end, line.end + line.end_tangent * REACH))
    return out


def _inner(shape: Shape, line: Path | None, a: End, b: End, what: str, where: Where) -> tuple[Path, ...]:
    """The line from one end to the other, begun and ended exactly there; nothing between two darts with one point."""
    if line is None or b.along - a.along < JOIN_GAP:
        if abs(a.at - b.at) > REACH:
            raise Fault.of(
                "cut-darts", f"the points of the two darts of {what} lie {abs(a.at - b.at):.1f} mm apart", where,
                "Name a line from the one to the other.",
            )  # fmt: skip
        return () if abs(a.at - b.at) < 1e-9 else (Path.line(a.at, b.at),)
    inner = line.part(max(0.0, a.along), min(line.length, b.along))
    segments = [list(seg) for seg in inner.segments]
    segments[0][0], segments[-1][-1] = a.at, b.at
    path = Path(tuple(tuple(seg) for seg in segments))
    if off(cloth(shape), path.point(path.length / 2)) > JOIN_GAP:
        raise Fault.of("cut-outside", f"between its two ends the line lies outside {what}", where,
                       "Draw it from edge to edge across the piece.")  # fmt: skip
    return (path,)


def _no_two_ends(shape: Shape, line: Path | None, ends: list[End], what: str, where: Where) -> Fault:
    if line is None:
        return Fault.of("cut-darts", f"a cut without a line runs through two darts, not {len(ends)}", where)
    if not ends:
        return Fault.of("cut-misses", f"the line does not cross {what}", where,
                        "Draw it from one edge of the piece to another.")  # fmt: skip
    if len(ends) > 2:
        names = ", ".join(e.arrive.edge for e in ends)
        return Fault.of("cut-often", f"the line crosses the outline of {what} {len(ends)} times ({names})", where,
                        "A cut runs from one edge to another. Shorten the line to that part.")  # fmt: skip
    inside = max((line.start, line.end), key=lambda z: abs(z - ends[0].at))
    near = min(shape.runs, key=lambda r: abs(r.path.point(r.path.nearest(inside)) - inside))
    gap = abs(near.path.point(near.path.nearest(inside)) - inside)
    return Fault.of(
        "cut-ends", f"the line ends {gap:.1f} mm from {near.name}, inside {what}", where,
        "Let it run to an edge, or end in the point of a dart.",
    )  # fmt: skip


# ---------------------------------------------------------------- a part


def _part(shape: Shape, runs: list[Run], used: tuple[str, ...], what: str, where: Where) -> Shape:
    """What a part keeps of all that is drawn on the piece: whatever lies on its own cloth."""
    ring = snapped(runs)
    polygon = region([r.path for r in ring])
    names = {r.name: r for r in ring}
    darts = []
    for dart in shape.darts:
        run = names.get(dart.edge)
        if dart.name in used or run is None or all(t.name != dart.name for t in run.take_ups):
            continue
        if off(polygon, dart.point) > REACH:
            raise Fault.of("cut-dart", f"the line cuts through the dart {dart.name} of {what}", where,
                           "Let it run through the dart's point, or put the dart after the cut.")  # fmt: skip
        darts.append(dart)
    lines = [line_within(f, polygon, [r.path for r in ring]) for f in shape.lines_across]
    y0, y1 = polygon.bounds[1], polygon.bounds[3]
    facing = shape.facing
    if facing is not None:
        left = tuple(e for e in facing.edges if e in names)
        facing = replace(facing, edges=left) if left else None
    return replace(
        shape,
        runs=ring,
        fold=shape.fold if shape.fold in names else None,
        grain=_grain_within(shape.grain, polygon),
        darts=tuple(darts),
        lines_across=tuple(f for f in lines if f is not None),
        levels=tuple((n, y) for n, y in shape.levels if y0 - 0.5 <= y <= y1 + 0.5),
        points=tuple((n, z) for n, z in shape.points if off(polygon, z) < 0.5),
        facing=facing,
        binding=None,
        trueings=tuple(t for t in shape.trueings if t.edge in names),
        derived=tuple(e for e in shape.derived if e in names),
    )


def _grain_within(
    grain: tuple[complex, complex] | None, polygon: shapely.Polygon
) -> tuple[complex, complex] | None:
    """A grain line in the same direction on the cloth that is left; one that no piece had declared stays so."""
    if grain is None or max(off(polygon, z) for z in grain) == 0:
        return grain
    way = (grain[1] - grain[0]) / abs(grain[1] - grain[0])
    inside = polygon.representative_point()
    middle = complex(inside.x, inside.y)
    reach = way * 1e5
    chord = polygon.intersection(
        shapely.LineString([((middle + k * reach).real, (middle + k * reach).imag) for k in (-1, 0, 1)])
    )
    lines = [g for g in getattr(chord, "geoms", [chord]) if g.geom_type == "LineString"]
    stops = sorted(
        ((complex(*xy) - middle) * way.conjugate()).real
        for line in lines
        if line.distance(inside) < 1e-6
        for xy in line.coords
    )
    size = stops[-1] - stops[0]
    return middle + way * (stops[0] + size * 0.2), middle + way * (stops[-1] - size * 0.2)


# ---------------------------------------------------------------- as asked for


def kept(asked: Asked, shape: Shape, parts: tuple[Shape, Shape]) -> Shape:
    """The part that has the edge `keep:` or lacks the edge `drop:`; its edges named by `names:` where two are alike."""
    word = "keep" if asked.has("keep") else "drop"
    edge = asked.run(shape, asked.words(word)).name
    having = [p for p in parts if p.has(edge)]
    if len(having) != 1:
        raise asked.fault(
            "keep", f"the line cuts through {edge} of {asked.key}, so both parts have it",
            "Name an edge that lies on one part only: `keep:` the part with it, or `drop:` that part.",
        )  # fmt: skip
    part = having[0] if word == "keep" else next(p for p in parts if p is not having[0])
    names = [r.name for r in part.runs]
    twice = [n for n, name in enumerate(names) if names.count(name) > 1]
    if not twice:
        return part
    new = asked.listed("names")
    if len(new) != 2:
        raise asked.fault(
            "two-edges", f"what is kept of {asked.key} has {names[twice[0]]} on both sides of the cut",
            "Add `names: [before, after]`: clockwise, the one before the cut and the one after it.",
        )  # fmt: skip
    # The ring of a part ends with its new edge, so the stretch that follows the cut comes first.
    runs, darts = list(part.runs), list(part.darts)
    for n, name in zip((twice[-1], twice[0]), new, strict=True):
        folded = [t.name for t in runs[n].take_ups]
        darts = [replace(d, edge=name) if d.edge == runs[n].name and d.name in folded else d for d in darts]
        runs[n] = replace(runs[n], name=name)
    fold = None if part.fold in [names[n] for n in twice] else part.fold
    return replace(part, runs=tuple(runs), darts=tuple(darts), fold=fold)


def line_asked(asked: Asked, shape: Shape) -> tuple[Path | None, list[Dart]]:
    """`line: GROUP.LINE`, or `from:` and `to:` places with points between them in `via:`."""
    if asked.has("line"):
        group, _, name = asked.words("line").partition(".")
        if not name:
            raise asked.fault("name", f"'{asked.words('line')}' is not a line such as front.yoke_line")
        return asked.table.line(group, name, asked.where), []
    ends: list[complex] = []
    darts: list[Dart] = []
    for word in ("from", "to"):
        end = asked.within(word)
        if end.has("dart"):
            dart = dart_named(end, shape, end.words("dart"))
            darts.append(dart)
            ends.append(dart.point)
        else:
            run = end.run(shape, end.words("on"))
            ends.append(run.path.point(end.along(shape, run, f"the {word} end of the cut")))
    via = [asked.table.point(p, None, asked.where) for p in asked.listed("via")]
    points = [ends[0], *via, ends[1]]
    if not via and abs(ends[1] - ends[0]) < REACH and len(darts) == 2:
        return None, darts
    return (smooth_curve(points) if via else Path.line(*points)), darts


def dart_named(asked: Asked, shape: Shape, name: str) -> Dart:
    """A dart of the shape. Raises Fault with the nearest names."""
    for dart in shape.darts:
        if dart.name == name:
            return dart
    known = ", ".join(d.name for d in shape.darts)
    raise asked.fault(
        "unknown-dart",
        f"{asked.key} has no dart '{name}'",
        f"Its darts: {known}." if known else "It has none.",
    )


def ask_cut_along(asked: Asked, shape: Shape) -> Shape:
    """`cut along: {line: GROUP.LINE or from, to, via, keep or drop: EDGE, edge: NAME, marks, names}`."""
    word = "keep" if asked.has("keep") else "drop"
    edge_of(shape, asked.words(word), asked.key, asked.where)
    line, darts = line_asked(asked, shape)
    count = int(asked.amount("marks", default=0.0, kind="count"))
    if not 0 <= count <= 12:
        raise asked.fault("marks", f"a cut with {count} notches", "Write 0 to 12.")
    parts = divide(shape, line, darts, asked.words("edge"), count, asked.key, asked.where)
    return kept(asked, shape, parts)
