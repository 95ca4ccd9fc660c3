"""Shipped styles laid in every kind, striped and one way, judged; and the judge's answer to those lays broken."""

from __future__ import annotations

import math
import time
from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from helpers.bodies import extreme_bodies
from helpers.changed import Changes, changed, codes
from helpers.drafts import Drafted, cases, draft_style, middling
from helpers.steps import demo_body, prepared

from booklet.cloth.cloths import cloths_to_lay
from booklet.cloth.engine import KINDS, lay_on, lays
from booklet.cloth.judge import judge_plan
from booklet.cloth.pieces import LayKind
from booklet.cloth.plan_of import plan_of
from booklet.model import Copy, CutPiece, LayPlan, LaySection, Placing
from booklet.paths import Placement
from booklet.reading.shop import read_shop
from booklet.reading.yaml_source import Source

SHOP = read_shop(None)

CHECKED: Changes = {
    "style": [
        (
            "    shrinkage: 4 %\n",
            "    shrinkage: 4 %\n    repeat: {along: 8 cm, across: 6 cm}\n    one way: true\n",
        )
    ],
    "draft": [
        ("    number: 1\n    title: Front\n", "    number: 1\n    title: Front\n    stripe at: side.start\n"),
        ("    number: 2\n    title: Back\n", "    number: 2\n    title: Back\n    stripe at: side.start\n"),
    ],
}


def plans(style: Source, copies: tuple[Copy, ...], cuts: tuple[CutPiece, ...]) -> list[LayPlan]:
    """Every kind of every cloth at its first width."""
    out = []
    for cloth in cloths_to_lay(style, copies, cuts):
        width = cloth.widths[0]
        found = lays(cloth.pieces, cloth.ground(width, SHOP))
        out += [plan_of(lay, cloth, width, SHOP, "cm") for lay in found.lays]
    return out


@cache
def of_style(name: str) -> tuple[list[LayPlan], Drafted]:
    made = middling(name, *next(o for s, o in cases() if s == name))
    return plans(made.style, made.copies, made.cut), made


def told(plan: LayPlan, made: Drafted) -> set[str]:
    return {p.code for p in judge_plan(plan, made.copies, made.cut, SHOP.gap)}


@pytest.mark.parametrize("name", ["top", "skirt", "apron", "aline", "blouse"])
def test_the_judge_is_silent_about_every_kind_and_quick(name: str) -> None:
    made_plans, made = of_style(name)
    for plan in made_plans:
        took = []
        for _ in range(3):
            start = time.perf_counter()
            assert judge_plan(plan, made.copies, made.cut, SHOP.gap) == (), plan.kind
            took.append(time.perf_counter() - start)
        assert min(took) < 0.05  # 10 ms where nothing else runs; room for a busy machine


@pytest.mark.slow
def test_the_judge_is_silent_for_extreme_bodies() -> None:
    for n, body in enumerate(extreme_bodies()[:3]):
        style, options = cases()[(0, 4, 3)[n]]
        made = draft_style(style, body.measures, dict(options))
        for plan in plans(made.style, made.copies, made.cut):
            assert told(plan, made) == set(), (style, plan.kind)


def test_checked_one_way_cloth_from_the_words_of_the_style(tmp_path: Path) -> None:
    files = changed(tmp_path, "top", CHECKED)
    made = prepared(files, demo_body(), {}, "cm")
    cloth = next(c for c in cloths_to_lay(files.sources["style"], made.copies, made.cuts) if c.most)
    assert cloth.repeat == (80.0, 60.0) and cloth.nap
    front, back = (next(p for p in cloth.pieces if p.key == k) for k in ("front", "back"))
    assert front.match is not None and back.match is not None
    found = lays(cloth.pieces, cloth.ground(cloth.widths[0], SHOP))
    assert found.lays
    for lay in found.lays:
        plan = plan_of(lay, cloth, cloth.widths[0], SHOP, "cm")
        assert judge_plan(plan, made.copies, made.cuts, SHOP.gap) == ()
        # A stripe off: the front moved along by less than a repeat.
        n = next(k for k, p in enumerate(plan.placings) if p.piece == "front")
        off = spoilt(plan, n, 3.0)
        assert "lay-match" in {p.code for p in judge_plan(off, made.copies, made.cuts, SHOP.gap)}


def test_a_half_piece_on_the_bias_is_opened_out_and_turned_by_45_degrees(tmp_path: Path) -> None:
    bias: Changes = {"draft": [("    title: Front\n", "    title: Front\n    grain: bias\n")]}
    files = changed(tmp_path, "top", bias)
    made = prepared(files, demo_body(), {}, "cm")
    cloth = next(c for c in cloths_to_lay(files.sources["style"], made.copies, made.cuts) if c.most)
    for lay in lays(cloth.pieces, cloth.ground(cloth.widths[0], SHOP)).lays:
        plan = plan_of(lay, cloth, cloth.widths[0], SHOP, "cm")
        assert judge_plan(plan, made.copies, made.cuts, SHOP.gap) == ()
        front = next(p for p in plan.placings if p.piece == "front")
        assert not front.on_fold
        assert abs(abs(front.placing.turn.real) - math.sqrt(0.5)) < 1e-6


