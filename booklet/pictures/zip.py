"""Pictures of a zip: the opening from the right side with its rows, the facing's ends inside, hook and eye."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import PathItem, Stroke, Text
from booklet.drawing.text import measure as text_width
from booklet.model import Part, Seam
from booklet.paths import Path, Placement, fit_rigid
from booklet.pictures import zip_sections as cut
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, Picture, fit_frame, outlines, polygon
from booklet.pictures.plies import allowance_strip, placed_area, short_title
from booklet.pictures.rows import pieces_with_edges
from booklet.pictures.scenes import Room
from booklet.pictures.sections import felled_over
from booklet.pictures.step_scene import StepScene, add_section
from booklet.seams.runs import foot_names

TAPE = 12.0  # mm: half of a zip's tape
BELOW = 16.0  # mm of tape below the opening
TEETH = Stroke(1.5, look.INK, (0.5, 0.35), "butt")
THREAD = Stroke(0.9, look.ACCENT)


@dataclass(frozen=True)
class Side:
    """One edge of the opening where it lies: its copy and the line from top to foot, the copy's cloth to one hand."""

    copy: str
    part: Part
    at: Placement
    line: Path
    hand: float  # +1 where the cloth lies at the right hand of the line's way (y down), else -1

    def off(self, by: float, s0: float = 0.0, s1: float | None = None) -> list[complex]:
        """Points `by` mm into the cloth (out of it where negative), from s0 to s1 along the line."""
        end = self.line.length if s1 is None else s1
        stops = [s0 + (end - s0) * k / 24 for k in range(25)]
        return [self.at_line(s) + self.way(s) * 1j * self.hand * by for s in stops]

    def at_line(self, s: float) -> complex:
        """A point of the line, drawn on straight beyond its ends."""
        inside = min(max(s, 0.0), self.line.length)
        return self.line.point(inside) + self.way(s) * (s - inside)

    def way(self, s: float) -> complex:
        return self.line.tangent(min(max(s, 0.0), self.line.length))


def _foot_part(bench: Bench, parts: Sequence[Part]) -> tuple[Part, bool]:
    """The part that ends at the zip's foot, and whether it is walked from the foot up."""
    for part, at, first in ((parts[-1], parts[-1].end, False), (parts[0], parts[0].start, True)):
        if 0.05 < at < bench.half(part).edge.length - 0.05:
            return part, first
    return parts[-1], False


def _side(bench: Bench, part: Part, from_foot: bool, at: Placement) -> Side:
    path = bench.part_path(part)
    line = (path.reversed() if from_foot else path).placed(at)
    area = polygon(bench.stitch_line(part.copy).placed(at))
    middle = line.length / 2
    z = line.point(middle) + line.tangent(middle) * 1j * 4.0
    return Side(part.copy, part, at, line, 1.0 if area.contains(shapely.Point(z.real, z.imag)) else -1.0)


def opening_sides(bench: Bench, seam: Seam, inside: bool) -> tuple[Side, Side] | None:
    """Both sides of the opening edge to edge, its top up, seen from the right side or from the inside."""
    assert seam.b is not None
    (pa, fa), (pb, fb) = (_foot_part(bench, run.parts) for run in (seam.a, seam.b))
    flip = Placement.mirror(0j, 1j) if inside else Placement.IDENTITY
    path = bench.part_path(pa).placed(flip)
    chord = (path.start - path.end) if fa else (path.end - path.start)
    upright = Placement(1j / (chord / abs(chord)))
    at = flip.then(upright)
    laid = bench.lay(pb.copy, pa.copy, at, [seam], face_to_face=False)
    if laid is None:
        return None
    first = _side(bench, pa, fa, at)
    return first, _side(bench, pb, fb, laid)


def _cloth(bench: Bench, side: Side, beyond: float = 0.0) -> shapely.Geometry:
    """A copy with the allowance of the opening's edge turned under, its fold `beyond` mm outside the stitch line."""
    edge = bench.half(side.part).edge
    whole = Part(side.copy, side.part.edge, 0.0, edge.length)
    area = polygon(bench.cut_line(side.copy).placed(side.at))
    folded = area.difference(placed_area(allowance_strip(bench, whole), side.at))
    if beyond <= 0:
        return folded
    lip = Path.polyline([*side.off(0.5), *side.off(-beyond)[::-1]], closed=True)
    return folded.union(polygon(lip).intersection(area))


