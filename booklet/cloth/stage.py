"""Cloth: each cloth of the style with its pieces laid out, and the length to buy.

A style has one budget of evaluations, spent on the chosen width of the cloth with most plies; everything else gets a
placing pass. A kept lay is used as it stands; an order kept of other outlines is laid once more instead of a search,
one of another width besides it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, field, replace
from typing import Literal

from booklet.cloth.chart_base import base_length
from booklet.cloth.cloths import (
    KINDS,
    SAME_WIDTH,
    ClothToLay,
    cloths_to_lay,
    least_width,
    open_words,
    refusal_words,
    too_narrow,
    width_problems,
)
from booklet.cloth.coarse import coarse, trued
from booklet.cloth.engine import PLAIN, Lay, lays, refusals_of, relaid, useful
from booklet.cloth.judge import judge_plan
from booklet.cloth.kept import KeptLays, genes_of, hash_of, lay_of
from booklet.cloth.kinds import Table
from booklet.cloth.lay import Recipe, widened
from booklet.cloth.one_way import one_way_lays, tops_to_one_end
from booklet.cloth.orient import Made
from booklet.cloth.pieces import ClothGround, LayKind
from booklet.cloth.plan_of import amounts_of, plan_of
from booklet.cloth.splitting import splittings
from booklet.cloth.watch import Doing, counted, never, silent
from booklet.cloth.width_chart import is_base, within_band
from booklet.cloth.widths import Offer, in_order, no_longer
from booklet.cloth.widths import preferred as preferred_offer
from booklet.cloth.working import sold_wide
from booklet.language import tongue_of
from booklet.model import ClothNeed, Copy, CutPiece, LayPlan, Saving
from booklet.problems import Collector, Problem
from booklet.reading.shop import Shop
from booklet.reading.translations import joined
from booklet.reading.yaml_source import Source

__all__ = ["EVALUATIONS", "cloth_needs", "width_problems"]

EVALUATIONS = 1200  # of a style in all
OTHER_CLOTHS = 100  # of them for the chosen width of each cloth beside the one with most plies
WORTH_TELLING = 50.0  # mm less to buy

NONE_KEPT = KeptLays()


def cloth_needs(
    style: Source,
    copies: tuple[Copy, ...],
    cuts: tuple[CutPiece, ...],
    shop: Shop,
    units: Literal["cm", "in"],
    collector: Collector,
    evaluations: int = EVALUATIONS,
    width: str | None = None,
    kept: KeptLays = NONE_KEPT,
    like: Sequence[ClothNeed] = (),
    doing: Doing = silent,
) -> tuple[ClothNeed, ...]:
    """One need a cloth that is cut at all. The first width listed (or `width`) is the chosen one.

    `like` are the needs of another size: then only their recommended kinds of lay are placed, by coarse outlines; all
    kinds and the true outlines where that can't be. `doing` is told what is laid, and how far it is.
    """
    cloths = cloths_to_lay(style, copies, cuts, width)
    if like:
        return tuple(
            Laying(
                coarsened(c), cuts, shop, units, kept, collector, kinds_like(c.key, like), true=c, doing=doing
            ).need(0)
            for c in cloths
        )
    other = min(OTHER_CLOTHS, evaluations // (2 * max(1, len(cloths))))
    return tuple(
        Laying(cloth, cuts, shop, units, kept, collector, doing=doing).need(
            evaluations - other * (len(cloths) - 1) if cloth.most else other
        )
        for cloth in cloths
    )


def kinds_like(cloth: str, needs: Sequence[ClothNeed]) -> tuple[LayKind, ...]:
    """The kinds that are recommended for a cloth, on any of its widths; all kinds where that isn't known."""
    found = {lay.kind for need in needs if need.key == cloth for lay in need.lays if lay.recommended}
    return tuple(kind for kind in KINDS if kind in found) or KINDS


def coarsened(cloth: ClothToLay) -> ClothToLay:
    """The cloth with outlines of few corners."""
    return replace(cloth, pieces=tuple(coarse(p) for p in cloth.pieces))


@dataclass(frozen=True)
class OnWidth:
    """All lays of a cloth at one width, mm as sold; `held` are the kinds kept as they stand. `told` says why none is.

    `most` is the length recommended on narrower cloth, mm.
    """

    width: float
    ground: ClothGround
    lays: tuple[Lay, ...]
    held: tuple[LayKind, ...]
    told: str = ""
    most: float = math.inf


