"""The garment in the round: on the cover as it is worn, in a step inside out; true lengths, nothing out of place."""

from __future__ import annotations

from functools import cache

import pytest
import shapely
from helpers.all_styles import BASE, STYLES, case_name, checked, files, own_unit

from booklet.drawing import look
from booklet.job import garment_views
from booklet.language import tongue_for
from booklet.pictures.bench import Bench
from booklet.pictures.folding import closings
from booklet.pictures.garment import garment_layers
from booklet.pictures.garment_layers import Layer, Sewn
from booklet.pictures.hung_sleeve import Sleeve, hang
from booklet.pictures.in_round import inside_out

ARMHOLE = [complex(250, 210), complex(225, 200), complex(205, 170), complex(200, 110), complex(190, 50)]


@cache
def prepared(style: str):  # type: ignore[no-untyped-def]
    options = dict(BASE)[style]
    return checked(style, options, own_unit(style)).prepared


def bench_of(style: str, before: str = "") -> Bench:
    """Everything sewn, or what is sewn before a step."""
    made = prepared(style)
    seams = tuple(made.seams.seams)
    names = [s.id for s in made.seams.steps]
    done = seams if not before else tuple(s for s in seams if names.index(s.step) < names.index(before))
    return Bench(
        {c.id: c for c in made.copies},
        {c.piece.key: c for c in made.cuts},
        done,
        folds={c.id: closings(c) for c in made.copies if c.pleats},
    )


@cache
def layers(style: str, view: str) -> list[Layer]:
    views = files(style).sources["style"].data["views"]
    behind = [key for name, keys in views.items() if name != view for key in keys]
    elastics = {step: e.relaxed for step, e in prepared(style).elastics.items()}
    return garment_layers(bench_of(style), views[view], behind, Sewn(elastics))


def roles(view: list[Layer]) -> list[str]:
    return [role for layer in view for _, _, role in layer.lines]


@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_every_style_has_its_views(style: str, options: tuple) -> None:
    named = list(files(style).sources["style"].data["views"])
    assert [name for name, _ in garment_views(files(style), prepared(style), tongue_for("en"))] == named


@pytest.mark.parametrize("style", STYLES)
def test_views_are_even_about_the_middle(style: str) -> None:
    """All the styles but the wrap skirt are alike at the left and at the right, so their outlines are."""
    if style == "skirt":
        return
    for view in files(style).sources["style"].data["views"]:
        x0, _, x1, _ = shapely.union_all([layer.area for layer in layers(style, view)]).bounds
        assert abs(x0 + x1) < 0.02 * (x1 - x0), view


@pytest.mark.parametrize("style", STYLES)
def test_what_lies_behind_never_shows_beside_the_garment(style: str) -> None:
    for view in files(style).sources["style"].data["views"]:
        shown = [layer.area for layer in layers(style, view) if layer.fill == look.RIGHT_SIDE]
        x0, _, x1, _ = shapely.union_all(shown).bounds
        for layer in layers(style, view):
            assert layer.area.bounds[0] > x0 - 1.0 and layer.area.bounds[2] < x1 + 1.0


def test_the_yoke_is_folded_over_the_shoulders() -> None:
    """In front its seam lies below the shoulder; the body's upper edge is the fold, in front and behind alike."""
    front, back = (shapely.union_all([x.area for x in layers("blouse", v)]) for v in ("front", "back"))
    assert "seam" in roles(layers("blouse", "front"))
    assert abs((front.bounds[2] - front.bounds[0]) - (back.bounds[2] - back.bounds[0])) < 12.0
    assert abs((front.bounds[3] - front.bounds[1]) - (back.bounds[3] - back.bounds[1])) < 25.0


def test_the_blouse_is_buttoned_up_to_its_stand() -> None:
    buttons = [p for layer in layers("blouse", "front") for p, _, role in layer.lines if role == "button"]
    centres = [complex((p.bbox[0] + p.bbox[2]) / 2, (p.bbox[1] + p.bbox[3]) / 2) for p in buttons]
    in_the_middle = {round(z.imag) for z in centres if abs(z.real) < 6.0}
    made = [
        m for c in prepared("blouse").copies if c.host is None for m in c.buttons if m.kind == "buttonhole"
    ]
    assert len(in_the_middle) == len([m for m in made if m.row in ("row", "button")])


def test_elastic_draws_the_trousers_in_at_the_waist() -> None:
    made = prepared("trousers")
    (step, elastic) = next(iter(made.elastics.items()))
    flat = next(s.a_mm for s in made.seams.seams if s.step == step)
    shown = [layer.area for layer in layers("trousers", "front") if layer.fill == look.RIGHT_SIDE]
    both = shapely.union_all(shown)
    _, top, _, _ = both.bounds
    waist = both.intersection(shapely.box(-999, top, 999, top + 12)).bounds
    legs = [c for c in made.copies if c.piece.name == "front"]
    edge = sum(c.by_name["waist"].edge.length for c in legs)
    assert waist[2] - waist[0] == pytest.approx(edge * elastic.relaxed / flat, rel=0.06)


@pytest.mark.parametrize("worn", [True, False])
def test_a_hung_sleeve_keeps_its_length_and_its_ends(worn: bool) -> None:
    sleeve = Sleeve("s", 560.0, 430.0, 180.0, 150.0, 100.0, 60.0, 0.0, 0.0, False, None, 0.0)
    hung = hang(sleeve, ARMHOLE, 1.0, worn)
    assert hung.cuff is not None
    outer = max(hung.area.exterior.coords, key=lambda xy: abs(complex(*xy) - ARMHOLE[-1]))
    assert abs(complex(*outer) - ARMHOLE[-1]) == pytest.approx(sleeve.long, rel=0.04)
    assert hung.cuff.area == pytest.approx(sleeve.cuff * abs(sleeve.end), rel=0.25)
    assert hung.underarm.start == ARMHOLE[0]


def test_a_sleeve_at_the_left_is_the_mirror_of_one_at_the_right() -> None:
    sleeve = Sleeve("s", 560.0, 430.0, 180.0, 150.0, 100.0, 0.0, 20.0, 0.0, True, (0.4, 90.0), 0.0)
    right = hang(sleeve, ARMHOLE, 1.0)
    left = hang(sleeve, [complex(-z.real, z.imag) for z in ARMHOLE], -1.0)
    assert left.area.area == pytest.approx(right.area.area)
    assert left.area.bounds[0] == pytest.approx(-right.area.bounds[2])
    assert len(left.lines) == len(right.lines)


@pytest.mark.parametrize(("style", "plies"), [("blouse", 4), ("top", 2)])
def test_side_and_sleeve_are_drawn_inside_out_with_all_that_is_joined(style: str, plies: int) -> None:
    bench = bench_of(style, before="side-and-sleeve")
    seams = [s for s in prepared(style).seams.seams if s.step == "side-and-sleeve"]
    found = inside_out(bench, seams)
    assert found is not None
    assert len(found.at) == plies and len(found.sleeves) == 2
    assert found.at[found.top].mirrored  # its wrong side is up
    assert len(found.seams) == 4
    sides, arms = found.seams[:2], found.seams[2:]
    for arm in arms:
        assert min(abs(end - arm.start) for side in sides for end in (side.start, side.end)) < 3.0
    kinds = [layer.fill for layer in found.layers]
    assert kinds[-1] == look.WRONG_SIDE and look.RIGHT_SIDE in kinds
