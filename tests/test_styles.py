"""Every style that is shipped: checked clean in all its options, made whole, its pictures without a word left over."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.all_styles import BASE, CASES, Options, case_name, files, job, own_unit

from booklet.combinations import check_combinations
from booklet.job import make_job
from booklet.model import Job
from booklet.problems import Problem
from booklet.reading.read import read_body, read_style
from booklet.reading.shop import read_shop

STYLES = sorted(p.parent for p in (Path(__file__).parent.parent / "styles").glob("*/style.yaml"))
names = pytest.mark.parametrize("folder", STYLES, ids=lambda p: p.name)


@names
def test_a_shipped_style_has_no_error_and_no_warning(folder: Path) -> None:
    style = read_style(folder)
    outcome = check_combinations(style, read_body(style.base), {}, None, read_shop(folder))
    assert [f.problem.sentence() for f in outcome.findings if f.problem.severity != "note"] == []


def whole(job: Job) -> None:
    bare = [s.id for s in job.steps if s.touches_cloth and not s.pictures and s.operation != "press"]
    assert bare == []
    assert [p.sentence() for p in job.problems if isinstance(p, Problem) and p.code == "label"] == []
    assert all(n.amount > 0 for n in job.size.notions)


@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_a_shipped_style_is_whole_and_measures_what_it_covers(style: str, options: Options) -> None:
    """Every step that touches cloth has a picture, every word its room, every notion an amount."""
    made = job(style, options, own_unit(style))
    whole(made)
    covered = [f for f in made.size.finished if f.body_mm is not None]
    assert all(f.ease_mm is not None and f.ease_mm >= (f.least_mm or 0) - 0.05 for f in covered)
    assert len(made.views) >= 1


@pytest.mark.slow
@pytest.mark.parametrize(("style", "options"), CASES, ids=case_name)
def test_every_combination_of_options_is_whole(style: str, options: Options) -> None:
    """With lays that were searched; tests/pictures/test_every_style.py holds the pictures of each in every run."""
    whole(make_job(files(style), options=dict(options), evaluations=40))
