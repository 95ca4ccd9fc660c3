"""The finished garment from its own outlines, for the cover: drawn in layers, each covering what lies behind it."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Drawing, Fill
from booklet.model import Copy, Dart, Seam
from booklet.paths import Path, Placement
from booklet.pictures import sewn_on
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import Frame, fit_frame, outlines
from booklet.pictures.folding import Closing, darts_closed
from booklet.pictures.hung_sleeve import Hung, Lines, hang, sleeve_of
from booklet.pictures.laid_plies import (
    FoldOver,
    edge_in_view,
    folds_over,
    fork_of,
    gaps_closed,
    layer_area,
    legs_side_by_side,
    own_half,
    round_the_body,
    twins,
    without_specks,
)
from booklet.pictures.plies import short_title
from booklet.pictures.worn_collar import Collar, collar_of, worn_back, worn_front

WRAP = 0.2  # share of a ply under another from which they are taken as wrapped round the body
LONGER = 14.0  # mm that the back must be longer than the front to be seen below it
SLIVER = 3.0  # mm of a ply below the one over it that are left out
RISE = 40.0  # mm above and below the shown plies in which those behind are seen
REACH = 70.0  # mm above and below a dart that lies across within which a ply is drawn shorter
DRAWN = 170.0  # mm below elastic over which the cloth widens again


@dataclass(frozen=True)
class Sewn:
    """What the recipe says beside the seams: elastic lengths by step, in how many parts a pocket is divided, straps."""

    elastics: Mapping[str, float] = field(default_factory=dict)
    parts: Mapping[str, int] = field(default_factory=dict)
    attached: tuple[sewn_on.Attached, ...] = ()


@dataclass(frozen=True)
class Layer:
    """Cloth of the view with the lines on it, `of` the piece that it is cut from."""

    area: shapely.Geometry
    fill: Fill
    lines: Lines = field(default_factory=list)
    of: str = ""


@dataclass(frozen=True)
class View:
    bench: Bench
    seams: tuple[Seam, ...]
    at: dict[str, Placement]
    front: list[str]
    back: list[str]
    folds: list[FoldOver]
    sewn: Sewn
    over: Fill = look.RIGHT_SIDE  # the side of the cloth that is seen
    under: Fill = look.WRONG_SIDE
    worn: bool = True


def garment_drawings(
    bench: Bench, views: Mapping[str, Sequence[str]], width: float, height: float, sewn: Sewn
) -> list[tuple[str, Drawing]]:
    """Each view that can be drawn, by its name, all at one scale, none larger than `width` by `height` mm on paper.

    A view's plies (piece keys, undermost first) lie right side out over those of the other views, wrong side up.
    `bench.done` holds every seam of the garment. A view whose pieces cannot be laid on each other is left out.
    """
    drawn = []
    for name, shown in views.items():
        behind = [key for other, keys in views.items() if other != name for key in keys]
        layers = garment_layers(bench, shown, behind, sewn)
        if layers:
            x0, y0, x1, y1 = shapely.union_all([layer.area for layer in layers]).bounds
            drawn.append((name, layers, (x0 - 3, y0 - 3, x1 + 3, y1 + 3)))
    scale = min((fit_frame(box, width, height, 0j).scale for _, _, box in drawn), default=1.0)
    out = []
    for name, layers, box in drawn:
        frame = fit_frame(box, width, height, 0j, largest=scale)
        for layer in layers:
            paint(frame, layer)
        out.append((name, Drawing(width, frame.paper_box[3], tuple(frame.board.items))))
    return out


def garment_layers(bench: Bench, shown: Sequence[str], behind: Sequence[str], sewn: Sewn) -> list[Layer]:
    """The view's layers, undermost first, in mm; the body's middle is x = 0."""
    bench = shaped(bench, [c.id for c in bench.copies.values()])
    plies = [c for c in bench.copies.values() if c.host is None]
    front = [c for key in shown for c in plies if c.piece.name == key]
    back = [c for key in behind for c in plies if c.piece.name == key]
    if not front:
        return []
    seams = tuple(s for s in bench.done if s.b is not None and s.kind == "join")
    legs = twins(front) and _twin_seam_only(bench, front, seams)
    at = legs_side_by_side(bench, front, back, seams) if legs else round_the_body(bench, front, back, seams)
    if not any(c.id in at for c in front):
        return []
    at = at if legs else centred(bench, at, [*front, *back])
    ids = [c.id for c in front if c.id in at], [c.id for c in back if c.id in at]
    folds = [] if legs else [*folds_over(bench, seams, at, ids[1]), *folds_over(bench, seams, at, ids[0])]
    view = View(bench, seams, at, *ids, folds, sewn)
    if legs:
        return _legs(view)
    return body_layers(view)


def shaped(bench: Bench, sewn: Sequence[str]) -> Bench:
    """The bench with the darts of those plies sewn, as they are seen from before."""
    folds = dict(bench.folds)
    for key in sewn:
        copy = bench.copies[key]
        pleats = tuple(f for f in bench.folds.get(key, ()) if isinstance(f, Closing))
        folds[key] = (*darts_closed(copy, _upright(copy), pleats), *_shortenings(copy))
    return replace(bench, folds=folds)


@dataclass(frozen=True)
class Shortening:
    """A dart that lies across, sewn: seen from before, the body's roundness takes up its width all across the ply."""

    point: complex
    down: complex  # unit
    by: float
    reach: float

    def apply(self, z: complex) -> complex:
        far = ((z - self.point) * self.down.conjugate()).real / self.reach
        share = min(max((far + 1) / 2, 0.0), 1.0)
        return z - self.down * self.by * share * share * (3 - 2 * share)