def _called(bench: Bench, side: Side, other: Side) -> str:
    copy = bench.copies[side.copy]
    same = copy.piece.name == bench.copies[other.copy].piece.name and not copy.piece.base
    return f"{copy.side} {short_title(bench, side.copy)}" if same else short_title(bench, side.copy)


def _name(frame: Frame, area: shapely.Geometry, words: str) -> None:
    x0, y0, x1, y1 = frame.box
    shown = area.intersection(shapely.box(x0 + 3, y0 + (y1 - y0) * 0.62, x1 - 3, y1 - 3))
    if shown.is_empty:
        shown = area.intersection(shapely.box(x0, y0, x1, y1))
    spot = shown.representative_point()
    frame.label(words, complex(spot.x, spot.y), outlines(area)[0])


def draw_zip(scene: StepScene) -> Picture | None:
    seam = next((s for s in scene.seams if s.kind == "zip" and s.b is not None), None)
    if seam is None:
        return None
    kind = str(scene.spec.get("kind", "centred"))
    if kind == "concealed":
        return _draw_concealed(scene, seam)
    sides = opening_sides(scene.bench, seam, inside=False)
    if sides is None:
        return None
    bench, numbers = scene.bench, scene.numbers or {}
    over, under = sides
    row, stop, out = numbers["row"], numbers["stop"], numbers["under_out"]
    below = numbers["below_stop"]
    frame = _opening_frame(over)
    cloths = {
        s.copy: _cloth(bench, s, out if kind == "lapped" and s is under else 0.0) for s in (under, over)
    }
    for copy, area in cloths.items():
        frame.area(area, look.RIGHT_SIDE, of=short_title(bench, copy))
    for side in (under, over):
        frame.line(Path.polyline(side.off(TAPE, stop, over.line.length + BELOW)), look.HIDDEN, "tape")
    foot = over.line.length
    if kind == "centred":
        rows = [*over.off(row, 0.0, foot + below), *under.off(row, 0.0, foot + below)[::-1]]
        frame.line(Path.polyline(rows), look.SEW_NOW, "seam")
    else:
        frame.line(
            Path.polyline([*over.off(row, 0.0, foot + below), over.at_line(foot + below)]),
            look.SEW_NOW,
            "seam",
        )
    _pull(frame, over, stop, shown=kind == "centred")
    _length(frame, scene, over)
    frame.label("zip below", over.off(TAPE - 1.0, foot + BELOW - 5, foot + BELOW - 4)[0], None)
    for side, other in ((over, under), (under, over)):
        _name(frame, cloths[side.copy], f"{_called(bench, side, other)},\nright side up")
    picture = Picture()
    picture.add(frame)
    words = {"a": _called(bench, over, under), "b": _called(bench, under, over), "zip": "zip"}
    add_section(picture, cut.SECTIONS[kind](scene.mm(row)), 33, picture.bottom + 4, words)
    return picture


def _opening_frame(side: Side, half: float = 95.0) -> Frame:
    top, foot = side.line.start, side.line.end
    box = (top.real - half, top.imag - 22, top.real + half, foot.imag + 58)
    return fit_frame(box, 100, 70, complex(3, 4))


def _pull(frame: Frame, side: Side, stop: float, shown: bool) -> None:
    """The slider's tab at the top of the closed zip, in outline where the overlap hides it."""
    z = side.at_line(stop)
    tab = Path.polyline([z - 1.6, z + 1.6, z + 2.2 + 9j, z - 2.2 + 9j], closed=True)
    frame.shape(tab, Stroke(0.6, look.INK) if shown else look.HIDDEN, look.SOLID if shown else None, "zip")


def _length(frame: Frame, scene: StepScene, side: Side) -> None:
    """The length of the opening, beside it."""
    shift = side.way(0.0) * 1j * side.hand * (TAPE + 16.0)
    frame.measure(side.line.start + shift, side.line.end + shift, scene.mm(side.line.length), 0.0)


