"""Mirror, open out and join to: a whole piece turned over, unfolded, or laid to another."""

from __future__ import annotations

import pytest
from helpers.piece_verbs import assert_sound, both, edge, lengths, panel, shaped, size, spot
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.copies import make_copies, open_out
from booklet.model import Piece

wide = st.floats(160, 300)
HALF = {"whose": "half: right", "more": "fold: centre"}
DART = "darts: {d: {on: top, from: centre, at: 80, wide: 20, long: 90, press: to centre}}"
PLACES = (0.0, 0.2, 0.5, 0.9, 1.0)


# ---------------------------------------------------------------- mirror


@settings(max_examples=12, deadline=None)
@given(wide, wide, st.floats(-10, 30))
def test_a_mirrored_piece_has_the_same_lengths_and_area(hip: float, hem: float, rise: float) -> None:
    block, new = both(shaped("mirror: true", hip=hip, hem=hem, rise=rise, more=DART))
    assert size(new) == pytest.approx(size(block), rel=1e-9)
    assert lengths(new) == pytest.approx(lengths(block), abs=1e-9)
    assert [e.name for e in new.edges] == [e.name for e in reversed(block.edges)]
    assert new.drawn_for == "left"
    for e in block.edges:
        for m in e.marks:
            assert spot(new, e.name, m.name) == pytest.approx(-spot(block, e.name, m.name).conjugate())
    assert new.darts[0].point == pytest.approx(-block.darts[0].point.conjugate())


def test_mirrored_twice_it_is_as_it_was_and_its_copy_is_the_first_ones_twin() -> None:
    extra = """  twice: {from: block, do: [{mirror: true}, {mirror: true}]}
  turned: {from: block, number: 2, title: Turned, cut: {main: 2}, allow: {other: 10}, do: [{mirror: true}]}
  plain: {from: block, number: 1, title: Plain, cut: {main: 2}, allow: {other: 10}}
"""
    made = panel(extra)
    assert made.errors == ()
    pieces = made.draft.pieces
    for one, other in zip(pieces["block"].edges, pieces["twice"].edges, strict=True):
        assert one.name == other.name
        assert all(
            abs(one.path.point(one.length * k) - other.path.point(one.length * k)) < 1e-9 for k in PLACES
        )
    by_id = {c.id: c for c in make_copies(made.draft)}
    for side in ("left", "right"):
        plain, turned = by_id[f"plain.{side}"], by_id[f"turned.{side}"]
        for name in plain.by_name:
            a, b = plain.by_name[name].edge.path, turned.by_name[name].edge.path
            assert {complex(round(z.real, 6), round(z.imag, 6)) for z in (a.start, a.end)} == {
                complex(round(z.real, 6), round(z.imag, 6)) for z in (b.start, b.end)
            }


# ---------------------------------------------------------------- open out


@settings(max_examples=12, deadline=None)
@given(wide, wide)
def test_opened_out_a_piece_is_what_its_cut_ply_would_have_been(hip: float, hem: float) -> None:
    made = shaped("open out: true", hip=hip, hem=hem, **HALF)
    block, new = both(made)
    assert size(new) == pytest.approx(2 * size(block), rel=1e-9)
    ring = open_out(block).ring
    assert [e.name for e in new.edges] == [h.name for h in ring]
    assert [(h.name, h.base, h.side) for h in open_out(new).ring] == [
        (h.name, h.base, "whole" if h.side == "whole" else h.side) for h in ring
    ]
    for half in ring:
        mine = edge(new, half.name)
        assert [m.name for m in mine.marks] == [m.name for m in half.edge.marks]
        for k in PLACES:
            assert mine.path.point(mine.length * k) == pytest.approx(half.edge.path.point(mine.length * k))
    assert new.fold is None
    assert new.drawn_for == "whole"
    lines = {f.name: f.path for f in new.lines_across}
    assert set(lines) == {
        "knee",
        "upright_left",
        "upright_right",
    }  # the one that meets the fold runs on over it
    assert lines["knee"].length == pytest.approx(2 * block.lines_across[0].path.length)


def test_an_opened_piece_takes_allowances_marks_and_an_uneven_cut() -> None:
    """A neckline slanted over the whole front, which a half piece could not have."""
    extra = """  whole: {from: block, do: [{open out: true}]}
  slanted:
    from: whole
    number: 1
    title: Slanted
    do: [{cut along: {line: p.slant, drop: top, edge: slant}}]
    cut: {main: 1}
    allow: {side: 15, side.left: 20, hem: 30, other: 10}
    hem folds: [hem]
    called: {side: side seam}
"""
    made = panel(extra.replace("p.slant", "q.slant"), **HALF)
    assert "q" in " ".join(made.errors)  # no such line: told, not raised
    text = extra.replace(
        "line: p.slant", "from: {on: side.right, from: top, at: 100}, to: {on: side.left, from: hem, at: 260}"
    )
    made = panel(text + "", **HALF)
    assert made.errors == ()
    new = made.draft.pieces["slanted"]
    assert_sound(new)
    assert {e.name: e.allow for e in new.edges} == {
        "slant": 10.0, "side.right": 15.0, "hem": 30.0, "side.left": 20.0,
    }  # fmt: skip
    assert edge(new, "hem").hem_fold
    assert edge(new, "side.left").called == "side seam"
    assert lengths(new)["side.right"] == pytest.approx(
        lengths(made.draft.pieces["block"])["side"] - 100, abs=0.01
    )
    assert lengths(new)["side.left"] == pytest.approx(260, abs=0.01)
    (copy,) = make_copies(made.draft)
    assert {(h.name, h.base, h.side) for h in copy.edges} >= {
        ("side.left", "side", "left"), ("side.right", "side", "right"), ("slant", "slant", "whole"),
    }  # fmt: skip
    assert made.table.length_of("whole.side.left") == pytest.approx(
        lengths(made.draft.pieces["block"])["side"]
    )