def _upright(copy: Copy) -> tuple[Dart, ...]:
    across = _shortenings(copy)
    return tuple(d for d in copy.darts if all(abs(s.point - d.point) > 1e-6 for s in across))


def _shortenings(copy: Copy) -> tuple[Shortening, ...]:
    """The darts of a ply that lie across it; the middle of each mouth with its point bounds where it is shortened."""
    down = on_grain(copy).inverse.direction(1j)
    out = []
    for dart in copy.darts:
        way = (dart.first + dart.second) / 2 - dart.point
        if abs((way * down.conjugate()).real) < 0.6 * abs(way):
            out.append(Shortening(dart.point, down, dart.intake, REACH))
    return tuple(out)


def _twin_seam_only(bench: Bench, front: Sequence[Copy], seams: Sequence[Seam]) -> bool:
    return bool(bench.between(front[0].id, front[1].id, seams)) and not any(c.darts for c in front)


def centred(bench: Bench, at: dict[str, Placement], copies: Sequence[Copy]) -> dict[str, Placement]:
    """The view moved so that its middle is x = 0: that of a whole ply, else of them all."""
    whole = [c for c in copies if c.id in at and c.side == "whole"] or [c for c in copies if c.id in at]
    boxes = [bench.stitch_line(c.id).placed(at[c.id]).bbox for c in whole]
    shift = Placement.move(-complex((min(b[0] for b in boxes) + max(b[2] for b in boxes)) / 2))
    return {c: p.then(shift) for c, p in at.items()}


# ---------------------------------------------------------------- round the body


def body_layers(view: View) -> list[Layer]:
    bench, at = view.bench, view.at
    areas = {c: layer_area(bench, c, at[c], view.folds)[0] for c in (*view.back, *view.front)}
    for fold in view.folds:
        whole = layer_area(bench, fold.copy, at[fold.copy], ())[0]
        areas[fold.over] = shapely.union_all([areas[fold.over], fold.strip(whole)]).buffer(0.6).buffer(-0.6)
    for copy, gap in gaps_closed(bench, view.seams, at, (view.front, view.back)):
        areas[copy] = shapely.union_all([areas[copy], gap]).buffer(0.3).buffer(-0.3)
    bands = {c: sewn_on.bands(bench, c, at[c]) for c in areas}
    outer = shapely.union_all([areas[c] for c in view.front] + [b for c in view.front for b, _ in bands[c]])
    rear = shapely.union_all([areas[c] for c in view.back] + [b for c in view.back for b, _ in bands[c]])
    longer = bool(view.back) and rear.bounds[3] > outer.bounds[3] + LONGER
    seen = _seen_past(outer, RISE if longer else 0.0)
    wraps = _seen_past(rear, RISE) if view.back and _overlap([areas[c] for c in view.front], WRAP) else None
    areas_before = shapely.union_all([areas[c] for c in view.front])
    for copy in view.front[:-1]:
        areas[copy] = _level_below(areas[copy], areas[view.front[-1]])
    before = shapely.union_all([outer.difference(areas_before), *(areas[c] for c in view.front)])
    layers: list[Layer] = []
    for copy in view.back:
        area = _no_slivers(areas[copy].intersection(seen), before)
        layers.append(Layer(area, view.under, of=short_title(bench, copy)))
        layers += [Layer(b.intersection(seen), view.under) for b, _ in bands[copy]]
    collar = collar_of(bench, view.seams, [*view.front, *view.back])
    inside, worn = _worn(view, collar) if collar is not None else ([], [])
    layers += inside
    layers += _sleeves(view)
    for copy in view.front:
        layers += _ply(view, copy, areas[copy], bands[copy], wraps)
    layers += worn
    layers += _ties(view, bands)
    clean = without_specks([layer.area for layer in layers], [layer.fill is view.under for layer in layers])
    return [replace(layer, area=a) for layer, a in zip(layers, clean, strict=True) if not a.is_empty]


