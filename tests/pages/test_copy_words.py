"""Copies in words: every combination says fold, face, side and count, and chart, label and lay say the same."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sample_job import sample_job

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.model import CutPiece, CutRule, Job, LayPlan
from booklet.pages.chart import chart_leaves, how_lines
from booklet.pages.copy_words import copy_line, copy_lines, placing_line, plies_in_all, recommended_lay
from booklet.pages.lays import lay_leaves
from booklet.pages.sheet_piece import sheet_piece
from booklet.pages.words import words_for

WORDS = words_for("en")
JOBS = [sample_job(), sample_job(single=False), sample_job(whole_paper=True), sample_job("in", "letter")]


def _cut(key: str) -> CutPiece:
    return sample_job().size.cut_piece(key)


def _lay(kind: str) -> LayPlan:
    lay = sample_job().size.cloths[0].lays[0]
    placings = tuple(replace(p, on_fold=kind == "fold") for p in lay.placings)
    return replace(lay, kind=kind, placings=placings)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("rule", "words"),
    [
        (CutRule("main", 2, "pair", "either", "right"), "1 pair"),
        (CutRule("main", 4, "pair", "either", "right"), "2 pairs"),
        (CutRule("main", 2, "same", "either", "whole"), "2 same way"),
        (CutRule("main", 1, "single", "up", "left"), "1 right side up, wearer's left"),
        (CutRule("main", 1, "single", "down", "right"), "1 wrong side up, wearer's right"),
        (CutRule("main", 1, "single", "up", "whole"), "1 right side up"),
        (CutRule("fusible", 1, "single", "down", "right", 0.0, True), "1 glue side up, wearer's right"),
        (CutRule("fusible", 1, "single", "up", "left", 0.0, True), "1 glue side down, wearer's left"),
    ],
)
def test_words_of_a_rule(rule: CutRule, words: str) -> None:
    assert copy_line(_cut("panel"), rule, _lay("open"), WORDS).words == words


def test_a_fold_piece_speaks_by_its_paper_and_its_lay() -> None:
    half, whole = _cut("front"), sample_job(whole_paper=True).size.cut_piece("front")
    rule = half.piece.cuts[0]
    on_fold = copy_line(half, rule, _lay("fold"), WORDS)
    assert (on_fold.words, on_fold.fold) == ("1 whole on fold", True)
    turned = copy_line(half, rule, _lay("open"), WORDS)
    assert (turned.words, turned.fold) == ("1 whole", False)
    assert turned.how_to == "draw, turn over along the fold line, draw again"
    printed = copy_line(whole, rule, _lay("fold"), WORDS)
    assert (printed.words, printed.fold) == ("1 whole", False)
    assert "printed whole" in printed.how_to


@pytest.mark.parametrize("job", JOBS, ids=["open", "fold", "whole paper", "inches"])
def test_chart_and_label_say_the_same(job: Job) -> None:
    for cut in job.size.cut_pieces:
        chart = " ".join(how_lines(job, cut, WORDS)).replace("**", "")
        label = " ".join(sheet_piece(cut, job).lines)
        for line in copy_lines(cut, job.size, WORDS):
            assert line.words in chart
            assert f": {line.words}" in label
        on_fold = any(line.fold for line in copy_lines(cut, job.size, WORDS))
        notes = [note.text for note in sheet_piece(cut, job).edge_notes]
        assert any("on the fold" in note for note in notes) == on_fold


@pytest.mark.parametrize("job", JOBS, ids=["open", "fold", "whole paper", "inches"])
def test_lay_and_rule_agree_for_every_ply(job: Job) -> None:
    """Fold, face, side and count of what lies on a recommended lay are those that the chart prints."""
    for need in job.size.cloths:
        lay = recommended_lay(job.size, need.key)
        assert lay is not None
        laid = [i for p in lay.placings for i in p.copies]
        plies = [c.id for c in job.size.copies if c.cloth == need.key and c.piece.key in _keys(lay)]
        assert sorted(laid) == sorted(plies)
        for placing in lay.placings:
            line = placing_line(placing, lay, job.size, WORDS)
            cut = job.size.cut_piece(placing.piece)
            rule = next(r for r in cut.piece.cuts if r.cloth == need.key)
            chart = copy_line(cut, rule, lay, WORDS)
            assert line.face_down == placing.placing.mirrored
            assert line.fold == placing.on_fold == (chart.fold and lay.kind == "fold")
            if rule.face == "up":
                assert not line.face_down
                assert "right side up" in line.words and "right side up" in chart.words
            if rule.how == "single" and rule.side != "whole":
                assert f"wearer's {rule.side}" in line.words and f"wearer's {rule.side}" in chart.words


def _keys(lay: LayPlan) -> set[str]:
    return {p.piece for p in lay.placings}


def test_face_down_is_said_only_of_a_mirrored_placing() -> None:
    job = sample_job()
    lay = job.size.cloths[0].lays[0]
    for placing in lay.placings:
        said = placing_line(placing, lay, job.size, WORDS).words
        assert ("paper face down" in said) == placing.mirrored


def test_totals_count_every_ply() -> None:
    job = sample_job()
    main, interfacing = job.size.cloths
    assert plies_in_all(main, job.size) == sum(c.cloth == "main" for c in job.size.copies) == 7
    assert plies_in_all(interfacing, job.size) == sum(c.cloth == "interfacing" for c in job.size.copies) == 3
    said = _texts(chart_leaves(job, WORDS)[-1].items)
    assert said[said.index("to cut in all") :][1:3] == ["7", "3"]


def test_words_of_a_right_side_up_piece_stand_on_its_lay_plan() -> None:
    said = " ".join(_texts(tuple(i for leaf in lay_leaves(sample_job(), WORDS) for i in leaf.items)))
    assert "right side up" in said and "wearer's right" in said


def _texts(items) -> list[str]:  # type: ignore[no-untyped-def]
    return [f.item.text for f in flat_items(tuple(items)) if isinstance(f.item, Text)]
