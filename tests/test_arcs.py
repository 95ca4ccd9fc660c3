"""Arcs and quarter ellipses against closed forms and other people's integrals."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st
from scipy.integrate import quad
from scipy.special import ellipe

from booklet.arcs import (
    arc,
    arc_between,
    arc_round,
    arc_through,
    circle_meets,
    circles_meet,
    ellipse_quarter,
)
from booklet.paths import Path, Placement, area

RADII = st.floats(20.0, 1500.0)
ANGLES = st.floats(-3.0, 3.0)
PLACES = st.complex_numbers(max_magnitude=800, allow_nan=False, allow_infinity=False)


@given(PLACES, RADII, ANGLES, st.floats(0.1, 6.2), st.booleans())
def test_an_arc_keeps_its_radius_and_has_the_length_of_its_angle(
    centre: complex, radius: float, start: float, sweep: float, back: bool
) -> None:
    made = arc(centre, radius, start, -sweep if back else sweep)
    assert made.length == pytest.approx(radius * sweep, rel=1e-6)
    off = np.abs(np.abs(made.flatten(0.001) - centre) - radius)
    assert off.max() < 1e-6 * radius
    assert made.start == pytest.approx(centre + cmath.rect(radius, start), abs=1e-6)


@given(PLACES, RADII, ANGLES, st.floats(0.2, 5.8), st.floats(0.1, 0.9), st.booleans())
def test_an_arc_through_three_points_is_the_one_they_were_taken_from(
    centre: complex, radius: float, start: float, sweep: float, share: float, back: bool
) -> None:
    way = -sweep if back else sweep
    a, b, c = (centre + cmath.rect(radius, start + way * t) for t in (0.0, share, 1.0))
    made = arc_through(a, b, c)
    assert made.length == pytest.approx(radius * sweep, rel=1e-5)
    assert abs(made.point(made.length * share) - b) < 1e-3 * radius
    assert abs(made.end - c) < 1e-5 * radius


def test_three_points_on_a_straight_line_have_no_arc() -> None:
    with pytest.raises(ValueError, match="straight line"):
        arc_through(0j, 10 + 10j, 30 + 30j)


@given(PLACES, PLACES, st.floats(1.0, 4.0), st.booleans(), st.booleans())
def test_an_arc_of_a_radius_bulges_where_it_is_told_and_has_the_chords_length(
    a: complex, b: complex, times: float, large: bool, left: bool
) -> None:
    """Length by arithmetic: 2 r asin(chord / 2 r), or the rest of the circle."""
    assume(abs(b - a) > 5)
    radius = abs(b - a) / 2 * times
    bulge = (b - a) * (1j if left else -1j)
    made = arc_between(a, b, radius, bulge, large)
    small = 2 * radius * math.asin(min(1.0, 1 / times))
    assert made.length == pytest.approx(2 * math.pi * radius - small if large else small, rel=1e-4)
    middle = made.point(made.length / 2)
    assert ((middle - (a + b) / 2) * bulge.conjugate()).real > -1e-6 * abs(bulge)
    assert abs(made.end - b) < 1e-5 * radius


def test_a_radius_that_is_too_short_is_told_with_what_is_needed() -> None:
    with pytest.raises(ValueError, match=r"40\.0 mm radius does not reach over 100\.0 mm: at least 50\.0"):
        arc_between(0j, 100 + 0j, 40.0, 1j)


@given(st.floats(20.0, 400.0), st.floats(20.0, 400.0), ANGLES, st.booleans())
def test_a_quarter_ellipse_has_the_length_of_the_elliptic_integral(
    ahead: float, aside: float, turn: float, left: bool
) -> None:
    """Length of a quarter: major half axis times E(1 - (minor/major)**2), E by scipy; area pi a b / 4 by closed form."""
    u = cmath.rect(1, turn)
    b = u * complex(ahead, -aside if left else aside)
    made = ellipse_quarter(0j, b, u)
    major, minor = max(ahead, aside), min(ahead, aside)
    assert made.length == pytest.approx(major * ellipe(1 - (minor / major) ** 2), rel=1e-6)
    assert abs(cmath.phase(made.start_tangent / u)) < 1e-9
    assert abs((made.end_tangent * u.conjugate()).real) < 1e-9
    centre = u * 1j * (-aside if left else aside)
    ring = made.joined(Path.polyline([b, centre, 0j])).flatten(0.001)
    assert abs(area(ring)) == pytest.approx(math.pi * ahead * aside / 4, rel=1e-4)


@given(RADII, st.floats(0.3, 3.0), PLACES)
def test_lengths_agree_with_quadrature(radius: float, sweep: float, centre: complex) -> None:
    made = arc(centre, radius, 0.4, sweep)
    total = 0.0
    for p0, p1, p2, p3 in made.segments:

        def speed(t: float, p: tuple[complex, ...] = (p0, p1, p2, p3)) -> float:
            u = 1 - t
            return abs(3 * (u * u * (p[1] - p[0]) + 2 * u * t * (p[2] - p[1]) + t * t * (p[3] - p[2])))

        total += quad(speed, 0, 1, epsabs=1e-10)[0]
    assert made.length == pytest.approx(total, rel=1e-9)


@given(PLACES, RADII, st.floats(0.1, 1.4), RADII)
def test_circles_meet_at_both_radii(a: complex, ra: float, lean: float, rb: float) -> None:
    b = a + (abs(ra - rb) + (ra + rb - abs(ra - rb)) * lean / 1.5) * cmath.rect(1, 0.7)
    assume(abs(ra - rb) + 1 < abs(b - a) < ra + rb - 1)
    found = circles_meet(a, ra, b, rb)
    assert len(found) == 2
    for z in found:
        assert abs(z - a) == pytest.approx(ra, rel=1e-9)
        assert abs(z - b) == pytest.approx(rb, rel=1e-9)


def test_circles_apart_or_within_each_other_do_not_meet() -> None:
    assert circles_meet(0j, 10, 30 + 0j, 10) == ()
    assert circles_meet(0j, 30, 5 + 0j, 10) == ()


def test_a_circle_meets_a_line_twice() -> None:
    found = circle_meets(0j, 50.0, Path.line(-100 + 30j, 100 + 30j))
    assert sorted(round(z.real, 3) for z in found) == [-40.0, 40.0]


def test_round_a_centre_either_way() -> None:
    with_clock = arc_round(0j, 10 + 0j, 10j, clockwise=True)
    against = arc_round(0j, 10 + 0j, 10j, clockwise=False)
    assert with_clock.length == pytest.approx(5 * math.pi, rel=1e-6)
    assert against.length == pytest.approx(15 * math.pi, rel=1e-6)
    turned = Placement.rotation(1.1).apply(10 + 0j)
    assert arc_round(0j, turned, 3 * turned * 1j, True).length == pytest.approx(5 * math.pi, rel=1e-6)
