"""Lay plans: true to scale, folds on the fold, face-down pieces ruled, all of every plan on a page."""

from __future__ import annotations

from dataclasses import replace
from typing import Literal

import pytest
from helpers import all_styles
from sample_job import sample_job

from booklet.drawing import look
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem, Text
from booklet.model import Job
from booklet.pages import lays
from booklet.pages.lay_ground import across_mm
from booklet.pages.lays import lay_leaves
from booklet.pages.words import words_for
from booklet.paths import Path

WORDS = words_for("en")


def _items(job: Job) -> list[PathItem]:
    return [
        f.item
        for leaf in lay_leaves(job, WORDS)
        for f in flat_items(leaf.items)
        if isinstance(f.item, PathItem)
    ]


def _scale(job: Job) -> int:
    return int(lay_leaves(job, WORDS)[0].aside.rsplit(" ", 1)[1])


def _by_role(job: Job, role: str) -> list[Path]:
    return [p for item in _items(job) if item.role == role for p in item.subpaths]


@pytest.mark.parametrize("single", [True, False])
def test_outlines_are_drawn_to_the_scale_that_is_printed(single: bool) -> None:
    job = sample_job(single=single)
    scale = _scale(job)
    drawn = _by_role(job, "cut")
    placings = [p for c in job.size.cloths for lay in c.lays for p in lay.placings]
    assert len(drawn) == len(placings)
    for path, placing in zip(drawn, placings, strict=True):
        if not placing.on_fold:
            assert path.length * scale == pytest.approx(placing.outline.length, rel=1e-9)


def test_folded_pieces_end_on_the_fold_and_lie_on_the_cloth() -> None:
    job = sample_job(single=False)
    lay = job.size.cloths[0].lays[0]
    scale = _scale(job)
    fold = next(p for item in _items(job) if item.role == "fold" for p in item.subpaths)
    foot = fold.start.imag
    outlines = _by_role(job, "cut")[: len(lay.placings)]
    for path, placing in zip(outlines, lay.placings, strict=True):
        _, y0, _, y1 = path.bbox
        assert y1 <= foot + 1e-6
        assert y0 >= foot - lay.width_mm / 2 / scale - 1e-6
        if placing.on_fold:
            assert y1 == pytest.approx(foot, abs=1e-6)


def test_only_face_down_pieces_are_ruled() -> None:
    for job, count in ((sample_job(), 2), (sample_job(single=False), 1)):
        mirrored = sum(p.mirrored for c in job.size.cloths for lay in c.lays for p in lay.placings)
        assert sum(item.role == "ruled" for item in _items(job)) == mirrored == count


def test_half_paper_on_an_open_lay_is_to_be_turned_over() -> None:
    def said(job: Job) -> str:
        texts = [
            f.item.text
            for leaf in lay_leaves(job, WORDS)
            for f in flat_items(leaf.items)
            if isinstance(f.item, Text)
        ]
        return " ".join(texts)

    assert "Pieces 1, 2: draw, turn the paper over along the fold line" in said(sample_job())
    assert "Piece 2: draw, turn the paper over along the fold line" in said(sample_job())
    assert "Pieces 1, 2" not in said(sample_job(whole_paper=True))
    assert "cut through both layers" in said(sample_job(single=False))


def test_every_width_has_its_plan_with_what_to_buy() -> None:
    job = sample_job()
    heads = [
        f.item.text
        for leaf in lay_leaves(job, WORDS)
        for f in flat_items(leaf.items)
        if isinstance(f.item, Text) and f.item.role == "heading"
    ]
    text = " ".join(heads).replace("\u00a0", " ")
    assert "Main cloth, 150 cm wide" in text and "Main cloth, 140 cm wide" in text
    assert "Interfacing, 90 cm wide" in text
    measures = [
        f.item.text
        for leaf in lay_leaves(job, WORDS)
        for f in flat_items(leaf.items)
        if isinstance(f.item, Text) and f.item.role == "measure"
    ]
    assert [m.replace("\u00a0", " ") for m in measures if m.startswith("buy")] == [
        "buy 1.30 m",
        "buy 1.35 m",
        "buy 0.40 m",
    ]


def test_plans_keep_within_the_page() -> None:
    for paper in ("a4", "letter"):
        job = sample_job(paper=paper)
        for item in _items(job):
            for path in item.subpaths:
                assert path.bbox[2] <= look.PAPERS[paper].right + 0.1
                assert path.bbox[3] <= look.PAPERS[paper].foot + 0.1


@pytest.mark.parametrize(("style", "paper"), [("apron", "letter"), ("apron", "a4"), ("aline", "letter")])
def test_plans_are_put_in_another_order_only_to_save_a_page(
    style: str, paper: Literal["a4", "letter"], monkeypatch: pytest.MonkeyPatch
) -> None:
    made = replace(
        all_styles.job(style, all_styles.options_of(style)[0], all_styles.own_unit(style)), paper=paper
    )
    told = [plan_titles(made), len(lay_leaves(made, WORDS))]
    monkeypatch.setattr(lays, "_lower_first", list)
    as_shown = [plan_titles(made), len(lay_leaves(made, WORDS))]
    assert told == as_shown or told[1] < as_shown[1]  # type: ignore[operator]
    assert sorted(told[0]) == sorted(as_shown[0])  # type: ignore[call-overload]


def test_low_plans_of_a_width_come_behind_its_first() -> None:
    made = all_styles.job("blouse", all_styles.options_of("blouse")[0], "cm")
    plans = [(c, lay) for c in made.size.cloths for lay in lays.shown_lays(c)]
    ordered = lays._lower_first(plans)
    seen: dict[tuple[str, float], list[float]] = {}
    for cloth, lay in ordered:
        seen.setdefault((cloth.key, lay.width_mm), []).append(across_mm(lay))
    firsts = {}
    for cloth, lay in plans:
        firsts.setdefault((cloth.key, lay.width_mm), across_mm(lay))
    assert all(
        heights[0] == firsts[key] and heights[1:] == sorted(heights[1:]) for key, heights in seen.items()
    )


def plan_titles(made: Job) -> list[str]:
    texts = [
        f.item for leaf in lay_leaves(made, WORDS) for f in flat_items(leaf.items) if isinstance(f.item, Text)
    ]
    return [t.text for t in texts if " wide, " in t.text.replace("\u00a0", " ")]
