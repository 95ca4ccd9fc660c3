"""Trousers seen from before, in layers: a leg on either side of the fork, drawn up by elastic at the waist."""

from __future__ import annotations

from collections.abc import Callable, Mapping

import numpy as np
import shapely

from booklet.drawing import look
from booklet.paths import Path
from booklet.pictures import sewn_on
from booklet.pictures.garment_layers import Layer, View, seen_past
from booklet.pictures.hung_sleeve import Lines
from booklet.pictures.laid_plies import fork_of, layer_area, own_half
from booklet.pictures.plies import short_title

DRAWN = 170.0  # mm below elastic over which the cloth widens again


def leg_layers(view: View) -> list[Layer]:
    bench, at = view.bench, view.at
    fork = fork_of(bench, view.front, view.seams, at)
    halves = {c: own_half(layer_area(bench, c, at[c], ())[0], fork) for c in (*view.back, *view.front)}
    front = shapely.union_all([halves[c] for c in view.front])
    seen = seen_past(front, 0.0)
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
