"""The kinds of scene: laid together, opened out, side by side, a piece with its edge, an edge turned up, in the round.

Each takes the bench and the seams of a step and draws one frame. Placings are rigid: pieces are never bent to fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import PathItem, Text, circle_path
from booklet.drawing.text import measure as text_width
from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Box, Frame, fit_frame, outlines, polygon
from booklet.pictures.plies import (
    allowance_strip,
    draw_copy,
    draw_notches,
    draw_seam,
    inner_point,
    placed_area,
    run_box,
    short_title,
    side_fill,
    side_words,
)

UP, OVER = 11.0, 7.0  # scene mm: an upper ply is moved by so much, so that both show


@dataclass(frozen=True)
class Room:
    """Paper room for a frame: its left top corner, width and height, mm."""

    x: float
    y: float
    width: float
    height: float

    @property
    def corner(self) -> complex:
        return complex(self.x, self.y)


def first_copy(run: Run) -> str:
    return run.parts[0].copy


def window(
    bench: Bench, paths: Sequence[Path], seam_box: Box, room: Room, least: float = 110.0, share: float = 0.5
) -> Box:
    """What to show: the seam with some cloth round it, no more than there is, in the room's own proportion."""
    w, h = seam_box[2] - seam_box[0], seam_box[3] - seam_box[1]
    margin = max(28.0, 0.12 * max(w, h))
    box = grown(seam_box, margin)
    cloth = grown(box_of(paths), 4.0)
    box = common(box, cloth)
    for _ in range(2):  # widen towards the room's proportion, as far as there is cloth
        w, h = box[2] - box[0], box[3] - box[1]
        want_h = max(least, w * room.height / room.width * share * 1.6)
        if h < want_h:
            grow = want_h - h
            box = common((box[0], box[1] - grow, box[2], box[3] + grow), cloth)
        want_w = max(least, h * room.width / room.height * 0.8)
        if w < want_w:
            grow = want_w - w
            box = common((box[0] - grow, box[1], box[2] + grow, box[3]), cloth)
    return box


def label_plies(
    frame: Frame,
    bench: Bench,
    at: dict[str, Placement],
    order: Sequence[str],
    told: set[str] | None = None,
    keep_off: shapely.Geometry | None = None,
) -> None:
    """'front, wrong side up' on each ply, the undermost first in `order`; a covered one is spoken of where it shows.

    `told` holds what has been named in another frame of the picture, and takes up what is named here. No dot stands
    in `keep_off`, an area of the scene.
    """
    told = set() if told is None else told
    areas = {c: polygon(bench.cut_line(c).placed(at[c])) for c in order}
    for n, copy in enumerate(order):
        words = side_words(bench, copy, at[copy])
        if words in told:
            continue
        over = [*(areas[c] for c in order[n + 1 :]), *([keep_off] if keep_off is not None else [])]
        spot = inner_point(bench, copy, at[copy], frame, shapely.union_all(over) if over else None)
        if spot is None:
            continue
        told.add(words)
        frame.label(
            words, spot, bench.cut_line(copy).placed(at[copy]) if plain(bench, copy, at[copy]) else None
        )


def plain(bench: Bench, copy: str, at: Placement) -> bool:
    """Whether words can be read on a copy: not over interfacing dots."""
    return side_fill(bench, copy, at).pattern is None


# ---------------------------------------------------------------- laid together


