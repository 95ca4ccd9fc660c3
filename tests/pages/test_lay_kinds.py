"""Lay plans of every kind of lay: what lies where on paper, and what is named and told."""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from pathlib import Path as FilePath

import pytest
import shapely
from helpers.all_styles import CASES, checked, files, job
from helpers.changed import changed
from helpers.steps import demo_body

from booklet.cloth.cloths import cloths_to_lay
from booklet.cloth.engine import KINDS, lay_on
from booklet.cloth.one_way import one_way_lays, tops_to_one_end
from booklet.cloth.pieces import LayKind
from booklet.cloth.plan_of import plan_of
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, Item, PathItem, Text
from booklet.drawing.judge import judge
from booklet.job import make_job
from booklet.model import Job, LayPlan, Saving
from booklet.pages import figures
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.copy_words import copy_line, placing_line
from booklet.pages.ground import polygon_of
from booklet.pages.lay_ground import Sheet, sections_of
from booklet.pages.lay_marks import face_down_lines
from booklet.pages.lay_notes import bound_words, lay_notes, lay_title, saving_words
from booklet.pages.lay_pieces import on_cloth
from booklet.pages.lays import SHOWN, lay_leaves, shown_lays
from booklet.pages.words import words_for
from booklet.paths import Path, Placement
from booklet.reading.shop import read_shop

WORDS = words_for("en")
SHOP = read_shop(None)
OPTIONS = next(options for style, options in CASES if style == "blouse")


@cache
def laid(kind: LayKind, width: float = 1500.0) -> Job:
    """The blouse with the one lay of its cloth."""
    made = job("blouse", OPTIONS, "cm")
    prepared = checked("blouse", OPTIONS, "cm").prepared
    cloth = next(
        c for c in cloths_to_lay(files("blouse").sources["style"], prepared.copies, prepared.cuts) if c.most
    )
    plan = plan_of(lay_on(cloth.pieces, kind, cloth.ground(width, SHOP)), cloth, width, SHOP, "cm")
    need = replace(made.size.cloths[0], lays=(replace(plan, recommended=True),), savings=())
    return replace(made, sizes=(replace(made.size, cloths=(need,)),))


def plan(made: Job) -> LayPlan:
    return made.size.cloths[0].lays[0]


def items(made: Job) -> list[Item]:
    return [f.item for leaf in lay_leaves(made, WORDS) for f in flat_items(leaf.items)]


def words_on(made: Job) -> list[str]:
    return [i.text.replace("\u00a0", " ") for i in items(made) if isinstance(i, Text)]


def lines(made: Job, role: str) -> list[tuple[complex, complex]]:
    found = [i for i in items(made) if isinstance(i, PathItem) and i.role == role]
    return [(p.start, p.end) for i in found for p in i.subpaths]


@pytest.mark.parametrize("kind", KINDS)
def test_pieces_lie_on_the_cloth_as_it_is_drawn(kind: LayKind) -> None:
    shown = plan(laid(kind))
    sheet = Sheet(shown, 14, 30.0, 5.0)
    cloths = [shapely.box(*box).buffer(1e-6) for box in sheet.cloths()]
    for placing in shown.placings:
        outline = polygon_of(sheet.view.path(on_cloth(placing, shown)))
        assert cloths[min(placing.section, len(cloths) - 1)].covers(outline)


@pytest.mark.parametrize(
    ("kind", "folds", "named"),
    [("open", 0, 0), ("fold", 1, 1), ("two_folds", 2, 2), ("part_fold", 1, 1), ("cross_fold", 1, 1)],
)
def test_every_fold_is_drawn_and_named(kind: LayKind, folds: int, named: int) -> None:
    made = laid(kind)
    on_fold = sum(p.on_fold for p in plan(made).placings)
    assert len(lines(made, "fold")) == folds + on_fold
    assert words_on(made).count("fold") == named


def test_the_meeting_line_of_two_folds_lies_between_them_and_the_folding_is_told_in_figures() -> None:
    made = laid("two_folds")
    ((start, end),) = lines(made, "meeting")
    levels = sorted({round(a.imag, 6) for a, b in lines(made, "fold") if abs(b - a) > abs(end - start)})
    assert levels[0] < start.imag == end.imag < levels[-1]
    lay = plan(made)
    section = sections_of(lay)[0]
    assert section.meeting is not None
    lap = (lay.width_mm - lay.usable_mm) / 2
    near, far = section.meeting + lap, section.high - section.meeting + lap
    # Under layer and both flaps are the whole cloth.
    assert near + far + section.high == pytest.approx(lay.width_mm)
    text = " ".join(words_on(made))
    assert f"Fold in {near:.0f} mm at one edge" in text and f"and {far:.0f} mm at the other" in text


