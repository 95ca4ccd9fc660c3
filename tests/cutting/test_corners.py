"""Corners of allowances: hems mirrored about their fold, ends that lie in the crossing seam, notches, the paper half."""

from __future__ import annotations

from dataclasses import replace

import pytest
import shapely
from helpers.bodies import extreme_bodies
from helpers.cutlines import (
    allowance_faults,
    cut_faults,
    hem_end_faults,
    notch_faults,
    paper_faults,
    ring_faults,
    seam_end_faults,
)
from helpers.drafts import Drafted, case_name, cases, draft_style, inline_draft, middling
from helpers.plain import cut, ring_of
from helpers.rings import line, point, polygon
from helpers.seams import sewn
from hypothesis import given
from hypothesis import strategies as st

from booklet.cutting.outline import cut_pieces
from booklet.model import CutPiece, Mark
from booklet.problems import Collector

# ------------------------------------------------------------------ both styles


@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_cut_lines_of_the_middling_body_hold(style: str, options: tuple[tuple[str, str], ...]) -> None:
    assert cut_faults(middling(style, *options)) == []


@pytest.mark.slow
@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_cut_lines_of_twelve_extreme_bodies_hold(style: str, options: tuple[tuple[str, str], ...]) -> None:
    """Simple rings, own allowances, hem ends, crossing ends, notches and paper halves."""
    faults: list[str] = []
    bodies = extreme_bodies()
    assert len(bodies) == 12
    for body in bodies:
        faults += [
            f"row {body.row}: {f}" for f in cut_faults(draft_style(style, body.measures, dict(options)))
        ]
    assert faults == []


# ------------------------------------------------------------------ hems


def widths_at(made: CutPiece, fold_y: float, depth: float) -> tuple[float, float]:
    """Width of the cut piece at the hem's free edge, and at the same depth inside the fold."""
    ring = polygon(made.cut, 0.001)
    out = []
    for y in (fold_y + depth - 0.01, fold_y - depth + 0.01):
        out.append(ring.intersection(shapely.LineString([(-2000, y), (2000, y)])).length)
    return out[0], out[1]


@given(st.floats(-0.35, 0.35), st.floats(-0.35, 0.35), st.floats(10, 45), st.floats(4, 20))
def test_a_hem_is_as_wide_as_what_it_covers(left: float, right: float, deep: float, side: float) -> None:
    """Width at the free edge = width of the piece at that depth inside the fold, within 1 mm (TRADE.md 4.3)."""
    corners = [0j, 300 + 0j, complex(300 + 400 * right, 400), complex(-400 * left, 400)]
    widths = {"hem": deep, "other": side}
    made, said = cut(ring_of(corners, widths, names=["top", "right", "hem", "left"], hems=["hem"]))
    assert said == []
    free, inside = widths_at(made, 400.0, deep)
    assert free == pytest.approx(inside, abs=1.0)
    assert list(hem_end_faults(made, set())) == []


def test_an_end_cut_straight_would_not_do() -> None:
    """The negative of the rule above: run the sides straight on and a flared hem's edge is too wide, a tapered one's
    too narrow: by 2 x depth x the sum of the slopes."""
    for slope, sign in ((0.3, 1), (-0.3, -1)):
        corners = [0j, 300 + 0j, complex(300 + 400 * slope, 400), complex(-400 * slope, 400)]
        made, _ = cut(ring_of(corners, {"hem": 30.0, "other": 10.0}, names=["top", "right", "hem", "left"]))
        free, inside = widths_at(made, 400.0, 30.0)
        assert sign * (free - inside) == pytest.approx(2 * 30 * 2 * 0.3, abs=0.5)
        hemmed = tuple(
            replace(h, edge=replace(h.edge, hem_fold=True)) if h.name == "hem" else h for h in made.net
        )
        assert any("hem" in fault for fault in hem_end_faults(replace(made, net=hemmed), set()))


def test_a_hem_square_to_its_sides_mirrors_into_a_straight_line() -> None:
    corners = [0j, 300 + 0j, 300 + 400j, 400j]
    made, _ = cut(
        ring_of(corners, {"hem": 30.0, "other": 10.0}, names=["top", "right", "hem", "left"], hems=["hem"])
    )
    assert polygon(made.cut).area == pytest.approx(320 * 440, abs=1e-3)


def test_where_a_hem_runs_on_into_a_narrower_edge_it_ends_in_a_square_step() -> None:
    made = middling("skirt").cut_piece("right_front")
    edges = {h.name: h.edge for h in made.net}
    hem, curve = edges["hem"], edges["hem_curve"]
    ends = [
        z
        for z in (hem.path.start, hem.path.end)
        if min(abs(z - curve.path.start), abs(z - curve.path.end)) < 1e-6
    ]
    (corner,) = ends
    down = 1j  # the hem lies level there, and outwards is down
    ring = line(made.cut)
    for depth in (curve.allow, (curve.allow + hem.allow) / 2, hem.allow):
        assert ring.distance(point(corner + down * depth)) < 0.05


