"""The search for a short lay: first over the order, the way round and the placing rule of each piece, then by overlap.

Bounded by a count of lays tried, never by the clock unless the caller passes a `stop` of his own, and it draws only
from its own seeded generators, so the same task, seeds and count give the same lay every time.
"""

from __future__ import annotations

import math
import random
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field, replace

from booklet.cloth.bounds import chain_bound, simple_bound, slice_bound
from booklet.cloth.decode import GROWTH, HIGHEST, LOWEST, RULES, Decoder, Gene, Laid
from booklet.cloth.orient import UNIT, Item, Task
from booklet.cloth.squeeze import Squeeze

SEEDS = 4
PROVED_WITHIN = 0.5  # mm: a lay this near its bound is called the shortest; the outlines are no finer

# What share of the length a worse lay may be longer by, at the start and at the end.
_WARM, _COLD = 0.02, 0.001
_TIE = 0.02  # weight of the mean right end beside the length
_LAST_FIRST = 0.2  # how often the piece that ends the lay is moved
_TRIES = 20  # for changes that change nothing
_ORDERS = (
    0.4  # of the evaluations go to orders, and no more than _PLACINGS in all: beyond that they find little
)
_PLACINGS = 12_000
_AGAIN = (LOWEST, HIGHEST, GROWTH)
_SWEEP = (
    3  # evaluations that a sweep over overlapping items counts for; it takes as long, or longer (measured)
)


def searched(
    task: Task, evaluations: int, seeds: int = SEEDS, stop: Callable[[], bool] | None = None
) -> Search:
    """The best lay of a task within so many evaluations, shared out among the seeds; 0: the quick pass alone.

    `stop` is asked before each evaluation; once it says True the search ends with what it has.
    """
    search = Search(task, stop or (lambda: False))
    search.quick()
    if evaluations > search.used and not search.done:
        search.bound = max(search.bound, chain_bound(search.decoder))
        orders = min(round(evaluations * _ORDERS), search.used + _PLACINGS // len(task.items))
        for n in range(seeds):
            search.anneal(random.Random(n + 1), search.used + (orders - search.used) // (seeds - n))
        search.squeeze(random.Random(seeds), evaluations)
    return search


@dataclass
class Search:
    """The best lay so far of one task, and the count of lays tried."""

    task: Task
    stop: Callable[[], bool]
    used: int = 0
    bound: float = 0.0  # units
    best: list[Laid] = field(default_factory=list)
    decoder: Decoder = field(init=False)

    def __post_init__(self) -> None:
        self.decoder = Decoder(self.task)
        self.bound = max(simple_bound(self.task), slice_bound(self.task))

    @property
    def done(self) -> bool:
        return not self.task.items or self.best[-1].right <= self.bound + PROVED_WITHIN * UNIT

    def cost(self, laid: Sequence[Laid]) -> float:
        return laid[-1].right + _TIE * laid[-1].ends / len(laid)

    def keep(self, laid: list[Laid]) -> None:
        """Keeps the shorter lay; of two as short the one whose pieces end earlier."""
        if not self.best or (laid[-1].right, laid[-1].ends) < (self.best[-1].right, self.best[-1].ends):
            self.best = laid

    def quick(self) -> None:
        """A few orders by size, laid by each rule."""
        limit = 0  # all pieces one behind another
        for item in self.task.items:
            _, start, end = self.decoder.extent(item.shape, item.ways[0])
            limit += end - start + UNIT + self.task.repeat[0]
        for order in _orders(self.task):
            for rule in RULES:
                self.used += 1
                genes = [(n, self.task.items[n].ways[0], rule) for n in order]
                laid = self.decoder.lay(genes, self.best[-1].right if self.best else limit)
                if laid:
                    self.keep(laid)

    def anneal(self, chance: random.Random, until: int) -> None:
        """Changes one or two genes at a time; takes a worse lay more rarely as it goes on."""
        if self.done:
            return
        now, first = self.best, self.used
        while self.used < until and not self.done and not self.stop():
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
            self.keep(laid)

    def squeeze(self, chance: random.Random, until: int) -> None:
        """Shortens the best lay by overlap and separation; a sweep over what overlaps counts as _SWEEP lays."""
        before = self.best
        for laid in Squeeze(self.decoder, chance).shorten(self.best, lambda: self._spend(until)):
            self.keep(laid)
        if self.best is not before:
            self._name_rule()

    def _name_rule(self) -> None:
        """Gives a lay found by overlap the rule that lays its order again the shortest, for other sizes and widths."""
        again = []
        for rule in _AGAIN:
            genes = [(p.gene[0], p.way, rule) for p in self.best]
            laid = self.decoder.lay(genes, 2 * self.best[-1].right)
            if laid:
                again.append((laid[-1].right, rule, laid))
        if again:
            right, rule, laid = min(again)
            named = [replace(p, gene=(p.gene[0], p.way, rule)) for p in self.best]
            self.best = laid if right < self.best[-1].right else named

    def _spend(self, until: int) -> bool:
        if self.used >= until or self.done or self.stop():
            return False
        self.used = min(until, self.used + _SWEEP)
        return True

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
