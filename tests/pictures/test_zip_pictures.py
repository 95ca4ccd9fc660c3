"""Pictures of zips, felled ends and hooks: clean by the judge, with what is sewn where the words say."""

from __future__ import annotations

from functools import cache

import pytest
from helpers.bodies import extreme_bodies
from helpers.steps import NO_PICTURE, body_with, demo_body, pictures, prepared, style

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.judge import judge
from booklet.paths import Path
from booklet.pictures.bench import Bench
from booklet.pictures.zip import opening_sides
from booklet.prepare import Prepared
from booklet.sewing.operations.zip import BELOW_STOP

KINDS = ("centred", "lapped", "concealed")


@cache
def skirt(kind: str, units: str = "cm") -> Prepared:
    return prepared(style("aline"), demo_body(), {"zip": kind}, units)


@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("units", ["cm", "in"])
def test_every_step_of_the_skirt_has_a_clean_picture(kind: str, units: str) -> None:
    made = skirt(kind, units)
    for step, verb, drawings, left in pictures(made, units):
        assert (not drawings) == (verb in NO_PICTURE), step
        assert left == (), f"{step}: no room for {left}"
        for drawing in drawings:
            assert drawing.width <= 106.0
            assert [f.what for f in judge(drawing)] == [], step


@pytest.mark.slow
@pytest.mark.parametrize("kind", KINDS)
@pytest.mark.parametrize("number", range(5))
def test_extreme_bodies_are_drawn_clean(kind: str, number: int) -> None:
    made = prepared(style("aline"), body_with(extreme_bodies()[number].measures), {"zip": kind})
    for step, _, drawings, left in pictures(made):
        assert left == (), f"{step}: no room for {left}"
        for drawing in drawings:
            assert [f.what for f in judge(drawing)] == [], step


@cache
def drawn(kind: str, verb: str) -> Drawing:
    """The first picture of the step that is such an operation."""
    made = skirt(kind)
    step = next(s.id for s in made.seams.steps if s.verb == verb)
    return next(drawings[0] for _, _, drawings, _ in pictures(made, only=(step,)))


def lines(drawing: Drawing, role: str) -> list[Path]:
    return [
        path.placed(flat.placement)
        for flat in flat_items(drawing.items)
        if isinstance(flat.item, PathItem) and flat.item.role == role
        for path in flat.item.subpaths
    ]


def words(drawing: Drawing) -> str:
    return " ".join(f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text))


def bench_of(made: Prepared) -> Bench:
    return Bench({c.id: c for c in made.copies}, {c.piece.key: c for c in made.cuts})


@pytest.mark.parametrize("inside", [False, True])
def test_the_two_sides_meet_on_one_line_with_the_top_up(inside: bool) -> None:
    made = skirt("centred")
    (seam,) = [s for s in made.seams.seams if s.kind == "zip"]
    sides = opening_sides(bench_of(made), seam, inside)
    assert sides is not None
    first, second = sides
    for side in sides:
        assert side.at.mirrored == inside
        assert side.line.start.imag < side.line.end.imag
        assert side.line.length == pytest.approx(seam.a_mm)
    assert abs(first.line.start - second.line.start) < 1e-6 and abs(first.line.end - second.line.end) < 1e-6
    assert first.hand == -second.hand


def test_the_rows_of_a_centred_zip_lie_six_millimetres_from_the_seam() -> None:
    drawing = drawn("centred", "zip")
    (row,) = [p for p in lines(drawing, "seam") if p.length > 60]
    (length,) = [p for p in lines(drawing, "tape")[:1]]
    x0, y0, x1, y1 = row.bbox
    scale = (y1 - y0) / (186.0 + BELOW_STOP)  # the row across runs clear of the bottom stop
    assert x1 - x0 == pytest.approx(12.0 * scale, abs=0.05)
    assert length.length > y1 - y0  # the tape reaches below the opening
    assert "186" in words(drawing)


def test_the_row_of_a_lapped_zip_turns_at_the_foot() -> None:
    (row,) = [p for p in lines(drawn("lapped", "zip"), "seam") if p.length > 30]
    x0, y0, x1, y1 = row.bbox
    assert x1 - x0 == pytest.approx(12.0 * (y1 - y0) / (186.0 + BELOW_STOP), abs=0.05)


@pytest.mark.parametrize("kind", KINDS)
def test_both_sides_are_named_and_the_zip_is_seen(kind: str) -> None:
    said = words(drawn(kind, "zip"))
    assert "left back," in said and "right back," in said
    assert len([p for p in lines(drawn(kind, "zip"), "tape")]) == 2


def test_facing_ends_are_sewn_on_both_sides_of_the_teeth() -> None:
    rows = [p for p in lines(drawn("centred", "fell"), "seam")]
    assert len(rows) == 2
    (teeth,) = lines(drawn("centred", "fell"), "teeth")
    middles = [r.point(r.length / 2).real - teeth.start.real for r in rows]
    assert middles[0] == pytest.approx(-middles[1], abs=0.05) and abs(middles[0]) > 1


def test_a_hook_has_an_eye_or_a_bar_to_meet() -> None:
    assert "eye" in words(drawn("centred", "hook")) and "bar" not in words(drawn("centred", "hook"))
    assert "bar" in words(drawn("lapped", "hook"))
