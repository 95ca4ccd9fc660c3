"""The lay judge: silent about lays that can be cut as drawn, and heard about every way of spoiling one."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable
from dataclasses import replace
from functools import cache

import pytest
from helpers.bodies import extreme_bodies
from helpers.drafts import Drafted, case_name, cases, draft_style, middling

from booklet.cloth.judge import judge_plan
from booklet.cloth.stage import cloth_needs
from booklet.model import Copy, CutPiece, LayPlan, Placing
from booklet.paths import Path, Placement
from booklet.reading.shop import read_shop

GAP = 3.0
EVALUATIONS = 0  # the engine's quick pass


def plans_of(made: Drafted) -> tuple[LayPlan, ...]:
    needs = cloth_needs(made.style, made.copies, made.cut, read_shop(None), "cm", made.collector, EVALUATIONS)
    assert made.errors == ()
    return tuple(plan for need in needs for plan in need.lays)


@cache
def middling_plans(style: str, *options: tuple[str, str]) -> tuple[LayPlan, ...]:
    return plans_of(middling(style, *options))


@cache
def a_plan(style: str, cloth: str, kind: str) -> tuple[LayPlan, tuple[Copy, ...], tuple[CutPiece, ...]]:
    options = next(o for s, o in cases() if s == style)
    plan = next(p for p in middling_plans(style, *options) if p.cloth == cloth and p.kind == kind)
    made = middling(style, *options)
    return plan, made.copies, made.cut


def codes(plan: LayPlan, copies: tuple[Copy, ...], cuts: tuple[CutPiece, ...]) -> set[str]:
    found = judge_plan(plan, copies, cuts, GAP)
    assert all(p.severity == "error" and p.what for p in found)
    return {p.code for p in found}


def moved(placing: Placing, by: Placement) -> Placing:
    """The same ply laid elsewhere, all that is said of it kept true."""
    here = placing.placing.then(by)
    grain = (by.apply(placing.grain[0]), by.apply(placing.grain[1]))
    return replace(
        placing, outline=placing.outline.placed(by), placing=here, mirrored=here.mirrored, grain=grain
    )


def spoilt(plan: LayPlan, number: int, by: Callable[[Placing], Placing]) -> LayPlan:
    placings = list(plan.placings)
    placings[number] = by(placings[number])
    return replace(plan, placings=tuple(placings))


def middle(placing: Placing) -> complex:
    x0, y0, x1, y1 = placing.outline.bbox
    return complex((x0 + x1) / 2, (y0 + y1) / 2)


# ------------------------------------------------------------------ silent where nothing is wrong


def said(made: Drafted, plans: tuple[LayPlan, ...]) -> list[str]:
    assert {p.cloth for p in plans} == {c.cloth for c in made.copies}
    return [p.what for plan in plans for p in judge_plan(plan, made.copies, made.cut, GAP)]


@pytest.mark.parametrize(
    ("style", "options"), [c for c in cases() if c[0] == "skirt" or c == cases()[0]], ids=case_name
)
def test_nothing_is_said_of_the_engines_lays(style: str, options: tuple[tuple[str, str], ...]) -> None:
    assert said(middling(style, *options), middling_plans(style, *options)) == []


@pytest.mark.slow
def test_nothing_is_said_of_lays_with_other_options_and_extreme_bodies() -> None:
    for style, options in cases()[1:4]:
        assert said(middling(style, *options), middling_plans(style, *options)) == []
    for n, body in enumerate(extreme_bodies()[:4]):
        style, options = cases()[(0, 4, 3, 5)[n]]
        made = draft_style(style, body.measures, dict(options))
        assert said(made, plans_of(made)) == []


# ------------------------------------------------------------------ heard where something is


def test_a_ply_left_out_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    assert codes(replace(plan, placings=plan.placings[1:]), copies, cuts) >= {"lay-copies"}


def test_a_ply_laid_twice_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    again = moved(plan.placings[0], Placement.move(complex(plan.length_mm + 20, 0)))
    longer = replace(
        plan, placings=(*plan.placings, again), length_mm=2 * plan.length_mm + 20, need_mm=1e5, buy_mm=1e5
    )
    assert codes(longer, copies, cuts) >= {"lay-copies"}


def test_a_ply_of_another_cloth_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    foreign = next(c for c in copies if c.cloth == "interfacing")
    assert "lay-copies" in codes(spoilt(plan, 0, lambda p: replace(p, copies=(foreign.id,))), copies, cuts)
    assert "lay-copies" in codes(spoilt(plan, 0, lambda p: replace(p, copies=("sail.left",))), copies, cuts)


@pytest.mark.parametrize(("style", "kind"), [("skirt", "open"), ("top", "open"), ("top", "fold")])
def test_plies_too_near_each_other_are_told(style: str, kind: str) -> None:
    """Each neighbour pushed towards the other: first the gap is short, then they overlap."""
    plan, copies, cuts = a_plan(style, "main", kind)
    told: set[str] = set()
    for n in range(len(plan.placings)):
        for step in (2.5, -2.5, 2.5j, -2.5j, 60.0, -60.0):
            told |= codes(spoilt(plan, n, lambda p, s=step: moved(p, Placement.move(s))), copies, cuts)
        if {"lay-gap", "lay-overlap"} <= told:
            return
    raise AssertionError(f"only {sorted(told)} told")


@pytest.mark.parametrize(
    ("by", "words"),
    [
        (-4000 + 0j, "before the cloth's beginning"),
        (4000 + 0j, "beyond the length"),
        (-3000j, "selvedge"),
        (3000j, "selvedge"),
    ],
)
def test_a_ply_off_the_cloth_is_told(by: complex, words: str) -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    found = judge_plan(spoilt(plan, 0, lambda p: moved(p, Placement.move(by))), copies, cuts, GAP)
    assert any(p.code == "lay-inside" and words in p.what for p in found)


def test_a_one_off_laid_wrong_side_up_is_told() -> None:
    """Right side up is never mirrored: the wrap skirt's fronts, its facing and the facing's interfacing."""
    for cloth in ("main", "interfacing"):
        plan, copies, cuts = a_plan("skirt", cloth, "open")
        for n, placing in enumerate(plan.placings):
            if next(c for c in copies if c.id == placing.copies[0]).rule.how != "single":
                continue  # the back is its own mirror image
            over = Placement.mirror(middle(placing), 1 + 0j)
            found = judge_plan(spoilt(plan, n, lambda p, o=over: moved(p, o)), copies, cuts, GAP)
            assert any(p.code == "lay-face" and "wrong side up" in p.what for p in found)


def test_a_pair_both_laid_the_same_way_up_is_told() -> None:
    plan, copies, cuts = a_plan("top", "main", "open")
    n = next(k for k, p in enumerate(plan.placings) if p.piece == "sleeve")
    over = Placement.mirror(middle(plan.placings[n]), 1 + 0j)
    assert "lay-face" in codes(spoilt(plan, n, lambda p: moved(p, over)), copies, cuts)


def test_a_matrix_that_disagrees_with_what_is_said_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    assert "lay-face" in codes(spoilt(plan, 0, lambda p: replace(p, mirrored=not p.mirrored)), copies, cuts)
    far = Path(tuple(tuple(z + 2 for z in s) for s in plan.placings[0].outline.segments))
    assert "lay-outline" in codes(spoilt(plan, 0, lambda p: replace(p, outline=far)), copies, cuts)
    large = replace(plan.placings[0].placing, turn=plan.placings[0].placing.turn * 1.001)
    assert "lay-scale" in codes(spoilt(plan, 0, lambda p: replace(p, placing=large)), copies, cuts)


@pytest.mark.parametrize("degrees", [0.5, -2.0, 90.0])
def test_a_ply_off_the_grain_is_told(degrees: float) -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    turn = Placement.rotation(math.radians(degrees), middle(plan.placings[0]))
    assert "lay-grain" in codes(spoilt(plan, 0, lambda p: moved(p, turn)), copies, cuts)


def test_half_a_turn_keeps_the_grain_unless_there_is_nap() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    turned = spoilt(plan, 0, lambda p: moved(p, Placement.rotation(math.pi, middle(p))))
    assert not {"lay-grain", "lay-nap", "lay-face"} & codes(turned, copies, cuts)
    napped = tuple(replace(c, piece=replace(c.piece, nap=True)) for c in cuts)

    def one_way(p: Placing) -> Placing:
        up = (p.grain[1] - p.grain[0]).real > 0
        return p if up else moved(p, Placement.rotation(math.pi, middle(p)))

    all_up = replace(plan, placings=tuple(one_way(p) for p in plan.placings))
    assert "lay-nap" not in codes(all_up, copies, napped)
    one_down = spoilt(all_up, 0, lambda p: moved(p, Placement.rotation(math.pi, middle(p))))
    assert "lay-nap" in codes(one_down, copies, napped)


def fold_piece(plan: LayPlan) -> int:
    return next(n for n, p in enumerate(plan.placings) if p.on_fold)


@pytest.mark.parametrize("off", [0.01j, -0.5j, 4.0j])
def test_a_fold_edge_off_the_fold_is_told(off: complex) -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    n = fold_piece(plan)
    assert "lay-fold" in codes(spoilt(plan, n, lambda p: moved(p, Placement.move(off))), copies, cuts)


def test_a_fold_edge_at_a_slant_is_told() -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    n = fold_piece(plan)
    turn = Placement(cmath.rect(1, 0.001), 0j)
    assert {"lay-fold", "lay-grain"} <= codes(spoilt(plan, n, lambda p: moved(p, turn)), copies, cuts)


def test_a_piece_with_unlike_halves_cannot_lie_on_the_fold() -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    key = plan.placings[fold_piece(plan)].piece
    lopsided = tuple(
        replace(c, cut=Path.polyline([z + (2 if z.real > 50 else 0) for z in c.cut.flatten()]))
        if c.piece.key == key
        else c
        for c in cuts
    )
    assert "lay-fold" in codes(plan, copies, lopsided)


def test_a_shorter_fold_edge_than_drafted_is_told() -> None:
    """The slit of an opening drawn in at the fold would cut the fold edge short."""
    plan, copies, cuts = a_plan("top", "main", "fold")
    key = plan.placings[fold_piece(plan)].piece
    cut = next(c for c in cuts if c.piece.key == key)
    fold = cut.piece.edge(cut.piece.fold or "")
    assert fold is not None
    low = min(fold.path.start.imag, fold.path.end.imag)
    # The top 40 mm of the piece are missing at the fold, on both halves alike.
    gone = [complex(z.real, max(z.imag, low + 40)) for z in cut.cut.flatten()]
    short = tuple(replace(c, cut=Path.polyline(gone)) if c is cut else c for c in cuts)
    assert "lay-fold" in codes(plan, copies, short)


def test_a_piece_too_near_the_fold_would_be_cut_joined() -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    n = next(k for k, p in enumerate(plan.placings) if not p.on_fold)
    down = -plan.placings[n].outline.bbox[1] + 0.5
    found = judge_plan(spoilt(plan, n, lambda p: moved(p, Placement.move(down * 1j))), copies, cuts, GAP)
    assert any(p.code == "lay-inside" and "over the fold" in p.what for p in found)


def test_a_one_off_in_a_folded_cloth_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    folded = replace(plan, kind="fold", sections=())
    assert "lay-plies" in codes(
        folded, copies, cuts
    )  # of the two plies one is left over, and the plan must say so
    single = next(
        n for n, p in enumerate(plan.placings) if len({c.id for c in copies if c.piece.key == p.piece}) > 1
    )
    two = spoilt(folded, single, lambda p: replace(p, copies=(p.copies[0], p.copies[0])))
    assert {"lay-face", "lay-copies"} & codes(two, copies, cuts)


def test_a_fold_piece_without_a_fold_is_told() -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    assert "lay-fold" in codes(replace(plan, kind="open", sections=()), copies, cuts)
    assert "lay-stretch" in codes(replace(plan, kind="open"), copies, cuts)


def test_two_plies_of_one_side_are_no_pair() -> None:
    plan, copies, cuts = a_plan("top", "main", "fold")
    n = next(k for k, p in enumerate(plan.placings) if p.piece == "sleeve")
    left = next(c.id for c in copies if c.piece.key == "sleeve" and c.side == "left")
    assert {"lay-face", "lay-copies"} <= codes(
        spoilt(plan, n, lambda p: replace(p, copies=(left, left))), copies, cuts
    )


def test_a_length_that_is_not_the_lays_is_told() -> None:
    plan, copies, cuts = a_plan("skirt", "main", "open")
    assert "lay-length" in codes(replace(plan, length_mm=plan.length_mm + 5), copies, cuts)
    assert "lay-inside" in codes(replace(plan, length_mm=plan.length_mm - 5, sections=()), copies, cuts)
    assert "lay-length" in codes(replace(plan, buy_mm=plan.length_mm - 1), copies, cuts)
