"""Every way of the construction, written as a style writes it, against closed forms; and what cannot be drawn is told."""

from __future__ import annotations

import math
from pathlib import Path as FilePath
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from pydantic import ValidationError

from booklet.drafting.draft import lay_out_table
from booklet.drafting.table import Table
from booklet.problems import Fault
from booklet.reading.construction_shape import Line, Point
from booklet.reading.yaml_source import parse_yaml

STYLE = parse_yaml("style: x\n", "style.yaml")
GROUND = """
units: mm
values: {values}
construction:
  g:
    points:
      a: {{}}
      b: {{across: 100}}
      c: {{across: 100, down: 100}}
      d: {{down: 60}}
{points}
    lines:
      top: {{straight: [a, b]}}
      side: {{straight: [b, c]}}
      slant: {{straight: [a, c]}}
      bow: {{curve: [a, c], leave: across, arrive: down}}
{lines}
pieces:
  p:
    outline: [g.top, g.side, g.slant]
"""


def table(
    points: str = "", lines: str = "", values: str = "{}", body: dict[str, float] | None = None
) -> Table:
    def told(block: str) -> str:
        return "\n".join("      " + row.strip() for row in block.strip().splitlines())

    text = GROUND.format(values=values, points=told(points), lines=told(lines))
    made, _ = lay_out_table(parse_yaml(text, "draft.yaml"), STYLE, (), {}, "cm")
    made.measures = body or {}
    return made


def near(a: complex, b: complex, within: float = 1e-4) -> bool:
    return abs(a - b) < within


@pytest.mark.parametrize(
    ("words", "at"),
    [
        ("{square: {to: top, from: b, by: 30, toward: down}}", 100 + 30j),
        ("{square: {to: slant, from: a, by: 50, toward: b}}", 50 * complex(math.sqrt(0.5), -math.sqrt(0.5))),
        ("{foot: {from: b, on: slant}}", 50 + 50j),
        ("{along: side, by: 30}", 100 + 30j),
        ("{along: side, by: 30, starting: c}", 100 + 70j),
        ("{along: side, share: 1/4, starting: c}", 100 + 75j),
        ("{divide: [a, b], part: 2/5}", 40 + 0j),
        ("{midway: [a, c], up: 10}", 50 + 40j),
        ("{arc: {round: a, radius: 125, meets: side}}", 100 + 75j),
        (
            "{arc: {round: d, radius: 80, meets: slant, near: a}}",
            77.95831523 * (1 + 1j),
        ),  # x = y, x² + (x - 60)² = 80²
        ("{arc: {round: a, radius: 60, and round: b, and radius: 80, near: down}}", 36 + 48j),
        ("{arc: {round: a, radius: 60, and round: b, and radius: 80, near: up}}", 36 - 48j),
        ("{mirrored: {point: b, in: slant}}", 100j),
        ("{turned: {point: b, round: a, by: 90 deg}}", 100j),
        ("{ray: {from: d, angle: 30 deg, by: 40}}", 60j + 40 * complex(math.cos(math.pi / 6), 0.5)),
        ("{meet: [side, level], prolong: true}", 100 + 60j),
        ("{from: d, across: 'length of straight(g.a, g.c) / 2'}", complex(math.hypot(100, 100) / 2, 60)),
        ("{across: 'pi * 10 mm'}", complex(10 * math.pi)),
    ],
)
def test_a_point_lies_where_arithmetic_says(words: str, at: complex) -> None:
    made = table(f"z: {words}\ne: {{from: d, across: 40}}", "level: {straight: [d, e]}")
    found = made.point("z", "g")
    assert near(found, at)