def test_a_cloth_folded_in_part_shows_where_it_is_opened() -> None:
    made = laid("part_fold")
    sheet = Sheet(plan(made), 14, 30.0, 5.0)
    folded, flat = sheet.cloths()
    assert folded[0] == flat[2] == sheet.boundary
    assert flat[3] - flat[1] == pytest.approx(2 * (folded[3] - folded[1]))
    text = " ".join(words_on(made))
    assert "Lay out and cut the folded part first" in text and "In the folded part" in text


def test_what_is_cut_later_has_a_broken_outline_and_is_named() -> None:
    made = laid("part_fold")
    lay = plan(made)
    later = [p for p in lay.placings if sections_of(lay)[p.section].layers == 1]
    assert later and len(later) < len(lay.placings)
    broken = [
        i
        for i in items(made)
        if isinstance(i, PathItem) and i.role == "cut" and i.stroke and i.stroke.dash_mm
    ]
    assert len(broken) == len(later)
    numbers = sorted({made.size.cut_piece(p.piece).piece.number for p in later})
    assert ", ".join(str(n) for n in numbers) + ", in broken outline" in " ".join(words_on(made))
    assert "broken outline" not in " ".join(words_on(laid("fold")))


def test_a_cloth_folded_across_lies_half_as_long_as_it_is_bought() -> None:
    made = laid("cross_fold")
    lay = plan(made)
    sheet = Sheet(lay, 14, 30.0, 5.0)
    assert sheet.buy * 14 == pytest.approx(lay.buy_mm / 2)
    assert any(w.startswith("buy ") and w.endswith("folded in two") for w in words_on(made))


def test_a_piece_of_one_layer_says_which() -> None:
    made = job("skirt", next(options for style, options in CASES if style == "skirt"), "cm")
    folded = [lay for lay in made.size.cloths[0].lays if lay.kind == "fold"]
    spare = [p for lay in folded for p in lay.placings if p.spare]
    assert spare
    text = " ".join(words_on(made))
    assert "lower layer only" in text and "save the pieces marked for one" in text


def test_stripes_run_through_the_match_points_and_a_one_way_cloth_has_its_arrow(tmp_path: FilePath) -> None:
    style = changed(
        tmp_path,
        "top",
        {
            "style": [
                (
                    "    shrinkage: 4 %\n",
                    "    shrinkage: 4 %\n    repeat: {along: 8 cm, across: 6 cm}\n    one way: true\n",
                )
            ],
            "draft": [
                (
                    f"    number: {n}\n    title: {name}\n",
                    f"    number: {n}\n    title: {name}\n    stripe at: side.start\n",
                )
                for n, name in ((1, "Front"), (2, "Back"))
            ],
        },
    )
    made = make_job(style, demo_body(), units="cm", evaluations=0)
    lay = plan(made)
    assert lay.repeat == (80.0, 60.0)
    text = words_on(made)
    assert "all tops to this end" in text
    assert any("Faint lines are the repeat" in w for w in text)
    stripes = lines(made, "repeat")
    assert stripes
    crosses = lines(made, "match")
    assert crosses
    level = [round(a.imag, 3) for a, b in stripes if abs(a.imag - b.imag) < 1e-6]
    upright = [round(a.real, 3) for a, b in stripes if abs(a.real - b.real) < 1e-6]
    for a, b in crosses:
        middle = (a + b) / 2
        assert min(abs(middle.imag - y) for y in level) < 0.02
        assert min(abs(middle.real - x) for x in upright) < 0.02


def test_side_seams_of_a_striped_top_match_at_their_notch(tmp_path: FilePath) -> None:
    """Front and back have the same point of the side seam on a stripe, so that the stripes meet there."""
    style = changed(
        tmp_path,
        "top",
        {
            "style": [("    shrinkage: 4 %\n", "    shrinkage: 4 %\n    repeat: {along: 8 cm}\n")],
            "draft": [
                (
                    f"    number: {n}\n    title: {name}\n",
                    f"    number: {n}\n    title: {name}\n    stripe at: side.start\n",
                )
                for n, name in ((1, "Front"), (2, "Back"))
            ],
        },
    )
    made = make_job(style, demo_body(), units="cm", evaluations=0)
    for lay in (plan for need in made.size.cloths[:1] for plan in need.lays):
        for placing in lay.placings:
            cut = made.size.cut_piece(placing.piece)
            if cut.piece.match is None:
                continue
            along = placing.placing.apply(cut.piece.match).real
            assert abs(along / 80 - round(along / 80)) * 80 < 0.1
        assert lay.buy_mm >= lay.need_mm - 1e-6


