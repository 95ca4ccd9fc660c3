"""Pictures of a collar: its two sides sewn, a trimmed corner, the turned edge; then the collar between its stands."""

from __future__ import annotations

import shapely

from booklet.drawing import look
from booklet.drawing.display import Item
from booklet.model import Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, outlines, polygon
from booklet.pictures.plies import draw_copy, draw_seam, lay_cloth, short_title
from booklet.pictures.rows import raw_end
from booklet.pictures.scenes import Room, label_plies, together
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section, stitch_mark
from booklet.pictures.step_scene import StepScene, add_section

SHIFT = 5 - 9j  # mm by which the inner stand is drawn off the plies below it
TICK = 1.3  # paper mm to each side of the row, where the collar ends
ACROSS = 3.0  # mm from a point to the cut across it
APART = 0.45  # paper mm between plies of a section


def draw_collar(scene: StepScene) -> Picture | None:
    seams = [s for s in scene.seams if s.b is not None]
    if not seams:
        return None
    return _make(scene, seams) if "pieces" in scene.spec else _hold(scene, seams)


def _make(scene: StepScene, seams: list[Seam]) -> Picture:
    """The under side lies below with its right side up: the upper one is turned over onto it."""
    picture = Picture()
    frame, at = together(scene.bench, seams, Room(3, 4, 100, 38), "")
    upper, under = seams[0].a.parts[0].copy, seams[0].b.parts[0].copy  # type: ignore[union-attr]
    for z, way in _row_ends(scene.bench, seams):  # out to the raw neck edge
        for end in raw_end(scene.bench, upper, z, way):
            frame.line(Path.line(z, end).placed(at[upper]), look.SEW_NOW, "seam")
    picture.add(frame)
    y = picture.bottom + 6
    picture.add(_corner(scene, seams, upper, at[upper], Room(8, y, 36, 26)))
    names = {"upper": short_title(scene.bench, upper), "under": short_title(scene.bench, under)}
    add_section(picture, turned_edge_section(upper in scene.bench.fused), 56, y + 6, names)
    return picture


def _row_ends(bench: Bench, seams: list[Seam]) -> list[tuple[complex, complex]]:
    """Where the rows begin and end that run on into no other of them, each with its way out, in the upper ply's frame."""
    paths = [bench.part_path(part) for s in seams for part in s.a.parts]
    ends = [(z, w) for p in paths for z, w in ((p.start, -p.start_tangent), (p.end, p.end_tangent))]
    return [(z, w) for z, w in ends if not _meets(z, paths)]


def _corner(scene: StepScene, seams: list[Seam], copy: str, at: Placement, room: Room) -> Frame:
    """A corner between two of the seams, its allowances trimmed and cut off across the point."""
    bench = scene.bench
    paths = [bench.part_path(part).placed(at) for s in seams for part in s.a.parts]
    tip = max(
        (z for path in paths for z in (path.start, path.end) if _meets(z, paths)),
        key=lambda z: z.real,
        default=paths[0].end,
    )
    net = polygon(bench.stitch_line(copy).placed(at))
    trim = (scene.numbers or {})["trim"]
    kept = net.buffer(trim, join_style="mitre", mitre_limit=6.0)
    mid = net.centroid
    inward = complex(mid.x, mid.y) - tip
    inward = _halving(paths, tip) or inward / abs(inward)
    square = inward * 1j
    edge = tip - inward * ACROSS
    far = [
        edge + square * 90,
        edge - square * 90,
        edge - square * 90 - inward * 90,
        edge + square * 90 - inward * 90,
    ]
    kept = kept.difference(shapely.Polygon([(z.real, z.imag) for z in far]))
    centre = tip + inward * 12
    box = (centre.real - 26, centre.imag - 19, centre.real + 26, centre.imag + 19)
    frame = fit_frame(box, room.width, room.height, room.corner)
    lay_cloth(frame, bench, copy, at, kept)
    draw_seam(frame, paths)
    frame.label(f"trimmed to {scene.mm(trim)}", _beside(outlines(kept)[0], tip), None, dot=False)
    frame.label("cut across", edge, None, dot=False)
    return frame


def _meets(z: complex, paths: list[Path]) -> bool:
    return sum(min(abs(z - p.start), abs(z - p.end)) < 0.5 for p in paths) > 1


def _halving(paths: list[Path], tip: complex) -> complex | None:
    """The unit direction between the two lines that leave a corner."""
    ways = [
        p.start_tangent if abs(p.start - tip) < 0.5 else -p.end_tangent
        for p in paths
        if min(abs(p.start - tip), abs(p.end - tip)) < 0.5
    ]
    both = sum(ways[:2]) if len(ways) > 1 else 0j
    return both / abs(both) if abs(both) > 0.05 else None


def _beside(outline: Path, tip: complex) -> complex:
    """A point of the trimmed edge some way from the corner, the lowest on the paper."""
    points = [outline.point(outline.length * k / 400) for k in range(400)]
    near = [z for z in points if 14 < abs(z - tip) < 20]
    return max(near, key=lambda z: z.imag, default=tip)