@pytest.mark.parametrize(
    ("words", "length", "start", "end"),
    [
        ("{arc: {through: [b, h, f]}}", 100 * math.pi / 2, 100 + 0j, 100j),
        ("{arc: {from: b, to: f, round: a, way: clockwise}}", 100 * math.pi / 2, 100 + 0j, 100j),
        ("{arc: {from: b, to: f, round: a, way: anticlockwise}}", 100 * math.pi * 1.5, 100 + 0j, 100j),
        ("{arc: {from: a, to: b, radius: 50, bulge: up}}", 50 * math.pi, 0j, 100 + 0j),
        ("{ellipse: [a, c], leave: across}", 100 * math.pi / 2, 0j, 100 + 100j),
        ("{copy: {line: side, move: [b, a]}}", 100, 0j, 100j),
        ("{copy: {line: top, mirrored in: slant}}", 100, 0j, 100j),
        ("{copy: {line: top, turned round: a, turned by: 90 deg}}", 100, 0j, 100j),
        ("{copy: {line: p.side}}", 100, 100 + 0j, 100 + 100j),
        ("{part of: {line: slant, from: m, to: c}}", math.hypot(50, 50), 50 + 50j, 100 + 100j),
        ("{part of: {line: slant, from: m, to: a}}", math.hypot(50, 50), 50 + 50j, 0j),
        ("{joined: [top, side]}", 200, 0j, 100 + 100j),
        ("{joined: [side, top]}", 200, 100 + 100j, 0j),
        ("{parallel: {to: top, by: 20, toward: down}}", 100, 20j, 100 + 20j),
    ],
)
def test_a_line_is_as_long_as_arithmetic_says(
    words: str, length: float, start: complex, end: complex
) -> None:
    points = "f: {down: 100}\nh: {turned: {point: b, round: a, by: 45 deg}}\nm: {midway: [a, c]}"
    made = table(points, f"z: {words}")
    line = made.line("g", "z")
    assert line.length == pytest.approx(length, rel=1e-5)
    assert near(line.start, start)
    assert near(line.end, end)


@settings(max_examples=30, deadline=None)
@given(st.floats(20, 300), st.floats(3, 60), st.booleans())
def test_a_line_parallel_to_an_arc_is_an_arc_of_the_other_radius(
    radius: float, by: float, inside: bool
) -> None:
    """Length of an arc offset by r: times (R + r) / R or (R - r) / R (arithmetic)."""
    if inside and by > radius * 0.8:
        by = radius * 0.5
    points = f"p: {{across: {radius:.6f}}}\nq: {{down: {radius:.6f}}}"
    toward = "a" if inside else "far"
    points += "\nfar: {across: 2000, down: 2000}"
    lines = f"""
        bend: {{arc: {{from: p, to: q, round: a, way: clockwise}}}}
        z: {{parallel: {{to: bend, by: {by:.6f}, toward: {toward}}}}}
    """
    made = table(points, lines)
    other = radius - by if inside else radius + by
    assert made.line("g", "z").length == pytest.approx(other * math.pi / 2, rel=2e-4)


@settings(max_examples=25, deadline=None)
@given(st.floats(0.5, 2.5))
def test_all_measures_by_k_gives_all_lengths_by_k(k: float) -> None:
    def made(scale: float) -> Table:
        points = """
            e: {across: w, down: w / 2}
            f: {square: {to: cut, from: e, by: w / 5, toward: down}}
            g2: {arc: {round: e, radius: w * 1.1, meets: edge, near: down}}
            h: {turned: {point: e, round: f, by: 20 deg}}
            o: {}
            l: {down: w * 3}
        """
        lines = """
            cut: {straight: [o, e]}
            edge: {straight: [o, l]}
            z: {curve: [o, f, h], leave: across, arrive: square to cut}
            y: {arc: {from: e, to: g2, radius: w * 1.3, bulge: across}}
            x: {ellipse: [o, e], leave: down}
        """
        return table(points, lines, body={"w": 200.0 * scale})

    one, other = made(1.0), made(k)
    for name in "zyx":
        assert other.line("g", name).length == pytest.approx(one.line("g", name).length * k, rel=1e-6)
    for name in ("f", "g2", "h"):
        assert near(other.point(name, "g"), one.point(name, "g") * k, 1e-3)


# Seam-line radius of circle skirts, W / theta, TRADE values by arithmetic: waist, full, three-quarter, half, quarter.
CIRCLES = [
    ("24 in", 25.4, (3.820, 5.093, 7.639, 15.279)),
    ("28 in", 25.4, (4.456, 5.942, 8.913, 17.825)),
    ("30 in", 25.4, (4.775, 6.366, 9.549, 19.099)),
    ("36 in", 25.4, (5.730, 7.639, 11.459, 22.918)),
    ("70 cm", 10.0, (11.141, 14.854, 22.282, 44.563)),
]


