"""What pictures show without their words: where interfacing ends, on which piece allowances lie, which way darts are pressed.

And what stands in a close-up's ring, and which plies of a garment are seen too little to be drawn.
"""

from __future__ import annotations

import pytest
import shapely
from helpers.all_styles import BASE, Options, case_name, checked, drawn, options_of, own_unit
from helpers.changed import drawn as drawn_step
from lessons.steps import step_lesson

from booklet.drawing import look
from booklet.drawing.bounds import Flat, flat_items, text_corners
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.patterns import region
from booklet.drawing.scene import line_shape
from booklet.pictures.canvas import polygon
from booklet.pictures.laid_plies import without_specks


def picture(style: str, step: str) -> Drawing:
    options = dict(BASE)[style]
    found = next(s for s in drawn(style, options, own_unit(style))[0] if s.id == step)
    assert isinstance(found.pictures[0].drawing, Drawing)
    return found.pictures[0].drawing


def items(drawing: Drawing, role: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.role == role]


def said(drawing: Drawing) -> str:
    words = (f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text))
    return " ".join(words).replace("\u00a0", " ")


@pytest.mark.parametrize(
    ("style", "step"), [("aline", "facing-sides"), ("skirt", "long-tie"), ("blouse", "collar")]
)
def test_interfacing_ends_at_the_seam(style: str, step: str) -> None:
    """No dots in the allowances: the row that is sewn runs along their edge."""
    drawing = picture(style, step)
    glued = [i for i in items(drawing, "interfacing") if i.fill == look.GLUE]
    assert glued and all(i.fill != look.INTERFACING for i in items(drawing, "cut"))
    edges = shapely.union_all([region(i.subpaths).boundary for i in glued])
    rows = [p.point(p.length / 2) for i in items(drawing, "seam") for p in i.subpaths if len(p.segments) < 40]
    assert any(edges.distance(shapely.Point(z.real, z.imag)) < 0.1 for z in rows)
    for i in glued:
        cloth = [c for c in items(drawing, "cut") if c.of == i.of]
        assert not i.of or any(polygon(c.subpaths[0]).buffer(0.1).contains(region(i.subpaths)) for c in cloth)


@pytest.mark.parametrize(
    ("style", "step"), [("trousers", "sides"), ("trousers", "inside-legs"), ("top", "side-and-sleeve")]
)
def test_the_small_whole_tells_on_which_piece_the_allowances_lie(style: str, step: str) -> None:
    drawing = picture(style, step)
    small = [i for i in items(drawing, "cut") if i.subpaths[0].bbox[2] < 19.0 and i.of in ("front", "back")]
    assert [i.of for i in small] == ["front", "back"]
    front, back = (polygon(i.subpaths[0]).centroid.x for i in small)
    arrows = [i.ends for i in items(drawing, "action") if len(i.ends) == 1]
    shaft = max((i for i in items(drawing, "action") if i.ends), key=lambda i: i.subpaths[0].length)
    way = shaft.ends[-1].real - shaft.subpaths[0].start.real
    assert arrows and way * (back - front) > 0  # towards the back


def test_the_crotch_is_drawn_as_one_leg_in_the_other() -> None:
    drawing = picture("trousers", "crotch")
    words = said(drawing)
    assert all(words.count(side) == 2 for side in ("right side up", "wrong side up"))
    rows = [p for i in items(drawing, "seam") for p in i.subpaths]
    main = [p for p in rows if p.bbox[2] < 75]
    (left, right) = sorted(main, key=lambda p: p.bbox[0])[:2]
    lowest = max((z for p in (left, right) for z in (p.start, p.end)), key=lambda z: z.imag)
    assert left.bbox[0] < lowest.real < right.bbox[2]  # both come down to the inside leg seam
    assert min(abs(lowest - z) for z in (left.start, left.end)) < 0.5


def test_the_stand_is_marked_where_the_collar_ends() -> None:
    drawing = picture("blouse", "stand")
    assert "end of the collar, 191 mm from the centre" in said(drawing)
    row = line_shape([p for i in items(drawing, "seam") for p in i.subpaths])
    ticks = [p for i in items(drawing, "notch") for p in i.subpaths if 2.4 < p.length < 2.8]
    assert len(ticks) == 2
    assert all(
        row.distance(shapely.Point(p.point(p.length / 2).real, p.point(p.length / 2).imag)) < 0.1
        for p in ticks
    )


@pytest.mark.parametrize(
    ("style", "step"), [("aline", "back-darts"), ("skirt", "back-darts"), ("blouse", "bust-darts")]
)
def test_a_dart_is_shown_pressed_the_way_it_is_folded(style: str, step: str) -> None:
    drawing = picture(style, step)
    assert len(items(drawing, "dart")) >= 2  # the row, and the fold beside it
    shafts = [(i.ends[0], i.ends[-1]) for i in items(drawing, "action") if len(i.ends) == 2]
    pressed = next(i for i in items(drawing, "action") if len(i.ends) == 1)
    way = pressed.ends[0] - pressed.subpaths[0].start
    folded = max(shafts, key=lambda ends: ends[0].real)
    assert ((folded[1] - folded[0]) * way.conjugate()).real > 0


