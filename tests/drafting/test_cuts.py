"""Cut along a style line and cut across: two parts with one edge between them, and nothing lost."""

from __future__ import annotations

import pytest
from helpers.drafts import Drafted, inline_draft
from helpers.rings import polygon
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.model import Piece

PANEL = """
units: mm
construction:
  p:
    points:
      a: {{}}
      b: {{across: 200}}
      c: {{across: 240, down: 300}}
      d: {{down: 300}}
      y0: {{down: {left}}}
      y1: {{midway: [y0, y2], down: {bend}}}
      y2: {{along: side, by: {right}}}
      far: {{across: 900}}
      farther: {{across: 900, down: 100}}
    lines:
      top: {{straight: [a, b]}}
      side: {{straight: [b, c]}}
      foot: {{straight: [c, d]}}
      centre: {{straight: [d, a]}}
      yoke: {{curve: [y0, y1, y2], leave: across}}
      short: {{straight: [y0, y1]}}
      away: {{straight: [far, farther]}}
marks:
  notch: {{on: block.side, from: top, at: 20}}
pieces:
  block:
    drawn for: right
    outline: [p.top, p.side, p.foot, p.centre]
    {more}
  upper: {{from: block, do: [{{cut along: {{line: p.yoke, keep: top, edge: yoke_seam, marks: 2}}}}]}}
  lower: {{from: block, do: [{{cut along: {{line: p.yoke, drop: top, edge: yoke_seam, marks: 2}}}}]}}
"""


def panel(left: float = 90, bend: float = 10, right: float = 110, more: str = "", extra: str = "") -> Drafted:
    return inline_draft(PANEL.format(left=left, bend=bend, right=right, more=more) + extra)


def lengths(piece: Piece) -> dict[str, float]:
    return {e.name: e.length for e in piece.edges}


@settings(max_examples=40, deadline=None)
@given(st.floats(50, 240), st.floats(-25, 25), st.floats(40, 240))
def test_a_style_line_makes_two_parts_that_are_the_whole_and_share_an_edge(
    left: float, bend: float, right: float
) -> None:
    made = panel(left, bend, right)
    assert made.errors == ()
    block, upper, lower = (made.draft.pieces[k] for k in ("block", "upper", "lower"))
    areas = [polygon(p.outline).area for p in (block, upper, lower)]
    assert areas[1] + areas[2] == pytest.approx(areas[0], rel=1e-4)
    mine, theirs = upper.edge("yoke_seam"), lower.edge("yoke_seam")
    assert mine is not None
    assert theirs is not None
    assert mine.length == pytest.approx(theirs.length, abs=1e-6)
    assert [m.name for m in mine.marks] == [m.name for m in reversed(theirs.marks)]
    for m in mine.marks:
        partner = theirs.mark(m.name)
        assert partner is not None
        assert abs(mine.path.point(m.at) - theirs.path.point(partner.at)) < 0.01
    whole = lengths(block)
    for edge in ("side", "centre"):
        assert lengths(upper)[edge] + lengths(lower)[edge] == pytest.approx(whole[edge], abs=0.01)
    assert lengths(upper)["top"] == pytest.approx(whole["top"], abs=1e-6)
    assert lengths(lower)["foot"] == pytest.approx(whole["foot"], abs=1e-6)


def test_notches_of_a_cut_are_unevenly_spaced_so_that_parts_cannot_be_sewn_end_for_end() -> None:
    edge = panel().draft.pieces["upper"].edge("yoke_seam")
    assert edge is not None
    first, last = edge.marks[0].at, edge.length - edge.marks[-1].at
    assert abs(first - last) > 5


def test_marks_stay_on_the_cloth_that_they_lie_on() -> None:
    made = panel()
    upper, lower = made.draft.pieces["upper"].edge("side"), made.draft.pieces["lower"].edge("side")
    assert upper is not None
    assert lower is not None
    assert [m.name for m in upper.marks] == ["notch"]
    assert lower.marks == ()


def test_a_line_through_darts_points_takes_the_darts_into_the_seam() -> None:
    """A princess seam: the part's edge runs down one leg of the dart and on along the line."""
    more = "darts: {d: {on: top, from: centre, at: 100, wide: 30, long: 100, press: to centre}}"
    extra = """  near: {from: block, do: [{cut along: {from: {dart: d}, to: {on: foot, from: side, at: 110}, keep: centre,
         edge: seam, names: [foot, top]}}]}
  away: {from: block, do: [{cut along: {from: {dart: d}, to: {on: foot, from: side, at: 110}, keep: side,
         edge: seam, names: [foot, top]}}]}
"""
    text = PANEL.format(left=90, bend=10, right=110, more=more).split("  upper:")[0] + extra
    made = inline_draft(text)
    assert made.errors == ()
    near, away, block = (made.draft.pieces[k] for k in ("near", "away", "block"))
    assert near.darts == ()
    assert away.darts == ()
    assert lengths(near)["seam"] == pytest.approx(lengths(away)["seam"], abs=0.5)
    dart = block.darts[0]
    leg = abs(dart.first - dart.point)
    assert lengths(near)["seam"] > leg + 150
    areas = sum(polygon(p.outline).area for p in (near, away))
    wedge = abs(dart.first - dart.second) * 100 / 2
    assert areas == pytest.approx(polygon(block.outline).area - wedge, rel=0.01)


@settings(max_examples=25, deadline=None)
@given(st.floats(30, 270), st.sampled_from(["square", "level"]))
def test_a_cut_across_at_a_length_leaves_that_length(at: float, way: str) -> None:
    extra = (
        f"  cuffed: {{from: block, do: [{{cut across: {{on: centre, from: top, at: {at:.4f}, way: {way}, "
        "keep: top, edge: end}}]}\n"
    )
    made = panel(extra=extra)
    assert made.errors == ()
    cuffed = made.draft.pieces["cuffed"]
    assert lengths(cuffed)["centre"] == pytest.approx(at, abs=0.01)
    assert lengths(cuffed)["end"] == pytest.approx(
        200 + 40 * at / 300, abs=0.05
    )  # the side leans 40 mm over 300


@pytest.mark.parametrize(
    ("verb", "words"),
    [
        ("cut along: {line: p.away, keep: top, edge: x}", "does not cross"),
        ("cut along: {line: p.short, keep: top, edge: x}", "inside bad"),
        ("cut along: {line: p.yoke, keep: tap, edge: x}", "no edge 'tap'"),
        ("cut along: {line: p.yoke, keep: side, edge: x}", "both parts have it"),
        ("cut along: {line: p.yoke, keep: top, edge: foot}", "already has an edge 'foot'"),
        ("cut along: {line: p.yoka, keep: top, edge: x}", "yoka"),
        ("cut along: {line: p.yoke, keep: top, edge: x, marks: 40}", "40 notches"),
        ("cut across: {on: centre, from: top, at: 500, keep: top, edge: x}", "500.0 mm"),
    ],
)
def test_a_cut_that_cannot_be_made_is_a_sentence_with_its_line(verb: str, words: str) -> None:
    made = panel(extra=f"  bad: {{from: block, do: [{{{verb}}}]}}\n")
    assert any(words in e and e.startswith("draft.yaml:") for e in made.errors), made.errors
