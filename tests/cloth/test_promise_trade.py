"""Figures of the trade that amounts and cut pieces rest on and that no other table holds: corners, circles, words."""

from __future__ import annotations

import cmath
import math
from pathlib import Path

import pytest
from helpers import all_styles
from helpers.changed import changed
from helpers.drafts import MIDDLING, draft_sources, inline_draft
from helpers.plain import cut, ring_of

from booklet.cloth import plan_of
from booklet.cloth.stage import cloth_needs
from booklet.job import check_style
from booklet.problems import Collector
from booklet.reading.read import read_body
from booklet.reading.shop import read_shop
from booklet.units import NBSP

SHOP = read_shop(None)


# 1.10: a mitre reaches r / sin(phi / 2); beyond 2.5 r (a common choice, no source) it is cut off square.
@pytest.mark.parametrize(
    ("degrees", "times"), [(60, 2.000), (90, 1.414), (120, 1.155), (45, 2.613), (30, 3.864)]
)
def test_a_mitre_reaches_as_far_as_its_angle_says(degrees: float, times: float) -> None:
    r, phi = 10.0, math.radians(degrees)
    assert 1 / math.sin(phi / 2) == pytest.approx(times, abs=5e-4)  # arithmetic
    arm = cmath.rect(300, phi)
    made, _ = cut(ring_of([0j, 300 + 0j, arm], r))
    reach = max(abs(z) for z in made.cut.flatten(0.01) if abs(z) < 60)
    if times <= 2.5:
        assert reach == pytest.approx(times * r, abs=0.01)
    else:
        assert 2.5 * r - 0.5 <= reach <= 2.5 * r * 1.1


# 1.5: the waist's allowance lies inside the circle; those of the seams across the ring come to its waist.
@pytest.mark.parametrize("seams", [2, 3, 4])
def test_the_cut_edge_of_a_circle_skirt(seams: int) -> None:
    """W 70 cm: r = 11.141 cm, its cut edge at r - allowance; with n seams the cloth round the stitch line of the waist is
    W + 2 n x allowance (arithmetic)."""
    made = inline_draft(
        "units: cm\npieces:\n  p:\n    number: 1\n    title: Skirt\n"
        f"    circle: {{waist: 70, long: 60, seams: {seams}}}\n    cut: {{main: 2}}\n    drawn for: left\n"
        "    allow: {waist: 1, other: 1.5}\n"
    )
    assert made.errors == ()
    outline = made.cut_piece("p").cut.flatten(0.01)
    radius = 700 / math.tau
    assert min(abs(z) for z in outline) == pytest.approx(radius - 10, abs=0.05)
    turn = cmath.exp(1j * math.tau / seams)
    sides = [z for z in outline if radius - 1 < abs(z) < radius + 600 + 20]
    spread = max(cmath.phase(z / 1j) for z in sides) - min(cmath.phase(z / 1j) for z in sides)
    assert spread > cmath.phase(turn) % math.tau - 1e-9  # the allowances lie outside the sector
    off = [abs((z / cmath.exp(1j * (math.pi / 2 - math.tau / seams))).imag) for z in outline]
    assert any(distance == pytest.approx(15, abs=0.05) for distance in off)  # parallel to its side at 1.5 cm


# ---------------------------------------------------------------- 1.9, 6: what is printed with an amount


@pytest.mark.parametrize(
    ("language", "words"),
    [("en", "try on before"), ("fr", "essayer avant"), ("es", "probar antes")],
)
def test_elastic_is_always_told_to_be_tried_on_first(language: str, words: str) -> None:
    shop = read_shop(None, None, language)
    files = all_styles.files("trousers")
    made = check_style(files, read_body(files.base), {}, "cm", shop)
    (elastic,) = (n for n in made.notions if n.kind == "elastic")
    assert words in elastic.working.replace(NBSP, " ").lower()


def test_a_hook_is_set_back_from_the_edge() -> None:
    """1/8 in (Association of Sewing and Design Professionals, Standards of Quality, p. 25)."""
    made = all_styles.checked("aline", (), "cm")
    (step,) = (w for w in made.words if w.verb == "hook")
    assert step.facts["back"] == pytest.approx(25.4 / 8, abs=0.2)
    assert f"3{NBSP}mm" in " ".join(step.paragraphs)


# ---------------------------------------------------------------- interfacing and lining


def test_a_lining_is_laid_bought_and_washed_as_a_cloth_of_its_own(tmp_path: Path) -> None:
    """The flared skirt with its front and back cut of a lining too, as far as cutting goes."""
    new = "  lining: {title: lining, widths: [140 cm, 90 cm], shrinkage: 2 %}\n  interfacing:\n"
    cuts = [(f"    cut: {{main: {n}}}\n", f"    cut: {{main: {n}, lining: {n}}}\n") for n in (1, 2)]
    files = changed(tmp_path, "aline", {"style": [("  interfacing:\n", new)], "draft": cuts})
    style, draft, sewing = (files.sources[name] for name in ("style", "draft", "sewing"))
    made = draft_sources(style, draft, sewing, MIDDLING)
    collector = Collector()
    needs = cloth_needs(style, made.copies, made.cut, SHOP, "cm", collector, 0)
    lining = next(n for n in needs if n.key == "lining")
    best = next(plan for plan in lining.lays if plan.recommended)
    assert {p.piece for p in best.placings} == {"front", "back"}
    assert best.need_mm == pytest.approx((best.length_mm + SHOP.squaring) / 0.98)
    assert best.need_mm <= best.buy_mm < best.need_mm + SHOP.buy_step["cm"]
    assert {plan.width_mm for plan in lining.lays} | {w for w, _ in lining.refusals} == {1400.0, 900.0}
    assert not collector.problems


# ---------------------------------------------------------------- every lay is judged


def test_a_fresh_lay_that_cannot_be_cut_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    made = all_styles.checked("apron", all_styles.options_of("apron")[0], "cm").prepared
    style, collector = all_styles.files("apron").sources["style"], Collector()
    real = plan_of._copies_of
    monkeypatch.setattr("booklet.cloth.plan_of._copies_of", lambda *given: real(*given)[:0])  # no ply is laid
    cloth_needs(style, made.copies, made.cuts, SHOP, "cm", collector, 0)
    assert "lay-copies" in {p.code for p in collector.errors}
