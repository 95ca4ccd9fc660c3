"""Darts aimed, split and closed: the angles stay, every other edge stays, the end folds into the seam."""

from __future__ import annotations

import math

import pytest
from helpers.darted_block import (
    FREE,
    blocks,
    dart_of,
    edge_of,
    moved,
    notched,
    piece_of,
    shaped,
    shares,
    text_of,
)
from helpers.darts import angle_at, folded
from helpers.drafts import draft_sources, inline_draft
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from booklet.paths import Path
from booklet.reading.shape import Shape
from booklet.reading.shaping_darts import CloseDart, DrawnDart, MoveDart, SplitDart
from booklet.reading.yaml_source import parse_yaml

# ------------------------------------------------------------------ an aimed dart


@given(blocks, st.floats(0, 40))
@settings(max_examples=30, deadline=None)
def test_an_aimed_dart_ends_in_its_point_with_equal_legs_and_folds_into_the_seam(
    block: dict[str, float], short: float
) -> None:
    text = text_of(**block).replace("to: p.bust", f"to: p.bust, short of point: {short}")
    piece = piece_of(inline_draft(text), "block")
    dart, side = dart_of(piece), edge_of(piece, "side")
    bust = complex(block["bust_x"], block["bust_y"])
    assert abs(dart.point - bust) == pytest.approx(short, abs=1e-6)
    assert abs(dart.first - dart.point) == pytest.approx(abs(dart.second - dart.point), abs=1e-6)
    assert abs(dart.second - dart.first) == pytest.approx(block["wide"], abs=1e-6)
    (up,) = side.take_ups
    assert abs(side.path.point(up.start) - dart.first) < 1e-6
    assert abs(side.path.point(up.end) - dart.second) < 1e-6
    assert folded(side.path, up.start, up.end, dart) == []


def test_a_dart_with_a_length_may_be_aimed_too() -> None:
    text = text_of().replace("to: p.bust", "to: p.bust, long: 80")
    dart = dart_of(piece_of(inline_draft(text), "block"))
    whole = abs(dart.first + dart.second - 2 * dart.point) / 2
    assert whole == pytest.approx(80, abs=3)  # from where the edge was first drawn
    axis = dart.point - (dart.first + dart.second) / 2
    assert abs((axis * (complex(95, 265) - dart.point).conjugate()).imag) / abs(axis) < 0.5


def test_a_drawn_dart_in_do_is_the_dart_of_the_list() -> None:
    listed = piece_of(inline_draft(text_of()), "block")
    text = (
        text_of().replace("    darts: {d: {", "    do: [{dart: {name: d, ").replace("foot}}\n", "foot}}]\n")
    )
    done = piece_of(inline_draft(text), "block")
    assert dart_of(done) == dart_of(listed)
    assert [e.path for e in done.edges] == [e.path for e in listed.edges]
    low, kept = edge_of(done, "side").mark("low"), edge_of(listed, "side").mark("low")
    assert low is not None
    assert kept is not None
    # Drawn before, the mark is measured along the new edge; drawn later, it goes along with the redrawn one.
    assert abs(low.at - kept.at) < 1.5


def test_a_point_of_a_piece_turned_over_is_turned_over_with_it() -> None:
    other = text_of() + (
        "  other: {drawn for: right, mirror: true, outline: [p.neckline, p.shoulder, p.armhole, p.side, p.foot, "
        "p.centre], darts: {d: {on: side, from: armhole, at: 70, wide: 45, to: p.bust, press: to foot}}}\n"
    )
    made = inline_draft(other)
    dart = dart_of(piece_of(made, "other"))
    assert abs(dart.point - complex(-95, 265)) < 1e-6
    assert abs(abs(dart.first - dart.second) - 45) < 1e-6


