"""Pictures of rows of buttons: the pieces that carry them with every place, and one buttonhole near."""

from __future__ import annotations

from collections.abc import Sequence

import shapely

from booklet.drawing import look
from booklet.drawing.display import PathItem, Stroke
from booklet.model import ButtonMark
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.plies import draw_notches, lay_cloth, short_title
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene
from booklet.sewing.checks_buttons import rows_of

MARK = Stroke(1.1, look.ACCENT)
CUT = Stroke(0.7, look.INK)
APART = 26.0  # mm between two pieces; six times as much between two fronts, for the measures
BESIDE = 130.0  # mm of a piece shown beside its row
WIDE = 1.6  # mm of a buttonhole from side to side


def draw_buttons(scene: StepScene) -> Picture | None:
    """The piece with most places large, the others small beside or below it, then one buttonhole."""
    bench = scene.bench
    rows = rows_of(tuple(bench.copies.values()))
    pairs = [p for ref in dict.fromkeys(map(str, scene.spec)) for p in rows.get(ref, [])]
    if not pairs:
        return None
    pieces: dict[str, list[str]] = {}
    for copy, _ in pairs:
        ids = pieces.setdefault(copy.piece.name, [])
        ids += [copy.id] if copy.id not in ids else []
    named = {m.row for _, m in pairs}
    order = sorted(pieces, key=lambda name: -sum(c.piece.name == name for c, _ in pairs))
    main = pieces[order[0]]
    upright = _upright(bench, main[0])
    picture = Picture()
    big = Room(2, 3, 62, 70) if upright else Room(2, 6, 100, 30)
    picture.add(_whole(scene, _shown(bench, main), named, big, full=True))
    beside = 66.0 if upright else 3.0
    at = 4.0 if upright else picture.bottom + 6
    for name in order[1:]:
        room = Room(beside, at, 38, 24) if upright else Room(beside, at, 50, 24)
        frame = _whole(scene, _shown(bench, pieces[name]), named, room, full=False)
        picture.add(frame)
        at = frame.paper_box[3] + 8
    hole = next(((c.id, m) for c, m in pairs if m.kind == "buttonhole"), None)
    if hole is not None:
        picture.add(_near(scene, *hole, Room(beside if upright else 30, at, 38, 26)))
    return picture


def _shown(bench: Bench, ids: Sequence[str]) -> list[str]:
    """One ply of those that are alike; both of a pair whose marks differ, the wearer's right first, at the left."""
    first = bench.copies[ids[0]]
    kinds = [[(m.kind, m.row) for m in bench.copies[i].buttons] for i in ids]
    return [first.id] if len(ids) < 2 or kinds[0] == kinds[1] else list(ids[:2])


def _upright(bench: Bench, copy: str) -> bool:
    box = bench.stitch_line(copy).placed(on_grain(bench.copies[copy])).bbox
    return box[3] - box[1] > 1.2 * (box[2] - box[0])


def _whole(scene: StepScene, ids: Sequence[str], rows: set[str], room: Room, full: bool) -> Frame:
    bench = scene.bench
    at: dict[str, Placement] = {}
    x = 0.0
    for copy in ids:
        base = on_grain(bench.copies[copy])
        box = bench.stitch_line(copy).placed(base).bbox
        at[copy] = base.then(Placement.move(complex(x - box[0], -box[1])))
        x += box[2] - box[0] + APART * (6 if full else 1)
    cloth = grown(box_of([bench.stitch_line(c).placed(p) for c, p in at.items()]), 6.0)
    spots = [at[c].apply(m.at) for c in ids for m in bench.copies[c].buttons if m.row in rows]
    near = (
        min(z.real for z in spots) - BESIDE, cloth[1], max(z.real for z in spots) + BESIDE, cloth[3],
    )  # fmt: skip
    box = common(cloth, near) if len(ids) > 1 else cloth
    frame = fit_frame(box, room.width, room.height, room.corner)
    for copy, placing in at.items():
        lay_cloth(frame, bench, copy, placing, bench.stitch_line(copy).placed(placing))
        if not full:
            draw_notches(frame, bench, copy, placing)
    for copy, placing in at.items():
        mine = [m for m in bench.copies[copy].buttons if m.row in rows]
        for mark in mine:
            _mark(frame, mark, placing)
        if full and mine and any(m.kind == "buttonhole" for m in mine):
            _measures(scene, frame, copy, [m for m in mine if m.kind == "buttonhole"], placing)
        _name(bench, frame, copy, placing, [placing.apply(m.at) for m in mine], len(ids) > 1)
    return frame


