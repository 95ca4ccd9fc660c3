"""Pictures of narrow and blind hems: clean in both units and on extreme bodies, their rows where the words put them."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.bodies import extreme_bodies
from helpers.changed import Changes, drawn, made
from helpers.steps import body_with

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.judge import judge

HEM = "'chain(right_front.hem, back.hem, left_front.hem)', kind: single}"
ALLOWS = ("allow: {hem: 3, waist: 1, other", "allow: {hem: 3, wrap_edge: 2", "allow: {hem: 3, wrap_edge: 1")
KINDS = [("narrow", "0.8"), ("narrow", "1"), ("blind", "3"), ("blind, by: machine", "4")]


def hem(kind: str, allow: str) -> Changes:
    return {
        "sewing": [(HEM, HEM.replace("single", kind))],
        "draft": [(a, a.replace("hem: 3", f"hem: {allow}")) for a in ALLOWS],
    }


def rows(drawing: Drawing, role: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.role == role]


def said(drawing: Drawing) -> str:
    return " ".join(f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text))


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize(("kind", "allow"), KINDS)
def test_it_can_be_read(tmp_path: Path, kind: str, allow: str, units: str) -> None:
    drawings, left = drawn(made(tmp_path, "skirt", hem(kind, allow), units), "hem", units)
    assert len(drawings) == 1 and left == ()
    assert drawings[0].width <= 106.0
    assert [f.what for f in judge(drawings[0])] == []


@pytest.mark.slow
@pytest.mark.parametrize("number", range(5))
@pytest.mark.parametrize(("kind", "allow"), KINDS[1:3])
def test_extreme_bodies_are_drawn_clean(tmp_path: Path, kind: str, allow: str, number: int) -> None:
    body = body_with(extreme_bodies()[number].measures)
    (drawing,), left = drawn(made(tmp_path, "skirt", hem(kind, allow), body=body), "hem")
    assert left == () and [f.what for f in judge(drawing)] == []


def test_the_first_row_lies_halfway_between_the_fold_line_and_the_cut_edge(tmp_path: Path) -> None:
    (drawing,), _ = drawn(made(tmp_path, "skirt", hem("narrow", "0.8")), "hem")
    folds = [p for i in rows(drawing, "fold") for p in i.subpaths]
    first = [p for i in rows(drawing, "seam")[: len(folds)] for p in i.subpaths]
    cut = [p for i in rows(drawing, "cut") for p in i.subpaths]
    assert len(first) == len(folds) == 2
    for row, fold in zip(first, folds, strict=True):
        joint = min(0.0, fold.length, key=lambda s: abs(fold.point(s).real - 42.0))  # at the frame's middle
        middle = fold.point(abs(joint - 12.0))
        z = row.point(row.nearest(middle))
        assert z.imag > middle.imag
        edge = min(abs(c.point(c.nearest(z)) - z) for c in cut)
        assert edge == pytest.approx(abs(z - middle), abs=0.2)  # the two lines run out of true there


def test_the_sections_say_what_is_caught(tmp_path: Path) -> None:
    for kind, allow in KINDS[2:]:
        (drawing,), _ = drawn(made(tmp_path, "skirt", hem(kind, allow)), "hem")
        assert "one or two threads" in said(drawing) and "6\u00a0mm" in said(drawing)
