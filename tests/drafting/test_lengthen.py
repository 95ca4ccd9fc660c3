"""Lengthen and shorten: only what the cut crosses changes, and it is drawn true."""

from __future__ import annotations

import pytest
from helpers.drafts import inline_draft
from helpers.piece_verbs import assert_sound, both, edge, lengths, panel, shaped, size, spot
from helpers.rings import width_at
from hypothesis import given, settings
from hypothesis import strategies as st

amounts = st.floats(-60, 120)


@settings(max_examples=20, deadline=None)
@given(amounts, st.floats(230, 450), st.floats(200, 280), st.floats(180, 300))
def test_edges_that_are_not_crossed_keep_their_line_and_the_others_are_told(
    by: float, knee: float, hip: float, hem: float
) -> None:
    made = shaped(f"lengthen: {{at: knee, by: {by:.4f}}}", knee=knee, hip=hip, hem=hem)
    block, new = both(made)
    before, after = lengths(block), lengths(new)
    for name in ("top", "hem"):
        assert after[name] == pytest.approx(before[name], abs=1e-6)
    assert edge(new, "top").path == edge(block, "top").path
    assert edge(new, "hem").path.start - edge(block, "hem").path.start == pytest.approx(1j * by, abs=1e-4)
    assert after["centre"] == pytest.approx(before["centre"] + by, abs=1e-3)
    told = {t.edge: t for t in new.trueings}
    assert set(told) == {"side", "centre"}
    for name, t in told.items():
        assert t.after == pytest.approx(after[name], abs=1e-6)
        assert t.before == pytest.approx(before[name] + by, abs=1e-3)


@settings(max_examples=20, deadline=None)
@given(amounts, st.floats(180, 300))
def test_marks_levels_and_lines_stay_where_they_were_on_the_cloth(by: float, hem: float) -> None:
    made = shaped(f"lengthen: {{at: knee, by: {by:.4f}}}", hem=hem)
    block, new = both(made)
    # a straight edge ruled anew leans a little: its marks stay at their height, not at their width
    assert spot(new, "side", "high") == pytest.approx(spot(block, "side", "high"), abs=1.5)
    for name, mark in (("side", "low"), ("hem", "hem_notch")):
        moved = spot(new, name, mark) - spot(block, name, mark)
        assert moved.imag == pytest.approx(by, abs=0.5)
    assert dict(new.levels) == pytest.approx(
        {"hip": 200.0, "knee": 380.0, "foot": 580 + by}, abs=1e-3
    )  # fmt: skip
    lines = {f.name: f.path for f in new.lines_across}
    assert set(lines) == {"knee", "upright"}
    assert lines["upright"].length == pytest.approx(510 + by, abs=1e-3)
    for end in (lines["knee"].start, lines["knee"].end):
        assert min(abs(e.path.point(e.path.nearest(end)) - end) for e in new.edges) < 0.05


@settings(max_examples=15, deadline=None)
@given(st.floats(-200, 300), st.floats(150, 300), st.floats(150, 300))
def test_straight_edges_stay_straight_and_what_is_put_in_is_a_trapezium(
    by: float, top: float, foot: float
) -> None:
    """From a trapezium 500 mm high comes one of 500 + by, of the same two widths."""
    made = inline_draft(
        f"""
units: mm
construction: {{p: {{points: {{m: {{down: 250}}}}}}}}
pieces:
  made:
    measured:
      edges: {{top: [[0, 0], [{top:.3f}, 0]], side: [[{top:.3f}, 0], [{foot:.3f}, 500]],
              hem: [[{foot:.3f}, 500], [0, 500]], centre: [[0, 500], [0, 0]]}}
    levels: {{middle: p.m}}
    do: [{{lengthen: {{at: middle, by: {by:.4f}}}}}]
"""
    )
    assert made.errors == ()
    new = made.draft.pieces["made"]
    assert_sound(new)
    assert len(edge(new, "side").path.segments) == 1
    assert size(new) == pytest.approx((top + foot) / 2 * (500 + by), rel=1e-5)


@settings(max_examples=12, deadline=None)
@given(st.floats(5, 80), st.floats(180, 300))
def test_shortened_by_what_it_was_lengthened_it_is_as_it_was(by: float, hem: float) -> None:
    verbs = f"{{lengthen: {{at: knee, by: {by:.4f}}}}}, {{lengthen: {{at: knee, by: -{by:.4f}}}}}"
    block, new = both(panel(f"  made: {{from: block, do: [{verbs}]}}\n", hem=hem))
    assert lengths(new) == pytest.approx(lengths(block), abs=0.05)
    assert size(new) == pytest.approx(size(block), rel=1e-4)


