"""Dots and hatch keep their pitch, their clear edge and one grid for a whole page."""

from __future__ import annotations

import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing import look
from booklet.drawing.display import box_path
from booklet.drawing.patterns import dots, hatch, region
from booklet.paths import Path

sizes = st.floats(2, 25)


@settings(max_examples=20)
@given(st.floats(-20, 20), st.floats(-20, 20), sizes, sizes)
def test_dots_are_clear_of_the_edge_and_on_the_grid(x: float, y: float, w: float, h: float) -> None:
    shape = region((box_path(x, y, w, h),))
    for z in dots((box_path(x, y, w, h),)):
        gap = shape.exterior.distance(shapely.Point(z.real, z.imag)) - look.DOT_RADIUS
        assert gap >= look.DOT_CLEAR - 0.01
        row = round(z.imag / (look.DOT_PITCH / 2))
        assert z.imag == pytest.approx(row * look.DOT_PITCH / 2)
        assert (z.real / look.DOT_PITCH - (row % 2) / 2) == pytest.approx(
            round(z.real / look.DOT_PITCH - (row % 2) / 2), abs=1e-9
        )


def test_two_shapes_share_one_grid() -> None:
    whole = dots((box_path(0, 0, 40, 20),))
    parts = dots((box_path(0, 0, 20, 20),)) + dots((box_path(20, 0, 20, 20),))
    rounded = {(round(z.real, 6), round(z.imag, 6)) for z in whole}
    assert parts and all((round(z.real, 6), round(z.imag, 6)) in rounded for z in parts)


def test_hatch_spares_a_hole_and_keeps_its_pitch() -> None:
    ring = (box_path(0, 0, 30, 30), Path.circle(15 + 15j, 8))
    lines = hatch(ring)
    ground = region(ring).buffer(0.01)
    assert lines and all(
        ground.contains(shapely.LineString([(a.real, a.imag), (b.real, b.imag)])) for a, b in lines
    )
    offsets = sorted({round((a.real - a.imag) / 2**0.5, 6) for a, _ in lines})
    assert min(b - a for a, b in zip(offsets, offsets[1:], strict=False)) == pytest.approx(look.HATCH_PITCH)


def test_a_window_gives_the_same_marks_inside_and_far_fewer_in_all() -> None:
    """A close-up of a large piece: only what its clip shows is drawn."""
    shape, window = (box_path(0, 0, 400, 300),), (100.0, 100.0, 120.0, 115.0)

    def inside(z: complex) -> bool:
        return window[0] < z.real < window[2] and window[1] < z.imag < window[3]

    assert [z for z in dots(shape) if inside(z)] == [z for z in dots(shape, window) if inside(z)]
    assert len(dots(shape, window)) < len(dots(shape)) / 50
    assert 0 < len(hatch(shape, window)) < len(hatch(shape)) / 5
