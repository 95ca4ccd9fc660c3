"""Step pages: every step once and in order, pictures 1:1 at their place, headings with their steps, room kept."""

from __future__ import annotations

from dataclasses import replace

from hypothesis import given
from hypothesis import strategies as st
from sample_job import sample_job
from sample_pictures import plain_picture

from booklet.drawing import look
from booklet.drawing.bounds import box_of, flat_items
from booklet.drawing.display import Group, Text
from booklet.model import Job, Step, StepPicture
from booklet.pages.steps import PICTURES_DOWN, step_leaves
from booklet.pages.words import words_for

WORDS = words_for("en")


def _words_of(leaf, role: str) -> list[str]:  # type: ignore[no-untyped-def]
    return [f.item.text for f in flat_items(leaf.items) if isinstance(f.item, Text) and f.item.role == role]


def _job(heights: list[int], parts: list[bool]) -> Job:
    job = sample_job()
    model = job.steps[0]
    steps = []
    for n, (height, part) in enumerate(zip(heights, parts, strict=True), 1):
        pictures = (StepPicture("flat", plain_picture(100, height)),) if height > 10 else ()
        heading = f"Part {n}" if part or n == 1 else ""
        steps.append(replace(model, number=n, id=f"s{n}", title=f"Step {n}", part=heading, pictures=pictures))
    return replace(job, steps=tuple(steps))


@given(st.lists(st.tuples(st.integers(5, 150), st.booleans()), min_size=1, max_size=16))
def test_steps_come_once_in_order_within_the_page(shapes: list[tuple[int, bool]]) -> None:
    job = _job([h for h, _ in shapes], [p for _, p in shapes])
    leaves = step_leaves(job, WORDS)
    numbers = [n for leaf in leaves for n in _words_of(leaf, "number")]
    assert numbers == [str(n) for n in range(1, len(shapes) + 1)]
    for leaf in leaves:
        for item in leaf.items:
            box = box_of(item)
            assert box is None or box[3] <= look.A4.foot + look.STEP_CLEAR + 0.1


@given(st.lists(st.integers(20, 110), min_size=2, max_size=14))
def test_no_more_pages_than_filling_each_in_turn_needs(heights: list[int]) -> None:
    job = _job(heights, [False] * len(heights))
    pages, used = 1, 0.0
    room = look.A4.foot - look.A4.top + look.STEP_CLEAR
    for height in heights:
        tall = (
            max(PICTURES_DOWN + height, 42.0) + look.STEP_CLEAR
        )  # the words of the model step take under 42
        if used and used + tall > room:
            pages, used = pages + 1, 0.0
        used += tall
    assert len(step_leaves(job, WORDS)) <= pages


def test_page_titles_tell_the_part_and_the_steps() -> None:
    leaves = step_leaves(sample_job(), WORDS)
    assert leaves[0].title == "Preparing the pieces"
    assert leaves[0].aside.startswith("Steps 1 to ")
    asides = [leaf.aside for leaf in leaves]
    assert all(f"of {len(sample_job().steps)}" in aside for aside in asides)
    minutes = sum(int(a.rsplit("\u00a0", 1)[0].rsplit(" ", 1)[1]) for a in asides)
    assert minutes == sum(s.minutes for s in sample_job().steps)


def test_every_part_has_a_heading_or_a_page_title_and_a_bookmark() -> None:
    job = sample_job()
    leaves = step_leaves(job, WORDS)
    parts = [s.part for s in job.steps if s.part]
    marks = [b.title for leaf in leaves for b in leaf.bookmarks if b.level == 0]
    assert marks == parts
    seen = {leaf.title for leaf in leaves} | {t for leaf in leaves for t in _words_of(leaf, "title")}
    assert set(parts) <= seen


def test_pictures_are_placed_unscaled_beside_the_words() -> None:
    job = sample_job()
    drawn = [p.drawing for s in job.steps for p in s.pictures]
    placed = [i for leaf in step_leaves(job, WORDS) for g in leaf.items for i in getattr(g, "items", ())]
    pictures = [i for i in placed if isinstance(i, Group) and i.role == "picture"]
    assert [p.items for p in pictures] == [d.items for d in drawn]
    for picture, drawing in zip(pictures, drawn, strict=True):
        assert picture.placement.turn == 1 and not picture.placement.mirrored
        x = picture.placement.shift.real
        assert x >= look.PICTURE_LEFT and x + drawing.width <= look.A4.right + 0.01


def test_a_step_without_picture_is_words_alone() -> None:
    job = sample_job(with_pictures=False)
    assert all(not isinstance(s, Step) or not s.pictures for s in job.steps)
    assert len(step_leaves(job, WORDS)) <= 3
