"""Lays of pieces on a cloth: a local search over the order, the way round and the placing rule of each piece.

    plan = lay(pieces, 'fold', usable_width=1120, evaluations=750)
    plans, refusals = lays(pieces, usable_width=1120, evaluations=1500)

The search is bounded by a count of complete lays tried, never by the clock, and draws only from its own seeded
generators, so the same pieces give the same lay every time. It stops where a lower bound shows that no shorter lay
exists. All lengths mm; x along the cloth, y across; a one-fold lay has its fold at y = 0.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from booklet.cloth.bounds import chain_bound, simple_bound
from booklet.cloth.decode import RULES, Decoder, Gene, Laid
from booklet.cloth.orient import UNIT, Item, Task, prepare
from booklet.cloth.pieces import CannotLay, LayKind, LayPiece, Refusal
from booklet.paths import Placement

CUTTING_GAP = 3.0  # mm between cut lines (common practice, no source)
SEEDS = 4
PROVED_WITHIN = 0.5  # mm: a lay this near its bound is called the shortest; the outlines are no finer

_WARM, _COLD = (
    0.02,
    0.001,
)  # what share of the length a worse lay may be longer by, at the start and at the end
_TIE = 0.02  # weight of the mean right end beside the length
_LAST_FIRST = 0.2  # how often the piece that ends the lay is moved
_TRIES = 20  # for changes that change nothing


@dataclass(frozen=True)
class Placed:
    """A ply (or the two cut through at once) on the cloth; `placement` carries the piece's outline to it."""

    key: str
    copies: tuple[int, ...]
    placement: Placement

    @property
    def copy(self) -> int:
        return self.copies[0]

    @property
    def mirrored(self) -> bool:
        """Lies turned over: its printed side down."""
        return self.placement.mirrored


@dataclass(frozen=True)
class Lay:
    """A lay found. `width` is the usable width of the cloth, unfolded; a fold lay's strip is half of that.

    `bound`: no lay of this kind, with this cutting gap, is shorter. `proved`: this one is as short as that, to half a
    millimetre.
    """

    kind: LayKind
    width: float
    length: float
    placements: tuple[Placed, ...]
    evaluations: int
    bound: float
    proved: bool

    @property
    def strip(self) -> float:
        return self.width / 2 if self.kind == "fold" else self.width


