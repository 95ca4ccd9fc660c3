"""Pieces cut from both sides of one cloth, and from a drawing for the other side: no ply comes out mirrored, and a lay
that would mirror one is told."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from helpers.changed import made as made_anew
from helpers.drafts import NAMES, Drafted, middling
from helpers.lay_garments import check_lay, rect
from helpers.random_garments import garment
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.cloths import cloths_to_lay
from booklet.cloth.engine import lays
from booklet.cloth.faces import mixes, one_faced, side_up
from booklet.cloth.judge import judge_plan
from booklet.cloth.kept import KeptLays, hash_of
from booklet.cloth.pieces import ClothGround, LayKind, LayPiece
from booklet.cloth.plan_of import plan_of
from booklet.cloth.stage import Laying
from booklet.model import Copy, CutPiece, CutRule, LayPlan
from booklet.paths import Placement
from booklet.problems import Collector
from booklet.reading.shop import read_shop

SHOP = read_shop(None)
GAP = SHOP.gap
ONE_OFFS = ("left_front", "right_front", "right_front_facing", "band", "long_tie", "short_tie")


def ruled(made: Drafted, rules: Mapping[str, dict[str, object]], cloth: str = "main") -> tuple[Copy, ...]:
    """The copies with words of their cut rules on a cloth replaced, by piece."""
    known: dict[int, CutRule] = {}
    out = []
    for copy in made.copies:
        rule = copy.rule
        if copy.piece.key in rules and copy.cloth == cloth:
            rule = known.setdefault(id(rule), replace(rule, **rules[copy.piece.key]))  # type: ignore[arg-type]
        out.append(replace(copy, rule=rule, face=rule.face))
    return tuple(out)


def faces(**told: str) -> dict[str, dict[str, object]]:
    return {key: {"face": face} for key, face in told.items()}


def plans_of(made: Drafted, copies: tuple[Copy, ...], kinds: tuple[LayKind, ...]) -> tuple[LayPlan, ...]:
    """A quick pass of each kind on the main cloth."""
    cloth = cloths_to_lay(made.style, copies, made.cut)[0]
    collector = Collector()
    laying = Laying(cloth, made.cut, SHOP, "cm", KeptLays(), collector, kinds)
    chosen = laying.on_widths(0)[0]
    assert {lay.kind for lay in chosen.lays} == set(kinds)
    return tuple(plan_of(lay, cloth, chosen.width, SHOP, "cm") for lay in chosen.lays)


def judged(plan: LayPlan, copies: tuple[Copy, ...], cuts: tuple[CutPiece, ...]) -> list[str]:
    return [f"{p.code} {p.what}" for p in judge_plan(plan, copies, cuts, GAP)]


def turned_over(plan: LayPlan, key: str) -> LayPlan:
    """A piece turned over where it lies, all that is said of it kept true."""
    out = []
    for put in plan.placings:
        if put.piece == key:
            x0, y0, x1, y1 = put.outline.bbox
            over = Placement.mirror(complex((x0 + x1) / 2, (y0 + y1) / 2), 1 + 0j)
            here = put.placing.then(over)
            grain = (over.apply(put.grain[0]), over.apply(put.grain[1]))
            put = replace(
                put, outline=put.outline.placed(over), placing=here, mirrored=here.mirrored, grain=grain
            )
        out.append(put)
    return replace(plan, placings=tuple(out))


# ------------------------------------------------------------------ which side


@pytest.mark.parametrize(
    ("how", "face", "fused", "symmetric", "up"),
    [
        ("single", "up", False, False, "up"),
        ("single", "down", False, True, "down"),
        ("single", "either", False, False, ""),
        ("same", "either", False, False, "up"),
        ("same", "either", True, False, "down"),
        ("same", "either", False, True, ""),
        ("same", "down", False, True, "down"),
        ("pair", "down", False, False, ""),
        ("whole on fold", "up", False, True, ""),
    ],
)
def test_the_side_that_a_rule_asks_for(how: str, face: str, fused: bool, symmetric: bool, up: str) -> None:
    rule = CutRule("main", 2, how, face, "whole", None, fused)  # type: ignore[arg-type]
    assert side_up(rule, symmetric) == up
    assert one_faced(rule) == (how in ("single", "same") and face != "either")


def test_a_cloth_mixes_only_with_both_sides() -> None:
    assert mixes(["up", "", "down"])
    assert not mixes(["up", ""]) and not mixes(["down", "down"]) and not mixes([])


# ------------------------------------------------------------------ laid and judged


@cache
def skirt(*down: str) -> tuple[Drafted, tuple[Copy, ...], dict[str, LayPlan]]:
    """The wrap skirt with some of its one-offs cut wrong side up, laid open and folded."""
    made = middling("skirt", ("length", "knee"))
    copies = ruled(made, faces(**dict.fromkeys(down, "down")))
    plans = plans_of(made, copies, ("open", "fold"))
    return made, copies, {plan.kind: plan for plan in plans}


@pytest.mark.parametrize("down", [("left_front",), ("left_front", "long_tie", "band")], ids=len)
def test_of_a_mixed_cloth_what_is_cut_wrong_side_up_is_turned_over(down: tuple[str, ...]) -> None:
    made, copies, plans = skirt(*down)
    for plan in plans.values():
        assert judged(plan, copies, made.cut) == []
    assert {p.piece for p in plans["open"].placings if p.mirrored} == set(down)
    spare = {p.piece for p in plans["fold"].placings if p.spare}
    assert spare == set(ONE_OFFS)


@pytest.mark.parametrize("key", ["left_front", "right_front"])
def test_a_lay_that_mirrors_one_of_a_mixed_cloth_is_told(key: str) -> None:
    made, copies, plans = skirt("left_front")
    number = made.cut_piece(key).piece.number
    found = judged(turned_over(plans["open"], key), copies, made.cut)
    assert any(f.startswith(f"lay-face piece {number} ") and "wrong side up" in f for f in found)


def test_a_lay_made_as_if_no_side_were_asked_for_is_told() -> None:
    """What laying both sides alike would give: the papers of all one-offs up."""
    made, copies, _ = skirt("left_front")
    alike = skirt()[2]["open"]
    found = judged(alike, copies, made.cut)
    assert [f for f in found if "left_front" in f] and not [f for f in found if "right_front" in f]


def test_a_cloth_cut_from_its_wrong_side_alone_is_laid_as_it_was() -> None:
    """Then it lies wrong side up, and every paper face up."""
    made = middling("skirt", ("length", "knee"))
    up, down = (ruled(made, faces(**dict.fromkeys(ONE_OFFS, face))) for face in ("up", "down"))
    one, other = (cloths_to_lay(made.style, copies, made.cut)[0] for copies in (up, down))
    assert one.pieces == other.pieces
    plan = plans_of(made, down, ("open",))[0]
    assert judged(plan, down, made.cut) == []
    assert not any(p.mirrored for p in plan.placings if p.piece in ONE_OFFS)
    assert any("lay-face" in f for f in judged(turned_over(plan, "left_front"), down, made.cut))


@settings(max_examples=12)
@given(st.lists(st.sampled_from(["up", "down"]), min_size=len(ONE_OFFS), max_size=len(ONE_OFFS)))
def test_random_mixes_are_laid_and_a_piece_turned_over_is_told(chosen: list[str]) -> None:
    made = middling("skirt", ("length", "knee"))
    asked = dict(zip(ONE_OFFS, chosen, strict=True))
    copies = ruled(made, faces(**asked))
    plan = plans_of(made, copies, ("open",))[0]
    assert judged(plan, copies, made.cut) == []
    # Cut out and turned to the side asked for, every ply is the drawing and not its mirror image.
    shows = "up" if "up" in chosen else "down"
    for put in plan.placings:
        if put.piece in asked:
            assert put.mirrored == (asked[put.piece] != shows)
            assert any("lay-face" in f for f in judged(turned_over(plan, put.piece), copies, made.cut))


@given(garment(), st.lists(st.booleans(), min_size=5, max_size=5))
def test_the_engine_holds_each_piece_to_its_side(pieces: tuple[LayPiece, ...], over: list[bool]) -> None:
    flagged = tuple(
        replace(p, over=o and p.mode in ("single", "same"), match=None)
        for p, o in zip(pieces, over, strict=False)
    )
    for found in lays(flagged, ClothGround(700.0)).lays:
        check_lay(found, flagged, GAP)


# ------------------------------------------------------------------ drawn for the other side


def test_a_left_and_a_right_cut_by_themselves_from_one_drawing() -> None:
    """As two one-offs instead of a pair: the drawing is of one side, so that the other's paper is turned over."""
    made = middling("top", *(("neck", "wide"), ("sleeve_end", "elastic")))
    pair = next(c.rule for c in made.copies if c.piece.key == "sleeve")
    copies = tuple(
        replace(c, rule=replace(pair, how="single", count=1, face="up", side=c.side))
        if c.piece.key == "sleeve"
        else c
        for c in made.copies
    )
    plan = plans_of(made, copies, ("open",))[0]
    assert judged(plan, copies, made.cut) == []
    sleeves = {p.copies[0]: p.mirrored for p in plan.placings if p.piece == "sleeve"}
    assert sleeves == {c.id: c.placing.mirrored for c in copies if c.piece.key == "sleeve"}
    assert sorted(sleeves.values()) == [False, True]


