"""`lining:` a piece copied for its lining: without what facings cover, its hem shorter, a pleat of ease at its fold."""

from __future__ import annotations

from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.places import edge_of
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.verbs.cut_along import divide
from booklet.drafting.verbs.cut_band import without_band
from booklet.drafting.verbs.extend import moved_out, outer_line
from booklet.drafting.verbs.pleat import Fold, PleatPlan, pleated
from booklet.model import Dart, Pleat, Side
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where

SHORTER = 20.0  # mm: hem of a lining shorter than the shell's (common practice, no source)
LEAST = 5.0  # mm of pleat at the fold
LONGEST_FOLD = 50.0  # mm: how far down the lines of a dart that is laid as a pleat are drawn
OTHER: dict[Side, Side] = {"left": "right", "right": "left", "whole": "whole"}


def shortened(shape: Shape, edge: str, by: float, where: Where, what: str) -> Shape:
    """The shape with one edge moved in by `by` mm, parallel; its neighbours end there and keep their marks."""
    run = edge_of(shape, edge, what, where)
    before, after = shape.neighbours(edge)
    folded = [t.name for t in run.take_ups] + [p.name for p in shape.pleats if edge in (p.edge, p.foot)]
    if folded:
        raise Fault.of("lining-fold", f"{folded[0]} runs out at {edge} of {what}", where,
                       "Line an earlier state of the piece, before its darts or pleats there.")  # fmt: skip
    long = outer_line(moved_out(run.path, -by, f"{edge} of {what}", where), by)
    stops = [[s for s, _ in long.crossings(r.path)] for r in (before, after)]
    if not all(stops):
        short = before if not stops[0] else after
        raise Fault.of("lining-short", f"{what} cannot be made {by:.0f} mm shorter at {edge}: {short.name} is "
                       f"{short.path.length:.0f} mm long", where, "Shorten it by less.")  # fmt: skip
    line = long.part(max(stops[0]), min(stops[1]))
    new = "_shorter"
    parts = divide(shape, line, [], new, 0, what, where)
    made = next(p for p in parts if not p.has(edge))
    drawn = made.run(new)
    marks = tuple(replace(m, at=drawn.path.nearest(run.path.point(m.at))) for m in run.marks)
    done = replace(drawn, name=edge, marks=marks, lines=())
    runs = tuple(done if r.name == new else r for r in made.runs)
    return replace(made, runs=runs, derived=tuple(e for e in made.derived if e != new))


def darts_as_pleats(shape: Shape) -> Shape:
    """Every dart laid as a soft pleat at its edge: its cloth lies where the dart's did, but is caught in the seam only."""
    return replace(shape, darts=(), pleats=(*shape.pleats, *(_as_pleat(shape, d) for d in shape.darts)))


def _as_pleat(shape: Shape, dart: Dart) -> Pleat:
    deep = min(LONGEST_FOLD, abs(dart.point - dart.first) * 0.5)
    legs = [
        Path.line(z, z + (dart.point - z) / abs(dart.point - z) * deep) for z in (dart.first, dart.second)
    ]
    # A dart pressed to its first leg hides its cloth there, so the fold that is seen points away from it.
    move = (legs[0], legs[1]) if dart.press_first else (legs[1], legs[0])
    before, after = shape.neighbours(dart.edge)
    to = (after if dart.press_first else before).name
    words = f"to {'centre' if to == shape.fold else to.replace('_', ' ')}"
    return Pleat(
        dart.name, dart.name, "knife", dart.edge, dart.edge, (dart.edge,), dart.intake / 2, (move,),
        not dart.press_first, words, dart.side,
    )  # fmt: skip


