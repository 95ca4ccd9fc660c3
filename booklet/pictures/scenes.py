"""The kinds of scene that lay copies on each other: what to show of them, their names, a close-up.

Each takes the bench and the seams of a step and draws one frame. Placings are rigid: pieces are never bent to fit.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items, text_corners
from booklet.drawing.display import PathItem, Text, circle_path
from booklet.drawing.text import measure as text_width
from booklet.model import Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Box, Frame, fit_frame, polygon
from booklet.pictures.chains import chain_beside
from booklet.pictures.plies import (
    dotted,
    draw_copy,
    draw_seam,
    glue_on,
    inner_point,
    run_box,
    side_fill,
    side_words,
)

IN_ALLOWANCE = (0.25, 0.1, -0.05, -0.2, -0.35)  # of an allowance: where a close-up may have its middle
ASIDE = tuple(1.5 * k for k in range(-5, 6))  # mm by which words in a ring may be moved along the seam
NEAR_RING = 12.7  # mm from its middle that words may reach
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


def window(paths: Sequence[Path], seam_box: Box, room: Room, least: float = 110.0, share: float = 0.5) -> Box:
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
        frame.label(words, spot, bench.cut_line(copy).placed(at[copy]))


def together(
    bench: Bench,
    seams: Sequence[Seam],
    room: Room,
    measure_words: str,
    wrong_sides: bool = False,
    around: float | None = None,
) -> tuple[Frame, dict[str, Placement]]:
    """Right sides (or wrong sides) together: the first run's copy turned over onto the second's, the seam on top.

    `around`: so many mm of cloth round the seam are shown, and no more.
    """
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
    inner = into(bench, upper, laid, path[0])
    shift = complex(
        OVER * (0.3 if len(seams) > 1 else (1 if inner.real > 0 else -1)), UP if inner.imag > -0.3 else -UP
    )
    if abs(inner.imag) < 0.35:
        shift = complex(UP if inner.real > 0 else -UP, OVER)
    at[upper] = laid.then(Placement.move(shift))
    at = {**_with_neighbours(bench, seam.b, at[under]), **_with_neighbours(bench, seam.a, at[upper])}
    cloth = [bench.cut_line(c).placed(at[c]) for c in at]
    seam_box = run_box(bench, runs, at)
    box = window(cloth, seam_box, room)
    if around is not None:
        box = common(grown(seam_box, around), grown(box_of(cloth), 4.0))
    frame = fit_frame(box, room.width, room.height, room.corner)
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
        if bench.folded_pleats(upper) and not dotted(bench, upper, at[upper]):
            _cleared(frame, a, b, measure_words, gap * side)
        frame.measure(a, b, measure_words, gap * side)
        off = (b - a) / abs(b - a) * -1j * gap * side / frame.scale
        ends = [(w.real, w.imag) for w in (a + off, b + off)]
        measured = shapely.LineString(ends).buffer(2.2 / frame.scale)
    label_plies(frame, bench, at, tuple(at), keep_off=measured)
    return frame, at


def _cleared(frame: Frame, a: complex, b: complex, words: str, offset: float) -> None:
    """White ground where the words of a measure will stand, over a pleat's lines."""
    p, q = frame.on_paper(a), frame.on_paper(b)
    way = (q - p) / abs(q - p)
    middle = (p + q) / 2 + way * -1j * offset
    long = way * (text_width(words, look.MEASURE_PT, 600) / 2 + 0.8)
    deep = way * 1j * 1.9
    ring = Path.polyline(
        [middle + long + deep, middle + long - deep, middle - long - deep, middle - long + deep], closed=True
    )
    frame.put(PathItem((ring,), None, look.WRONG_SIDE, "ground"))


def _with_neighbours(bench: Bench, run: Run, at_first: Placement) -> dict[str, Placement]:
    """The copies of a run, undermost first: the first where it lies, the others opened out beside it by earlier seams."""
    return chain_beside(bench, run, bench.done, at_first)


def into(bench: Bench, copy: str, at: Placement, path: Path) -> complex:
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
    out = -into(bench, copy, at[copy], path)
    middle, r = corner + complex(radius, radius), max(true_radius * frame.scale, 2.2)
    near = [path.length - far] if at_start else [far, path.length - far]
    s = next(
        (s for s in near if _clear_of_words(frame, path.point(s) + out * allow * 0.25, r, middle)), near[0]
    )
    z, t = path.point(s), path.tangent(s)
    scale = radius / true_radius

    def words_at(
        share: float,
    ) -> tuple[complex, float]:  # from the ring's middle, which lies so far in the allowance
        return _within_ring(words, -(t * 3 + out * allow * share) * scale, out)

    share = next((c for c in IN_ALLOWANCE if words_at(c)[1] < NEAR_RING + 1e-6), IN_ALLOWANCE[-1])
    centre = z + out * allow * share
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
        cloth = bench.cut_line(c).placed(at[c])
        items.board.add(PathItem((items.view.path(cloth),), look.CUT, side_fill(at[c]), "cut"))
        for glue in glue_on(bench, c, at[c], polygon(cloth)):
            items.board.add(PathItem((items.view.path(glue),), None, look.GLUE, "interfacing"))
    for p in bench.run_path(run, at):
        items.board.add(PathItem((items.view.path(p),), look.SEW_NOW, None, "seam"))
    ring = circle_path(middle, radius)
    big.board.group(items.board.items, clip=ring)
    big.board.add(marks.ring(middle, radius))
    a, b = big.on_paper(z - t * 3), big.on_paper(z - t * 3 + out * allow)
    big.board.add(*marks.measure_line(a, b, "", 0.0, witness=False))
    place = middle + words_at(share)[0]
    big.board.add(marks.centred_text(place, words, look.MEASURE_PT, 600, role="measure"))
    small = frame.on_paper(centre)
    big.board.add(marks.ring(small, r), marks.ring_link(small, r, middle, radius))
    return big


def _within_ring(words: str, at: complex, out: complex) -> tuple[complex, float]:
    """Where the words of a measure stand behind its end, both from a ring's middle, and how far out they reach, mm."""
    wide = text_width(words, look.MEASURE_PT, 600) / 2
    behind = at - out * (wide * abs(out.real) + 1.6 * abs(out.imag) + 2.4)

    def reach(z: complex) -> float:
        return max(abs(z + complex(x, y)) for x in (-wide, wide) for y in (-1.4, 1.4))

    place = min(
        (behind + out * 1j * far for far in ASIDE),
        key=lambda z: (max(reach(z) - NEAR_RING, 0.0), abs(z - behind)),
    )
    return place, reach(place)


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