@dataclass(frozen=True)
class Laying:
    """One cloth being laid; `made` keeps no-fit polygons from width to width.

    `true`: the cloth with all kinds of lay and true outlines, for where `cloth` has coarse ones and finds no lay.
    """

    cloth: ClothToLay
    cuts: tuple[CutPiece, ...]
    shop: Shop
    units: Literal["cm", "in"]
    kept: KeptLays
    collector: Collector
    kinds: tuple[LayKind, ...] = KINDS
    made: Made = field(default_factory=dict)
    true: ClothToLay | None = None
    thorough: bool = False  # whether kinds of which no lay is kept are tried too, though others are kept
    doing: Doing = silent
    stop: Callable[[], bool] = never

    def need(self, evaluations: int) -> ClothNeed:
        """Everything about the cloth."""
        cloth, shop = self.cloth, self.shop
        chosen, *others = self.on_widths(evaluations)
        if not chosen.lays and self.true is not None:
            return replace(self, cloth=self.true, kinds=KINDS, made={}, true=None).need(evaluations)
        if not chosen.lays:
            self.collector.add(too_narrow(cloth, chosen.told, shop, self.units))
        plans = self._plans(chosen)
        for on in others:
            plans += self._plans(on)[:1]
        plans = self._bound(plans, (chosen, *others))
        parted = self._parted(plans[0], chosen) if chosen.lays and self.true is None else None
        one_way = self._one_way(plans)
        return ClothNeed(
            cloth.key,
            tongue_of(self.units).said(joined(cloth.title)),
            tongue_of(self.units).said(joined(cloth.kind)),
            len(cloth.plies),
            tuple(plans),
            tuple((on.width, on.told) for on in (chosen, *others) if not on.lays),
            cloth.fusible,
            cloth.shrinkage,
            least_mm=least_width(cloth, shop),
            savings=tuple(self._savings(plans, chosen, parted)),
            split_lay=parted and parted[1],
            one_way_mm=None if one_way is None else one_way.buy_mm,
            one_way_lay=None if one_way is None or one_way in plans else one_way,
        )

    # -------------------------------------------------------------- laying

    def on_widths(self, evaluations: int) -> list[OnWidth]:
        """The chosen width first, then the others as listed. A wider cloth never takes more, of any kind of lay and of
        the one recommended."""
        cloth = self.cloth
        chosen = self._on_width(cloth.widths[0], evaluations, (), True)
        done: dict[float, OnWidth] = {}
        narrower: list[Lay] = []
        most = math.inf
        for width in sorted(cloth.widths):
            on = chosen if width == chosen.width else self._on_width(width, 0, chosen.lays, False)
            shortest = no_longer(on.lays, on.ground.width, narrower, most)
            held = tuple(lay.kind for lay in shortest if lay in on.lays and lay.kind in on.held)
            done[width] = replace(on, lays=shortest, held=held, most=most)
            narrower += shortest
            if shortest:
                most = shortest[in_order([self._offer(lay) for lay in shortest], most)[0]].length
        return [done[width] for width in cloth.widths]

    def _on_width(self, width: float, evaluations: int, like: Iterable[Lay], all_kinds: bool) -> OnWidth:
        """`like` are lays of another width whose orders are tried too."""
        cloth, ground = self.cloth, self.cloth.ground(width, self.shop)
        held = [lay for kind in self.kinds if (lay := self._held(width, ground, kind)) is not None]
        kinds = tuple(lay.kind for lay in held)
        if held and not all_kinds:
            return OnWidth(width, ground, tuple(held), kinds)
        # Whoever kept lays has seen whether folding in part or across saves anything, as far as such lays were known.
        left = [
            kind for kind in self.kinds if kind not in kinds and (not held or self.thorough or kind in PLAIN)
        ]
        again = []
        done = False  # whether an order kept of this width is laid, which no search is likely to better
        for kind in left:
            order = self.kept.order(cloth.key, kind, width, cloth.pieces)
            genes = genes_of(order) if order is not None else None
            if order is not None and genes is not None:
                again.append(relaid(cloth.pieces, ground, order.recipe, genes, self.made))
                done = done or (again[-1] is not None and abs(order.width - width) < SAME_WIDTH)
        again += [
            relaid(cloth.pieces, ground, lay.recipe, lay.genes, self.made)
            for lay in like
            if lay.recipe and lay.genes
        ]
        candidates = [lay for lay in again if lay is not None]
        searched = 0 if done else evaluations
        told = f"Laying {cloth.title}, {sold_wide(width, self.units)}"
        watched = counted(self.doing, told, searched, self.stop)
        found = lays(cloth.pieces, ground, searched, candidates, watched, left, self.made)
        # What keeps the pieces off even the open cloth says enough.
        flat = [r for kind, r in found.refusals if kind == "open"]
        told = refusal_words(flat or [r for _, r in found.refusals], cloth, self.units)
        made = found.lays
        if self.true is not None:  # of coarse outlines: what counts is how long the true ones take
            made = tuple(trued(lay, cloth.drawn) for lay in made)
        saving = useful((*held, *made))[0]
        return OnWidth(width, ground, (*held, *(lay for lay in made if lay in saving)), kinds, told)

    def _offer(self, lay: Lay) -> Offer:
        return Offer(amounts_of(lay, self.cloth, self.shop, self.units)[1], lay.length, lay.kind)

    def _held(self, width: float, ground: ClothGround, kind: LayKind) -> Lay | None:
        """The kept lay of these very outlines, if the judge passes it."""
        kept = self.kept.fitting(self.cloth.key, hash_of(self.cloth.pieces, ground, kind))
        if kept is None:
            return None
        try:
            lay = lay_of(kept, self.cloth.pieces, ground)
            problems = (
                [] if lay is None else self.judged(plan_of(lay, self.cloth, width, self.shop, self.units))
            )
        except (KeyError, IndexError):
            lay, problems = None, []
        if lay is not None and not problems:
            return lay
        why = f": {problems[0].what}" if problems else ""
        self.collector.warning(
            "kept-lay",
            kept.where,
            f"this kept lay cannot be cut as it stands{why}, so the lay is made fresh",
            "Run `booklet lay` to keep it anew.",
        )
        return None

    def best(self, on: OnWidth) -> Lay:
        """The lay recommended of a width, as the booklet takes it. IndexError where there is none."""
        return on.lays[in_order([self._offer(lay) for lay in on.lays], on.most)[0]]

    def kept_on(self, ground: ClothGround) -> list[Lay]:
        """What the kept lays give on a ground of any width: their orders laid on it, and those of narrower cloth as they
        stand."""
        cloth = self.cloth
        orders = [self.kept.order(cloth.key, kind, ground.width, cloth.pieces) for kind in self.kinds]
        found = [
            relaid(cloth.pieces, ground, order.recipe, genes, self.made)
            for order in orders
            if order is not None and (genes := genes_of(order)) is not None
        ]
        for width in cloth.widths if not any(cloth.repeat) else ():
            narrow = cloth.ground(width, self.shop)
            if narrow.width <= ground.width:
                held = [self._held(width, narrow, kind) for kind in self.kinds]
                found += [widened(lay, ground.width) for lay in held if lay is not None]
        return [lay for lay in found if lay is not None]

    def judged(self, plan: LayPlan) -> list[Problem]:
        """What an independent look finds wrong with a plan."""
        return list(judge_plan(plan, self.cloth.plies, self.cuts, self.shop.gap))

    # -------------------------------------------------------------- telling

    def _plans(self, on: OnWidth) -> list[LayPlan]:
        """Each lay as a plan, judged; the recommended one first."""
        why = self._why_open(on.ground)
        made = [
            plan_of(
                lay,
                self.cloth,
                on.width,
                self.shop,
                self.units,
                why if lay.kind == "open" else "",
                lay.kind in on.held,
            )
            for lay in on.lays
        ]
        where = self.cloth.where
        for plan in made:
            if not plan.kept:
                self.collector.add(
                    *(Problem(p.code, p.severity, where, p.what, p.mend) for p in self.judged(plan))
                )
        order = in_order([_told(plan) for plan in made], on.most)
        return [replace(made[k], recommended=n == 0) for n, k in enumerate(order)]

    def _why_open(self, ground: ClothGround) -> str:
        """Why the cloth is not folded, where what it is cut into is the reason and not its width."""
        against = refusals_of(self.cloth.pieces, "fold", ground.width, ground.gap)
        useless = bool(against) and all(refusal.reason == "no use" for refusal in against)
        return open_words(self.cloth, self.units) if useless else ""

    def _bound(self, plans: list[LayPlan], widths: Sequence[OnWidth]) -> list[LayPlan]:
        """The recommended plans with the piece that decides their length, where the chart of widths tells another one."""
        base = self._base_length(plans)
        if base is None:
            return plans
        by_width = {on.width: on for on in widths}
        out = []
        for plan in plans:
            usual = not plan.recommended or within_band(plan.length_mm, base, plan.width_mm)
            on = by_width[plan.width_mm]
            lay = next(lay for lay in on.lays if lay.kind == plan.kind)
            out.append(plan if usual else replace(plan, binds=self._binding(lay, on.ground)))
        return out

    def _base_length(self, plans: Sequence[LayPlan]) -> float | None:
        """The length on the chart's base width, mm: of that plan, else by a placing pass; None where it is not known."""
        best = [plan for plan in plans if plan.recommended]
        listed = next((plan.length_mm for plan in best if is_base(plan.width_mm)), None)
        if listed is not None or not best or not self.cloth.most or self.true is not None:
            return listed
        return base_length(self.cloth, self.shop, best[0].kind)

    def _one_way(self, plans: Sequence[LayPlan]) -> LayPlan | None:
        """How to lay it with a nap: the recommended plan itself where that will do. For the cloth with most plies alone,
        and not for a size that is only placed."""
        if not plans or not self.cloth.most or self.cloth.fusible or self.true is not None:
            return None
        if tops_to_one_end(plans[0]):
            return plans[0]
        found = one_way_lays(self.cloth, plans[0], self.shop, self.units, self.made)
        return next((plan for plan in found if not self.judged(plan)), None)

    def _binding(self, lay: Lay, ground: ClothGround) -> str:
        """The piece without which the lay would be shortest, by a quick look."""
        recipe = lay.recipe or Recipe(lay.kind)

        def without(key: str) -> float:
            return Table(tuple(p for p in self.cloth.pieces if p.key != key), ground, made=self.made).look(
                recipe
            )

        keys = [p.key for p in self.cloth.pieces]
        return self.cloth.drawn[min(keys, key=without)].copies[0].piece.key

    def _savings(
        self, plans: Sequence[LayPlan], chosen: OnWidth, parted: tuple[tuple[str, ...], LayPlan] | None
    ) -> Iterable[Saving]:
        """Where the numbers show a way to buy less; `parted` as `_parted` gives it."""
        best = next((p for p in plans if p.width_mm == chosen.width and p.recommended), None)
        if best is None:
            return
        once = next((p for p in plans if p.width_mm == chosen.width and p.kind == "fold"), best)
        if once.buy_mm - best.buy_mm >= WORTH_TELLING:
            yield Saving("kind", best.kind, best.width_mm, best.buy_mm, once.buy_mm - best.buy_mm)
        for plan in plans:
            if plan.width_mm > best.width_mm and best.buy_mm - plan.buy_mm >= WORTH_TELLING:
                yield Saving("wider", plan.kind, plan.width_mm, plan.buy_mm, best.buy_mm - plan.buy_mm)
        turned = self._turned(chosen)
        if turned is not None and best.buy_mm - turned.buy_mm >= WORTH_TELLING:
            yield Saving("turn", turned.kind, turned.width_mm, turned.buy_mm, best.buy_mm - turned.buy_mm)
        if parted is not None:
            keys, lay = parted
            yield Saving("split", lay.kind, lay.width_mm, lay.buy_mm, best.buy_mm - lay.buy_mm, keys)

    def _parted(self, best: LayPlan, chosen: OnWidth) -> tuple[tuple[str, ...], LayPlan] | None:
        """A placing pass with pieces cut in two where the style lets them be, and which; None where it buys no less."""
        kinds = [kind for kind in self.kinds if kind in PLAIN]
        found: list[tuple[tuple[str, ...], LayPlan]] = []
        for keys, cloth in splittings(self.cloth):
            made = lays(cloth.pieces, chosen.ground, kinds=kinds, made=self.made).lays
            plans = [plan_of(lay, cloth, chosen.width, self.shop, self.units) for lay in made]
            pieces = tuple(dict.fromkeys(cloth.drawn[key].copies[0].piece.key for key in keys))
            found += [(pieces, plan) for plan in plans if not self.judged(plan)]
        saving = [f for f in found if best.buy_mm - f[1].buy_mm >= WORTH_TELLING]
        return min(saving, key=lambda f: (f[1].buy_mm, len(f[0]), preferred(f[1])), default=None)

    def _turned(self, chosen: OnWidth) -> LayPlan | None:
        """A placing pass as if no piece were held to one way; None where none is."""
        if not self.cloth.nap and not any(p.nap for p in self.cloth.pieces):
            return None
        pieces = tuple(replace(p, nap=False) for p in self.cloth.pieces)
        ground = replace(chosen.ground, one_way=False)
        found = lays(pieces, ground, kinds=self.kinds, made=self.made).lays
        made = [plan_of(lay, self.cloth, chosen.width, self.shop, self.units) for lay in found]
        return min(made, key=preferred, default=None)


def preferred(plan: LayPlan) -> tuple[float, float, int]:
    """Sorts plans of one width: the least to buy, of these the shortest to a millimetre, then the least work."""
    return preferred_offer(_told(plan))


def _told(plan: LayPlan) -> Offer:
    return Offer(plan.buy_mm, plan.length_mm, plan.kind)
