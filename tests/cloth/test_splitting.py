"""Pieces that may be cut in two: their parts, the lay that saves, the judge's answer to parts amiss, what is printed."""

from __future__ import annotations

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest
import shapely
from helpers.changed import Changes, changed, codes
from helpers.drafts import cases, middling
from helpers.steps import demo_body
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.cloth.cloths import ClothToLay, cloths_to_lay, too_narrow
from booklet.cloth.engine import lays
from booklet.cloth.judge import judge_plan
from booklet.cloth.kept import KeptLays
from booklet.cloth.plan_of import plan_of
from booklet.cloth.splitting import part_of, splittings
from booklet.cloth.stage import WORTH_TELLING, Laying
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.job import make_job
from booklet.model import Copy, CutPiece, Job, LayPlan, Piece, Split
from booklet.pages.chart import chart_leaves
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.ground import polygon_of
from booklet.pages.lays import lay_leaves
from booklet.pages.spec import Leaf
from booklet.pages.words import words_for
from booklet.paths import Path as Line
from booklet.problems import Collector
from booklet.reading.shop import read_shop

SHOP = read_shop(None)
TIE: Changes = {
    "draft": [
        (
            "    title: Long tie (inner)\n",
            "    title: Long tie (inner)\n    may split: {at: middle, allow: 1 cm}\n",
        )
    ]
}


class Made(NamedTuple):
    copies: tuple[Copy, ...]
    cut: tuple[CutPiece, ...]


def with_split(style: str, key: str, split: Split | None) -> tuple[Made, ClothToLay]:
    """A style with one of its pieces to be split; None: at its fold."""
    made = middling(style, *next(options for name, options in cases() if name == style))

    def so(piece: Piece) -> Piece:
        if piece.key != key:
            return piece
        fold = piece.edge(piece.fold or "")
        at_fold = None if fold is None else Split("fold", (fold.path.start, fold.path.end), 10.0)
        return replace(piece, split=split or at_fold)

    cut = tuple(replace(c, piece=so(c.piece)) for c in made.cut)
    copies = tuple(replace(c, piece=so(c.piece)) for c in made.copies)
    cloth = next(c for c in cloths_to_lay(made.style, copies, cut) if c.most)
    return Made(copies, cut), cloth


@settings(max_examples=60)
@given(st.integers(30, 400), st.integers(20, 200), st.integers(1, 14), st.integers(0, 360))
def test_two_parts_cover_the_whole_and_lap_by_both_allowances(
    long: int, wide: int, allow: int, turned: int
) -> None:
    turn = shapely.affinity.rotate(shapely.box(0, 0, long, wide), turned, origin=(0, 0))
    ring = Line.polyline([complex(x, y) for x, y in turn.exterior.coords[:-1]], closed=True)
    ends = shapely.affinity.rotate(
        shapely.LineString([(long / 2, 0), (long / 2, wide)]), turned, origin=(0, 0)
    )
    a, b = (complex(x, y) for x, y in ends.coords)
    first, second = (polygon_of(part_of(ring, Split("middle", (a, b), float(allow)), n)) for n in (1, 2))
    assert first.union(second).area == pytest.approx(turn.area, rel=1e-6)
    reach = min(2 * allow, long)
    assert first.intersection(second).area == pytest.approx(reach * wide, rel=1e-6)
    assert first.area == pytest.approx(second.area, rel=1e-6)
    way = (b - a) / abs(b - a)
    middle = complex(first.centroid.x, first.centroid.y)
    assert (
        (middle - a) * (1j * way).conjugate()
    ).real > 0  # the first lies where the line's way times 1j points


@cache
def job(width: str, folder: Path) -> Job:
    return make_job(changed(folder, "skirt", TIE), demo_body(), units="cm", width=width, evaluations=0)


def said(leaves: list[Leaf]) -> str:
    return " ".join(
        f.item.text for leaf in leaves for f in flat_items(leaf.items) if isinstance(f.item, Text)
    ).replace("\u00a0", " ")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return tmp_path_factory.mktemp("skirt")


def test_a_tie_in_two_parts_saves_cloth_on_a_narrow_width_and_the_booklet_says_how(folder: Path) -> None:
    made = job("115 cm", folder)
    need = made.size.cloths[0]
    (saving,) = [s for s in need.savings if s.way == "split"]
    lay = need.split_lay
    assert lay is not None and saving.pieces == ("long_tie",)
    best = need.lays[0]
    assert best.recommended and not any(p.part for p in best.placings)
    assert saving.less_mm == pytest.approx(best.buy_mm - lay.buy_mm) and saving.less_mm >= WORTH_TELLING
    parts = sorted(p.part for p in lay.placings if p.piece == "long_tie")
    assert parts == [1, 2] and lay not in need.lays
    number = made.size.cut_piece("long_tie").piece.number
    words = words_for("en")
    plans = said(lay_leaves(made, words))
    assert f"Piece {number} is cut in two across its grain, halfway" in plans
    assert "Before the first step join the two parts, right sides together, 10 mm from the edge" in plans
    assert f"With piece {number} cut in two" in said(cloth_leaves(made, words))
    assert "may be cut in two" in said(chart_leaves(made, words))


