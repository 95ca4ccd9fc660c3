"""Topstitching: the work right side up with its rows, the seam looked at closely, and the plies cut across."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import Text
from booklet.drawing.text import measure as text_width
from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.chains import chain_beside
from booklet.pictures.plies import lay_cloth, run_box, short_title, side_words
from booklet.pictures.scenes import Room
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section, stitch_mark
from booklet.pictures.step_scene import StepScene, add_section
from booklet.seams.follow import held_by

GAP = THICK + 0.35  # mm on paper from ply to ply
ROW, ROWS_APART = 3.0, 3.2  # mm on paper: where a section, which has no scale, shows the rows
POINTS = 161  # along a seam, to find what lies across from a place


def draw_topstitch(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    row = next((s for s in scene.seams if s.side in ("right", "whole")), scene.seams[0])
    bench, places = scene.bench, tuple((scene.numbers or {}).get(k, 6.0) for k in _row_keys(scene))
    held = held_by(row, bench.done)
    both = _both(scene, held)
    picture = Picture()
    picture.add(_whole(bench, row.a, places, Room(3, 4, 46, 40)))
    picture.add(_near(scene, row, held, both, places, Room(57, 4, 44, 34)))
    words = tuple(scene.mm(p) for p in places)
    section, titles = _section(scene, row, held, both, words)
    add_section(picture, section, 58, 42, titles)
    return picture


def _row_keys(scene: StepScene) -> list[str]:
    return [k for k in ("row 1", "row 2") if k in (scene.numbers or {})]


def _both(scene: StepScene, held: Seam | None) -> bool:
    """Whether the step has rows on both sides of the seam."""
    return held is not None and sum(held_by(s, scene.bench.done) is held for s in scene.seams) > 1


def inwards(bench: Bench, part: Part, far: float) -> Path:
    """A part's stitch line moved into its piece, in the copy's frame, in the direction in which it is walked."""
    points = bench.part_path(part).flatten(0.1)
    way = np.gradient(points)
    sign = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    return Path.polyline(points + way / np.abs(way) * 1j * sign * far)


def _whole(bench: Bench, run: Run, places: Sequence[float], room: Room) -> Frame:
    """The run's pieces edge to edge, as far as seams have joined them, right side up, with the rows."""
    at = chain_beside(bench, run, bench.done, on_grain(bench.copies[run.parts[0].copy]))
    lines = {c: bench.stitch_line(c).placed(p) for c, p in at.items()}
    near = grown(run_box(bench, [run], at), 60.0)
    frame = fit_frame(
        common(near, grown(box_of(list(lines.values())), 4.0)), room.width, room.height, room.corner
    )
    covered: shapely.Geometry | None = None
    window = shapely.box(*frame.box)
    for copy, line in lines.items():
        frame.ply(line, look.RIGHT_SIDE, of=short_title(bench, copy))
    for part in run.parts:
        if part.copy in at:
            for far in places:
                frame.line(inwards(bench, part, far).placed(at[part.copy]), look.SEW_NOW, "seam")
    told: set[str] = set()
    for copy, line in reversed(lines.items()):
        shown = polygon(line).intersection(window)
        shown = shown if covered is None else shown.difference(covered)
        covered = polygon(line) if covered is None else covered.union(polygon(line))
        words = side_words(bench, copy, at[copy])
        if words not in told and shown.area > 1:
            told.add(words)
            frame.label(words, _middle(shown), line)
    return frame


def _middle(area: shapely.Geometry) -> complex:
    largest = max(getattr(area, "geoms", [area]), key=lambda g: g.area)
    x, y = shapely.maximum_inscribed_circle(largest, tolerance=max(1.0, largest.length / 200)).coords[0]
    return complex(x, y)


# ---------------------------------------------------------------- looked at closely