def with_pleat(asked: Asked, shape: Shape, hem: str, by: float) -> Shape:
    """`by` mm added beyond the fold, laid as an inverted pleat on the centre line and held in the edge opposite the hem."""
    if by < LEAST:
        raise asked.fault("lining-pleat", f"the pleat of {asked.key} is {by:.1f} mm", "Give it 5 mm or more.")
    before, after = shape.neighbours(str(shape.fold)) if shape.fold else (shape.runs[0], shape.runs[0])
    if shape.fold is None or hem not in (before.name, after.name):
        raise asked.fault(
            "lining-pleat", f"{asked.words('of')} has no fold that runs down to {hem}, beside which a pleat could lie",
            "Take out pleat:, or line the piece cut on the fold.",
        )  # fmt: skip
    top = before if after.name == hem else after
    starts = top.name == after.name  # the fold is before the top edge
    at, foot = (0.0, shape.run(hem).path.length) if starts else (top.path.length, 0.0)
    name = "centre_pleat"
    if any(p.group == name for p in shape.pleats) or any(d.name == name for d in shape.darts):
        raise asked.fault("twice", f"{asked.words('of')} already has a '{name}'", "Take out pleat:.")
    plan = PleatPlan(
        "inverted", name, top.name, hem, by / 2, by / 2, (top.name,), True, "both ways",
        (Fold(name, at, foot, starts),),
    )  # fmt: skip
    return pleated(shape, plan, asked.where, asked.key)


def laid_over(shape: Shape) -> Shape:
    """As it lies inside, wrong side to wrong side: what was drawn for the shell is turned over. A folded half is itself."""
    if shape.fold is not None:
        return replace(shape, drawn_for=OTHER[shape.drawn_for])
    return shape.placed(Placement.mirror(0j, 1j))


def from_lining(asked: Asked) -> Shape:
    """`lining: {of: PIECE, less facing: {EDGE: FACING}, hem, shorter, darts: as pleats, pleat}`."""
    key = asked.words("of")
    shape = asked.other(key)
    shape = replace(shape, facing=None, binding=None, trueings=())
    for edge, name in (asked.spec.get("less facing") or {}).items():
        shape = _less(asked, shape, key, str(edge), str(name))
    hem = asked.words("hem", "hem")
    by = asked.amount("shorter", default=SHORTER)
    if by < 0:
        raise asked.fault(
            "lining-short", f"{asked.key} is {-by:.0f} mm longer than {key}", "Write 0 or more."
        )
    if by > 0:
        shape = shortened(shape, hem, by, asked.where, key)
    if asked.words("darts") == "as pleats":
        shape = darts_as_pleats(shape)
    if asked.has("pleat"):
        shape = with_pleat(asked, shape, hem, asked.amount("pleat"))
    return laid_over(replace(shape, runs=snapped(shape.runs)))


def _less(asked: Asked, shape: Shape, key: str, edge: str, name: str) -> Shape:
    """Without what a facing of the piece covers; `edge` is the new one, as long as the facing's outer edge."""
    facing = asked.other(name)
    if facing.facing is None or facing.facing.parent != key:
        raise asked.fault(
            "lining-facing", f"{name} is no facing of {key}", "Name a facing of the piece that is lined."
        )
    outer: Run = edge_of(facing, "outer", name, asked.where)
    order = tuple(r.name for r in shape.runs if r.name in facing.facing.edges)
    if len(order) < len(facing.facing.edges):
        raise asked.fault(
            "lining-facing", f"what {name} covers has been taken off {key} already", "Name each facing once."
        )
    # A folded facing is drawn where it lies; laid face down it would lie on the half that is not drawn.
    line = outer.path if facing.fold is not None else outer.path.placed(facing.facing.laid)
    return without_band(shape, _ring_order(shape, order), line, edge, asked.where, key)


def _ring_order(shape: Shape, names: tuple[str, ...]) -> tuple[str, ...]:
    """Edges in ring order, begun after the widest gap, so that neighbours follow each other over the ring's end."""
    ring = [r.name for r in shape.runs]
    gaps = {n: (ring.index(n) - ring.index(names[k - 1])) % len(ring) for k, n in enumerate(names)}
    first = max(range(len(names)), key=lambda k: gaps[names[k]] or len(ring))
    return (*names[first:], *names[:first])
