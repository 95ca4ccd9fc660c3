"""Pictures of a shirt's steps: every one clean, every place of a row drawn, the plies of a collar all shown."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.shirt import ALL, SLEEVES, WITH_SLEEVES, shirt
from helpers.steps import pictures

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.judge import judge
from booklet.prepare import Prepared

VERBS = ("buttons", "collar", "placket", "band", "gather")


def drawn(made: Prepared, step: str, units: str = "cm") -> Drawing:
    return next(drawings[0] for _, _, drawings, _ in pictures(made, units, (step,)))


def roles(drawing: Drawing, role: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.role == role]


def said(drawing: Drawing) -> str:
    return " ".join(f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text))


@pytest.mark.parametrize("units", ["cm", "in"])
def test_its_own_steps_have_clean_pictures(tmp_path: Path, units: str) -> None:
    made = shirt(tmp_path, ALL + SLEEVES, units, WITH_SLEEVES)
    own = [s.id for s in made.seams.steps if s.verb in VERBS]
    for step, _, drawings, left in pictures(made, units, own):
        assert len(drawings) == 1, step
        assert left == (), f"{step}: no room for {left}"
        for drawing in drawings:
            assert drawing.width <= 106.0
            assert [f.what for f in judge(drawing)] == [], step


def test_every_button_and_hole_is_drawn_with_its_distances(tmp_path: Path) -> None:
    picture = drawn(shirt(tmp_path), "buttons")
    assert len(roles(picture, "buttonhole")) == 8
    rings = [i for i in roles(picture, "button") if i.fill is not None]
    assert len(rings) == 8
    words = said(picture)
    assert words.count("60\u00a0mm") == 2  # to the first and to the next
    assert "15\u00a0mm" in words and "right front," in words and "left front," in words


def test_a_collar_shows_both_sides_and_a_trimmed_corner(tmp_path: Path) -> None:
    words = said(drawn(shirt(tmp_path), "collar"))
    for part in ("under collar,", "wrong side up", "trimmed to 5\u00a0mm", "cut across"):
        assert part in words


def test_the_section_between_stands_has_four_plies(tmp_path: Path) -> None:
    words = said(drawn(shirt(tmp_path), "stand"))
    for part in ("inner collar stand", "under collar below", "right side up"):
        assert part in words
    assert words.count("collar stand") >= 3


def test_a_placket_is_shown_in_four_stages(tmp_path: Path) -> None:
    words = said(drawn(shirt(tmp_path, ALL + SLEEVES, changed=WITH_SLEEVES), "placket"))
    for part in ("cut", "110\u00a0mm", "sleeve, spread,", "strip below", "10\u00a0mm"):
        assert part in words


def test_a_cuff_is_drawn_once_with_both_ends_led_to_the_slit(tmp_path: Path) -> None:
    picture = drawn(shirt(tmp_path, ALL + SLEEVES, changed=WITH_SLEEVES), "cuff")
    assert said(picture).count("sleeve,") == 1
    arrows = [i for i in roles(picture, "action") if i.ends]
    ends = [i.ends[-1] for i in arrows]
    assert len(ends) == 2 and 1 < abs(ends[0] - ends[1]) < 12  # to the two edges of the slit, side by side
