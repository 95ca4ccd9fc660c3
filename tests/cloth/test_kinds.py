"""Two folds, folds across and in part, stripes, remnants and wider cloth: each kind rebuilt and measured by shapely."""

from __future__ import annotations

import os
import subprocess
import sys
from pathlib import Path

import pytest
from helpers.lay_garments import (
    blouse,
    bodice,
    check_lay,
    check_matched,
    dress,
    on_fold,
    polygon,
    rect,
    sleeve,
)
from helpers.random_garments import garment
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.engine import CUTTING_GAP, KINDS, fits, lay_on, lays, lays_of_widths, refusals_of, relaid
from booklet.cloth.kinds import FAR, Table
from booklet.cloth.lay import widened
from booklet.cloth.pieces import CannotLay, ClothGround, LayKind, LayPiece

WIDTHS = (890.0, 1120.0, 1370.0, 1470.0)


@pytest.mark.parametrize("kind", KINDS)
def test_garments_can_be_cut_as_laid(kind: LayKind) -> None:
    for pieces in (blouse(), dress()):
        for width in (1120.0, 1470.0):
            plan = lay_on(pieces, kind, ClothGround(width), 60)
            assert plan.kind == kind
            check_lay(plan, pieces, CUTTING_GAP)


def test_two_folds_save_what_one_fold_wastes() -> None:
    """Two halves as deep as a quarter of the cloth: on one fold one behind the other, on two side by side."""
    pieces = (on_fold("front", rect(900, 250)), on_fold("back", rect(900, 245)))
    ground = ClothGround(1000)
    once, twice = (lay_on(pieces, kind, ground, 40) for kind in ("fold", "two_folds"))
    assert once.length == pytest.approx(1800 + CUTTING_GAP, abs=1.1)
    assert twice.length == pytest.approx(900, abs=0.1)
    assert lays(pieces, ground).lays[0].kind == "two_folds"
    (section,) = twice.sections
    assert section.folds == (0.0, 500.0) and section.meeting == pytest.approx(250, abs=5.1)


@pytest.mark.parametrize("kind", KINDS)
def test_a_look_that_may_end_early_says_the_same_of_all_that_is_shorter(kind: LayKind) -> None:
    for pieces in (blouse(), dress()):
        table = Table(pieces, ClothGround(1470.0))
        recipe = table.chosen(kind)
        length = table.look(recipe)
        assert length < FAR
        for under in (length * 0.5, length - 0.01):
            fresh = Table(pieces, ClothGround(1470.0))
            assert fresh.look(recipe, under) >= under
            assert fresh.look(recipe, length + 0.01) == length  # what was cut short is not remembered
            assert fresh.look(recipe, under) == length


def test_nothing_lies_over_the_meeting_line_however_it_would_save() -> None:
    pieces = (on_fold("half", rect(400, 200)), LayPiece("panel", rect(300, 220), "pair", 2))
    plan = lay_on(pieces, "two_folds", ClothGround(900), 60)
    check_lay(plan, pieces, CUTTING_GAP)
    with pytest.raises(
        CannotLay
    ) as caught:  # too wide for either side of any meeting line that the cloth can have
        lay_on(
            (LayPiece("panel", rect(300, 440), "pair", 2), on_fold("half", rect(300, 30))),
            "two_folds",
            ClothGround(880),
        )
    assert "meeting line" in str(caught.value)


def test_a_fold_less_deep_than_the_cutting_gap_keeps_what_lies_behind_it_off_the_fold() -> None:
    pieces = (on_fold("strip", rect(600, 2.0)), LayPiece("bag", rect(300, 190), "pair", 2))
    plan = lay_on(pieces, "two_folds", ClothGround(412.0))
    check_lay(plan, pieces, CUTTING_GAP)


def test_a_single_piece_lies_in_two_layers_or_in_the_open_part_whichever_is_shorter() -> None:
    tail = (on_fold("front", rect(700, 350)), LayPiece("yoke", rect(80, 690), "single", 1))
    found = lays(tail, ClothGround(720), 40)
    assert found.lays[0].kind == "part_fold" or found.lays[0].length <= 790
    part = lay_on(tail, "part_fold", ClothGround(720), 40)
    check_lay(part, tail, CUTTING_GAP)
    assert [s.layers for s in part.sections] == [2, 1]
    assert part.length == pytest.approx(780 + CUTTING_GAP, abs=1.1)
    beside = (on_fold("front", rect(700, 250)), LayPiece("pocket", rect(150, 100), "single", 1))
    best = lays(beside, ClothGround(720), 40).lays[0]
    assert best.length == pytest.approx(700, abs=0.1)
    folded = lay_on(beside, "fold", ClothGround(720), 40)
    assert folded.spare == ("pocket",) and folded.length == pytest.approx(700, abs=0.1)


def apron() -> tuple[LayPiece, ...]:
    """A front on a shallow fold, and bands that are cut once, as long as it is, beside it."""
    bands = (LayPiece(f"band {n}", rect(700, 190 - 10 * n), "single", 1) for n in range(3))
    return (on_fold("front", rect(720, 200)), *bands)


