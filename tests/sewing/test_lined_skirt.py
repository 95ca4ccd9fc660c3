"""A small lined style: a lining sewn to the waist facing, felled to the zip with it, hemmed by itself."""

from __future__ import annotations

import pytest
from helpers.step_words import shop
from lessons.steps import STEPS, step_lesson

from booklet.drawing.judge import judge, struck_words
from booklet.pictures.recipe import draw_recipe
from booklet.problems import Collector
from booklet.sewing.checks import check_recipe
from booklet.sewing.words import write_steps

LINED = ("lining-back-darts", "lining-sides", "lining-on", "facing-ends", "lining-hem")


def test_the_lining_is_checked_whole() -> None:
    assert (STEPS / "lining_sewn.yaml").exists()
    lesson = step_lesson("lining_sewn")
    collector = Collector()
    made = lesson.prepared
    check_recipe(made.seams, made.copies, {}, collector)
    assert [p.sentence() for p in collector.problems if p.severity != "note"] == []
    # The facing's free edge and the lining's upper edge are one length: its darts take up what the skirt's do.
    (on,) = (s for s in made.seams.seams if s.step == "lining-on")
    assert on.b_mm == pytest.approx(on.a_mm, abs=1.5)
    felled = [s.a for s in made.seams.seams if s.step == "facing-ends"]
    assert sorted({p.copy.split(".")[0].split("#")[0] for run in felled for p in run.parts}) == [
        "back_facing",
        "back_lining",
    ]


@pytest.mark.parametrize("units", ["cm", "in"])
def test_its_steps_have_words_and_clean_pictures(units: str) -> None:
    made = step_lesson("lining_sewn").prepared
    told = write_steps(made.seams.steps, made.seams, made.copies, made.table, shop(), units)  # type: ignore[arg-type]
    said = {w.id: "\n".join(w.paragraphs).replace("\u00a0", " ") for w in told}
    assert "back lining" in said["lining-on"] and "zip" in said["facing-ends"]
    drawn = draw_recipe(made, units, told, frozenset(LINED))  # type: ignore[arg-type]
    for step in drawn:
        assert step.pictures and step.left_over == (), step.step.id
        for picture in step.pictures:
            assert [f.what for f in (*judge(picture.drawing), *struck_words(picture.drawing))] == [], (
                step.step.id
            )  # type: ignore[arg-type]