def test_where_it_saves_nothing_nothing_is_said(folder: Path) -> None:
    made = job("150 cm", folder)
    assert made.size.cloths[0].split_lay is None
    assert not any(s.way == "split" for need in made.size.cloths for s in need.savings)
    assert "cut in two" not in said(
        [*lay_leaves(made, words_for("en")), *chart_leaves(made, words_for("en"))]
    )


@pytest.mark.parametrize(
    ("style", "key", "line"),
    [("aline", "front", None), ("blouse", "under_collar", None), ("apron", "binding", "middle")],
)
@pytest.mark.parametrize("kind", ["fold", "open"])
def test_lays_of_parts_can_be_cut_and_the_judge_tells_what_is_amiss(
    style: str, key: str, line: str | None, kind: str
) -> None:
    plan, made = parted_plan(style, key, line, kind)
    assert judge_plan(plan, made.copies, made.cut, SHOP.gap) == ()
    mine = [n for n, p in enumerate(plan.placings) if p.part]
    assert mine
    spoilt = [replace(plan.placings[mine[0]], part=0), replace(plan.placings[mine[0]], part=3)]
    for other in spoilt:
        placings = tuple(other if n == mine[0] else p for n, p in enumerate(plan.placings))
        assert judge_plan(replace(plan, placings=placings), made.copies, made.cut, SHOP.gap)
    without = tuple(p for n, p in enumerate(plan.placings) if n != mine[0])
    told = judge_plan(replace(plan, placings=without), made.copies, made.cut, SHOP.gap)
    assert "lay-copies" in {p.code for p in told}
    twice = (*plan.placings, plan.placings[mine[0]])
    told = judge_plan(replace(plan, placings=twice), made.copies, made.cut, SHOP.gap)
    assert "lay-copies" in {p.code for p in told}


@cache
def parted_plan(style: str, key: str, line: str | None, kind: str) -> tuple[LayPlan, Made]:
    split = None
    if line == "middle":
        made, _ = with_split(style, key, None)
        piece = next(c.piece for c in made.cut if c.piece.key == key)
        x0, y0, x1, y1 = piece.outline.bbox
        down = abs((piece.grain[1] - piece.grain[0]).imag) > 1
        ends = (complex(x0, (y0 + y1) / 2), complex(x1, (y0 + y1) / 2)) if down else (
            complex((x0 + x1) / 2, y0), complex((x0 + x1) / 2, y1))  # fmt: skip
        split = Split("middle", ends, 10.0)
    made, cloth = with_split(style, key, split)
    (only,) = splittings(cloth)
    _, parted = only
    assert sum(p.key.startswith(f"{key}#") for p in parted.pieces) == (1 if line is None else 2)
    found = lays(parted.pieces, parted.ground(1500.0, SHOP), kinds=(kind,))  # type: ignore[arg-type]
    return plan_of(found.lays[0], parted, 1500.0, SHOP, "cm"), made


def test_no_lay_of_parts_is_made_of_fused_or_matched_cloth() -> None:
    _, cloth = with_split("aline", "front", None)
    assert len(list(splittings(cloth))) == 1
    assert not list(splittings(replace(cloth, fusible=True)))
    assert not list(splittings(replace(cloth, repeat=(80.0, 0.0))))


def test_a_whole_too_wide_for_the_cloth_names_the_width_that_its_parts_fit() -> None:
    made, cloth = with_split("aline", "front", None)
    least = (
        Laying(replace(cloth, widths=(3000.0,)), made.cut, SHOP, "cm", KeptLays(), Collector())
        .need(0)
        .least_mm
    )
    assert least is not None
    narrow = replace(cloth, widths=(least - 20.0,))
    collector = Collector()
    need = Laying(narrow, made.cut, SHOP, "cm", KeptLays(), collector).need(0)
    assert not need.lays and need.split_lay is None
    mend = next(p.mend for p in collector.problems if p.code == "cloth-width")
    assert ("cut in two" in mend) == ("cut in two" in too_narrow(narrow, "", SHOP, "cm").mend)


@pytest.mark.parametrize(
    ("told", "code"),
    [
        ("{at: fold}", "error split"),
        ("{at: fold line}", "error unknown-line"),
        ("{at: middle, allow: 0}", "error split"),
        ("{allow: 1}", "error"),
        ("middle", "error"),
    ],
)
def test_a_split_that_cannot_be_is_told(tmp_path: Path, told: str, code: str) -> None:
    title = "    title: Long tie (inner)\n"
    found = codes(tmp_path, "skirt", {"draft": [(title, f"{title}    may split: {told}\n")]})
    assert any(c.startswith(code) for c in found), found
