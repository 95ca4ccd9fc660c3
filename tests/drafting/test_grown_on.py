"""Extend and vent: cloth grown on to an edge, the neighbours prolonged, the rest as it was."""

from __future__ import annotations

import numpy as np
import pytest
import shapely
from helpers.piece_verbs import both, edge, lengths, shaped, size, spot
from helpers.rings import line, polygon, string
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.model import Piece
from booklet.paths import Placement

widths = st.floats(5, 70)
hems = st.floats(200, 300)


def grown(block: Piece, new: Piece) -> shapely.Geometry:
    """What the piece has gained; nothing of it may have been lost."""
    was, now = polygon(block.outline, 0.002), polygon(new.outline, 0.002)
    assert was.difference(now).area < 1
    return now.difference(was.buffer(0.01))


# ---------------------------------------------------------------- extend


@settings(max_examples=15, deadline=None)
@given(st.sampled_from(["top", "hem", "centre"]), widths, hems, st.sampled_from(["straight", "mirrored"]))
def test_an_edge_moves_out_parallel_and_all_else_stays(name: str, by: float, hem: float, ends: str) -> None:
    block, new = both(shaped(f"extend: {{edge: {name}, by: {by:.4f}, ends: {ends}, fold as: old}}", hem=hem))
    old, moved = line(edge(block, name).path), edge(new, name).path
    for k in np.linspace(0.15, 0.85, 8):
        z = moved.point(moved.length * k)
        assert old.distance(shapely.Point(z.real, z.imag)) == pytest.approx(by, abs=0.05)
    n = [e.name for e in block.edges].index(name)
    touched = {block.edges[n - 1].name, name, block.edges[(n + 1) % 4].name}
    for e in block.edges:
        if e.name not in touched:
            assert edge(new, e.name) == e
    fold = next(f for f in new.lines_across if f.name == "old")
    assert fold.path == edge(block, name).path
    for e in block.edges:
        for m in e.marks:
            gap = spot(new, e.name, m.name) - spot(block, e.name, m.name)
            assert abs(gap) == pytest.approx(by if e.name == name else 0, abs=0.05)
    assert size(new) - size(block) == pytest.approx(by * (old.length + moved.length) / 2, rel=0.03)


@settings(max_examples=15, deadline=None)
@given(widths, hems)
def test_mirrored_ends_lie_on_the_piece_when_it_is_folded_there(by: float, hem: float) -> None:
    """A grown-on facing at the centre: folded back, its top and hem run along the piece's own."""
    made = shaped(f"extend: {{edge: centre, by: {by:.4f}, ends: mirrored, fold as: old}}", hem=hem, rise=25)
    block, new = both(made)
    fold = edge(block, "centre").path
    over = Placement.mirror(fold.start, fold.end - fold.start)
    flap = shapely.transform(
        grown(block, new),
        lambda xy: np.array([[over.apply(complex(*p)).real, over.apply(complex(*p)).imag] for p in xy]),
    )
    assert flap.difference(polygon(block.outline, 0.002).buffer(0.05)).area < 0.5
    inner = polygon(block.outline, 0.002).intersection(shapely.box(0, -500, by, 2000))
    assert flap.area == pytest.approx(inner.area, rel=2e-3)


def test_a_line_across_runs_on_to_the_edge_that_was_moved() -> None:
    _, new = both(shaped("extend: {edge: centre, by: 40}"))
    knee = {f.name: f.path for f in new.lines_across}["knee"]
    assert min(knee.start.real, knee.end.real) == pytest.approx(-40)


def test_a_fold_that_is_moved_out_is_still_the_fold() -> None:
    """Cloth added at the centre for gathers: the top runs on level with itself."""
    how = {"whose": "half: right", "more": "fold: centre", "rise": 0}
    block, new = both(shaped("extend: {edge: centre, by: 50}", **how))
    assert new.fold == "centre"
    assert lengths(new)["top"] == pytest.approx(lengths(block)["top"] + 50)


