"""Facings lie right sides together with their parent: laid face down on it, the shared run coincides."""

from __future__ import annotations

import numpy as np
import pytest
from helpers.bodies import extreme_bodies
from helpers.drafts import MIDDLING, Drafted, cases, draft_style, inline_draft, middling
from helpers.rings import line, point, polygon, samples
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.copies import open_out
from booklet.model import Piece
from booklet.paths import Path, Placement, fit_rigid

COINCIDE = 0.01  # mm (DESIGN 4)

FACINGS = (
    ("top", "front_neck_facing"),
    ("top", "back_neck_facing"),
    ("skirt", "right_front_facing"),
)


def run_of(piece: Piece, edges: tuple[str, ...]) -> Path:
    """Neighbouring edges of a piece, opened out if it is a half, as one line in the order of its ring."""
    ring = open_out(piece).ring
    bases = [h.base for h in ring]
    count = sum(b in edges for b in bases)
    start = next(
        k for k in range(len(ring)) if all(bases[(k + n) % len(ring)] in edges for n in range(count))
    )
    paths = [ring[(start + n) % len(ring)].edge.path for n in range(count)]
    return paths[0].joined(*paths[1:])


def outline_of(piece: Piece) -> Path:
    """The whole outline, opened out."""
    ring = open_out(piece).ring
    return ring[0].edge.path.joined(*(h.edge.path for h in ring[1:]))


def stray_as_placed(made: Drafted, key: str) -> float:
    """Furthest that the facing's copied edges lie from the parent's own, laid by its `laid`, mm."""
    facing = made.draft.pieces[key]
    assert facing.facing is not None
    parent = made.draft.pieces[facing.facing.parent]
    laid = run_of(facing, facing.facing.edges).placed(facing.facing.laid)
    # A mirrored ring is walked the other way round.
    theirs = samples(run_of(parent, facing.facing.edges), 161)[::-1]
    return float(np.abs(samples(laid, 161) - theirs).max())


def stray_at_best(made: Drafted, key: str, spoil: Placement | None = None) -> float:
    """The same for the best of all rigid ways to lay the facing face down, whatever its own `laid` says."""
    facing = made.draft.pieces[key]
    assert facing.facing is not None
    parent = made.draft.pieces[facing.facing.parent]
    theirs = samples(run_of(parent, facing.facing.edges), 161)
    mine = run_of(facing, facing.facing.edges)
    if spoil is not None:
        mine = mine.placed(spoil)
    options = []
    for run in (mine, mine.reversed()):
        pts = samples(run, 161)
        options.append(np.abs(fit_rigid(pts, theirs, True).apply_all(pts) - theirs).max())
    return float(min(options))


@pytest.mark.parametrize(("style", "key"), FACINGS)
def test_a_facing_laid_face_down_coincides_with_its_parent(style: str, key: str) -> None:
    bodies = [MIDDLING, *(b.measures for b in extreme_bodies())]
    options = [dict(o) for s, o in cases() if s == style]
    for n, measures in enumerate(bodies):
        made = draft_style(style, measures, options[n % len(options)])
        facing = made.draft.pieces[key].facing
        assert facing is not None
        assert facing.laid.mirrored
        assert stray_as_placed(made, key) < COINCIDE
        assert stray_at_best(made, key) < COINCIDE


def test_the_wrap_skirts_facing_left_unmirrored_fails_however_it_is_laid() -> None:
    made = middling("skirt")
    assert stray_at_best(made, "right_front_facing", Placement.mirror(0j, 1j)) > 20


def test_a_symmetric_facing_serves_either_way_up() -> None:
    """A neck facing cut whole on the fold is its own mirror image: nothing can go wrong there."""
    made = middling("top")
    facing = made.draft.pieces["front_neck_facing"]
    whole = outline_of(facing)
    fold = facing.edge("centre")
    assert fold is not None
    mirrored = whole.placed(Placement.mirror(fold.path.start, fold.path.end - fold.path.start))
    assert polygon(whole).symmetric_difference(polygon(mirrored)).area < 0.01


@pytest.mark.parametrize(("style", "key"), FACINGS)
def test_a_facing_keeps_marks_and_allowances_of_the_edges_it_copies(style: str, key: str) -> None:
    made = middling(style)
    facing = made.draft.pieces[key]
    assert facing.facing is not None
    parent = made.draft.pieces[facing.facing.parent]
    for name in facing.facing.edges:
        mine, theirs = facing.edge(name), parent.edge(name)
        assert mine is not None
        assert theirs is not None
        assert mine.allow == theirs.allow
        assert mine.length == pytest.approx(theirs.length, abs=0.001)
        assert [(m.name, m.kind, round(mine.length - m.at, 6)) for m in reversed(mine.marks)] == [
            (m.name, m.kind, round(m.at, 6)) for m in theirs.marks
        ]
    outer = facing.edge("outer")
    assert outer is not None
    assert outer.allow == 0


@pytest.mark.parametrize(("style", "key"), FACINGS)
def test_a_facing_lies_within_its_parent_and_is_as_wide_as_asked(style: str, key: str) -> None:
    made = middling(style)
    facing = made.draft.pieces[key]
    assert facing.facing is not None
    parent = made.draft.pieces[facing.facing.parent]
    laid = {h.base: h.edge.path.placed(facing.facing.laid) for h in open_out(facing).ring}
    region = polygon(outline_of(facing).placed(facing.facing.laid))
    assert region.difference(polygon(outline_of(parent))).area < 1.0
    # In the middle of the run: 2 1/4 in on the top, from 7 cm at the hem curve to 6 cm at the waist on the skirt.
    wide = {"top": (57.15, 57.15), "skirt": (60.0, 70.0)}[style]
    spine = run_of(parent, facing.facing.edges)
    outer = line(laid["outer"])
    for share in (0.25, 0.35, 0.65, 0.75):
        off = outer.distance(point(spine.point(spine.length * share)))
        assert wide[0] - 1.0 < off < wide[1] + 1.0


