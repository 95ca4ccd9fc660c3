"""Darts on their pieces."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import shapely

from booklet.drawing import look, marks
from booklet.model import Dart
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.folding import darts_closed
from booklet.pictures.plies import (
    draw_copy,
    side_words,
)
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene

REACH = 46.0  # mm of cloth shown round a pressed dart
PRESSED_HIGH = 30.0  # on paper, where several stand in a row of their own


def draw_dart(scene: StepScene) -> Picture | None:
    """Each dart on its piece, wrong side up: legs to bring together, fold line, the way to press; then sewn and pressed."""
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
        at = _turned_over(bench, copy_id)
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
    if len(shown) == 1:
        picture.add(_pressed(bench, *shown[0], Room(x, 5, 102 - x, 46)))
    else:  # each below its own piece
        top = picture.bottom + 5
        for n, (copy_id, darts) in enumerate(shown):
            picture.add(_pressed(bench, copy_id, darts, Room(3 + n * (width + 6), top, width, PRESSED_HIGH)))
    return picture if shown else None


def _turned_over(bench: Bench, copy: str) -> Placement:
    return on_grain(bench.copies[copy]).then(Placement.mirror(0j, 1j))


def _pressed(bench: Bench, copy: str, darts: Sequence[Dart], room: Room) -> Frame:
    """The dart at the right, sewn and pressed: its fold lies on one side of the row, and an arrow tells which."""
    folds = {**bench.folds, copy: darts_closed(bench.copies[copy], darts, bench.folds.get(copy, ()))}
    bench = replace(bench, folds=folds, darted=bench.darted | {f"{copy}.{d.name}" for d in darts})
    at = _turned_over(bench, copy)
    dart = max(darts, key=lambda d: at.apply(d.point).real)
    mouth, point = (at.apply(bench.lies(copy, z)) for z in ((dart.first + dart.second) / 2, dart.point))
    ends = box_of([Path.line(mouth, point)])
    box = common(grown(ends, REACH), grown(bench.cut_line(copy).placed(at).bbox, 3.0))
    frame = fit_frame(box, room.width, room.height, room.corner)
    draw_copy(frame, bench, copy, at)
    towards = dart.first - dart.second if dart.press_first else dart.second - dart.first
    way = at.direction(towards / abs(towards))
    start = mouth + (point - mouth) * 0.5
    long = min(7.0 / frame.scale, REACH - 6.0)
    frame.board.add(*marks.action_arrow(frame.on_paper(start), frame.on_paper(start + way * long), dot=False))
    return frame
