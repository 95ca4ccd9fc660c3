"""Pieces out of DXF files of other conventions at their true size."""

from __future__ import annotations

import math
from pathlib import Path as FilePath
from typing import Any

import ezdxf
import pytest
from ezdxf.math import BSpline
from helpers.dxf_drawings import FOUR, RECTANGLE, drafted, drawing, rectangle, taken
from hypothesis import given
from hypothesis import strategies as st
from scipy.integrate import quad

# ------------------------------------------------------------------ units and scales


@pytest.mark.parametrize(("code", "mm"), [(1, 25.4), (2, 304.8), (4, 1.0), (5, 10.0), (6, 1000.0)])
def test_the_header_s_unit_gives_the_size(tmp_path: FilePath, code: int, mm: float) -> None:
    def draw(doc: Any, block: Any) -> None:
        points = [(x / mm, y / mm) for x, y in RECTANGLE]
        block.add_lwpolyline(points, close=True, dxfattribs={"layer": "14"})

    drawing(tmp_path, draw, units=code)
    assert sorted(taken(FOUR, tmp_path).values()) == pytest.approx([200, 200, 300, 300], abs=1e-6)


def test_an_old_file_says_its_unit_in_words_or_the_style_does(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        block.add_polyline2d([(x / 10, y / 10) for x, y in RECTANGLE], close=True, dxfattribs={"layer": "14"})

    drawing(tmp_path, draw, "R12")
    _, told = drafted(FOUR, tmp_path)
    assert len(told) == 1 and "x.dxf doesn't say what its unit is" in told[0] and "units: mm" in told[0]
    assert sorted(taken(FOUR + ", units: mm", tmp_path).values()) == pytest.approx([20, 20, 30, 30])
    assert sorted(taken(FOUR + ", units: in", tmp_path).values())[0] == pytest.approx(20 * 25.4)
    for words, mm in (("METRIC", 1.0), ("ENGLISH", 25.4)):
        doc = ezdxf.readfile(tmp_path / "x.dxf")
        doc.modelspace().add_text(f"UNITS: {words}")
        doc.saveas(tmp_path / "x.dxf")
        assert sorted(taken(FOUR, tmp_path).values())[0] == pytest.approx(20 * mm)
        drawing(tmp_path, draw, "R12")


def test_a_header_and_words_that_differ_are_refused(tmp_path: FilePath) -> None:
    doc = drawing(tmp_path, rectangle, units=1)
    doc.modelspace().add_text("UNITS: METRIC")
    doc.saveas(tmp_path / "x.dxf")
    _, told = drafted(FOUR, tmp_path)
    assert "its unit as in, its words as mm" in told[0]
    assert sorted(taken(FOUR + ", units: mm", tmp_path).values())[0] == pytest.approx(200)


@pytest.mark.parametrize(
    ("more", "sizes"),
    [
        ({"xscale": 2, "yscale": 2, "zscale": 2}, [400, 600]),
        ({"xscale": 0.5, "yscale": 0.5, "rotation": 30}, [100, 150]),
        ({"xscale": -1, "rotation": 200}, [200, 300]),
        ({"xscale": 2, "yscale": 3}, [600, 600]),
    ],
)
def test_a_block_comes_as_it_is_inserted(
    tmp_path: FilePath, more: dict[str, float], sizes: list[float]
) -> None:
    doc = ezdxf.new("R2000", units=4)
    rectangle(doc, doc.blocks.new("BAG"))
    doc.modelspace().add_blockref("BAG", (5000, 7000), dxfattribs=more)
    doc.saveas(tmp_path / "x.dxf")
    assert sorted({round(v, 4) for v in taken(FOUR, tmp_path).values()}) == pytest.approx(sorted(set(sizes)))


def test_unlike_insertions_are_refused(tmp_path: FilePath) -> None:
    doc = drawing(tmp_path, rectangle)
    doc.modelspace().add_blockref("BAG", (0, 0), dxfattribs={"xscale": 2, "yscale": 2})
    doc.saveas(tmp_path / "x.dxf")
    _, told = drafted(FOUR, tmp_path)
    assert "several times at unlike scales" in told[0]


# ------------------------------------------------------------------ kinds of lines


def test_lines_arcs_and_splines_in_any_order_make_one_outline(tmp_path: FilePath) -> None:
    control = [(0, 100), (-60, 60), (40, 30), (0, 0)]

    def draw(doc: Any, block: Any) -> None:
        on = {"layer": "14"}
        block.add_open_spline(control, degree=3, dxfattribs=on)
        block.add_line((150, 100), (0, 100), dxfattribs=on)
        block.add_arc((150, 50), 50, 270, 90, dxfattribs=on)
        block.add_line((0, 0), (150, 0), dxfattribs=on)

    drawing(tmp_path, draw)
    found = taken("edges: {rest: 1, spline: 2}", tmp_path)
    spline = BSpline(control, order=4)

    def speed(t: float) -> float:
        return float(spline.derivative(t, 1)[1].magnitude)

    long = quad(speed, 0, spline.max_t, epsabs=1e-9)[0]
    assert found["spline"] == pytest.approx(long, abs=1e-4)
    assert found["rest"] == pytest.approx(300 + 50 * math.pi, abs=1e-3)


def test_bulges_are_arcs(tmp_path: FilePath) -> None:
    quarter = math.tan(math.pi / 8)  # a bulge is the tangent of a quarter of the arc's angle

    def draw(doc: Any, block: Any) -> None:
        points = [(0, 0, 0), (200, 0, quarter), (300, 100, 0), (300, 300, 0), (0, 300, 0)]
        block.add_lwpolyline(points, format="xyb", close=True, dxfattribs={"layer": "14"})

    drawing(tmp_path, draw)
    found = taken("edges: [top, left, foot]", tmp_path)
    assert sorted(found.values()) == pytest.approx([300, 300, 400 + 50 * math.pi], abs=1e-3)


def test_an_old_polyline_with_a_bulge_and_a_line_across(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        block.add_polyline2d([(0, 0, 1), (100, 0, 0)], format="xyb", dxfattribs={"layer": "1"})
        block.add_line((0, 0), (100, 0), dxfattribs={"layer": "1"})

    drawing(tmp_path, draw, "R12")
    found = taken("units: mm, allowance: 0, edges: [chord, curve]", tmp_path)
    assert found == pytest.approx({"curve": 50 * math.pi, "chord": 100}, abs=1e-3)


def test_nested_blocks_and_layer_nought_are_taken_along(tmp_path: FilePath) -> None:
    doc = ezdxf.new("R2000", units=4)
    inner = doc.blocks.new("INNER")
    inner.add_lwpolyline([(0, 0), (30, 0), (30, 20), (0, 20)], close=True)
    doc.blocks.new("BAG").add_blockref(
        "INNER", (0, 0), dxfattribs={"layer": "14", "xscale": 10, "yscale": 10}
    )
    doc.modelspace().add_blockref("BAG", (0, 0))
    doc.saveas(tmp_path / "x.dxf")
    assert sorted(taken(FOUR + ", piece: bag", tmp_path).values()) == pytest.approx([200, 200, 300, 300])


def test_a_plain_drawing_without_blocks_on_a_layer_of_its_own(tmp_path: FilePath) -> None:
    doc = ezdxf.new("R2000", units=4)
    rectangle(doc, doc.modelspace(), "OUTLINE")
    doc.saveas(tmp_path / "x.dxf")
    assert sorted(taken(FOUR + ", layer: OUTLINE", tmp_path).values()) == pytest.approx([200, 200, 300, 300])
    assert len(taken(FOUR + ", allowance: 0", tmp_path)) == 4
    _, told = drafted(FOUR + ", layer: CUT", tmp_path)
    assert "no line on layer CUT" in told[0] and "OUTLINE" in told[0]


# ------------------------------------------------------------------ edges, fold, grain, notches


def test_turn_points_divide_the_outline_where_it_runs_smoothly(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        points = [(0, 0), (150, 0), (300, 0), (300, 200), (0, 200)]
        block.add_lwpolyline(points, close=True, dxfattribs={"layer": "14"})
        for point in points:
            block.add_point(point, dxfattribs={"layer": "2"})

    drawing(tmp_path, draw)
    piece, told = drafted("edges: [a, b, c, d, e]", tmp_path)
    assert told == [] and piece is not None
    assert sorted(round(e.length) for e in piece.edges) == [150, 150, 200, 200, 300]
    _, told = drafted(FOUR, tmp_path)
    assert "has 5 stretches from corner to corner, 4 edges are named" in told[0]
    listed = told[0].partition("they are ")[2]
    lengths = [int(part.split("(")[1].split(" mm")[0]) for part in listed.split(". Several")[0].split(", ")]
    assert sorted(lengths) == [150, 150, 200, 200, 300]
    n = next(n for n, long in enumerate(lengths) if long == lengths[n - 1] == 150)
    pair = sorted(((n - 1) % 5 + 1, n + 1))
    pair = pair if pair != [1, 5] else [5, 1]
    others = [k for k in range(1, 6) if k not in pair]
    names = dict(zip("xyz", others, strict=True))
    edges = ", ".join([f"foot: {pair}", *(f"{k}: {v}" for k, v in names.items())])
    assert taken(f"edges: {{{edges}}}", tmp_path)["foot"] == pytest.approx(300)
    _, told = drafted("edges: {a: [1, 3], b: 2, c: 4, d: 5}", tmp_path)
    assert "the stretches of a do not follow each other" in told[0]
    _, told = drafted("edges: {a: 1, b: 1, c: 4, d: 5}", tmp_path)
    assert "the edges name 1, 1, 4, 5" in told[0]


def half(doc: Any, block: Any) -> None:
    """A half whose stitching line is open, closed by the mirror line."""
    block.add_lwpolyline([(0, 0), (120, 0), (100, 300), (0, 300)], dxfattribs={"layer": "14"})
    block.add_line((0, -10), (0, 310), dxfattribs={"layer": "6"})
    block.add_line((60, 50), (60, 250), dxfattribs={"layer": "7"})


def test_a_mirror_line_makes_a_half(tmp_path: FilePath) -> None:
    drawing(tmp_path, half)
    spec = "edges: {hem: 1, side: 2, waist: 3, centre: 4}"
    _, told = drafted(spec, tmp_path)
    assert "is a half" in told[0] and "half: left" in told[0]
    piece, told = drafted(spec, tmp_path, "    half: left\n")
    assert told == [] and piece is not None
    assert piece.fold is not None
    fold = piece.edge(piece.fold)
    assert fold is not None and fold.length == pytest.approx(300)
    assert fold.path.start.real == pytest.approx(0, abs=1e-9)
    assert piece.grain[1] - piece.grain[0] == pytest.approx(-200j)  # y is up in the file, down here


def test_a_half_cut_line_keeps_its_fold(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        block.add_polyline2d([(0, 0), (120, 0), (120, 300), (0, 300)], close=True, dxfattribs={"layer": "1"})
        block.add_line((0, 300), (0, 0), dxfattribs={"layer": "6"})

    drawing(tmp_path, draw)
    piece, told = drafted(
        "edges: {hem: 4, centre: 1, waist: 2, side: 3}, allowance: {hem: 4, other: 1}",
        tmp_path,
        "    half: left\n",
    )
    assert told == [] and piece is not None
    assert piece.fold == "centre"
    found = {e.name: e.length for e in piece.edges}
    assert found == pytest.approx({"hem": 110, "centre": 250, "waist": 110, "side": 250})


def test_notches_become_marks(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        rectangle(doc, block)
        for point in [(100, -10), (197, -10), (203, -10), (310, 80)]:
            block.add_point(point, dxfattribs={"layer": "4"})

    drawing(tmp_path, draw)
    _, told = drafted(FOUR + ", notches: [one]", tmp_path)
    assert "3 notches, 1 are named" in told[0]
    _, told = drafted(FOUR + ", notches: {one: 9}", tmp_path)
    assert "none is number 9" in told[0]
    piece, told = drafted(FOUR + ", notches: [a, b, c]", tmp_path)
    assert told == [] and piece is not None
    marks = {m.name: (m.kind, e.path.point(m.at)) for e in piece.edges for m in e.marks}
    kinds = {(kind, round(z.real), round(z.imag)) for kind, z in marks.values()}
    assert kinds == {("single", 100, 200), ("double", 200, 200), ("single", 300, 120)}


# ------------------------------------------------------------------ cut line less allowance


@given(
    st.tuples(*[st.floats(0, 40)] * 4),
    st.floats(100, 500),
    st.floats(100, 500),
)
def test_an_allowance_comes_off_each_edge(wide: tuple[float, ...], w: float, h: float) -> None:
    from tempfile import TemporaryDirectory

    with TemporaryDirectory() as name:
        folder = FilePath(name)

        def draw(doc: Any, block: Any) -> None:
            block.add_lwpolyline([(0, h), (w, h), (w, 0), (0, 0)], close=True, dxfattribs={"layer": "1"})

        drawing(folder, draw)
        amounts = ", ".join(
            f"{k}: {v:.6f} mm" for k, v in zip(("top", "right", "foot", "left"), wide, strict=True)
        )
        found = taken(f"{FOUR}, allowance: {{{amounts}}}", folder)
    top, right, foot, left = wide
    expected = {
        "top": w - left - right,
        "foot": w - left - right,
        "left": h - top - foot,
        "right": h - top - foot,
    }
    assert found == pytest.approx(expected, abs=1e-3)


def test_an_allowance_off_a_curve(tmp_path: FilePath) -> None:
    def draw(doc: Any, block: Any) -> None:
        block.add_arc((0, 0), 100, 0, 180, dxfattribs={"layer": "1"})
        block.add_line((-100, 0), (100, 0), dxfattribs={"layer": "1"})

    drawing(tmp_path, draw)
    found = taken("allowance: {curve: 10 mm, chord: 0}, edges: {chord: 1, curve: 2}", tmp_path)
    assert found == pytest.approx({"curve": 90 * math.pi, "chord": 180}, abs=0.02)
    _, told = drafted("edges: {chord: 1, curve: 2}", tmp_path)
    assert "no stitching line on layer 14" in told[0] and "allowance: 0" in told[0]
    _, told = drafted("allowance: {curve: 1}, edges: {chord: 1, curve: 2}", tmp_path)
    assert "says nothing of chord" in told[0]
    _, told = drafted("allowance: 60 mm, edges: {chord: 1, curve: 2}", tmp_path)
    assert "allowance" in told[0] or "crosses itself" in told[0]
    found = taken("allowance: 40 mm, edges: {chord: 1, curve: 2}", tmp_path)
    angle = math.asin(40 / 60)  # where the chord, 40 mm further in, cuts the circle of 60 mm
    expected = {"chord": 120 * math.cos(angle), "curve": 60 * (math.pi - 2 * angle)}
    assert found == pytest.approx(expected, abs=0.02)