def test_one_side_is_folded_in_just_as_deep_as_the_fold_piece_needs() -> None:
    ground = ClothGround(1000.0)
    plan = lay_on(apron(), "side_fold", ground, 20)
    check_lay(plan, apron(), CUTTING_GAP)
    folded, flat = plan.sections
    assert (folded.high, folded.layers, flat.layers) == (200.0, 2, 1)
    assert flat.high == 1000.0 - 200.0 and plan.strip == 800.0
    assert plan.length == pytest.approx(720, abs=0.1)
    assert [p.key for p in plan.placements if p.section == 0] == ["front"] and not plan.spare
    once = lay_on(apron(), "fold", ground, 20)  # each band would lie in two layers
    assert once.length > 2 * plan.length - 100
    assert lays(apron(), ground, 20).lays[0].kind == "side_fold"


def test_one_side_is_folded_in_only_where_that_saves() -> None:
    pairs = (on_fold("front", rect(700, 250)), LayPiece("back", rect(700, 240), "pair", 2))
    found = lays(pairs, ClothGround(1000.0), 20)
    assert found.lays[0].kind == "fold" and "side_fold" not in {p.kind for p in found.lays}
    assert any(kind == "side_fold" and "one side" in r.what for kind, r in found.refusals)
    whole = (LayPiece("bag", rect(400, 300), "pair", 2),)
    assert any(r.what.startswith("no piece lies on a fold") for r in refusals_of(whole, "side_fold", 700.0))
    with pytest.raises(CannotLay) as caught:  # half the cloth: nothing is left single
        lay_on((on_fold("front", rect(700, 499)),), "side_fold", ClothGround(1000.0))
    assert "single cloth" in str(caught.value)


def test_folded_across_wide_pairs_lie_side_by_side_and_nap_forbids_it() -> None:
    pieces = (LayPiece("leg", (0j, 900 + 0j, 860 + 500j, 40 + 430j), "pair", 2),)
    plan = lay_on(pieces, "cross_fold", ClothGround(900), 20)
    check_lay(plan, pieces, CUTTING_GAP)
    assert plan.length == pytest.approx(2 * (900 + CUTTING_GAP), abs=1.1)
    for ground, nap in ((ClothGround(900, one_way=True), False), (ClothGround(900), True)):
        napped = (LayPiece("leg", pieces[0].outline, "pair", 2, nap=nap),)
        with pytest.raises(CannotLay) as caught:
            lay_on(napped, "cross_fold", ground)
        assert caught.value.refusals[0].reason == "one way"


def test_one_way_cloth_lays_all_tops_to_one_end_in_every_kind() -> None:
    ground = ClothGround(1470, one_way=True)
    found = lays(blouse(), ground, 60)
    assert len(found.lays) >= 3
    for plan in found.lays:
        check_lay(plan, blouse(), CUTTING_GAP, one_way=True)
    assert found.lays[0].length >= lays(blouse(), ClothGround(1470), 60).lays[0].length - 60


def test_a_piece_that_may_cross_the_grain_is_turned_where_that_saves() -> None:
    band = LayPiece("band", rect(900, 80), "single", 1, may_cross=True)
    pieces = (LayPiece("panel", rect(500, 900), "single", 1), band)
    plan = lay_on(pieces, "open", ClothGround(950), 20)
    check_lay(plan, pieces, CUTTING_GAP)
    assert plan.length == pytest.approx(580 + CUTTING_GAP, abs=1.1)
    held = (pieces[0], LayPiece("band", rect(900, 80), "single", 1))
    assert lay_on(held, "open", ClothGround(950), 20).length > 1000
    with_nap = (pieces[0], LayPiece("band", rect(900, 80), "single", 1, nap=True, may_cross=True))
    assert lay_on(with_nap, "open", ClothGround(950), 20).length > 1000


def striped() -> tuple[LayPiece, ...]:
    return (
        LayPiece("front", bodice(710, 270, 90), "pair", 2, match=430 + 0j),
        LayPiece("back", bodice(700, 270, 25), "whole", 1, (25 + 0j, 705 + 0j), match=420 + 0j),
        LayPiece("sleeve", sleeve(420, 190), "pair", 2, match=150 + 0j),
    )


@pytest.mark.parametrize("repeat", [(80.0, 0.0), (0.0, 60.0), (80.0, 60.0)])
def test_match_points_meet_the_repeat(repeat: tuple[float, float]) -> None:
    ground = ClothGround(1120, along=repeat[0], across=repeat[1])
    found = lays(striped(), ground, 60)
    assert {"open", "fold"} <= {p.kind for p in found.lays}
    for plan in (*found.lays, lay_on(striped(), "part_fold", ground)):
        check_lay(plan, striped(), CUTTING_GAP)
        check_matched(plan, striped(), *repeat)
    told = {kind for kind, r in found.refusals if r.reason == "repeat"}
    assert told == ({"cross_fold"} if repeat[0] else set()) | ({"two_folds"} if repeat[1] else set())