def test_two_darts_on_one_edge_both_fold_into_it() -> None:
    text = text_of().replace(
        "darts: {d:", "darts: {e: {on: foot, from: centre, at: 60, wide: 18, long: 70}, f: {on: foot, from: centre, "
        "at: 125, wide: 24, long: 90}, d:",
    )  # fmt: skip
    piece = piece_of(inline_draft(text), "block")
    foot = edge_of(piece, "foot")
    assert [t.name for t in foot.take_ups] == ["f", "e"]  # the foot runs from the side to the centre
    for up in foot.take_ups:
        dart = dart_of(piece, up.name)
        assert abs(foot.path.point(up.start) - dart.first) < 1e-6
        assert abs(foot.path.point(up.end) - dart.second) < 1e-6
        assert folded(foot.path, up.start, up.end, dart) == []


# ------------------------------------------------------------------ split


@given(blocks, st.sampled_from(FREE), shares, st.floats(0.1, 0.9))
@settings(max_examples=30, deadline=None)
def test_the_angles_of_a_split_dart_add_up(
    block: dict[str, float], edge: str, share: float, part: float
) -> None:
    """TRADE.md 1.13: the sum of angles about the bust point stays the same, 1e-9 (arithmetic)."""
    _, place = moved(edge, share, block)
    made = shaped(
        f"{{split dart: {{dart: d, into: [stays, moves], share: {part:.6f}, to: {place}}}}}", **block
    )
    before, after = piece_of(made, "block"), piece_of(made)
    whole = angle_at(dart_of(before))
    stays, moves = dart_of(after, "stays"), dart_of(after, "moves")
    assert abs(stays.point - moves.point) < 1e-9
    assert angle_at(stays) + angle_at(moves) == pytest.approx(whole, abs=1e-9)
    assert angle_at(moves) == pytest.approx(whole * round(part, 6), abs=1e-9)
    for was, now in zip(before.edges, after.edges, strict=True):
        assert now.sewn_length == pytest.approx(was.sewn_length, abs=1e-6)
    for dart in (stays, moves):
        (up,) = edge_of(after, dart.edge).take_ups
        assert folded(edge_of(after, dart.edge).path, up.start, up.end, dart) == []
    assert notched(after, stays.point) == pytest.approx(notched(before, dart_of(before).point), rel=1e-6)


# ------------------------------------------------------------------ closed


@given(blocks, shares)
@settings(max_examples=25, deadline=None)
def test_a_closed_dart_opens_the_hem_by_its_angle(block: dict[str, float], share: float) -> None:
    """The area of the cloth grows by the triangle that opens: what lies beside the legs stays, 1/2 L^2 sin a is added."""
    _, place = moved("foot", share, block)
    where = place.strip("{}").replace("on: foot", "open: foot")
    straight = shaped(f"{{close dart: {{dart: d, {where}, true: none}}}}", **block)
    before, after = piece_of(straight, "block"), piece_of(straight)
    old = dart_of(before)
    assert after.darts == ()
    foot, was = edge_of(after, "foot"), edge_of(before, "foot")
    leg = abs(was.path.point(was.length * (share)) - old.point)
    opened = 2 * leg * math.sin(angle_at(old) / 2)
    assert foot.length - was.length == pytest.approx(opened, abs=1e-6)
    grown = leg**2 * math.sin(angle_at(old)) / 2
    assert notched(after, 0j) == pytest.approx(notched(before, old.point) + grown, rel=1e-6)
    for now in after.edges:
        if now.name != "foot":
            assert now.length == pytest.approx(edge_of(before, now.name).sewn_length, abs=1e-6)
    smooth = edge_of(piece_of(shaped(f"{{close dart: {{dart: d, {where}}}}}", **block)), "foot")
    assert smooth.length == pytest.approx(foot.length, abs=0.5)


def test_without_a_place_the_edge_opens_in_the_darts_own_line() -> None:
    made = inline_draft(
        text_of().replace(
            "on: side, from: armhole, at: 70.0, wide: 45.0, to: p.bust",
            "on: foot, from: centre, at: 130, wide: 24, long: 120",
        )
        + "  made: {from: block, do: [{close dart: {dart: d, open: shoulder, true: none}}]}\n"
    )
    before, after = piece_of(made, "block"), piece_of(made)
    dart = dart_of(before)
    assert after.darts == ()
    shoulder = edge_of(after, "shoulder")
    way = dart.point - (dart.first + dart.second) / 2
    # The opening begins where the dart's own line meets the shoulder.
    cut = edge_of(before, "shoulder").path.crossings(Path.line(dart.point, dart.point + way * 5))[0][1]
    opened = 2 * abs(cut - dart.point) * math.sin(angle_at(dart) / 2)
    assert shoulder.length == pytest.approx(edge_of(before, "shoulder").length + opened, abs=1e-6)