def _short_measure(frame: Frame, a: complex, b: complex, words: str) -> None:
    """A measure too short for its words, which stand beyond its second end."""
    p, q = frame.on_paper(a), frame.on_paper(b)
    way = (q - p) / abs(q - p)
    frame.board.add(*(m for m in marks.measure_line(p, q, "", 0.0, witness=False) if not isinstance(m, Text)))
    half = text_width(words, look.MEASURE_PT, 600) / 2
    text = marks.centred_text(q + way * (half + 3.8), words, look.MEASURE_PT, 600, role="measure")
    frame.board.add(text)


# ---------------------------------------------------------------- concealed


def _draw_concealed(scene: StepScene, seam: Seam) -> Picture | None:
    """The open zip face down on both right sides, the pieces drawn apart; sections of one tape and of the closed zip."""
    sides = opening_sides(scene.bench, seam, inside=False)
    if sides is None:
        return None
    bench = scene.bench
    stop = (scene.numbers or {})["stop"]
    first, second = sides
    # apart by both allowances and a little
    gap = 2 * max(seam.allow_a, seam.allow_b or 0.0) + 14.0
    away = second.way(0.0) * 1j * second.hand
    moved = second.at.then(Placement.move(away * gap))
    second = Side(
        second.copy, second.part, moved, second.line.placed(Placement.move(away * gap)), second.hand
    )
    middle = first.line.placed(Placement.move(away * gap / 2))
    frame = _opening_frame(Side(first.copy, first.part, first.at, middle, first.hand), 110.0)
    areas = {s.copy: polygon(bench.cut_line(s.copy).placed(s.at)) for s in (first, second)}
    for side in (first, second):
        frame.area(areas[side.copy], look.RIGHT_SIDE, of=short_title(bench, side.copy))
    foot = first.line.length
    for side in (first, second):
        tape = Path.polyline(
            [*side.off(0.0, 0.0, foot + BELOW), *side.off(-TAPE, 0.0, foot + BELOW)[::-1]], closed=True
        )
        frame.shape(tape, Stroke(0.5, look.INK), look.GROUND, "tape")
        frame.lines.append(frame.view.path(tape))
        frame.line(Path.polyline(side.off(0.0, stop, foot + BELOW)), TEETH, "coil")
        frame.line(Path.polyline(side.off(-3.2)), look.SEW_NOW, "seam")
    frame.label("coil on the\nstitch line", first.at_line(foot * 0.3), None, dot=False)
    frame.label("tape, face down", second.off(-TAPE + 2, foot * 0.7, foot * 0.7 + 1)[0], None)
    for side, other in ((first, second), (second, first)):
        _name(frame, areas[side.copy], f"{_called(bench, side, other)},\nright side up")
    picture = Picture()
    picture.add(frame)
    y = picture.bottom + 9
    add_section(picture, cut.concealed_tape(), 6, y, {"cloth": _called(bench, first, second), "zip": "zip"})
    add_section(
        picture,
        cut.concealed(),
        60,
        y,
        {"a": _called(bench, first, second), "b": _called(bench, second, first), "zip": "zip, closed"},
    )
    return picture


# ---------------------------------------------------------------- inside: facing ends, hook


def _zip_of(bench: Bench, place: str) -> Seam | None:
    return next((s for s in bench.done if s.kind == "zip" and place in foot_names(s, bench.copies)), None)


