"""Pictures of French, flat-felled and lapped seams: the pieces laid together, then the plies cut across."""

from __future__ import annotations

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.model import Seam
from booklet.paths import Path
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, outlines, polygon
from booklet.pictures.plies import (
    allowance_strip,
    draw_copy,
    lay_cloth,
    placed_area,
    run_box,
    short_title,
    side_words,
)
from booklet.pictures.scenes import Room, close_up, together, window
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section, stitch_mark
from booklet.pictures.step_scene import StepScene, add_section
from booklet.sewing.operations.enclosed import FELL_IN, FRENCH_INSIDE, LAP_IN

GAP = THICK + 0.35  # mm on paper from ply to ply


def french_first(words: str, long: float = 34.0) -> Section:
    """Wrong sides together, sewn outside the stitch line, the allowances trimmed."""
    seam = long - 6
    lower, upper = Path.line(0j, complex(long)), Path.line(complex(4, -GAP), complex(long, -GAP))
    items = draw_section([SectionPly(lower, False), SectionPly(upper, True)])
    items.append(stitch_mark(seam, -GAP - 1.4, 1.6))
    items += marks.measure_line(complex(seam, -4.0), complex(long, -4.0), words, 0.0, beside=-1j)
    return Section(tuple(items), (0, -7.5, long + 11, 2.0), {"lower": 1.2 + 0j, "upper": complex(9, -GAP)})


def french_second(words: str, long: float = 34.0) -> Section:
    """Right sides together round the first row, sewn again so that it is shut in."""
    far, first, row = long, long - 2.2, long - 10
    low, high = 1.5 * GAP, -1.5 * GAP
    lower = bent(
        [
            complex(0, low),
            complex(far + 1.6, low),
            complex(far + 1.6, 0.5 * GAP),
            complex(far - 6, 0.5 * GAP),
        ],
        0.8,
    )
    upper = bent(
        [
            complex(4, high),
            complex(far + 1.6, high),
            complex(far + 1.6, -0.5 * GAP),
            complex(far - 6, -0.5 * GAP),
        ],
        0.8,
    )
    items = draw_section([SectionPly(lower, True), SectionPly(upper, False)])
    items.append(stitch_mark(first, -GAP * 0.9, GAP * 0.9))
    items.append(stitch_mark(row, high - 1.4, low + 1.4))
    items += marks.measure_line(
        complex(row, high - 3.4), complex(far + 1.6, high - 3.4), words, 0.0, beside=-1j
    )
    return Section(
        tuple(items),
        (0, high - 7.0, far + 12, low + 1.8),
        {"first": complex(first, 0.4)},
    )


def felled(words: str, to_right: bool, long: float = 42.0) -> Section:
    """Wrong side up: both allowances to one side, the upper one folded round the lower and sewn down."""
    m, narrow, wide = long / 2, 7.0, 11.0
    s = 1.0 if to_right else -1.0
    near = bent([complex(m + s * m, 0), complex(m, 0), complex(m, -GAP), complex(m + s * narrow, -GAP)], 0.5)
    far = bent(
        [complex(m - s * m, 0), complex(m - s * 0.4, 0), complex(m - s * 0.4, -3 * GAP + 0.6),
         complex(m + s * wide, -3 * GAP + 0.6), complex(m + s * wide, -GAP), complex(m + s * (narrow + 0.8), -GAP)],
        0.5,
    )  # fmt: skip
    items = draw_section([SectionPly(near, to_right), SectionPly(far, not to_right)])
    items.append(stitch_mark(m + s * 1.0, -GAP - 0.8, GAP * 0.5))
    row = m + s * (wide - 2.2)
    items.append(stitch_mark(row, -3 * GAP - 0.8, 1.2))
    a, b = sorted((row, m + s * wide))
    items += marks.measure_line(
        complex(a, -3 * GAP - 2.4), complex(b, -3 * GAP - 2.4), words, 0.0, beside=complex(0, -1)
    )
    return Section(tuple(items), (0, -3 * GAP - 6.0, long, 1.6), {"a": 1.2 + 0j, "b": complex(long - 1.2)})


def lapped(words: str, long: float = 42.0) -> Section:
    """Right side up: the folded edge of the upper piece laid on the lower and sewn through."""
    fold, up = 18.0, -GAP
    under = Path.line(0j, complex(fold + 9))
    over = bent([complex(fold + 9, up), complex(fold, up), complex(fold, 2 * up), complex(long, 2 * up)], 0.5)
    items = draw_section([SectionPly(under, True), SectionPly(over, True)])
    row = fold + 2.6
    items.append(stitch_mark(row, 2 * up - 1.2, 1.3))
    items += marks.measure_line(
        complex(fold, 2 * up - 3.0), complex(row, 2 * up - 3.0), words, 0.0, beside=-1j
    )
    return Section(
        tuple(items), (0, 2 * up - 6.5, long, 1.8), {"under": 1.2 + 0j, "over": complex(long - 4, 2 * up)}
    )