# ------------------------------------------------------------------ what is refused


@pytest.mark.parametrize(
    ("do", "said"),
    [
        ("{move dart: {dart: e, to: {on: foot, from: centre, at: 80}}}", "no dart 'e'"),
        ("{move dart: {dart: d, to: {on: centre, from: foot, at: 80}}}", "lies on the fold"),
        ("{move dart: {dart: d, to: {on: foot, from: centre, at: 2}}}", "2.0 mm from the end of foot"),
        ("{move dart: {dart: d, to: {on: foot, from: centre, at: 900}}}", "900.0 mm"),
        ("{move dart: {dart: d, to: {on: side, from: armhole, at: HOME}}}", "lies there already"),
        ("{move dart: {dart: d, to: {on: foot, from: centre, at: 80}, short of point: 400}}", "400.0 mm short"),
        ("{split dart: {dart: d, into: [a, a], share: 1/2, to: {on: foot, from: centre, at: 80}}}", "two darts 'a'"),
        ("{split dart: {dart: d, into: [a, b], share: 1, to: {on: foot, from: centre, at: 80}}}", "a share between"),
        ("{close dart: {dart: d, open: side}}", "lies on side itself"),
        ("{close dart: {dart: d, open: foot}}", "does not point at foot"),
        ("{dart: {name: d, on: foot, from: centre, at: 80, wide: 20, long: 50}}", "already has a dart 'd'"),
        ("{dart: {name: e, on: foot, from: centre, at: 80, wide: 20, to: p.side_foot}}", "lean"),
        ("{dart: {name: e, on: side, from: armhole, at: 52, wide: 20, long: 50}}", "overlap"),
    ],
)  # fmt: skip
def test_what_cannot_be_turned_is_told_in_a_sentence(do: str, said: str) -> None:
    home = edge_of(piece_of(inline_draft(text_of()), "block"), "side").take_ups[0].start
    (error,) = shaped(do.replace("HOME", f"{home:.6f}")).errors
    assert said in error
    assert "draft.yaml" in error


def test_a_cut_to_the_point_must_lie_on_the_cloth_and_clear_of_other_darts() -> None:
    extra = "darts: {e: {on: foot, from: centre, at: 80, wide: 20, long: 160}, d:"
    text = text_of(bust_x=60).replace("darts: {d:", extra).replace("at: 70.0", "at: 40")
    made = inline_draft(
        text + "  made: {from: block, do: [{move dart: {dart: d, to: {on: foot, from: centre, at: 130}}}]}\n"
    )
    (error,) = made.errors
    assert "crosses e" in error


@pytest.mark.parametrize(
    ("shape", "spec", "said"),
    [
        (DrawnDart, {"long": 10, "wide": 2, "name": "d"}, "on"),
        (DrawnDart, {"on": "side", "from": "foot", "at": 3, "wide": 2, "name": "d"}, "ends nowhere"),
        (DrawnDart, {"on": "a", "from": "b", "at": 3, "wide": 2, "name": "d", "long": 9, "short of point": 1}, "short of"),
        (MoveDart, {"dart": "d", "to": {"on": "side", "from": "foot"}}, "placed by nothing"),
        (MoveDart, {"dart": "d", "to": {"on": "side", "at": 3}}, "from: and at: together"),
        (SplitDart, {"dart": "d", "into": ["a"], "share": "1/2", "to": {"on": "side", "mark": "m"}}, "into"),
        (CloseDart, {"dart": "d", "open": "hem", "at": 3, "from": "side", "mark": "m"}, "placed by at and mark"),
    ],
)  # fmt: skip
def test_a_dart_that_is_not_wholly_said_is_refused(
    shape: type[Shape], spec: dict[str, object], said: str
) -> None:
    with pytest.raises(ValidationError, match=said):
        shape.model_validate(spec)


