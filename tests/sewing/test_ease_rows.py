"""Easing as a step of its own: one with the join's own `ease:`, told in words, drawn, before the seam and not too much."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.bodies import extreme_bodies
from helpers.changed import Changes, codes, drawn, made, problems, said, words
from helpers.steps import body_with

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem
from booklet.drawing.judge import judge
from booklet.model import Seam
from booklet.prepare import Prepared
from booklet.sewing.operations.base import LOCKSTITCH, ORNAMENTAL

JOIN = "  - join: [sleeve.head, 'chain(front.armhole, yoke.armhole, back.armhole)']\n    id: set-sleeves\n"
OWN = "    ease: 10 mm\n"
ROWS = "  - ease: {run: sleeve.head, by: 10 mm}\n    id: rows\n"


def blouse(rows: str = ROWS, own: str = "") -> Changes:
    """The blouse with rows of easing in the sleeve heads, and what the join itself says of ease."""
    return {"sewing": [(JOIN + OWN, rows + JOIN + own)]}


def set_in(what: Prepared) -> Seam:
    return next(s for s in what.seams.seams if s.step == "set-sleeves")


def test_rows_and_a_joins_own_ease_make_the_same_seam(tmp_path: Path) -> None:
    plain, eased, both = (made(tmp_path, "blouse", c) for c in ({}, blouse(), blouse(own=OWN)))
    for what in (eased, both):
        assert set_in(what).treatment == set_in(plain).treatment == "ease"
        assert [s.wanted for s in set_in(what).sections] == pytest.approx(
            [s.wanted for s in set_in(plain).sections]
        )
    assert codes(tmp_path, "blouse", blouse(own=OWN)) == codes(tmp_path, "blouse", {})


@pytest.mark.parametrize(
    ("rows", "own", "code"),
    [
        (ROWS, "", ""),
        (ROWS, "    ease: 11 mm\n", ""),  # within what lengths may differ
        (ROWS, "    ease: 13 mm\n", "error ease-unlike"),
        (ROWS, "    ease: 0\n", "error ease-unlike"),
        ("", "", "error section"),
        (ROWS.replace("10 mm", "2 mm"), "", "error section"),
        (ROWS.replace("by: 10 mm", "to: length of sleeve.head - 10 mm"), "", ""),
        (ROWS.replace("by: 10 mm", "to: length of sleeve.head + 1 cm"), "", "error ease-amount"),
        (ROWS.replace("by: 10 mm", "rows: 2"), "", "error"),
    ],
)
def test_the_amount_is_one(tmp_path: Path, rows: str, own: str, code: str) -> None:
    told = codes(tmp_path, "blouse", blouse(rows, own))
    if not code:
        assert told == codes(tmp_path, "blouse", {})
    elif code == "error section":
        assert any(t.startswith("error") for t in told)
    else:
        assert any(t.startswith(code) for t in told), told


def test_words_and_stitching(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", blouse())
    told = words(what, "rows")
    seam = set_in(what)
    text = said(told)
    assert text.startswith("Ease in the sleeve heads\n")
    assert told.facts["by"] == pytest.approx(10.0) and told.facts["depths"] == pytest.approx((8.0,))
    assert told.facts["flat"] == pytest.approx(seam.a_mm)
    assert f"up by 10 mm, {seam.a_mm:.0f} mm to {seam.a_mm - 10:.0f} mm" in text
    assert "8 mm from the cut edge" in text and "no fold shows" in text
    (sewn,) = told.stitching
    assert (sewn.stitch, sewn.seam_class, sewn.rows) == (LOCKSTITCH, ORNAMENTAL, 2)
    assert sewn.mm == pytest.approx(2 * seam.a_mm)
    two = words(made(tmp_path, "blouse", blouse(ROWS.replace("10 mm}", "10 mm, rows: 2}"))), "rows")
    assert two.stitching[0].mm == pytest.approx(4 * seam.a_mm) and "Sew two rows" in said(two)


def test_easing_comes_before_the_seam(tmp_path: Path) -> None:
    late: Changes = {"sewing": [("  - press: {all: true}\n", f"{ROWS}  - press: {{all: true}}\n")]}
    (problem,) = (p for p in problems(tmp_path, "blouse", late) if p.code == "ease-late")
    assert problem.severity == "error" and "eased after step 'set-sleeves' has sewn it" in problem.what


def test_much_ease_is_a_gather(tmp_path: Path) -> None:
    much = "  - ease: {run: back.hem, by: 15 cm}\n    id: rows\n"
    (problem,) = (p for p in problems(tmp_path, "blouse", blouse(much, OWN)) if p.code == "ease-much")
    assert problem.severity == "warning" and "is to lose 150 of its" in problem.what
    assert "warning ease-much" not in codes(tmp_path, "blouse", blouse())


def test_ease_beside_a_join_is_no_second_operation(tmp_path: Path) -> None:
    assert "error" not in " ".join(codes(tmp_path, "blouse", {}))
    two = blouse("", "    ease: {run: sleeve.head, by: 10 mm}\n")
    assert "2 operations" in " ".join(p.sentence() for p in problems(tmp_path, "blouse", two))
    alone = blouse("  - ease: 10 mm\n    id: rows\n")
    assert "no operation" in " ".join(p.sentence() for p in problems(tmp_path, "blouse", alone))


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("rows", [1, 2])
def test_its_picture_can_be_read(tmp_path: Path, rows: int, units: str) -> None:
    changes = blouse(ROWS.replace("10 mm}", f"10 mm, rows: {rows}}}"))
    (drawing,), left = drawn(made(tmp_path, "blouse", changes, units), "rows", units)
    assert left == () and [f.what for f in judge(drawing)] == []
    sewn = [
        f.item
        for f in flat_items(drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == "gathering"
    ]
    assert len(sewn) == rows


@pytest.mark.slow
@pytest.mark.parametrize("number", range(3))
def test_extreme_bodies_are_drawn_clean(tmp_path: Path, number: int) -> None:
    back: Changes = {
        "sewing": [
            (
                "    join: [front.shoulder, back.shoulder]\n",
                "    ease: {run: back.shoulder, by: 1 mm}\n    id: rows\n  - join: [front.shoulder, back.shoulder]\n",
            )
        ]
    }
    body = body_with(extreme_bodies()[number].measures)
    (drawing,), left = drawn(made(tmp_path, "top", back, body=body), "rows")
    assert left == () and [f.what for f in judge(drawing)] == []