# ------------------------------------------------------------------ ends at crossing seams


def shoulder_lines(made: Drafted, key: str) -> dict[str, float]:
    """How far beyond each end of a piece's shoulder its cut line crosses the seam line run on, by the crossing edge."""
    piece = made.cut_piece(key)
    half = next(h for h in piece.net if h.base == "shoulder" and h.side == piece.piece.drawn_for)
    path = half.edge.path
    out = {}
    for corner, way in ((path.start, -path.start_tangent), (path.end, path.end_tangent)):
        ray = shapely.LineString(
            [(corner.real, corner.imag), ((corner + way * 60).real, (corner + way * 60).imag)]
        )
        met = line(piece.cut).intersection(ray)
        crossing = next(
            h.base
            for h in piece.net
            if h is not half and min(abs(h.edge.path.start - corner), abs(h.edge.path.end - corner)) < 1e-6
        )
        out[crossing] = float(met.distance(point(corner)))
    return out


def test_edges_meet_after_a_seam_is_pressed_open() -> None:
    """Across the shoulder, the neck's and the armhole's cut edges of front and back come to the same points."""
    made = middling("top")
    front, back = shoulder_lines(made, "front"), shoulder_lines(made, "back")
    assert set(front) == set(back) == {"neckline", "armhole"}
    for edge in front:
        assert front[edge] == pytest.approx(back[edge], abs=0.1)
        # The neckline and the armhole leave the shoulder square, so their cut lines do so at their full allowance.
        assert front[edge] == pytest.approx(3 / 8 * 25.4, abs=0.05)


def panels(slant: float) -> str:
    """Two panels whose foot edges cross their common seam at a slant, on both sides alike or not."""
    return f"""
units: cm
construction:
  p:
    points: {{a: {{}}, b: {{across: 20}}, c: {{across: 20, down: 30}}, d: {{down: 30 + {slant}}}}}
    lines: {{top: {{straight: [a, b]}}, seam: {{straight: [b, c]}}, foot: {{straight: [c, d]}}, far: {{straight: [d, a]}}}}
  q:
    points: {{a: {{}}, b: {{across: 15}}, c: {{across: 15, down: 30 + {slant}}}, d: {{down: 30}}}}
    lines: {{top: {{straight: [a, b]}}, far: {{straight: [b, c]}}, foot: {{straight: [c, d]}}, seam: {{straight: [d, a]}}}}
pieces:
  one:
    number: 1
    drawn for: right
    outline: [p.top, p.seam, p.foot, p.far]
    cut: [{{cloth: main, count: 1, as: single, side: right}}]
    allow: {{foot: 1, other: 1.5}}
  two:
    number: 2
    drawn for: right
    outline: [q.top, q.far, q.foot, q.seam]
    cut: [{{cloth: main, count: 1, as: single, side: right}}]
    allow: {{foot: 1, other: 1.5}}
"""


@pytest.mark.parametrize("slant", [-6.0, -2.0, 3.0, 8.0])
@pytest.mark.parametrize("press", ["open", "to one", "to two"])
def test_a_slanting_edge_is_crossed_as_the_seam_is_pressed(slant: float, press: str) -> None:
    made = sewn(inline_draft(panels(slant)), f"  - join: [one.seam, two.seam]\n    press: {press}\n")
    assert made.errors == ()
    assert list(seam_end_faults(made)) == []
    for piece in made.cut:
        assert list(ring_faults(piece)) == []
        # Both allowances stay within the shape that the sewn cloth has: laid open, nothing sticks out beyond the foot.
        assert polygon(piece.cut).area < polygon(piece.stitch).buffer(15.0).area + 400


@pytest.mark.parametrize("press", ["open", "to one", "to two"])
def test_ends_made_for_another_pressing_are_found_out(press: str) -> None:
    """The checks can fail: cut for one way of pressing and judged for the others, some end lies wrong. (Pressed towards
    a piece, its own end is as for pressing open: then the other piece's is wrong.)"""
    for other in ("open", "to one", "to two"):
        made = sewn(inline_draft(panels(8.0)), f"  - join: [one.seam, two.seam]\n    press: {press}\n")
        judged = sewn(inline_draft(panels(8.0)), f"  - join: [one.seam, two.seam]\n    press: {other}\n")
        judged.__dict__["cut"] = made.cut
        assert any("the end of seam lies" in f for f in seam_end_faults(judged)) == (press != other)


def test_a_mitre_in_place_of_the_shaped_end_is_found_out() -> None:
    made = sewn(inline_draft(panels(8.0)), "  - join: [one.seam, two.seam]\n    press: open\n")
    made.__dict__["cut"] = cut_pieces(made.copies, (), Collector())  # as if no seam were known
    assert any("the end of seam lies" in fault for fault in seam_end_faults(made))


