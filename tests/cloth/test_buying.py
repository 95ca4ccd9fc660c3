"""The sums behind lengths of cloth, estimates by area, and what bias strips take otherwise."""

from __future__ import annotations

from dataclasses import replace

import pytest
from helpers import all_styles
from helpers.drafts import middling
from helpers.lay_garments import rect

from booklet import bias
from booklet.cloth.amounts import length_by_area, length_needed, length_to_buy
from booklet.cloth.bias_amount import ENDS, binding_workings, strip_width, tape_instead
from booklet.cloth.buying import cloth_weight, estimated, with_sums
from booklet.cloth.cloths import cloths_to_lay
from booklet.cloth.engine import lay_on
from booklet.cloth.pieces import ClothGround, LayPiece
from booklet.cloth.plan_of import amounts_of, plan_of
from booklet.model import ClothNeed, LayPlan, Placing
from booklet.pages import figures
from booklet.paths import Path, Placement
from booklet.reading.shop import read_shop
from booklet.reading.yaml_source import Source
from booklet.units import NBSP

STYLE = Source("style.yaml", {"cloths": {"main": {}, "interfacing": {}}}, {})


def need(key: str, *lays: tuple[float, float], shrinkage: float = 0.0, long: float = 200.0) -> ClothNeed:
    """A cloth with open lays of (width, length) that use 70 %; its one piece is `long` along the cloth."""
    shop = read_shop()
    ring = Path.polyline([0j, long + 0j, long + 50j, 50j], closed=True)
    put = Placing("a", ("a",), ring, Placement.IDENTITY, False, False, (0j, 100 + 0j))
    plans = tuple(
        LayPlan(key, w, w - 24, "open", length, length_needed(length, shrinkage, 30),
                length_to_buy(length, 100, shrinkage, 30), 0.7, n == 0, (put,))
        for n, (w, length) in enumerate(lays)
    )  # fmt: skip
    assert shop.squaring == 30
    return ClothNeed(key, key, "", 1, plans, shrinkage=shrinkage)


def test_the_sum_of_a_lay_says_what_is_bought() -> None:
    (made,) = with_sums([need("main", (1500, 1370), shrinkage=0.04)], STYLE, read_shop(), "cm")
    (told,) = made.workings
    assert told.line == f"(137.0{NBSP}cm + 3.0{NBSP}cm) ÷ (1 − 4{NBSP}%) = 145.8{NBSP}cm → 1.50{NBSP}m"
    terms = dict(told.terms)
    assert told.result == length_to_buy(
        terms["taken up"], terms["step"], terms["shrinkage"], terms["squaring"]
    )
    (inches,) = with_sums([need("main", (1500, 1370))], STYLE, read_shop(), "in")[0].workings
    assert inches.line.startswith(f"53{NBSP}15/16{NBSP}in + 1{NBSP}3/16{NBSP}in = 55{NBSP}1/8{NBSP}in")


@pytest.mark.parametrize("repeat", [1.25 * 25.4, 4.25 * 25.4])
def test_a_matched_cloth_is_bought_with_one_repeat_more_and_no_more_than_the_rule_of_thumb(
    repeat: float,
) -> None:
    """Repeat times pieces laid one behind another, 1 1/4 in x 2 and 4 1/4 in x 2 (galafabrics.blogspot.com, November
    2010); at least one whole repeat (sew4home.com); rounded up after shrinkage and repeat (common practice)."""
    panels = tuple(
        LayPiece(key, rect(long, 400), "single", 1, match=0j) for key, long in (("a", 610), ("b", 470))
    )
    made = middling("aline")
    cloth = next(c for c in cloths_to_lay(made.style, made.copies, made.cut) if c.most)
    shop = read_shop()
    plain, matched = (
        amounts_of(lay_on(panels, "open", ClothGround(450, along=along), 20), replace(cloth, repeat=(along, 0.0)),
                   shop, "in")
        for along in (0.0, repeat)
    )  # fmt: skip
    washed = 1 - cloth.shrinkage
    assert repeat <= (matched[0] - plain[0]) * washed <= 2 * repeat
    assert matched[1] >= matched[0] and matched[1] - matched[0] < shop.buy_step["in"]
    lay = lay_on(cloth.pieces, "fold", cloth.ground(1500.0, shop))
    for along in (0.0, repeat):
        plan = plan_of(lay, replace(cloth, repeat=(along, 0.0)), 1500.0, shop, "cm")
        assert plan.need_mm == pytest.approx((lay.length + shop.squaring + along) / washed)
        assert plan.buy_mm == length_to_buy(lay.length, 100, cloth.shrinkage, shop.squaring, along)


def test_the_sum_of_a_matched_lay_tells_its_repeat() -> None:
    plain = need("main", (1500, 1370), shrinkage=0.04)
    lay = replace(plain.lays[0], repeat=(80.0, 0.0), need_mm=1480 / 0.96, buy_mm=1600.0)
    (told,) = with_sums([replace(plain, lays=(lay,))], STYLE, read_shop(), "cm")[0].workings
    assert told.line == (
        f"(137.0{NBSP}cm + 3.0{NBSP}cm + 8.0{NBSP}cm) ÷ (1 − 4{NBSP}%) = 154.2{NBSP}cm → 1.60{NBSP}m"
    )
    assert dict(told.terms)["repeat"] == 80.0 and "one repeat" in told.rule


