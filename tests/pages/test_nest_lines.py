"""Lines of sizes: pens that tell apart, and turns where lines run together; no line is moved or lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drawing.display import PathItem
from booklet.pages.nest_lines import DASHES, SLOTS, one_turn, pens_of, size_lines
from booklet.paths import Path


def inked(item: PathItem, step: float = 0.05) -> list[complex]:
    """Points of a line that its dashes ink."""
    pen = item.stroke
    assert pen is not None
    out = []
    for path in item.subpaths:
        for s in np.arange(0, path.length, step):
            if not pen.dash_mm:
                out.append(path.point(float(s)))
                continue
            at, n = (float(s) + pen.phase_mm) % sum(pen.dash_mm), 0
            while at >= pen.dash_mm[n]:
                at -= pen.dash_mm[n]
                n += 1
            if n % 2 == 0:
                out.append(path.point(float(s)))
    return out


def whole(items: tuple[PathItem, ...]) -> float:
    return sum(p.length for item in items for p in item.subpaths)


def test_each_size_has_a_pen_of_its_own() -> None:
    pens = pens_of(2 * len(DASHES))
    assert len({(p.width_pt, p.dash_mm) for p in pens}) == len(pens)
    assert all(p.width_pt != q.width_pt for p, q in zip(pens[:8], pens[1:8], strict=False))
    assert all(p.dash_mm != q.dash_mm for p, q in zip(pens, pens[1:], strict=False))


@pytest.mark.parametrize("dash", DASHES)
@pytest.mark.parametrize("slot", SLOTS)
def test_a_turn_ends_in_ink_and_leaves_a_blank(dash: tuple[float, ...], slot: float) -> None:
    turn = one_turn(dash, slot)
    assert len(turn) % 2 == 1
    assert len(turn) + 1 <= 11
    assert sum(turn) < 0.9 * slot
    assert min(turn) > 0.2


@settings(max_examples=25, deadline=None)
@given(st.lists(st.floats(0.0, 3.0), min_size=2, max_size=8), st.floats(0.0, 0.02))
def test_no_line_is_moved_or_lost(offs: list[float], slope: float) -> None:
    high = np.cumsum(offs)
    lines = [[Path.line(1j * float(y), 300 + 1j * float(y * (1 + slope)))] for y in high]
    made = size_lines(lines, pens_of(len(lines)), 0)
    for (line,), size in zip(lines, made, strict=True):
        assert whole(size.items) == pytest.approx(line.length, abs=1e-6)
        for item in size.items:
            for path in item.subpaths:
                assert (
                    abs(path.point(path.length / 2) - line.point(line.nearest(path.point(path.length / 2))))
                    < 1e-6
                )


@pytest.mark.parametrize("apart", [0.0, 0.05, 0.3, 0.45, 0.9])
def test_lines_that_run_together_take_turns(apart: float) -> None:
    lines = [[Path.line(1j * n * apart, 400 + 1j * n * apart)] for n in range(8)]
    made = size_lines(lines, pens_of(8), 3)
    ink = [np.array(sorted(z.real for item in size.items for z in inked(item))) for size in made]
    reach = min(7, int(0.999 / apart) if apart else 7)
    for n in range(8):
        assert len(ink[n]), n
        for m in range(n + 1, min(n + reach, 7) + 1):
            near = np.abs(ink[m][:, None] - ink[n][None, :]).min(axis=1)
            assert near.min() > 0.5, (n, m)
    shown = np.unique(np.concatenate(ink).round())
    assert len(shown) > 0.7 * 400  # somebody's ink nearly everywhere


@pytest.mark.parametrize("apart", [1.2, 5.0])
def test_lines_apart_keep_their_own_dashes(apart: float) -> None:
    lines = [[Path.line(1j * n * apart, 400 + 1j * n * apart)] for n in range(8)]
    pens = pens_of(8)
    for pen, size in zip(pens, size_lines(lines, pens, 3), strict=True):
        assert [item.stroke for item in size.items] == [pen]
        assert size.turns == ()


def test_lines_that_only_cross_keep_their_own_dashes() -> None:
    lines = [[Path.line(0j, 200 + 40j)], [Path.line(40j, 200 + 0j)]]
    assert all(len(size.items) == 1 for size in size_lines(lines, pens_of(2), 0))


def test_a_turn_s_place_is_inked_by_its_size() -> None:
    circles = [[Path.circle(0j, 80 + 0.2 * n)] for n in range(4)]
    for size in size_lines(circles, pens_of(4), 1):
        ink = np.array([z for item in size.items for z in inked(item, 0.02)])
        assert len(size.turns) > 5
        near = [float(np.abs(ink - at).min()) for at, _ in size.turns]
        assert np.mean(near) < 0.8
        assert whole(size.items) == pytest.approx(2 * np.pi * abs(size.turns[0][0]), rel=1e-3)
