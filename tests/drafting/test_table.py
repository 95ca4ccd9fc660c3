"""Values, points and lines: in any order of the file, to any scale, from the trade's own rules."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import replace
from fractions import Fraction
from typing import Any

import pytest
from helpers.drafts import MIDDLING, NAMES, draft_sources, draft_style, inline_draft, option_sets, sources
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.numeric import Unbracketed, find_root
from booklet.reading.yaml_source import Source

INCH = 25.4


def turned(source: Source) -> Source:
    """The same draft with values, points, lines and marks written in the opposite order."""

    def back(data: Mapping[str, Any]) -> dict[str, Any]:
        return dict(reversed(list(data.items())))

    data = dict(source.data)
    data["values"] = back(data["values"])
    data["marks"] = back(data["marks"])
    data["construction"] = {
        name: {kind: back(things) for kind, things in back(group).items()}
        for name, group in back(data["construction"]).items()
    }
    return replace(source, data=data)


@pytest.mark.parametrize("style", NAMES)
def test_the_order_of_values_points_lines_and_marks_does_not_matter(style: str) -> None:
    style_file, draft, sewing = sources(style)
    for options in option_sets(style):
        plain = draft_sources(style_file, draft, sewing, MIDDLING, options)
        other = draft_sources(style_file, turned(draft), sewing, MIDDLING, options)
        assert other.errors == ()
        assert other.draft.values == plain.draft.values
        assert {k: p.edges for k, p in other.draft.pieces.items()} == {
            k: p.edges for k, p in plain.draft.pieces.items()
        }


@pytest.mark.parametrize("style", NAMES)
def test_the_same_body_gives_the_same_draft(style: str) -> None:
    assert draft_style(style).draft == draft_style(style).draft


def test_a_circle_of_values_is_told_with_its_names_and_its_line() -> None:
    made = inline_draft("units: cm\nvalues:\n  wide: deep + 1\n  deep: tall * 2\n  tall: wide - 3\n")
    assert any(
        "wide needs deep needs tall needs wide" in e and e.startswith("draft.yaml:3:") for e in made.errors
    )


def test_a_circle_of_points_is_told() -> None:
    made = inline_draft(
        "units: cm\n"
        "construction: {p: {points: {a: {from: b, down: 1}, b: {from: a, across: 2}, c: {down: 9}},\n"
        "  lines: {ab: {straight: [a, b]}, bc: {straight: [b, c]}, ca: {straight: [c, a]}}}}\n"
        "pieces: {x: {number: 1, outline: [p.ab, p.bc, p.ca], cut: {main: 1}, allow: {other: 1}}}\n"
    )
    assert any("p.points.a needs p.points.b needs p.points.a" in e for e in made.errors)


def test_an_unknown_value_names_the_nearest() -> None:
    made = inline_draft("units: cm\nvalues: {quarter: 20, wide: quater * 2}\n")
    assert any("'quater'" in e and "Did you mean 'quarter'" in e for e in made.errors)


# ------------------------------------------------------------------ scale

PROPORTIONAL = """
units: cm
values: {quarter: bust_girth / 4, deep: bust_girth / 6, out: quarter * 1.1}
construction:
  p:
    points:
      neck: {across: quarter / 3}
      pit: {down: deep / 3}
      tip: {across: quarter * 0.8, down: deep / 5}
      under: {across: quarter, down: deep}
      hem_side: {across: out, down: back_neck_to_waist}
      hem_centre: {down: back_neck_to_waist}
    lines:
      neckline: {curve: [pit, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      armhole: {curve: [tip, under], leave: square to shoulder, arrive: across}
      side: {straight: [under, hem_side]}
      hem: {curve: [hem_side, hem_centre], leave: square to side, arrive: in}
      centre: {straight: [hem_centre, pit]}
pieces:
  front: {number: 1, half: left, fold: centre, cut: {main: 1}, allow: {other: 1},
          outline: [p.neckline, p.shoulder, p.armhole, p.side, p.hem, p.centre]}
"""


@given(st.floats(0.4, 3.0))
@settings(max_examples=25)
def test_a_draft_of_proportions_scales_with_the_body(scale: float) -> None:
    """A formula without a fixed amount knows no unit: k times the body gives k times every line."""
    body = {"bust_girth": 920.0, "back_neck_to_waist": 405.0}
    one = inline_draft(PROPORTIONAL, body)
    other = inline_draft(PROPORTIONAL, {name: mm * scale for name, mm in body.items()})
    assert one.errors == other.errors == ()
    for a, b in zip(one.draft.pieces["front"].edges, other.draft.pieces["front"].edges, strict=True):
        for p, q in zip(a.path.segments, b.path.segments, strict=True):
            assert all(abs(x * scale - y) < 1e-6 * scale * 1000 for x, y in zip(p, q, strict=True))


@pytest.mark.parametrize("style", NAMES)
def test_a_body_grown_all_over_keeps_every_seam_and_gets_a_larger_garment(style: str) -> None:
    girths = []
    for scale in (0.88, 1.0, 1.12, 1.24):
        made = draft_style(style, {name: mm * scale for name, mm in MIDDLING.items()})
        finished = {f.name: f.garment_mm for f in made.finished}
        _ = made.seams, made.openings
        assert made.errors == ()
        girths.append(finished)
    for smaller, larger in zip(girths, girths[1:], strict=False):
        assert all(larger[name] > smaller[name] for name in smaller)


def test_inches_and_centimetres_give_the_same_lines() -> None:
    inches = inline_draft(PROPORTIONAL.replace("units: cm", "units: in"), MIDDLING)
    centimetres = inline_draft(PROPORTIONAL, MIDDLING)
    assert inches.draft.pieces["front"].outline == centimetres.draft.pieces["front"].outline


# ------------------------------------------------------------------ worked values of the trade


@pytest.mark.parametrize(
    ("bust", "armhole", "quarters", "cap", "eighths"),
    [
        (36, 7.5, (9.5, 9.75, 10.0), 4.5, ("15/2", "9/2")),
        (40, 8.1667, (10.5, 10.75, 11.0), 4.8333, ("65/8", "39/8")),
        (44, 8.8333, (11.5, 11.75, 12.0), 5.1667, ("71/8", "41/8")),
    ],
)
def test_basic_block_relations(
    bust: int, armhole: float, quarters: tuple[float, ...], cap: float, eighths: tuple[str, str]
) -> None:
    """TRADE.md 1.16: armhole depth b/6 + 1.5, quarters (b + 2..4)/4, cap height b/12 + 1.5 in. Common practice, no
    source; tolerance 0.0005 in before rounding."""
    made = inline_draft(
        "units: in\nvalues: {scye: bust_girth / 6 + 1.5, q2: (bust_girth + 2) / 4, q3: (bust_girth + 3) / 4,\n"
        "  q4: (bust_girth + 4) / 4, cap: bust_girth / 12 + 1.5,\n"
        "  scye_eighths: 'round_to(bust_girth / 6 + 1.5, 1/8)', cap_eighths: 'round_to(bust_girth / 12 + 1.5, 1/8)'}\n",
        {"bust_girth": bust * INCH},
    )
    assert made.errors == ()
    values = {name: mm / INCH for name, mm in made.draft.values.items()}
    assert values["scye"] == pytest.approx(armhole, abs=0.0005)
    assert tuple(values[q] for q in ("q2", "q3", "q4")) == pytest.approx(quarters, abs=0.0005)
    assert values["cap"] == pytest.approx(cap, abs=0.0005)
    assert values["scye_eighths"] == pytest.approx(float(Fraction(eighths[0])), abs=1e-9)
    assert values["cap_eighths"] == pytest.approx(float(Fraction(eighths[1])), abs=1e-9)


@pytest.mark.parametrize(
    ("bust", "scye", "quarter"), [(36, 7.5, 10.0), (40, 8.1667, 11.0), (44, 8.8333, 12.0)]
)
def test_the_top_is_drafted_by_those_relations(bust: int, scye: float, quarter: float) -> None:
    """TRADE.md 1.16, by the top's own files."""
    made = draft_style("top", {**MIDDLING, "bust_girth": bust * INCH})
    body = {m.name: m.mm for m in made.measures}
    assert body["scye_depth"] / INCH == pytest.approx(scye, abs=0.0005)
    assert made.draft.values["quarter"] / INCH == pytest.approx(quarter, abs=0.0005)


CIRCLE_SKIRT = """
units: cm
values: {radius: waist_girth / 6.283185, out: radius + long, long: 60}
construction:
  q:
    points: {a: {across: radius}, b: {down: radius}, c: {down: out}, d: {across: out}}
    lines:
      waist: {curve: [b, a], leave: across, arrive: up}
      fold_edge: {straight: [a, d]}
      hem: {curve: [d, c], leave: down, arrive: in}
      centre: {straight: [c, b]}
pieces:
  quarter: {number: 1, half: right, fold: centre, cut: {main: 2}, allow: {other: 1},
            outline: [q.waist, q.fold_edge, q.hem, q.centre]}
"""


def test_a_circle_skirt_has_the_worked_radius_and_hem() -> None:
    """TRADE.md 1.5 (arithmetic): waist 70 cm, long 60 cm: r = 11.141 cm, hem 446.99 cm in all. The drawn quarter circle
    is within 0.03 % of a true one."""
    made = inline_draft(CIRCLE_SKIRT, {"waist_girth": 700.0})
    assert made.errors == ()
    quarter = made.draft.pieces["quarter"]
    waist, hem = quarter.edge("waist"), quarter.edge("hem")
    assert waist is not None
    assert hem is not None
    assert made.draft.values["radius"] == pytest.approx(111.41, abs=0.1)
    assert 4 * waist.length == pytest.approx(700.0, rel=3e-4)
    assert 4 * hem.length == pytest.approx(4469.9, rel=3e-4)
    assert math.isclose(hem.length / waist.length, 711.41 / 111.41, rel_tol=1e-4)


# ------------------------------------------------------------------ the bracketed unknown


def test_a_solved_value_makes_both_sides_equal() -> None:
    made = draft_style("top", options={"neck": "wide", "sleeve_end": "elastic"})
    front, back = (made.draft.pieces[k].edge("neckline") for k in ("front", "back"))
    assert front is not None
    assert back is not None
    assert 2 * (front.length + back.length) == pytest.approx(MIDDLING["head_girth"] + 22, abs=0.001)


def test_an_equation_without_a_solution_says_how_far_off_both_ends_are() -> None:
    made = inline_draft("units: cm\nvalues:\n  x: {solve: x * 2 = 9, between: [5, 6]}\n")
    assert any(
        "no x between 50.0 and 60.0 mm" in e and "10.0 mm" in e and "30.0 mm" in e for e in made.errors
    )


@given(st.floats(-50, 50), st.floats(0.2, 5))
def test_a_bracketed_root_is_found(root: float, steep: float) -> None:
    def gap(x: float) -> float:
        return math.tanh(steep * (x - root)) + 0.01 * (x - root) ** 3

    assert find_root(gap, -60, 60, 1e-9) == pytest.approx(root, abs=1e-5)


def test_a_bracket_on_one_side_is_refused() -> None:
    with pytest.raises(Unbracketed):
        find_root(lambda x: x * x + 1, -1, 1)