def test_spoilt_cut_lines_are_found_out() -> None:
    made = middling("top").cut_piece("sleeve")
    small = replace(made, cut=made.cut.stretched(0.98, 1.0))
    assert any("strays" in f for f in allowance_faults(small))
    inside = replace(made, cut=made.cut.stretched(0.8, 0.8))
    assert any("inside the stitch line" in f for f in ring_faults(inside))
    one_stroke = tuple(replace(n, strokes=n.strokes[:1]) for n in made.notches)
    assert any("is double and has 1 strokes" in f for f in notch_faults(replace(made, notches=one_stroke)))
    assert any("no stroke for its mark" in f for f in notch_faults(replace(made, notches=())))


# ------------------------------------------------------------------ notches


@pytest.mark.parametrize("allow", [4.0, 9.525, 12.0, 20.0])
@pytest.mark.parametrize("kind", ["single", "double", "triple", "snip"])
def test_notches_stand_square_in_the_allowance(allow: float, kind: str) -> None:
    """As long as 6 mm or half the allowance, whichever is less; one stroke, or two or three 6 mm apart."""
    mark = Mark("match", kind, 70.0)  # type: ignore[arg-type]
    corners = [0j, 200 + 20j, 210 + 300j, 310j]
    made, said = cut(ring_of(corners, allow, names=list("abcd"), marks={"b": (mark,)}))
    assert said == []
    (stroke,) = made.notches
    assert stroke.cut
    assert len(stroke.strokes) == {"single": 1, "double": 2, "triple": 3, "snip": 1}[kind]
    assert list(notch_faults(made)) == []
    for outer, inner in stroke.strokes:
        assert abs(outer - inner) == pytest.approx(min(6.0, allow / 2))
        assert line(made.cut).distance(point(outer)) < 1e-6


def test_a_mark_on_an_edge_without_allowance_is_drawn_inwards_and_not_cut() -> None:
    mark = Mark("match", "single", 70.0)
    corners = [0j, 200 + 0j, 200 + 300j, 300j]
    made, _ = cut(ring_of(corners, {"b": 0.0, "other": 10.0}, names=list("abcd"), marks={"b": (mark,)}))
    (stroke,) = made.notches
    assert not stroke.cut
    ((foot, tip),) = stroke.strokes
    assert abs(foot - (200 + 70j)) < 1e-9
    assert abs(tip - (197 + 70j)) < 1e-9


def test_one_notch_in_front_and_two_at_the_back() -> None:
    made = middling("top")
    counts = {
        (c.piece.key, n.mark.name): len(n.strokes)
        for c in made.cut
        for n in c.notches
        if n.mark.name.endswith("_notch")
    }
    assert counts[("front", "front_notch")] == 1
    assert counts[("back", "back_notch")] == 2
    assert counts[("sleeve", "front_notch")] == 1
    assert counts[("sleeve", "back_notch")] == 2


# ------------------------------------------------------------------ the paper half


@pytest.mark.parametrize(("style", "options"), cases(), ids=case_name)
def test_the_half_that_is_printed_gives_the_whole(style: str, options: tuple[tuple[str, str], ...]) -> None:
    for piece in middling(style, *options).cut:
        assert list(paper_faults(piece)) == []
        assert piece.extent == ("half" if piece.piece.fold else "whole")
        if piece.extent == "half":
            assert polygon(piece.paper_cut).area == pytest.approx(polygon(piece.cut).area / 2, rel=1e-4)
            assert [e.name for e in piece.paper_net] == [e.name for e in piece.piece.edges]
            assert len(piece.paper_notches) < len(piece.notches) or not piece.notches


def test_a_half_whose_sides_are_pressed_unlike_is_printed_whole() -> None:
    """If the two doubled edges of a half piece need different ends, the piece is printed whole, never averaged."""
    text = panels(8.0).replace(
        "  one:\n    number: 1\n    drawn for: right", "  one:\n    number: 1\n    half: right\n    fold: far"
    )
    text = text.replace(
        "as: single, side: right}]\n    allow: {foot: 1, other: 1.5}\n  two",
        "as: whole on fold}]\n    allow: {foot: 1, other: 1.5}\n  two",
    )
    text = text.replace("cloth: main, count: 1, as: single, side: right", "cloth: main, count: 2, as: pair")
    alike = "  - join: [one.seam, two.seam]\n    press: open\n"
    unlike = (
        "  - join: [one.seam.left, two.seam.left]\n    press: open\n"
        "  - join: [one.seam.right, two.seam.right]\n    press: to two\n"
    )
    for steps, extent in ((alike, "half"), (unlike, "whole")):
        made = sewn(inline_draft(text), steps)
        assert made.errors == ()
        assert made.cut_piece("one").extent == extent
        assert list(seam_end_faults(made)) == []