def test_an_estimate_between_two_widths_that_are_laid_lies_between_them() -> None:
    both = need("interfacing", (1600, 1500), (900, 1520))
    plans = tuple(replace(p, recommended=True) for p in both.lays)
    shop = read_shop()
    ((width, buy),) = estimated(replace(both, lays=plans), shop, "cm")
    assert width == 1500.0 and plans[0].buy_mm <= buy <= plans[1].buy_mm


def test_interfacing_is_estimated_on_wider_cloth_and_the_main_cloth_is_not() -> None:
    shop = read_shop()
    main, inner = with_sums([need("main", (900, 2000)), need("interfacing", (900, 2000))], STYLE, shop, "cm")
    assert main.estimates == ()
    # 0.7 x 900 x 2000 mm² on 1476 mm at 75 %: 1138 mm, and 30 for squaring, bought in steps of 100
    assert length_by_area([0.7 * 900 * 2000], 1476, 0.75) == pytest.approx(1138.2, abs=0.05)
    assert inner.estimates == ((1500.0, pytest.approx(1200.0)),)
    assert inner.workings[-1].line.endswith(f"→ 1.20{NBSP}m")


@pytest.mark.parametrize(("long", "bought"), [(1200.0, 1300.0), (200.0, 1200.0)])
def test_an_estimate_is_never_shorter_than_the_longest_piece(long: float, bought: float) -> None:
    assert estimated(need("interfacing", (900, 2000), long=long), read_shop(), "cm")[0][1] == pytest.approx(
        bought
    )


def test_an_estimate_is_never_longer_than_a_narrower_lay() -> None:
    tight = need("interfacing", (1400, 1000))  # 70 % used there, 75 % reckoned here, on little more width
    assert estimated(tight, read_shop(), "cm")[0][1] <= tight.lays[0].buy_mm
    assert estimated(need("interfacing", (1600, 1000)), read_shop(), "cm") == ()


def test_weight_of_a_cloth() -> None:
    told = Source(
        "style.yaml", {"cloths": {"main": {"weight": [110, 150]}, "lining": {"weight": "light"}}}, {}
    )
    assert cloth_weight(told) == 130
    assert cloth_weight(told, "lining") == 100
    assert cloth_weight(STYLE) is None


@pytest.mark.parametrize("units", ["cm", "in"])
def test_a_binding_in_strips_square_tube_rectangle_and_tape(units: str) -> None:
    draft = all_styles.checked("apron", (("ties", "bound"),), "cm").prepared.draft
    piece = next(p for p in draft.pieces.values() if p.binding)
    assert piece.binding is not None
    wide, long = strip_width(piece), piece.binding.long
    assert wide == pytest.approx(bias.cut_width(piece.binding.finished, piece.binding.kind, 4), abs=2)
    sums = {w.what.split(": ")[1]: w for w in binding_workings(piece, units, 1476)}  # type: ignore[arg-type]
    strips = bias.Strips(piece.binding.strips, piece.edges[0].path.length, wide, piece.binding.join)
    assert strips.square == pytest.approx(long, abs=0.01)
    assert sums["square"].result ** 2 == pytest.approx(long * wide)
    assert bias.yield_of_square(
        sums["continuous tube"].result - 2 * piece.binding.join, wide
    ) == pytest.approx(long)
    assert sums["rectangle"].result == pytest.approx(
        max(
            bias.rectangle_long(long, wide, 100, 1476), 100 / 2**0.5
        )  # across less depth no strip is 10 cm long
    )
    assert tape_instead(piece) == pytest.approx(long + ENDS)
    assert sums["bought tape instead"].result >= long + ENDS
    other = "in" if units == "cm" else "mm"
    assert not any(f"{NBSP}{other}" in w.line for w in sums.values())


def test_lengths_taken_up_are_never_told_short() -> None:
    """45.05 in needed, of which 1 1/4 yd, 45 in, would be too little: it may not be printed as 45 in."""
    assert figures.cloth_taken(45.05 * 25.4, "in") == f"45{NBSP}1/2{NBSP}in"
    assert figures.cloth_taken(45 * 25.4, "in") == f"45{NBSP}in"
    assert figures.cloth_taken(931, "cm") == f"0.94{NBSP}m"
    assert figures.cloth_taken(930, "cm") == f"0.93{NBSP}m"


def test_weights_in_the_booklets_unit() -> None:
    told = figures.weights_told("cotton, 110 to 150 g/m², washed", "in")
    assert told == f"cotton, 3.2 to 4.4{NBSP}oz/yd², washed"
    assert figures.weights_told("cotton, 110 to 150 g/m²", "cm") == "cotton, 110 to 150 g/m²"
