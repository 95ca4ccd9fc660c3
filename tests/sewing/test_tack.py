"""Tacking by hand: along an edge and in places, to cloth and to allowances, after turning and on edges that are finished."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.bodies import extreme_bodies
from helpers.changed import Changes, codes, drawn, made, problems, said, words
from helpers.steps import body_with

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem, Text
from booklet.drawing.judge import judge
from booklet.sewing.checks import ENDING
from booklet.sewing.operations.base import HAND

FRONT = "    id: understitch-front\n    then: [turn, press, tack]\n"
NECK = "    id: understitch-neck\n    then: [turn, press, tack]\n"
ALONG = "tack: {run: 'chain(right_front_facing.foot, right_front_facing.outer)', to: right_front}"
PLACES = "tack: {at: facing-shoulders, to: shoulders}"
CASES = [("skirt", FRONT, ALONG), ("top", NECK, PLACES)]


def with_step(place: str, step: str) -> Changes:
    """The step instead of the tacking that goes with understitching."""
    return {"sewing": [(place, f"{place.replace(', tack]', ']')}  - {step}\n    id: tack\n")]}


def test_along_an_edge(tmp_path: Path) -> None:
    what = made(tmp_path, "skirt", with_step(FRONT, ALONG))
    told = words(what, "tack")
    (seam,) = (s for s in what.seams.seams if s.step == "tack")
    text = said(told)
    assert text.startswith("Tack the right front facing\n")
    assert f"a stitch every 8 mm, from the hem curve to the waist, {seam.a_mm:.0f} mm" in text
    assert "to the wrong side of the right front (3)" in text
    (sewn,) = told.stitching
    assert (sewn.stitch, sewn.speed, sewn.rows) == (HAND, "hand", 1) and sewn.mm == pytest.approx(seam.a_mm)


def test_in_places(tmp_path: Path) -> None:
    what = made(tmp_path, "top", with_step(NECK, PLACES))
    told = words(what, "tack")
    text = said(told)
    assert text.startswith("Tack the neck facings at the shoulder seams\n")
    assert "10 mm in each place, to the allowances of the shoulder seams alone" in text
    (sewn,) = told.stitching
    assert sewn.mm == pytest.approx(20.0) and sewn.rows == 2 and sewn.stitch == HAND


def test_it_takes_no_edge_up(tmp_path: Path) -> None:
    assert "tack" not in ENDING
    for style, place, step in CASES:
        assert codes(tmp_path, style, with_step(place, step)) == codes(tmp_path, style, {})


def test_a_raw_edge_is_told_before_it_is_tacked(tmp_path: Path) -> None:
    raw = with_step(FRONT, ALONG)
    finish = "  - finish: ['chain(right_front_facing.foot, right_front_facing.outer)']\n    id: facing-edge\n"
    late = FRONT.replace(", tack]", "]")
    raw = {"sewing": [(finish, ""), (FRONT, f"{late}  - {ALONG}\n    id: tack\n{finish}")]}
    (problem,) = (p for p in problems(tmp_path, "skirt", raw) if p.code == "tack-raw")
    assert problem.severity == "warning" and "is tacked down raw" in problem.what


def test_a_facing_is_turned_before_it_is_tacked(tmp_path: Path) -> None:
    early = {"sewing": [("    id: face-front\n    then: [trim, clip, press]\n",
                         f"    id: face-front\n    then: [trim, clip, press]\n  - {ALONG}\n    id: tack\n")]}  # fmt: skip
    (problem,) = (p for p in problems(tmp_path, "skirt", early) if p.code == "tack-early")
    assert problem.severity == "error" and "before step 'understitch-front' turns it" in problem.what


@pytest.mark.parametrize(
    ("step", "told"),
    [
        (PLACES.replace("to: shoulders", "to: sholders"), "Did you mean 'shoulders'"),
        (PLACES.replace("to: shoulders", "to: set-sleeves"), "neither a piece nor a step before"),
        (PLACES.replace("at: facing-shoulders", "at: set-sleeves"), "no step 'set-sleeves' before this one"),
        (PLACES.replace("at: facing-shoulders, ", ""), "must say what is tacked"),
    ],
)
def test_it_holds_what_is_there(tmp_path: Path, step: str, told: str) -> None:
    assert told in " ".join(p.sentence() for p in problems(tmp_path, "top", with_step(NECK, step)))


def test_a_promised_end_is_met(tmp_path: Path) -> None:
    promise = ("openings:\n", "ends:\n  right_front_facing.outer: tacked\nopenings:\n")
    assert "error end-unmet" in codes(tmp_path, "skirt", {"style": [promise]})
    kept = {**with_step(FRONT, ALONG), "style": [promise]}
    assert "error end-unmet" not in codes(tmp_path, "skirt", kept)


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(("style", "place", "step"), CASES)
def test_its_picture_can_be_read(tmp_path: Path, style: str, place: str, step: str, units: str) -> None:
    (drawing,), left = drawn(made(tmp_path, style, with_step(place, step), units), "tack", units)
    assert left == () and [f.what for f in judge(drawing)] == []
    items = [f.item for f in flat_items(drawing.items)]
    words_drawn = " ".join(i.text for i in items if isinstance(i, Text))
    assert ("allowances" in words_drawn) == (step is PLACES)
    sewn = [i for i in items if isinstance(i, PathItem) and i.role == "seam"]
    assert len(sewn) == 2 + 1  # two places or two edges, and the stitch cut across


def test_places_lie_at_the_facings_free_edge(tmp_path: Path) -> None:
    (drawing,), _ = drawn(made(tmp_path, "top", with_step(NECK, PLACES)), "tack")
    items = [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem)]
    short = [i.subpaths[0] for i in items if i.role == "seam"][:2]
    host, facing = (i.subpaths[0].bbox for i in items if i.role == "cut")
    left, right = sorted(short, key=lambda p: p.bbox[0])
    assert min(left.start.real, left.end.real) == pytest.approx(facing[0], abs=0.5)
    assert max(right.start.real, right.end.real) == pytest.approx(facing[2], abs=0.5)
    assert host[0] < facing[0] and host[2] > facing[2]


@pytest.mark.slow
@pytest.mark.parametrize("number", range(3))
@pytest.mark.parametrize(("style", "place", "step"), CASES)
def test_extreme_bodies_are_drawn_clean(
    tmp_path: Path, style: str, place: str, step: str, number: int
) -> None:
    body = body_with(extreme_bodies()[number].measures)
    (drawing,), left = drawn(made(tmp_path, style, with_step(place, step), body=body), "tack")
    assert left == () and [f.what for f in judge(drawing)] == []


SPOTS = "tack: {at: [front_neck_facing.outer, back_neck_facing.neckline at centre], to: front}"


def test_an_edge_is_tacked_at_its_middle_or_at_a_mark(tmp_path: Path) -> None:
    what = made(tmp_path, "top", with_step(NECK, SPOTS))
    seams = [s for s in what.seams.seams if s.step == "tack"]
    assert [s.a_mm for s in seams] == pytest.approx([10.0, 10.0])
    copies = {c.id: c for c in what.copies}
    for seam, share in zip(seams, ("middle", "centre"), strict=True):
        (part,) = seam.a.parts
        edge = copies[part.copy].by_name[part.edge].edge
        mark = edge.mark("centre")
        wanted = edge.length / 2 if share == "middle" or mark is None else mark.at
        assert (part.start + part.end) / 2 == pytest.approx(wanted)
    text = said(words(what, "tack"))
    assert "middle of the outer edge" in text and "of the neckline" in text and "10 mm in each place" in text
    (drawing,), left = drawn(what, "tack")
    assert left == () and [f.what for f in judge(drawing)] == []


def test_a_mark_that_is_not_there_is_told(tmp_path: Path) -> None:
    wrong = SPOTS.replace("at centre", "at center")
    assert "has no mark 'center'" in " ".join(
        p.sentence() for p in problems(tmp_path, "top", with_step(NECK, wrong))
    )
