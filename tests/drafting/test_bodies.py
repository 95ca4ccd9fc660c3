"""Both styles drafted for real bodies: simple outlines, partner seams, least eases, all measured anew with shapely.

Source of the bodies: ANSUR II (2012), women, public domain (helpers/bodies.py).
"""

from __future__ import annotations

import pytest
from helpers.bodies import (
    EXTREMES,
    SAMPLE_SIZE,
    SurveyBody,
    choose_sample,
    feature,
    more_bodies,
    sample,
    survey,
)
from helpers.drafts import MIDDLING, NAMES, STYLES, draft_sources, draft_style, option_sets, sources
from helpers.sweep import faults_of

from booklet.reading.yaml_source import parse_yaml


def told(style: str, body: SurveyBody, options: dict[str, str]) -> list[str]:
    faults = faults_of(draft_style(style, body.measures, options))
    return [f"row {body.row}, {style}, {', '.join(options.values())}: {fault}" for fault in faults]


def test_the_sample_is_the_one_that_its_rule_chooses() -> None:
    assert len(sample()) == SAMPLE_SIZE
    assert len({b.row for b in sample()}) == SAMPLE_SIZE
    if survey():
        assert tuple(b.row for b in sample()) == choose_sample(survey())
        whole = {b.row: b for b in survey()}
        assert all(whole[b.row] == b for b in sample())


def test_the_sample_holds_the_extremes() -> None:
    """Least and greatest of the survey's 1,486 women, read off the survey's file."""
    for names, least, most in (
        (("bust_girth",), 726, 1266),
        (("hip_girth",), 801, 1314),
        (("hip_girth", "waist_girth"), -106, 347),
    ):
        found = [feature(b, names) for b in sample()]
        assert (min(found), max(found)) == (least, most)


@pytest.mark.parametrize("style", NAMES)
@pytest.mark.parametrize("nth", range(10))
def test_every_body_of_the_sample_can_be_drafted(style: str, nth: int) -> None:
    """Each body with one choice of options in turn; the whole sweep is the slow test below."""
    options = option_sets(style)
    faults: list[str] = []
    for k, body in enumerate(sample()[nth::10]):
        faults += told(style, body, options[(k + nth) % len(options)])
    assert faults == []


@pytest.mark.slow
@pytest.mark.parametrize("style", NAMES)
@pytest.mark.parametrize("nth", range(4))
def test_every_body_of_the_sample_can_be_drafted_with_all_options(style: str, nth: int) -> None:
    faults: list[str] = []
    for body in sample()[nth::4]:
        for options in option_sets(style):
            faults += told(style, body, options)
    assert faults == []


@pytest.mark.slow
@pytest.mark.skipif(not survey(), reason="the whole survey is not at hand; its sample of 60 is")
@pytest.mark.parametrize("style", NAMES)
def test_a_hundred_more_bodies_can_be_drafted(style: str) -> None:
    options = option_sets(style)
    faults: list[str] = []
    for k, body in enumerate(more_bodies(100)):
        faults += told(style, body, options[k % len(options)])
    assert faults == []


# ------------------------------------------------------------------ the checks can fail


def changed(style: str, old: str, new: str) -> list[str]:
    """Faults of a style with one change in its draft, for the middling body."""
    text = (STYLES / style / "draft.yaml").read_text(encoding="utf-8")
    assert text.count(old) >= 1
    style_file, _, sewing = sources(style)
    return faults_of(
        draft_sources(style_file, parse_yaml(text.replace(old, new, 1), "draft.yaml"), sewing, MIDDLING)
    )


@pytest.mark.parametrize(
    ("style", "old", "new", "words"),
    [
        ("top", "(bust_girth + 4) / 4", "(bust_girth + 1) / 4", "ease"),
        ("top", "ease: {front: front_ease", "ease: {front: front_ease * 3", "sleeve.head"),
        ("skirt", "+ 6) / 4", "+ 3) / 4", "ease"),
        (
            "skirt",
            "{across: -wrap, down: long - curve}",
            "{across: wrap * 2, down: long - curve}",
            "crosses itself",
        ),
    ],
)
def test_a_spoilt_draft_is_found_out(style: str, old: str, new: str, words: str) -> None:
    assert any(words in fault for fault in changed(style, old, new))


def test_every_feature_of_the_extremes_is_a_measure() -> None:
    assert all(name in sample()[0].measures for names in EXTREMES for name in names)
