"""Easing: the row beside the edge, the way in which its threads are drawn, the stretch flat and drawn up."""

from __future__ import annotations

import numpy as np

from booklet.drawing import look, marks
from booklet.paths import Path
from booklet.pictures.canvas import Picture
from booklet.pictures.rows import pieces_with_edges
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene
from booklet.sewing.operations.ease import ROWS
from booklet.sewing.operations.gather import row_depths

BARS = 74.0  # mm of paper that the flat stretch is drawn long


def draw_ease(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    bench = scene.bench
    seam = next((s for s in scene.seams if s.side in ("right", "whole")), scene.seams[0])
    rows = int(scene.spec.get("rows", ROWS))
    depths, _ = row_depths(seam.allow_a, rows)
    picture = Picture()
    frame, at = pieces_with_edges(bench, [seam.a], Room(14, 11, 78, 38), seam=False)
    for part in seam.a.parts:
        points = bench.part_path(part).flatten(0.1)
        way = np.gradient(points)
        out = way / np.abs(way) * -1j * bench.copies[part.copy].sign * (-1 if part.backwards else 1)
        for depth in depths:
            row = Path.polyline(points + out * (seam.allow_a - depth)).placed(at[part.copy])
            frame.line(row, look.GATHER_ROW, "gathering")
    for part, at_start in ((seam.a.parts[0], True), (seam.a.parts[-1], False)):
        path = bench.part_path(part).placed(at[part.copy])
        s = 0.0 if at_start else path.length
        way = path.tangent(s) * (-1 if at_start else 1)
        start = frame.on_paper(path.point(s)) + way * 1.5
        frame.board.add(*marks.action_arrow(start, start + way * 7.0, dot=False, role="pull"))
    longest = max(seam.a.parts, key=lambda p: abs(p.end - p.start))
    line = bench.part_path(longest).placed(at[longest.copy])
    words = f"{'one row' if len(depths) == 1 else 'two rows'},\nthreads left long"
    frame.label(words, line.point(line.length * 0.62), None, dot=False)
    picture.add(frame)
    drawn = (scene.numbers or {}).get("drawn", seam.a_mm)
    _bars(scene, picture, seam.a_mm, drawn)
    return picture


def _bars(scene: StepScene, picture: Picture, flat: float, drawn: float) -> None:
    """Two bars of one scale, flat and drawn up."""
    y, middle = picture.bottom + 5.0, 53.0
    for length, words in (
        (flat, scene.said(f"{scene.mm(flat)} flat")),
        (drawn, scene.said(f"{scene.mm(drawn)} drawn up")),
    ):
        half = length * BARS / flat / 2
        picture.add_items(
            marks.measure_line(complex(middle - half, y), complex(middle + half, y), words, 0.0), y + 2
        )
        y += 5.2
