"""The ways of laying cloth, and which pieces go where in each: what is decided before the search.

A `Table` lays the same pieces on one ground in one way after another. A quick look (a few orders, largest first) chooses
the depth of the folds, the pieces that lie in a single layer and those turned across the grain; the search then works
on what was chosen. Nothing hangs on the clock, so the same pieces give the same choice. All lengths mm.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass, field, replace

from booklet.cloth.bounds import simple_bound
from booklet.cloth.decode import ANY_WAY, GROWTH, Decoder, Gene, Laid
from booklet.cloth.lay import PROVED, Lay, Placed, Recipe
from booklet.cloth.orient import UNIT, Item, Made, Strip, Task, prepare_strip
from booklet.cloth.pieces import (
    QUARTER,
    CannotLay,
    ClothGround,
    LayKind,
    LayPiece,
    Refusal,
    StripKind,
    crossed,
    faults_of,
)
from booklet.cloth.room import fitting
from booklet.cloth.search import SEEDS, Search, searched
from booklet.model import LaySection
from booklet.paths import Placement

KINDS: tuple[LayKind, ...] = ("fold", "two_folds", "part_fold", "side_fold", "cross_fold", "open")
FAR = 1e9  # mm: longer than any lay
SAVES = 5.0  # mm by which a choice must shorten the lay to be made
MOVES = 3  # pieces moved between the folded and the open part, one after another
HOPELESS = 1.05  # times the length of a plain lay: no more pieces are moved then


@dataclass(frozen=True)
class Stretch:
    """One part of a lay: the cloth as it lies there, and what is laid on it."""

    strip: Strip
    pieces: tuple[LayPiece, ...]


@dataclass
class Table:
    """Pieces and ground; keeps no-fit polygons from one lay to the next, and counts the lays tried."""

    pieces: tuple[LayPiece, ...]
    ground: ClothGround
    stop: Callable[[], bool] | None = None
    made: Made = field(default_factory=dict)
    used: int = 0
    _known: dict[Recipe, float] = field(default_factory=dict)

    # -------------------------------------------------------------- what can be

    def refusals(self, recipe: Recipe) -> tuple[Refusal, ...]:
        """Why the cloth cannot be laid so; empty where it can."""
        found = self._unfit(recipe.kind)
        if not found:
            for stretch in self.stretches(recipe):
                found += self._task(stretch)[1]
        return tuple(found)

    def _unfit(self, kind: LayKind) -> list[Refusal]:
        """What speaks against a kind as such."""
        faults = [r for p in self.pieces for r in faults_of(p)]
        if faults:
            return faults
        ground = self.ground
        if kind == "two_folds" and ground.across:
            return [
                Refusal("", "repeat", "two folds would bring the checks of both selvedges off each other")
            ]
        if kind == "cross_fold" and ground.along:
            return [Refusal("", "repeat", "folded across, the stripes of the two layers do not meet")]
        twice = [p for p in self.pieces if p.count > 1 and (p.mode == "pair" or p.either_face)]
        if kind == "cross_fold" and not twice:
            return [
                Refusal("", "no use", "no piece is cut in pairs, so one of two layers would be left over")
            ]
        if kind in ("fold", "two_folds") and self.pieces and not twice and not self._half():
            what = "no piece is cut in pairs or on a fold, so one of two layers would be left over"
            return [Refusal("", "no use", what)]
        if kind == "side_fold" and not self._half():
            return [Refusal("", "no use", "no piece lies on a fold, so no side need be folded in")]
        return []

    def _half(self) -> list[LayPiece]:
        return [p for p in self.pieces if p.fold_edge is not None]

    def stretches(self, recipe: Recipe) -> tuple[Stretch, ...]:
        """The parts of the lay, the folded one first."""
        pieces = tuple(crossed(p) if p.key in recipe.crossed else p for p in self.pieces)
        if recipe.kind != "part_fold":
            strip = Strip(_strip_kind(recipe.kind), self.ground, self.depth(recipe), flat=recipe.single)
            return (Stretch(strip, pieces),)
        folded = tuple(p for p in pieces if p.key not in recipe.single)
        flat = tuple(p for p in pieces if p.key in recipe.single)
        return (
            Stretch(Strip("fold", self.ground), folded),
            Stretch(Strip("open", self.ground, phase=self.ground.width / 2), flat),
        )

    def depth(self, recipe: Recipe) -> float:
        """How deep the fold at y = 0 is, of two or of one side folded in; 0 for other kinds."""
        if recipe.kind == "side_fold":
            return max((deep for key, deep in self._sides() if key == recipe.depth_of), default=0.0)
        if recipe.kind != "two_folds":
            return 0.0
        half = self.ground.width / 2
        for key, deep in self._depths():
            if key == recipe.depth_of:
                return deep
        return half / 2

    def _depths(self) -> list[tuple[str, float]]:
        """The depths worth trying, each for a piece: as deep as it is, the other fold taking the rest."""
        half = self.ground.width / 2
        out: list[tuple[str, float]] = []
        for piece in self.pieces:
            task, refused = prepare_strip((piece,), Strip("fold", self.ground), self.made)
            if refused:
                continue
            tall = task.shapes[0].size[1] / UNIT + (0.0 if piece.fold_edge is not None else self.ground.gap)
            deep = min(tall, half - tall)
            if deep > 0 and all(abs(deep - d) > 1.0 for _, d in out):
                out.append((piece.key, deep))
        return out

    def _sides(self) -> list[tuple[str, float]]:
        """The depths to which one side may be folded in: each as deep as a half piece, some of the width left single."""
        out: list[tuple[str, float]] = []
        for piece in self._half():
            task, refused = prepare_strip((piece,), Strip("fold", self.ground), self.made)
            deep = task.shapes[0].size[1] / UNIT if not refused else 0.0
            if 0 < deep < self.ground.width / 2 - self.ground.gap:
                out.append((piece.key, deep))
        return out

    def _task(self, stretch: Stretch) -> tuple[Task, list[Refusal]]:
        task, refusals = prepare_strip(stretch.pieces, stretch.strip, self.made)
        if refusals:
            return task, refusals
        task, without = fitting(task)
        for item in without:
            what = f"piece {item.key} has no place where its match point meets a line of the repeat"
            refusals.append(
                Refusal(item.key, "repeat", what, "Use a wider cloth or one with a smaller repeat.")
            )
        return task, refusals

    # -------------------------------------------------------------- what is chosen

    def chosen(self, kind: LayKind) -> Recipe:
        """The best of the recipes of a kind, by a quick look at each. Raises CannotLay where there is none."""
        found = self._unfit(kind)
        if found:
            raise CannotLay(found)
        if kind == "two_folds":
            best = self._shortest([Recipe(kind, key) for key, _ in self._depths()] + [Recipe(kind)])
        elif kind == "part_fold":
            best = self._parted()
        elif kind == "side_fold":
            best = self._sided()
        else:
            best = Recipe(kind)
        return self._across(best)

    def _shortest(self, recipes: list[Recipe]) -> Recipe:
        best = self._shorter(recipes, FAR)
        if best is None:
            raise CannotLay(self.refusals(recipes[-1]))
        return best

    def _shorter(self, recipes: Iterable[Recipe], under: float) -> Recipe | None:
        """The first of the shortest, if it is shorter than `under`."""
        best = None
        for recipe in recipes:
            length = self.look(recipe, under)
            if length < under:
                best, under = recipe, length
        return best

    def _parted(self) -> Recipe:
        """Pieces in the open part: at first what the folded cloth cannot hold or would waste; then one moved at a time."""
        first = []
        for piece in self.pieces:
            refused = prepare_strip((piece,), Strip("fold", self.ground), self.made)[1]
            twice = piece.mode == "pair" or piece.either_face or piece.fold_edge is not None
            if refused or not twice:
                first.append(piece.key)
        best = Recipe("part_fold", single=tuple(first))
        plain = min(self.look(Recipe("fold")), self.look(Recipe("open")))
        for n in range(MOVES):
            if n and self.look(best) > HOPELESS * plain:
                break
            moved = [
                replace(
                    best, single=tuple(p.key for p in self.pieces if (p.key in best.single) != (p is piece))
                )
                for piece in self.pieces
            ]
            better = self._shorter(moved, self.look(best) - SAVES)
            if better is None:
                break
            best = better
        if self.look(best) >= FAR:
            what = "no piece is to lie in one layer while others lie in two"
            raise CannotLay([Refusal("", "no use", what)])
        return best

    def _sided(self) -> Recipe:
        """One side folded in for the half pieces that it holds, the rest beside it; then pairs moved there one at a time."""
        deep = dict(self._sides())
        recipes = [
            Recipe(
                "side_fold", key, tuple(p.key for p in self.pieces if deep.get(p.key, FAR) > deep[key] + 1e-3)
            )
            for key in deep
        ]
        if not recipes:
            what = "the pieces on the fold leave no single cloth beside it"
            raise CannotLay([Refusal("", "no use", what)])
        best = self._shortest(recipes)
        plain = min(self.look(Recipe("fold")), self.look(Recipe("open")))
        pairs = [p.key for p in self.pieces if p.fold_edge is None and (p.mode == "pair" or p.either_face)]
        for _ in range(MOVES):
            if self.look(best) > HOPELESS * plain:
                break
            moved = [
                replace(best, single=tuple(k for k in best.single if k != key))
                for key in pairs
                if key in best.single
            ]
            better = self._shorter(moved, self.look(best) - SAVES)
            if better is None:
                break
            best = better
        return best

    def _across(self, best: Recipe) -> Recipe:
        """Pieces that may lie across the grain, turned where that saves."""
        for piece in self.pieces:
            if piece.may_cross and not piece.nap and not self.ground.one_way and not self._striped:
                turned = replace(best, crossed=(*best.crossed, piece.key))
                best = self._shorter([turned], self.look(best) - SAVES) or best
        return best

    @property
    def _striped(self) -> bool:
        return bool(self.ground.along or self.ground.across)

    def look(self, recipe: Recipe, under: float = FAR) -> float:
        """The length of a lay by a few orders alone; FAR, or any length not under `under`, where it isn't shorter."""
        known = self._known.get(recipe)
        if known is None:
            known = self._looked(recipe, under)
            if known < under or under >= FAR:
                self._known[recipe] = known
        return known

    def _looked(self, recipe: Recipe, under: float) -> float:
        stretches = self.stretches(recipe)
        if len(stretches) > 1 and not all(s.pieces for s in stretches):
            return FAR
        tasks = []
        for stretch in stretches:
            task, refusals = self._task(stretch)
            if refusals:
                return FAR
            tasks.append(task)
        gap = self.ground.gap
        left = under - _cloth_length(recipe.kind, 0, gap)
        if recipe.kind == "cross_fold":
            left /= 2
        least = [simple_bound(task) / UNIT for task in tasks]
        left -= sum(least)
        total = 0.0
        for task, bound in zip(tasks, least, strict=True):
            if left <= 0:
                return FAR
            length = _quick(task, math.ceil((left + bound) * UNIT)) / UNIT
            self.used += len(_LOOKS)
            left -= length - bound
            total += length
        return _cloth_length(recipe.kind, total, gap)

    # -------------------------------------------------------------- what is laid

    def lay(self, recipe: Recipe, evaluations: int = 0, seeds: int = SEEDS) -> Lay:
        """The shortest lay by a recipe within so many evaluations. Raises CannotLay."""
        refusals = self.refusals(recipe)
        if refusals:
            raise CannotLay(refusals)
        tasks = [self._task(s)[0] for s in self.stretches(recipe)]
        total = max(1, sum(len(t.items) for t in tasks))
        searches: list[Search] = []
        left = evaluations
        for n, task in enumerate(tasks):
            share = left if n == len(tasks) - 1 else evaluations * len(task.items) // total
            searches.append(searched(task, share, seeds, self.stop))
            left = max(0, left - searches[-1].used)
        used = sum(s.used for s in searches)
        self.used += used
        # Folded to other depths, or with other pieces in one layer, a lay of these kinds may be shorter.
        sure = recipe.kind not in ("two_folds", "side_fold", "part_fold")
        bound = searches[0].bound / UNIT if sure else self._least()
        done = sure and searches[0].done
        return self._drawn(recipe, tasks, [s.best for s in searches], used, bound, done)

    def again(self, recipe: Recipe, genes: tuple[Gene, ...]) -> Lay | None:
        """A kept order laid once more; None where it does not suit these pieces or this ground."""
        if self.refusals(recipe):
            return None
        tasks = [self._task(s)[0] for s in self.stretches(recipe)]
        laid, rest = [], genes
        for task in tasks:
            mine, rest = rest[: len(task.items)], rest[len(task.items) :]
            if sorted(g[0] for g in mine) != list(range(len(task.items))):
                return None
            if any(g[1] not in task.items[g[0]].ways for g in mine):
                return None
            found = Decoder(task).lay(mine, _limit(task))
            if found is None:
                return None
            laid.append(found)
            self.used += 1
        least = self._least()
        if recipe.kind == "cross_fold":
            least = least / 2 - self.ground.gap  # of each layer
        return None if rest else self._drawn(recipe, tasks, laid, 1, least, False)

    def _least(self) -> float:
        """What no lay of any kind is shorter than: all cut cloth side by side, or the longest piece; mm."""
        task, _ = prepare_strip(self.pieces, Strip("open", self.ground), self.made)
        may_cross = {p.key for p in self.pieces if p.may_cross}
        longest = 0
        for item in task.items:
            size = task.shapes[item.shape].size
            longest = max(longest, min(size) if item.key in may_cross else size[0])
        return max(sum(task.shapes[i.shape].area for i in task.items) / self.ground.width, longest / UNIT)

    def _drawn(
        self, recipe: Recipe, tasks: list[Task], laid: list[list[Laid]], used: int, bound: float, proved: bool
    ) -> Lay:
        """Placements in the order of the pieces as they were given, the stretches one behind the other."""
        gap = self.ground.gap
        at = gap if recipe.kind == "cross_fold" else 0.0  # the fold across is no cut edge
        placed: list[Placed] = []
        sections: list[LaySection] = []
        for n, (task, found) in enumerate(zip(tasks, laid, strict=True)):
            if n:
                at = _next(at + gap, self.ground.along)
            end = at + (found[-1].right / UNIT if found else 0.0)
            sections.append(self._section(recipe, n, task, at, end))
            low = sections[-1].low
            if recipe.kind == "side_fold":
                deep = sections[-1].high
                sections.append(LaySection(at, end, deep, self.ground.width - deep, 1))
            turned = {k.gene[0]: k for k in found}
            placed += [
                self._placed(recipe, task, task.items[i], turned[i], complex(at, low), n + task.items[i].flat)
                for i in sorted(turned)
            ]
            at = end
        total = sections[-1].end
        order = {p.key: n for n, p in enumerate(self.pieces)}
        placed.sort(key=lambda p: order[p.key])
        length = 2 * total if recipe.kind == "cross_fold" else total
        least = _cloth_length(recipe.kind, bound, gap) if recipe.kind == "cross_fold" else bound
        genes = tuple(k.gene for found in laid for k in found)
        return Lay(
            recipe.kind,
            self.ground.width,
            length,
            tuple(placed),
            used,
            min(least, length),
            proved or length <= least + PROVED,
            genes,
            recipe,
            tuple(sections),
        )

    def _section(self, recipe: Recipe, n: int, task: Task, start: float, end: float) -> LaySection:
        width = self.ground.width
        if recipe.kind == "part_fold" and n == 1:
            return LaySection(start, end, -width / 2, width / 2, 1)
        if recipe.kind == "open":
            return LaySection(start, end, 0.0, width, 1)
        if recipe.kind == "cross_fold":
            return LaySection(0.0, end, 0.0, width, 2, cross_fold=True)
        if recipe.kind == "two_folds":
            return LaySection(start, end, 0.0, width / 2, 2, (0.0, width / 2), task.meeting / UNIT)
        high = task.meeting / UNIT if recipe.kind == "side_fold" else width / 2
        return LaySection(start, end, 0.0, high, 2, (0.0,))

    def _placed(
        self, recipe: Recipe, task: Task, item: Item, laid: Laid, corner: complex, section: int
    ) -> Placed:
        placement = item.placement(laid.way, laid.at).then(Placement.move(corner))
        over = item.key in recipe.crossed
        if over:
            placement = Placement(QUARTER).then(placement)
        tall = task.shapes[item.shape].size[1]
        low = laid.at[1] - (0 if laid.way[1] > 0 else tall)
        far = task.kind == "two_folds" and low + tall > task.meeting
        spare = task.kind != "open" and not item.flat and not item.on_fold and len(item.copies) == 1
        return Placed(item.key, item.copies, placement, section, spare, item.on_fold, over, far)


