"""Allowances against shapely's buffer and the closed formulas for grown shapes."""

from __future__ import annotations

import cmath
import math

import numpy as np
import pytest
import shapely
from helpers.plain import cut, piece_of, ring_of
from helpers.rings import length, line, point, polygon
from hypothesis import assume, given
from hypothesis import strategies as st

from booklet.cutting.offset import move_out
from booklet.paths import Path
from booklet.splines import smooth_curve

BOUND = 2.5  # x the allowance: how far a corner may reach


def triangle(side: float) -> list[complex]:
    return [0j, complex(side, 0), complex(side / 2, side * math.sqrt(3) / 2)]


# TRADE.md 1.10, the mitred columns: A + P r + r^2 sum tan(t/2), P + 2 r sum tan(t/2) (arithmetic), tolerance 1e-3.
MITRED = [
    ([0j, 100 + 0j, 100 + 100j, 100j], 10.0, 14400.0, 480.0),
    ([0j, 200 + 0j, 200 + 300j, 300j], 15.0, 75900.0, 1120.0),
    (triangle(100.0), 10.0, 7849.742, 403.923),
]


@pytest.mark.parametrize(("corners", "r", "area", "girth"), MITRED)
def test_mitred_allowances_have_the_closed_formulas_size(
    corners: list[complex], r: float, area: float, girth: float
) -> None:
    made, said = cut(ring_of(corners, r))
    assert said == []
    grown = polygon(made.cut, 0.001)
    assert grown.area == pytest.approx(area, abs=1e-3)
    assert grown.length == pytest.approx(girth, abs=1e-3)


def rounded(corners: list[complex], by: float) -> list[Path]:
    """The outline grown by `by` with round corners, as straight edges and arcs."""
    out = []
    for n, z in enumerate(corners):
        before, after = z - corners[n - 1], corners[(n + 1) % len(corners)] - z
        a, b = z + before / abs(before) * -1j * by, z + after / abs(after) * -1j * by
        out.append(smooth_curve([a, z + (a + b - 2 * z) / abs(a + b - 2 * z) * by, b], before, after))
        out.append(Path.line(b, b + after))
    return out


# TRADE.md 1.10, the rounded columns: A + P r + pi r^2, P + 2 pi r (Steiner; [TechQA Steiner], [Parallel set]).
ROUNDED = [
    ([0j, 100 + 0j, 100 + 100j, 100j], 10.0, 14314.159, 462.832),
    ([0j, 200 + 0j, 200 + 300j, 300j], 15.0, 75706.858, 1094.248),
    (triangle(100.0), 10.0, 7644.286, 362.832),
]


@pytest.mark.parametrize(("corners", "r", "area", "girth"), ROUNDED)
def test_a_rounded_outline_grows_by_steiners_formula(
    corners: list[complex], r: float, area: float, girth: float
) -> None:
    """Grown by half the width with drawn arcs, then by our allowance for the other half: the whole is Steiner's. The
    drawn arcs stray from true ones by 0.1 % of their 5 to 7.5 mm radius."""
    made, said = cut(piece_of(rounded(corners, r / 2), r / 2))
    assert said == []
    grown = polygon(made.cut, 0.0005)
    assert grown.area == pytest.approx(area, abs=1.5)
    assert grown.length == pytest.approx(girth, abs=0.05)
    theirs = shapely.Polygon([(z.real, z.imag) for z in corners]).buffer(r, quad_segs=200)
    assert theirs.area == pytest.approx(area, abs=0.02)
    assert grown.exterior.hausdorff_distance(theirs.exterior) < 0.05


@st.composite
def convex_corners(draw: st.DrawFn) -> list[complex]:
    """Corners of a convex outline, clockwise as seen with y down, none sharper than 50 degrees."""
    count = draw(st.integers(3, 9))
    rx, ry = draw(st.floats(80, 400)), draw(st.floats(80, 400))
    start = draw(st.floats(0, 6))
    steps = [draw(st.floats(0.6, 1.4)) for _ in range(count)]
    turns = np.cumsum(steps) / sum(steps) * 2 * math.pi + start
    out = [complex(rx * math.cos(t), ry * math.sin(t)) for t in turns]
    for n, z in enumerate(out):
        inner = cmath.phase((out[n - 1] - z) / (out[(n + 1) % count] - z))
        assume(abs(inner) > math.radians(50))
        assume(abs(out[(n + 1) % count] - z) > 10)
    return out


@given(convex_corners(), st.floats(3, 30))
def test_a_uniform_allowance_is_shapelys_mitred_buffer(corners: list[complex], r: float) -> None:
    made, said = cut(ring_of(corners, r))
    assert said == []
    net = shapely.Polygon([(z.real, z.imag) for z in corners])
    theirs = net.buffer(r, join_style="mitre", mitre_limit=10)
    assert polygon(made.cut).symmetric_difference(theirs).area < 1e-3
    tangents = 0.0
    for n, z in enumerate(corners):
        way_in, way_out = z - corners[n - 1], corners[(n + 1) % len(corners)] - z
        tangents += math.tan(abs(cmath.phase(way_out / way_in)) / 2)
    assert polygon(made.cut).area == pytest.approx(net.area + net.length * r + r * r * tangents, rel=1e-6)