@pytest.mark.parametrize(
    ("file", "old", "new", "code"),
    [
        ("style", "    shrinkage: 4 %\n", "    shrinkage: 4 %\n    repeat: {}\n", "error"),
        (
            "draft",
            "    title: Front\n",
            "    title: Front\n    stripe at: sode.start\n",
            "error unknown-edge",
        ),
        (
            "draft",
            "    title: Front\n",
            "    title: Front\n    stripe at: side.middle\n",
            "error unknown-mark",
        ),
        ("draft", "    title: Front\n", "    title: Front\n    nap: true\n    may turn: across\n", "error"),
        ("draft", "    title: Front\n", "    title: Front\n    may turn: round\n", "error"),
    ],
)
def test_nonsense_is_told_in_a_sentence(tmp_path: Path, file: str, old: str, new: str, code: str) -> None:
    assert any(c.startswith(code) for c in codes(tmp_path, "top", {file: [(old, new)]}))


# ------------------------------------------------------------------ broken on purpose


def moved(placing: Placing, by: Placement) -> Placing:
    here = placing.placing.then(by)
    grain = (by.apply(placing.grain[0]), by.apply(placing.grain[1]))
    return replace(
        placing, outline=placing.outline.placed(by), placing=here, mirrored=here.mirrored, grain=grain
    )


def spoilt(plan: LayPlan, n: int, by: complex | Placement) -> LayPlan:
    placings = list(plan.placings)
    placings[n] = moved(placings[n], by if isinstance(by, Placement) else Placement.move(by))
    return replace(plan, placings=tuple(placings))


def laid_so(kind: LayKind) -> tuple[LayPlan, Drafted]:
    """The blouse in one kind, whether it saves or not."""
    made = middling("blouse", *next(o for s, o in cases() if s == "blouse"))
    cloth = next(c for c in cloths_to_lay(made.style, made.copies, made.cut) if c.most)
    plan = plan_of(lay_on(cloth.pieces, kind, cloth.ground(1500.0, SHOP)), cloth, 1500.0, SHOP, "cm")
    assert told(plan, made) == set()
    return plan, made


@pytest.mark.parametrize("kind", KINDS)
def test_every_kind_can_be_cut_whether_it_saves_or_not(kind: LayKind) -> None:
    assert laid_so(kind)[0].kind == kind


def test_a_crossed_meeting_line_is_told() -> None:
    plan, made = laid_so("two_folds")
    (section,) = plan.sections
    assert section.meeting is not None
    n = next(k for k, p in enumerate(plan.placings) if not p.on_fold)
    middle = (plan.placings[n].outline.bbox[1] + plan.placings[n].outline.bbox[3]) / 2
    over = spoilt(plan, n, complex(0, section.meeting - middle))
    said = judge_plan(over, made.copies, made.cut, SHOP.gap)
    assert any("over the meeting line" in p.what for p in said)


def test_a_fold_edge_off_the_far_fold_is_told() -> None:
    plan, made = laid_so("two_folds")
    for n, placing in enumerate(plan.placings):
        if placing.on_fold:
            assert "lay-fold" in told(spoilt(plan, n, 0.5j), made)


def test_the_end_of_the_fold_crossed_is_told() -> None:
    plan, made = laid_so("part_fold")
    n = next(k for k, p in enumerate(plan.placings) if p.section == 1)
    x0 = plan.placings[n].outline.bbox[0]
    back = judge_plan(spoilt(plan, n, plan.sections[0].end - x0 - 40), made.copies, made.cut, SHOP.gap)
    assert any("where the fold ends" in p.what for p in back)
    m = next(k for k, p in enumerate(plan.placings) if p.section == 0)
    on = plan.sections[0].end - plan.placings[m].outline.bbox[2] + 40
    assert any(
        "where the fold ends" in p.what
        for p in judge_plan(spoilt(plan, m, on), made.copies, made.cut, SHOP.gap)
    )


def test_a_ply_on_the_fold_across_and_a_top_turned_round_are_told() -> None:
    plan, made = laid_so("cross_fold")
    n = min(range(len(plan.placings)), key=lambda k: plan.placings[k].outline.bbox[0])
    assert "lay-inside" in told(spoilt(plan, n, -2.0), made)
    assert "lay-nap" in told(replace(plan, one_way=True), made)


def test_one_way_cloth_with_a_piece_turned_is_told() -> None:
    plan, made = laid_so("open")
    z = plan.placings[0].outline.bbox
    half = Placement.rotation(math.pi, complex((z[0] + z[2]) / 2, (z[1] + z[3]) / 2))
    up = {(p.grain[1] - p.grain[0]).real > 0 for p in plan.placings}
    either = replace(plan, one_way=True)
    assert len(up) == 1 or "lay-nap" in told(either, made)
    assert len(up) == 2 or "lay-nap" in told(spoilt(either, 0, half), made)


def test_a_ply_left_over_and_not_said_is_told() -> None:
    plan, made = laid_so("cross_fold")
    n = next(k for k, p in enumerate(plan.placings) if p.spare)
    placings = list(plan.placings)
    placings[n] = replace(placings[n], spare=False)
    assert "lay-plies" in told(replace(plan, placings=tuple(placings)), made)


def test_stretches_that_are_none_of_the_kind_are_told() -> None:
    plan, made = laid_so("two_folds")
    (section,) = plan.sections
    wrong: tuple[LaySection, ...] = (
        replace(section, high=section.high + 20),
        replace(section, folds=(0.0,)),
        replace(section, meeting=None),
        replace(section, layers=1),
        replace(section, cross_fold=True),
    )
    for other in wrong:
        assert "lay-stretch" in told(replace(plan, sections=(other,)), made), other
    far = list(plan.placings)
    far[0] = replace(far[0], section=3)
    assert "lay-stretch" in told(replace(plan, placings=tuple(far)), made)
