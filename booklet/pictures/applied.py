"""Pictures of what is laid on or round an edge: bias strips, bindings, patch pockets, straps with a crossed square."""

from __future__ import annotations

import numpy as np
import shapely

from booklet.bias import ROOT2
from booklet.drawing import look, marks
from booklet.drawing.display import PathItem, Stroke
from booklet.model import BindingOf, Part, Place
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.plies import draw_copy, short_title, side_words
from booklet.pictures.step_scene import StepScene, add_section

TACK = Stroke(2.6, look.ACCENT)
NOTE = 2.0  # mm inside an edge that a topstitched row is drawn


def _inwards(bench: Bench, part: Part, at: Placement, by: float) -> Path:
    """The part's line moved `by` mm into its piece, where it lies."""
    pts = bench.part_path(part).flatten(0.2)
    way = np.gradient(pts)
    sign = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    return Path.polyline(pts + way / np.abs(way) * 1j * sign * by).placed(at)


def _ring(one: Path, other: Path) -> Path:
    return Path.polyline([*one.flatten(0.2), *other.flatten(0.2)[::-1]], closed=True)


# ---------------------------------------------------------------- bias strips


def draw_strips(scene: StepScene) -> Picture | None:
    """Two strips laid square to each other for their join, from the strips' own ends; then a strip pressed."""
    bench = scene.bench
    keys = [str(k) for k in scene.spec]
    strip = next((c for c in bench.copies.values() if c.piece.name in keys and c.piece.binding), None)
    if strip is None or strip.piece.binding is None:
        return None
    binding = strip.piece.binding
    picture = Picture()
    x, y = 12.0, 10.0
    wide = bench.cut_line(strip.id).bbox[3] - bench.cut_line(strip.id).bbox[1]
    if binding.strips > 1:
        frame = _strips_joined(scene, strip.id, binding, wide)
        picture.add(frame)
        x, y = 66.0, 14.0
    double = binding.kind == "double"
    words = scene.mm(wide / 2 if double else wide / 4)
    labels = (
        {"fold": "fold", "edges": "both raw edges"} if double else {"crease": "crease", "edges": "raw edges"}
    )
    add_section(picture, cut.strip_folded(double, words), x, y, labels)
    picture.bottom += 6.0
    return picture


def _strips_joined(scene: StepScene, strip: str, binding: BindingOf, wide: float) -> Frame:
    bench = scene.bench
    end = bench.copies[strip].edges[1].edge.path  # on the straight grain, as is the other strip's start
    shift = binding.join * ROOT2
    middle = (end.start + end.end) / 2 - shift
    slant = end.end - end.start
    first = bench.cut_line(strip)
    start = bench.copies[strip].edges[3].edge.path
    move = Placement.move((end.start + end.end) / 2 - (start.start + start.end) / 2 - 2 * shift)
    second = first.placed(move).placed(Placement.mirror(middle, slant))
    reach = wide * 2.6
    box = (middle.real - reach, middle.imag - wide, middle.real + wide * 1.5, middle.imag + reach * 0.9)
    frame = fit_frame(box, 54, 46, complex(3, 4))
    frame.ply(first, look.RIGHT_SIDE, of=short_title(bench, strip))
    frame.ply(second, look.WRONG_SIDE, of=short_title(bench, strip))
    way = slant / abs(slant)
    # The seam runs from where the long edges cross to where they cross again.
    seam = Path.line(middle - way * (abs(slant) / 2), middle + way * (abs(slant) / 2))
    frame.line(seam, look.SEW_NOW, "seam")
    a = middle - way * abs(slant) * 0.12
    b = a + way * -1j * binding.join
    measure = marks.measure_line(frame.on_paper(a), frame.on_paper(b), "", 0.0, witness=False)
    frame.board.add(*(m for m in measure if isinstance(m, PathItem)))
    frame.label(f"{scene.mm(binding.join)}\nfrom the ends", b, None, dot=False)
    title = short_title(bench, strip)
    frame.label(f"{title},\nright side up", complex(box[0] + reach * 0.35, middle.imag), first)
    frame.label("wrong side up", complex(second.bbox[0] + wide / 2, box[3] - wide * 0.7), None)
    return frame


# ---------------------------------------------------------------- bindings


