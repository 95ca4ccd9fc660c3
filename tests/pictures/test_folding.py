"""Pleats closed for the drawing of the garment: widths as sewn, the middle in place, nothing bent."""

from __future__ import annotations

import pytest
from helpers.drafts import Drafted, inline_draft
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.model import Copy
from booklet.paths import Path, Placement
from booklet.pictures.folding import Along, Closing, DartClosing, closed_flat, closings, path_closed

PANEL = """
units: cm
construction:
  p:
    points:
      a: {}
      b: {across: 40}
      c: {across: 46, down: 60}
      d: {down: 60}
    lines:
      top: {straight: [a, b]}
      side: {straight: [b, c]}
      foot: {straight: [c, d]}
      centre: {straight: [d, a]}
pieces:
  panel:
    number: 1
    half: right
    outline: [p.top, p.side, p.foot, p.centre]
    fold: centre
    do: [{pleat: PLEAT}]
    cut: {main: 1}
    allow: {other: 1}
"""


def panel(pleat: str) -> tuple[Drafted, Copy]:
    made = inline_draft(PANEL.replace("PLEAT", pleat))
    assert made.errors == ()
    return made, made.copies[0]


PLEATS = st.sampled_from(
    [
        "{kind: box, on: 'top[centre..side]', to: foot, at: 0, wide: 8, deep: DEEP}",
        "{kind: inverted, on: 'top[centre..side]', to: foot, at: 0, deep: DEEP}",
        "{kind: knife, on: 'top[centre..side]', to: foot, places: 3, deep: DEEP, press: to centre}",
        "{kind: knife, on: 'top[centre..side]', to: foot, places: 2, deep: DEEP, press: to side}",
    ]
)


@settings(max_examples=20, deadline=None)
@given(pleat=PLEATS, deep=st.floats(0.5, 3.9))
def test_a_ply_with_its_pleats_closed_is_as_wide_as_it_was_before_them(pleat: str, deep: float) -> None:
    _, copy = panel(pleat.replace("DEEP", f"{deep:.3f}"))
    folds = closings(copy)
    whole = path_closed(copy.outline, folds)
    x0, _, x1, _ = whole.bbox
    assert x1 - x0 == pytest.approx(920, abs=0.5)  # both halves of the foot, as drawn before the pleats
    top = copy.by_name["top"].edge
    place = closed_flat(folds)
    assert abs(place(top.path.end) - place(top.path.start)) == pytest.approx(top.sewn_length, abs=0.5)
    # Closed, a side is as long and as steep as it was: it has moved without a turn.
    for name in ("side.left", "side.right"):
        side = copy.by_name[name].edge.path
        moved = place(side.end) - place(side.start)
        assert moved == pytest.approx(side.end - side.start, abs=1e-6)


def test_a_ply_without_pleats_stays_as_it_is() -> None:
    _, copy = panel("{kind: box, on: 'top[centre..side]', to: foot, at: 0, wide: 8, deep: 2}")
    assert closings(copy) != ()
    assert closed_flat(())(12 + 5j) == 12 + 5j
    middle = closed_flat(closings(copy))
    x0, y0, x1, y1 = copy.outline.bbox
    assert middle(complex(x0 + x1, y0 + y1) / 2) == complex(x0 + x1, y0 + y1) / 2


class TestDarts:
    """A sewn dart's legs meet; what lies past its point, and the corners of its edge, stay where they are."""

    @staticmethod
    def fold() -> DartClosing:
        return DartClosing(100j, -10 + 0j, 10 + 0j, (0.6, 0.6))

    def test_legs_meet_on_the_line_between_them(self) -> None:
        fold = self.fold()
        for share in (0.1, 0.5, 1.0):
            a, b = (fold.point + (leg - fold.point) * share for leg in (fold.first, fold.second))
            assert abs(fold.apply(a) - fold.apply(b)) < 1e-9
            assert abs(fold.apply(a).real) < 1e-9

    def test_far_off_nothing_moves(self) -> None:
        fold = self.fold()
        for z in (300j, 200 + 100j, -150 + 130j, 100j):
            assert abs(fold.apply(z) - z) < 1e-9

    def test_the_mouth_is_left_out_of_an_outline(self) -> None:
        fold = self.fold()
        outline = Path.polyline(
            [-80 + 0j, -10 + 0j, -6j, 10 + 0j, 80 + 0j, 80 + 200j, -80 + 200j], closed=True
        )
        points = path_closed(outline, (fold,)).flatten(0.1)
        top = sorted((z for z in points if z.imag < 30), key=lambda z: z.real)
        assert min(z.imag for z in points) > -3.0  # nothing of the mouth's peak sticks out
        assert max(abs(b - a) for a, b in zip(top, top[1:], strict=False)) < 60
        assert abs(top[0] - (-80 + 0j)) < 0.2 and abs(top[-1] - 80) < 0.2


class TestAlong:
    """A facing laid along an edge that darts have bent."""

    def test_a_strip_keeps_its_width_and_follows_the_other_line(self) -> None:
        own = Path.line(0j, 100 + 0j)
        other = Path.polyline([20 + 5j, 60 + 5j, 60 + 65j])  # as long, with a corner
        strip = Along(own, other)
        assert abs(strip.apply(10 + 0j) - (30 + 5j)) < 1e-6
        assert abs(strip.apply(10 - 7j) - (30 - 2j)) < 1e-6
        assert abs(strip.apply(90 - 7j) - (67 + 55j)) < 1e-6  # turned with the line


def test_a_pleated_edge_closes_without_what_is_folded_under() -> None:
    """Two lines 20 mm apart come onto each other: a line across is 20 mm shorter, and dips nowhere on its way."""
    fold = Closing((10 + 0j, 10 + 50j), (30 + 0j, 30 + 50j), Placement.move(-20 + 0j), 1.0)
    dipping = Path.polyline([0j, 12 + 0j, 20 + 9j, 28 + 0j, 50 + 0j])
    closed = path_closed(dipping, (fold,))
    assert abs(closed.length - 30) < 1e-6
    assert max(z.imag for z in closed.flatten(0.5)) < 1e-6