def test_how_good_a_lay_is() -> None:
    made = laid("open")
    lay = plan(made)
    said = [
        bound_words(made, WORDS, replace(lay, proved=proved, length_mm=length, bound_mm=1000.0))
        for proved, length in ((True, 1000.0), (False, 1042.0), (False, 1300.0))
    ]
    assert said[0] == "No shorter lay of this kind exists."
    assert "at most 5" in said[1].replace("\u00a0", " ")
    assert said[2] == "It is the shortest that was found."


def test_no_more_than_three_lays_of_a_width_and_the_recommended_first() -> None:
    made = job("blouse", OPTIONS, "cm")
    for need in made.size.cloths:
        shown = [lay for lay in shown_lays(need) if lay is not need.one_way_lay]
        widths = [lay.width_mm for lay in shown]
        assert all(widths.count(w) <= SHOWN for w in widths)
        assert shown[0].recommended and shown[0].width_mm == need.lays[0].width_mm


def test_the_buying_list_says_how_narrow_and_how_to_save() -> None:
    made = laid("fold")
    need = replace(
        made.size.cloths[0],
        least_mm=682.0,
        savings=(
            Saving("kind", "open", 1500.0, 1300.0, 100.0),
            Saving("turn", "fold", 1500.0, 1200.0, 200.0),
        ),
    )
    told = replace(made, sizes=(replace(made.size, cloths=(need,)),))
    text = " ".join(
        f.item.text
        for leaf in cloth_leaves(told, WORDS)
        for f in flat_items(leaf.items)
        if isinstance(f.item, Text)
    ).replace("\u00a0", " ")
    assert "Nothing narrower than 69 cm will do" in text
    assert "which is 0.10 m less than folded once" in text
    assert "If pieces may lie either way up the cloth" in text


def test_fusible_cloth_lies_by_its_glue() -> None:
    made = job("blouse", OPTIONS, "cm")
    fused = next(c for c in made.size.cloths if c.fusible)
    for lay in fused.lays:
        title = lay_title(made, WORDS, lay)
        assert "glue side" in title and "right side" not in title
        assert ("glue side up" in title) == (lay.kind == "open")
    main = made.size.cloths[0]
    assert {lay_title(made, WORDS, lay) for lay in main.lays} >= {
        "folded once, right sides together",
        "laid open, right side up",
    }


@pytest.mark.parametrize(("face", "words"), [("up", "glue side down"), ("down", "glue side up")])
def test_a_ply_cut_one_face_up_says_how_the_glue_lies(face: str, words: str) -> None:
    made = job("skirt", next(options for style, options in CASES if style == "skirt"), "cm")
    fused = next(c for c in made.size.cloths if c.fusible)
    copies = tuple(
        replace(c, rule=replace(c.rule, face=face)) if c.cloth == fused.key else c for c in made.size.copies
    )
    turned = replace(made, sizes=(replace(made.size, copies=copies),))
    lay = next(lay for lay in fused.lays if lay.kind == "open")
    assert lay_title(turned, WORDS, lay) == f"laid open, {words}"
    assert f"Pieces marked {words} must never be turned over." in lay_notes(turned, WORDS, lay)


def test_a_nap_is_spoken_of_by_how_the_tops_lie() -> None:
    made = laid("fold")
    lay = plan(made)
    turned = Placement.rotation(math.pi, 0j)
    first = lay.placings[0]
    alike = replace(lay, placings=tuple(replace(p, grain=first.grain) for p in lay.placings))
    other = replace(first, grain=(turned.apply(first.grain[0]), turned.apply(first.grain[1])))
    apart = replace(alike, placings=(*alike.placings[1:], other))
    assert tops_to_one_end(alike) and not tops_to_one_end(apart)
    assert not tops_to_one_end(replace(alike, kind="cross_fold"))
    ends = ("All tops lie to one end", "Some tops lie to the other end")
    for shown, said in ((alike, ends[0]), (apart, ends[1])):
        notes = " ".join(lay_notes(made, WORDS, shown))
        assert [end in notes for end in ends] == [end == said for end in ends]
    assert not any(end in " ".join(lay_notes(made, WORDS, replace(apart, one_way=True))) for end in ends)


