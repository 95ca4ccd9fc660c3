"""Bodies whose left and right differ: each side as its own measures draft it, the whole sewn together without a fault."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.copies import turned_over
from booklet.drafting.meeting import APART
from booklet.model import Piece
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Fault
from booklet.reading.read import Body, Sided, StyleFiles, read_body, read_style
from booklet.reading.shop import read_shop
from booklet.seams.runs import sewn_length
from booklet.sewing.words import write_steps
from booklet.units import show

ROOT = Path(__file__).resolve().parents[2]
STYLES = ("top", "skirt", "apron")


@cache
def style_of(name: str) -> StyleFiles:
    return read_style(ROOT / "styles" / name)


def body_of(**sided: tuple[float, float]) -> Body:
    body = read_body(ROOT / "demo/bodies/marit.yaml")
    where = next(iter(body.lines.values()))
    measures = {**body.measures, **{n: Sided(left, right) for n, (left, right) in sided.items()}}
    return replace(body, measures=measures, lines={n: body.lines.get(n, where) for n in measures})


def plain_body(side: str, **sided: tuple[float, float]) -> Body:
    body = read_body(ROOT / "demo/bodies/marit.yaml")
    where = next(iter(body.lines.values()))
    chosen = {n: pair[0 if side == "left" else 1] for n, pair in sided.items()}
    measures = {**body.measures, **chosen}
    return replace(body, measures=measures, lines={n: body.lines.get(n, where) for n in measures})


def prepared(style: str, body: Body, **options: str) -> Prepared:
    files = style_of(style)
    collector = Collector()
    made = prepare(files, body, options, "cm", read_shop(files.folder), collector)
    assert not collector.errors, [p.sentence() for p in collector.errors]
    return made


def lengths(piece: Piece) -> dict[str, float]:
    return {e.name: e.length for e in piece.edges}


ARM = {"arm_length": (590.0, 575.0), "upper_arm_girth": (295.0, 312.0)}


def test_two_like_values_are_one_draft() -> None:
    same = {"arm_length": (590.0, 590.0), "upper_arm_girth": (295.0, 295.0)}
    both, one = prepared("top", body_of(**same)), prepared("top", plain_body("left", **same))
    assert list(both.draft.pieces) == list(one.draft.pieces)
    for key, piece in both.draft.pieces.items():
        assert lengths(piece) == pytest.approx(lengths(one.draft.pieces[key]), abs=1e-6)
    assert [c.id for c in both.copies] == [c.id for c in one.copies]


def test_a_pair_becomes_a_left_and_a_right_piece() -> None:
    made = prepared("top", body_of(**ARM))
    sleeves = {p.key: p for p in made.draft.to_cut() if p.name == "sleeve"}
    assert list(sleeves) == ["sleeve_right", "sleeve_left"]
    for side in ("left", "right"):
        own = prepared("top", plain_body(side, **ARM)).draft.pieces["sleeve"]
        piece = sleeves[f"sleeve_{side}"]
        assert piece.drawn_for == side and piece.heading == f"Sleeve, {side}"
        assert lengths(piece) == pytest.approx(lengths(own), abs=1e-6)
        drawn = own if side == own.drawn_for else turned_over(own)
        assert [e.name for e in piece.edges] == [e.name for e in drawn.edges]
        for mine, theirs in zip(piece.edges, drawn.edges, strict=True):
            assert abs(mine.path.start - theirs.path.start) < 1e-6
            assert [m.at for m in mine.marks] == pytest.approx([m.at for m in theirs.marks], abs=1e-6)
        (rule,) = piece.cuts
        assert (rule.how, rule.side, rule.count, rule.face) == ("single", side, 1, "up")
    assert {c.id for c in made.copies if c.piece.name == "sleeve"} == {"sleeve.left", "sleeve.right"}


@pytest.mark.parametrize("sleeve_end", ["elastic", "cuff"])
def test_what_differs_is_told_for_each_side(sleeve_end: str) -> None:
    made = prepared("top", body_of(**ARM), sleeve_end=sleeve_end)
    told = {f.title: f for f in made.finished}
    for side in ("left", "right"):
        own = prepared("top", plain_body(side, **ARM), sleeve_end=sleeve_end)
        name = next(f for f in own.finished if f.name == "upper_arm")
        assert told[f"{name.title}, {side}"].garment_mm == pytest.approx(name.garment_mm, abs=1e-6)
        assert told[f"{name.title}, {side}"].body_mm == name.body_mm
    both = {m.side: m.mm for m in made.measures if m.name == "arm_length"}
    assert both == {"left": 590.0, "right": 575.0}


def test_a_half_piece_is_opened_out_with_two_unlike_halves() -> None:
    hips = {"hip_depth": (200.0, 212.0)}
    made = prepared("skirt", body_of(**hips))
    back = made.draft.pieces["back"]
    assert back.fold is None and back.drawn_for == "whole"
    assert [(r.how, r.side) for r in back.cuts] == [("single", "whole")]
    for side in ("left", "right"):
        own = prepared("skirt", plain_body(side, **hips)).draft.pieces["back"]
        edge = back.edge(f"side.{side}")
        theirs = own.edge("side")
        assert edge is not None and theirs is not None
        assert edge.length == pytest.approx(theirs.length, abs=1e-6)
        assert [m.name for m in edge.marks if m.name == "hip_notch"] == ["hip_notch"]
        left_or_right = {d.side for d in back.darts}
        assert left_or_right == {"left", "right"}
        front = made.draft.pieces[f"{side}_front"]
        plain = prepared("skirt", plain_body(side, **hips)).draft.pieces[f"{side}_front"]
        assert lengths(front) == pytest.approx(lengths(plain), abs=1e-6)


SIDED = {
    "top": {"arm_length": 590.0, "upper_arm_girth": 295.0, "across_shoulder": 360.0, "scye_depth": 190.0},
    "skirt": {"hip_depth": 203.0, "knee_height": 470.0, "hip_girth": 990.0, "waist_girth": 750.0},
    "apron": {"knee_height": 470.0, "bust_girth": 920.0, "hip_girth": 990.0},
}


@pytest.mark.parametrize("style", STYLES)
@settings(max_examples=12, deadline=None)
@given(data=st.data())
def test_unlike_sides_sew_together(style: str, data: st.DataObject) -> None:
    """Any few measures up to 3 % apart: no error, each seam as long as each side's own, and left for right mirrors it."""
    names = data.draw(st.lists(st.sampled_from(sorted(SIDED[style])), min_size=1, unique=True))
    by = st.floats(-0.015, 0.015)
    sided = {n: (SIDED[style][n] * (1 + data.draw(by)), SIDED[style][n] * (1 + data.draw(by))) for n in names}
    made = prepared(style, body_of(**sided))
    swapped = prepared(style, body_of(**{n: (right, left) for n, (left, right) in sided.items()}))
    size = {s.id: s for s in swapped.seams.seams}
    other = {"left": "right", "right": "left"}
    copies = {c.id: c for c in made.copies}
    for seam in made.seams.seams:
        assert seam.a_mm == pytest.approx(sewn_length(seam.a, copies), abs=1e-6)
        if seam.side != "whole" and style != "skirt":  # the wrap skirt's two fronts are not alike
            twin = size[seam.id.replace(f".{seam.side}", f".{other[seam.side]}")]
            assert seam.a_mm == pytest.approx(twin.a_mm, abs=0.02)
    sides = {n: m for n in ("left", "right") for m in [prepared(style, plain_body(n, **sided))]}
    for left, right, whole in zip(
        sides["left"].finished, sides["right"].finished, made.finished, strict=False
    ):
        if left.name == whole.name and ", " not in whole.title and style != "skirt":
            mean = (left.garment_mm + right.garment_mm) / 2
            assert whole.garment_mm == pytest.approx(mean, abs=0.3)


