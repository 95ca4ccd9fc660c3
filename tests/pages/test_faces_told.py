"""What a cutter is told where pieces of one cloth are cut from both of its sides: chart, plan and notes agree."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import pytest
from helpers import all_styles
from helpers.changed import changed
from helpers.steps import demo_body

from booklet.job import make_job
from booklet.model import Job, LayPlan
from booklet.pages.copy_words import copy_line, placing_line
from booklet.pages.lay_notes import lay_notes, lay_title
from booklet.pages.words import words_for

WORDS = words_for("en")
LEFT = "cut: [{cloth: main, count: 1, as: single, face: up, side: left}]\n    allow: {hem: 3, wrap_edge: 2"
FUSED = "{cloth: interfacing, count: 1, as: single, face: down, side: right"


@cache
def job() -> Job:
    """The wrap skirt with its left front cut wrong side up, and the fusing of one piece glue side down."""
    told = [(LEFT, LEFT.replace("face: up", "face: down")), (FUSED, FUSED.replace("face: down", "face: up"))]
    with TemporaryDirectory() as folder:
        return make_job(changed(Path(folder), "skirt", {"draft": told}), demo_body(), evaluations=0)


def plan(cloth: str, kind: str) -> LayPlan:
    return next(p for c in job().size.cloths for p in c.lays if (p.cloth, p.kind) == (cloth, kind))


def how_to(key: str, lay: LayPlan) -> str:
    cut = job().size.cut_piece(key)
    rule = next(r for r in cut.piece.cuts if r.cloth == lay.cloth)
    return copy_line(cut, rule, lay, WORDS, job().size.copy_by_id).how_to


def on_plan(key: str, lay: LayPlan) -> str:
    placing = next(p for p in lay.placings if p.piece == key)
    return placing_line(placing, lay, job().size, WORDS).words


def test_an_open_cloth_lies_right_side_up_and_the_other_paper_face_down() -> None:
    lay = plan("main", "open")
    assert lay_title(job(), WORDS, lay) == "laid open, right side up"
    assert how_to("left_front", lay) == "paper face down on the right side of the cloth"
    assert how_to("right_front", lay) == "paper face up on the right side of the cloth"
    assert on_plan("left_front", lay) == "paper face down, right side up, wearer's left"
    assert on_plan("right_front", lay) == "right side up, wearer's right"
    notes = lay_notes(job(), WORDS, lay)
    assert "Pieces marked right side up must never be turned over." in notes
    other = [n for n in notes if "the other way up" in n]
    assert len(other) == 1 and other[0].startswith("Piece 2 is marked wrong side up on the pattern.")


def test_in_a_folded_cloth_it_is_the_upper_layer_instead() -> None:
    lay = plan("main", "fold")
    for key, layer in (("left_front", "upper"), ("right_front", "lower")):
        put = next(p for p in lay.placings if p.piece == key)
        layers = [layer, {"upper": "lower", "lower": "upper"}[layer]]
        assert f"{layers[put.mirrored]} layer only" in on_plan(key, lay)
    assert not any("the other way up" in n for n in lay_notes(job(), WORDS, lay))


def test_of_fusible_cloth_the_glue_is_spoken_of() -> None:
    lay = plan("interfacing", "open")
    assert lay_title(job(), WORDS, lay) == "laid open, glue side down"
    assert how_to("right_front_facing", lay) == "paper face up on the side without glue"
    assert how_to("band", lay) == "paper face down on the side without glue"
    assert on_plan("band", lay) == "paper face down, glue side down"


@pytest.mark.parametrize("language", ["fr", "es"])
def test_other_languages_tell_it_too(language: str) -> None:
    lay, words = plan("main", "open"), words_for(language)
    notes = lay_notes(job(), words, lay)
    face = words("copies.face.down")
    assert any("2" in n and face in n for n in notes)


def test_of_like_plies_too_the_layer_is_named() -> None:
    """Strips with slanted ends are cut alike: from the other layer a strip would come out mirrored."""
    made = all_styles.job("apron", all_styles.options_of("apron")[0], "cm")
    lay = next(p for p in made.size.cloths[0].lays if p.kind == "fold")
    strips = [p for p in lay.placings if made.size.copy_by_id[p.copies[0]].rule.how == "same" and p.spare]
    assert strips
    for put in strips:
        layer = "upper" if put.mirrored else "lower"
        assert f"{layer} layer only" in placing_line(put, lay, made.size, WORDS).words
    cut = made.size.cut_piece(strips[0].piece)
    told = copy_line(cut, cut.piece.cuts[0], lay, WORDS, made.size.copy_by_id).how_to
    assert told == "through one layer of the folded cloth only; the lay plan says which"
