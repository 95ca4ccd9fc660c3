"""French seams, flat fells and lapped seams: their rows, their allowances, their pictures."""

from __future__ import annotations

import pytest
from helpers.drafts import MIDDLING, STYLES, Drafted, draft_sources, sources

from booklet.drawing.judge import judge
from booklet.model import Seam
from booklet.pictures.bench import Bench
from booklet.pictures.step_scene import StepScene
from booklet.pictures.steps import step_picture
from booklet.reading.shop import read_shop
from booklet.reading.yaml_source import parse_yaml
from booklet.seams.table import RecipeStep
from booklet.sewing.checks_enclosed import check_enclosed
from booklet.sewing.operations.enclosed import covering
from booklet.sewing.words import StepWords, write_steps

LEFT = """    join: [back.side.left, left_front.side]
    id: left-side
    title: Join the left side
    press: open
    neaten: apart
"""


def skirt(verb: str, allow: str = "") -> Drafted:
    """The wrap skirt with its left side sewn in another way, `allow` changing the side allowances."""
    style, _, _ = sources("skirt")
    text = (
        (STYLES / "skirt/sewing.yaml")
        .read_text(encoding="utf-8")
        .replace(LEFT, f"    {verb}\n    id: left-side\n")
    )
    drawn = (STYLES / "skirt/draft.yaml").read_text(encoding="utf-8")
    for old, new in [pair.split(">") for pair in allow.split(";") if pair]:
        assert old in drawn
        drawn = drawn.replace(old, new, 1)
    return draft_sources(style, parse_yaml(drawn, "draft.yaml"), parse_yaml(text, "sewing.yaml"), MIDDLING)


def words_of(made: Drafted) -> StepWords:
    steps = write_steps(made.seams.steps, made.seams, made.copies, made.table, read_shop(), "cm")
    return next(w for w in steps if w.id == "left-side")


def seam_of(made: Drafted) -> Seam:
    return next(s for s in made.seams.seams if s.step == "left-side")


VERBS = (
    "french seam: [back.side.left, left_front.side]",
    "flat fell: [back.side.left, left_front.side]",
    "lapped seam: {over: back.side.left, under: left_front.side}",
)


@pytest.mark.parametrize("verb", VERBS)
def test_it_joins_as_a_plain_seam_does(verb: str) -> None:
    made, plain = skirt(verb), skirt(LEFT.strip().split("\n")[0])
    assert not made.errors
    a, b = seam_of(made), seam_of(plain)
    assert (a.kind, a.a_mm, a.b_mm) == ("join", b.a_mm, b.b_mm)
    assert a.neaten == "enclosed"
    check_enclosed(made.seams, made.collector)
    assert not made.errors


@pytest.mark.parametrize(("verb", "rows", "seam_class"), list(zip(VERBS, (2, 2, 1), (1, 2, 2), strict=True)))
def test_each_row_is_as_long_as_the_seam(verb: str, rows: int, seam_class: int) -> None:
    """ISO 4916: a French seam is of class 1, superimposed; felled and lapped seams are of class 2, lapped."""
    made = skirt(verb)
    stitching = words_of(made).stitching
    assert [s.mm for s in stitching] == pytest.approx([seam_of(made).a_mm] * rows)
    assert {s.seam_class for s in stitching} == {seam_class}


def test_both_rows_of_a_french_seam_make_up_the_allowance() -> None:
    words = words_of(skirt(VERBS[0]))
    assert words.facts["first"] + words.facts["second"] == pytest.approx(15.0)
    assert words.facts["trim"] < words.facts["second"]
    assert "wrong sides together" in words.paragraphs[0] and "9\u00a0mm" in words.paragraphs[1]


@pytest.mark.parametrize("press", ["to back", "to front"])
def test_a_fell_covers_the_side_that_it_is_pressed_to(press: str) -> None:
    made = skirt(f"{VERBS[1]}\n    press: {press}")
    words = words_of(made)
    covered = press.removeprefix("to ")
    assert covered in words.facts["covered"] and covered not in words.facts["covering"]
    assert covering(seam_of(made)) == (15.0, 15.0)


NARROW = "allow: {hem: 3, waist: 1, other: 1.5}>allow: {hem: 3, waist: 1, side: 0.8, other: 1.5}"
BOTH = (
    NARROW
    + ";allow: {hem: 3, wrap_edge: 2, waist: 1, other: 1.5}>allow: {hem: 3, wrap_edge: 2, waist: 1, side: 0.8, other: 1.5}"
)


@pytest.mark.parametrize(
    ("verb", "allow", "told"),
    [
        (VERBS[0], BOTH, "needs 10 mm"),
        (f"{VERBS[1]}\n    press: to front", NARROW, "too narrow"),
        (VERBS[2], BOTH.replace("0.8", "0.3"), "both need 5 mm"),
    ],
)
def test_too_little_to_shut_in_is_told(verb: str, allow: str, told: str) -> None:
    made = skirt(verb, allow)
    check_enclosed(made.seams, made.collector)
    (said,) = [p for p in made.collector.errors if p.code == "narrow-allowance"]
    assert told in said.sentence() and said.where is not None and said.where.line > 1


@pytest.mark.parametrize("verb", VERBS)
@pytest.mark.parametrize("units", ["cm", "in"])
def test_its_picture_can_be_read(verb: str, units: str) -> None:
    made = skirt(verb)
    (step,) = [s for s in made.seams.steps if s.id == "left-side"]
    assert isinstance(step, RecipeStep)
    bench = Bench({c.id: c for c in made.copies}, {c.piece.key: c for c in made.cut})
    scene = StepScene(step.verb, step.spec, step.raw, made.seams.of_step(step.id), bench, units)  # type: ignore[arg-type]
    pictures, left = step_picture(scene)
    assert len(pictures) == 1 and not left
    assert not judge(pictures[0].drawing)  # type: ignore[arg-type]