def together(
    bench: Bench, seams: Sequence[Seam], room: Room, measure_words: str, wrong_sides: bool = False
) -> tuple[Frame, dict[str, Placement]]:
    """Right sides (or wrong sides) together: the first run's copy turned over onto the second's, the seam on top."""
    seam = seams[0]
    assert seam.b is not None
    under, upper = first_copy(seam.b), first_copy(seam.a)
    at = {under: on_grain(bench.copies[under])}
    if wrong_sides:
        at[under] = at[under].then(Placement.mirror(0j, 1j))
    laid = bench.lay(upper, under, at[under], seams, face_to_face=True)
    if laid is None:
        raise ValueError("the two runs share no points")
    runs = [s.a for s in seams]
    path = [p for r in runs for p in bench.run_path(r, {upper: laid})]
    inner = _into(bench, upper, laid, path[0])
    shift = complex(
        OVER * (0.3 if len(seams) > 1 else (1 if inner.real > 0 else -1)), UP if inner.imag > -0.3 else -UP
    )
    if abs(inner.imag) < 0.35:
        shift = complex(UP if inner.real > 0 else -UP, OVER)
    at[upper] = laid.then(Placement.move(shift))
    at = {**_with_neighbours(bench, seam.b, at[under]), **_with_neighbours(bench, seam.a, at[upper])}
    cloth = [bench.cut_line(c).placed(at[c]) for c in at]
    frame = fit_frame(
        window(bench, cloth, run_box(bench, runs, at), room), room.width, room.height, room.corner
    )
    for copy in at:
        draw_copy(frame, bench, copy, at[copy])
    seam_paths = [p for r in runs for p in bench.run_path(r, at)]
    draw_seam(frame, seam_paths)
    seam_paths.sort(key=lambda p: p.bbox[0])  # the left one is measured, the right one looked at closely
    a, b = seam_paths[0].start, seam_paths[0].end
    gap = 4.2
    side = 1.0 if ((b - a) * -1j * inner.conjugate()).real > 0 else -1.0
    measured = None
    if (
        measure_words and len(at) == 2
    ):  # one measure along a seam of several pieces would be read as one piece's
        frame.measure(a, b, measure_words, gap * side)
        off = (b - a) / abs(b - a) * -1j * gap * side / frame.scale
        ends = [(w.real, w.imag) for w in (a + off, b + off)]
        measured = shapely.LineString(ends).buffer(2.2 / frame.scale)
    label_plies(frame, bench, at, tuple(at), keep_off=measured)
    return frame, at


def _with_neighbours(bench: Bench, run: Run, at_first: Placement) -> dict[str, Placement]:
    """The copies of a run, undermost first: the first where it lies, the others opened out beside it by earlier seams."""
    return chain_beside(bench, run, bench.done, at_first)


def _into(bench: Bench, copy: str, at: Placement, path: Path) -> complex:
    """Unit direction from a seam into its piece."""
    mid = path.point(path.length / 2)
    n = path.tangent(path.length / 2) * 1j
    inside = polygon(bench.stitch_line(copy).placed(at))
    return n if inside.contains(shapely.Point((mid + n * 4).real, (mid + n * 4).imag)) else -n


def close_up(
    frame: Frame,
    bench: Bench,
    at: dict[str, Placement],
    order: Sequence[str],
    run: Run,
    words: str,
    corner: complex,
    radius: float = 13.5,
    at_start: bool = False,
) -> Frame:
    """A ring on the main picture and the same scene drawn again, larger, within a ring: the allowance measured.

    It stands near the run's end, or near its start where something else is shown at the end (`at_start`) or words
    would be struck out.
    """
    part = [p for p in run.parts if p.copy in at][-1]
    copy = part.copy
    path = bench.run_path(run, at)[-1]
    allow = bench.half(part).edge.allow
    true_radius = max(min(allow * 2.1, path.length * 0.3), 16.0)
    # Near its end, so that the measure in its middle stays free.
    far = path.length * (0.9 if true_radius < path.length * 0.2 else 0.97)
    out = -_into(bench, copy, at[copy], path)
    middle, r = corner + complex(radius, radius), max(true_radius * frame.scale, 2.2)
    near = [path.length - far] if at_start else [far, path.length - far]
    s = next(
        (s for s in near if _clear_of_words(frame, path.point(s) + out * allow * 0.25, r, middle)), near[0]
    )
    z, t = path.point(s), path.tangent(s)
    centre = z + out * allow * 0.25
    scale = radius / true_radius
    big = Frame(
        (
            centre.real - true_radius,
            centre.imag - true_radius,
            centre.real + true_radius,
            centre.imag + true_radius,
        ),
        scale,
        corner,
    )
    items = Frame(big.box, scale, corner)
    for c in order:
        items.board.add(
            PathItem(
                (items.view.path(bench.cut_line(c).placed(at[c])),),
                look.CUT,
                side_fill(bench, c, at[c]),
                "cut",
            )
        )
    for p in bench.run_path(run, at):
        items.board.add(PathItem((items.view.path(p),), look.SEW_NOW, None, "seam"))
    ring = circle_path(middle, radius)
    big.board.group(items.board.items, clip=ring)
    big.board.add(marks.ring(middle, radius))
    a, b = big.on_paper(z - t * 3), big.on_paper(z - t * 3 + out * allow)
    plain_measure = marks.measure_line(a, b, "", 0.0, witness=False, beside=-t)
    big.board.add(*(m for m in plain_measure if not isinstance(m, Text)))
    half = text_width(words, look.MEASURE_PT, 600) / 2 * abs(out.real) + 1.6 * abs(out.imag)
    big.board.add(marks.centred_text(a - out * (half + 2.4), words, look.MEASURE_PT, 600, role="measure"))
    small = frame.on_paper(centre)
    big.board.add(marks.ring(small, r), marks.ring_link(small, r, middle, radius))
    return big