def lay(
    pieces: Sequence[LayPiece],
    kind: LayKind,
    usable_width: float,
    evaluations: int = 0,
    gap: float = CUTTING_GAP,
    seeds: int = SEEDS,
) -> Lay:
    """The shortest lay found within so many evaluations; 0 asks for the quick pass of a few sorted orders alone.

    Raises CannotLay with every reason: a piece too wide (by how much), a piece that may lie one face up only in a
    folded cloth, a fold edge off the grain, an outline that is not simple.
    """
    task, refusals = prepare(tuple(pieces), kind, usable_width, gap)
    if refusals:
        raise CannotLay(refusals)
    search = _Search(task)
    search.quick()
    if evaluations > search.used and not search.done:
        search.bound = max(search.bound, chain_bound(search.decoder))
    for n in range(seeds):
        search.anneal(random.Random(n + 1), search.used + (evaluations - search.used) // (seeds - n))
    return _plan(task, search, usable_width)


def refusals_of(
    pieces: Sequence[LayPiece], kind: LayKind, usable_width: float, gap: float = CUTTING_GAP
) -> tuple[Refusal, ...]:
    """Why there can be no such lay, without laying; empty where there can."""
    return tuple(prepare(tuple(pieces), kind, usable_width, gap)[1])


def lays(
    pieces: Sequence[LayPiece],
    usable_width: float,
    evaluations: int = 0,
    gap: float = CUTTING_GAP,
) -> tuple[tuple[Lay, ...], tuple[Refusal, ...]]:
    """Every kind of lay this cloth can have, the shortest first, and why there is no other.

    The evaluations are shared out between the kinds. Of two lays equally long the folded one comes first, as it is
    half the cutting.
    """
    kinds: tuple[LayKind, ...] = ("fold", "open")
    possible = [kind for kind in kinds if not refusals_of(pieces, kind, usable_width, gap)]
    found: list[Lay] = []
    refusals: list[Refusal] = []
    left = evaluations
    for n, kind in enumerate(kinds):
        try:
            # What the fold lay leaves over, once it is proved, the open one may use.
            share = left // 2 if n == 0 and len(possible) == 2 else left
            found.append(lay(pieces, kind, usable_width, share, gap))
            left = max(0, left - found[-1].evaluations)
        except CannotLay as cannot:
            refusals += cannot.refusals
    return tuple(sorted(found, key=lambda p: p.length)), tuple(refusals)


@dataclass
class _Search:
    """The best lay so far of one task, and the count of lays tried."""

    task: Task
    used: int = 0
    bound: float = 0.0  # units
    best: list[Laid] = field(default_factory=list)
    decoder: Decoder = field(init=False)

    def __post_init__(self) -> None:
        self.decoder = Decoder(self.task)
        self.bound = simple_bound(self.task)

    @property
    def done(self) -> bool:
        return not self.task.items or self.best[-1].right <= self.bound + PROVED_WITHIN * UNIT

    def cost(self, laid: Sequence[Laid]) -> float:
        return laid[-1].right + _TIE * laid[-1].ends / len(laid)

    def quick(self) -> None:
        """A few orders by size, laid by each rule."""
        limit = 0  # all pieces one behind another
        for item in self.task.items:
            _, start, end = self.decoder.extent(item.shape, item.ways[0])
            limit += end - start + UNIT
        for order in _orders(self.task):
            for rule in RULES:
                self.used += 1
                genes = [(n, self.task.items[n].ways[0], rule) for n in order]
                laid = self.decoder.lay(genes, self.best[-1].right if self.best else limit)
                if laid and (not self.best or self.cost(laid) < self.cost(self.best)):
                    self.best = laid

    def anneal(self, chance: random.Random, until: int) -> None:
        """Changes one or two genes at a time; takes a worse lay more rarely as it goes on."""
        if self.done:
            return
        now, first = self.best, self.used
        while self.used < until and not self.done:
            warmth = _WARM * (_COLD / _WARM) ** ((self.used - first) / max(1, until - first))
            genes = self._changed(now, chance)
            worst = self.cost(now) - self.best[-1].right * warmth * math.log(1.0 - chance.random())
            kept = 0
            while kept < len(now) and now[kept].gene == genes[kept]:
                kept += 1
            self.used += 1
            laid = self.decoder.lay(genes, int(worst), now[:kept])
            if laid is None or self.cost(laid) > worst:
                continue
            now = laid
            if self.cost(laid) < self.cost(self.best):
                self.best = laid

    def _changed(self, now: Sequence[Laid], chance: random.Random) -> list[Gene]:
        """The genes with one to three small changes; sooner or later every order can be reached."""
        genes = before = [p.gene for p in now]
        for _ in range(_TRIES):
            genes = list(before)
            if chance.random() < _LAST_FIRST:
                # What makes the lay as long as it is comes earlier.
                n = next(k for k, p in enumerate(now) if p.right == now[-1].right)
                genes.insert(chance.randrange(n + 1), genes.pop(n))
            for _ in range(chance.choice((1, 1, 2, 3))):
                _change(genes, self.task.items, chance)
            if genes != before:
                break
        return genes


def _change(genes: list[Gene], items: Sequence[Item], chance: random.Random) -> None:
    """A swap, a move to another place in the order, another way round, or another rule."""
    kind, n = chance.random(), chance.randrange(len(genes))
    item, way, rule = genes[n]
    if kind < 0.3:
        m = chance.randrange(len(genes))
        genes[n], genes[m] = genes[m], genes[n]
    elif kind < 0.6:
        genes.insert(chance.randrange(len(genes)), genes.pop(n))
    elif kind < 0.8:
        genes[n] = (item, chance.choice(items[item].ways), rule)
    else:
        genes[n] = (item, way, chance.choice(RULES))


def _orders(task: Task) -> list[list[int]]:
    """Largest first: by area, by length along the cloth, by height across it; and the same with fold pieces first."""
    shapes = [task.shapes[item.shape] for item in task.items]
    numbers = list(range(len(shapes)))
    by_size = [
        sorted(numbers, key=lambda n: -shapes[n].area),
        sorted(numbers, key=lambda n: (-shapes[n].size[0], -shapes[n].size[1])),
        sorted(numbers, key=lambda n: (-shapes[n].size[1], -shapes[n].size[0])),
    ]
    if not any(item.on_fold for item in task.items):
        return by_size
    return by_size + [sorted(order, key=lambda n: not task.items[n].on_fold) for order in by_size]


def _plan(task: Task, search: _Search, usable_width: float) -> Lay:
    """The best lay in millimetres, in the order of the pieces as they were given."""
    placed = {}
    for laid in search.best:
        number = laid.gene[0]
        item = task.items[number]
        placed[number] = Placed(item.key, item.copies, item.placement(laid.way, laid.at))
    length = search.best[-1].right / UNIT if search.best else 0.0
    bound = min(search.bound / UNIT, length)
    return Lay(
        task.kind,
        usable_width,
        length,
        tuple(placed[n] for n in sorted(placed)),
        search.used,
        bound,
        search.done,
    )