def _seams(scene: StepScene) -> tuple[list[Seam], Seam]:
    seams = [s for s in scene.seams if s.b is not None]
    return seams, next((s for s in seams if s.side in ("right", "whole")), seams[0])


def _laid(scene: StepScene, wrong_sides: bool, allow: str) -> Picture:
    _, seam = _seams(scene)
    picture = Picture()
    frame, at = together(scene.bench, [seam], Room(5, 9, 68, 38), scene.mm(seam.a_mm), wrong_sides)
    detail = close_up(frame, scene.bench, at, list(at), seam.a, allow, complex(78, 14))
    picture.add(frame)
    picture.items += detail.board.items
    picture.bottom = max(picture.bottom, 43.0)
    return picture


def _titles(scene: StepScene, seam: Seam, keys: tuple[str, str]) -> dict[str, str]:
    assert seam.b is not None
    first, second = (short_title(scene.bench, r.parts[0].copy) for r in (seam.a, seam.b))
    return dict(zip(keys, (first, second), strict=True))


def laid_over(bench: Bench, seam: Seam, room: Room, words: str) -> Frame:
    """Both right sides up: the piece that laps lies on the other, its allowance folded under, the row near its fold."""
    assert seam.b is not None
    over, under = seam.a.parts[0], seam.b.parts[0]
    at = {under.copy: on_grain(bench.copies[under.copy])}
    laid = bench.lay(over.copy, under.copy, at[under.copy], [seam], face_to_face=False)
    if laid is None:
        raise ValueError("the two runs share no points")
    at[over.copy] = laid
    cloth = [bench.cut_line(c).placed(p) for c, p in at.items()]
    frame = fit_frame(window(cloth, run_box(bench, [seam.a], at), room), room.width, room.height, room.corner)
    draw_copy(frame, bench, under.copy, at[under.copy])
    strip = placed_area(allowance_strip(bench, over), at[over.copy])
    body = polygon(bench.cut_line(over.copy).placed(at[over.copy])).difference(strip)
    lay_cloth(frame, bench, over.copy, at[over.copy], body)
    hidden = placed_area(allowance_strip(bench, under), at[under.copy]).intersection(body)
    for path in outlines(hidden):
        frame.line(path, look.HIDDEN, "hidden")
    frame.waves()
    path = bench.part_path(over).placed(at[over.copy])
    points = path.flatten(0.1)
    way = np.gradient(points)
    normal = way / np.abs(way) * 1j
    mid = path.point(path.length / 2)
    if not body.contains(polygon_spot(mid + normal[len(normal) // 2] * 4)):
        normal = -normal
    row = Path.polyline(points + normal * LAP_IN)
    frame.line(row, look.SEW_NOW, "seam")
    frame.measure(path.start, path.end, words, 4.2 if (normal[0] / way[0]).imag < 0 else -4.2)
    for part, area in (
        (under, polygon(bench.cut_line(under.copy).placed(at[under.copy])).difference(body)),
        (over, body),
    ):
        spot = area.intersection(
            polygon(Path.polyline(frame_corners(frame), closed=True))
        ).representative_point()
        frame.label(side_words(bench, part.copy, at[part.copy]), complex(spot.x, spot.y), None)
    return frame


def polygon_spot(z: complex) -> shapely.Point:
    return shapely.Point(z.real, z.imag)


def frame_corners(frame: Frame) -> list[complex]:
    x0, y0, x1, y1 = frame.box
    return [complex(x0, y0), complex(x1, y0), complex(x1, y1), complex(x0, y1)]


def draw_french(scene: StepScene) -> Picture | None:
    seams, seam = _seams(scene)
    if not seams:
        return None
    first = scene.mm(seam.allow_a - FRENCH_INSIDE)
    picture = _laid(scene, True, first)
    y = picture.bottom + 4
    add_section(picture, french_first(first), 4, y, _titles(scene, seam, ("upper", "lower")))
    add_section(picture, french_second(scene.mm(FRENCH_INSIDE)), 60, y, {"first": "first row, shut in"})
    return picture


def draw_fell_seam(scene: StepScene) -> Picture | None:
    seams, seam = _seams(scene)
    if not seams:
        return None
    picture = _laid(scene, False, scene.mm(seam.allow_a))
    section = felled(scene.mm(FELL_IN), seam.press == "to b")
    add_section(picture, section, 22, picture.bottom + 5, _titles(scene, seam, ("a", "b")))
    return picture


def draw_lapped(scene: StepScene) -> Picture | None:
    seams, seam = _seams(scene)
    if not seams:
        return None
    assert seam.b is not None
    picture = Picture()
    picture.add(laid_over(scene.bench, seam, Room(6, 8, 88, 34), scene.mm(seam.a_mm)))
    add_section(
        picture, lapped(scene.mm(LAP_IN)), 24, picture.bottom + 5, _titles(scene, seam, ("over", "under"))
    )
    return picture