def _clear_of_words(frame: Frame, centre: complex, r: float, to: complex) -> bool:
    """Whether a ring of radius r (on paper) about a scene point, and its link, keep off the words on the frame."""
    z = frame.on_paper(centre)
    link = shapely.LineString([(z.real, z.imag), (to.real, to.imag)])
    mark = shapely.union(link, shapely.Point(z.real, z.imag).buffer(r))
    words = [
        shapely.Polygon([(w.real, w.imag) for w in text_corners(flat.item, flat.placement)])
        for flat in flat_items(tuple(frame.board.items))
        if isinstance(flat.item, Text)
    ]
    return not any(mark.intersects(w) for w in words)


# ---------------------------------------------------------------- opened out and pressed


def opened(bench: Bench, seam: Seam, room: Room, press: str) -> Frame:
    """Edge on edge, wrong side up, the seam upright, its allowances pressed: a close view of the middle of the seam."""
    assert seam.b is not None
    pa, pb = seam.a.parts[0], seam.b.parts[0]
    if pa.copy == pb.copy:
        raise ValueError("a piece joined to itself cannot be opened flat")
    path = bench.part_path(pa)
    chord = path.end - path.start
    flip = Placement.mirror(0j, 1j)
    turned = flip.direction(chord)
    at: dict[str, Placement] = {pa.copy: flip.then(Placement(1j * abs(turned) / turned))}
    line = path.placed(at[pa.copy])
    if _into(bench, pa.copy, at[pa.copy], line).real > 0:  # the first piece lies at the left
        at[pa.copy] = at[pa.copy].then(Placement(-1 + 0j))
        line = path.placed(at[pa.copy])
    laid = bench.lay(pb.copy, pa.copy, at[pa.copy], [seam], face_to_face=False)
    if laid is None:
        raise ValueError("the two runs share no points")
    at[pb.copy] = laid
    allow = max(seam.allow_a, seam.allow_b or 0.0)
    height = min(line.length + 2.2 * allow, max(7.0 * allow, room.height / 0.62))
    middle, way = line.point(line.length / 2), line.tangent(line.length / 2)
    upright = Placement(1j / way if way.imag > 0 else -1j / way)
    upright = Placement(upright.turn, middle - upright.turn * middle)
    at = {c: p.then(upright) for c, p in at.items()}
    line = line.placed(upright)
    top = middle.imag - height / 2
    width = min(height * room.width / room.height, 150.0)
    x = middle.real
    box = (x - width / 2, top, x + width / 2, top + height)
    frame = fit_frame(box, room.width, room.height, room.corner, largest=2.0)
    strips: dict[str, shapely.Geometry] = {}
    for part in (pa, pb):
        strip = placed_area(allowance_strip(bench, part), at[part.copy])
        whole = polygon(bench.cut_line(part.copy).placed(at[part.copy]))
        strips[part.copy] = strip
        body = whole.difference(strip)
        frame.area(body, side_fill(bench, part.copy, at[part.copy]))
    frame.waves()
    frame.cloth.clear()
    over = Placement.mirror(middle, 1j)
    spots = []
    if press == "open":
        for part in (pa, pb):
            folded = placed_area(strips[part.copy], over)
            frame.area(folded, look.RIGHT_SIDE)
            spots.append(folded)
    else:
        to, away = (pa, pb) if press == "to a" else (pb, pa)
        folded = placed_area(strips[to.copy], over)
        frame.area(folded, look.RIGHT_SIDE)
        frame.area(strips[away.copy], look.WRONG_SIDE)
        spots.append(strips[away.copy])
    frame.cloth.clear()
    frame.line(line, look.CUT, "seam line")
    mid = complex(x, top + height * 0.72)
    reach = min(15.0 / frame.scale, width / 2 - allow * 0.5 - 2.0 / frame.scale)
    towards = {"open": (-1.0, 1.0), "to a": (-1.0,), "to b": (1.0,)}.get(press, ())
    for sign in towards:
        start = frame.on_paper(mid + sign * allow * 0.5)
        frame.board.add(
            *marks.action_arrow(start, frame.on_paper(mid + sign * (allow * 0.5 + reach)), dot=False)
        )
    for part in (pa, pb):
        visible = (
            polygon(bench.cut_line(part.copy).placed(at[part.copy]))
            .difference(shapely.union_all([shapely.box(x - allow * 1.3, top, x + allow * 1.3, top + height)]))
            .intersection(shapely.box(*box))
        )
        if not visible.is_empty:
            spot = visible.representative_point()
            body_path = outlines(
                polygon(bench.cut_line(part.copy).placed(at[part.copy])).difference(strips[part.copy])
            )[0]
            frame.label(
                side_words(bench, part.copy, at[part.copy]),
                complex(spot.x, spot.y),
                body_path if plain(bench, part.copy, at[part.copy]) else None,
            )
    if spots:
        inside = spots[-1].intersection(shapely.box(*box))
        if not inside.is_empty:
            spot = inside.representative_point()
            z = complex(spot.x, box[1] + (box[3] - box[1]) * 0.3)
            words = (
                "allowances open;\ntheir right side shows"
                if press == "open"
                else "both allowances\nto one side"
            )
            frame.label(words, z)
    return frame