def test_a_slits_facing_is_deeper_than_its_slit() -> None:
    made = middling("top", ("neck", "slit"), ("sleeve_end", "elastic"))
    back, facing = made.draft.pieces["back"], made.draft.pieces["back_neck_facing"]
    (slit,) = back.openings
    centre = facing.edge("centre")
    assert centre is not None
    assert centre.length > slit.depth + 25
    assert slit.depth >= 4 * 25.4 - 1e-6


PANEL = """
units: cm
construction:
  p:
    points:
      a: {}
      b: {across: 20}
      c: {across: 24, down: 30}
      d: {down: 30}
    lines:
      top: {straight: [a, b]}
      side: {straight: [b, c]}
      foot: {straight: [c, d]}
      centre: {straight: [d, a]}
pieces:
  panel:
    number: 1
    drawn for: right
    outline: [p.top, p.side, p.foot, p.centre]
    cut: [{cloth: main, count: 1, as: single, side: right}]
    allow: {other: 1}
"""


def test_a_facing_of_edges_that_do_not_follow_each_other_is_told() -> None:
    made = inline_draft(PANEL + "  f: {facing: {of: panel, along: [top, foot], wide: 4}, number: 2}\n")
    assert any("do not follow each other" in e for e in made.errors)


def test_a_facing_of_an_unknown_edge_names_the_nearest() -> None:
    made = inline_draft(PANEL + "  f: {facing: {of: panel, along: [tpo], wide: 4}, number: 2}\n")
    assert any("no edge 'tpo'" in e and "'top'" in e for e in made.errors)


@settings(max_examples=25, deadline=None)
@given(
    wide=st.floats(1.0, 5.0),
    at=st.floats(6.0, 13.0),
    long=st.floats(6.0, 14.0),
    fold=st.sampled_from(["", "    fold: centre\n", "    fold: side\n"]),
)
def test_a_facing_over_a_dart_is_taken_with_the_dart_folded_out(
    wide: float, at: float, long: float, fold: str
) -> None:
    """Its edge is as long as the parent's sewn edge, its ends stand as the parent's do, its fold stays straight."""
    draft = PANEL.replace("    cut: [", f"{fold}    cut: [") if fold else PANEL
    draft = draft.replace("as: single, side: right", "as: whole on fold") if fold else draft
    draft = draft.replace("drawn for: right", "half: right") if fold else draft
    dart = f"    darts: {{d: {{on: top, from: centre, at: {at}, wide: {wide}, long: {long}, press: to centre}}}}\n"
    made = inline_draft(draft + dart + "  f: {facing: {of: panel, along: [top], wide: 4}, number: 2}\n")
    assert made.errors == ()
    facing, parent = made.draft.pieces["f"], made.draft.pieces["panel"]
    mine, theirs = facing.edge("top"), parent.edge("top")
    assert mine is not None
    assert theirs is not None
    assert theirs.length - theirs.sewn_length > wide * 9
    assert mine.take_ups == ()
    assert mine.length == pytest.approx(theirs.sewn_length, abs=0.01)
    region = polygon(facing.outline)
    assert region.is_valid
    assert region.area == pytest.approx(theirs.sewn_length * 40, rel=0.12)
    if fold:
        on_fold = facing.edge(facing.fold or "")
        assert on_fold is not None
        flat = on_fold.path.flatten(0.01)
        assert np.abs(flat - np.linspace(flat[0], flat[-1], len(flat))).max() < 0.01


@settings(max_examples=25, deadline=None)
@given(turn=st.floats(0.5, 4.0), edge=st.sampled_from(["top", "side", "foot"]))
def test_a_turn_of_cloth_makes_the_facing_just_so_much_shorter(turn: float, edge: str) -> None:
    facing = f"  f: {{facing: {{of: panel, along: [{edge}], wide: 4, turn: {turn:.4f} mm}}, number: 2}}\n"
    made = inline_draft(PANEL + facing)
    assert made.errors == ()
    mine, theirs = made.draft.pieces["f"].edge(edge), made.draft.pieces["panel"].edge(edge)
    assert mine is not None
    assert theirs is not None
    assert theirs.length - mine.length == pytest.approx(turn, abs=1e-4)


def test_a_turn_of_cloth_out_of_reason_is_told() -> None:
    made = inline_draft(PANEL + "  f: {facing: {of: panel, along: [top], wide: 4, turn: 2 cm}, number: 2}\n")
    assert any("turn of cloth" in e and "20.0 mm" in e for e in made.errors)


def test_a_straight_facing_is_a_band_of_its_width() -> None:
    made = inline_draft(PANEL + "  f: {facing: {of: panel, along: [foot], wide: 4}, number: 2}\n")
    assert made.errors == ()
    facing = made.draft.pieces["f"]
    assert [e.name for e in facing.edges][:1] != []
    lengths = {e.name: e.length for e in facing.edges}
    assert lengths["foot"] == pytest.approx(240)
    # The sides taper from 240 mm at the foot to 240 - 40 * 40 / 300 at 40 mm up (arithmetic); `outer` bends a little to
    # meet the slanting side square.
    assert lengths["outer"] == pytest.approx(240 - 40 * 40 / 300, abs=3)
    assert facing.facing is not None
    assert facing.facing.laid.mirrored