def test_the_buying_list_tells_what_a_nap_would_take() -> None:
    made = job("blouse", OPTIONS, "cm")
    need = made.size.cloths[0]
    best = need.lays[0]
    assert not tops_to_one_end(best) and need.one_way_mm is not None
    assert best.buy_mm <= need.one_way_mm <= 1.5 * best.buy_mm
    napped_lay = need.one_way_lay
    assert napped_lay is not None and napped_lay.buy_mm == need.one_way_mm and napped_lay.one_way
    said = " ".join(saving_words(made, WORDS, need))
    buy = figures.cloth_length(need.one_way_mm, "cm")
    assert f"for a nap or a one-way print: {buy}. A plan of this cloth shows it." in said
    alone = " ".join(saving_words(made, WORDS, replace(need, one_way_lay=None)))
    assert f"for a nap or a one-way print: {buy}." in alone and "A plan of this cloth" not in alone
    napped = replace(need, lays=(replace(best, one_way=True),))
    assert "nap" not in " ".join(saving_words(made, WORDS, napped))
    assert all(c.one_way_mm is None for c in made.size.cloths if c.fusible)


def test_a_lay_whose_tops_lie_alike_takes_no_more_for_a_nap() -> None:
    prepared = checked("blouse", OPTIONS, "cm").prepared
    style = files("blouse").sources["style"]
    cloth = next(c for c in cloths_to_lay(style, prepared.copies, prepared.cuts) if c.most)
    lay = plan(laid("fold"))
    alike = replace(lay, placings=tuple(replace(p, grain=lay.placings[0].grain) for p in lay.placings))
    assert one_way_lays(cloth, alike, SHOP, "cm") == ()
    narrow = replace(lay, width_mm=300.0, placings=lay.placings, kind="cross_fold")
    assert one_way_lays(cloth, narrow, SHOP, "cm") == ()


def test_a_narrow_piece_is_ruled_too() -> None:
    narrow = Path.polyline([0.1, 1.9, 1.9 + 9j, 0.1 + 9j], closed=True)
    lines = [p for f in flat_items((face_down_lines(narrow),)) for p in f.item.subpaths]  # type: ignore[union-attr]
    assert len(lines) == 3 and all(0.1 < p.start.real < 1.9 for p in lines)


@pytest.mark.parametrize(("face", "mirrored", "layer"), [
    ("up", False, "lower"), ("up", True, "upper"), ("down", False, "upper"), ("down", True, "lower"),
])  # fmt: skip
def test_which_of_two_layers_is_kept(face: str, mirrored: bool, layer: str) -> None:
    """Folded right sides together, the lower layer shows its right side and the upper one its wrong side."""
    made = job("skirt", next(options for style, options in CASES if style == "skirt"), "cm")
    lay = next(lay for lay in made.size.cloths[0].lays if lay.kind == "fold")
    spare = next(p for p in lay.placings if p.spare)
    own = made.size.copy_by_id[spare.copies[0]]
    copies = tuple(
        replace(c, rule=replace(c.rule, face=face)) if c.id == own.id else c for c in made.size.copies
    )
    size = replace(made.size, copies=copies)
    put = replace(spare, mirrored=own.placing.mirrored != mirrored)
    assert f"{layer} layer only" in placing_line(put, lay, size, WORDS).words


def test_the_chart_sends_a_piece_of_one_layer_to_the_lay_plan() -> None:
    made = job("skirt", next(options for style, options in CASES if style == "skirt"), "cm")
    folded = next(lay for lay in made.size.cloths[0].lays if lay.kind == "fold")
    spare = next(p for p in folded.placings if p.spare)
    cut = made.size.cut_piece(spare.piece)
    rule = next(r for r in cut.piece.cuts if r.cloth == "main")
    assert copy_line(cut, rule, folded, WORDS).how_to.startswith(
        "through one layer of the folded cloth only; the lay plan says which"
    )
    opened = next(lay for lay in made.size.cloths[0].lays if lay.kind == "open")
    assert "layer" not in copy_line(cut, rule, opened, WORDS).how_to


def test_the_piece_that_binds_is_named() -> None:
    made = laid("open")
    bound = replace(plan(made), binds="back")
    need = replace(made.size.cloths[0], lays=(bound,))
    number = made.size.cut_piece("back").piece.number
    told = replace(made, sizes=(replace(made.size, cloths=(need,)),))
    assert f"Piece {number} decides the length" in " ".join(words_on(told))


@pytest.mark.parametrize(("kind", "language"), [("two_folds", "fr"), ("side_fold", "es")])
def test_the_numbers_of_small_pieces_lie_clear_of_each_other_and_of_the_words_of_a_selvedge(
    kind: LayKind, language: str
) -> None:
    for width in (1100, 1400, 1500):
        made = laid(kind, float(width))
        for leaf in lay_leaves(made, words_for(language)):
            drawing = Drawing(210, 297, tuple(leaf.items))
            assert [f for f in judge(drawing) if f.kind == "words over words"] == [], width
