"""Narrow and blind hems: their words and figures, their rows, what their allowance must be, which edges they shut in."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.changed import Changes, codes, made, problems, said, words
from helpers.steps import ROOT, prepared

from booklet.prepare import Prepared
from booklet.reading.read import read_body, read_style
from booklet.sewing.acts_done import acts_done
from booklet.sewing.operations.base import EDGE_FINISH, HAND, LOCKSTITCH, OVEREDGE
from booklet.sewing.operations.hem import depth

NEW = ROOT / "templates" / "new"
HEM = "'chain(right_front.hem, back.hem, left_front.hem)', kind: single}"
ALLOWS = ("allow: {hem: 3, waist: 1, other", "allow: {hem: 3, wrap_edge: 2", "allow: {hem: 3, wrap_edge: 1")


def hem(kind: str, allow: str = "3") -> Changes:
    """The wrap skirt with its hem made in another way and another width."""
    return {
        "sewing": [(HEM, HEM.replace("single", kind))],
        "draft": [(a, a.replace("hem: 3", f"hem: {allow}")) for a in ALLOWS],
    }


def length(what: Prepared) -> float:
    (seam,) = (s for s in what.seams.seams if s.step == "hem")
    return seam.a_mm


@pytest.mark.parametrize(("units", "turn", "row"), [("cm", "4 mm", "3 mm"), ("in", "3/16 in", "1/8 in")])
def test_a_narrow_hem_is_turned_twice_by_half_of_its_allowance(
    tmp_path: Path, units: str, turn: str, row: str
) -> None:
    what = made(tmp_path, "skirt", hem("narrow", "0.8"), units)
    told = words(what, "hem", units)
    text = said(told)
    assert told.facts["depth"] == pytest.approx(4.0) and told.facts["sew"] == pytest.approx(3.0)
    assert (
        f"Sew one row along the raw edge of the right front (3), the back (1) and the left front (2), {turn} from it"
        in text
    )
    assert f"Turn it by {turn} once more, on the fold line" in text
    assert f"Sew close to the inner fold, {row} from the outer one" in text
    assert "Neaten" not in text


def test_a_narrow_hem_takes_two_rows_and_no_neatening(tmp_path: Path) -> None:
    what = made(tmp_path, "skirt", hem("narrow", "0.8"))
    rows = words(what, "hem").stitching
    assert [(r.stitch, r.seam_class) for r in rows] == [(LOCKSTITCH, EDGE_FINISH)] * 2
    assert [r.mm for r in rows] == pytest.approx([length(what)] * 2)
    (seam,) = (s for s in what.seams.seams if s.step == "hem")
    assert depth(seam) == pytest.approx(4.0)


def test_a_blind_hem_is_sewn_by_hand_unless_it_says_otherwise(tmp_path: Path) -> None:
    """ISO 4915: 209 is a hand stitch, 103 the single-thread chain stitch of a blindstitch machine."""
    for kind, stitch, speed in (("blind", HAND, "hand"), ("blind, by: machine", 103, "straight")):
        what = made(tmp_path, "skirt", hem(kind))
        told = words(what, "hem")
        blind, neatening = told.stitching
        assert (blind.stitch, blind.speed, blind.seam_class) == (stitch, speed, EDGE_FINISH)
        assert blind.mm == pytest.approx(length(what))
        assert neatening.stitch == OVEREDGE and neatening.mm > blind.mm  # the edge is longer than the fold
        text = said(told)
        assert (
            "Turn up 30 mm on the fold line" in text
            and "From the right side no stitch shows. Depth 30 mm" in text
        )
        by_hand = stitch == HAND
        assert ("stitches lie 8 mm apart" in text) == by_hand
        assert ("stands out by 6 mm" in text and "blindstitch machine" in text) != by_hand


def test_hand_stitching_is_slow(tmp_path: Path) -> None:
    minutes = [
        words(made(tmp_path, "skirt", hem(k)), "hem").minutes
        for k in ("blind", "blind, by: machine", "single")
    ]
    assert minutes[0] > 1.5 * minutes[1] and minutes[1] == minutes[2]


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(("kind", "allow"), [("narrow", "0.8"), ("blind", "3"), ("blind, by: machine", "3")])
def test_its_sentences_are_whole_and_short(tmp_path: Path, kind: str, allow: str, units: str) -> None:
    text = said(words(made(tmp_path, "skirt", hem(kind, allow), units), "hem", units))
    for sentence in text.replace("\n", " ").split(". "):
        assert len(sentence.split(" ")) <= 36, sentence  # figures and their units apart here
        assert sentence[0].isupper() and "  " not in sentence and "None" not in sentence


@pytest.mark.parametrize(
    ("kind", "allow", "told"),
    [
        ("narrow", "0.6", ""),
        ("narrow", "1", ""),
        ("narrow", "0.5", "takes twice 3 to 5 mm"),
        ("narrow", "1.2", "takes twice 3 to 5 mm"),
        ("narrow", "3", "has 30.0 mm to turn up"),
        ("blind", "1.5", ""),
        ("blind", "1.4", "takes 15 mm"),
        ("single", "0.5", ""),
    ],
)
def test_the_allowance_fits_the_kind(tmp_path: Path, kind: str, allow: str, told: str) -> None:
    said_of = [p for p in problems(tmp_path, "skirt", hem(kind, allow)) if p.code == "hem-allowance"]
    assert bool(said_of) == bool(told)
    for p in said_of:
        assert told in p.sentence() and p.severity == "error"
        assert p.where is not None and p.where.file.endswith("sewing.yaml")


def test_only_a_blind_hem_says_by_what(tmp_path: Path) -> None:
    assert "hand" in " ".join(
        p.sentence() for p in problems(tmp_path, "skirt", hem("narrow, by: hand", "0.8"))
    )
    assert codes(tmp_path, "skirt", hem("blind, by: hand")) == []


def test_a_narrow_hem_shuts_its_edge_in_and_a_blind_one_does_not(tmp_path: Path) -> None:
    for kind, allow, name in (("narrow", "0.8", "double hem"), ("blind", "3", "hem")):
        what = made(tmp_path, "skirt", hem(kind, allow))
        acts = [a.name for a in acts_done(what.seams, what.copies) if a.step == "hem"]
        assert acts == [name]


FACINGS = """  {side}_hem_facing:
    number: {number}
    title: {title} hem facing
    facing: {{of: {side}, along: [hem], wide: 5}}
    cut: [{{cloth: main, count: 1, as: whole on fold}}]
    allow: {{outer: 0, other: as {side}}}