def test_an_opened_piece_is_measured_matched_and_spread_by_the_names_of_its_edges() -> None:
    extra = """  whole: {from: block, do: [{open out: true}]}
  band:
    rectangle: {long: length of whole.top, wide: 40}
    edges: [upper, end, under, start]
    match: {along: under, from: start, to: [whole.top]}
  flared: {from: whole, do: [{slash and spread: {from: 'hem[side.right..side.left]', hinge: top, slashes: 3, open: 90}}]}
  belled: {from: whole, do: [{slash and spread: {from: side.left, hinge: side.right, slashes: 1, open: 20, true: none}}]}
"""
    made = panel(extra, **HALF)
    assert made.errors == ()
    band, whole = made.draft.pieces["band"], made.draft.pieces["whole"]
    (centre,) = edge(band, "under").marks
    assert (centre.name, centre.kind, centre.at) == (
        "centre",
        "single",
        pytest.approx(edge(band, "under").length / 2),
    )
    assert lengths(made.draft.pieces["flared"])["hem"] == pytest.approx(lengths(whole)["hem"] + 90, abs=0.6)
    belled = lengths(made.draft.pieces["belled"])
    assert belled["side.left"] == pytest.approx(lengths(whole)["side.left"] + 20, abs=1e-3)


def test_half_of_an_edge_that_runs_over_the_centre_is_not_a_length() -> None:
    extra = """  whole: {from: block, do: [{open out: true}]}
  strip: {rectangle: {long: length of whole.top.left, wide: 40}}
"""
    assert "its top is one edge from left to right" in " ".join(panel(extra, **HALF).errors)


@pytest.mark.parametrize("verb", ["mirror", "open out"])
def test_a_verb_without_words_may_have_a_when(verb: str) -> None:
    block, new = both(shaped(f"{verb}: {{when: 2 mm > 1 mm}}", **HALF))
    assert new.edges[0].path != block.edges[0].path
    for unmet in (f"{verb}: {{when: 1 mm > 2 mm}}", f"{verb}: false"):
        block, new = both(shaped(unmet, **HALF))
        assert new.edges == block.edges


def test_turned_over_an_opened_piece_has_its_left_at_its_left() -> None:
    extra = """  whole: {from: block, do: [{open out: true}]}
  made: {from: whole, do: [{cut across: {on: side.left, from: hem, at: 200, way: level, keep: hem, edge: end,
         names: [a, b]}}, {mirror: true}]}
  first: {from: whole, do: [{mirror: true}]}
"""
    made = panel(extra, **HALF)
    assert made.errors == ()
    whole, first = made.draft.pieces["whole"], made.draft.pieces["first"]
    assert edge(first, "side.left").path.bbox[0] == pytest.approx(edge(whole, "side.left").path.bbox[0])


def test_darts_of_an_opened_piece_have_their_sides() -> None:
    more = "fold: centre\n    " + DART
    block, new = both(shaped("open out: true", whose="half: right", more=more))
    assert [(d.name, d.edge, d.side) for d in new.darts] == [("d", "top", "right"), ("d", "top", "left")]
    assert edge(new, "top").sewn_length == pytest.approx(2 * edge(block, "top").sewn_length)


# ---------------------------------------------------------------- join to


CUT = """  upper: {{from: block, do: [{{cut along: {{line: q.yoke, keep: top, edge: yoke, marks: 2}}}}]}}
  lower: {{from: block, do: [{{cut along: {{line: q.yoke, drop: top, edge: yoke, marks: 2}}}}]}}
  other: {{from: lower, do: [{{mirror: true}}, {{mirror: true}}]}}
  made: {{from: upper, do: [{{join to: {{piece: other, edge: yoke, their: yoke{names}}}}}]}}
"""


def rejoined(left: float, bend: bool, right: float, names: str = "", **how: object) -> tuple[Piece, Piece]:
    line = f"from: {{on: centre, from: top, at: {left:.3f}}}, to: {{on: side, from: top, at: {right:.3f}}}"
    if bend:
        line += ", via: [p.v]"
    made = panel(CUT.format(names=names).replace("line: q.yoke", line), **how)  # type: ignore[arg-type]
    return both(made)


