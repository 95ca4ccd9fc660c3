"""What hangs together is drawn as one thing, opened out along its seams; a ring is opened at one of them."""

from __future__ import annotations

import pytest
from helpers.all_styles import BASE, drawn, own_unit

from booklet.drawing import look
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.pictures.canvas import polygon

PLAIN = dict(BASE)


def picture(style: str, step: str) -> Drawing:
    options = PLAIN[style]
    steps, _ = drawn(style, options, own_unit(style))
    made = next(s for s in steps if s.id == step).pictures[0].drawing
    assert isinstance(made, Drawing)
    return made


def plies(drawing: Drawing, of: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.of == of]


def said(drawing: Drawing) -> str:
    return " ".join(f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text))


def apart(drawing: Drawing, one: str, other: str) -> float:
    """The least distance on paper between any two plies of two pieces, mm."""
    areas = [[polygon(i.subpaths[0], 0.05) for i in plies(drawing, of)] for of in (one, other)]
    return min(a.distance(b) for a in areas[0] for b in areas[1])


@pytest.mark.parametrize("step", ["facing-edge", "face-waist"])
def test_a_strip_of_three_facings_lies_in_one(step: str) -> None:
    drawing = picture("aline", step)
    assert len(plies(drawing, "back waist facing")) >= 2
    if step == "facing-edge":
        assert apart(drawing, "front waist facing", "back waist facing") < 0.05
    else:
        assert apart(drawing, "front", "back") < 0.3


@pytest.mark.parametrize("step", ["facing-edge", "face-neck"])
def test_a_ring_is_opened_at_one_seam_and_says_so(step: str) -> None:
    drawing = picture("top", step)
    assert apart(drawing, "front neck facing", "back neck facing") < 0.05
    ties = [f for f in flat_items(drawing.items) if getattr(f.item, "role", "") == "tie"]
    assert len(ties) == 2
    assert "sewn together here" in said(drawing)


@pytest.mark.parametrize(
    ("style", "step"),
    [("top", "hem"), ("top", "sleeve-casing"), ("aline", "hem"), ("apron", "hem-sides"), ("blouse", "hem")],
)
def test_a_close_view_of_an_edge_has_a_small_whole_with_a_ring(style: str, step: str) -> None:
    drawing = picture(style, step)
    rings = [f.item for f in flat_items(drawing.items) if getattr(f.item, "role", "") == "ring"]
    links = [f for f in flat_items(drawing.items) if getattr(f.item, "role", "") == "ring link"]
    assert len(rings) == len(links) == 1
    assert isinstance(rings[0], PathItem)
    x0, y0, x1, y1 = rings[0].subpaths[0].bbox
    small = [i for i in plies_at_left(drawing) if i.subpaths[0].bbox[2] < 22.0]
    assert any(
        b[0] <= (x0 + x1) / 2 <= b[2] and b[1] - 3 <= (y0 + y1) / 2 <= b[3] + 3
        for b in (i.subpaths[0].bbox for i in small)
    )


def plies_at_left(drawing: Drawing) -> list[PathItem]:
    return [
        f.item
        for f in flat_items(drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == "cut" and f.item.fill is not None
    ]


def test_the_side_to_which_a_sleeve_seam_is_pressed_is_told_three_times() -> None:
    drawing = picture("top", "set-sleeves")
    assert "both allowances towards the sleeve" in said(drawing)
    arrows = [
        f.item
        for f in flat_items(drawing.items)
        if isinstance(f.item, PathItem) and f.item.role == "action" and f.item.ends
    ]
    low = [a for a in arrows if min(z.imag for z in a.ends) > 52.0]  # below the pieces side by side
    assert len(low) >= 1
    assert any(i.fill == look.WRONG_SIDE for i in plies(drawing, "sleeve"))
