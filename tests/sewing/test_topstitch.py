"""Topstitching and edgestitching: where rows lie, how long they are, what they hold, when they can be sewn."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.changed import Changes, codes, made, problems, said, words
from helpers.step_words import shop
from helpers.steps import style

from booklet.cloth.notions import work_out_notions
from booklet.model import Seam
from booklet.prepare import Prepared
from booklet.seams.follow import names_step
from booklet.sewing.checks import ENDING
from booklet.sewing.operations.base import LAPPED, LOCKSTITCH, ORNAMENTAL, SUPERIMPOSED
from booklet.sewing.words import write_steps

YOKE = "    id: yoke-back\n    press: to yoke\n    neaten: together\n"
EDGES = "    title: Turn in the front edges\n"
COLLAR = "    id: collar\n    then: [trim, turn, press]\n"
SLEEVES = "    id: set-sleeves\n    ease: 10 mm\n    press: to sleeve\n    neaten: together\n"
SIDE = "    id: left-side\n    title: Join the left side\n    press: open\n    neaten: apart\n"
FACED = "    id: understitch-front\n    then: [turn, press, tack]\n"
GAP = "    leave open: [tie_gap_top..tie_gap_foot]\n    press: open\n    neaten: apart\n"


def after(place: str, step: str) -> Changes:
    """A step `rows` behind one of the recipe."""
    return {"sewing": [(place, f"{place}  - {step}\n    id: rows\n")]}


def rows(what: Prepared) -> list[Seam]:
    return [s for s in what.seams.seams if s.step == "rows"]


def of_step(what: Prepared, step: str) -> list[Seam]:
    return [s for s in what.seams.seams if s.step == step]


def test_a_step_is_told_from_a_run() -> None:
    assert names_step("yoke-back") and names_step("hem_2")
    assert not names_step("front.hem") and not names_step("ring(front.hem, back.hem)")


# ---------------------------------------------------------------- what is followed


def test_rows_lie_on_the_piece_to_which_the_seam_is_pressed(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", after(YOKE, "topstitch: [yoke-back]"))
    (row,), (seam,) = rows(what), of_step(what, "yoke-back")
    assert row.a == seam.b and row.b is None and row.press == "seam"
    assert row.a_mm == pytest.approx(seam.b_mm)
    assert "on the yoke (3), 6 mm from it" in said(words(what, "rows"))
    assert "holds both allowances beneath" in said(words(what, "rows"))


def test_rows_lie_on_both_sides_of_a_seam_pressed_open(tmp_path: Path) -> None:
    what = made(tmp_path, "skirt", after(SIDE, "topstitch: [left-side]"))
    (seam,) = of_step(what, "left-side")
    assert [r.a for r in rows(what)] == [seam.a, seam.b]
    text = said(words(what, "rows"))
    assert text.count("Sew along the side seam, on both sides of it") == 1
    assert "hold the allowances open" in text
    assert sum(s.mm for s in words(what, "rows").stitching) == pytest.approx(2 * seam.a_mm)


def test_a_collar_that_is_turned_is_followed_along_its_edge(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", after(COLLAR, "topstitch: [collar]"))
    (row,), (seam,) = rows(what), of_step(what, "collar")
    assert row.a == seam.a and row.press == "edge"
    told = words(what, "rows")
    assert "edge of the collar (6), 6 mm from the edge" in said(told)
    assert told.stitching[0].seam_class == SUPERIMPOSED


def test_a_faced_edge_is_followed_on_the_garment(tmp_path: Path) -> None:
    what = made(tmp_path, "skirt", after(FACED, "topstitch: [face-front]"))
    (row,), (seam,) = rows(what), of_step(what, "face-front")
    assert row.a == seam.a and row.press == "edge"
    assert "of the right front (3), 6 mm from the edge" in said(words(what, "rows"))


def test_a_run_is_followed_where_it_is_named_once_a_side(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", after(EDGES, "edgestitch: [front.front_edge]"))
    assert [r.side for r in rows(what)] == ["left", "right"]
    assert all(r.press == "edge" for r in rows(what))
    text = said(words(what, "rows"))
    assert text.startswith("Edgestitch the front edges\n") and "Do the other side the same way." in text
    named = made(tmp_path, "blouse", after(YOKE, "topstitch: [yoke.back_seam]"))
    (row,) = rows(named)
    assert row.press == "seam" and [(p.copy, p.edge) for p in row.a.parts] == [("yoke", "back_seam")]


def test_along_an_eased_seam_a_row_is_as_long_as_the_seam(tmp_path: Path) -> None:
    what = made(tmp_path, "blouse", after(SLEEVES, "topstitch: [set-sleeves]"))
    seams = of_step(what, "set-sleeves")
    assert seams[0].treatment == "ease"
    for row, seam in zip(rows(what), seams, strict=True):
        assert row.a == seam.a and row.a_mm < seam.a_mm
        assert row.a_mm == pytest.approx(min(seam.a_mm, seam.b_mm or 0.0))
    assert said(words(what, "rows")).startswith("Topstitch the armhole seams\n")


def test_a_row_stops_at_an_opening(tmp_path: Path) -> None:
    what = made(tmp_path, "skirt", after(GAP, "topstitch: [right-side]"))
    (seam,) = of_step(what, "right-side")
    gap = sum(s.a_mm for s in seam.sections if s.open)
    assert gap > 10 and rows(what)[0].a_mm == pytest.approx(seam.a_mm - gap)
    assert "Stop at the opening and go on behind it." in said(words(what, "rows"))


# ---------------------------------------------------------------- figures


@pytest.mark.parametrize(
    ("step", "units", "places", "told"),
    [
        ("topstitch: [yoke-back]", "cm", (6.0,), "6 mm from it"),
        ("topstitch: [yoke-back]\n    inside: 4 mm", "cm", (4.0,), "4 mm from it"),
        ("topstitch: [yoke-back]\n    inside: 2 mm\n    rows: 2", "cm", (2.0, 8.0), "2 mm and 8 mm from it"),
        ("topstitch: [yoke-back]\n    inside: 1/4 in", "in", (6.35,), "1/4 in from it"),
        ("topstitch: [yoke-back]\n    inside: {cm: 0.5, in: 1/4}", "cm", (5.0,), "5 mm from it"),
        ("edgestitch: [yoke-back]", "cm", (2.0,), "2 mm from it"),
    ],
)
def test_rows_are_sewn_where_the_recipe_says(
    tmp_path: Path, step: str, units: str, places: tuple[float, ...], told: str
) -> None:
    what = made(tmp_path, "blouse", after(YOKE, step), units)
    step_words = words(what, "rows", units)
    assert step_words.facts["places"] == pytest.approx(places)
    assert told in said(step_words)
    (row,) = rows(what)
    (sewn,) = step_words.stitching
    assert (sewn.stitch, sewn.rows, sewn.seam_class) == (LOCKSTITCH, len(places), LAPPED)
    assert sewn.mm == pytest.approx(len(places) * row.a_mm)


def test_thread_is_counted_for_every_row(tmp_path: Path) -> None:
    def metres(step: str) -> float:
        what = made(tmp_path, "blouse", after(YOKE, step) if step else {})
        table = what.seams
        told = write_steps(table.steps, table, what.copies, what.table, shop(), "cm")
        notions = work_out_notions(style("blouse").sources["style"], what, told, shop(), "cm")
        return next(n.amount for n in notions if n.name == "sewing thread")

    none, one, two = (
        metres(""),
        metres("topstitch: [yoke-back]"),
        metres("topstitch: [yoke-back]\n    rows: 2"),
    )
    (row,) = rows(made(tmp_path, "blouse", after(YOKE, "topstitch: [yoke-back]")))
    use = shop().thread["sewing"]
    each = row.a_mm / 1000 * use.ratio * (1 + use.waste) + shop().tails / 1000
    assert one - none == pytest.approx(each, abs=0.11) and two - one == pytest.approx(each, abs=0.11)


def test_rows_along_a_hem_are_of_the_ornamental_class(tmp_path: Path) -> None:
    (sewn,) = words(made(tmp_path, "blouse", after(EDGES, "topstitch: [front-edges]")), "rows").stitching
    assert sewn.seam_class == ORNAMENTAL and sewn.rows == 2  # one a side


# ---------------------------------------------------------------- checks


def test_a_row_takes_no_edge_up(tmp_path: Path) -> None:
    assert "topstitch" not in ENDING
    base = codes(tmp_path, "blouse", {})
    assert codes(tmp_path, "blouse", after(YOKE, "topstitch: [yoke-back]")) == base
    only: Changes = {
        "sewing": [("- hem: {run: front.front_edge, kind: double}\n", "- edgestitch: [front.front_edge]\n")]
    }
    assert "error edge-left" in codes(tmp_path, "blouse", only)


@pytest.mark.parametrize(
    ("step", "told"),
    [
        ("topstitch: [yoke-front]", "no step 'yoke-front' before this one"),
        ("topstitch: [yoke-bakc]", "Did you mean 'yoke-back'"),
        ("topstitch: [yoke.front_seam]", "yoke.front_seam is topstitched before step 'yoke-front' sews it"),
        ("edgestitch: [front.hem]", "front.hem is topstitched before step 'hem' sews it"),
    ],
)
def test_what_is_not_sewn_yet_cannot_be_followed(tmp_path: Path, step: str, told: str) -> None:
    (problem,) = (p for p in problems(tmp_path, "blouse", after(YOKE, step)) if p.code == "topstitch-early")
    assert problem.severity == "error" and told in problem.sentence()
    assert problem.where is not None and problem.where.file.endswith("sewing.yaml")


def test_a_row_comes_before_the_seam_that_crosses_it(tmp_path: Path) -> None:
    late = after(SLEEVES, "topstitch: [yoke-back]")
    (problem,) = (p for p in problems(tmp_path, "blouse", late) if p.code == "topstitch-late")
    assert (
        problem.severity == "warning" and "after step 'set-sleeves' has sewn across its end" in problem.what
    )
    answered = after(SLEEVES, "topstitch: [yoke-back]\n    although: it ends at the armhole by intent")
    assert "note topstitch-late" in codes(tmp_path, "blouse", answered)


def test_an_edge_may_be_followed_when_all_is_sewn(tmp_path: Path) -> None:
    end: Changes = {
        "sewing": [
            ("  - press: {all: true}\n", "  - edgestitch: [front-edges, collar]\n  - press: {all: true}\n")
        ]
    }
    assert codes(tmp_path, "blouse", end) == codes(tmp_path, "blouse", {})


@pytest.mark.parametrize(
    ("step", "code", "told"),
    [
        ("topstitch: [yoke-back]\n    inside: 1.3", "topstitch-wide", "a row lies 13.0 mm from the seam"),
        (
            "topstitch: [yoke-back]\n    inside: 7 mm\n    rows: 2",
            "topstitch-wide",
            "allowances are 12.0 mm wide",
        ),
        ("topstitch: [back.yoke_seam]", "topstitch-bare", "presses the allowances to the other side"),
        ("topstitch: [yoke-back]\n    inside: 0.5 mm", "topstitch-off", "runs off into it"),
    ],
)
def test_a_row_holds_what_it_is_meant_to_hold(tmp_path: Path, step: str, code: str, told: str) -> None:
    (problem,) = (p for p in problems(tmp_path, "blouse", after(YOKE, step)) if p.code == code)
    assert told in problem.what
    assert problem.severity == ("error" if code == "topstitch-off" else "warning")


def test_inside_and_rows_belong_to_topstitching(tmp_path: Path) -> None:
    for step in ("edgestitch: [yoke-back]\n    rows: 2", "finish: [back.hem]\n    inside: 6 mm"):
        told = " ".join(p.sentence() for p in problems(tmp_path, "blouse", after(YOKE, step)))
        assert "belongs to topstitch: alone" in told


@pytest.mark.parametrize("edge", ["yoke.back_seam", "back.yoke_seam"])
def test_a_promised_end_is_met(tmp_path: Path, edge: str) -> None:
    promise = ("finished:\n", f"ends: {{{edge}: topstitched}}\nfinished:\n")
    assert "error end-unmet" in codes(tmp_path, "blouse", {"style": [promise]})
    kept = {**after(YOKE, "topstitch: [yoke-back]"), "style": [promise]}
    assert "error end-unmet" not in codes(tmp_path, "blouse", kept)