def turned_edge_section(interfaced: bool) -> Section:
    """Turned: the upper side rolls a little over the edge, so that the seam lies below."""
    edge, roll = 30.0, 1.6
    low = THICK + APART
    upper = bent(
        [0j, complex(edge, 0), complex(edge, low), complex(edge - roll, low), complex(edge - roll, low / 2),
         complex(edge - roll - 6, low / 2)],
        0.5,
    )  # fmt: skip
    gap = 2 * THICK + 1.1
    under = bent(
        [complex(0, gap), complex(edge - roll - 0.9, gap), complex(edge - roll - 0.9, THICK + 0.9),
         complex(edge - roll - 6, THICK + 0.9)],
        0.5,
    )  # fmt: skip
    items: list[Item] = draw_section([SectionPly(upper, True, interfaced), SectionPly(under, False)])
    spots = {"upper": 1.2 + 0j, "under": complex(1.2, gap)}
    return Section(tuple(items), (-1, -3.0, edge + 3, gap + 2.5), spots)


# ---------------------------------------------------------------- between the stands


def _hold(scene: StepScene, seams: list[Seam]) -> Picture | None:
    """The outer stand right side up, the collar on it with its neck edge up, the inner stand on top, shifted a little."""
    bench = scene.bench
    outer, inner = (_ply(bench, str(k)) for k in scene.spec["stands"])
    along = next(
        (s for s in seams if s.a.parts[0].copy == outer and s.b and s.b.parts[0].copy != inner), None
    )
    ends = [s for s in seams if s.a.parts[0].copy == outer and s.b and s.b.parts[0].copy == inner]
    if along is None or along.b is None:
        return None
    collar = along.b.parts[0].copy
    at = {outer: on_grain(bench.copies[outer])}
    laid = bench.lay(collar, outer, at[outer], [along], face_to_face=True)
    over = bench.lay(inner, outer, at[outer], ends, face_to_face=True)
    if laid is None or over is None:
        return None
    at[inner] = over.then(Placement.move(SHIFT))
    turned = bench.stitch_line(collar).placed(laid)
    whole = grown(
        box_of([bench.cut_line(outer).placed(at[outer]), turned, bench.cut_line(inner).placed(at[inner])]),
        5.0,
    )
    picture = Picture()
    frame = fit_frame(whole, 100, 42, complex(3, 10))  # room for words above and below
    draw_copy(frame, bench, outer, at[outer])
    frame.ply(turned, look.RIGHT_SIDE, of=short_title(bench, collar))
    draw_copy(frame, bench, inner, at[inner])
    row = [p for s in (along, *ends) for p in bench.run_path(s.a, at)]
    draw_seam(frame, [p.placed(Placement.move(SHIFT)) for p in row])
    upper = next((s.b.parts[0].copy for s in seams if s.a.parts[0].copy == inner and s.b), collar)
    _mark_ends(scene, frame, along, at[outer].then(Placement.move(SHIFT)), upper)
    hidden = polygon(bench.cut_line(inner).placed(at[inner]))
    spot = polygon(turned).difference(hidden).representative_point()
    frame.label(
        f"{short_title(bench, upper)},\n{short_title(bench, collar)} below", complex(spot.x, spot.y), None
    )
    label_plies(frame, bench, at, (outer, inner), keep_off=polygon(turned).difference(hidden))
    picture.add(frame)
    names = {
        "inner": short_title(bench, inner), "upper": short_title(bench, upper),
        "under": short_title(bench, collar), "outer": short_title(bench, outer),
    }  # fmt: skip
    add_section(picture, held_section(), 24, picture.bottom + 8, names)
    return picture


def _mark_ends(scene: StepScene, frame: Frame, along: Seam, at: Placement, collar: str) -> None:
    """Ticks across the row where the collar's seam begins and ends on the stands; one is named, with its distance."""
    paths = [scene.bench.part_path(p).placed(at) for p in along.a.parts]
    ends = (paths[0].start, paths[0].start_tangent), (paths[-1].end, paths[-1].end_tangent)
    for z, way in ends:
        across = way * 1j * TICK / frame.scale
        frame.line(Path.line(z - across, z + across), look.NOTCH, "notch")
    z, way = max(ends, key=lambda e: e[0].real)
    down = way * 1j if (way * 1j).imag > 0 else way * -1j
    words = f"end of the {short_title(scene.bench, collar)},\n{scene.mm(along.a_mm / 2)} from the centre"
    frame.label(words, z + down * TICK / frame.scale, None, dot=False)


def _ply(bench: Bench, piece: str) -> str:
    return next(c.id for c in bench.copies.values() if c.piece.name == piece and c.host is None)


def held_section() -> Section:
    """Four plies with their edges level at the right: outer stand, under and upper side of the collar, inner stand."""
    step, long, seam = 2 * THICK, 46.0, 38.0
    lines = [
        bent([complex(20, 0), complex(long, 0)]),
        bent([complex(2, -step), complex(long, -step)]),
        bent([complex(2, -2 * step), complex(long, -2 * step)]),
        bent([complex(20, -3 * step), complex(long, -3 * step)]),
    ]
    sides = (True, False, True, False)  # whether the right side is up
    items: list[Item] = draw_section([SectionPly(line, up) for line, up in zip(lines, sides, strict=True)])
    items.append(stitch_mark(seam, -3 * step - 1.4, 1.4))
    spots = {
        "outer": complex(21.2, 0), "under": complex(3.2, -step), "upper": complex(3.2, -2 * step),
        "inner": complex(21.2, -3 * step),
    }  # fmt: skip
    return Section(tuple(items), (0, -3 * step - 5.0, long + 12, 4.0), spots)
