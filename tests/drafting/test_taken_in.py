"""Pieces from elsewhere: coordinates off paper and SVG drawings, judged by svgelements' own lengths and boxes."""

from __future__ import annotations

import math
from pathlib import Path as FilePath

import pytest
import svgelements
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.draft import draft_pieces, lay_out_table
from booklet.model import Piece
from booklet.problems import Collector
from booklet.reading.draft_shape import DraftShape
from booklet.reading.shape import check_shape
from booklet.reading.yaml_source import parse_yaml

STYLE = parse_yaml("style: x\n", "style.yaml")


def drafted(text: str, folder: FilePath | None = None) -> tuple[dict[str, Piece], list[str]]:
    source = parse_yaml(text, str(folder / "draft.yaml") if folder else "draft.yaml")
    collector = Collector()
    check_shape(source, DraftShape, collector)
    if collector.problems:
        return {}, [p.sentence() for p in collector.problems]
    table, maker = lay_out_table(source, STYLE, (), {}, "cm")
    draft = draft_pieces(table, maker, collector)
    return draft.pieces, [p.sentence() for p in collector.problems]


# ------------------------------------------------------------------ off paper

POCKET = """
units: cm
pieces:
  pocket:
    measured:
      edges:
        mouth: [[0, 0], [14, 0]]
        side: [[14, 0], [14, 12], ["140 mm", 13]]
        foot: {smooth: [[14, 13], [7, 17], [0, 13]], leave: down, arrive: up}
        other: [[0, 13], [0, 0]]
"""


def test_a_piece_off_paper_has_the_edges_that_were_measured() -> None:
    pieces, told = drafted(POCKET)
    assert told == []
    pocket = pieces["pocket"]
    assert [e.name for e in pocket.edges] == ["mouth", "side", "foot", "other"]
    assert {e.name: round(e.length, 6) for e in pocket.edges if e.name != "foot"} == {
        "mouth": 140, "side": 130, "other": 130}  # fmt: skip
    foot = pocket.edge("foot")
    assert foot is not None
    assert foot.path.start_tangent == pytest.approx(1j, abs=1e-9)
    assert abs(foot.path.point(foot.path.nearest(70 + 170j)) - (70 + 170j)) < 1e-6


def test_small_gaps_are_closed_and_large_ones_told_with_their_size() -> None:
    near, told = drafted(POCKET.replace("[0, 13], [0, 0]]", "[0, 13.03], [0.02, 0]]"))
    assert told == []
    assert near["pocket"].outline.closed
    _, told = drafted(POCKET.replace("[0, 13], [0, 0]]", "[0.4, 13], [0, 0]]"))
    assert len(told) == 1
    assert "other begins 4.0 mm from where foot ends" in told[0]


def test_edges_may_be_written_either_way_round() -> None:
    there, _ = drafted(POCKET)
    back, told = drafted(POCKET.replace("other: [[0, 13], [0, 0]]", "other: [[0, 0], [0, 13]]"))
    assert told == []
    assert back["pocket"].outline.length == pytest.approx(there["pocket"].outline.length)


@pytest.mark.parametrize(
    ("old", "new", "words"),
    [
        ("[[0, 0], [14, 0]]", "[[0, 0], [0, 0], [14, 0]]", "two neighbouring points are in one place"),
        ("[[0, 0], [14, 0]]", "[[0, 0, 1], [14, 0]]", "mouth"),
        ("[[0, 0], [14, 0]]", "[[0, nan], [14, 0]]", "nan"),
        ("[[0, 0], [14, 0]]", "[[0, 0]]", "mouth"),
    ],
)
def test_coordinates_that_are_none_are_told(old: str, new: str, words: str) -> None:
    _, told = drafted(POCKET.replace(old, new))
    assert told
    assert any(words in t for t in told)


# ------------------------------------------------------------------ drawings

PLAIN = '<svg xmlns="http://www.w3.org/2000/svg" {size}>{body}</svg>'
LINES = """
  <path id="mouth" d="M10,10 h60"/>
  <path id="side" d="M70,10 v40 q0,20 -20,20"/>
  <path id="foot" d="M50,70 h-20 a20,20 0 0 1 -20,-20"/>
  <path id="other" d="M10,50 C10,40 10,20 10,10"/>
"""
BY_EDGE = """
units: mm
pieces:
  bag:
    svg: {file: bag.svg, edges: [mouth, side, foot, other]EXTRA}
"""


def from_drawing(
    folder: FilePath, size: str, body: str, draft: str = BY_EDGE
) -> tuple[dict[str, Piece], list[str]]:
    (folder / "bag.svg").write_text(PLAIN.format(size=size, body=body), encoding="utf-8")
    return drafted(draft.replace("EXTRA", ""), folder)


