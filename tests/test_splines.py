"""Smooth curves: the properties that their author published, and that they do what a drafter asks of them.

Source of the properties: J. D. Hobby, "Smooth, easy to compute interpolating splines", Discrete & Computational
Geometry 1 (1986).
"""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

from booklet.paths import Path, Placement
from booklet.splines import smooth_curve

angles = st.floats(-math.pi, math.pi)


@st.composite
def walks(draw: st.DrawFn) -> list[complex]:
    """Three to eight points, each less than 100 degrees off the way so far, as points of a draft lie."""
    at, way = complex(draw(st.floats(-50, 50)), draw(st.floats(-50, 50))), draw(angles)
    out = [at]
    for _ in range(draw(st.integers(2, 7))):
        way += draw(st.floats(-1.7, 1.7))
        at += cmath.rect(draw(st.floats(10, 200)), way)
        out.append(at)
    return out


def same_line(one: Path, two: Path, tol: float = 1e-6) -> bool:
    return all(
        abs(p - q) < tol
        for a, b in zip(one.segments, two.segments, strict=True)
        for p, q in zip(a, b, strict=True)
    )


@pytest.mark.parametrize("radius", [20.0, 160.0, 900.0])
def test_eight_points_of_a_circle_give_the_circle(radius: float) -> None:
    """Within 0.1 % of the radius everywhere (Hobby 1986: the velocity function is chosen to draw circles well)."""
    ring = smooth_curve([cmath.rect(radius, k * math.pi / 4) for k in range(8)], closed=True)
    assert ring.closed
    assert np.abs(np.abs(ring.flatten(radius * 1e-5)) / radius - 1).max() < 0.001
    assert ring.length == pytest.approx(2 * math.pi * radius, rel=0.001)


def test_a_quarter_circle_has_the_well_known_handles() -> None:
    """4/3 (root 2 - 1) = 0.5523 of the radius: arithmetic from Hobby's velocity function at 45 degrees."""
    arc = smooth_curve([100 + 0j, 100j], leave=1j, arrive=-1 + 0j)
    (_, out, inn, _) = arc.segments[0]
    handle = 100 * 4 / 3 * (math.sqrt(2) - 1)
    assert abs(out - (100 + handle * 1j)) < 1e-4
    assert abs(inn - (handle + 100j)) < 1e-4


def test_three_points_of_a_circle_without_directions_stay_near_it() -> None:
    """An end without a direction has the curl of a circle."""
    arc = smooth_curve([cmath.rect(100, t) for t in (0.0, 0.5, 1.0)])
    assert np.abs(np.abs(arc.flatten(0.001)) - 100).max() < 0.05


@given(walks(), angles, st.floats(0.1, 10))
def test_a_turned_and_scaled_figure_gives_the_turned_and_scaled_curve(
    pts: list[complex], turn: float, scale: float
) -> None:
    leave, arrive = (pts[1] - pts[0]) * 1j, pts[-1] - pts[-2]
    by = cmath.rect(scale, turn)
    for ends in ((None, None), (leave, arrive)):
        plain = smooth_curve(pts, *ends)
        moved = smooth_curve([by * z + 7 for z in pts], *(None if d is None else by * d for d in ends))
        wanted = Path(tuple(tuple(by * z + 7 for z in seg) for seg in plain.segments))
        assert same_line(moved, wanted, 1e-6 * scale * 1000)


@given(walks())
def test_a_mirrored_figure_gives_the_mirrored_curve(pts: list[complex]) -> None:
    over = Placement.mirror(3 + 4j, 1 + 2j)
    mirrored = smooth_curve([over.apply(z) for z in pts])
    assert same_line(mirrored, smooth_curve(pts).placed(over))


@given(walks())
def test_it_does_not_matter_from_which_end_a_curve_is_drawn(pts: list[complex]) -> None:
    leave, arrive = pts[1] - pts[0], (pts[-1] - pts[-2]) * 1j
    assert same_line(smooth_curve(pts[::-1], -arrive, -leave).reversed(), smooth_curve(pts, leave, arrive))
    assert same_line(smooth_curve(pts[::-1]).reversed(), smooth_curve(pts))


@given(walks())
def test_it_goes_through_its_points_without_a_corner(pts: list[complex]) -> None:
    curve = smooth_curve(pts)
    assert len(curve.segments) == len(pts) - 1
    for k, seg in enumerate(curve.segments):
        assert seg[0] == pts[k]
        assert seg[-1] == pts[k + 1]
    for before, after in zip(curve.segments, curve.segments[1:], strict=False):
        turn = Path((after,)).start_tangent / Path((before,)).end_tangent
        assert abs(cmath.phase(turn)) < 1e-6


@given(walks(), angles, angles)
def test_it_leaves_and_arrives_as_it_is_told(pts: list[complex], leave: float, arrive: float) -> None:
    """Up to 160 degrees off the chord at either end; sharper hooks are no lines of a draft."""
    first, last = pts[1] - pts[0], pts[-1] - pts[-2]
    out, inn = first * cmath.rect(1, leave * 0.85), last * cmath.rect(0.1, arrive * 0.85)
    curve = smooth_curve(pts, out, inn)
    assert abs(cmath.phase(curve.start_tangent / out)) < 1e-6
    assert abs(cmath.phase(curve.end_tangent / inn)) < 1e-6


def test_a_moved_point_is_hardly_felt_far_away() -> None:
    """The equations are diagonally dominant (Hobby 1986): for even points a disturbance falls to 1 / (2 + root 3) at
    each next point (arithmetic from the linear system)."""
    pts = [complex(50 * k, 0) for k in range(12)]
    bent = smooth_curve([*pts[:-1], pts[-1] + 20j])
    angles_at = [abs(cmath.phase(Path((s,)).start_tangent)) for s in bent.segments]
    for nearer, farther in zip(angles_at[4:9], angles_at[3:8], strict=True):
        assert farther / nearer == pytest.approx(1 / (2 + math.sqrt(3)), rel=0.02)


def test_points_in_a_row_give_a_straight_line() -> None:
    curve = smooth_curve([0j, 30 + 10j, 90 + 30j, 150 + 50j])
    assert curve.length == pytest.approx(abs(150 + 50j), abs=1e-9)
    assert all(abs((z * (3 - 1j)).imag) < 1e-9 for seg in curve.segments for z in seg)


def test_its_length_agrees_with_an_independent_quadrature() -> None:
    """scipy's adaptive quadrature (QUADPACK)."""
    curve = smooth_curve([0j, 80 + 15j, 130 + 90j, 240 + 110j], leave=1 + 0j, arrive=1 + 0j)
    total = 0.0
    for p0, p1, p2, p3 in curve.segments:  # type: ignore[misc]
        total += quad(
            lambda t, a=p1 - p0, b=p2 - p1, c=p3 - p2: abs(
                3 * ((1 - t) ** 2 * a + 2 * (1 - t) * t * b + t * t * c)
            ),
            0,
            1,
            epsabs=1e-10,
        )[0]
    assert curve.length == pytest.approx(total, abs=1e-7)


def test_two_points_in_one_place_are_refused() -> None:
    with pytest.raises(ValueError, match="coincide"):
        smooth_curve([0j, 10 + 0j, 10 + 0j, 30 + 5j])
    with pytest.raises(ValueError, match="two points"):
        smooth_curve([0j])