def test_darts_of_two_pieces_are_each_shown_pressed_below_their_piece() -> None:
    drawing = picture("skirt", "front-darts")
    arrows = items(drawing, "action")
    folded = sorted((i for i in arrows if len(i.ends) == 2), key=lambda i: i.ends[0].real)
    pressed = sorted((i for i in arrows if len(i.ends) == 1), key=lambda i: i.ends[0].real)
    assert len(folded) == len(pressed) == 2
    for fold, press in zip(folded, pressed, strict=True):
        way = press.ends[0] - press.subpaths[0].start
        assert ((fold.ends[-1] - fold.ends[0]) * way.conjugate()).real > 0
        assert way.imag < abs(way.real) and press.ends[0].imag > fold.ends[0].imag


def test_arrows_to_the_two_sides_of_a_slit_come_down_beside_each_other() -> None:
    paths = [i.subpaths[0] for i in items(picture("blouse", "set-cuffs"), "action") if len(i.ends) == 2]
    first, last = paths[0], paths[-1]
    assert abs(first.end - last.end) > 4.0
    assert min(p.tangent(p.length - 0.1).imag for p in (first, last)) > 0.9


def close_up_words(drawing: Drawing) -> list[tuple[Text, float]]:
    """Measures in the rings of close-ups, each with how far it reaches beyond the ring (negative: within)."""
    out = []
    rings = [
        i.subpaths[0] for i in items(drawing, "ring") if i.subpaths[0].bbox[2] - i.subpaths[0].bbox[0] > 26.0
    ]
    for ring in rings:
        x0, y0, x1, y1 = ring.bbox
        middle, radius = complex(x0 + x1, y0 + y1) / 2, (x1 - x0) / 2
        for f in flat_items(drawing.items):
            if isinstance(f.item, Text) and f.item.role == "measure":
                corners = [z - middle for z in text_corners(f.item, f.placement)]
                if abs(sum(corners) / 4) < radius:
                    out.append((f.item, max(abs(z) for z in corners) - radius))
    return out


@pytest.mark.parametrize(("style", "options"), BASE, ids=case_name)
def test_the_measure_of_a_close_up_stands_within_its_ring(style: str, options: Options) -> None:
    for step in drawn(style, options, own_unit(style))[0]:
        for p in step.pictures:
            assert isinstance(p.drawing, Drawing)
            assert [(t.text, by) for t, by in close_up_words(p.drawing) if by > 0] == [], step.id


def test_a_long_measure_in_inches_stands_within_its_ring() -> None:
    (drawing,), left = drawn_step(step_lesson("lining_sewn").prepared, "lining-centre", "in")
    (told,) = close_up_words(drawing)
    assert told[0].text == "13/16\u00a0in" and told[1] < 0 and left == ()


def test_what_is_seen_of_a_ply_as_a_speck_or_a_line_is_left_out() -> None:
    over = shapely.box(0, 0, 100, 100)
    speck, line, cloth = (
        shapely.box(95, 95, 103, 103),
        shapely.box(0, -5, 100, 50),
        shapely.box(-20, 0, 50, 50),
    )
    clean = without_specks([cloth, line, speck, over], [True, True, False, False])
    assert clean[3] == over and clean[0].symmetric_difference(cloth).area < 1e-6
    assert clean[1].difference(over.buffer(0.1)).is_empty and clean[2].difference(over.buffer(0.1)).is_empty
    kept = without_specks([line, over], [False, False])
    assert kept[0] == line  # of a ply of this side a narrow strip is an edge


@pytest.mark.parametrize(("step", "tie"), [("long-tie", "long tie"), ("short-tie", "short tie")])
def test_strips_sewn_end_to_end_are_told_by_their_lengths(step: str, tie: str) -> None:
    drawing = picture("skirt", step)
    row = {
        i.of: i.subpaths[0].bbox
        for i in items(drawing, "cut")
        if i.subpaths[0].bbox[3] - i.subpaths[0].bbox[1] < 7.0 and i.of
    }
    long = {name: box[2] - box[0] for name, box in row.items()}
    pieces = {
        c.piece.name: c.piece
        for c in checked("skirt", dict(BASE)["skirt"], own_unit("skirt")).prepared.copies
    }
    true = {name.replace("_", " "): p.outline.bbox[2] - p.outline.bbox[0] for name, p in pieces.items()}
    assert set(long) == {"waist band", tie}
    assert long[tie] / long["waist band"] == pytest.approx(true[tie] / true["band"], rel=0.03)


def right_end(flat: Flat) -> float:
    """How far to the right a path reaches where it lies."""
    assert isinstance(flat.item, PathItem)
    return max(p.placed(flat.placement).bbox[2] for p in flat.item.subpaths)


def test_the_ends_of_a_ring_are_shown_sewn_and_then_pressed_open() -> None:
    options = next(o for o in options_of("top") if dict(o)["sleeve_end"] == "cuff")
    (step,) = (s for s in drawn("top", options, own_unit("top"))[0] if s.id == "cuff-ring")
    drawing = step.pictures[0].drawing
    assert isinstance(drawing, Drawing)
    (then,) = (i for i in items(drawing, "order") if i.stroke is not None)
    plies = [
        right_end(f) for f in flat_items(drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == "section" and f.item.stroke is not None
    ]  # fmt: skip
    assert len(plies) == 4 and sum(x < then.subpaths[0].start.real for x in plies) == 2
