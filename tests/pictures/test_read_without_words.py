"""What a picture must tell without its words: sides kept from view to view, folded cloth folded, rows out to the raw ends."""

from __future__ import annotations

from functools import cache

import pytest
from helpers.changed import drawn
from helpers.steps import ROOT, demo_body, prepared

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Drawing, PathItem, Text
from booklet.job import make_job
from booklet.pictures.sections import banded
from booklet.prepare import Prepared
from booklet.reading.read import read_style

STYLES = ROOT / "styles"


@cache
def style(name: str, **options: str) -> Prepared:
    return prepared(read_style(STYLES / name), demo_body(), options)


def words(drawing: Drawing) -> list[tuple[str, float, float]]:
    """Every line of words with the middle of its place."""
    out = []
    for f in flat_items(drawing.items):
        if isinstance(f.item, Text):
            z = f.placement.apply(complex(f.item.x, f.item.y))
            out.append((f.item.text.replace("\u00a0", " "), z.real, z.imag))
    return out


def paths(drawing: Drawing, role: str) -> list[PathItem]:
    return [f.item for f in flat_items(drawing.items) if isinstance(f.item, PathItem) and f.item.role == role]


def test_what_lies_at_the_left_above_lies_at_the_left_when_pressed() -> None:
    """The sleeve is sewn in: body at the left, sleeve at the right, in both views."""
    (drawing,), _ = drawn(style("blouse"), "set-sleeves")
    sleeve = [(x, y) for text, x, y in words(drawing) if text.startswith("sleeve")]
    front = [(x, y) for text, x, y in words(drawing) if text.startswith("front")]
    assert len(sleeve) >= 2 and len(front) >= 2
    above, below = (sorted(group, key=lambda z: z[1]) for group in (sleeve, front))
    assert above[0][0] > below[0][0] and above[1][0] > below[1][0]


def test_a_back_with_its_pleat_folded_is_drawn_folded() -> None:
    (drawing,), left = drawn(style("blouse"), "yoke-back")
    assert left == () and len(paths(drawing, "pleat")) == 2
    (before,), _ = drawn(style("blouse"), "back-pleat")
    assert paths(before, "pleat") == []


def test_the_pressing_of_side_and_sleeve_is_shown_on_front_and_back() -> None:
    (drawing,), _ = drawn(style("blouse"), "side-and-sleeve")
    said = [text for text, _, _ in words(drawing)]
    assert "towards the back" in said and said.count("wrong side up") >= 3


def test_a_band_lies_right_side_out() -> None:
    """In the cross-section the tinted half of the band's upper run lies above its middle line."""
    tinted = [
        i for i in banded(False).items if isinstance(i, PathItem) and i.fill is not None and i.stroke is None
    ]
    band = max((p for item in tinted for p in item.subpaths), key=lambda p: p.length)
    whole = [
        i
        for i in banded(False).items
        if isinstance(i, PathItem) and i.stroke is not None and i.role == "section"
    ]
    outer = min(p.bbox[1] for i in whole for p in i.subpaths)
    assert band.bbox[1] - outer < 0.05


def test_the_cuff_step_shows_the_slit_s_strip_and_the_sewn_ends() -> None:
    (drawing,), left = drawn(style("blouse"), "set-cuffs")
    assert left == ()
    assert len(paths(drawing, "strip")) == 2
    assert [t for t, _, _ in words(drawing)].count("wrong side out") == 1


@pytest.mark.parametrize(("name", "step"), [("aline", "neaten-centre"), ("skirt", "facing-edge")])
def test_a_neatened_edge_is_sewn_on_the_edge(name: str, step: str) -> None:
    (drawing,), _ = drawn(style(name), step)
    rows = [p for item in paths(drawing, "seam") for p in item.subpaths]
    cuts = [p for item in paths(drawing, "cut") for p in item.subpaths]
    for row in rows:
        middle = row.point(row.length / 2)
        assert min(abs(c.point(c.nearest(middle)) - middle) for c in cuts) < 1.0


def test_the_facings_of_a_waist_with_darts_meet_at_the_side_seams() -> None:
    (drawing,), left = drawn(style("aline", zip="centred"), "face-waist")
    assert left == ()
    assert "sewn together" not in [t for t, _, _ in words(drawing)]


def test_sewn_straps_and_ties_are_seen_on_the_cover() -> None:
    """The neck strap stands above the bib's hem, a tie hangs beside each side."""
    drawing = dict(make_job(read_style(STYLES / "apron"), options={"ties": "sewn"}, evaluations=0).views)[
        "front"
    ]
    assert isinstance(drawing, Drawing)
    cuts = [p.bbox for item in paths(drawing, "cut") for p in item.subpaths]
    rows = [p.bbox for item in paths(drawing, "stitch") for p in item.subpaths]
    tall = max(b[3] for b in cuts) - min(b[1] for b in cuts)
    assert min(b[1] for b in rows) - min(b[1] for b in cuts) > 0.15 * tall
    for side, sign in ((0, -1), (2, 1)):
        outer_row, outer_cut = (max(sign * b[side] for b in group) for group in (rows, cuts))
        assert outer_cut - outer_row > 0.05 * tall
