"""Small DXF drawings written in a test, and the pieces that a draft takes in from them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path as FilePath
from typing import Any

import ezdxf

from booklet.drafting.draft import draft_pieces, lay_out_table
from booklet.model import Piece
from booklet.problems import Collector
from booklet.reading.draft_shape import DraftShape
from booklet.reading.shape import check_shape
from booklet.reading.yaml_source import parse_yaml

STYLE = parse_yaml("style: x\n", "style.yaml")
RECTANGLE = [(0, 0), (300, 0), (300, 200), (0, 200)]


def drafted(spec: str, folder: FilePath, more: str = "") -> tuple[Piece | None, list[str]]:
    """The piece of `dxf: {file: x.dxf, SPEC}`, and what was said."""
    text = f"units: cm\npieces:\n  bag:\n{more}    dxf: {{file: x.dxf, {spec}}}\n"
    source = parse_yaml(text, str(folder / "draft.yaml"))
    collector = Collector()
    check_shape(source, DraftShape, collector)
    if collector.problems:
        return None, [p.sentence() for p in collector.problems]
    table, maker = lay_out_table(source, STYLE, (), {}, "cm")
    draft = draft_pieces(table, maker, collector)
    return draft.pieces.get("bag"), [p.sentence() for p in collector.problems]


def taken(spec: str, folder: FilePath, more: str = "") -> dict[str, float]:
    piece, told = drafted(spec, folder, more)
    assert told == []
    assert piece is not None
    return {e.name: e.length for e in piece.edges}


def drawing(
    folder: FilePath, draw: Callable[[Any, Any], None], version: str = "R2000", units: int = 4
) -> Any:
    """A file whose block BAG is drawn by a function of the document and the block, inserted once."""
    doc = ezdxf.new(version, units=0 if version == "R12" else units)
    block = doc.blocks.new("BAG")
    draw(doc, block)
    doc.modelspace().add_blockref("BAG", (1000, -500))
    doc.saveas(folder / "x.dxf")
    return doc


def rectangle(doc: Any, block: Any, layer: str = "14") -> None:
    block.add_polyline2d(RECTANGLE, close=True, dxfattribs={"layer": layer})


FOUR = "edges: [top, right, foot, left]"