def draw_bind(scene: StepScene) -> Picture | None:
    """The binding on the wrong side of its edge, its first row; sections of both rows."""
    if not scene.seams:
        return None
    bench = scene.bench
    seam = next((s for s in scene.seams if s.side in ("right", "whole")), scene.seams[0])
    key = str(scene.spec.get("with"))
    strip = next((c for c in bench.copies.values() if c.piece.name == key), None)
    if strip is None or strip.piece.binding is None:
        return None
    binding = strip.piece.binding
    box = bench.cut_line(strip.id).bbox
    crease = (box[3] - box[1]) / (4 if binding.kind == "single" else 6)
    part = max(seam.a.parts, key=lambda p: abs(p.end - p.start))
    at = on_grain(bench.copies[part.copy]).then(Placement.mirror(0j, 1j))
    edge = bench.part_path(part).placed(at)
    picture = Picture()
    cloth = bench.stitch_line(part.copy).placed(at)
    around = common(grown(edge.bbox, 70.0), grown(cloth.bbox, 42.0))
    frame = fit_frame(around, 58, 62, complex(3, 4))
    frame.ply(cloth, look.WRONG_SIDE, of=short_title(bench, part.copy))
    for extra, z, way in _tails(binding, edge, part.backwards):
        tail = min(extra, 38.0)
        if tail <= 0:
            continue
        inward = _inward_at(bench, part, at, z)
        frame.ply(Path.polyline([z, z + way * tail, z + way * tail + inward * crease * 3, z + inward * crease * 3],
                                closed=True), look.WRONG_SIDE)  # fmt: skip
    body = _ring(edge, _inwards(bench, part, at, 3 * crease))
    frame.ply(body, look.WRONG_SIDE, of=short_title(bench, strip.id))
    row = _inwards(bench, part, at, crease)
    frame.line(row, look.SEW_NOW, "seam")
    inside = polygon(cloth).difference(polygon(body)).intersection(shapely.box(*grown(around, -4.0)))
    spot = max(getattr(inside, "geoms", [inside]), key=lambda g: g.area).representative_point()
    frame.label(side_words(bench, part.copy, at), complex(spot.x, spot.y), cloth)
    middle = _inwards(bench, part, at, 2 * crease)
    frame.label(f"{short_title(bench, strip.id)},\nwrong side up", middle.point(middle.length * 0.35), None)
    if binding.before > 0 or binding.after > 0:
        z = edge.start if binding.before > 0 else edge.end
        frame.label("runs on\nas a tie", z + _outward(edge, z) * 24, None)
    picture.add(frame)
    double = binding.kind == "double"
    labels = {"cloth": short_title(bench, part.copy), "binding": "binding"}
    add_section(picture, cut.binding_sewn(double, scene.mm(crease)), 65, 10, labels)
    add_section(picture, cut.binding_turned(double, scene.mm(binding.finished)), 65, 40, labels)
    return picture


def _outward(edge: Path, z: complex) -> complex:
    return -edge.start_tangent if abs(z - edge.start) < 1e-6 else edge.end_tangent


def _tails(binding: BindingOf, edge: Path, backwards: bool) -> list[tuple[float, complex, complex]]:
    """How far the binding runs on at both ends of its edge, where, and which way."""
    first, last = (binding.before, binding.after) if not backwards else (binding.after, binding.before)
    return [(first, edge.start, -edge.start_tangent), (last, edge.end, edge.end_tangent)]


def _inward_at(bench: Bench, part: Part, at: Placement, z: complex) -> complex:
    edge, near = bench.part_path(part).placed(at), _inwards(bench, part, at, 5.0)
    other = near.start if abs(z - edge.start) < abs(z - edge.end) else near.end
    return (other - z) / abs(other - z)


# ---------------------------------------------------------------- patch pockets