def test_a_step_tells_both_sides_lengths() -> None:
    made = prepared("top", body_of(**ARM))
    shop = read_shop(style_of("top").folder)
    words = write_steps(made.seams.steps, made.seams, made.copies, made.table, shop, "cm")
    (casing,) = [w for w in words if w.verb == "casing"]
    told = " ".join(casing.paragraphs)
    for side, girth in (("right", ARM["upper_arm_girth"][1]), ("left", ARM["upper_arm_girth"][0])):
        part = told.split(f"On the {side}.** Cut elastic")[1].split("**On the")[0]
        assert show(girth, "cm").replace("\u00a0", " ") in part.replace("\u00a0", " ")
    like = [w for w in words if "On the right." in " ".join(w.paragraphs)]
    assert [w.verb for w in like] == ["casing"]  # heads and seams are alike, so said once


def test_pieces_that_share_a_number_are_named_by_their_side() -> None:
    """Two sleeves of unlike drawing: 'the other the same way' would leave open which goes where."""
    made = prepared("top", body_of(**ARM))
    shop = read_shop(style_of("top").folder)
    words = write_steps(made.seams.steps, made.seams, made.copies, made.table, shop, "cm")
    for verb in ("gather", "join"):
        said = [
            " ".join(w.paragraphs)
            for w in words
            if w.verb == verb and "sleeve\u00a0(5)" in " ".join(w.paragraphs)
        ]
        assert (
            all("right sleeve\u00a0(5)" in s and "Do the left sleeve the same way" in s for s in said)
            and said
        )
        assert not any("the other sleeve" in s for s in said)
    (tried,) = [w for w in words if w.verb == "try on"]
    assert "each side by itself" in tried.paragraphs[1] and "left and right alike" not in tried.paragraphs[1]


def test_halves_too_far_apart_are_told_with_by_how_much() -> None:
    far = 300.0 + APART
    with pytest.raises(Fault) as told:
        files = style_of("skirt")
        prepare(files, body_of(knee_height=(far + 100, far)), {}, "cm", read_shop(files.folder), Collector())
    assert "do not meet" in str(told.value.problems[0].sentence())


@pytest.mark.parametrize("style", STYLES)
def test_turned_over_twice_is_the_same_piece(style: str) -> None:
    for piece in prepared(style, body_of()).draft.to_cut():
        again = turned_over(turned_over(piece)) if piece.drawn_for != "whole" else piece
        assert lengths(again) == pytest.approx(lengths(piece), abs=1e-9)
        assert again.outline.start == pytest.approx(piece.outline.start, abs=1e-9)