# ---------------------------------------------------------------- one piece or more, an edge marked


def pieces_with_edges(
    bench: Bench,
    runs: Sequence[Run],
    room: Room,
    *,
    offset: float = 0.0,
    wrong_side: bool = False,
    whole: bool = False,
    seam: bool = True,
) -> tuple[Frame, dict[str, Placement]]:
    """The copies of some runs in a row, right (or wrong) side up, each run drawn as the line being sewn.

    `offset` moves that line off the stitch line, into the allowance where positive.
    """
    copies = list(dict.fromkeys(p.copy for r in runs for p in r.parts))
    at: dict[str, Placement] = {}
    x = 0.0
    boxes: list[Box] = []
    for copy in copies:
        base = on_grain(bench.copies[copy])
        if wrong_side:
            base = base.then(Placement.mirror(0j, 1j))
        tall = bench.cut_line(copy).placed(base).bbox
        if len(copies) == 1 and tall[3] - tall[1] > 1.8 * (tall[2] - tall[0]):  # a long piece lies across
            base = base.then(Placement(1j))
        outline = bench.cut_line(copy).placed(base)
        mine = [r for r in runs if any(p.copy == copy for p in r.parts)]
        edge = run_box(bench, mine, {copy: base})
        box = outline.bbox if whole else common(grown(edge, 40.0, 40.0), grown(outline.bbox, 3.0))
        if not whole and (box[3] - box[1]) > 0.8 * (outline.bbox[3] - outline.bbox[1]):
            box = outline.bbox
        move = Placement.move(complex(x - box[0], -box[1]))
        at[copy] = base.then(move)
        boxes.append((x, 0.0, x + box[2] - box[0], box[3] - box[1]))
        x = boxes[-1][2] + 30.0
    box = grown((0.0, 0.0, boxes[-1][2], max(b[3] for b in boxes)), 3.0)
    frame = fit_frame(box, room.width, room.height, room.corner)
    shown: dict[str, Frame] = {}  # each copy in a window of its own
    for copy, own in zip(copies, boxes, strict=True):
        part = Frame(grown(own, 3.0), frame.scale, frame.on_paper(complex(own[0] - 3, own[1] - 3)))
        draw_copy(part, bench, copy, at[copy])
        part.waves()
        frame.board.add(*part.board.items)
        shown[copy] = part
    if seam:
        for run in runs:
            for p in run.parts:
                line = _moved(bench, p, at[p.copy], offset)
                frame.line(line, look.SEW_NOW, "seam")
    for copy in copies:
        spot = inner_point(bench, copy, at[copy], shown[copy])
        if spot is not None:
            shown[copy].label(side_words(bench, copy, at[copy]), spot, bench.cut_line(copy).placed(at[copy]))
            frame.labels += shown[copy].labels
    return frame, at


def _moved(bench: Bench, part: Part, at: Placement, offset: float) -> Path:
    """A part's stitch line moved outwards (into the allowance) by `offset`, where it lies."""
    path = bench.part_path(part)
    if abs(offset) < 1e-6:
        return path.placed(at)
    pts = path.flatten(0.1)
    way = np.gradient(pts)
    sign = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    return Path.polyline(pts + way / np.abs(way) * -1j * sign * offset).placed(at)