def _inside(
    scene: StepScene, seam: Seam, room: Room, clear: float, tall: float
) -> tuple[Frame, tuple[Side, Side]] | None:
    """The top of the opening from the inside: allowances and tape, and over them the turned facings, `clear` of the teeth."""
    bench = scene.bench
    sides = opening_sides(bench, seam, inside=True)
    if sides is None:
        return None
    top = sides[0].line.start
    frame = fit_frame(
        (top.real - 62, top.imag - 14, top.real + 62, top.imag + tall), room.width, room.height, room.corner
    )
    for side in sides:
        area = polygon(bench.stitch_line(side.copy).placed(side.at))
        frame.area(area, look.WRONG_SIDE, of=short_title(bench, side.copy))
        allow = bench.half(side.part).edge.allow
        ring = Path.polyline(
            [*side.off(0.0, 0.0, tall + 40), *side.off(allow, 0.0, tall + 40)[::-1]], closed=True
        )
        frame.area(polygon(ring).intersection(area.buffer(0.2)), look.RIGHT_SIDE)
        tape = Path.polyline(
            [*side.off(0.0, 0.0, tall + 40), *side.off(TAPE, 0.0, tall + 40)[::-1]], closed=True
        )
        frame.shape(tape, Stroke(0.5, look.INK), look.GROUND, "tape")
        frame.lines.append(frame.view.path(tape))
    frame.line(Path.polyline(sides[0].off(0.0, 6.0, tall + 40)), TEETH, "teeth")
    for side in sides:
        for copy, area, words in _turned_facings(bench, side, clear):
            frame.area(area, look.RIGHT_SIDE, of=short_title(bench, copy))
            shown = area.intersection(shapely.box(*frame.box)).buffer(-3.0)
            spot = (shown if not shown.is_empty else area).representative_point()
            frame.label(words, complex(spot.x, spot.y), outlines(area)[0])
    return frame, sides


def _facings(bench: Bench, side: Side) -> dict[str, tuple[Part, Part]]:
    """The facings sewn to this side's piece: by copy, the two parts that meet."""
    return {
        b.copy: (a, b)
        for seam in bench.done
        if seam.kind == "face" and seam.b is not None
        for a, b in zip(seam.a.parts, seam.b.parts, strict=False)
        if a.copy == side.copy
    }


def _turned_facings(bench: Bench, side: Side, clear: float) -> list[tuple[str, shapely.Geometry, str]]:
    """Facings sewn to this side's piece, turned inside: right side up, folded off `clear` mm from the opening."""
    out = []
    for copy, (a, b) in _facings(bench, side).items():
        net = polygon(bench.stitch_line(copy).placed(_laid_at_top(bench, side, a, b)))
        ring = [*side.off(clear, -40, side.line.length), *side.off(-40, -40, side.line.length)[::-1]]
        off = polygon(Path.polyline(ring, closed=True))
        c = bench.copies[copy]
        hand = f"{c.side} " if c.side != "whole" and not c.piece.base else ""  # they would be called alike
        out.append((copy, net.difference(off), f"{hand}{short_title(bench, copy)},\nright side up"))
    return out


def _laid_at_top(bench: Bench, side: Side, a: Part, b: Part) -> Placement:
    """Where a facing lies when its end at the opening meets its piece there: further off a dart may part the two."""
    size = bench.half(a).edge.sewn(*sorted((a.start, a.end)))
    near = [size * k / 100 for k in range(11)]
    ends = [side.at.apply(bench.point_at(a, s)) for s in (0.0, size)]
    if abs(ends[0] - side.line.start) > abs(ends[1] - side.line.start):
        near = [size - s for s in near]
    target = np.array([side.at.apply(bench.point_at(a, s)) for s in near])
    source = np.array([bench.point_at(b, s) for s in near])
    return fit_rigid(source, target, not side.at.mirrored)


def draw_fell(scene: StepScene) -> Picture | None:
    """The facing's folded ends on the tape, seen from the inside; of another seam the folded edges alone."""
    if not scene.seams:
        return None
    picture = Picture()
    zipped = _zip_of(scene.bench, str(scene.spec.get("to")))
    numbers = scene.numbers or {}
    clear = numbers.get("clear", 6.0)
    made = None
    if zipped is not None:
        made = _inside(scene, zipped, Room(14, 4, 78, 52), clear, max(95.0, scene.seams[0].a_mm + 34))
    if made is None:
        frame, _ = pieces_with_edges(scene.bench, [s.a for s in scene.seams], Room(3, 4, 96, 42))
        picture.add(frame)
        _felled_over(scene, picture)
        return picture
    frame, sides = made
    felled = {p.copy for s in scene.seams for p in s.a.parts}
    for side in sides:
        if any(copy in felled for copy in _facings(scene.bench, side)):
            frame.line(Path.polyline(side.off(clear, 0.0, scene.seams[0].a_mm)), look.SEW_NOW, "seam")
    s = scene.seams[0].a_mm + 16
    frame.label("zip", sides[0].at_line(s), None)
    a, b = sides[0].at_line(scene.seams[0].a_mm * 0.5), sides[0].off(clear, scene.seams[0].a_mm * 0.5, s)[0]
    _short_measure(frame, a, b, scene.mm(clear))
    picture.add(frame)
    return picture


