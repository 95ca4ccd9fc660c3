"""The finished garment from its own outlines, for the cover: the pieces of a view lie on the ones behind them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Drawing
from booklet.model import Copy, Part, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Frame, fit_frame, polygon
from booklet.pictures.in_round import draw_sleeves, half_sleeves, sleeve_gap
from booklet.pictures.plies import placed_area

Hung = dict[str, tuple[shapely.Geometry, Placement]]  # half sleeves by copy, each with where it hangs

APART = 0.055  # radians: how far two legs stand apart


def garment_view(
    bench: Bench, shown: Sequence[str], behind: Sequence[str], width: float, height: float
) -> Drawing | None:
    """One view: the plies of `shown` (piece keys, undermost first) right side out, over those of `behind` wrong side up.

    `bench.done` holds every seam of the garment. None where the pieces cannot be laid on each other.
    """
    plies = [c for c in bench.copies.values() if c.host is None]
    front = [c for key in shown for c in plies if c.piece.name == key]
    back = [c for key in behind for c in plies if c.piece.name == key]
    if not front:
        return None
    seams = [s for s in bench.done if s.b is not None and s.kind == "join"]
    legs = _twins(front) and bool(bench.between(front[0].id, front[1].id, seams))
    if legs:
        at, axis = _legs_side_by_side(bench, front, back, seams)
    else:
        at, axis = _round_the_body(bench, front, back, seams), None
    order = [c.id for c in back if c.id in at] + [c.id for c in front if c.id in at]
    if not any(c.id in at for c in front):
        return None
    sleeves = {} if legs else _hung(bench, seams, at, [c.id for c in front if c.id in at])
    bands = {c: _bands(bench, c, at[c]) for c in order}
    areas = [polygon(bench.stitch_line(c).placed(at[c])) for c in order]
    areas += [b for group in bands.values() for b in group]
    arms = [placed_area(h, p) for hung in sleeves.values() for h, p in hung.values()]
    arms += [
        sleeve_gap(bench, seams, at, top, c, p) for top, hung in sleeves.items() for c, (_, p) in hung.items()
    ]
    areas += arms
    clip = (
        _silhouette(bench, at, [c.id for c in (back if len(front) > 1 else front)], bands)
        if len(front) + len(back) > 2 and not legs
        else None
    )
    halves = {c: _own_half(areas[n], axis) for n, c in enumerate(order)} if axis is not None else {}
    shown_areas = list(halves.values()) or (areas if clip is None else [clip, *arms])
    x0, y0, x1, y1 = shapely.union_all(shown_areas).bounds
    frame = fit_frame((x0 - 3, y0 - 3, x1 + 3, y1 + 3), width, height, 0j)
    _draw(frame, bench, seams, at, order, [c.id for c in front], sleeves, bands, clip, halves)
    box = frame.paper_box
    return Drawing(width, box[3], tuple(frame.board.items))


def _hung(
    bench: Bench, seams: Sequence[Seam], at: dict[str, Placement], tops: Sequence[str]
) -> dict[str, Hung]:
    """The sleeves of each ply shown, each hung on the first that it is sewn to."""
    out: dict[str, Hung] = {}
    told: set[str] = set()
    for top in tops:
        hung = {c: h for c, h in half_sleeves(bench, seams, at, top).items() if c not in told and c not in at}
        told |= set(hung)
        out[top] = hung
    return out


def _round_the_body(
    bench: Bench, front: Sequence[Copy], back: Sequence[Copy], seams: Sequence[Seam]
) -> dict[str, Placement]:
    """The front over the back, each ply laid on one that is there by the seams between them."""
    at: dict[str, Placement] = {}
    if back:
        at[back[0].id] = on_grain(back[0]).then(Placement.mirror(0j, 1j))
        rest = [*front, *back[1:]]
    else:
        at[front[0].id] = on_grain(front[0])
        rest = list(front[1:])
    for copy in [*rest, *rest]:
        if copy.id in at:
            continue
        want_wrong = copy in back
        same = {c.id for c in (back if want_wrong else front)}
        for known in sorted(at, key=lambda k: k not in same):  # beside its own layer first
            laid = bench.lay(copy.id, known, at[known], seams, face_to_face=at[known].mirrored != want_wrong)
            if laid is not None:
                at[copy.id] = laid
                break
    return at


def _twins(front: Sequence[Copy]) -> bool:
    """Whether there are the left and the right ply of one piece: two legs, where they are joined to each other."""
    return len(front) == 2 and front[0].piece.name == front[1].piece.name and front[0].side != front[1].side


def _legs_side_by_side(
    bench: Bench, front: Sequence[Copy], back: Sequence[Copy], seams: Sequence[Seam]
) -> tuple[dict[str, Placement], complex | None]:
    """Both legs a little apart, mirror images about the centre seam, the backs behind the fronts. The axis is x = 0."""
    at: dict[str, Placement] = {}
    for pair, wrong in ((back, True), (front, False)):
        if _twins(pair):
            at |= _pair_about_axis(bench, pair, seams, wrong)
    return at, 0j


def _pair_about_axis(
    bench: Bench, pair: Sequence[Copy], seams: Sequence[Seam], wrong: bool
) -> dict[str, Placement]:
    first, second = pair
    meets = bench.between(first.id, second.id, seams)
    if not meets:
        return {}
    upright = on_grain(first).then(Placement.mirror(0j, 1j)) if wrong else on_grain(first)
    top = min((upright.apply(z) for z, _ in meets), key=lambda z: z.imag)  # the seam's straight upper part
    moved = upright.then(Placement.move(-complex(top.real)))
    x0, _, x1, _ = first.outline.placed(moved).bbox
    outward = APART if x0 + x1 < 0 else -APART
    fork = max(moved.apply(z).imag for z, _ in meets)
    moved = moved.then(Placement.rotation(outward, 1j * fork))  # so the seam's upper part stays closed
    to_first = first.placing.inverse.then(second.placing).inverse  # the twin's frame -> the first's
    return {first.id: moved, second.id: to_first.then(moved).then(Placement.mirror(0j, 1j))}


def _own_half(area: shapely.Geometry, axis: complex) -> shapely.Geometry:
    """A leg without what lies past the centre seam: there it turns in between the legs."""
    x0, y0, x1, y1 = area.bounds
    left = area.centroid.x < axis.real
    half = (
        shapely.box(x0 - 1, y0 - 1, axis.real, y1 + 1)
        if left
        else shapely.box(axis.real, y0 - 1, x1 + 1, y1 + 1)
    )
    return area.intersection(half)


def _silhouette(
    bench: Bench, at: dict[str, Placement], copies: Sequence[str], bands: dict[str, list[shapely.Geometry]]
) -> shapely.Geometry:
    """What the wearer's outline shows of overlapping fronts: they wrap round the body and do not stand out beside it."""
    areas = [polygon(bench.stitch_line(c).placed(at[c])) for c in copies if c in at]
    areas += [b for c in copies for b in bands.get(c, [])]
    return shapely.union_all(areas).buffer(0.5)


