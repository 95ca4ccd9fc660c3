"""Cut off a band along edges over closed darts: what lies below a shaped waistband, or what a facing leaves to a lining."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.bands import band_along
from booklet.drafting.closing import folding
from booklet.drafting.darts import shaped_ends
from booklet.drafting.shape import Shape
from booklet.drafting.verbs.cut_along import divide
from booklet.model import Dart, TakeUp
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where


def unfolded(
    shape: Shape, order: tuple[str, ...], line: Path, where: Where, what: str
) -> tuple[Path, list[tuple[Dart, complex, complex]]]:
    """A line across the closed darts of some edges, as it lies on the cloth with them open, the gaps bridged straight.

    `order` are the edges, clockwise; `line` lies where `band_along` lays its band, whichever way it runs. With it
    every dart that it crosses, and where it meets its two legs.
    """  # fmt: skip
    folds: list[tuple[Dart, Placement]] = []  # each dart, and what had been folded before it
    placing = Placement.IDENTITY
    for name in order:
        run = shape.run(name)
        for up in sorted(run.take_ups, key=lambda t: t.start):
            dart = next((d for d in shape.darts if d.name == up.name and d.edge == name), None)
            if dart is None:
                raise Fault.of("band-pleat", f"{up.name} of {what} is a pleat: a band cannot be cut off over it", where,
                               "Lay the pleats in a later state of the piece.")  # fmt: skip
            folds.append((dart, placing))
            placing = folding(shape, run, up).then(placing)
    last = shape.neighbours(order[-1])[1].name
    keep = placing.inverse if last == shape.fold else Placement.IDENTITY
    begin = keep.apply(shape.run(order[0]).path.start)
    if abs(line.end - begin) < abs(line.start - begin):
        line = line.reversed()
    parts: list[Path] = []
    met: list[tuple[Dart, complex, complex]] = []
    at = 0.0
    for n, (dart, before) in enumerate(folds):
        here = before.then(keep)
        after = folds[n + 1][1] if n + 1 < len(folds) else placing
        leg = Path.line(dart.first, dart.point).placed(here)
        crossed = [s for s, _ in line.crossings(leg) if s > at]
        if not crossed:
            raise Fault.of(
                "band-dart", f"the band runs below the point of {dart.name} of {what}", where,
                "Make the band less wide, or the dart longer.",
            )  # fmt: skip
        parts.append(line.part(at, crossed[0]).placed(here.inverse))
        at = crossed[0]
        beyond = after.then(keep).inverse.apply(line.point(at))
        met.append((dart, parts[-1].end, beyond))
        parts.append(Path.line(parts[-1].end, beyond))
    parts.append(line.part(at, line.length).placed(placing.then(keep).inverse))
    return parts[0].joined(*parts[1:]), met


def without_band(
    shape: Shape, order: tuple[str, ...], line: Path, edge: str, where: Where, what: str = "the piece"
) -> Shape:
    """What is left of a piece below a line along some edges; the line is its new edge. Darts begin there."""
    drawn, met = unfolded(shape, order, line, where, what)
    over = {d.name for d, _, _ in met}
    plain = replace(
        shape,
        runs=tuple(
            replace(r, take_ups=tuple(t for t in r.take_ups if t.name not in over)) for r in shape.runs
        ),
        darts=tuple(d for d in shape.darts if d.name not in over),
    )
    new = "_band_edge"
    parts = divide(plain, drawn, [], new, 0, what, where)
    left = [p for p in parts if not any(p.has(name) for name in order)]
    if len(left) != 1:
        raise Fault.of("band-cut", f"the band does not come off {what} in one piece", where,
                       "Name all the edges it runs along.")  # fmt: skip
    made = left[0]
    if made.has(edge):
        raise Fault.of("twice", f"{what} already has an edge '{edge}'", where, "Give the new edge another name.")  # fmt: skip
    run = replace(made.run(new), name=edge)
    ups, darts = [], []
    for dart, a, b in met:
        s, t = sorted((run.path.nearest(a), run.path.nearest(b)))
        first, second = run.path.point(s), run.path.point(t)
        ups.append(TakeUp(dart.name, s, t))
        darts.append(replace(dart, edge=edge, first=first, second=second, intake=abs(second - first)))
    run = shaped_ends(replace(run, take_ups=tuple(sorted(ups, key=lambda t: t.start))), darts)
    runs = tuple(run if r.name == new else r for r in made.runs)
    return replace(made, runs=runs, darts=(*made.darts, *darts), derived=(*made.derived, edge))


def ask_cut_band(asked: Asked, shape: Shape) -> Shape:
    """`cut off band: {along: [edges], wide, edge: NAME}`: the rest of a piece whose band is a `waistband` or a facing."""
    along = asked.listed("along")
    wide = asked.amount("wide")
    if not wide > 1:
        raise asked.fault("band-wide", f"the band of {asked.key} is {wide:.1f} mm wide", "Give it a width.")
    band = band_along(shape, asked.key, along, (wide, wide), None, asked.where)
    outer = band.shape.run("outer").path
    return without_band(shape, band.order, outer, asked.words("edge"), asked.where, asked.key)