# ------------------------------------------------------------------ what the garment measures


@given(blocks, st.floats(245, 420), st.sampled_from(["shoulder", "neckline", "foot"]), shares)
@settings(max_examples=40, deadline=None)
def test_a_level_keeps_its_width_when_a_dart_is_moved(
    block: dict[str, float], height: float, edge: str, share: float
) -> None:
    """The garment is as wide as before wherever its darts lie: the level goes along with the cloth that was turned."""
    _, place = moved(edge, share, block)
    text = text_of(**block).replace("      tip:", f"      height: {{down: {height}}}\n      tip:")
    text = text.replace("    cut: {main: 1}", "    levels: {here: p.height}\n    cut: {main: 1}")
    text += "  made: {from: block, number: 2, title: Made, cut: {main: 1}, allow: {other: 12}, "
    text += f"do: [{{move dart: {{dart: d, to: {place}}}}}]}}\n"
    spec = "".join(f"  {k}: {{level: here, across: [{k}]}}\n" for k in ("block", "made"))
    style = parse_yaml(
        f"style: T-00\nunits: mm\ncloths: {{main: {{title: main}}}}\nfinished:\n{spec}", "style.yaml"
    )
    made = draft_sources(style, parse_yaml(text, "draft.yaml"), parse_yaml("steps: []\n", "sewing.yaml"), {})
    assert made.errors == ()
    before, after = made.finished
    assert made.errors == ()
    assert after.garment_mm == pytest.approx(before.garment_mm, abs=0.3)


def test_a_facing_over_a_moved_dart_is_taken_with_it_folded_out() -> None:
    do = "move dart: {dart: d, to: {on: neckline, from: centre, at: 50}}"
    text = text_of() + (
        f"  made: {{from: block, number: 2, title: Made, cut: {{main: 1}}, allow: {{other: 12}}, do: [{{{do}}}]}}\n"
        "  band: {number: 3, title: Band, facing: {of: made, along: [neckline], wide: 40}, cut: {main: 1}, allow: {other: 6}}\n"
    )
    made = inline_draft(text)
    neckline = edge_of(piece_of(made, "made"), "neckline")
    band = edge_of(piece_of(made, "band"), "neckline")
    assert band.take_ups == ()
    assert band.length == pytest.approx(neckline.sewn_length, abs=0.01)


@given(blocks, st.floats(15, 40), st.floats(65, 100))
@settings(max_examples=20, deadline=None)
def test_a_dart_may_be_asked_for_by_what_it_takes_out_of_the_seam(
    block: dict[str, float], wide: float, at: float
) -> None:
    block = {**block, "wide": wide, "at": at}
    text = text_of(**block)
    piece = piece_of(inline_draft(text.replace("wide: ", "takes: ")), "block")
    whole = abs(complex(block["under"], 230) - complex(block["foot"], 430))
    assert edge_of(piece, "side").sewn_length == pytest.approx(whole - block["wide"], abs=1e-5)
    plain = dart_of(piece_of(inline_draft(text), "block"))
    assert plain.intake == pytest.approx(block["wide"], abs=1e-6)


def test_a_dart_that_would_have_to_be_too_wide_is_told_by_what_it_takes() -> None:
    text = text_of(bust_y=245, wide=60, at=50, foot=270).replace("wide: ", "takes: ")
    (error,) = inline_draft(text).errors
    assert "no width of the dart d takes 60.0 mm out of block.side" in error


def test_an_equation_measures_a_piece_made_from_another_by_its_outline() -> None:
    """A state of a piece stands for its outline while a value is solved for, on the fold or not."""
    text = text_of().replace(
        "construction:",
        "values:\n  deep: {solve: length of ring(made.neckline) = 240, between: [40, 140]}\nconstruction:",
    )
    text = text.replace("nape: {down: 70}", "nape: {down: deep}")
    text += (
        "  made: {from: block, do: [{move dart: {dart: d, to: {on: shoulder, from: neckline, at: 60}}}]}\n"
    )
    piece = piece_of(inline_draft(text))
    assert 2 * edge_of(piece, "neckline").sewn_length == pytest.approx(240, abs=0.01)