def test_a_pair_and_a_piece_on_the_fold_may_name_a_side() -> None:
    made = middling("top", *(("neck", "wide"), ("sleeve_end", "elastic")))
    copies = ruled(made, faces(sleeve="up", front="down", back="up"))
    for plan in plans_of(made, copies, ("open", "fold")):
        assert judged(plan, copies, made.cut) == []


def test_like_plies_that_name_a_side_are_cut_one_by_one() -> None:
    made = middling("top", *(("neck", "wide"), ("sleeve_end", "cuff")))
    told = {}
    for face in ("either", "up"):
        copies = ruled(made, faces(cuff=face))
        plan = plans_of(made, copies, ("fold",))[0]
        assert judged(plan, copies, made.cut) == []
        told[face] = [len(p.copies) for p in plan.placings if p.piece == "cuff"]
    assert told == {"either": [2], "up": [1, 1]}


# ------------------------------------------------------------------ kept


def test_the_mark_counts_in_the_hash_only_where_it_is() -> None:
    plain = LayPiece("tie", rect(300, 60), "single", 1)
    ground = ClothGround(1110.0)
    # The hash of this piece before there were pieces that lie with their paper face down.
    assert hash_of((plain,), ground, "open") == "5f65bed5351115ed"
    assert hash_of((replace(plain, over=True),), ground, "open") != "5f65bed5351115ed"


@pytest.mark.parametrize("style", NAMES)
def test_no_shipped_style_mixes(style: str) -> None:
    """So that the lays that they keep fit as before."""
    made = middling(style)
    assert not any(p.over for c in cloths_to_lay(made.style, made.copies, made.cut) for p in c.pieces)


def test_a_single_fused_ply_lies_glue_side_up_unless_it_says_otherwise(tmp_path: Path) -> None:
    """It is turned over onto the wrong side of a ply cut right side up, and is then of its shape."""
    said = "as: single, face: down, side: right, trim: to stitch line"
    plain = made_anew(tmp_path, "skirt", {"draft": [(said, said.replace("face: down, ", ""))]})
    singles = [c.rule for c in plain.copies if c.rule.how == "single"]
    assert {r.face for r in singles} == {"up", "down"}
    assert all(r.face == ("down" if r.fused else "up") for r in singles)
