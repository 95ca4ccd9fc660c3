"""Draft -> DXF -> pieces: every piece of every shipped style within 0.05 mm, in lengths, area, place and grain."""

from __future__ import annotations

from pathlib import Path as FilePath

import numpy as np
import pytest
import shapely

from booklet.combinations import combinations_of
from booklet.drafting.draft import draft_pieces, lay_out_table
from booklet.dxf_out import style_dxf
from booklet.exchange.rings import corners
from booklet.exchange.write_dxf import safe_names
from booklet.inputs import read_inputs
from booklet.job import check_style
from booklet.model import CutPiece, Piece
from booklet.paths import Path, Placement
from booklet.problems import Collector
from booklet.reading.draft_shape import DraftShape
from booklet.reading.read import read_style
from booklet.reading.shape import check_shape
from booklet.reading.yaml_source import parse_yaml

NEAR = 0.05  # mm
STYLES = sorted(p.parent for p in (FilePath(__file__).parents[2] / "styles").glob("*/style.yaml"))
CASES = [
    pytest.param(folder, dict(chosen), id=f"{folder.name}-{'-'.join(c for _, c in chosen) or 'plain'}")
    for folder in STYLES
    for chosen in {
        c: None for every in [combinations_of(read_style(folder), {})] for c in (every[0], every[-1])
    }
]


def entry(cut: CutPiece, name: str, numbers: dict[str, list[int]]) -> str:
    edges = ", ".join(f"{edge}: {[*group]}" for edge, group in numbers.items())
    half = f"    half: {cut.piece.drawn_for}\n" if cut.extent == "half" else ""
    return f"  {name}:\n{half}    dxf: {{file: all.dxf, piece: {name}, edges: {{{edges}}}}}\n"


def stretches(cut: CutPiece) -> dict[str, list[int]]:
    """The numbers of the stretches that each edge is written as: it is divided at its own sharp corners."""
    out: dict[str, list[int]] = {}
    n = 1
    for edge in cut.paper_net:
        count = 1 + len(corners(edge.path, closed=False))
        out[edge.name.replace(".", "_")] = list(range(n, n + count))
        n += count
    return out


def read_back(draft: str, folder: FilePath) -> dict[str, Piece]:
    source = parse_yaml(draft, str(folder / "draft.yaml"))
    collector = Collector()
    check_shape(source, DraftShape, collector)
    table, maker = lay_out_table(source, parse_yaml("style: x\n", "style.yaml"), (), {}, "cm")
    pieces = draft_pieces(table, maker, collector).pieces
    assert [p.sentence() for p in collector.problems] == []
    return pieces


def line(path: Path) -> shapely.LineString:
    points = path.flatten(0.002)
    return shapely.LineString(np.column_stack([points.real, points.imag]))


@pytest.mark.parametrize(("folder", "options"), CASES)
def test_every_piece_comes_back(folder: FilePath, options: dict[str, str], tmp_path: FilePath) -> None:
    given = read_inputs(folder, options=[f"{k}={v}" for k, v in options.items()])
    data, count, _ = style_dxf(given)
    (tmp_path / "all.dxf").write_bytes(data)
    cuts = sorted(
        check_style(given.style, given.body, options, given.units, given.shop).prepared.cuts,
        key=lambda c: (c.piece.number, c.piece.key),
    )
    names = safe_names([c.piece.key for c in cuts])
    assert count == len(cuts) > 0
    entries = [entry(c, name, stretches(c)) for c, name in zip(cuts, names, strict=True)]
    back = read_back("units: mm\npieces:\n" + "".join(entries), tmp_path)
    for cut, name in zip(cuts, names, strict=True):
        mine = back[name]
        net = cut.paper_net[0].path.joined(*(e.path for e in cut.paper_net[1:]))
        x0, y0, _, _ = net.bbox
        home = Placement.move(complex(-x0, -y0))
        assert [e.name for e in mine.edges] == [e.name.replace(".", "_") for e in cut.paper_net]
        for edge, theirs in zip(mine.edges, cut.paper_net, strict=True):
            assert edge.length == pytest.approx(theirs.length, abs=NEAR), f"{name}.{edge.name}"
            assert line(edge.path).hausdorff_distance(line(theirs.path.placed(home))) < NEAR
        areas = [shapely.Polygon(line(p).coords).area for p in (mine.outline, net)]
        assert areas[0] == pytest.approx(areas[1], abs=NEAR * net.length)
        assert mine.fold == (cut.piece.fold if cut.extent == "half" else None)
        assert abs(home.apply(cut.piece.grain[0]) - mine.grain[0]) < NEAR
        assert abs(home.apply(cut.piece.grain[1]) - mine.grain[1]) < NEAR
