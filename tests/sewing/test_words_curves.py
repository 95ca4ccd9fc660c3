"""Curves, hem surplus, gathering rows and names, by cases that can be worked out on paper."""

from __future__ import annotations

import cmath
import math
from dataclasses import replace

import numpy as np
import pytest
from helpers.drafts import middling
from helpers.step_words import by_id, shop, style_words
from hypothesis import given
from hypothesis import strategies as st

from booklet.language import tongue_for
from booklet.model import Copy, CutRule, Edge, Half, Part, Piece, Run
from booklet.paths import Path, Placement
from booklet.problems import Where
from booklet.sewing.operations.base import Context
from booklet.sewing.operations.curves import bend_of, crossing_turns, hem_surplus
from booklet.sewing.operations.gather import row_depths
from booklet.sewing.operations.names import Name, common, piece_words
from booklet.sewing.words import write_steps

HERE = Where("draft.yaml", 1)


def copy_of(paths: list[Path], sign: int = 1, key: str = "panel") -> Copy:
    """A ply whose ring is made of these paths, e0, e1, ..."""
    edges = tuple(Edge(f"e{n}", p, 10.0) for n, p in enumerate(paths))
    piece = Piece(key, 1, "Panel", "whole", edges, HERE)
    rule = CutRule("main", 1, "single", "up", "whole")
    halves = tuple(Half(e, e.name, "whole") for e in edges)
    return Copy(key, piece, "main", "whole", "up", halves, sign, Placement.IDENTITY, rule)


def context_of(*copies: Copy) -> Context:
    drafted = middling("skirt", ("length", "knee"))
    step = drafted.seams.steps[0]
    return Context(step, (), (), (), (step,), {c.id: c for c in copies}, (), drafted.table, None, {})  # type: ignore[arg-type]


def whole_run(copy: Copy, edge: str = "e0") -> Run:
    size = copy.by_name[edge].edge.length
    return Run(f"panel.{edge}", (Part(copy.id, edge, 0.0, size),))


def arc(radius: float, degrees: float) -> Path:
    """An arc from straight up round to the right, clockwise as seen: the outline of something convex."""
    angles = np.radians(np.linspace(-90, -90 + degrees, 181))
    return Path.polyline([complex(radius * math.cos(a), radius * math.sin(a)) for a in angles])


@pytest.mark.parametrize("radius", [60.0, 200.0, 700.0])
def test_surplus_of_an_arc_is_twice_depth_times_angle(radius: float) -> None:
    """Length of an arc at radius R + h less that at R - h: 2 h times its angle, whatever R (arithmetic)."""
    copy = copy_of([arc(radius, 90)])
    outside, inside = ((radius + s * 20) * math.pi / 2 for s in (1, -1))
    assert hem_surplus(context_of(copy), whole_run(copy), 20.0) == pytest.approx(outside - inside, rel=0.02)


def test_surplus_turns_over_with_the_ply_but_does_not_change() -> None:
    """The other ply of a pair is mirrored: its ring runs the other way round and its surplus is the same."""
    path = arc(300, 60)
    mirrored = path.placed(Placement.mirror(0j, 1j))
    one, other = copy_of([path]), copy_of([mirrored], sign=-1)
    assert hem_surplus(context_of(one), whole_run(one), 25.0) == pytest.approx(
        hem_surplus(context_of(other), whole_run(other), 25.0)
    )


def test_an_edge_that_curves_inwards_has_less_cloth_outside() -> None:
    copy = copy_of([arc(300, 60).reversed()])
    assert hem_surplus(context_of(copy), whole_run(copy), 25.0) < -20


HEMMED = [("top", (("neck", "wide"), ("sleeve_end", "elastic"))), ("skirt", (("length", "knee"),))]


@pytest.mark.parametrize(("style", "options"), HEMMED)
def test_surplus_of_the_styles_agrees_with_offset_curves(style: str, options: tuple) -> None:
    """The hem's own curve moved out and in by its depth and measured, point by point."""
    drafted = middling(style, *options)
    seam = next(s for s in drafted.seams.seams if s.step == "hem")
    deep, total = seam.allow_a, 0.0
    for part in seam.a.parts:
        copy = drafted.by_id[part.copy]
        path = copy.by_name[part.edge].edge.path
        at = np.linspace(0, path.length, 600)
        points = np.array([path.point(s) for s in at])
        normals = np.array([path.normal(s) for s in at]) * copy.sign  # to the left: outside
        lengths = [np.abs(np.diff(points + normals * side * deep)).sum() for side in (1, -1)]
        total += lengths[0] - lengths[1]
    printed = by_id(style_words(style, *options))["hem"].facts["surplus"]
    assert printed == pytest.approx(total, abs=0.3)