def _seen_past(outer: shapely.Geometry, foot: float = RISE / 4) -> shapely.Geometry:
    """The ground of the plies shown, and what is seen past their upper and their lower edges, not at their sides."""
    x0, y0, x1, y1 = outer.bounds
    top = outer.intersection(shapely.box(x0, y0, x1, y0 + RISE * 0.6)).bounds
    low = outer.intersection(shapely.box(x0, y1 - RISE * 0.6, x1, y1)).bounds
    past = [shapely.box(top[0], y0 - RISE, top[2], y0 + RISE * 0.6)]
    if foot:
        past.append(shapely.box(low[0], y1 - 1, low[2], y1 + foot))
    neck = shapely.box(top[0], y0, top[2], y0 + 3 * RISE)
    return shapely.union_all([outer, *past, neck])


def _no_slivers(area: shapely.Geometry, outer: shapely.Geometry) -> shapely.Geometry:
    """A ply behind without what would show past the plies before it as a line, thinner than SLIVER and a half."""
    past = area.difference(outer)
    wide = past.buffer(-0.75 * SLIVER).buffer(SLIVER)
    return area.difference(past.difference(wide))


def _overlap(areas: Sequence[shapely.Geometry], share: float) -> bool:
    """Whether the first ply lies under the last by more than such a share of it."""
    return len(areas) > 1 and areas[0].intersection(areas[-1]).area > share * areas[-1].area


def _level_below(area: shapely.Geometry, upper: shapely.Geometry) -> shapely.Geometry:
    """A ply without the sliver that would show below the lower edge of the ply that is worn over it."""
    if not _overlap([area, upper], 0.05):
        return area  # it is worn beside it
    x0, _, x1, y1 = upper.bounds
    lower = shapely.transform(upper, lambda xy: xy + np.array([0.0, SLIVER]))
    under = lower.intersection(shapely.box(x0, y1 - SLIVER, x1, y1 + RISE))
    return area.difference(under).buffer(-1.5, join_style="mitre").buffer(1.5, join_style="mitre")


def _ply(
    view: View,
    copy: str,
    area: shapely.Geometry,
    bands: Sequence[tuple[shapely.Geometry, Lines]],
    wraps: shapely.Geometry | None,
) -> list[Layer]:
    bench, at = view.bench, view.at[copy]

    def kept(a: shapely.Geometry) -> shapely.Geometry:
        return a if wraps is None else a.intersection(wraps)

    lines = sewn_on.ply_lines(bench, copy, at)
    lines += sewn_on.button_lines(bench, copy, at) if view.worn else []
    lines += [(Path.polyline(list(f.seam)), sewn_on.SEAM, "seam") for f in view.folds if f.over == copy]
    own, ties = sewn_on.bindings(bench, copy, at, area)
    ties += sewn_on.straps(bench, copy, at, view.sewn.attached)
    layers = [Layer(t, view.over) for t in ties]
    layers.append(Layer(kept(area), view.over, lines, short_title(bench, copy)))
    layers += [Layer(b, view.over) for b in own]
    layers += [Layer(kept(b), view.over, rows) for b, rows in bands]
    layers += [Layer(a, view.over, rows) for a, rows in sewn_on.pockets(bench, copy, at, view.sewn.parts)]
    return layers


def _sleeves(view: View) -> list[Layer]:
    out = []
    for hung in sleeves_hung(view):
        out.append(Layer(hung.area, view.over, hung.lines, short_title(view.bench, hung.copy)))
        if hung.cuff is not None:
            out.append(Layer(hung.cuff, view.over, hung.lines))
    return out