# ---------------------------------------------------------------- side by side


def chain_beside(bench: Bench, run: Run, seams: Sequence[Seam], start: Placement) -> dict[str, Placement]:
    """The copies of a run laid edge to edge, each against the one before, by the seams sewn between them."""
    at = {run.parts[0].copy: start}
    for before, part in zip(run.parts, run.parts[1:], strict=False):
        if part.copy in at:
            continue
        mutual = [
            s
            for s in seams
            if s.b is not None and {before.copy, part.copy} <= {p.copy for p in (*s.a.parts, *s.b.parts)}
        ]
        near = _nearest_side(bench, mutual, before, part)
        laid = bench.lay(part.copy, before.copy, at[before.copy], near, face_to_face=False)
        if laid is not None:
            at[part.copy] = laid
    return at


def _nearest_side(bench: Bench, seams: Sequence[Seam], before: Part, part: Part) -> list[Seam]:
    """Of the seams between two copies, the one that ends where the two parts meet."""
    joint = bench.part_path(before).end

    def gap(seam: Seam) -> float:
        points = [
            z
            for c, z in (*bench.sewn_points(seam.a, 9), *(bench.sewn_points(seam.b, 9) if seam.b else []))
            if c == before.copy
        ]
        return min((abs(z - joint) for z in points), default=1e9)

    return sorted(seams, key=gap)[:1]