@pytest.mark.parametrize(
    ("size", "mm"),
    [
        ('width="100mm" height="100mm" viewBox="0 0 100 100"', 1.0),
        ('width="10cm" height="10cm" viewBox="0 0 100 100"', 1.0),
        ('width="10in" height="10in" viewBox="0 0 100 100"', 2.54),
        ('width="100mm" height="100mm" viewBox="0 0 200 200"', 0.5),
        ('width="100mm" height="100mm" viewBox="-20 -20 200 200"', 0.5),
        (
            'width="210mm" height="297mm"',
            25.4 / 96,
        ),  # no viewBox: the px of CSS, 96 to the inch (W3C, CSS Values 3)
        ('width="720pt" height="720pt" viewBox="0 0 720 720"', 25.4 / 72),
        ('width="200mm" height="100mm" viewBox="0 0 100 100"', 1.0),  # meet: the smaller of the two scales
    ],
)
def test_a_drawing_comes_in_at_the_size_its_file_gives(tmp_path: FilePath, size: str, mm: float) -> None:
    pieces, told = from_drawing(tmp_path, size, LINES)
    assert told == []
    lengths = {e.name: e.length for e in pieces["bag"].edges}
    assert lengths["mouth"] == pytest.approx(60 * mm, rel=1e-6)
    assert lengths["foot"] == pytest.approx((20 + 10 * math.pi) * mm, rel=1e-5)


NESTED = """
  <g transform="translate(5,5) rotate(30)"><g transform="scale(2)">
    <path id="a" d="M0,0 L30,0"/><polyline id="b" points="30,0 30,20 25,25"/>
  </g><path id="c" transform="scale(2) skewX(0)" d="M25,25 S10,40 0,25"/></g>
  <line id="d" transform="translate(5,5) rotate(30) scale(2)" x1="0" y1="25" x2="0" y2="0"/>
"""


def test_nested_transforms_give_the_lengths_and_box_that_svgelements_gives(tmp_path: FilePath) -> None:
    draft = BY_EDGE.replace("[mouth, side, foot, other]", "[a, b, c, d]")
    pieces, told = from_drawing(tmp_path, 'width="200mm" height="200mm" viewBox="0 0 200 200"', NESTED, draft)
    assert told == []
    drawing = svgelements.SVG.parse(tmp_path / "bag.svg", reify=True, ppi=25.4)
    for edge in pieces["bag"].edges:
        theirs = svgelements.Path(drawing.get_element_by_id(edge.name))
        assert edge.length == pytest.approx(theirs.length(error=1e-7), rel=1e-5)
        box = theirs.bbox()
        mine = edge.path.bbox
        assert max(abs(a - b) for a, b in zip(mine, box, strict=True)) < 0.06


def test_labels_and_titles_name_lines_too(tmp_path: FilePath) -> None:
    body = """
      <path id="p1" aria-label="mouth" d="M10,10 h60"/>
      <path id="p2" xmlns:x="urn:x" x:label="side" d="M70,10 v60"/>
      <path id="foot" d="M70,70 h-60"/><path id="other" d="M10,70 v-60"/>
    """
    pieces, told = from_drawing(tmp_path, 'width="100mm" height="100mm" viewBox="0 0 100 100"', body)
    assert told == []
    assert {e.name: e.length for e in pieces["bag"].edges} == pytest.approx(
        {"mouth": 60, "side": 60, "foot": 60, "other": 60}
    )


def test_a_whole_outline_is_divided_at_its_corners(tmp_path: FilePath) -> None:
    body = '<path id="all" d="M10,10 H70 V50 Q70,70 50,70 H30 A20,20 0 0 1 10,50 Z"/>'
    draft = BY_EDGE.replace("edges: [mouth, side, foot, other]", "outline: all, edges: [mouth, round]")
    pieces, told = from_drawing(tmp_path, 'width="100mm" height="100mm" viewBox="0 0 100 100"', body, draft)
    assert told == []
    lengths = {e.name: e.length for e in pieces["bag"].edges}
    assert lengths["mouth"] == pytest.approx(60)
    assert lengths["round"] == pytest.approx(pieces["bag"].outline.length - 60)
    draft = draft.replace("[mouth, round]", "[mouth, side, foot]")
    _, told = from_drawing(tmp_path, 'width="100mm" height="100mm" viewBox="0 0 100 100"', body, draft)
    assert "has 2 corners" in told[0]


