"""Every style of the checkout with every combination of its options, made once a unit and shared by the tests."""

from __future__ import annotations

from dataclasses import replace
from functools import cache

from booklet.combinations import combinations_of
from booklet.drawing.page import PageSpec
from booklet.job import Checked, check_style, draw_steps, make_job
from booklet.model import Job, Step
from booklet.pages.compose import compose
from booklet.problems import Collector
from booklet.reading.read import Body, Sided, StyleFiles, read_body, read_style
from helpers.bodies import extreme_bodies
from helpers.steps import ROOT, body_with

STYLES = tuple(sorted(f.parent.name for f in (ROOT / "styles").glob("*/style.yaml")))
UNITS = ("cm", "in")
CHILD = 1450.0  # mm: no body of the survey is as short
BUILDS = ((0.75, 0.9), (0.85, 1.15), (1.0, 0.88), (1.15, 1.0), (1.35, 1.1), (1.35, 1.4))
Options = tuple[tuple[str, str], ...]


@cache
def files(style: str) -> StyleFiles:
    return read_style(ROOT / "styles" / style)


def options_of(style: str) -> tuple[Options, ...]:
    return combinations_of(files(style), {})


CASES = tuple((style, options) for style in STYLES for options in options_of(style))
BASE = tuple((style, options_of(style)[0]) for style in STYLES)


def own_unit(style: str) -> str:
    """The unit that the style is drafted in."""
    return "in" if files(style).style.units == "in" else "cm"


def other_unit(style: str) -> str:
    return "cm" if own_unit(style) == "in" else "in"


def case_name(value: object) -> str | None:
    if isinstance(value, tuple):
        return "-".join(choice for _, choice in value) or "plain"
    return str(value) if isinstance(value, str) else None


@cache
def checked(style: str, options: Options, units: str) -> Checked:
    """The style on its own body, up to the words of its steps."""
    return _checked(style, options, units, None)


@cache
def drawn(style: str, options: Options, units: str) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    """Its steps with their pictures, and a sentence for each label that found no place."""
    if (style, options) in BASE and units == own_unit(style):
        made = job(style, options, units)
        return made.steps, tuple(p.what for p in made.problems if p.code == "label")
    return _drawn(checked(style, options, units), units)


@cache
def job(style: str, options: Options, units: str) -> Job:
    """The whole job with the quickest lays; in the other units the lays are those of the style's own."""
    if units != own_unit(style):
        steps, _ = drawn(style, options, units)
        return replace(job(style, options, own_unit(style)), units=units, steps=steps)  # type: ignore[arg-type]
    return make_job(files(style), options=dict(options), units=units, evaluations=0)  # type: ignore[arg-type]


def pages(style: str, options: Options, units: str, paper: str = "a4") -> tuple[PageSpec, ...]:
    """Every page but the tiles."""
    return _pages(style, options, units, paper)  # with all four, so that a default is not kept twice


@cache
def _pages(style: str, options: Options, units: str, paper: str) -> tuple[PageSpec, ...]:
    return tuple(compose(replace(job(style, options, units), paper=paper)))


def on_body(style: str, options: Options, units: str, body: Body) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    return _drawn(_checked(style, options, units, body), units)


def far_bodies(style: str) -> tuple[Body, ...]:
    """Six bodies far from the style's own: real women of the survey, or invented children of other sizes and builds."""
    own = read_body(files(style).base)
    if float(own.measures["height"]) > CHILD:  # type: ignore[arg-type]
        return tuple(body_with(b.measures) for b in extreme_bodies()[:6])
    return tuple(_child(own, *build) for build in BUILDS)


def _child(own: Body, tall: float, wide: float) -> Body:
    """The style's own body with its lengths and its girths each times so much."""
    given = {n: float(m) for n, m in own.measures.items() if not isinstance(m, Sided)}
    grown = {n: m * (wide if n.endswith("girth") else tall) for n, m in given.items()}
    return replace(own, measures=grown, problems=())


def _checked(style: str, options: Options, units: str, body: Body | None) -> Checked:
    return check_style(files(style), body, dict(options), units)  # type: ignore[arg-type]


def _drawn(made: Checked, units: str) -> tuple[tuple[Step, ...], tuple[str, ...]]:
    collector = Collector()
    steps = draw_steps(made.prepared, made.words, units, collector)  # type: ignore[arg-type]
    return steps, tuple(p.what for p in collector.problems)