def side_by_side(bench: Bench, seam: Seam, room: Room) -> Frame:
    """Unlike curves: the chained side at the left, opened flat; the single one at the right; arrows between partners."""
    assert seam.b is not None
    single, chain = (seam.a, seam.b) if len(seam.a.parts) <= len(seam.b.parts) else (seam.b, seam.a)
    at = chain_beside(bench, chain, bench.done, Placement.IDENTITY)
    placed = [p for p in chain.parts if p.copy in at]
    first, last = (
        bench.part_path(placed[0]).placed(at[placed[0].copy]),
        bench.part_path(placed[-1]).placed(at[placed[-1].copy]),
    )
    chord = last.end - first.start
    # A neckline comes nearly round: only at its middle does it face away from its chord.
    middle = placed[len(placed) // 2]
    edge = bench.half(middle).edge.path
    out = bench.outward(middle.copy, edge.tangent(edge.length / 2))
    turn = Placement(1j * abs(chord) / chord)
    mean = turn.direction(at[middle.copy].direction(out))
    if mean.real < 0:
        turn = Placement(-1j * abs(chord) / chord)
    at = {c: p.then(turn) for c, p in at.items()}
    chain_paths = bench.run_path(chain, at)
    box_chain = box_of(chain_paths)
    cloth = box_of([bench.cut_line(c).placed(at[c]) for c in at])
    depth = (box_chain[3] - box_chain[1]) * 0.42
    # A chain that comes nearly round, as a neckline does, needs cloth on all sides to be known again.
    around = depth if abs(chord) < 0.5 * sum(p.length for p in chain_paths) else 22.0
    left = common(
        (box_chain[0] - depth, box_chain[1] - around, box_chain[2] + around, box_chain[3] + around),
        grown(cloth, 3),
    )
    # the single piece, turned so that its edge faces left
    copy = single.parts[0].copy
    path = bench.part_path(single.parts[0])
    chord = path.end - path.start
    base = Placement(1j * abs(chord) / chord)
    if _into(bench, copy, base, path.placed(base)).real < 0:
        base = base.then(Placement(-1 + 0j))
    own = bench.cut_line(copy).placed(base).bbox
    gap = max(70.0, (left[3] - left[1]) * 0.28)
    base = base.then(
        Placement.move(complex(left[2] + gap - own[0], (left[1] + left[3]) / 2 - (own[1] + own[3]) / 2))
    )
    own = bench.cut_line(copy).placed(base).bbox
    right = (own[0] - 3, own[1] - 3, min(own[2], own[0] + 0.9 * (own[3] - own[1])) + 3, own[3] + 3)
    total = (left[0], min(left[1], right[1]), right[2], max(left[3], right[3]))
    frame = fit_frame(total, room.width, room.height, room.corner)
    for shown, window_box in ((list(at), left), ([copy], right)):
        part = Frame(window_box, frame.scale, frame.on_paper(complex(window_box[0], window_box[1])))
        for c in shown:
            draw_copy(part, bench, c, at.get(c, base))
        part.waves()
        frame.board.add(*part.board.items)
    spot = _spot(bench, copy, base, right)
    if spot is not None:
        frame.label(side_words(bench, copy, base), spot, bench.cut_line(copy).placed(base))
    for c in at:
        spot = _spot(bench, c, at[c], left)
        if spot is not None:
            frame.label(side_words(bench, c, at[c]), spot, bench.cut_line(c).placed(at[c]))
    _partner_arrows(frame, bench, seam, {**at, copy: base}, single is seam.a)
    return frame


def _spot(bench: Bench, copy: str, at: Placement, box: Box) -> complex | None:
    area = polygon(bench.cut_line(copy).placed(at)).intersection(shapely.box(*box))
    if area.is_empty:
        return None
    spot = max(getattr(area, "geoms", [area]), key=lambda g: g.area).representative_point()
    return complex(spot.x, spot.y)


def _partner_arrows(
    frame: Frame, bench: Bench, seam: Seam, at: dict[str, Placement], single_is_a: bool
) -> None:
    """From each match point of the single piece to its partner, straight, exactly on both cut edges' stitch lines."""
    stops = [0.0]
    for s in seam.sections:
        stops.append(stops[-1] + s.a_mm)
    stops_b = [0.0]
    for s in seam.sections:
        stops_b.append(stops_b[-1] + (s.b_mm or 0.0))
    assert seam.b is not None
    pairs = list(zip(stops, stops_b, strict=True))
    wanted = pairs[1:-1] if len(pairs) > 2 else pairs
    for sa, sb in wanted:
        pa, pb = _run_point(bench, seam.a, sa), _run_point(bench, seam.b, sb)
        za, zb = at[pa[0]].apply(pa[1]), at[pb[0]].apply(pb[1])
        start, tip = (za, zb) if single_is_a else (zb, za)
        frame.board.add(*marks.action_arrow(frame.on_paper(start), frame.on_paper(tip)))


def _run_point(bench: Bench, run: Run, sewn: float) -> tuple[str, complex]:
    for n, part in enumerate(run.parts):
        size = bench.half(part).edge.sewn(*sorted((part.start, part.end)))
        if sewn <= size + 1e-6 or n == len(run.parts) - 1:
            return part.copy, bench.point_at(part, min(sewn, size))
        sewn -= size
    raise ValueError("an empty run has no points")


# ---------------------------------------------------------------- an edge turned up


def turned_edge(bench: Bench, run: Run, room: Room, depth: float, words: str, second: bool) -> Frame:
    """Near the middle of the run, wrong side up, the edge level below: first with the fold to make, then turned up."""
    part = max(run.parts, key=lambda p: abs(p.end - p.start))
    neighbour = None
    for before, after in zip(run.parts, run.parts[1:], strict=False):
        if before.copy != after.copy:
            neighbour = (before, after)
            break
    main = neighbour[0] if neighbour else part
    path = bench.part_path(main)
    centre = path.end if neighbour else path.point(path.length / 2)
    t = path.end_tangent if neighbour else path.tangent(path.length / 2)
    flip = Placement.mirror(0j, 1j)
    turned = flip.direction(t)
    at = {main.copy: flip.then(Placement(abs(turned) / turned))}
    line = path.placed(at[main.copy])
    if _into(bench, main.copy, at[main.copy], line).imag > 0:
        at[main.copy] = at[main.copy].then(Placement(-1 + 0j))
    if neighbour:
        mutual = [
            s
            for s in bench.done
            if s.b is not None
            and {neighbour[0].copy, neighbour[1].copy} <= {p.copy for p in (*s.a.parts, *s.b.parts)}
        ]
        near = _nearest_side(bench, mutual, neighbour[0], neighbour[1])
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
    height = depth * 4.2
    width = height * room.width / room.height
    box = (z.real - width / 2, z.imag - height + depth * 1.45, z.real + width / 2, z.imag + depth * 1.45)
    frame = fit_frame(box, room.width, room.height, room.corner, largest=1.6)
    parts = [main] + ([neighbour[1]] if neighbour and neighbour[1].copy in at else [])
    strips, bodies = {}, {}
    for p in parts:
        whole = polygon(bench.cut_line(p.copy).placed(at[p.copy]))
        strips[p.copy] = placed_area(allowance_strip(bench, p), at[p.copy])
        area = whole if not second else whole.difference(strips[p.copy])
        if len(parts) > 1:
            area = _own_half(area, (p is main) == main_left, z)
        frame.area(area, side_fill(bench, p.copy, at[p.copy]))
        bodies[p.copy] = area
    if second:
        for p in parts:
            # A curved hem is shrunk in to the line that it meets: turned up it is a band along the fold.
            fold = bench.part_path(p).placed(at[p.copy]).flatten(0.1)
            ring = np.concatenate((fold, _moved(bench, p, at[p.copy], -depth).flatten(0.1)[::-1]))
            area = polygon(Path.polyline(ring, closed=True)).buffer(0)
            if len(parts) > 1:
                area = _own_half(area, (p is main) == main_left, z)
            frame.area(area, look.RIGHT_SIDE)
    frame.waves()
    frame.cloth.clear()

    def kept(p: Part, line: Path) -> list[Path]:
        """What of a line lies on the part's own side of the seam that joins the two."""
        if len(parts) < 2:
            return [line]
        own = shapely.LineString([(w.real, w.imag) for w in line.flatten(0.05)])
        own = _own_half(own, (p is main) == main_left, z)
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
        x = z.real + width * 0.2
        if words:
            frame.measure(complex(x, z.imag), complex(x, z.imag + depth), words, 0.0, beside=complex(1, 0))
        frame.label("fold line", complex(z.real + width * 0.12, z.imag), None, dot=False)
    else:
        inset = min(3.0, depth * 0.2)
        for p in parts:
            for row in kept(p, _moved(bench, p, at[p.copy], inset - depth)):
                frame.line(row, look.SEW_NOW, "seam")
        x = z.real + width * 0.2
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
            on[0] if on and plain(bench, p.copy, at[p.copy]) else None,
        )
    return frame