def _near(
    scene: StepScene, row: Seam, held: Seam | None, both: bool, places: Sequence[float], room: Room
) -> Frame:
    """The middle of the longest part, its edge upright, the row's own piece at the right; allowances below as hidden."""
    bench = scene.bench
    part = max(row.a.parts, key=lambda p: abs(p.end - p.start))
    path = bench.part_path(part)
    z, t = path.point(path.length / 2), path.tangent(path.length / 2)
    out = t * -1j * bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    turn = Placement(-1 / out)
    at = {part.copy: turn.then(Placement.move(-turn.apply(z)))}
    partner = _across(bench, held, part, z) if held is not None and row.press == "seam" else None
    if partner is not None:
        copy, point, way, along = partner
        turned = at[part.copy].direction(along) / way
        place = Placement(turned / abs(turned))
        if copy not in at:
            at[copy] = place.then(Placement.move(-place.apply(point)))
    deep = max(places[-1], row.allow_a)
    high = max(30.0, 4.2 * deep)
    wide = high * room.width / room.height
    left = wide * (0.5 if len(at) > 1 else 0.3)
    frame = fit_frame(
        (-left, -high / 2, wide - left, high / 2), room.width, room.height, room.corner, largest=2.2
    )
    window = shapely.box(*frame.box)
    for copy in reversed(at):
        lay_cloth(frame, bench, copy, at[copy], bench.stitch_line(copy).placed(at[copy]))
    frame.waves()
    frame.cloth.clear()
    sides = [(part, at[part.copy], 1.0)]
    if both and partner is not None and held is not None:
        other = _part_at(held, partner[0])
        if other is not None and partner[0] in at and partner[0] != part.copy:
            sides.append((other, at[partner[0]], -1.0))
    for which, placing, _ in sides:
        for far in places:
            frame.line(inwards(bench, which, far).placed(placing), look.SEW_NOW, "seam")
        if row.press == "seam" and row.allow_a > 0.5:
            hidden = inwards(bench, which, bench.half(which).edge.allow).placed(placing)
            frame.line(hidden, look.HIDDEN, "hidden")
    for k, far in enumerate(places):
        y = 5.0 * k / frame.scale  # about the middle, where the edge stands upright
        _short_measure(frame, 1j * y, far + 1j * y, scene.mm(far), places[-1] if len(sides) > 1 else None)
    covered = shapely.box(-places[-1], -high / 6, frame.box[2] / 2, high / 2)  # rows and measures
    for copy, placing in at.items():
        line = bench.stitch_line(copy).placed(placing)
        shown = polygon(line).intersection(window).difference(covered)
        covered = covered.union(polygon(line))
        if shown.area > 1:
            frame.label(side_words(bench, copy, placing), _middle(shown), line)
    return frame


def _short_measure(frame: Frame, a: complex, b: complex, words: str, beyond: float | None) -> None:
    """A measure too short for its words: they stand before its first end, or past the row that lies `beyond` mm in."""
    p, q = frame.on_paper(a), frame.on_paper(b)
    line = marks.measure_line(p, q, "", 0.0, witness=False)
    frame.board.add(*(m for m in line if not isinstance(m, Text)))
    half = text_width(words, look.MEASURE_PT, 600) / 2 + 3.8
    x = p.real - half if beyond is None else frame.on_paper(complex(beyond, b.imag)).real + half
    frame.board.add(marks.centred_text(complex(x, p.imag), words, look.MEASURE_PT, 600, role="measure"))


def _across(bench: Bench, held: Seam, part: Part, z: complex) -> tuple[str, complex, complex, complex] | None:
    """What lies across a seam from a point of a part: (copy, point, its way, the part's own way), each in its frame."""
    if held.b is None:
        return None
    a, b = bench.sewn_points(held.a, POINTS), bench.sewn_points(held.b, POINTS)
    for mine, theirs in ((a, b), (b, a)):
        near = [k for k in range(1, POINTS - 1) if mine[k][0] == part.copy]
        if not any(
            (p.copy, p.edge) == (part.copy, part.edge) for p in (held.a if mine is a else held.b).parts
        ):
            continue
        k = min(near, key=lambda n: abs(mine[n][1] - z), default=0)
        same = [n for n in (k - 1, k + 1) if theirs[n][0] == theirs[k][0] and mine[n][0] == part.copy]
        if not k or not same:
            continue
        n, sign = same[-1], 1 if same[-1] > k else -1
        return (
            theirs[k][0],
            theirs[k][1],
            sign * (theirs[n][1] - theirs[k][1]),
            sign * (mine[n][1] - mine[k][1]),
        )
    return None


def _part_at(held: Seam, copy: str) -> Part | None:
    runs = (held.a, held.b) if held.b is not None else (held.a,)
    found = [p for run in runs for p in run.parts if p.copy == copy]
    return max(found, key=lambda p: abs(p.end - p.start)) if found else None


# ---------------------------------------------------------------- cut across


