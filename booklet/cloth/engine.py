"""Lays of pieces on a cloth, of every kind that the cloth can have.

    found = lays(pieces, ClothGround(1120), evaluations=1500)         # found.lays, the best first; found.refusals
    by_width = lays_of_widths(pieces, [ClothGround(1120), ClothGround(1420)], [1500, 0])
    fit = fits(pieces, ClothGround(1120), length=900)                 # a remnant
    plan = lay(pieces, 'fold', usable_width=1120, evaluations=750)    # one kind

The search is bounded by a count of complete lays tried, never by the clock, and draws only from its own seeded
generators, so the same pieces give the same lay every time. It stops where a lower bound shows that no shorter lay
exists. All lengths mm; x along the cloth, y across; a folded lay has its fold at y = 0.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from booklet.cloth.decode import Gene
from booklet.cloth.kinds import KINDS, Table
from booklet.cloth.lay import PROVED, Lay, Placed, Recipe, widened
from booklet.cloth.orient import Made
from booklet.cloth.pieces import CUTTING_GAP, CannotLay, ClothGround, LayKind, LayPiece, Refusal
from booklet.cloth.search import SEEDS

__all__ = [
    "CUTTING_GAP",
    "KINDS",
    "ClothGround",
    "Fit",
    "Found",
    "Lay",
    "Placed",
    "Recipe",
    "fits",
    "lay",
    "lay_on",
    "lays",
    "lays_of_widths",
    "refusals_of",
    "relaid",
]

WORTH_SEARCHING = 1.1  # kinds whose quick lay is this much longer than the shortest are not searched further
SEARCHED = 2  # kinds at most
# Of lays equally long the one that is least work comes first: folded once, at one side, twice, in part, flat, across.
EASE: tuple[LayKind, ...] = ("fold", "side_fold", "two_folds", "part_fold", "open", "cross_fold")
PLAIN: tuple[LayKind, ...] = ("fold", "two_folds", "open")
NO_LONGER = 1.0  # mm: lays are called equally long within this
AS_GOOD = 30.0  # mm: a lay folded at one side, which is less work, is shown if it is longer by no more


@dataclass(frozen=True)
class Found:
    """Every kind of lay that a cloth can have, the recommended one first, and why there is no other."""

    lays: tuple[Lay, ...]
    refusals: tuple[tuple[LayKind, Refusal], ...]

    @property
    def best(self) -> Lay | None:
        return self.lays[0] if self.lays else None


@dataclass(frozen=True)
class Fit:
    """Whether pieces can be cut from a remnant: the best lay found, and how much longer than the remnant it is, mm.

    `lay` is None where the remnant is too narrow for any. `proved`: no lay found or not found would fit.
    """

    fits: bool
    lay: Lay | None
    lacking: float
    proved: bool
    refusals: tuple[tuple[LayKind, Refusal], ...]


def lay(
    pieces: Sequence[LayPiece],
    kind: LayKind,
    usable_width: float,
    evaluations: int = 0,
    gap: float = CUTTING_GAP,
    seeds: int = SEEDS,
    stop: Callable[[], bool] | None = None,
) -> Lay:
    """The shortest lay of one kind within so many evaluations; 0 asks for the quick pass of a few sorted orders alone.

    `stop` is asked before each evaluation. Raises CannotLay with every reason: a piece too wide (by how much), a fold
    edge off the grain, an outline that is not simple.
    """
    return lay_on(pieces, kind, ClothGround(usable_width, gap), evaluations, seeds, stop)


def lay_on(
    pieces: Sequence[LayPiece],
    kind: LayKind,
    ground: ClothGround,
    evaluations: int = 0,
    seeds: int = SEEDS,
    stop: Callable[[], bool] | None = None,
    made: Made | None = None,
) -> Lay:
    """`lay` on a ground that may be striped or one way; `made` keeps no-fit polygons between calls. Raises CannotLay."""
    table = Table(tuple(pieces), ground, stop, {} if made is None else made)
    return table.lay(table.chosen(kind), evaluations, seeds)


def relaid(
    pieces: Sequence[LayPiece],
    ground: ClothGround,
    recipe: Recipe,
    genes: tuple[Gene, ...],
    made: Made | None = None,
) -> Lay | None:
    """A kept order laid again, in one evaluation, for another body or width; None where it does not suit."""
    return Table(tuple(pieces), ground, made={} if made is None else made).again(recipe, genes)


def refusals_of(
    pieces: Sequence[LayPiece], kind: LayKind, usable_width: float, gap: float = CUTTING_GAP
) -> tuple[Refusal, ...]:
    """Why there can be no such lay, without laying a garment; empty where there can."""
    table = Table(tuple(pieces), ClothGround(usable_width, gap))
    if kind in ("two_folds", "part_fold"):
        try:
            table.chosen(kind)
        except CannotLay as cannot:
            return cannot.refusals
        return ()
    return table.refusals(Recipe(kind))


def lays(
    pieces: Sequence[LayPiece],
    ground: ClothGround,
    evaluations: int = 0,
    narrower: Sequence[Lay] = (),
    stop: Callable[[], bool] | None = None,
    kinds: Sequence[LayKind] = KINDS,
    made: Made | None = None,
    most: float = math.inf,
) -> Found:
    """Every kind of lay this cloth can have, and why there is no other. `made` keeps no-fit polygons between calls.

    Each kind gets a quick pass; what is left of the evaluations goes to the kinds that came near the shortest.
    `narrower` are lays of the same pieces on narrower cloth: none of ours is longer than one of the same kind. `most`
    is the length recommended there, which ours is held to where any of our lays is as short.
    """
    table = Table(tuple(pieces), ground, stop, {} if made is None else made)
    found: list[Lay] = []
    recipes: list[Recipe | None] = []
    refusals: list[tuple[LayKind, Refusal]] = []
    for kind in kinds:
        same = [n for n in narrower if n.kind == kind]
        own: list[Lay] = []
        try:
            own.append(table.lay(table.chosen(kind)))
        except CannotLay as cannot:
            if not same:
                refusals += [(kind, r) for r in cannot.refusals]
        if own or same:
            found.append(_shortest([*own, *same], ground))
            recipes.append(own[0].recipe if own else None)
    near = min((lay.length for lay in found), default=0.0) * WORTH_SEARCHING
    plain = min((lay.length for lay in found if lay.kind in PLAIN), default=near)
    worth = [
        n
        for n, lay in enumerate(found)
        if recipes[n] is not None
        and not lay.proved
        and lay.length <= (near if lay.kind in PLAIN else plain - NO_LONGER)
    ]
    worth.sort(key=lambda n: found[n].length)
    left = evaluations - sum(lay.evaluations for lay in found)
    turns = SEARCHED
    for k, n in enumerate(worth):
        share = left // max(1, min(turns, len(worth) - k))
        recipe = recipes[n]
        if not turns or recipe is None or share <= found[n].evaluations:
            continue
        better = table.lay(recipe, share)
        left -= better.evaluations
        turns -= better.evaluations > share / 2  # one that is soon proved leaves its turn to the next
        found[n] = _shortest([better, found[n]], ground)
    found, idle = useful(found, most)
    found.sort(key=_preferred(found, most))
    return Found(tuple(found), (*refusals, *idle))


def useful(found: Sequence[Lay], most: float = math.inf) -> tuple[list[Lay], list[tuple[LayKind, Refusal]]]:
    """Folding in part or across is for what it saves: such a lay no shorter than every plain one is left out.

    Unless without it none would be as short as `most`, which narrower cloth takes. One side folded in is less work than
    an open lay, so that it need only be shorter than the cloth folded throughout, and about as short as an open one.
    """
    plain = min((lay.length for lay in found if lay.kind in PLAIN), default=None)
    if plain is None:
        return list(found), []
    enough = plain - NO_LONGER if plain <= most else plain
    folded = min((lay.length for lay in found if lay.kind in ("fold", "two_folds")), default=math.inf)

    def saves(lay: Lay) -> bool:
        easier = lay.kind == "side_fold" and lay.length < folded - NO_LONGER
        return lay.length < enough or (easier and lay.length <= plain + AS_GOOD)

    kept = [lay for lay in found if lay.kind in PLAIN or saves(lay)]
    idle: list[tuple[LayKind, Refusal]] = []
    for lay in found:
        if lay not in kept:
            how = {"part_fold": "folded in part", "side_fold": "one side folded in"}.get(
                lay.kind, "folded across"
            )
            more = round(lay.length - plain)
            what = f"{how}, the cloth would be {more} mm longer" if more > 0 else f"{how}, no cloth is saved"
            idle.append((lay.kind, Refusal("", "no use", what)))
    return kept, idle


def lays_of_widths(
    pieces: Sequence[LayPiece],
    grounds: Sequence[ClothGround],
    evaluations: Sequence[int],
    stop: Callable[[], bool] | None = None,
) -> tuple[Found, ...]:
    """`lays` on each ground, in the order given; a wider cloth never takes more than a narrower one, kind by kind."""
    out: dict[int, Found] = {}
    narrower: list[Lay] = []
    most = math.inf
    for n in sorted(range(len(grounds)), key=lambda n: grounds[n].width):
        out[n] = lays(pieces, grounds[n], evaluations[n], narrower, stop, most=most)
        narrower += out[n].lays
        most = min([most, *(lay.length for lay in out[n].lays[:1])])
    return tuple(out[n] for n in range(len(grounds)))


def fits(pieces: Sequence[LayPiece], ground: ClothGround, length: float, evaluations: int = 400) -> Fit:
    """Whether a remnant as wide as the ground and `length` mm long holds all pieces, laid in any way."""
    quick = lays(pieces, ground)
    best = quick.best
    if best is not None and best.length > length + NO_LONGER / 1000:
        best = min((*quick.lays, *lays(pieces, ground, evaluations).lays), key=lambda p: p.length)
    if best is None:
        return Fit(False, None, 0.0, True, quick.refusals)
    lacking = max(0.0, best.length - length)
    none = all(other.bound > length for other in quick.lays if other.kind in ("open", "fold"))
    return Fit(lacking <= NO_LONGER / 1000, best, lacking, lacking > 0 and none, quick.refusals)


def _shortest(found: list[Lay], ground: ClothGround) -> Lay:
    """The first of the shortest; one of a narrower cloth brought to this width."""
    own = max((lay.bound for lay in found if lay.width == ground.width), default=0.0)
    best = min(found, key=lambda p: p.length)
    if best.width != ground.width:
        best = widened(best, ground.width, own)
    bound = min(max(own, best.bound), best.length)
    return replace(best, bound=bound, proved=best.proved or best.length <= bound + PROVED)


def _preferred(found: Sequence[Lay], most: float) -> Callable[[Lay], tuple[bool, float, int]]:
    """Sorts by length; what is as short as the shortest, and no longer than `most`, by how easily it is laid."""
    least = min((lay.length for lay in found), default=0.0)

    def key(lay: Lay) -> tuple[bool, float, int]:
        same = lay.length <= max(least, min(least + NO_LONGER, most))
        return (not same, 0.0 if same else lay.length, EASE.index(lay.kind))

    return key