def _own_half(area: shapely.Geometry, left: bool, z: complex) -> shapely.Geometry:
    """The allowance at the joined side does not show: each ply ends at the seam line."""
    far = 4000.0
    box = shapely.box(-far, -far, z.real, far) if left else shapely.box(z.real, -far, far, far)
    return area.intersection(box)


# ---------------------------------------------------------------- folds


def folded_strip(bench: Bench, copy: str, room: Room, tip: str | None) -> Frame:
    """A strip folded lengthwise, right sides together: its wrong side shows, open edges sewn."""
    c = bench.copies[copy]
    x0, y0, x1, y1 = bench.cut_line(copy).bbox
    mid = (y0 + y1) / 2
    short = min(x1 - x0, (y1 - y0) * 6.5)
    frame = fit_frame((x0 - 2, y0 - 6, x0 + short + 2, mid + 8), room.width, room.height, room.corner)
    tip_left = any(
        h.base == tip and h.edge.path.bbox[2] - h.edge.path.bbox[0] < 1 and h.edge.path.bbox[0] < x0 + 40
        for h in c.edges
    )
    flip = Placement.IDENTITY if tip_left else Placement.mirror(complex((x0 + x1) / 2), 1j)
    area = shapely.box(x0, mid, x1, y1)
    lift = Placement.move(complex(0, y0 - mid + 0))
    body = placed_area(placed_area(area, flip), lift)
    frame.area(body, look.WRONG_SIDE)
    frame.waves()
    frame.cloth.clear()
    allow = max(h.edge.allow for h in c.edges)
    top = y0
    foot = y0 + (y1 - mid)
    frame.line(Path.line(complex(x0, top), complex(x1, top)), look.FOLD, "fold")
    corners = [complex(x0 + allow, top)] if tip else [complex(x0, foot - allow)]
    if tip:
        corners.append(complex(x0 + allow, foot - allow))
    seam = Path.polyline([*corners, complex(x1, foot - allow)])
    frame.line(seam, look.SEW_NOW, "seam")
    frame.label("fold", complex(x0 + short * 0.3, top), None, dot=False)
    frame.label(
        f"{short_title(bench, copy)},\nwrong side out", complex(x0 + short * 0.45, (top + foot) / 2), None
    )
    end, inside = ("tip", allow) if tip else ("open end", 0.0)
    frame.label(end, complex(x0 + inside, (top + foot) / 2), None, dot=False)
    return frame


__all__ = [
    "Room",
    "chain_beside",
    "close_up",
    "draw_notches",
    "folded_strip",
    "label_plies",
    "opened",
    "pieces_with_edges",
    "side_by_side",
    "together",
    "turned_edge",
]
