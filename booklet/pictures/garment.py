"""The finished garment from its own outlines, for the cover: the pieces of a view lie on the ones behind them."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Drawing
from booklet.model import Part, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Frame, fit_frame, polygon
from booklet.pictures.plies import placed_area
from booklet.pictures.scenes import draw_sleeves, half_sleeves, sleeve_gap


def garment_view(
    bench: Bench, shown: Sequence[str], behind: Sequence[str], width: float, height: float
) -> Drawing | None:
    """One view: the plies of `shown` (piece keys, undermost first) right side out, over those of `behind` wrong side up.

    `bench.done` holds every seam of the garment. None where the pieces cannot be laid on each other.
    """
    plies = [c for c in bench.copies.values() if c.host is None]
    front = [c for key in shown for c in plies if c.piece.key == key]
    back = [c for key in behind for c in plies if c.piece.key == key]
    if not front:
        return None
    seams = [s for s in bench.done if s.b is not None and s.kind == "join"]
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
        for known in list(at):
            laid = bench.lay(copy.id, known, at[known], seams, face_to_face=at[known].mirrored != want_wrong)
            if laid is not None:
                at[copy.id] = laid
                break
    order = [c.id for c in back if c.id in at] + [c.id for c in front if c.id in at]
    if not any(c.id in at for c in front):
        return None
    sleeves = half_sleeves(bench, seams, at, order[-1]) if len(front) == 1 else {}
    bands = {c: _bands(bench, c, at[c]) for c in order}
    areas = [polygon(bench.stitch_line(c).placed(at[c])) for c in order]
    areas += [placed_area(h, p) for h, p in sleeves.values()] + [b for group in bands.values() for b in group]
    areas += [sleeve_gap(bench, seams, at, order[-1], c, p) for c, (_, p) in sleeves.items()]
    clip = (
        _silhouette(bench, at, [c.id for c in (back if len(front) > 1 else front)], bands)
        if len(front) + len(back) > 2
        else None
    )
    x0, y0, x1, y1 = shapely.union_all(areas if clip is None else [clip]).bounds
    frame = fit_frame((x0 - 3, y0 - 3, x1 + 3, y1 + 3), width, height, 0j)
    _draw(frame, bench, seams, at, order, [c.id for c in front], sleeves, bands, clip)
    box = frame.paper_box
    return Drawing(width, box[3], tuple(frame.board.items))


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
    sleeves: dict[str, tuple[shapely.Geometry, Placement]],
    bands: dict[str, list[shapely.Geometry]],
    clip: shapely.Geometry | None,
) -> None:
    def kept(area: shapely.Geometry) -> shapely.Geometry:
        return area if clip is None else area.intersection(clip)

    for copy in order:
        here = copy in front
        fill = look.RIGHT_SIDE if here else look.WRONG_SIDE
        if here and copy == order[-1]:
            draw_sleeves(frame, bench, seams, at, copy, sleeves, look.RIGHT_SIDE)
        frame.area(kept(polygon(bench.stitch_line(copy).placed(at[copy]))), fill)
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