def sleeves_hung(view: View) -> list[Hung]:
    """Every sleeve sewn to the plies shown, hung at its armhole."""
    bench, at, shown = view.bench, view.at, view.front
    out: list[Hung] = []
    done: set[str] = set()
    for seam in view.seams:
        if seam.b is None:
            continue
        for single, chain in ((seam.a, seam.b), (seam.b, seam.a)):
            head = single.parts[0]
            if len(single.parts) != 1 or len(chain.parts) < 2 or bench.copies[head.copy].side == "whole":
                continue
            if head.copy in done or head.copy in at or not any(p.copy in shown for p in chain.parts):
                continue
            groups = [edge_in_view(bench, p, at, view.folds, shown) for p in chain.parts]
            hole = [z for group in groups for z in group]
            if len(hole) < 4:
                continue
            path = bench.part_path(head)
            at_start = hole[0].imag > hole[-1].imag
            hole = hole if at_start else hole[::-1]
            first_seen = groups[0] != [] and at_start
            under = path.start if first_seen else path.end
            sleeve = sleeve_of(bench, seam, head, under, view.sewn.elastics)
            done.add(head.copy)
            out.append(hang(sleeve, hole, 1.0 if hole[0].real > 0 else -1.0, view.worn))
    return out


def _worn(view: View, collar: Collar) -> tuple[list[Layer], list[Layer]]:
    """The collar's layers: what lies behind the body, and what lies on it."""
    right = sorted((z for z in _neckline(view, view.front) if z.real >= -0.5), key=lambda z: z.real)
    other = _neckline(view, view.back)
    if len(right) < 4:
        return [], []
    side = min(right, key=lambda z: z.imag)
    centre = complex(0.0, max(z.imag for z in right))
    fold = next((f for f in view.folds if f.line[0].real > 0), None)
    ends = (
        sorted(fold.line, key=lambda z: abs(z - side)) if fold is not None else [side, side + complex(3, 1)]
    )
    slope = (ends[1] - ends[0]) / abs(ends[1] - ends[0])
    if other and max(z.imag for z in other) > centre.imag:  # the front's neckline is the lower one
        return [], [Layer(a, view.over, rows) for a, rows in worn_back(collar, side, centre, slope)]
    neckline = [centre, *(z for z in right if 0.5 < z.real <= side.real + 0.1)]
    layers = [Layer(a, view.over, rows) for a, rows in worn_front(collar, side, centre, slope, neckline)]
    return layers[:1], layers[1:]


def _neckline(view: View, shown: Sequence[str]) -> list[complex]:
    """What is seen of the long seam that the collar is sewn by."""
    line: list[complex] = []
    for seam in view.seams:
        for single, chain in ((seam.a, seam.b), (seam.b, seam.a)):
            if single is None or chain is None or len(single.parts) != 1 or len(chain.parts) < 3:
                continue
            if view.bench.copies[single.parts[0].copy].side == "whole":
                for part in chain.parts:
                    line += edge_in_view(view.bench, part, view.at, view.folds, shown)
    return line


def _ties(view: View, bands: Mapping[str, Sequence[tuple[shapely.Geometry, Lines]]]) -> list[Layer]:
    """Ties sewn to the ends of a band, in a bow where the uppermost ply's band ends."""
    bench = view.bench
    banded = [s.b.parts[0].copy for s in bench.done if s.kind == "band" and s.b is not None]
    widths = []
    for seam in view.seams:
        assert seam.b is not None
        pair = seam.a.parts[0].copy, seam.b.parts[0].copy
        tie = next((c for c, o in (pair, pair[::-1]) if o in banded and c not in banded), None)
        if tie is not None:
            x0, y0, x1, y1 = bench.copies[tie].outline.bbox
            widths.append((max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0) / 2))
    if len(widths) < 2 or len(view.front) < 2 or not bands[view.front[-1]]:
        return []
    band = bands[view.front[-1]][0][0]
    x0, y0, x1, y1 = band.bounds
    out = (
        1.0 if bench.copies[view.front[-1]].side == "right" else -1.0
    )  # the wearer's right ply laps to her left
    end_x = x1 if out > 0 else x0
    near = band.intersection(shapely.box(end_x - 6, y0, end_x + 6, y1))
    end = complex(end_x, near.centroid.y) if not near.is_empty else complex(end_x, (y0 + y1) / 2)
    return [Layer(a, view.over, lines) for a, lines in sewn_on.bow(end, out, widths)]