def _felled_over(scene: StepScene, picture: Picture) -> None:
    """The folded edge on the seam of an earlier step, cut across: shown where that seam is pressed one way."""
    bench, inner = scene.bench, scene.seams[0].a.parts[0].copy
    over = next((s for s in bench.done if s.step == str(scene.spec.get("to")) and s.b is not None), None)
    if over is None or over.b is None or over.press not in ("to a", "to b"):
        return
    outer, garment = (over.a, over.b) if over.press == "to a" else (over.b, over.a)
    titles = {
        "inner": short_title(bench, inner),
        "outer": short_title(bench, outer.parts[0].copy),
        "garment": short_title(bench, garment.parts[0].copy),
    }
    add_section(picture, felled_over(), 34, picture.bottom + 6, titles)


def draw_hook(scene: StepScene) -> Picture | None:
    zipped = _zip_of(scene.bench, str(scene.spec.get("at")))
    if zipped is None:
        return None
    numbers = scene.numbers or {}
    made = _inside(scene, zipped, Room(18, 4, 70, 48), numbers.get("clear", 6.0), 48.0)
    if made is None:
        return None
    frame, (over, under) = made
    _hook_drawn(frame, over, numbers.get("back", 3.0))
    _eye_drawn(frame, under, bar=scene.spec.get("with") == "bar", back=numbers.get("back", 3.0))
    picture = Picture()
    picture.add(frame)
    return picture


DOWN = 6.0  # mm below the top edge, where hook and eye lie


def _hook_drawn(frame: Frame, side: Side, back: float) -> None:
    """Two rings on the facing and the hook, solid, its bend so far back from the edge."""

    def z(inwards: float, down: float) -> complex:
        return side.off(inwards, DOWN + down, DOWN + down + 1)[0]

    tip, ring = back, back + 11.0
    _wire(frame, [Path.circle(z(ring + 1.6, s * 2.6), 1.7) for s in (-1, 1)])
    body = Path.polyline(
        [z(ring, -2.2), z(tip + 1, -1.5), z(tip, 0.0), z(tip + 1, 1.5), z(ring, 2.2)], closed=True
    )
    frame.put(PathItem((frame.view.path(body),), THREAD, look.SOLID_ACCENT, "hook"))
    frame.lines.append(frame.view.path(body))
    frame.label("hook", z(ring + 3, -2.6), None, dot=False)


def _eye_drawn(frame: Frame, side: Side, bar: bool, back: float) -> None:
    """The round loop that the hook takes, open, or the straight bar where it meets it; its rings beside the opening."""

    def z(inwards: float, down: float) -> complex:
        return side.off(inwards, DOWN + down, DOWN + down + 1)[0]

    if bar:
        rings = [z(9.0, s * 5.0) for s in (-1, 1)]
        _wire(frame, [Path.line(*rings), *(Path.circle(r, 1.7) for r in rings)])
        frame.label("bar", z(9.0, 5.0), None, dot=False)
        return
    rings = [z(9.0, s * 4.2) for s in (-1, 1)]
    reach, wide = 9.0 - back, 4.2 - 1.7
    near = [z(9.0, s * wide) for s in (-1, 1)]
    far = [z(9.0 - reach * 1.33 - back * 2.66, s * (wide + 1.5)) for s in (-1, 1)]
    loop = Path(((near[0], far[0], far[1], near[1]),))
    _wire(frame, [loop, *(Path.circle(r, 1.7) for r in rings)])
    frame.label("eye", z(10.5, 4.2), None, dot=False)


def _wire(frame: Frame, paths: list[Path]) -> None:
    for path in paths:
        paper = frame.view.path(path)
        frame.put(PathItem((paper,), THREAD, None, "hook"))
        frame.lines.append(paper)
