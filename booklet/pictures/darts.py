"""Darts on their pieces."""

from __future__ import annotations

import shapely

from booklet.drawing import look, marks
from booklet.paths import Path, Placement
from booklet.pictures.bench import grown, on_grain
from booklet.pictures.canvas import Picture, fit_frame, polygon
from booklet.pictures.plies import (
    draw_copy,
    side_words,
)
from booklet.pictures.step_scene import StepScene


def draw_dart(scene: StepScene) -> Picture | None:
    """Each dart on its piece, wrong side up: legs to bring together, fold line, the way to press."""
    bench = scene.bench
    refs = [str(r) for r in (scene.spec if isinstance(scene.spec, list) else [scene.spec])]
    picture = Picture()
    x = 3.0
    shown = []
    for ref in refs:
        key, _, name = ref.partition(".")
        for copy in bench.copies.values():
            if copy.piece.name == key and copy.host is None:
                darts = [d for d in copy.darts if d.name == name]
                if darts:
                    shown.append((copy.id, darts))
                    break
    width = min(60.0, 96.0 / max(1, len(shown)) - 4)
    for copy_id, darts in shown:
        at = on_grain(bench.copies[copy_id]).then(Placement.mirror(0j, 1j))
        outline = bench.cut_line(copy_id).placed(at)
        pts = [at.apply(z) for d in darts for z in (d.first, d.point, d.second)]
        box = grown(
            (
                min(z.real for z in pts),
                min(z.imag for z in pts),
                max(z.real for z in pts),
                max(z.imag for z in pts),
            ),
            45.0,
        )
        ob = grown(outline.bbox, 3.0)
        box = (max(box[0], ob[0]), max(box[1], ob[1]), min(box[2], ob[2]), min(box[3], ob[3]))
        frame = fit_frame(box, width, 46, complex(x, 5))
        draw_copy(frame, bench, copy_id, at)
        for d in darts:
            first, point, second = (at.apply(z) for z in (d.first, d.point, d.second))
            frame.line(Path.polyline([first, point, second]), look.SEW_NOW, "seam")
            frame.line(Path.line((first + second) / 2, point), look.FOLD, "fold")
            low = 0.35
            a, b = first + (point - first) * low, second + (point - second) * low
            start, tip = (b, a) if d.press_first else (a, b)
            frame.board.add(
                *marks.curved_arrow(frame.on_paper(start), frame.on_paper(tip), 1j, -1j, swing=0.8)
            )
        frame.label(
            f"point, {scene.mm(abs((darts[0].first + darts[0].second) / 2 - darts[0].point))}\nfrom the stitch line",
            at.apply(darts[0].point),
            None,
            dot=False,
        )
        spot = polygon(outline).intersection(shapely.box(*box)).representative_point()
        frame.label(
            side_words(bench, copy_id, at), complex(spot.x, box[3] - (box[3] - box[1]) * 0.15), outline
        )
        picture.add(frame)
        x += width + 6
    return picture if shown else None