def _section(
    scene: StepScene, row: Seam, held: Seam | None, both: bool, words: tuple[str, ...]
) -> tuple[Section, dict[str, str]]:
    bench = scene.bench
    mine = short_title(bench, row.a.parts[0].copy)
    if held is None or held.kind == "finish":
        return along_edge(words, folded=False), {"cloth": mine}
    if held.b is None or row.press == "edge":
        return along_edge(words, folded=True, faced=held.b is not None), {"cloth": mine}
    other = held.b if any(p in held.a.parts for p in row.a.parts) else held.a
    titles = {"row": mine, "other": short_title(bench, other.parts[0].copy)}
    if held.press == "open":
        return pressed_open_rows(words, both), titles
    return pressed_aside_rows(words), titles


def _rows(long: float, top: float, foot: float, words: tuple[str, ...], sign: float = 1.0) -> list:
    """Rows beside a seam or fold at x = `long`, with a measure to the last of them."""
    items: list = []
    for k in range(len(words)):
        items.append(stitch_mark(long + sign * (ROW + ROWS_APART * k), top - 1.2, foot + 1.2))
    far = long + sign * (ROW + ROWS_APART * (len(words) - 1))
    a, b = sorted((long, far))
    items += marks.measure_line(complex(a, top - 2.6), complex(b, top - 2.6), words[-1], 0.0, beside=-1j)
    return items


def pressed_aside_rows(words: tuple[str, ...], long: float = 40.0) -> Section:
    """Right side up: both allowances below the piece at the right, the rows through all of them."""
    m, wide = long / 2, ROW + ROWS_APART * len(words) + 1.5
    near = bent([complex(long, 0), complex(m, 0), complex(m, GAP), complex(m + wide, GAP)], 0.5)
    far = bent(
        [0j, complex(m - 0.4, 0), complex(m - 0.4, 2 * GAP), complex(m + wide, 2 * GAP)],
        0.5,
    )
    items = draw_section([SectionPly(near, False), SectionPly(far, True)])
    items += _rows(m, 0.0, 2 * GAP, words)
    return Section(
        tuple(items), (0, -6.0, long, 2 * GAP + 1.6), {"row": complex(long - 1.2), "other": 1.2 + 0j}
    )


def pressed_open_rows(words: tuple[str, ...], both: bool, long: float = 42.0) -> Section:
    """Right side up: an allowance below each piece, the rows on both or on the right one."""
    m, wide = long / 2, ROW + ROWS_APART * len(words) + 1.5
    left = bent([0j, complex(m - 0.35, 0), complex(m - 0.35, GAP), complex(m - wide, GAP)], 0.5)
    right = bent(
        [complex(long, 0), complex(m + 0.35, 0), complex(m + 0.35, GAP), complex(m + wide, GAP)], 0.5
    )
    items = draw_section([SectionPly(left, True), SectionPly(right, False)])
    items += _rows(m, 0.0, GAP, words)
    if both:
        items += [stitch_mark(m - ROW - ROWS_APART * k, -1.2, GAP + 1.2) for k in range(len(words))]
    return Section(tuple(items), (0, -6.0, long, GAP + 1.6), {"row": complex(long - 1.2), "other": 1.2 + 0j})


def along_edge(words: tuple[str, ...], folded: bool, faced: bool = False, long: float = 36.0) -> Section:
    """Right side up, the edge at the left: turned under, faced, or a single ply."""
    x, under = 2.0, 15.0
    top = Path.line(complex(x), complex(long))
    foot = 0.0
    if faced:
        ply = bent([complex(long), complex(x, 0), complex(x, 1.5), complex(x + 5, 1.5)], 0.7)
        facing = bent(
            [complex(x + 16, 3.4), complex(x + 0.6, 3.4), complex(x + 0.6, 2.2), complex(x + 4, 2.2)], 0.5
        )
        plies, foot = [SectionPly(ply, False), SectionPly(facing, True)], 3.4
    elif folded:
        ply = bent([complex(long), complex(x, 0), complex(x, GAP), complex(x + under, GAP)], 0.6)
        plies, foot = [SectionPly(ply, False)], GAP
    else:
        plies = [SectionPly(top, True)]
    items = draw_section(plies)
    items += _rows(x, 0.0, foot, words)
    return Section(tuple(items), (0, -6.0, long, foot + 1.6), {"cloth": complex(long - 1.2)})