@given(st.floats(60, 400), st.floats(60, 400), st.floats(2, 25), st.integers(8, 16))
def test_a_smooth_outline_grows_as_shapelys_round_buffer(rx: float, ry: float, r: float, count: int) -> None:
    pts = [
        complex(rx * math.cos(t), ry * math.sin(t))
        for t in np.linspace(0, 2 * math.pi, count, endpoint=False)
    ]
    ring = smooth_curve(pts, closed=True)
    halves = [Path(ring.segments[: count // 2]), Path(ring.segments[count // 2 :])]
    made, said = cut(piece_of(halves, r))
    assert said == []
    theirs = polygon(ring, 0.0005).buffer(r, quad_segs=64)
    assert polygon(made.cut, 0.0005).exterior.hausdorff_distance(theirs.exterior) < 0.04


@given(st.floats(30, 200), st.floats(2, 20), st.booleans())
def test_an_arc_grows_and_shrinks_by_its_radius(radius: float, r: float, inward: bool) -> None:
    """Arc of radius R, offset r: length x (R +/- r) / R (TRADE.md 1.10, arithmetic)."""
    # Clockwise as seen an arc about its own cloth grows; run the other way the cloth lies outside, and it shrinks.
    arc = smooth_curve([radius + 0j, cmath.rect(radius, math.pi / 4), 1j * radius], 1j, -1 + 0j)
    moved = move_out("arc", arc.reversed() if inward else arc, r, 10.0)
    assume(r < radius)
    size = float(np.sum(np.abs(np.diff(moved.run))))
    assert size == pytest.approx(length(arc) * (radius + (-r if inward else r)) / radius, abs=0.03)


def test_a_quarter_neckline_is_shorter_at_its_cut_edge() -> None:
    """R 100 mm: 157.08 mm at the seam, 141.37 mm at a cut edge 10 mm inside the circle (TRADE.md 1.10)."""
    neck = smooth_curve([100j, cmath.rect(100, math.pi / 4), 100 + 0j], 1 + 0j, -1j)
    sides = [
        Path.line(100 + 0j, 300 + 0j),
        Path.line(300 + 0j, 300 + 300j),
        Path.line(300 + 300j, 300j),
        Path.line(300j, 100j),
    ]
    made, said = cut(piece_of([neck, *sides], {"neck": 10.0, "other": 0.0}, ["neck", "b", "c", "d", "e"]))
    assert said == []
    assert neck.length == pytest.approx(157.08, abs=0.02)
    run = dict(made.cut_runs)["neck"]
    assert run.length == pytest.approx(141.37, abs=0.05)


def test_an_allowance_wider_than_its_inner_curve_is_told() -> None:
    """Reject where r >= R on the inside (TRADE.md 1.10)."""
    neck = smooth_curve([12j, cmath.rect(12, math.pi / 4), 12 + 0j], 1 + 0j, -1j)
    sides = [
        Path.line(12 + 0j, 300 + 0j),
        Path.line(300 + 0j, 300 + 300j),
        Path.line(300 + 300j, 300j),
        Path.line(300j, 12j),
    ]
    _, said = cut(piece_of([neck, *sides], {"neck": 20.0, "other": 10.0}, ["neck", "b", "c", "d", "e"]))
    assert len(said) == 1
    assert "crosses itself" in said[0]
    assert said[0].startswith("draft.yaml:1:")


@pytest.mark.parametrize("angle", [15.0, 30.0, 44.0, 60.0, 90.0, 120.0])
def test_a_mitre_reaches_as_far_as_its_angle_says_up_to_the_bound(angle: float) -> None:
    """Reach = r / sin(phi / 2) (TRADE.md 1.10, arithmetic); beyond 2.5 r the point is cut off square."""
    r, leg, half = 10.0, 400.0, math.radians(angle) / 2
    tip = [0j, cmath.rect(leg, half), cmath.rect(leg, -half)]
    made, said = cut(ring_of([tip[0], tip[2], tip[1]], r))
    assert said == []
    reach = -min(z.real for z in made.cut.flatten())
    wanted = r / math.sin(half)
    assert reach == pytest.approx(min(wanted, BOUND * r), abs=0.02)
    if wanted > BOUND * r:
        blunt = [z for z in made.cut.flatten() if abs(z.real + reach) < 0.02]
        assert abs(max(z.imag for z in blunt) - min(z.imag for z in blunt)) == pytest.approx(
            2 * math.tan(half) * (wanted - BOUND * r), abs=0.05
        )


def test_each_edge_keeps_its_own_width_at_a_square_corner() -> None:
    """Different allowances on two edges meeting: the two offset lines cross (TRADE.md 4.3)."""
    widths = {"a": 5.0, "b": 12.0, "c": 30.0, "d": 0.0}
    made, said = cut(ring_of([0j, 200 + 0j, 200 + 300j, 300j], widths, names=list("abcd")))
    assert said == []
    assert polygon(made.cut).bounds == pytest.approx((0.0, -5.0, 212.0, 330.0), abs=1e-6)
    assert polygon(made.cut).area == pytest.approx(212 * 335, abs=1e-3)


@given(convex_corners(), st.lists(st.floats(0, 28), min_size=9, max_size=9))
def test_unlike_allowances_each_keep_along_their_run(corners: list[complex], widths: list[float]) -> None:
    names = [f"e{n}" for n in range(len(corners))]
    made, said = cut(ring_of(corners, dict(zip(names, widths, strict=False)), names=names))
    if said:
        assert "crosses itself" in said[0]
        return
    ring = line(made.cut)
    assert polygon(made.cut).buffer(1e-6).covers(polygon(made.stitch))
    for half in made.net:
        path, allow = half.edge.path, half.edge.allow
        for share in (0.4, 0.5, 0.6):
            s = path.length * share
            if min(s, path.length - s) < 3 * max(widths):
                continue
            at = path.point(s) + path.tangent(s) * -1j * allow
            assert ring.distance(point(at)) < 0.05
