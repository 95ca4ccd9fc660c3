"""The full-scale pages read back from the PDF: joined, they give every line of the draft and of the cutting.

A page's content is interpreted (placing of the forms, clip), its tile's place on the sheet undone, and what is left
compared with the job's own pieces where the sheet has them.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

import numpy as np
import pytest
import shapely
from helpers.page_paths import Drawn, paths_of
from shapely import affinity

from booklet.drawing import look
from booklet.paths import Path, Placement

NEAR = 0.1  # mm
STEP = 0.5  # mm between the points at which lines are compared


@dataclass
class Joined:
    """Lines of the pieces as each tile shows them, in the sheet's mm: all, those cut on, those stitched on."""

    windows: list[shapely.Polygon]
    all: list[Any]
    cut: list[Any]
    stitch: list[Any]


def joined(booklet: Any) -> Joined:
    grid = booklet.sheet.grid
    out = Joined([], [], [], [])
    for tile, page in zip(booklet.sheet.tiles, booklet.tiles, strict=True):
        drawn = [d for d in paths_of(page, steps=80) if d.form and d.operator == "S"]
        # Laying the pages at their steps is what the maker does; a page's print area starts at the paper's margin.
        shift = complex(tile[1] * grid.step_x - grid.margin, tile[0] * grid.step_y - grid.margin)
        (window,) = {d.clips[0] for d in drawn}
        out.windows.append(affinity.translate(shapely.box(*window), shift.real, shift.imag))
        pens = {"all": drawn, "cut": of_pen(drawn, look.CUT_FULL), "stitch": of_pen(drawn, look.STITCH_FULL)}
        for name, lines in pens.items():
            getattr(out, name).append(shown(lines, window, shift))
    return out


def of_pen(drawn: list[Drawn], pen: Any) -> list[Drawn]:
    return [d for d in drawn if abs(d.width_pt - pen.width_pt) < 1e-6 and bool(d.dash) == bool(pen.dash_mm)]


def shown(drawn: list[Drawn], window: Any, shift: complex) -> Any:
    lines = [[(z.real, z.imag) for z in sub] for d in drawn for sub in d.subpaths if len(sub) > 1]
    seen = shapely.intersection(shapely.MultiLineString(lines), shapely.box(*window))
    return affinity.translate(seen, shift.real, shift.imag)


@pytest.fixture(scope="module", params=["top-a4", "top-letter", "skirt-a4", "top-sides", "skirt-sides"])
def both(request: pytest.FixtureRequest, booklets: dict[str, Any]) -> Any:
    """A booklet and its tiles; one booklet after the other."""
    return booklets[request.param], joined(booklets[request.param])


def points(path: Path, placement: Placement) -> np.ndarray:
    """Points along a line, corners among them, where the sheet has it."""
    at = placement.apply_all(path.flatten(0.005))
    line = shapely.segmentize(shapely.LineString(np.column_stack([at.real, at.imag])), STEP)
    return shapely.points(shapely.get_coordinates(line))


def true_lines(booklet: Any) -> dict[str, list[tuple[str, np.ndarray]]]:
    """From the job, placed: (what, points). 'draft' is the drafted outline, before anything was cut or opened out."""
    out: dict[str, list[tuple[str, np.ndarray]]] = {"cut": [], "stitch": [], "draft": []}
    size = booklet.job.size
    assert len(booklet.sheet.placed) == len(size.cut_pieces) > 2
    for entry in booklet.sheet.placed:
        cut = size.cut_piece(entry.piece.key)
        put, name = entry.placement, entry.piece.key
        assert not put.mirrored and abs(put.turn) == pytest.approx(1), (
            "paper is never turned over or stretched"
        )
        out["cut"].append((name, points(cut.paper_cut, put)))
        for edge in cut.paper_net:
            out["stitch"].append((f"{name}.{edge.name}", points(edge.path, put)))
        for edge in size.draft.pieces[name].edges:
            if cut.extent == "half" or edge.name != cut.piece.fold:
                out["draft"].append((f"{name}.{edge.name}", points(edge.path, put)))
    return out


@pytest.mark.parametrize("kind", ["cut", "stitch", "draft"])
def test_joined_tiles_give_every_line(both: Any, kind: str) -> None:
    """On each tile that has it in its print area: so the strips of neighbours show the same, and joints fit."""
    booklet, tiles = both
    for name, line in true_lines(booklet)[kind]:
        there = np.zeros(len(line), bool)
        for window, lines in zip(tiles.windows, tiles.all, strict=True):
            within = shapely.contains(window.buffer(-NEAR), line)
            if within.any():
                off = shapely.distance(lines, line[within])
                assert off.max() < NEAR, f"{name} is off by {off.max():.3f} mm"
                there |= within
        assert there.all(), f"{name}: {np.count_nonzero(~there)} of {len(line)} points are on no page"


def test_nothing_is_drawn_as_a_cut_line_elsewhere(both: Any) -> None:
    booklet, tiles = both
    nothing_elsewhere(tiles.cut, [line for _, line in true_lines(booklet)["cut"]])


def test_nothing_is_drawn_as_a_stitch_line_elsewhere(both: Any) -> None:
    """Darts and slits are stitched too."""
    booklet, tiles = both
    lines = [line for _, line in true_lines(booklet)["stitch"]]
    for entry in booklet.sheet.placed:
        cut = booklet.job.size.cut_piece(entry.piece.key)
        darts = (
            cut.piece.darts if cut.extent == "half" else [d for h in copies_of(booklet, cut) for d in h.darts]
        )
        for dart in darts:
            lines.append(points(Path.polyline([dart.first, dart.point, dart.second]), entry.placement))
        for slit in cut.piece.openings:
            mouth = (slit.at - slit.foot) / slit.depth * 1j * slit.mouth / 2
            for side in (mouth, -mouth):
                lines.append(points(Path.line(slit.at + side, slit.foot), entry.placement))
    nothing_elsewhere(tiles.stitch, lines)


def copies_of(booklet: Any, cut: Any) -> list[Any]:
    """One ply, in the drawing's own frame."""
    found = [c for c in booklet.job.size.copies if c.piece.key == cut.piece.key and not c.placing.mirrored]
    return found[:1]


def nothing_elsewhere(drawn: list[Any], true: list[np.ndarray]) -> None:
    """Every drawn line lies on the true ones."""
    known = shapely.MultiLineString([shapely.get_coordinates(line) for line in true])
    assert any(not lines.is_empty for lines in drawn)
    for lines in drawn:
        if not lines.is_empty:
            off = shapely.distance(
                known, shapely.points(shapely.get_coordinates(shapely.segmentize(lines, 2.0)))
            )
            assert off.max() < NEAR, f"something is drawn {off.max():.3f} mm off"