def _draw(
    frame: Frame,
    bench: Bench,
    seams: Sequence[Seam],
    at: dict[str, Placement],
    order: Sequence[str],
    front: Sequence[str],
    sleeves: dict[str, Hung],
    bands: dict[str, list[shapely.Geometry]],
    clip: shapely.Geometry | None,
    halves: dict[str, shapely.Geometry],
) -> None:
    def kept(area: shapely.Geometry) -> shapely.Geometry:
        return area if clip is None else area.intersection(clip)

    drawn = False
    for copy in order:
        here = copy in front
        fill = look.RIGHT_SIDE if here else look.WRONG_SIDE
        if here and not drawn:  # behind all that is shown, before what lies behind
            for top, hung in sleeves.items():
                draw_sleeves(frame, bench, seams, at, top, hung, look.RIGHT_SIDE)
            drawn = True
        frame.area(kept(halves.get(copy, polygon(bench.stitch_line(copy).placed(at[copy])))), fill)
        for band in bands[copy]:
            frame.area(kept(band), fill)
        if here:
            _seam_lines(frame, bench, copy, at[copy])


def _seam_lines(frame: Frame, bench: Bench, copy: str, at: Placement) -> None:
    """Hems and edges that show as rows of stitches, darts as lines."""
    for dart in bench.copies[copy].darts:
        mouth = (dart.first + dart.second) / 2
        frame.line(Path.line(at.apply(mouth), at.apply(dart.point)), look.LEADER, "dart")
    for seam in bench.done:
        if seam.kind != "hem":
            continue
        for part in seam.a.parts:
            if part.copy == copy:
                frame.line(_inside(bench, part, seam.allow_a - 3.0).placed(at), look.STITCH, "stitch")


def _inside(bench: Bench, part: Part, by: float) -> Path:
    path = bench.part_path(part)
    own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    count = max(2, int(path.length / 12))
    stops = [path.length * k / count for k in range(count + 1)]
    return Path.polyline([path.point(s) + path.tangent(s) * 1j * own * by for s in stops])


def _bands(bench: Bench, copy: str, at: Placement) -> list[shapely.Geometry]:
    """The finished band along the edges of this ply, half the band's cut depth wide."""
    out = []
    for seam in bench.done:
        if seam.kind != "band" or seam.b is None or seam.treatment != "equal":
            continue
        band = bench.copies[seam.b.parts[0].copy]
        x0, y0, x1, y1 = band.outline.bbox
        deep = min(x1 - x0, y1 - y0) / 2
        for part in seam.a.parts:
            if part.copy != copy:
                continue
            path = bench.part_path(part)
            own = bench.copies[copy].sign * (-1 if part.backwards else 1)
            pts = path.flatten(0.3)
            way = np.gradient(pts)
            way /= np.abs(way)
            lead = np.concatenate((way[:1], way, way[-1:]))[1:-1]
            ring = np.concatenate((pts, (pts + lead * -1j * own * deep)[::-1]))
            area = shapely.Polygon(np.column_stack((ring.real, ring.imag))).buffer(0)
            out.append(placed_area(area, at))
    return out
