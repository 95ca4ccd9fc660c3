"""Every step that touches cloth has a picture, clean by the judge, for all options and extreme bodies."""

from __future__ import annotations

import itertools

import pytest
from helpers.bodies import extreme_bodies
from helpers.steps import NO_PICTURE, body_with, demo_body, pictures, prepared, style

from booklet.drawing.judge import judge

COMBINATIONS = [
    (name, dict(zip(options, choice, strict=True)))
    for name, options in (
        ("top", {"neck": ("wide", "slit"), "sleeve_end": ("elastic", "cuff")}),
        ("skirt", {"length": ("knee", "calf")}),
    )
    for choice in itertools.product(*options.values())
]


def words(options: dict[str, str]) -> str:
    return "-".join(options.values())


@pytest.mark.parametrize(
    ("name", "options"), COMBINATIONS, ids=lambda v: v if isinstance(v, str) else words(v)
)
@pytest.mark.parametrize("units", ["cm", "in"])
def test_every_step_that_touches_cloth_has_a_clean_picture(
    name: str, options: dict[str, str], units: str
) -> None:
    made = prepared(style(name), demo_body(), options, units)
    for step, verb, drawings, left in pictures(made, units):
        assert (not drawings) == (verb in NO_PICTURE), step
        assert left == (), f"{step}: no room for {left}"
        for drawing in drawings:
            assert drawing.width <= 106.0
            assert [f.what for f in judge(drawing)] == [], step


@pytest.mark.slow
@pytest.mark.parametrize("number", range(5))
@pytest.mark.parametrize(
    ("name", "options"), COMBINATIONS, ids=lambda v: v if isinstance(v, str) else words(v)
)
def test_extreme_bodies_are_drawn_clean(name: str, options: dict[str, str], number: int) -> None:
    body = extreme_bodies()[number]
    made = prepared(style(name), body_with(body.measures), options)
    for step, _, drawings, left in pictures(made):
        assert left == (), f"{step}: no room for {left}"
        for drawing in drawings:
            assert [f.what for f in judge(drawing)] == [], step
