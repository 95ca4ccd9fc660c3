"""Lines in any order and direction make the same rings; rings are divided where they turn."""

from __future__ import annotations

import cmath
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from booklet.exchange.rings import at_turns, chains, corners, divided, ring_among
from booklet.paths import Path, area


@given(st.integers(3, 60), st.integers(0, 10**6), st.floats(0, 0.07))
def test_shuffled_and_turned_lines_make_one_ring(count: int, seed: int, off: float) -> None:
    lot = random.Random(seed)
    points = [200 * cmath.exp(2j * cmath.pi * n / count) for n in range(count)]
    wobble = [
        z + off * cmath.exp(1j * lot.uniform(0, 6)) for z in points
    ]  # every line ends a little off the next
    lines = [Path.line(a, b) for a, b in zip(points, [*wobble[1:], wobble[0]], strict=True)]
    lines = [line.reversed() if lot.random() < 0.5 else line for line in lines]
    lot.shuffle(lines)
    lines.append(lines[0].reversed())  # and one is drawn twice
    (ring,) = chains(lines, 0.2)
    assert ring.closed and len(ring.segments) == count
    whole = Path.polyline(points, closed=True)
    assert ring.length == pytest.approx(whole.length, abs=count * 2 * off + 1e-6)
    assert all(a[-1] == b[0] for a, b in zip(ring.segments, ring.segments[1:], strict=False))


def test_open_lines_grow_at_both_ends_and_stay_open() -> None:
    lines = [Path.line(10, 20), Path.line(0, 10), Path.line(30, 20), Path.line(50, 60)]
    first, second = chains(lines, 0.2)
    assert (first.start, first.end, first.length) == (0, 30, 30)
    assert (second.start, second.end) == (50, 60)
    assert ring_among([first, second], None, 0.2) is None
    assert chains([], 0.2) == []


def test_lines_shorter_than_the_gap_are_walked_through() -> None:
    points = [0, 0.1, 0.2, 100, 100 + 50j, 50j]
    (ring,) = chains([Path.line(a, b) for a, b in zip(points, [*points[1:], points[0]], strict=True)], 0.2)
    assert ring.length == pytest.approx(300)


def test_the_ring_round_most_ground_is_chosen_and_a_mirror_line_closes_an_open_one() -> None:
    small, large = Path.circle(0, 10), Path.circle(5, 80)
    assert ring_among([small, large], None, 0.2) is large
    half = Path.polyline([0, 100, 100 + 50j, 50j])
    mirror = Path.line(-5j, 70j)
    closed = ring_among([half], mirror, 0.2)
    assert closed is not None and closed.closed
    assert abs(area(closed.flatten())) == pytest.approx(5000)
    assert ring_among([half], Path.line(1 - 5j, 1 + 70j), 0.2) is None


def test_a_ring_is_divided_at_corners_or_turn_points() -> None:
    ring = Path.polyline([0, 50, 100, 100 + 50j, 50j], closed=True)
    assert corners(ring) == [0, 2, 3, 4]
    assert [p.length for p in divided(ring, corners(ring))] == [100, 50, 100, 50]
    assert [p.length for p in divided(ring, at_turns(ring, [50 + 0.01j, 100 + 50j, 33]))] == [100, 200]
    assert divided(Path.circle(0, 10), corners(Path.circle(0, 10))) == [Path.circle(0, 10)]
    line = Path.polyline([0, 50, 50 + 50j])
    assert corners(line, closed=False) == [1]