def test_bends_are_told_from_the_outline() -> None:
    out, inwards = copy_of([arc(150, 90)]), copy_of([arc(150, 90).reversed()])
    assert bend_of(context_of(out), whole_run(out)).notches
    assert not bend_of(context_of(out), whole_run(out)).clips
    assert bend_of(context_of(inwards), whole_run(inwards)).clips
    straight = copy_of([Path.line(0j, 500 + 0j)])
    assert not bend_of(context_of(straight), whole_run(straight)).curved
    gentle = copy_of([arc(1500, 20)])
    assert not bend_of(context_of(gentle), whole_run(gentle)).curved


@pytest.mark.parametrize("turn", [0.0, 20.0, 55.0])
def test_a_seam_across_a_seam_turns_by_what_the_corners_lack(turn: float) -> None:
    """Two oblongs side by side have square corners, so that their foot is straight; one cut slanting makes a turn."""
    slant = 100 * cmath.exp(1j * math.radians(90 - turn))
    first = copy_of([Path.polyline([100 + 100j, 100j]), Path.polyline([100j, 0j]),
                     Path.polyline([0j, 100 + 0j]), Path.polyline([100 + 0j, 100 + 100j])], key="first")  # fmt: skip
    foot = Path.polyline([200 + 0j + slant, 0j + slant])
    second = copy_of([foot, Path.polyline([foot.end, 0j]), Path.polyline([0j, 200 + 0j]),
                      Path.polyline([200 + 0j, foot.start])], key="second")  # fmt: skip
    run = Run("chain", (Part("second", "e0", 0.0, 200.0), Part("first", "e0", 0.0, 100.0)))
    assert crossing_turns(context_of(first, second), run) == pytest.approx((turn,), abs=0.01)


class TestGatheringRows:
    @given(st.floats(4.0, 30.0), st.integers(1, 4))
    def test_rows_are_in_order_and_on_the_cloth(self, allow: float, rows: int) -> None:
        depths, outside = row_depths(allow, rows)
        assert list(depths) == sorted(depths) and depths[0] >= 1.0
        assert outside == (depths[-1] > allow)
        if not outside:
            assert depths[-1] == pytest.approx(allow - 2.0) and depths[0] >= 3.0

    def test_the_usual_allowances(self) -> None:
        assert row_depths(10.0, 2) == ((4.0, 8.0), False)
        assert row_depths(15.0, 2) == ((9.0, 13.0), False)
        assert row_depths(6.0, 2) == ((3.0, 9.0), True)


class TestNames:
    def test_plurals(self) -> None:
        assert [tongue_for("en").grammar.plural(w) for w in ("facing", "patch", "dart box", "body", "bay", "side")] == [
            "facings", "patches", "dart boxes", "bodies", "bays", "sides",
        ]  # fmt: skip

    def test_titles_inside_a_sentence(self) -> None:
        assert piece_words("Left front (under)") == "left front"
        assert piece_words("Cuff") == "cuff"

    def test_pieces_share_the_words_in_which_they_end(self) -> None:
        front, back = Name("front neck facing", (3,)), Name("back neck facing", (4,))
        assert common(tongue_for("en"), [front, back]) == Name("neck facing", (3, 4), 2)
        assert common(tongue_for("en"), [Name("front", (1,)), Name("back", (2,))]) is None


def test_renamed_pieces_change_only_their_names() -> None:
    """Words come from titles, never from the keys of pieces."""
    drafted = middling("skirt", ("length", "knee"))
    copies = tuple(replace(c, piece=replace(c.piece, title=f"Zib{c.piece.number}")) for c in drafted.copies)
    words = write_steps(drafted.seams.steps, drafted.seams, copies, drafted.table, shop(), "cm")
    said = " ".join(p for w in words for p in (*w.paragraphs, w.check))
    for title in ("left front", "right front", "facing (4)", "band", "long tie"):
        assert title not in said.replace("\u00a0", " "), title
    assert "zib2" in said and "zib7" in said
