"""How the pages of steps are filled: none nearly empty where another could give it a step, no heading left alone."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from functools import cache

import pytest
from helpers.all_styles import BASE, case_name, job, own_unit, pages

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_union, flat_items
from booklet.drawing.display import Item, Text
from booklet.model import Job
from booklet.pages.compose import sections_of
from booklet.pages.safety import safety_leaves
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.steps import step_leaves
from booklet.pages.words import words_for

LEAST = 0.4  # of a page's height
PAPERS = ("a4", pytest.param("letter", marks=pytest.mark.more))


def filled(leaf: Leaf, top: float, foot: float) -> float:
    box = boxes_union([box_of(i) for i in leaf.items])
    return 0.0 if box is None else (box[3] - top) / (foot - top)


def said(items: Sequence[Item]) -> list[str]:
    return [f.item.text for f in flat_items(items) if isinstance(f.item, Text)]


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_no_page_of_steps_is_nearly_empty(style: str, options: tuple, paper: str) -> None:
    size = paper_of(_on(style, options, paper))
    leaves = [p for p in _parts(style, options, paper) if p.section == "steps"]
    shares = [filled(leaf, size.top, size.foot) for leaf in leaves]
    assert min(shares) >= LEAST, shares
    for leaf in leaves:  # a heading never ends a page
        numbers, heads = _heights(leaf, look.STEP_NUMBER_PT), _heights(leaf, look.STEP_TITLE_PT + 2.6)
        assert max(heads, default=0.0) < max(numbers)


def _heights(leaf: Leaf, size_pt: float) -> list[float]:
    """How far down words of a size stand on a page."""
    found = [f for f in flat_items(leaf.items) if isinstance(f.item, Text) and f.item.size_pt == size_pt]
    return [f.placement.apply(complex(f.item.x, f.item.y)).imag for f in found]  # type: ignore[union-attr]


@cache
def _parts(style: str, options: tuple, paper: str) -> tuple[Leaf, ...]:
    made = _on(style, options, paper)
    return tuple(leaf for part in sections_of(made, words_for(made.language)) for leaf in part)


def _on(style: str, options: tuple, paper: str) -> Job:
    return replace(job(style, options, own_unit(style)), paper=paper)


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_words_explained_come_once_and_never_make_the_booklet_longer(
    style: str, options: tuple, paper: str
) -> None:
    made = _on(style, options, paper)
    words = words_for("en")
    head = words("safety.glossary")
    leaves = _parts(style, options, paper)
    assert sum(head in said(leaf.items) for leaf in leaves) == 1
    plain = len(step_leaves(made, words)) + len(safety_leaves(made, words))
    assert sum(leaf.section in ("steps", "safety") for leaf in leaves) <= plain
    contents = said(pages(style, options, own_unit(style), paper)[0].drawing.items)
    moved = any(head in said(leaf.items) for leaf in leaves if leaf.section == "steps")
    assert (words("cover.words") in contents) == moved