@settings(max_examples=20, deadline=None)
@given(st.floats(20, 900), st.floats(20, 900), st.floats(0.0, 15.0), st.sampled_from(["rect", "path"]))
def test_a_rectangle_keeps_its_sides(wide: float, high: float, corner: float, kind: str) -> None:
    import tempfile

    w, h = round(wide, 4), round(high, 4)
    body = (
        f'<rect id="all" x="3" y="4" width="{w}" height="{h}"/>'
        if kind == "rect"
        else f'<path id="all" d="M3,4 h{w} v{h} h-{w} z"/>'
    )
    draft = BY_EDGE.replace(
        "edges: [mouth, side, foot, other]", "outline: all, edges: [mouth, side, foot, other]"
    )
    with tempfile.TemporaryDirectory() as folder:
        pieces, told = from_drawing(
            FilePath(folder), 'width="1000mm" height="1000mm" viewBox="0 0 1000 1000"', body, draft
        )
    assert told == []
    assert [round(e.length, 3) for e in pieces["bag"].edges] == pytest.approx([w, h, w, h], abs=2e-3)


@pytest.mark.parametrize(
    ("size", "body", "extra", "words"),
    [
        ('width="100" height="100"', LINES, "", "doesn't say how large it is"),
        ('viewBox="0 0 100 100"', LINES, "", "doesn't say how large it is"),
        ('width="100px" height="100px"', LINES, "", "doesn't say how large it is"),
        ('width="9cm" height="9cm"', LINES.replace('"side"', '"sied"'), "", "no line 'side'. Did you mean 'sied'?"),
        ('width="9cm" height="9cm"', LINES.replace("v40 q0,20", "v30 q0,20"), "", "begins"),
        ('width="9cm" height="9cm"', LINES.replace("h60", "h60 M0,0 h5"), "", "2 lines in one"),
        ('width="9cm" height="9cm"', LINES.replace('<path id="mouth" d="M10,10 h60"/>', '<text id="mouth">x</text>'), "",
         "is no line but a text"),
        ('width="9cm" height="9cm"', LINES.replace("M10,10 h60", "M10,10 h0"), "", "no length"),
        ('width="9cm" height="9cm"', "<g>", "", "cannot be read"),
    ],
)  # fmt: skip
def test_a_drawing_that_cannot_serve_is_a_sentence(
    tmp_path: FilePath, size: str, body: str, extra: str, words: str
) -> None:
    _, told = from_drawing(tmp_path, size, body)
    assert told
    assert any(words in t for t in told), told
    assert all("draft.yaml:" in t for t in told)


def test_a_px_may_be_told_by_the_style(tmp_path: FilePath) -> None:
    (tmp_path / "bag.svg").write_text(
        PLAIN.format(size='width="90" height="90"', body=LINES), encoding="utf-8"
    )
    pieces, told = drafted(BY_EDGE.replace("EXTRA", ", px: 1/90 in"), tmp_path)
    assert told == []
    mouth = pieces["bag"].edge("mouth")
    assert mouth is not None
    assert mouth.length == pytest.approx(60 * 25.4 / 90)


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is no SVG drawing"),
        (b"\x89PNG\r\n\x1a\n", "is no SVG drawing"),
        (b"<html><body/></html>", "is no SVG drawing"),
        (
            b'<!DOCTYPE svg [<!ENTITY a "aaaa"><!ENTITY b "&a;&a;">]><svg width="9cm" height="9cm">&b;</svg>',
            "entities",
        ),
        (
            b'<svg width="9cm" height="9cm" xmlns="http://www.w3.org/2000/svg"><path id="mouth" d="Mnan,nan L1,1"/></svg>',
            "no length",
        ),
    ],
)
def test_what_is_no_drawing_is_a_sentence(tmp_path: FilePath, content: bytes, words: str) -> None:
    (tmp_path / "bag.svg").write_bytes(content)
    _, told = drafted(BY_EDGE.replace("EXTRA", ""), tmp_path)
    assert any(words in t for t in told), told


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("../bag.svg", "outside the style's folder"),
        ("/etc/bag.svg", "outside"),
        ("bog.svg", "Did you mean 'bag.svg'"),
    ],
)
def test_a_file_is_looked_for_in_the_styles_folder_only(tmp_path: FilePath, name: str, words: str) -> None:
    (tmp_path / "bag.svg").write_text(
        PLAIN.format(size='width="9cm" height="9cm"', body=LINES), encoding="utf-8"
    )
    _, told = drafted(BY_EDGE.replace("EXTRA", "").replace("bag.svg", name), tmp_path)
    assert any(words in t for t in told), told
