"""Every style that is shipped: checked clean in all its options, made whole, its pictures without a word left over."""

from __future__ import annotations

from pathlib import Path

import pytest

from booklet.combinations import check_combinations, combinations_of
from booklet.job import make_job
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


@names
def test_every_step_that_touches_cloth_has_a_picture_and_every_word_its_room(folder: Path) -> None:
    style = read_style(folder)
    for combination in combinations_of(style, {}):
        job = make_job(style, options=dict(combination), evaluations=40)
        bare = [s.id for s in job.steps if s.touches_cloth and not s.pictures and s.operation != "press"]
        assert bare == []
        assert [p.sentence() for p in job.problems if isinstance(p, Problem) and p.code == "label"] == []
        assert all(n.amount > 0 for n in job.size.notions)


@names
def test_a_shipped_style_measures_what_it_covers(folder: Path) -> None:
    style = read_style(folder)
    job = make_job(style, evaluations=40)
    covered = [f for f in job.size.finished if f.body_mm is not None]
    assert all(f.ease_mm is not None and f.ease_mm >= (f.least_mm or 0) - 0.05 for f in covered)
    assert len(job.views) >= 1
