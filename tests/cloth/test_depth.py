"""Depths against shapely: moving one shape out by its depth clears the two, and a grid says the same as each pair."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from booklet.cloth.depth import Depths
from booklet.cloth.nofit import NoFits
from booklet.cloth.orient import Item, Points, Shape, Task, Way

WAYS: tuple[Way, ...] = ((1, 1), (-1, -1), (1, -1), (-1, 1))
SQUARE: Points = ((0, 0), (10_000, 0), (10_000, 10_000), (0, 10_000))
HOOK: Points = ((0, 0), (30_000, 0), (30_000, 8_000), (9_000, 8_000), (9_000, 25_000), (0, 25_000))


def depths(*rings: Points, pitch: float = 1_000.0) -> Depths:
    shapes = tuple(Shape(r, (max(x for x, _ in r), max(y for _, y in r)), 0.0) for r in rings)
    items = tuple(Item(f"p{n}", (0,), n, WAYS, False, 0j, 1) for n in range(len(rings)))
    return Depths(Task("open", shapes, items, 100_000, 0), NoFits(shapes), pitch)


def between(d: Depths, a: int, b: int, x: float, y: float) -> tuple[float, float, float]:
    depth, out_x, out_y = d.between(np.array([a]), np.array([b]), np.array([x]), np.array([y]))
    return float(depth[0]), float(out_x[0]), float(out_y[0])


def polygon(d: Depths, state: int, x: float = 0.0, y: float = 0.0) -> shapely.Polygon:
    shape, way = d.states[state]
    return shapely.Polygon(np.array(d.task.shapes[shape].grown) * way + np.array([x, y]))


def test_two_squares_by_arithmetic() -> None:
    d = depths(SQUARE, SQUARE)
    assert between(d, 0, 0, 7_000.0, 1_000.0) == pytest.approx((3_000, 3_000, 0), abs=1e-6)
    assert between(d, 0, 0, -1_000.0, -9_500.0) == pytest.approx((500, 0, -500), abs=1e-6)
    assert between(d, 0, 0, 10_000.0, 0.0)[0] == 0  # side by side
    assert between(d, 0, 0, 12_000.0, 0.0) == (0, 0, 0)


@settings(max_examples=60)
@given(
    st.integers(0, 7),
    st.integers(0, 7),
    st.integers(-60_000, 60_000),
    st.integers(-60_000, 60_000),
)
def test_way_out_clears_and_nothing_shorter_does(a: int, b: int, x: int, y: int) -> None:
    d = depths(SQUARE, HOOK)
    assert len(d.states) == 8
    depth, out_x, out_y = between(d, a, b, x, y)
    fixed = polygon(d, a)
    over = fixed.intersection(polygon(d, b, x, y)).area
    assume(depth > 10 or over == 0)
    assert (depth > 0) == (over > 0)
    assert abs(complex(out_x, out_y)) == pytest.approx(depth, abs=1e-6)
    assert fixed.intersection(polygon(d, b, x + out_x, y + out_y)).area <= 30_000 * 1.5
    for turn in np.exp(2j * np.pi * np.arange(16) / 16) * depth * 0.97:
        if depth > 100:
            assert fixed.intersection(polygon(d, b, x + turn.real, y + turn.imag)).area > 0


@pytest.mark.parametrize("a", range(8))
@pytest.mark.parametrize("b", range(8))
def test_grid_says_what_each_pair_says(a: int, b: int) -> None:
    d = depths(SQUARE, HOOK, pitch=1_700.0)
    raster = d.raster(a, b)
    i, j = (g.ravel() for g in np.indices(raster.depth.shape))
    x, y = ((k.astype(np.float64) + first) * d.pitch for k, first in ((i, raster.x), (j, raster.y)))
    depth, _, _ = d.between(np.full(len(x), a), np.full(len(x), b), x, y)
    assert raster.depth.ravel() == pytest.approx(depth, abs=3.0)
    box = d.boxes[a, b]
    assert ((x >= box[0]) & (x <= box[2]) & (y >= box[1]) & (y <= box[3])).all()
    assert raster.depth.max() > 3_000
