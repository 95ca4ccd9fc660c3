"""A seam opened out and pressed, seen from the wrong side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement, fit_rigid
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Box, Frame, fit_frame, outlines, polygon
from booklet.pictures.plies import (
    allowance_strip,
    lay_cloth,
    placed_area,
    short_title,
    side_words,
)
from booklet.pictures.scenes import Room

BESIDE = 1.2  # of the height shown: how far from its middle the two edges are made to meet
ALIKE = 40.0  # mm to each side of a place, over which the two edges are compared
STRIP = 4.0  # times as long as wide: a strip
LEANING = 0.5  # of a piece that lies on its side: it can stand neither on its feet nor on its head
SMALL = look.Stroke(0.5, look.INK)
FLAT = 1.0  # mm of bend within the window, below which the seam counts as straight


@dataclass(frozen=True)
class Lying:
    """Both plies of a seam edge on edge, wrong side up, the seam upright at a place of it; what of that is shown.

    `hand`: -1 where the first ply lies at the left, 1 where it lies at the right.
    """

    a: Part
    b: Part
    at: dict[str, Placement]
    line: Path  # of the first ply's seam
    s: float  # of the place, along that line
    box: Box
    hand: float
    allow: float

    @property
    def middle(self) -> complex:
        return self.line.point(self.s)


def lie_open(bench: Bench, seam: Seam, room: Room, upright: bool = False) -> Lying:
    """The place is the middle of the longest stretch in which one copy meets one other. Unlike edges meet there.

    The first ply lies at the left; `upright`: or where it stands on its feet.
    """
    (pa, za), (pb, _) = meeting_place(bench, seam)
    if pa.copy == pb.copy:
        raise ValueError("a piece joined to itself cannot be opened flat")
    path = bench.part_path(pa)
    s = path.nearest(za)
    flip = Placement.mirror(0j, 1j)
    turned = flip.direction(path.tangent(s))
    at: dict[str, Placement] = {pa.copy: flip.then(Placement(1j * abs(turned) / turned))}
    line = path.placed(at[pa.copy])
    right = _into_at(bench, pa.copy, at[pa.copy], line, s).real > 0
    down = at[pa.copy].direction(on_grain(bench.copies[pa.copy]).inverse.direction(1j))
    over = down.imag < -LEANING if upright and abs(down.imag) > LEANING else right
    if over:
        at[pa.copy] = at[pa.copy].then(Placement(-1 + 0j))
        line = path.placed(at[pa.copy])
    allow = max(seam.allow_a, seam.allow_b or 0.0)
    height = min(line.length + 2.2 * allow, max(7.0 * allow, room.height / 0.62))
    laid = bench.lay(
        pb.copy, pa.copy, at[pa.copy], [seam], face_to_face=False, about=(path.point(s), height * BESIDE)
    )
    if laid is None:
        raise ValueError("the two runs share no points")
    at[pb.copy] = laid
    middle = line.point(s)
    top = middle.imag - height / 2
    width = min(height * room.width / room.height, 220.0)
    hand = 1.0 if right != over else -1.0
    # What both allowances lie on gets as much more room as they cover.
    x = middle.real + {"to a": hand, "to b": -hand}.get(seam.press, 0.0) * allow / 2
    return Lying(pa, pb, at, line, s, (x - width / 2, top, x + width / 2, top + height), hand, allow)


def is_strip(bench: Bench, copy: str, at: Placement) -> bool:
    """Whether a copy lies as a strip across the view."""
    x0, y0, x1, y1 = bench.cut_line(copy).placed(at).bbox
    return x1 - x0 > STRIP * (y1 - y0)


def whole_beside(bench: Bench, lying: Lying, room: Room, close: Frame) -> Frame:
    """The whole plies, small, as they lie in the close view, with a ring where that is and a line to it."""
    areas = {}
    for part in (lying.a, lying.b):
        strip = placed_area(allowance_strip(bench, part), lying.at[part.copy])
        areas[part.copy] = polygon(bench.cut_line(part.copy).placed(lying.at[part.copy])).difference(strip)
    x0, y0, x1, y1 = shapely.union_all(list(areas.values())).bounds
    frame = fit_frame((x0 - 3, y0 - 3, x1 + 3, y1 + 3), room.width, room.height, room.corner)
    for copy, area in areas.items():
        lay_cloth(frame, bench, copy, lying.at[copy], area, SMALL)
    frame.line(lying.line, SMALL, "seam line")
    ring = frame.on_paper(lying.middle)
    radius = max((lying.box[3] - lying.box[1]) / 2 * frame.scale, 2.2)
    x, y, right, foot = close.paper_box
    target = complex(x, min(max(ring.imag, y + 4.0), foot - 4.0))
    if frame.paper_box[3] < y:
        target = complex(min(max(ring.real, x + 4.0), right - 4.0), y)
    frame.board.add(marks.ring(ring, radius), marks.ring_link(ring, radius, target, 0.0))
    frame.cloth.clear()
    return frame


def opened(bench: Bench, seam: Seam, lying: Lying, room: Room, press: str) -> Frame:
    """Its allowances pressed: a close view of a place on the seam."""
    pa, pb, at, line, s, box, allow = (
        lying.a, lying.b, lying.at, lying.line, lying.s, lying.box, lying.allow,
    )  # fmt: skip
    middle, x, top, height, width = lying.middle, lying.middle.real, box[1], box[3] - box[1], box[2] - box[0]
    frame = fit_frame(box, room.width, room.height, room.corner, largest=2.0)
    hands = {pa.copy: lying.hand, pb.copy: -lying.hand}
    strips = {p.copy: placed_area(allowance_strip(bench, p), at[p.copy]) for p in (pa, pb)}
    bodies = {
        p.copy: polygon(bench.cut_line(p.copy).placed(at[p.copy])).difference(strips[p.copy])
        for p in (pa, pb)
    }
    folded = {c: placed_area(strip, Placement.mirror(middle, 1j)) for c, strip in strips.items()}
    shown = line.part(max(s - height / 2, 0.0), min(s + height / 2, line.length)).flatten(0.1)
    if max(abs(z.real - x) for z in shown) > FLAT:  # sewn, both edges follow one curve
        near = line.part(max(s - height, 0.0), min(s + height, line.length))
        for part in (pa, pb):
            hand = hands[part.copy]
            bodies[part.copy] = (
                bodies[part.copy]
                .union(_beside(near, hand, 2 * allow))
                .intersection(_beside(near, hand, 500.0))
            )
            folded[part.copy] = _beside(near, hand, bench.half(part).edge.allow)
            strips[part.copy] = _beside(near, -hand, bench.half(part).edge.allow)
    for part in (pa, pb):
        lay_cloth(frame, bench, part.copy, at[part.copy], bodies[part.copy])
    frame.waves()
    frame.cloth.clear()
    spots = []
    if press == "open":
        for part in (pa, pb):
            frame.area(folded[part.copy], look.RIGHT_SIDE)
            spots.append(folded[part.copy])
    else:
        to, away = (pa, pb) if press == "to a" else (pb, pa)
        frame.area(folded[to.copy], look.RIGHT_SIDE)
        frame.area(strips[away.copy], look.WRONG_SIDE)
        spots.append(strips[away.copy])
    frame.cloth.clear()
    frame.line(line, look.CUT, "seam line")
    if seam.treatment == "gathers":
        _gathers(frame, line, s, height, lying.hand if seam.difference > 0 else -lying.hand)
    mid = complex(x, top + height * 0.72)
    reach = min(15.0 / frame.scale, width / 2 - allow * 0.5 - 2.0 / frame.scale)
    towards = {"open": (-1.0, 1.0), "to a": (lying.hand,), "to b": (-lying.hand,)}.get(press, ())
    for sign in towards:
        start = frame.on_paper(mid + sign * allow * 0.5)
        frame.board.add(
            *marks.action_arrow(start, frame.on_paper(mid + sign * (allow * 0.5 + reach)), dot=False)
        )
    for part in (pa, pb):
        beside = shapely.box(x - allow * 1.3, top, x + allow * 1.3, top + height)
        visible = bodies[part.copy].difference(beside).intersection(shapely.box(*box))
        if not visible.is_empty:
            spot = visible.representative_point()
            body_path = max(outlines(bodies[part.copy]), key=lambda p: p.length)
            frame.label(
                side_words(bench, part.copy, at[part.copy]),
                complex(spot.x, spot.y),
                body_path,
            )
    if spots:
        inside = spots[-1].intersection(shapely.box(*box))
        if not inside.is_empty:
            spot = inside.representative_point()
            z = complex(spot.x, box[1] + (box[3] - box[1]) * 0.3)
            words = (
                "allowances open;\ntheir right side shows"
                if press == "open"
                else f"both allowances\ntowards the {short_title(bench, to.copy)}"
            )
            frame.label(words, z)
    return frame


def _gathers(frame: Frame, line: Path, s: float, height: float, hand: float) -> None:
    """Short strokes from the seam into the gathered piece, on one `hand` (-1 left)."""
    count = 9
    for k in range(1, count):
        far = s + height * (k / count - 0.5)
        if 0 < far < line.length:
            way = line.tangent(far) * 1j
            out = way if way.real * hand > 0 else -way
            long = height * (0.2 if k % 2 else 0.13)
            frame.line(Path.line(line.point(far), line.point(far) + out * long), look.LEADER, "gathers")


def meeting_place(bench: Bench, seam: Seam) -> tuple[tuple[Part, complex], tuple[Part, complex]]:
    """The parts that meet where the two edges are most alike, each with its point there.

    Of places equally alike the one nearest to the middle of a stretch in which one copy meets one other.
    """
    assert seam.b is not None
    count = 81
    met = list(zip(bench.sewn_points(seam.a, count), bench.sewn_points(seam.b, count), strict=True))
    reach = max(2, min(round(ALIKE / max(seam.a_mm, 1.0) * (count - 1)), 12))
    best: tuple[float, int] | None = None
    for k in range(count):
        pair = met[k][0][0], met[k][1][0]
        low, high = k, k
        while low > 0 and (met[low - 1][0][0], met[low - 1][1][0]) == pair:
            low -= 1
        while high < count - 1 and (met[high + 1][0][0], met[high + 1][1][0]) == pair:
            high += 1
        off = abs(k - (low + high) / 2) / count  # from the middle of its stretch
        inside = min(reach, (high - low) // 2)
        if not low + inside <= k <= high - inside or (high - low < 2 * reach and high - low < count // 4):
            continue
        near = met[max(low, k - reach) : min(high, k + reach) + 1]
        a, b = (np.array([m[n][1] for m in near]) for n in (0, 1))
        laid = fit_rigid(b, a, False)
        apart = max(abs(laid.apply(complex(y)) - x) for x, y in zip(a, b, strict=True))
        cost = round(apart) + off
        if best is None or cost < best[0]:
            best = cost, k
    k = best[1] if best is not None else count // 2
    (ca, za), (cb, zb) = met[k]

    def part_at(run: Run, copy: str, z: complex) -> Part:
        mine = [p for p in run.parts if p.copy == copy]
        paths = [bench.part_path(p) for p in mine]
        return mine[min(range(len(mine)), key=lambda k: abs(paths[k].point(paths[k].nearest(z)) - z))]

    return (part_at(seam.a, ca, za), za), (part_at(seam.b, cb, zb), zb)


def _into_at(bench: Bench, copy: str, at: Placement, line: Path, s: float) -> complex:
    """Unit direction from a seam into its piece at a place along it."""
    n = line.tangent(s) * 1j
    z = line.point(s) + n * 4
    return n if polygon(bench.stitch_line(copy).placed(at)).contains(shapely.Point(z.real, z.imag)) else -n


def _beside(line: Path, hand: float, wide: float) -> shapely.Geometry:
    """The ground beside an upright line to one `hand` (-1 left), square to it, so many mm wide."""
    points = line.flatten(0.1)
    way = np.gradient(points)
    out = way / np.abs(way) * 1j
    out = np.where(out.real * hand < 0, -out, out)
    if wide > 100.0:  # far off, square to the line would cross itself
        out = np.full(len(points), hand + 0j)
    ring = np.concatenate((points, (points + out * wide)[::-1]))
    return polygon(Path.polyline(ring, closed=True))
