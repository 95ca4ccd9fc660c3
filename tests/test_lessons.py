"""styles/README.md teaches with drafts and pictures: its snippets are the lessons', its pictures what the code draws."""

from __future__ import annotations

import io
import re
from pathlib import Path

import pytest
from lessons.catalogue import PICTURES
from lessons.draft import HERE, README, blocks, holds, lesson, step_blocks
from lessons.draft import PICTURES as FOLDER
from lessons.sheet import COLOURS, MARK, mark_of, png_of
from lessons.steps import STEPS, step_lesson
from PIL import Image

from booklet.drafting.draft import draft_pieces
from booklet.drawing.judge import judge
from booklet.problems import Collector
from booklet.reading.draft_shape import DraftShape
from booklet.reading.shape import check_shape

TEXT = README.read_text(encoding="utf-8")
BLOCKS = blocks(TEXT)
STEP_BLOCKS = step_blocks(TEXT)
LESSONS = sorted(p.stem for p in HERE.glob("*.yaml"))


def test_the_text_has_lessons_and_every_lesson_stands_in_it_once() -> None:
    assert sorted(name for name, _ in BLOCKS) == LESSONS
    assert TEXT.count("# lesson:") == len(BLOCKS)


@pytest.mark.parametrize(("name", "block"), BLOCKS, ids=[n for n, _ in BLOCKS])
def test_a_snippet_is_the_lesson_s_own_text(name: str, block: str) -> None:
    assert holds((HERE / f"{name}.yaml").read_text(encoding="utf-8"), block)


def test_the_steps_of_the_text_are_those_that_have_a_lesson() -> None:
    assert sorted(name for name, _ in STEP_BLOCKS) == sorted(p.stem for p in STEPS.glob("*.yaml"))


@pytest.mark.parametrize(("name", "block"), STEP_BLOCKS, ids=[n for n, _ in STEP_BLOCKS])
def test_a_step_of_the_text_is_the_lesson_s_own(name: str, block: str) -> None:
    texts = step_lesson(name).texts
    assert any(holds(text, block) for text in texts.values())
    assert "```\n\n![" in TEXT[TEXT.index(block) :][: len(block) + 7]
    assert f"(pictures/step_{name}.png)" in TEXT[TEXT.index(block) :].split("\n\n")[1]


def test_a_snippet_that_differs_by_a_figure_is_found() -> None:
    text = (HERE / "darts.yaml").read_text(encoding="utf-8")
    block = dict(BLOCKS)["darts"]
    assert holds(text, block)
    assert not holds(text, block.replace("12.5", "12"))
    assert not holds(text, block.replace("    darts", "      darts"))


@pytest.mark.parametrize("name", LESSONS)
def test_a_lesson_is_a_draft_without_fault(name: str) -> None:
    here = lesson(name)
    collector = Collector()
    check_shape(here.source, DraftShape, collector)
    draft_pieces(here.table, here.maker, collector)
    for group, raw in (here.source.data.get("construction") or {}).items():
        for kind, ask in (("points", here.table.point), ("lines", None)):
            for entry in raw.get(kind) or {}:
                with collector.catching():
                    ask(entry, group) if ask else here.table.line(group, entry)
    assert [p.sentence() for p in collector.problems if p.what != "the file has no 'pieces'"] == []


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_what_the_code_draws_and_small_and_clear(name: str) -> None:
    drawing = PICTURES[name].drawing
    assert judge(drawing) == []
    path = FOLDER / f"{name}.png"
    assert path.stat().st_size < 25_000
    with Image.open(path) as image:
        assert image.text[MARK] == mark_of(drawing), "run: python -m tests.lessons"  # type: ignore[attr-defined]
        assert 600 <= image.width <= 800
        assert image.mode == "P"
        assert len(image.getcolors() or ()) <= COLOURS


def test_the_same_picture_has_the_same_bytes_and_another_another_mark() -> None:
    one, again, other = (PICTURES[n].drawing for n in ("points", "points", "points_turned"))
    assert png_of(one) == png_of(again)
    assert mark_of(one) != mark_of(other)
    with Image.open(io.BytesIO(png_of(one))) as image:
        assert image.text[MARK] == mark_of(one)  # type: ignore[attr-defined]


def test_every_picture_stands_in_the_text_below_its_lesson_with_words_for_those_who_do_not_see_it() -> None:
    shown = re.findall(r"^!\[(.+)\]\(pictures/(\w+)\.png\)$", TEXT, re.MULTILINE)
    assert sorted(name for _, name in shown) == sorted(PICTURES)
    assert all(len(words) > 40 for words, _ in shown)
    assert sorted(p.name for p in Path(FOLDER).iterdir()) == sorted(f"{n}.png" for n in PICTURES)
    after = re.findall(r"# lesson: (\w+)\n.*?^```\n\n!\[[^\]]+\]\(pictures/(\w+)\.png\)$", TEXT, re.M | re.S)
    assert [a for a, _ in after] == [name for name, _ in BLOCKS]
    assert [a for a, b in after if a != b] == []