_LOOKS = (("area", ANY_WAY), ("long", ANY_WAY), ("long", GROWTH), ("tall", ANY_WAY))


def _quick(task: Task, most: int) -> int:
    """The end of the shortest lay by a few orders, units; FAR where none is as short as `most`."""
    decoder, limit = Decoder(task), min(_limit(task), most)
    shapes = [task.shapes[item.shape] for item in task.items]
    numbers = range(len(shapes))
    orders = {
        "area": sorted(numbers, key=lambda n: -shapes[n].area),
        "long": sorted(numbers, key=lambda n: (-shapes[n].size[0], -shapes[n].size[1])),
        "tall": sorted(numbers, key=lambda n: (-shapes[n].size[1], -shapes[n].size[0])),
    }
    end = 0 if not task.items else int(FAR) * UNIT
    for name, rule in _LOOKS:
        laid = decoder.lay([(n, task.items[n].ways[0], rule) for n in orders[name]], min(limit, end))
        if laid:
            end = laid[-1].right
    return end


def _limit(task: Task) -> int:
    """All pieces one behind another, each with room for a repeat and for its gaps: no lay is longer."""
    return sum(
        max(x for x, _ in s.grown) - min(x for x, _ in s.grown) + task.repeat[0] + UNIT
        for s in (task.shapes[item.shape] for item in task.items)
    )


def _cloth_length(kind: LayKind, length: float, gap: float) -> float:
    """Of a lay: folded across it takes both layers and keeps off the fold; folded in part a gap lies between."""
    if kind == "cross_fold":
        return 2 * (length + gap)
    return length + gap if kind == "part_fold" else length


def _next(at: float, repeat: float) -> float:
    """The next line of the repeat from `at` on."""
    return at if not repeat else -(-at // repeat) * repeat


def _strip_kind(kind: LayKind) -> StripKind:
    assert kind != "part_fold"
    return kind