def draw_pocket(scene: StepScene) -> Picture | None:
    """The pocket with its edges pressed under; then laid on its place, with the rows, tacks and dividing lines."""
    bench = scene.bench
    sewn = [s for s in scene.seams if s.kind == "patch"]
    hems = [s for s in scene.seams if s.kind == "hem"]
    if not sewn or not hems:
        return None
    seam, mouth = sewn[0], hems[0].a.parts[0]
    pocket = seam.a.parts[0].copy
    found = _place(bench, str(scene.spec.get("on")))
    picture = Picture()
    depth = hems[0].allow_a / (2 if hems[0].neaten == "double" else 1)
    picture.add(_pressed_under(scene, pocket, mouth, depth))
    if found is None:
        return picture
    host, place = found
    at = on_grain(bench.copies[host])
    laid = place.laid.then(at)
    outline = bench.stitch_line(pocket).placed(laid)
    cloth = bench.cut_line(host).placed(at)
    box = common(grown(outline.bbox, 55.0), grown(cloth.bbox, 4.0))
    frame = fit_frame(box, 58, 40, complex(3, picture.bottom + 6))
    draw_copy(frame, bench, host, at)
    frame.ply(outline, look.RIGHT_SIDE, of=short_title(bench, pocket))
    rows = [_inwards(bench, p, laid, NOTE) for p in seam.a.parts]
    frame.line(_one_line(rows), look.SEW_NOW, "seam")
    _divide(frame, bench, mouth, laid, outline, int(scene.spec.get("parts", 1)))
    rim = bench.part_path(mouth).placed(laid)
    for z, way in ((rim.start, rim.start_tangent), (rim.end, -rim.end_tangent)):
        a = frame.on_paper(z + way * 3)
        down = _inward_at(bench, mouth, laid, z)
        frame.board.add(PathItem((Path.line(a, a + way * 1.6 + down * 0.2),), TACK, None, "seam"))
    # A corner of the place, where the pocket's own corner comes to lie.
    frame.label("bar tack", rim.start + rim.start_tangent * 4, None, dot=False)
    corner = max(place.corners, key=lambda z: at.apply(z).imag - at.apply(z).real * 0.2)
    frame.label("drill mark", at.apply(corner), None)
    inside = polygon(outline).representative_point()
    size = outline.bbox
    frame.label(
        side_words(bench, pocket, laid), complex(size[0] + (size[2] - size[0]) * 0.25, inside.y), outline
    )
    picture.add(frame)
    add_section(
        picture,
        cut.patched(scene.mm(NOTE)),
        65,
        frame.paper_box[1] + 8,
        {"cloth": short_title(bench, host), "pocket": short_title(bench, pocket)},
    )
    return picture


def _place(bench: Bench, ref: str) -> tuple[str, Place] | None:
    key, _, name = ref.partition(".")
    found = [
        (c.id, p) for c in bench.copies.values() if c.piece.name == key and c.host is None
        for p in c.places if p.name == name
    ]  # fmt: skip
    return next((f for f in found if f[1].side == "right"), found[0] if found else None)


def _one_line(rows: list[Path]) -> Path:
    """Rows that follow each other as one line, turned at the corners where they cross."""
    points: list[complex] = []
    for n, row in enumerate(rows):
        pts = [complex(z) for z in row.flatten(0.2)]
        if n and points:
            met = rows[n - 1].crossings(row)
            if met:
                points = [*points[:-1], met[0][1]]
                pts = pts[1:]
        points += pts
    return Path.polyline(points)


def _divide(frame: Frame, bench: Bench, mouth: Part, laid: Placement, outline: Path, parts: int) -> None:
    rim = bench.part_path(mouth).placed(laid)
    for k in range(1, parts):
        z = rim.point(rim.length * k / parts)
        down = _inward_at_middle(bench, mouth, laid, rim.length * k / parts)
        met = [q for _, q in Path.line(z + down, z + down * 4000).crossings(outline)]
        if met:
            frame.line(Path.line(min(met, key=lambda q: abs(q - z)), z), look.SEW_NOW, "seam")


def _inward_at_middle(bench: Bench, part: Part, at: Placement, s: float) -> complex:
    edge, near = bench.part_path(part).placed(at), _inwards(bench, part, at, 5.0)
    z = edge.point(s)
    other = near.point(near.nearest(z))
    return (other - z) / abs(other - z)