@pytest.mark.parametrize(("waist", "unit", "radii"), CIRCLES)
def test_a_circle_skirt_drafted_with_pi_has_the_radius_of_the_table(
    waist: str, unit: float, radii: tuple[float, ...]
) -> None:
    for turns, radius in zip((2.0, 1.5, 1.0, 0.5), radii, strict=True):
        made = table(
            "q: {across: r}\ne: {down: r}",
            "waist: {arc: {from: q, to: e, round: a, way: clockwise}}",
            values=f"{{w: {waist}, r: w / (pi * {turns})}}",
        )
        assert made.value("r") == pytest.approx(radius * unit, abs=0.001 * unit)
        # A quarter of the circle is a share of the waist: a full circle's, 1/4.
        assert made.line("g", "waist").length * 2 * turns == pytest.approx(float(made.value("w")), rel=1e-6)  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("points", "lines", "words"),
    [
        ("z: {arc: {round: a, radius: 80, meets: side}}", "", "20.0 mm are missing"),
        ("z: {arc: {round: a, radius: 300, meets: side}}", "", "too many"),
        ("z: {arc: {round: a, radius: 30, and round: b, and radius: 50}}", "", "20.0 mm are missing"),
        ("z: {arc: {round: a, radius: -5, meets: side}}", "", "must be more than 0"),
        ("z: {foot: {from: far, on: top}}\nfar: {across: 130, down: 40}", "", "30.0 mm past the end of top"),
        (
            "z: {meet: [top, low]}\ne: {from: d, across: 40}",
            "low: {straight: [d, e]}",
            "stay about 60.0 mm apart",
        ),
        ("z: {along: side, by: 130}", "", "100.0 mm long and has no point at 130.0 mm"),
        ("z: {along: side, by: 10, starting: a}", "", "100.0 mm from the nearer end"),
        ("z: {square: {to: top, from: a, by: 10, toward: b}}", "", "does not tell the side"),
        ("", "z: {arc: {through: [a, m, c]}}", "straight line"),
        ("", "z: {arc: {from: a, to: b, radius: 30, bulge: up}}", "at least 50.0 mm is needed"),
        ("", "z: {ellipse: [a, b], leave: across}", "ahead of its start and to one side"),
        ("", "z: {part of: {line: top, from: a, to: c}}", "100.0 mm beside top"),
        ("", "z: {joined: [top, slant, low]}\nlow: {straight: [d, m]}", "begins"),
        ("", "z: {parallel: {to: bow, by: 150, toward: d}}", "folds back"),
        ("", "z: {curve: [a, c], leave: sideways}", "'sideways' is not a direction"),
        ("", "z: {straight: [a, a]}", "two neighbouring points in one place"),
        ("z: {mirrored: {point: z2, in: top}}\nz2: {turned: {point: z, round: a, by: 10 deg}}", "", "needs"),
    ],
)
def test_what_cannot_be_drawn_is_a_sentence_with_its_line(points: str, lines: str, words: str) -> None:
    made = table(points + "\nm: {midway: [a, c]}", lines)
    with pytest.raises(Fault) as told:
        if points.startswith("z"):
            made.point("z", "g")
        else:
            made.line("g", "z")
    sentence = told.value.problems[0].sentence()
    assert words in sentence
    assert sentence.startswith("draft.yaml:")


@pytest.mark.parametrize(
    ("shape", "spec", "words"),
    [
        (Point, {"midway": ["a", "b"], "meet": ["c", "d"]}, "begins in 2 ways"),
        (Point, {"from": "a", "starting": "b"}, "without along"),
        (Point, {"from": "a", "near": "b"}, "without meet"),
        (Point, {"arc": {"round": "a", "radius": 3}}, "meets nothing"),
        (Line, {"straight": ["a", "b"], "ellipse": ["a", "b"], "leave": "down"}, "drawn in 2 ways"),
        (Line, {"ellipse": ["a", "b"]}, "says how it leaves"),
        (Line, {"arc": {"from": "a", "to": "b"}}, "not one kind of arc"),
        (Line, {"copy": {"line": "g.a", "turned round": "b"}}, "turned by half"),
        (Line, {"straight": ["a", "b"], "leave": "down"}, "leave without curve"),
    ],
)
def test_words_that_do_not_go_together_are_refused(shape: Any, spec: dict[str, Any], words: str) -> None:
    with pytest.raises(ValidationError, match=words):
        shape.model_validate(spec)


def test_every_way_is_written_about() -> None:
    """The guide for style writers shows each word of the construction."""
    guide = (FilePath(__file__).parents[2] / "styles" / "README.md").read_text(encoding="utf-8")
    for key in (*Point.keys(), *Line.keys()):
        assert f"{key}:" in guide, key
