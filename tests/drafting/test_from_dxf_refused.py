"""DXF files that cannot serve as a piece end in a sentence, damaged ones too; what a draft names is an input."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path as FilePath
from typing import Any

import ezdxf
import pytest
from helpers.dxf_drawings import FOUR, RECTANGLE, drafted, drawing, rectangle, taken
from hypothesis import given
from hypothesis import strategies as st

from booklet.drafting.ways.taken_in import drawings_named
from booklet.exchange import read_dxf

# ------------------------------------------------------------------ what cannot serve


def _open(doc: Any, block: Any) -> None:
    block.add_lwpolyline(RECTANGLE[:3], dxfattribs={"layer": "14"})


def _crossing(doc: Any, block: Any) -> None:
    block.add_lwpolyline([(0, 0), (100, 100), (100, 0), (0, 100)], close=True, dxfattribs={"layer": "14"})


def _far(doc: Any, block: Any) -> None:
    block.add_lwpolyline([(x * 1e6, y) for x, y in RECTANGLE], close=True, dxfattribs={"layer": "14"})


def _two(doc: Any, block: Any) -> None:
    rectangle(doc, block)
    rectangle(doc, doc.blocks.new("SACK"))


def _empty(doc: Any, block: Any) -> None:
    block.add_text("nothing")


def _endless(doc: Any, block: Any) -> None:
    rectangle(doc, block)
    for _ in range(3):
        block.add_blockref("BAG", (1, 1))


def _pyramid(doc: Any, block: Any) -> None:
    below = block
    for n in range(12):
        layer = doc.blocks.new(f"B{n}")
        for _ in range(40):
            below.add_blockref(f"B{n}", (0, 0))
        below = layer
    rectangle(doc, below)


@pytest.mark.parametrize(
    ("draw", "spec", "words"),
    [
        (_open, FOUR, "does not close: 360.6 mm are open"),
        (_crossing, FOUR, "crosses itself"),
        (_far, FOUR, "over 100 m large"),
        (_two, FOUR, "x.dxf has 2 pieces. Say piece: one of BAG, SACK"),
        (_two, FOUR + ", piece: BOG", "no piece 'BOG'. Did you mean 'BAG'?"),
        (_empty, FOUR, "has no lines"),
        (_pyramid, FOUR + ", piece: BAG", "holds over 3000 things"),
        (rectangle, FOUR + ", line: cut, allowance: 1", "no line on layer 1"),
        (rectangle, FOUR + ", allowance: 1", "has a stitching line"),
        (rectangle, FOUR + ", line: stitch, allowance: 1", "no allowance to take off"),
        (rectangle, FOUR + ", line: cut, layer: a", "say the same"),
        (rectangle, FOUR + ", units: yards", "units"),
        (rectangle, "edges: [a, a, b, c]", "two edges called a"),
        (rectangle, "piece: BAG", "edges"),
    ],
)
def test_a_drawing_that_cannot_serve_is_a_sentence(
    tmp_path: FilePath,
    monkeypatch: pytest.MonkeyPatch,
    draw: Callable[[Any, Any], None],
    spec: str,
    words: str,
) -> None:
    monkeypatch.setattr(read_dxf, "MOST", 3000)
    drawing(tmp_path, draw)
    _, told = drafted(spec, tmp_path)
    assert told
    assert any(words in t for t in told), told
    assert all("draft.yaml:" in t for t in told)


def test_a_block_within_itself_ends(tmp_path: FilePath) -> None:
    drawing(tmp_path, _endless)
    _, told = drafted(FOUR, tmp_path)  # one of the rectangles, or a sentence; never an endless walk
    assert all("draft.yaml:" in t for t in told)


WHOLE = b"  0\nSECTION\n  2\nHEADER\n  0\nENDSEC\n  0\nSECTION\n  2\nENTITIES\n"


@pytest.mark.parametrize(
    ("content", "words"),
    [
        (b"", "is empty"),
        (b"  \n\n", "is empty"),
        (b"AC1032\0\0\0\0", "is a DWG drawing"),
        (b"\x89PNG\r\n\x1a\n\0\0", "cannot be read"),
        (b"<svg/>", "cannot be read"),
        (b"AutoCAD Binary DXF\r\n\x1a\x00\xff\xff\x00", "cannot be read"),
        (WHOLE, ""),
        (WHOLE + b"  0\nLINE\n 10\nnan\n 20\n0\n 11\ninf\n 21\n1\n  0\nENDSEC\n  0\nEOF\n", ""),
        (WHOLE + b"  0\nLINE\n 10\nabc\n", "cannot be read"),
        (b"  0\nSECTION\n" * 2000, ""),
        (b"0\n" * 5000, ""),
    ],
)
def test_what_is_no_drawing_is_a_sentence(tmp_path: FilePath, content: bytes, words: str) -> None:
    (tmp_path / "x.dxf").write_bytes(content)
    _, told = drafted(FOUR, tmp_path)
    assert told
    assert all(words in t and "draft.yaml:" in t for t in told), told


@given(st.integers(0, 2**31), st.integers(1, 40))
def test_a_damaged_file_never_ends_in_anything_but_a_sentence(seed: int, count: int) -> None:
    import random
    from tempfile import TemporaryDirectory

    lot = random.Random(seed)
    with TemporaryDirectory() as name:
        folder = FilePath(name)
        data = bytearray(SOUND)
        for _ in range(count):
            at = lot.randrange(len(data))
            data[at : at + lot.randrange(3)] = bytes(lot.randrange(32, 127) for _ in range(lot.randrange(3)))
        if lot.random() < 0.3:
            del data[lot.randrange(len(data)) :]
        (folder / "x.dxf").write_bytes(bytes(data))
        piece, told = drafted(FOUR, folder)
    assert piece is not None or all("draft.yaml:" in t for t in told)


def _sound() -> bytes:
    import io

    doc = ezdxf.new("R12")
    rectangle(doc, doc.blocks.new("BAG"))
    doc.modelspace().add_blockref("BAG", (0, 0))
    out = io.StringIO()
    doc.write(out)
    return out.getvalue().encode()


SOUND = _sound()


def test_a_binary_dxf_is_read(tmp_path: FilePath) -> None:
    doc = drawing(tmp_path, rectangle)
    doc.saveas(tmp_path / "x.dxf", fmt="bin")
    assert sorted(taken(FOUR, tmp_path).values()) == pytest.approx([200, 200, 300, 300])


def test_without_the_library_a_sentence_says_how_to_get_it(
    tmp_path: FilePath, monkeypatch: pytest.MonkeyPatch
) -> None:
    drawing(tmp_path, rectangle)
    monkeypatch.setitem(sys.modules, "ezdxf", None)
    _, told = drafted(FOUR, tmp_path)
    assert "pip install 'booklet[dxf]'" in told[0] and "draft.yaml:" in told[0]


def test_a_changed_file_is_read_anew(tmp_path: FilePath) -> None:
    drawing(tmp_path, rectangle)
    assert sorted(taken(FOUR, tmp_path).values())[0] == pytest.approx(200)
    drawing(tmp_path, rectangle, units=5)
    assert sorted(taken(FOUR, tmp_path).values())[0] == pytest.approx(2000)


def test_the_drawings_that_a_draft_names() -> None:
    pieces = {
        "a": {"svg": {"file": "a.svg"}},
        "b": {"dxf": {"file": "b.dxf"}},
        "c": {"dxf": {"file": "b.dxf"}},
        "d": {"dxf": {"file": "../../b.dxf"}},
        "e": {"svg": {"file": "/dev/zero"}},
        "f": {"svg": {"file": 3}},
        "g": None,
    }
    assert list(drawings_named({"pieces": pieces})) == ["a.svg", "b.dxf"]
    assert list(drawings_named({})) == []