"""
FACED = """  - join: [front_hem_facing.side, back_hem_facing.side]
    id: facing-sides
    press: open
    neaten: raw
  - finish: ['ring(front_hem_facing.outer, back_hem_facing.outer)']
    id: facing-edge
  - face: {edge: 'ring(front.hem, back.hem)', with: 'ring(front_hem_facing.hem, back_hem_facing.hem)'}
    id: hem
    although: {soft-edge: the facing holds the hem}
    then: [trim, clip, press]
  - understitch: {seam: hem}
    id: turn-hem
    then: [turn, press]
  - tack: {run: 'ring(front_hem_facing.outer, back_hem_facing.outer)', to: front}
    id: tack-hem
"""


def test_a_faced_hem_is_a_facing_that_is_tacked(tmp_path: Path) -> None:
    for name in ("style", "draft", "sewing", "body"):
        text = (NEW / f"{name}.yaml").read_text(encoding="utf-8")
        if name == "draft":
            assert text.count("hem: 3") == 2
            text = text.replace("hem: 3", "hem: 1").replace("hem folds: [waist, hem]", "hem folds: [waist]")
            text += FACINGS.format(side="front", number=3, title="Front")
            text += FACINGS.format(side="back", number=4, title="Back")
        if name == "sewing":
            plain = "  - hem: {run: 'ring(front.hem, back.hem)', kind: single}\n    id: hem\n"
            assert text.count(plain) == 1
            text = text.replace(plain, FACED)
        (tmp_path / f"{name}.yaml").write_text(text, encoding="utf-8")
    what = prepared(read_style(tmp_path), read_body(tmp_path / "body.yaml"), {"length": "knee"})
    told = words(what, "tack-hem")
    assert "to the wrong side of the front (1) and the back (2)" in said(told)
    assert told.stitching[0].mm == pytest.approx(
        sum(s.a_mm for s in what.seams.seams if s.step == "tack-hem")
    )
