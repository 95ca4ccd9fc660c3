"""A wider cloth never takes more: of no kind of lay, and not of the one recommended; by construction."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise

import pytest
from helpers.drafts import Drafted, cases, middling
from helpers.lay_garments import check_lay
from helpers.random_garments import garment
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.cloths import ClothToLay, cloths_to_lay
from booklet.cloth.engine import Lay, lay_on, lays_of_widths
from booklet.cloth.judge import judge_plan
from booklet.cloth.kept import KeptLay, KeptLays, hash_of, places_of
from booklet.cloth.lay import Recipe, widened
from booklet.cloth.pieces import ClothGround, LayPiece
from booklet.cloth.stage import Laying, coarsened
from booklet.cloth.widths import Offer, in_order, no_longer
from booklet.model import ClothNeed, LayPlan
from booklet.problems import Collector
from booklet.reading.shop import read_shop

SHOP = read_shop(None)
WIDE = st.lists(st.integers(300, 1100), min_size=3, max_size=5, unique=True)


@settings(max_examples=15, deadline=None)
@given(garment(), WIDE, st.sampled_from([0.0, 45.0]), st.sampled_from([0, 25]))
def test_no_kind_and_no_first_lay_of_a_wider_cloth_is_longer(
    pieces: tuple[LayPiece, ...], widths: list[int], along: float, evaluations: int
) -> None:
    grounds = [ClothGround(float(w), along=along) for w in widths]
    budget = [evaluations if n == 0 else 0 for n in range(len(widths))]
    rows = lays_of_widths(pieces, grounds, budget)
    by_width = [row.lays for _, row in sorted(zip(widths, rows, strict=True), key=lambda r: r[0])]
    never_longer([[(lay.kind, lay.length) for lay in row] for row in by_width if row])
    for row in by_width:
        for lay in row:
            check_lay(lay, pieces, 3.0)


def never_longer(rows: list[list[tuple[str, float]]]) -> None:
    """Rows of (kind, length), the recommended first, by width: strictly, without any tolerance."""
    shortest: dict[str, float] = {}
    for row in rows:
        for kind, length in row:
            assert length <= shortest.get(kind, math.inf), kind
            shortest[kind] = length
    for narrow, wide in pairwise(rows):
        assert wide[0][1] <= narrow[0][1]


# ------------------------------------------------------------------ a style's cloths, kept lays, other sizes


@cache
def cloth_of(style: str) -> tuple[Drafted, ClothToLay]:
    made = middling(style, *next(options for name, options in cases() if name == style))
    return made, next(c for c in cloths_to_lay(made.style, made.copies, made.cut) if c.most)


def recommended(need: ClothNeed) -> list[LayPlan]:
    return sorted((p for p in need.lays if p.recommended), key=lambda p: p.width_mm)


def held_to_widths(laying: Laying) -> None:
    """Every kind and the recommended plan, over all widths of the cloth; and each can be cut as drawn."""
    by_width = sorted(laying.on_widths(0), key=lambda on: on.width)
    plans = [laying._plans(on) for on in by_width if on.lays]
    never_longer([[(p.kind, p.length_mm) for p in row] for row in plans])
    for narrow, wide in pairwise(recommended(laying.need(0))):
        assert wide.length_mm <= narrow.length_mm and wide.buy_mm <= narrow.buy_mm
    for row in plans:
        for plan in row:
            assert judge_plan(plan, laying.cloth.plies, laying.cuts, SHOP.gap) == ()


LISTED = st.lists(st.integers(800, 1700), min_size=2, max_size=4, unique=True)


@settings(max_examples=5, deadline=None)
@given(st.sampled_from(["apron", "aline", "skirt"]), LISTED)
def test_widths_of_a_style_in_any_order(style: str, widths: list[int]) -> None:
    made, cloth = cloth_of(style)
    wide = replace(cloth, widths=tuple(map(float, widths)))
    held_to_widths(Laying(wide, made.cut, SHOP, "cm", KeptLays(), Collector()))


def kept_so(lay: Lay, cloth: ClothToLay, width: float) -> KeptLay:
    ground = cloth.ground(width, SHOP)
    return KeptLay(
        cloth.key, width, lay.kind, "M", (), hash_of(cloth.pieces, ground, lay.kind), "by hand",
        lay.length, lay.bound, lay.proved, lay.recipe or Recipe(lay.kind), lay.sections,
        places_of(lay, cloth.pieces),
    )  # fmt: skip


@settings(max_examples=4, deadline=None)
@given(LISTED, st.sampled_from(["open", "fold"]), st.booleans())
def test_a_long_lay_kept_for_a_wide_cloth_is_not_used_where_a_narrow_one_takes_less(
    widths: list[int], kind: str, first: bool
) -> None:
    made, cloth = cloth_of("aline")
    wide = replace(cloth, widths=tuple(map(float, widths)))
    narrow = wide.ground(1150.0, SHOP)
    poor = lay_on(cloth.pieces, kind, narrow)  # type: ignore[arg-type]
    at = float(max(widths)) if first else 1600.0
    kept = ()
    if at >= 1150:
        kept = (kept_so(widened(poor, wide.ground(at, SHOP).width), wide, at),)
    collector = Collector()
    held_to_widths(Laying(wide, made.cut, SHOP, "cm", KeptLays(kept), collector))
    assert not collector.problems


def test_a_kept_lay_gives_way_to_a_shorter_one_of_a_narrower_cloth() -> None:
    made, cloth = cloth_of("aline")
    wide = replace(cloth, widths=(1500.0, 1400.0))
    ground = wide.ground(1500.0, SHOP)
    poor = widened(lay_on(cloth.pieces, "fold", wide.ground(1000.0, SHOP)), ground.width)
    laying = Laying(wide, made.cut, SHOP, "cm", KeptLays((kept_so(poor, wide, 1500.0),)), Collector())
    best = {p.width_mm: p for p in laying.need(0).lays if p.recommended}
    assert best[1500.0].length_mm <= best[1400.0].length_mm < poor.length and not best[1500.0].kept
    held_to_widths(laying)


@settings(max_examples=4, deadline=None)
@given(st.sampled_from(["apron", "aline"]), LISTED)
def test_coarse_lays_of_another_size_are_held_to_it_by_their_true_lengths(
    style: str, widths: list[int]
) -> None:
    made, cloth = cloth_of(style)
    wide = replace(cloth, widths=tuple(map(float, widths)))
    held_to_widths(
        Laying(coarsened(wide), made.cut, SHOP, "cm", KeptLays(), Collector(), ("fold", "open"), true=wide)
    )


# ------------------------------------------------------------------ which one is recommended


def test_the_shortest_is_recommended_and_of_lays_as_short_the_one_of_least_work() -> None:
    assert in_order([Offer(300, 262, "two_folds"), Offer(300, 262, "fold"), Offer(300, 262, "open")])[0] == 1
    assert in_order([Offer(300, 262, "two_folds"), Offer(300, 264, "fold")])[0] == 0
    assert in_order([Offer(300, 262, "open"), Offer(400, 263, "fold")])[0] == 0
    assert in_order([Offer(300, 262.0, "open"), Offer(300, 262.3, "side_fold")])[0] == 1


def test_what_is_recommended_never_takes_more_than_a_narrower_cloth() -> None:
    """Even where, by its repeat say, a longer lay would be bought for less."""
    offers = [Offer(400, 240, "open"), Offer(300, 260, "fold")]
    assert in_order(offers)[0] == 1
    assert in_order(offers, most=250) == [0, 1]
    assert in_order([], most=250) == []


def test_a_kind_that_only_the_narrower_cloth_was_given_is_a_candidate_on_the_wider_one() -> None:
    _, cloth = cloth_of("aline")
    narrow = lay_on(cloth.pieces, "fold", cloth.ground(1150.0, SHOP))
    wide = lay_on(cloth.pieces, "open", cloth.ground(1500.0, SHOP))
    long = replace(wide, length=narrow.length + 100)
    found = no_longer((long,), 1476.0, (narrow,), narrow.length)
    assert [lay.kind for lay in found] == ["open", "fold"]
    assert min(lay.length for lay in found) == narrow.length
    assert {lay.width for lay in found} == {1476.0}


@pytest.mark.slow
@pytest.mark.parametrize("style", ["apron", "aline", "skirt", "blouse", "top"])
def test_a_style_by_five_centimetres(style: str) -> None:
    made, cloth = cloth_of(style)
    every = tuple(900.0 + 50 * n for n in range(13))
    widths = (1400.0, 1405.0, 1150.0) if style in ("blouse", "top") else every
    held_to_widths(Laying(replace(cloth, widths=widths), made.cut, SHOP, "cm", KeptLays(), Collector()))