def by_length(piece: Piece) -> list[str]:
    return sorted(f"{e.name} {e.length:.2f}" for e in piece.edges)


@settings(max_examples=12, deadline=None)
@given(st.floats(150, 330), st.booleans(), st.floats(150, 330))
def test_joining_undoes_a_cut(left: float, bend: bool, right: float) -> None:
    block, new = rejoined(left, bend, right)
    assert by_length(new) == by_length(block)
    assert size(new) == pytest.approx(size(block), rel=1e-6)
    for e in block.edges:
        mine = edge(new, e.name)
        assert all(abs(mine.path.point(mine.path.nearest(e.path.point(e.length * k))) - e.path.point(e.length * k)) < 1e-3
                   for k in PLACES)  # fmt: skip
        assert [m.name for m in mine.marks] == [m.name for m in e.marks]
        for m in e.marks:
            assert spot(new, e.name, m.name) == pytest.approx(spot(block, e.name, m.name), abs=1e-3)
    lines = {f.name: f.path.length for f in new.lines_across}
    assert lines == pytest.approx({f.name: f.path.length for f in block.lines_across}, abs=0.1)


def test_a_fold_that_was_cut_is_one_fold_again() -> None:
    block, new = rejoined(200, False, 210, **HALF)
    assert new.fold == "centre"
    assert len(edge(new, "centre").path.segments) == 1
    assert lengths(new)["centre"] == pytest.approx(lengths(block)["centre"])


def test_edges_stay_apart_where_they_are_named_otherwise() -> None:
    _, new = rejoined(200, False, 210, names=", names: {side: side_lower}")
    assert [e.name for e in new.edges].count("side_lower") == 1
    assert lengths(new)["side"] == pytest.approx(210, abs=0.01)


def test_a_piece_is_turned_to_lie_at_the_edge_it_is_joined_to() -> None:
    """Two like strips joined end to end, the second upside down as drawn."""
    extra = """  one: {rectangle: {long: 300, wide: 60}, edges: [upper, end, under, start]}
  two: {rectangle: {long: 200, wide: 60}, edges: [under, start, upper, tip]}
  made: {from: one, do: [{join to: {piece: two, edge: end, their: start, names: {tip: end, upper: top, under: foot}}}]}
  plain: {from: one, do: [{join to: {piece: two, edge: end, their: start, names: {tip: end}}}]}
"""
    made = panel(extra)
    assert made.errors == ()
    assert lengths(made.draft.pieces["plain"]) == pytest.approx(
        {"upper": 500, "end": 60, "under": 500, "start": 60}
    )
    assert made.draft.pieces["made"].outline.bbox == pytest.approx((0, 0, 500, 60))
    assert size(made.draft.pieces["made"]) == pytest.approx(500 * 60)


@pytest.mark.parametrize(
    ("join", "words"),
    [
        ("piece: strip, edge: top, their: upper", "differ by 139.0 mm"),
        ("piece: curved, edge: top, their: upper", "mm off it"),
        ("piece: lower, edge: hem, their: yoke", "differ by"),
        ("piece: strip, edge: end, their: end", "no edge 'end'"),
        ("piece: strap, edge: top, their: upper", "no piece 'strap'"),
        ("piece: like, edge: top, their: upper", "both have hem (edge), which do not meet"),
        ("piece: like, edge: top, their: upper, names: {ham: x}", "'ham'"),
        ("piece: halved, edge: top, their: upper", "lies on the fold"),
    ],
)
def test_two_edges_that_do_not_match_are_told_with_how_much(join: str, words: str) -> None:
    long = "160.449"
    extra = f"""  strip: {{rectangle: {{long: 300 - 0.6, wide: 60}}, edges: [upper, end, under, start]}}
  like: {{rectangle: {{long: {long}, wide: 60}}, edges: [upper, end, hem, start]}}
  halved: {{rectangle: {{long: {long}, wide: 60}}, edges: [upper, end, under, start], fold: upper}}
  curved:
    measured:
      edges: {{upper: {{smooth: [[0, 0], [78.33, -15], [156.66, 0]]}}, end: [[156.66, 0], [156.66, 60]],
              under: [[156.66, 60], [0, 60]], start: [[0, 60], [0, 0]]}}
  lower: {{from: block, do: [{{cut across: {{on: centre, from: top, at: 200, keep: hem, edge: yoke}}}}]}}
  made: {{from: block, do: [{{join to: {{{join}}}}}]}}
"""
    made = panel(extra)
    assert words in " ".join(made.errors)


def test_a_piece_without_a_fold_is_not_opened() -> None:
    assert "has no fold to be opened at" in " ".join(shaped("open out: true").errors)


def test_a_piece_that_is_joined_to_itself_is_told() -> None:
    extra = "  made: {from: block, do: [{join to: {piece: made, edge: top, their: hem}}]}\n"
    assert "made needs made" in " ".join(panel(extra).errors)