def _mark(frame: Frame, mark: ButtonMark, at: Placement) -> None:
    """A buttonhole as a bar, a button as a ring with a cross, never smaller than can be seen."""
    z = frame.on_paper(at.apply(mark.at))
    if mark.kind == "buttonhole":
        a, b = (frame.on_paper(at.apply(e)) for e in mark.ends)
        way = (b - a) / abs(b - a)
        size = max(abs(b - a), 1.8)
        a = (a + b) / 2 - way * size / 2
        b = a + way * size
        bar = way * 0.55j
        paths = (Path.line(a, b), Path.line(a - bar, a + bar), Path.line(b - bar, b + bar))
        frame.board.add(PathItem(paths, MARK, None, "buttonhole"))
        return
    r = max(mark.size / 2 * frame.scale, 0.9)
    frame.board.add(PathItem((Path.circle(z, r),), Stroke(0.7, look.ACCENT), look.WRONG_SIDE, "button"))
    arms = tuple(Path.line(z - d * r * 0.5, z + d * r * 0.5) for d in (1 + 0j, 1j))
    frame.board.add(PathItem(arms, Stroke(0.5, look.ACCENT), None, "button"))


def _measures(scene: StepScene, frame: Frame, copy: str, row: Sequence[ButtonMark], at: Placement) -> None:
    """From the edge to the first place, and from it to the second, at the right of the piece."""
    if len(row) < 2:
        return
    first, second = at.apply(row[0].at), at.apply(row[1].at)
    way = (second - first) / abs(second - first)
    out = scene.bench.stitch_line(copy).placed(at).bbox[2]
    off = abs(out - first.real) * frame.scale + 2.4
    off *= -1 if (way * -1j).real < 0 else 1
    for a, b, long in (
        (first - way * row[0].far, first, row[0].far), (first, second, row[1].far - row[0].far),
    ):  # fmt: skip
        frame.measure(a, b, scene.mm(long), off, beside=1 + 0j)


def _name(bench: Bench, frame: Frame, copy: str, at: Placement, spots: Sequence[complex], two: bool) -> None:
    side = bench.copies[copy].side
    words = f"{side} {short_title(bench, copy)}" if two and side != "whole" else short_title(bench, copy)
    outline = bench.stitch_line(copy).placed(at)
    area = polygon(outline).intersection(shapely.box(*frame.box))
    row = shapely.MultiPoint([(z.real, z.imag) for z in spots]).convex_hull.buffer(12.0 / frame.scale * 0.35)
    free = area.difference(row)
    free = area if free.area < area.area * 0.15 else free
    best = max(getattr(free, "geoms", [free]), key=lambda g: g.area)
    spot = best.representative_point()
    frame.label(f"{words},\nright side up" if two else words, complex(spot.x, spot.y), outline)


def _near(scene: StepScene, copy: str, mark: ButtonMark, room: Room) -> Frame:
    """One buttonhole: its stitching, its cut, the button's place, with its length."""
    bench = scene.bench
    at = on_grain(bench.copies[copy])
    a, b = (at.apply(z) for z in mark.ends)
    middle = (a + b) / 2
    reach = max(abs(b - a) * 1.1, 16.0)
    box = (
        middle.real - reach * 1.2,
        middle.imag - reach * 0.8,
        middle.real + reach * 1.2,
        middle.imag + reach * 0.8,
    )
    frame = fit_frame(box, room.width, room.height, room.corner, largest=1.2)
    lay_cloth(frame, bench, copy, at, bench.stitch_line(copy).placed(at))
    way = (b - a) / abs(b - a)
    square = way * 1j * WIDE
    count = max(6, round(abs(b - a) / 1.1))
    for hand in (1, -1):
        zigzag = [
            a + way * abs(b - a) * k / count + square * hand * (0.35 if k % 2 else 1.0)
            for k in range(count + 1)
        ]
        frame.line(Path.polyline(zigzag), Stroke(0.6, look.ACCENT), "seam")
    for end in (a, b):
        frame.line(Path.line(end - square, end + square), Stroke(1.2, look.ACCENT), "seam")
    frame.line(Path.line(a, b), CUT, "cut")
    frame.line(Path.circle(at.apply(mark.at), mark.size / 2), look.HIDDEN, "button")
    side = 1 if (way * -1j).real + (way * -1j).imag > 0 else -1
    words = middle + way * -1j * side * 20.0 / frame.scale
    if not polygon(bench.stitch_line(copy).placed(at)).contains(shapely.Point(words.real, words.imag)):
        side = -side  # the words stand on the piece, not across its edge
    frame.measure(a, b, scene.mm(abs(b - a)), 6.0 * side, beside=way * -1j * side)
    frame.label("button", at.apply(mark.at) - way * mark.size / 2, None, dot=False)
    return frame