@pytest.mark.parametrize(
    ("verb", "words"),
    [
        ("extend: {edge: ham, by: 10}", "no edge 'ham'"),
        ("extend: {edge: hem, by: -10}", "moved out by -10.0 mm"),
        ("extend: {edge: top, by: 900}", "Take a smaller width"),
        ("extend: {edge: hem, by: 10, fold as: knee}", "already has a line 'knee'"),
        ("vent: {edge: centre, from: hem, high: 700, wide: 50}", "does not fit centre"),
        ("vent: {edge: centre, from: hem, high: 200, wide: 0}", "0.0 mm wide"),
        ("vent: {edge: centre, from: hem, high: 200, wide: 40, slant: 250}", "slants by 250 mm"),
        ("vent: {edge: centre, from: side, high: 200, wide: 40}", "at neither end of centre"),
        ("vent: {edge: centre, from: hem, high: 200, wide: 40, edges: [hem, x]}", "two edges 'hem'"),
        ("vent: {edge: centre, from: hem, high: 200, wide: 40, fold as: knee}", "already has a line 'knee'"),
    ],
)
def test_what_cannot_be_grown_on_is_a_sentence_with_its_line(verb: str, words: str) -> None:
    made = shaped(verb)
    assert words in " ".join(made.errors)
    assert made.errors[0].startswith("draft.yaml:")


def test_a_dart_in_the_way_is_told() -> None:
    more = "darts: {d: {on: top, from: centre, at: 80, wide: 20, long: 90, press: to centre}}"
    assert "has d on it" in " ".join(shaped("extend: {edge: top, by: 10}", more=more).errors)
    block, new = both(shaped("extend: {edge: centre, by: 10, ends: mirrored}", more=more))
    assert new.darts == block.darts
    assert "where it is to be mirrored" in " ".join(
        shaped("extend: {edge: centre, by: 75, ends: mirrored}", more=more).errors
    )


# ---------------------------------------------------------------- vent


@settings(max_examples=15, deadline=None)
@given(st.floats(40, 400), st.floats(15, 70), st.floats(0, 30))
def test_a_vent_divides_its_edge_and_folds_back_onto_the_piece(
    high: float, wide: float, slant: float
) -> None:
    verb = f"vent: {{edge: centre, from: hem, high: {high:.4f}, wide: {wide:.4f}, slant: {slant:.4f}}}"
    block, new = both(shaped(verb))
    names = [e.name for e in new.edges]
    assert names == ["top", "side", "hem", "vent_edge", "vent_top", "centre"]
    was, now = lengths(block), lengths(new)
    assert now["centre"] == pytest.approx(was["centre"] - high, abs=1e-3)
    assert now["vent_top"] == pytest.approx(abs(complex(wide, slant)), abs=0.01)
    assert now["vent_edge"] == pytest.approx(high - slant, abs=4)  # the hem is bowed
    assert now["hem"] == pytest.approx(was["hem"] + wide, abs=0.5)
    assert (now["top"], now["side"]) == (was["top"], was["side"])
    fold = next(f for f in new.lines_across if f.name == "vent_fold")
    assert fold.path.length == pytest.approx(high, abs=1e-3)
    over = Placement.mirror(fold.path.start, fold.path.end - fold.path.start)
    ring = [over.apply(z) for z in edge(new, "vent_edge").path.flatten(0.05)]
    flap = string([*ring])
    assert flap.distance(polygon(block.outline)) < 0.05
    assert polygon(block.outline).buffer(0.1).covers(flap)
    assert spot(new, "hem", "hem_notch") == pytest.approx(spot(block, "hem", "hem_notch"), abs=1e-3)


def test_marks_beside_a_vent_stand_on_its_edge_and_those_above_stay() -> None:
    block, new = both(shaped("vent: {edge: side, from: hem, high: 150, wide: 40, edges: [cap, flap]}"))
    assert [m.name for m in edge(new, "side").marks] == ["high"]
    assert [m.name for m in edge(new, "flap").marks] == ["low"]
    assert spot(new, "side", "high") == pytest.approx(spot(block, "side", "high"))
    assert abs(spot(new, "flap", "low") - spot(block, "side", "low")) == pytest.approx(40, abs=1e-3)


def test_a_vent_needs_a_seam() -> None:
    how = {"whose": "half: right", "more": "fold: centre"}
    made = shaped("vent: {edge: centre, from: hem, high: 150, wide: 40}", **how)  # type: ignore[arg-type]
    assert "lies on the fold" in " ".join(made.errors)