def _pressed_under(scene: StepScene, pocket: str, mouth: Part, depth: float) -> Frame:
    """Wrong side up: each allowance folded back onto the pocket, its right side showing; the mouth's hem sewn."""
    bench = scene.bench
    at = on_grain(bench.copies[pocket]).then(Placement.mirror(0j, 1j))
    net = bench.stitch_line(pocket).placed(at)
    x0, y0, x1, y1 = net.bbox
    frame = fit_frame(grown(net.bbox, 8.0), 58, 34, complex(3, 4))
    frame.ply(net, look.WRONG_SIDE, of=short_title(bench, pocket))
    copy = bench.copies[pocket]
    strips = []
    for half in copy.edges:
        wide = depth if half.name == mouth.edge else half.edge.allow
        part = Part(pocket, half.name, 0.0, half.edge.length)
        strip = polygon(_ring(half.edge.path.placed(at), _inwards(bench, part, at, wide)))
        strips.append(strip.intersection(polygon(net)))
    for strip in strips:
        frame.area(strip, look.RIGHT_SIDE)
    row = _inwards(bench, mouth, at, depth - 2.0)
    frame.line(row, look.SEW_NOW, "seam")
    middle = complex((x0 + x1) / 2, y0 + (y1 - y0) * 0.6)
    frame.label(side_words(bench, pocket, at), middle, net)
    rim, inner = bench.part_path(mouth).placed(at), _inwards(bench, mouth, at, depth)
    s = rim.length * 0.25
    frame.measure(
        rim.point(s), inner.point(inner.nearest(rim.point(s))), scene.mm(depth), 0.0, beside=rim.tangent(s)
    )
    frame.label("pressed under", complex(x1 - 4, y0 + (y1 - y0) * 0.5), None)
    return frame


# ---------------------------------------------------------------- straps


def draw_attach(scene: StepScene) -> Picture | None:
    """The strap's turned end on the wrong side of its host, with the crossed square; the strap cut off by the window."""
    if not scene.seams:
        return None
    bench = scene.bench
    key, _, edge = str(scene.spec.get("to")).partition(".")
    mark = str(scene.spec.get("at"))
    halves = [
        (c, h) for c in bench.copies.values() if c.piece.name == key and c.host is None
        for h in c.edges if h.base == edge and h.edge.mark(mark)
    ]  # fmt: skip
    if not halves:
        return None
    copy, half = next(((c, h) for c, h in halves if h.side in ("right", "whole")), halves[0])
    at = on_grain(copy).then(Placement.mirror(0j, 1j))
    seam = scene.seams[0]
    wide = seam.a_mm / 2
    lap = (scene.numbers or {}).get("lap", wide)
    strap = seam.a.parts[0].copy
    path = half.edge.path.placed(at)
    spots = [m.at for m in half.edge.marks if m.name == mark]
    part = Part(copy.id, half.name, 0.0, half.edge.length)
    cloth = bench.stitch_line(copy.id).placed(at)
    points = [path.point(s) for s in spots]
    box = common(
        grown(box_of([Path.line(p, p + 0.1) for p in points]), 95.0 if len(points) == 1 else 40.0, 70.0),
        grown(cloth.bbox, 75.0),
    )
    frame = fit_frame(box, 78, 46, complex(3, 4), largest=0.6)
    frame.ply(cloth, look.WRONG_SIDE, of=short_title(bench, copy.id))
    for s, z in zip(spots, points, strict=True):
        into, way = _inward_at_middle(bench, part, at, s), path.tangent(s)
        a, b = z + way * wide / 2, z - way * wide / 2
        far = into * -400.0
        frame.ply(
            Path.polyline([a + into * lap, a + far, b + far, b + into * lap], closed=True),
            look.RIGHT_SIDE,
            of=short_title(bench, strap),
        )
        low, high = into * (lap - NOTE), into * NOTE
        c = [a - way * NOTE + low, a - way * NOTE + high, b + way * NOTE + high, b + way * NOTE + low]
        frame.line(Path.polyline([*c, c[0], c[2]]), look.SEW_NOW, "seam")
        frame.line(Path.line(c[1], c[3]), look.SEW_NOW, "seam")
    z, into, way = points[0], _inward_at_middle(bench, part, at, spots[0]), path.tangent(spots[0])
    frame.label(short_title(bench, strap), z - into * 38, None)
    a = z + way * (wide / 2 + 9) if len(points) == 1 else z - way * 0
    frame.measure(
        z - way * (wide / 2),
        z - way * (wide / 2) + into * lap,
        scene.mm(lap),
        5.0 * _hand(way, into),
        beside=-way,
    )
    area = polygon(cloth).intersection(shapely.box(*grown(box, -6.0)))
    spot = area.representative_point()
    frame.label(
        side_words(bench, copy.id, at), complex(spot.x, spot.y) if len(points) > 1 else a + into * 45, cloth
    )
    picture = Picture()
    picture.add(frame)
    return picture


def _hand(way: complex, into: complex) -> float:
    """Which side of the line from edge to lap the measure stands on: away from the strap."""
    return -1.0 if (into / (way * 1j)).real > 0 else 1.0
