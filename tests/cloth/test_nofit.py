"""No-fit polygons against shapely: inside them pieces overlap, outside they do not."""

from __future__ import annotations

import pyclipper
import pytest
import shapely
from hypothesis import assume, given
from hypothesis import strategies as st

from booklet.cloth.nofit import SLIT, NoFit, NoFits, box_of, no_fit
from booklet.cloth.orient import Points, Shape, Way

SQUARE: Points = ((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000))
WAYS: tuple[Way, ...] = ((1, 1), (-1, -1), (1, -1), (-1, 1))


@st.composite
def ring(draw: st.DrawFn, step: int = 1) -> Points:
    """A simple ring of whole units, wound with positive area; a large `step` makes many edges level or parallel."""
    pairs = st.tuples(*(st.integers(-60_000 // step, 60_000 // step).map(lambda n: n * step) for _ in "xy"))
    points = draw(st.lists(pairs, min_size=3, max_size=8, unique=True))
    shape = shapely.Polygon(points)
    if not shape.is_valid or shape.area < 1e7:
        shape = shapely.convex_hull(shapely.MultiPoint(points))
    assume(shape.geom_type == "Polygon" and shape.area > 1e7)
    shape = shapely.geometry.polygon.orient(shape)
    return tuple((int(x), int(y)) for x, y in shape.exterior.coords[:-1])


def area(rings: tuple[Points, ...]) -> float:
    return sum(pyclipper.Area(r) for r in rings)


def inside(rings: tuple[Points, ...], at: tuple[int, int]) -> bool:
    return sum(pyclipper.PointInPolygon(at, r) == 1 for r in rings) % 2 == 1


def test_two_squares_give_a_square_of_twice_the_side() -> None:
    (only,) = no_fit(SQUARE, SQUARE)
    assert set(only) == {(-10_000, -10_000), (10_000, -10_000), (10_000, 10_000), (-10_000, 10_000)}
    assert pyclipper.Area(only) == 4e8


def test_convex_pair_has_the_area_of_a_minkowski_sum() -> None:
    # Area of A + B for convex A, B = area A + area B + 2 mixed area; for a square of side s and its half turn
    # -B = a triangle with legs t on the axes: s² + t²/2 + 2 s t (arithmetic).
    triangle = ((0, 0), (6_000, 0), (0, 6_000))
    assert area(no_fit(SQUARE, triangle)) == pytest.approx(1e8 + 1.8e7 + 2 * 1e4 * 6e3, rel=1e-6)


def test_pocket_that_holds_the_other_stays_a_hole_and_a_tight_one_does_not() -> None:
    # A frame with a slit of 1 unit to the outside, so that it is one ring; its inside is a 30 mm square.
    frame = (
        (0, 0),
        (50_000, 0),
        (50_000, 50_000),
        (0, 50_000),
        (0, 25_001),
        (10_000, 25_001),
        (10_000, 40_000),
        (40_000, 40_000),
        (40_000, 10_000),
        (10_000, 10_000),
        (10_000, 25_000),
        (0, 25_000),
    )
    holes = [r for r in no_fit(frame, SQUARE) if not pyclipper.Orientation(r)]
    assert len(holes) == 1
    assert -pyclipper.Area(holes[0]) == pytest.approx(20_000**2, rel=1e-3)
    side = 30_000 - SLIT  # leaves a hole of SLIT by SLIT, too small to be believed
    large = ((0, 0), (side, 0), (side, side), (0, side))
    assert all(pyclipper.Orientation(r) for r in no_fit(frame, large))


@given(ring(), ring(), st.tuples(st.integers(-130_000, 130_000), st.integers(-130_000, 130_000)))
def test_inside_means_overlap(a: Points, b: Points, at: tuple[int, int]) -> None:
    rings = no_fit(a, b)
    edge = shapely.MultiLineString([(*r, r[0]) for r in rings])
    assume(edge.distance(shapely.Point(at)) > 2 * SLIT)
    other = shapely.affinity.translate(shapely.Polygon(b), *at)
    assert inside(rings, at) == (shapely.Polygon(a).intersection(other).area > 0)


@given(ring(step=10_000), ring(step=10_000), st.integers(0, 3), st.integers(0, 3))
def test_parallel_edges_leave_no_gap_and_cover_nothing_twice(a: Points, b: Points, i: int, j: int) -> None:
    """The sum has the area of all that b sweeps, its origin about a: the two outlines swept and one in the other."""
    minus_b = tuple((-x, -y) for x, y in b)
    swept = pyclipper.MinkowskiSum(minus_b, a, True)
    whole = [
        [(x + dx, y + dy) for x, y in ring]
        for ring, (dx, dy) in ((a, minus_b[j % len(b)]), (minus_b, a[i % len(a)]))
    ]
    clipper = pyclipper.Pyclipper()
    clipper.AddPaths(swept, pyclipper.PT_SUBJECT, True)
    clipper.AddPaths(whole, pyclipper.PT_SUBJECT, True)
    union = clipper.Execute(pyclipper.CT_UNION, pyclipper.PFT_NONZERO, pyclipper.PFT_NONZERO)
    assert area(no_fit(a, b)) == pytest.approx(sum(pyclipper.Area(r) for r in union), abs=5 * SLIT**2)


@given(ring(step=10_000), ring(step=10_000), st.integers(-12, 12))
def test_level_line_is_covered_where_it_runs_inside(a: Points, b: Points, n: int) -> None:
    rings = no_fit(a, b)
    nofit, y = NoFit(rings, box_of(rings)), n * 10_000
    for _ in range(2):  # worked out, and remembered
        spans = nofit.covered(y)
        for at in range(-125_000, 130_000, 5_000):
            covered = any(x0 < at < x1 for x0, x1 in spans)
            if inside(rings, (at, y - 1)) and inside(rings, (at, y + 1)):
                assert covered or any(at in (x0, x1) for x0, x1 in spans)
            elif covered:
                assert any(abs(at - x) < 5 for span in spans for x in span)
    for turned, way in ((nofit.swapped, lambda x, y: (y, x)), (nofit.quarter, lambda x, y: (-y, x))):
        points = [way(x, y) for r in rings for x, y in r]
        assert {p for r in turned.rings for p in r} == set(points)
        assert turned.box == box_of((tuple(points),))


@given(ring(), ring(), st.sampled_from(WAYS), st.sampled_from(WAYS), st.booleans())
def test_turned_and_swapped_ones_agree_with_a_fresh_one(
    a: Points, b: Points, way_a: Way, way_b: Way, swap: bool
) -> None:
    nofits = NoFits((Shape(a, (0, 0), 0.0), Shape(b, (0, 0), 0.0)))
    first, second = (1, 0) if swap else (0, 1)
    got = nofits.get(first, way_a, second, way_b)
    points = (b, a) if swap else (a, b)

    def turn(points: Points, way: Way) -> Points:
        return tuple((x * way[0], y * way[1]) for x, y in points)

    fresh = no_fit(turn(points[0], way_a), turn(points[1], way_b))
    assert area(got.rings) == pytest.approx(area(fresh), rel=1e-4)
    assert area(got.rings) > 0
    xs = [x for r in fresh for x, _ in r]
    ys = [y for r in fresh for _, y in r]
    assert got.box == pytest.approx((min(xs), min(ys), max(xs), max(ys)), abs=3)


@given(ring(), ring(step=5_000), st.integers(0, 7))
def test_a_corner_given_twice_changes_nothing(a: Points, b: Points, at: int) -> None:
    n = at % len(a)
    twice = (*a[:n], a[n], *a[n:])
    assert no_fit(twice, b) == no_fit(a, b)
    assert no_fit(b, twice) == no_fit(b, a)
