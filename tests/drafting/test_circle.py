"""Circle skirts and circular flounces as pieces: arcs true to their radius, the trade's figures drafted."""

from __future__ import annotations

import pytest
from helpers.drafts import Drafted, inline_draft
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.copies import open_out
from booklet.drafting.ways.circle import ring_piece
from booklet.problems import Fault


def drafted(what: str, more: str = "cut: {main: 2}\n    drawn for: left", units: str = "cm") -> Drafted:
    return inline_draft(
        f"units: {units}\npieces:\n  p:\n    number: 1\n    title: Skirt\n    {what}\n    {more}\n    allow: {{other: 0}}\n"
    )


@given(st.floats(5, 3000), st.floats(20, 900), st.floats(0.02, 5.4))
def test_arcs_are_true_to_their_radius(radius: float, deep: float, angle: float) -> None:
    """Within 1e-4 of the radius at every point, and as long as radius x angle."""
    shape = ring_piece(radius, radius + deep, angle, ("waist", "side", "hem", "centre"), "left")
    for name, size in (("waist", radius), ("hem", radius + deep)):
        path = shape.run(name).path
        off = max(abs(abs(path.point(path.length * k / 50)) - size) for k in range(51))
        assert off < 1e-5 * size
        assert path.length == pytest.approx(size * angle, rel=1e-6)


@given(st.floats(50, 400), st.floats(100, 1200), st.floats(0.2, 5.4))
def test_a_sector_is_clockwise_and_closed(inner: float, deep: float, angle: float) -> None:
    shape = ring_piece(inner, inner + deep, angle, ("waist", "side", "hem", "centre"), "left")
    for one, other in zip(shape.runs, shape.runs[1:] + shape.runs[:1], strict=True):
        assert abs(one.path.end - other.path.start) < 1e-9 * (inner + deep)
    inwards = shape.run("waist").path.tangent(1.0) * 1j
    assert abs(shape.run("waist").path.point(1.0) + inwards) > inner  # the piece lies outside its waist
    assert shape.run("centre").path.start.real == pytest.approx(0, abs=1e-9)


@pytest.mark.parametrize(
    ("part", "radius"), [("full", 11.141), ("three-quarter", 14.854), ("half", 22.282), ("quarter", 44.563)]
)
def test_circle_skirts_of_a_70_cm_waist(part: str, radius: float) -> None:
    """TRADE.md 1.5, arithmetic: r = W / theta, 0.01 cm."""
    made = drafted(f"circle: {{waist: 70, long: 60, part: {part}, seams: 2}}")
    assert made.errors == ()
    shape = made.maker.shape("p")
    assert abs(shape.run("waist").path.start) / 10 == pytest.approx(radius, abs=0.01)
    assert 2 * shape.run("waist").path.length / 10 == pytest.approx(70, abs=1e-4)
    assert shape.run("side").path.length / 10 == pytest.approx(60)


def test_the_hem_of_a_full_circle() -> None:
    """W 70 cm, L 60 cm: hem radius 71.141 cm, hem 446.99 cm (arithmetic)."""
    shape = drafted("circle: {waist: 70, long: 60, seams: 2}").maker.shape("p")
    assert abs(shape.run("hem").path.start) / 10 == pytest.approx(71.141, abs=0.001)
    assert 2 * shape.run("hem").path.length / 10 == pytest.approx(446.99, abs=0.01)


def test_a_piece_on_the_fold_is_half_as_much() -> None:
    made = drafted(
        "circle: {waist: 70, long: 60, seams: 2}", "fold: centre\n    half: left\n    cut: {main: 2}"
    )
    waist = next(h.edge for h in open_out(made.maker.piece("p")).ring if h.base == "waist")
    assert waist.length / 10 == pytest.approx(35, abs=1e-4)


def test_a_circular_flounce() -> None:
    """Top 72 in, bottom 112 in, 12 in deep: r = 21.6 in (L. I. Baldt, Clothing for Women, 1916)."""
    made = drafted("flounce: {top: 72, bottom: 112, deep: 12}", units="in")
    shape = made.maker.shape("p")
    assert abs(shape.run("top").path.start) / 25.4 == pytest.approx(21.6)
    assert shape.run("top").path.length / 25.4 == pytest.approx(72, abs=1e-3)
    assert shape.run("bottom").path.length / 25.4 == pytest.approx(112, abs=1e-3)
    assert made.errors == ()


@pytest.mark.parametrize(
    ("what", "told"),
    [
        ("circle: {waist: 70, long: 60}", "seams: 2"),
        ("circle: {waist: 0, long: 60, seams: 2}", "waist comes out 0.0 mm"),
        ("circle: {waist: 70, long: 60, seams: 0}", "0 seams"),
        ("flounce: {top: 112, bottom: 72, deep: 12}", "longer at the bottom"),
    ],
)
def test_what_cannot_be_is_told(what: str, told: str) -> None:
    with pytest.raises(Fault) as fault:
        drafted(what).maker.shape("p")
    assert told in str(fault.value)
