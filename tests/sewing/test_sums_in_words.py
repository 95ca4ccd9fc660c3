"""Figures in the words that belong together: a button lies in its hole, a casing's row and its gap are its round."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.changed import made, said, words
from helpers.steps import ROOT

from booklet.drafting.buttons import PAST
from booklet.prepare import Prepared
from booklet.reading.read import Body, read_body, read_style
from booklet.units import show


@pytest.fixture(scope="module")
def blouse(tmp_path_factory: pytest.TempPathFactory) -> Prepared:
    return made(tmp_path_factory.mktemp("blouse"), "blouse", {})


def test_buttoned_a_cuffs_button_lies_where_its_hole_begins(blouse: Prepared) -> None:
    """The hole begins 3 mm nearer its end than the button's middle; lapped, both middles lie on each other."""
    cuff = next(c for c in blouse.copies if c.piece.name == "cuff" and c.host is None)
    hole = next(m for m in cuff.buttons if m.kind == "buttonhole")
    button = next(m for m in cuff.buttons if m.kind == "button")
    (lap, *_) = [s.a_mm for s in blouse.seams.seams if s.kind == "beyond"]
    ends = {name: cuff.by_name[name].edge.path for name in ("buttonhole_end", "button_end")}

    def inside(name: str, z: complex) -> float:
        return abs(ends[name].point(ends[name].nearest(z)) - z)

    assert inside("buttonhole_end", hole.at) + inside("button_end", button.at) == pytest.approx(lap, abs=0.01)
    assert min(inside("buttonhole_end", z) for z in hole.ends) == pytest.approx(
        inside("buttonhole_end", hole.at) - PAST
    )
    assert hole.far == pytest.approx(button.far)


@pytest.mark.parametrize("units", ["cm", "in"])
def test_the_words_say_from_where_to_what_they_measure(blouse: Prepared, units: str) -> None:
    step = words(blouse, "buttons", units)
    text = said(step)
    cuff = next(row for row in step.facts["holes"] if row["inside"] is not None and row["where"] == "each")
    assert f"the middle of its button {show(cuff['inside'], units)} in from it".replace("\u00a0", " ") in text
    assert "beyond the button's middle, towards the edge" in text
    assert "to the middle of the button" in text
    assert step.facts["lap"] == pytest.approx(20.0)


def test_a_casings_row_and_its_gap_are_its_round(tmp_path: Path) -> None:
    step = words(made(tmp_path, "trousers", {}, body=_child()), "waist-casing")
    f = step.facts
    assert f["sewn"] + f["gap"] == pytest.approx(f["round"])
    assert "long without the opening" in said(step)


def _child() -> Body:
    return read_body(read_style(ROOT / "styles" / "trousers").base)