# ---------------------------------------------------------------- legs


def _legs(view: View) -> list[Layer]:
    bench, at = view.bench, view.at
    fork = fork_of(bench, view.front, view.seams, at)
    halves = {c: own_half(layer_area(bench, c, at[c], ())[0], fork) for c in (*view.back, *view.front)}
    front = shapely.union_all([halves[c] for c in view.front])
    seen = _seen_past(front, 0.0)
    drawn = _drawn_up(view, halves)
    names = {c: short_title(bench, c) for c in halves}
    layers = [Layer(drawn(halves[c].intersection(seen)), look.WRONG_SIDE, of=names[c]) for c in view.back]
    for copy in view.front:
        lines = sewn_on.ply_lines(bench, copy, at[copy])
        lines += _casing_lines(view, copy)
        moved = [(_line(drawn, p), s, r) for p, s, r in lines]
        layers.append(Layer(drawn(halves[copy]), look.RIGHT_SIDE, moved, names[copy]))
    return layers


Shaping = Callable[[shapely.Geometry], shapely.Geometry]


def _drawn_up(view: View, halves: Mapping[str, shapely.Geometry]) -> Shaping:
    """How elastic in a casing at the waist narrows the cloth: fully at the edge, less and less down to the hip."""
    share = 1.0
    for seam in view.bench.done:
        mine = seam.kind == "casing" and any(p.copy in view.front for p in seam.a.parts)
        if mine and seam.step in view.sewn.elastics:
            share = min(1.0, view.sewn.elastics[seam.step] / seam.a_mm)
    top = min(a.bounds[1] for a in halves.values())

    def shape(area: shapely.Geometry) -> shapely.Geometry:
        if share >= 0.995:
            return area

        def move(xy: np.ndarray) -> np.ndarray:
            far = np.clip((xy[:, 1] - top) / DRAWN, 0.0, 1.0)
            soft = far * far * (3 - 2 * far)
            return np.column_stack((xy[:, 0] * (share + (1 - share) * soft), xy[:, 1]))

        return shapely.transform(shapely.segmentize(area, 5.0), move)

    return shape


def _line(shape: Shaping, path: Path) -> Path:
    line = shape(shapely.LineString([(z.real, z.imag) for z in path.flatten(0.3)]))
    return Path.polyline([complex(x, y) for x, y in line.coords])


def _casing_lines(view: View, copy: str) -> Lines:
    """The casing's stitches, and the cloth's gathers below and in it."""
    lines: Lines = []
    for seam in view.bench.done:
        part = next((p for p in seam.a.parts if p.copy == copy), None)
        if seam.kind != "casing" or part is None:
            continue
        fold = next(iter(view.bench.copies[copy].fold_lines), None)
        if fold is None:
            continue
        row = fold.path.placed(view.at[copy])
        lines.append((row, look.STITCH, "stitch"))
        if seam.step not in view.sewn.elastics:
            continue
        edge = view.bench.part_path(part).placed(view.at[copy])
        deep = abs(row.point(row.length / 2) - edge.point(edge.nearest(row.point(row.length / 2))))
        count = max(3, int(row.length / 12))
        for k in range(1, count):
            z = row.point(row.length * k / count)
            if abs(z.real) < 5.0:  # the centre seam is there
                continue
            lines.append((Path.line(z, z + 1j * (26.0 if k % 2 else 14.0)), look.LEADER, "gathers"))
            lines.append((Path.line(z - 0.2j * deep, z - 0.8j * deep), look.LEADER, "gathers"))
    return lines


# ---------------------------------------------------------------- paint


def paint(frame: Frame, layer: Layer) -> None:
    frame.area(layer.area, layer.fill, of=layer.of)
    ground = layer.area.buffer(0.4)
    for path, stroke, role in layer.lines:
        line = shapely.LineString([(z.real, z.imag) for z in path.flatten(0.2)]).intersection(ground)
        for part in getattr(line, "geoms", [line]):
            if part.geom_type == "LineString" and part.length > 0.5:
                frame.line(Path.polyline([complex(x, y) for x, y in part.coords]), stroke, role)
    for ring in outlines(layer.area):  # once more over the ends of the lines
        frame.line(ring, look.CUT, "cut")
