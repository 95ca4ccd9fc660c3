"""What a lay plan promises to show: the cloth's edges and folds by name, the grain, the faces, and how good the lay is."""

from __future__ import annotations

import pytest
import shapely
from helpers import all_styles

from booklet.drawing.bounds import Flat, flat_items
from booklet.drawing.display import PathItem, Text
from booklet.pages.lays import lay_leaves, shown_lays
from booklet.pages.words import words_for
from booklet.units import NBSP

WORDS = words_for("en")
LARGE = 200.0  # mm across: such a piece has room for its arrow on any plan


def drawn(style: str) -> list[Flat]:
    job = all_styles.job(style, all_styles.options_of(style)[0], "cm")
    return [f for leaf in lay_leaves(job, WORDS) for f in flat_items(leaf.items)]


@pytest.mark.parametrize("style", all_styles.STYLES)
def test_every_plan_names_selvedges_and_folds_and_says_how_good_it_is(style: str) -> None:
    job = all_styles.job(style, all_styles.options_of(style)[0], "cm")
    plans = [lay for need in job.size.cloths for lay in shown_lays(need)]
    said = [f.item.text for f in drawn(style) if isinstance(f.item, Text)]
    flat = " ".join(said).replace(NBSP, " ")
    edges = {"open": 2, "cross_fold": 2, "side_fold": 2}  # of a cloth folded once, both lie together
    assert said.count("selvedge") == sum(edges.get(p.kind, 0) for p in plans)
    assert said.count("selvedges") == sum(p.kind == "fold" for p in plans)
    folds = {"fold": 1, "two_folds": 2, "cross_fold": 1, "part_fold": 1, "side_fold": 1}
    assert said.count("fold") == sum(folds.get(p.kind, 0) for p in plans)
    assert flat.count("taken up") == len(plans) and flat.count("buy ") == len(plans)
    assert flat.count("% of the cloth is used") == len(plans)
    known = [flat.count(w) for w in ("No shorter lay of this kind exists", "It is at most", "was found")]
    assert sum(known) == sum(p.proved or p.bound_mm > 0 for p in plans) == len(plans)
    assert flat.count("No shorter lay of this kind exists") == sum(p.proved for p in plans)


@pytest.mark.parametrize("style", all_styles.STYLES)
def test_the_grain_of_every_large_piece_is_shown_along_the_cloth(style: str) -> None:
    job = all_styles.job(style, all_styles.options_of(style)[0], "cm")
    plans = [lay for need in job.size.cloths for lay in shown_lays(need)]
    large = 0
    for plan in plans:
        for put in plan.placings:
            x0, y0, x1, y1 = put.outline.bbox
            ring = shapely.Polygon([(z.real, z.imag) for z in put.outline.flatten(0.5)])
            band = ring.area < 0.4 * (x1 - x0) * (
                y1 - y0
            )  # a binding's strip across the cloth has no room for one
            large += min(x1 - x0, y1 - y0) >= LARGE and not band
            along = put.grain[1] - put.grain[0]
            assert abs(along.imag) < 1e-6 * abs(along)
    lines = [f.item for f in drawn(style) if isinstance(f.item, PathItem) and f.item.role == "grain"]
    shafts = [path for line in lines if line.stroke for path in line.subpaths]
    assert len(shafts) >= large > 0
    assert all(abs(shaft.end.imag - shaft.start.imag) < 1e-6 for shaft in shafts)


@pytest.mark.parametrize("style", all_styles.STYLES)
def test_pieces_with_the_paper_face_down_are_ruled_and_no_others(style: str) -> None:
    job = all_styles.job(style, all_styles.options_of(style)[0], "cm")
    plans = [lay for need in job.size.cloths for lay in shown_lays(need)]
    ruled = sum(isinstance(f.item, PathItem) and f.item.role == "ruled" for f in drawn(style))
    assert ruled == sum(put.mirrored for plan in plans for put in plan.placings)