def test_a_curve_is_blended_without_a_step_or_a_kink() -> None:
    """Cut through the curved upper side: the line is smooth, and away from the cut it is the old one."""
    block, new = both(shaped("lengthen: {at: knee, by: 24}", knee=100))
    path = edge(new, "side").path
    ways = [path.tangent(path.length * k / 400) for k in range(401)]
    assert max(abs(b - a) for a, b in zip(ways, ways[1:], strict=False)) < 0.06
    for y in (12.0, 25.0):
        assert width_at(new, y) == pytest.approx(width_at(block, y), abs=5e-3)
    for y in (180.0, 300.0, 500.0):
        assert width_at(new, y + 24) == pytest.approx(width_at(block, y), abs=5e-3)


def test_the_line_is_kept_and_printed_and_a_second_one_gets_a_number() -> None:
    verbs = "{lengthen: {at: hip, by: 10}}, {lengthen: {at: foot, by: 0}}"
    extra = f"  made: {{from: block, levels: {{foot: p.m1}}, do: [{verbs}]}}\n"
    _, new = both(panel(extra))
    lines = {f.name: f.path for f in new.lines_across}
    assert set(lines) == {"knee", "upright", "lengthen_or_shorten_here", "lengthen_or_shorten_here_2"}
    first = lines["lengthen_or_shorten_here"]
    assert first.start.imag == pytest.approx(200)
    assert first.length == pytest.approx(
        230 - 6, abs=1
    )  # it ends short of the edges, so that no snip is cut for it


def test_a_piece_cut_on_the_cross_grain_is_cut_square_to_its_grain() -> None:
    extra = """  strip:
    rectangle: {long: 300, wide: 80}
    edges: [upper, end, under, tip]
    lines across: {middle: p.upright}
    do: [{lengthen: {at: middle, by: 50}}]
"""
    text = panel(extra)
    assert text.errors == ()
    strip = text.draft.pieces["strip"]
    assert lengths(strip) == pytest.approx({"upper": 350, "end": 80, "under": 350, "tip": 80})


def test_a_dart_above_the_cut_stays_and_one_below_moves() -> None:
    more = "darts: {d: {on: top, from: centre, at: 80, wide: 20, long: 90, press: to centre}}"
    block, new = both(shaped("lengthen: {at: knee, by: 40}", more=more))
    assert new.darts == block.darts
    high = "  made: {from: block, levels: {high: p.m0}, do: [{lengthen: {at: high, by: 40}}]}\n"
    assert "runs through the dart d" in " ".join(panel(high, more=more).errors)


def test_the_fold_is_lengthened_with_the_grain() -> None:
    block, new = both(shaped("lengthen: {at: knee, by: 40}", whose="half: right", more="fold: centre"))
    assert new.fold == "centre"
    assert lengths(new)["centre"] == pytest.approx(lengths(block)["centre"] + 40)


@pytest.mark.parametrize(
    ("verb", "words"),
    [
        ("lengthen: {at: kne, by: 10}", "no line across and no level 'kne'"),
        ("lengthen: {at: p.askew, by: 10}", "not square to the grain"),
        ("lengthen: {at: knee, by: -400}", "no room for -400.0 mm"),
        ("lengthen: {at: knee, by: 10, line: upright}", "already has a line 'upright'"),
    ],
)
def test_what_cannot_be_done_is_a_sentence_with_its_line(verb: str, words: str) -> None:
    made = shaped(verb)
    assert words in " ".join(made.errors)
    assert "draft.yaml:" in made.errors[0]


def test_a_dart_on_a_crossed_edge_keeps_its_mouth_and_a_pleat_runs_on() -> None:
    more = "darts: {d: {on: side, from: top, at: 150, wide: 18, long: 80, press: to top}}"
    block, new = both(shaped("lengthen: {at: knee, by: 40}", more=more))
    assert new.darts == block.darts
    (mouth,), (was,) = edge(new, "side").take_ups, edge(block, "side").take_ups
    assert (mouth.start, mouth.end) == pytest.approx((was.start, was.end), abs=1e-6)
    extra = """  pleated:
    from: block
    do: [{pleat: {kind: knife, on: 'top[centre..side]', to: hem, at: 60, deep: 20, press: to centre}}]
  made: {from: pleated, do: [{lengthen: {at: knee, by: 40}}]}
"""
    made = panel(extra)
    _, new = both(made)
    pleated = made.draft.pieces["pleated"]
    for line, now in zip(pleated.pleats[0].moves[0], new.pleats[0].moves[0], strict=True):
        assert now.start == line.start
        assert now.end - line.end == pytest.approx(40j, abs=1e-6)
    for name in ("top", "hem"):
        assert [t.end - t.start for t in edge(new, name).take_ups] == pytest.approx(
            [t.end - t.start for t in edge(pleated, name).take_ups]
        )
