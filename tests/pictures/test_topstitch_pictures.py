"""Pictures of topstitching: clean in both units and on extreme bodies, the rows as far from the seam as the words say."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.bodies import extreme_bodies
from helpers.changed import Changes, drawn, made
from helpers.steps import body_with

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.drawing.judge import judge

BLOUSE: Changes = {
    "sewing": [
        (old, f"{old}{new}")
        for old, new in (
            (
                "    title: Turn in the front edges\n",
                "  - edgestitch: [front.front_edge]\n    id: front-rows\n",
            ),
            (
                "    id: yoke-back\n    press: to yoke\n    neaten: together\n",
                "  - topstitch: [yoke-back]\n    id: yoke-rows\n    inside: 2 mm\n    rows: 2\n",
            ),
            (
                "    id: collar\n    then: [trim, turn, press]\n",
                "  - topstitch: [collar]\n    id: collar-rows\n",
            ),
            (
                "    ease: 10 mm\n    press: to sleeve\n    neaten: together\n",
                "  - topstitch: [set-sleeves]\n    id: sleeve-rows\n",
            ),
        )
    ]
}
SKIRT: Changes = {
    "sewing": [
        (old, f"{old}{new}")
        for old, new in (
            (
                "    title: Join the left side\n    press: open\n    neaten: apart\n",
                "  - topstitch: [left-side]\n    id: side-rows\n    rows: 2\n    inside: 4 mm\n",
            ),
            (
                "    id: understitch-front\n    then: [turn, press, tack]\n",
                "  - topstitch: [face-front]\n    id: face-rows\n",
            ),
            ("kind: single}\n    id: hem\n", "  - topstitch: [hem]\n    id: hem-rows\n"),
        )
    ]
}
STEPS = {
    "blouse": (BLOUSE, ("front-rows", "yoke-rows", "collar-rows", "sleeve-rows")),
    "skirt": (SKIRT, ("side-rows", "face-rows", "hem-rows")),
}


def lines(drawing: Drawing, role: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.role == role]


def said(drawing: Drawing) -> list[str]:
    return [f.item.text for f in flat_items(drawing.items) if isinstance(f.item, Text)]


@pytest.mark.parametrize("units", ["cm", "in"])
@pytest.mark.parametrize("style", STEPS)
def test_they_can_be_read(tmp_path: Path, style: str, units: str) -> None:
    changes, steps = STEPS[style]
    what = made(tmp_path, style, changes, units)
    for step in steps:
        (drawing,), left = drawn(what, step, units)
        assert left == (), f"{step}: no room for {left}"
        assert drawing.width <= 106.0
        assert [f.what for f in judge(drawing)] == [], step


@pytest.mark.slow
@pytest.mark.parametrize("number", range(5))
def test_extreme_bodies_are_drawn_clean(tmp_path: Path, number: int) -> None:
    changes, steps = STEPS["skirt"]
    what = made(tmp_path, "skirt", changes, body=body_with(extreme_bodies()[number].measures))
    for step in steps:
        (drawing,), left = drawn(what, step)
        assert left == () and [f.what for f in judge(drawing)] == [], step


def test_both_rows_are_measured_and_the_section_shows_them(tmp_path: Path) -> None:
    (drawing,), _ = drawn(made(tmp_path, "blouse", BLOUSE), "yoke-rows")
    words = said(drawing)
    assert (
        words.count("2\u00a0mm") == 1 and words.count("8\u00a0mm") == 2
    )  # looked at closely, and cut across
    assert {"back,", "yoke,"} <= set(words)
    rows = [i.subpaths[0].bbox for i in lines(drawing, "seam")]
    near = [b for b in rows if b[2] > 57 and b[1] < 5 and b[3] > 37]
    across = [b for b in rows if b[2] - b[0] < 1e-6 and b[1] > 38]
    assert len(near) == len(across) == 2


def test_rows_lie_as_far_from_the_seam_as_they_should(tmp_path: Path) -> None:
    """Looked at closely: the seam upright, both rows on each side of it at 4 and 10 mm of the scene."""
    (drawing,), _ = drawn(made(tmp_path, "skirt", SKIRT), "side-rows")
    middle = 4 + 34 / 2
    xs = []
    for item in lines(drawing, "seam"):
        path = item.subpaths[0]
        _, y0, x1, y1 = path.bbox
        if x1 > 57 and y0 < 4 and y1 > 38:  # runs through the whole frame at the right
            points = path.flatten(0.02)
            xs.append(float(points[abs(points.imag - middle).argmin()].real))
    seam = 57 + 44 / 2
    xs.sort()
    assert len(xs) == 4
    near, far = (xs[2] - xs[1]) / 2, (xs[3] - xs[0]) / 2
    assert far / near == pytest.approx(10 / 4, rel=0.02)
    assert (xs[1] + xs[2]) / 2 == pytest.approx(seam, abs=0.15)
