"""A garment round the body, in layers: back, collar, sleeves, the plies shown with what is sewn on them, ties."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

import numpy as np
import shapely

from booklet.paths import Path
from booklet.pictures import sewn_on
from booklet.pictures.garment_layers import RISE, Layer, View, seen_past
from booklet.pictures.hung_sleeve import Hung, Lines, hang, sleeve_of
from booklet.pictures.laid_plies import edge_in_view, gaps_closed, layer_area, without_specks
from booklet.pictures.plies import short_title
from booklet.pictures.worn_collar import Collar, collar_of, worn_back, worn_front

WRAP = 0.2  # share of a ply under another from which they are taken as wrapped round the body
LONGER = 14.0  # mm that the back must be longer than the front to be seen below it
SLIVER = 3.0  # mm of a ply below the one over it that are left out


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
    seen = seen_past(outer, RISE if longer else 0.0)
    wraps = seen_past(rear, RISE) if view.back and _overlap([areas[c] for c in view.front], WRAP) else None
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