def test_a_repeat_too_large_for_the_width_is_refused_in_a_sentence() -> None:
    piece = LayPiece("a", rect(300, 400), "single", 1, match=0 + 200j)
    with pytest.raises(CannotLay) as caught:
        lay_on((piece,), "open", ClothGround(450, across=900))
    assert "match point" in str(caught.value)


def test_a_wider_cloth_never_takes_more_of_any_kind() -> None:
    for pieces in (blouse(), dress()):
        rows = lays_of_widths(pieces, [ClothGround(w) for w in WIDTHS], [0, 120, 0, 0])
        for narrow, wide in zip(rows[:-1], rows[1:], strict=True):
            of_kind = {p.kind: p for p in wide.lays}
            for plan in narrow.lays:
                if plan.kind in of_kind:
                    assert of_kind[plan.kind].length <= plan.length
            assert wide.lays[0].length <= narrow.lays[0].length
        for row in rows:
            for plan in row.lays:
                check_lay(plan, pieces, CUTTING_GAP)


@pytest.mark.parametrize("kind", KINDS)
def test_a_lay_brought_to_a_wider_cloth_can_be_cut_there(kind: LayKind) -> None:
    plan = widened(lay_on(dress(), kind, ClothGround(1120)), 1500.0)
    assert plan.width == 1500.0
    check_lay(plan, dress(), CUTTING_GAP)


@pytest.mark.parametrize("kind", KINDS)
def test_a_kept_order_gives_the_same_lay_and_suits_another_body(kind: LayKind) -> None:
    ground = ClothGround(1470)
    plan = lay_on(dress(), kind, ground, 40)
    assert plan.recipe is not None
    again = relaid(dress(), ground, plan.recipe, plan.genes)
    assert again is not None and again.length == pytest.approx(plan.length, abs=0.01)
    check_lay(again, dress(), CUTTING_GAP)
    larger = tuple(
        LayPiece(
            p.key,
            tuple(z * 1.03 for z in p.outline),
            p.mode,
            p.count,
            None if p.fold_edge is None else (p.fold_edge[0] * 1.03, p.fold_edge[1] * 1.03),
        )
        for p in dress()
    )
    other = relaid(larger, ground, plan.recipe, plan.genes)
    if other is not None:
        check_lay(other, larger, CUTTING_GAP)
    assert relaid(blouse(), ground, plan.recipe, plan.genes) is None


def test_a_remnant_is_answered_with_a_lay_or_with_what_is_lacking() -> None:
    pieces = (LayPiece("bag", rect(400, 300), "same", 2, turnable=True),)
    enough = fits(pieces, ClothGround(620), 405)
    assert enough.fits and enough.lay is not None and enough.lay.length <= 405 and enough.lacking == 0
    short = fits(pieces, ClothGround(620), 380)
    assert not short.fits and short.lacking == pytest.approx(20, abs=0.1) and short.proved
    narrow = fits(pieces, ClothGround(250), 5000)
    assert not narrow.fits and narrow.lay is None
    assert any(r.over_mm == pytest.approx(50) for _, r in narrow.refusals)


@settings(max_examples=25, deadline=None)
@given(
    garment(),
    st.sampled_from([350.0, 640.0]),
    st.booleans(),
    st.sampled_from([0.0, 45.0]),
    st.sampled_from([0.0, 30.0]),
)
def test_no_kind_ever_lays_what_cannot_be_cut(
    pieces: tuple[LayPiece, ...], width: float, one_way: bool, along: float, across: float
) -> None:
    found = lays(pieces, ClothGround(width, 3.0, one_way, along, across), 30)
    assert found.lays or found.refusals
    for plan in found.lays:
        check_lay(plan, pieces, 3.0, one_way=one_way)
        check_matched(plan, pieces, along, across)


SCRIPT = """
from helpers.lay_garments import blouse
from booklet.cloth.engine import lays
from booklet.cloth.pieces import ClothGround
for plan in lays(blouse(), ClothGround(1470), 200).lays:
    print(repr((plan.kind, plan.length, plan.recipe, plan.placements)))
"""


def test_three_processes_give_the_same_placements(root: Path) -> None:
    outputs = []
    for seed in ("0", "1", "77"):
        env = {
            **os.environ,
            "PYTHONHASHSEED": seed,
            "PYTHONPATH": os.pathsep.join([str(root), str(root / "tests")]),
        }
        run = subprocess.run(
            [sys.executable, "-c", SCRIPT], env=env, capture_output=True, text=True, timeout=120, check=True
        )
        outputs.append(run.stdout)
    assert outputs[0] == outputs[1] == outputs[2] and outputs[0].count("Placed(") > 15


def test_shapes_of_the_helper_are_simple() -> None:
    assert all(polygon(p.outline).is_valid for p in striped())
