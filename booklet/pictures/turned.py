"""An edge turned up, seen from the wrong side."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.text import measure, tidy
from booklet.model import Part, Run
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Box, Frame, fit_frame, outlines, polygon
from booklet.pictures.chains import nearest_side
from booklet.pictures.plies import (
    allowance_strip,
    lay_cloth,
    placed_area,
    side_words,
)
from booklet.pictures.rows import moved
from booklet.pictures.scenes import Room, into

SMALL = look.Stroke(0.5, look.INK)
WHOLE = Room(1, 7, 13.5, 34)  # where the small whole stands
EDGE = Room(17.5, 4, 43, 42)  # the close view beside it
CLEAR = 2.4  # mm on paper: from a measure to its words, and from these to where the view ends
TURNED = Room(66, 4, 39, 42)  # beside it again, turned up
BESIDE = 67.0  # mm: where a section beside both begins


@dataclass(frozen=True)
class _Laid:
    """The part whose edge lies level, the part beside it if it runs on over a seam, and where their copies lie."""

    main: Part
    beside: Part | None
    at: dict[str, Placement]
    middle: complex  # of the close view, on the edge's stitch line
    main_left: bool


def _lay(bench: Bench, run: Run, depth: float) -> _Laid:
    """Wrong side up, the edge level below, at the first seam that it crosses, of two pieces if there is one, or else at
    its middle.
    """
    part = max(run.parts, key=lambda p: abs(p.end - p.start))
    joints = [(a, b) for a, b in zip(run.parts, run.parts[1:], strict=False) if a.copy != b.copy]
    unlike = [(a, b) for a, b in joints if bench.copies[a.copy].piece.key != bench.copies[b.copy].piece.key]
    neighbour = next(iter(unlike or joints), None)
    main = neighbour[0] if neighbour else part
    path = bench.part_path(main)
    centre = path.end if neighbour else path.point(path.length / 2)
    t = path.end_tangent if neighbour else path.tangent(path.length / 2)
    flip = Placement.mirror(0j, 1j)
    turned = flip.direction(t)
    at = {main.copy: flip.then(Placement(abs(turned) / turned))}
    line = path.placed(at[main.copy])
    if into(bench, main.copy, at[main.copy], line).imag > 0:
        at[main.copy] = at[main.copy].then(Placement(-1 + 0j))
    if neighbour:
        mutual = [
            s
            for s in bench.done
            if s.b is not None
            and {neighbour[0].copy, neighbour[1].copy} <= {p.copy for p in (*s.a.parts, *s.b.parts)}
        ]
        near = nearest_side(bench, mutual, neighbour[0])
        # By the end of the seam alone: further up a dart may bend it.
        laid = (
            bench.lay(
                neighbour[1].copy,
                main.copy,
                at[main.copy],
                near,
                face_to_face=False,
                about=(centre, depth * 4.2),
            )
            if near
            else None
        )
        if laid is not None:
            # Fitted over the whole seam, unlike curves part at its end: here the two corners meet.
            apart = at[main.copy].apply(centre) - laid.apply(bench.part_path(neighbour[1]).start)
            at[neighbour[1].copy] = laid.then(Placement.move(apart))
    z = at[main.copy].apply(centre)
    main_left = at[main.copy].apply(path.point(path.length / 2)).real < z.real
    beside = neighbour[1] if neighbour and neighbour[1].copy in at else None
    return _Laid(main, beside, at, z, main_left)


def _window(laid: _Laid, depth: float, room: Room) -> Box:
    height = depth * 4.2
    width = height * room.width / room.height
    z = laid.middle
    return z.real - width / 2, z.imag - height + depth * 1.45, z.real + width / 2, z.imag + depth * 1.45


def small_whole(bench: Bench, run: Run, depth: float, close: Room = EDGE, room: Room = WHOLE) -> Frame:
    """The whole pieces, small, as they lie in the close view, with a ring where that is and a line to it."""
    laid = _lay(bench, run, depth)
    parts = [laid.main, *([laid.beside] if laid.beside else [])]
    areas = {}
    for p in parts:
        area = polygon(bench.cut_line(p.copy).placed(laid.at[p.copy]))
        areas[p.copy] = (
            own_half(area, (p is laid.main) == laid.main_left, laid.middle) if laid.beside else area
        )
    x0, y0, x1, y1 = shapely.union_all(list(areas.values())).bounds
    frame = fit_frame((x0 - 3, y0 - 3, x1 + 3, y1 + 3), room.width, room.height, room.corner)
    for copy, area in areas.items():
        lay_cloth(frame, bench, copy, laid.at[copy], area, SMALL)
    seen = _window(laid, depth, close)
    ring = frame.on_paper(complex(laid.middle.real, (seen[1] + seen[3]) / 2))
    radius = max((seen[3] - seen[1]) / 2 * frame.scale, 2.2)
    target = complex(close.x, min(ring.imag, close.y + close.height * 0.4))
    frame.board.add(marks.ring(ring, radius), marks.ring_link(ring, radius, target, 0.0))
    frame.cloth.clear()
    return frame


def turned_edge(bench: Bench, run: Run, room: Room, depth: float, words: str, second: bool) -> Frame:
    """Near the middle of the run, wrong side up, the edge level below: first with the fold to make, then turned up."""
    laid = _lay(bench, run, depth)
    main, at, z, main_left = laid.main, laid.at, laid.middle, laid.main_left
    box = _window(laid, depth, room)
    height, width = box[3] - box[1], box[2] - box[0]
    frame = fit_frame(box, room.width, room.height, room.corner, largest=1.6)
    parts = [main, *([laid.beside] if laid.beside else [])]
    strips, bodies = {}, {}
    for p in parts:
        whole = polygon(bench.cut_line(p.copy).placed(at[p.copy]))
        strips[p.copy] = placed_area(allowance_strip(bench, p), at[p.copy])
        area = whole if not second else whole.difference(strips[p.copy])
        if len(parts) > 1:
            area = own_half(area, (p is main) == main_left, z)
        lay_cloth(frame, bench, p.copy, at[p.copy], area)
        bodies[p.copy] = area
    if second:
        for p in parts:
            # A curved hem is shrunk in to the line that it meets: turned up it is a band along the fold.
            fold = bench.part_path(p).placed(at[p.copy]).flatten(0.1)
            ring = np.concatenate((fold, moved(bench, p, at[p.copy], -depth).flatten(0.1)[::-1]))
            area = polygon(Path.polyline(ring, closed=True)).buffer(0)
            if len(parts) > 1:
                area = own_half(area, (p is main) == main_left, z)
            frame.area(area, look.RIGHT_SIDE)
    frame.waves()
    frame.cloth.clear()

    def kept(p: Part, line: Path) -> list[Path]:
        """What of a line lies on the part's own side of the seam that joins the two."""
        if len(parts) < 2:
            return [line]
        own = shapely.LineString([(w.real, w.imag) for w in line.flatten(0.05)])
        own = own_half(own, (p is main) == main_left, z)
        return [
            Path.polyline([complex(*w) for w in run.coords])
            for run in getattr(own, "geoms", [own])
            if run.length > 1
        ]

    if not second:
        for p in parts:
            for line in kept(p, bench.part_path(p).placed(at[p.copy])):
                frame.line(line, look.FOLD, "fold")
        x = z.real - width * 0.27
        low = complex(x, z.imag + depth * 0.9)
        high = complex(x, z.imag - depth * 0.9)
        frame.board.add(
            *marks.curved_arrow(
                frame.on_paper(low), frame.on_paper(high), -1 - 0.2j, 1 - 0.2j, dot=False, swing=0.9
            )
        )
        x = _measure_at(frame, z, width, words)
        if words:
            frame.measure(complex(x, z.imag), complex(x, z.imag + depth), words, 0.0, beside=complex(1, 0))
        frame.label("fold line", complex(z.real + width * 0.12, z.imag), None, dot=False)
    else:
        inset = min(3.0, depth * 0.2)
        for p in parts:
            for row in kept(p, moved(bench, p, at[p.copy], inset - depth)):
                frame.line(row, look.SEW_NOW, "seam")
        x = _measure_at(frame, z, width, words)
        frame.measure(
            complex(x, z.imag), complex(x, z.imag - depth + inset), words, 0.0, beside=complex(1, 0)
        )
        frame.label("right side of\nthe hem shows", complex(z.real - width * 0.25, z.imag - depth * 0.4))
    for p in () if second else parts:
        spot = complex(
            z.real + (-1 if (p is main) == main_left else 1) * width * (0.25 if len(parts) > 1 else 0.0),
            box[1] + height * 0.2,
        )
        on = outlines(bodies[p.copy])
        frame.label(
            side_words(bench, p.copy, at[p.copy]),
            spot,
            on[0] if on else None,
        )
    return frame


def _measure_at(frame: Frame, middle: complex, width: float, words: str) -> float:
    """Where across the window a measure stands, so that the words beside it end before the window does."""
    room = measure(tidy(words), look.MEASURE_PT, 600) + CLEAR
    return middle.real + min(width * 0.2, max(width / 2 - room / frame.scale, width * 0.05))


def own_half(area: shapely.Geometry, left: bool, z: complex) -> shapely.Geometry:
    """The allowance at the joined side does not show: each ply ends at the seam line."""
    far = 4000.0
    box = shapely.box(-far, -far, z.real, far) if left else shapely.box(z.real, -far, far, far)
    return area.intersection(box)
