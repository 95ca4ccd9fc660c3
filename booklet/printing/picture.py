"""The display list painted by matplotlib, to PNG and SVG, with the same font files and glyph places as the PDF."""

from __future__ import annotations

import cmath
import io
import math
from functools import lru_cache
from pathlib import Path as FilePath
from typing import Any

import numpy as np
import shapely

from booklet.drawing.bounds import clip_box, flat_items
from booklet.drawing.display import Drawing, Fill, PathItem, Stroke, Text
from booklet.drawing.fonts import Face
from booklet.drawing.look import DOT_RADIUS, HATCH_LINE, INK
from booklet.drawing.patterns import dots, hatch, region
from booklet.drawing.text import glyph_outlines, shape
from booklet.paths import Box, Path, Placement
from booklet.printing.files import write_beside
from booklet.units import MM_PER_POINT

OUTSIDE = 5.0  # mm round the drawing within which lines are drawn whole: more than half of any stroke


def write_picture(
    drawing: Drawing, out: FilePath, dpi: float = 150.0, ground: str | None = "#FFFFFF"
) -> None:
    """Writes a PNG or an SVG, by the name's ending; beside first, then renamed. Raises `Fault`."""
    kind = out.suffix.lower().lstrip(".")
    if kind not in ("png", "svg"):
        raise ValueError(f"pictures are PNG or SVG, not '{out.suffix}'")
    write_beside(out, picture_bytes(drawing, kind, dpi, ground))


def picture_bytes(drawing: Drawing, kind: str, dpi: float = 150.0, ground: str | None = "#FFFFFF") -> bytes:
    """The picture as a file's bytes; the same drawing gives the same bytes."""
    import matplotlib as mpl
    from matplotlib.backends.backend_agg import FigureCanvasAgg
    from matplotlib.figure import Figure

    # Dashes stay in points whatever the width; ids in an SVG must not be drawn by lot.
    with mpl.rc_context({"lines.scale_dashes": False, "svg.hashsalt": "booklet", "path.simplify": False}):
        figure = Figure(figsize=(drawing.width / 25.4, drawing.height / 25.4), dpi=dpi)
        FigureCanvasAgg(figure)
        figure.patch.set_alpha(0.0 if ground is None else 1.0)
        figure.patch.set_facecolor(ground or "none")
        axes = figure.add_axes((0, 0, 1, 1))
        axes.set_xlim(0, drawing.width)
        axes.set_ylim(drawing.height, 0)
        axes.set_axis_off()
        painter = _Painter(axes, drawing.width, drawing.height)
        for flat in flat_items(drawing.items):
            clip = painter.clip(flat.clips)
            if isinstance(flat.item, PathItem):
                painter.path(flat.item, clip, clip_box(flat.clips))
            else:
                painter.text(flat.item, flat.placement, clip)
        out = io.BytesIO()
        meta = {"Date": None, "Creator": None} if kind == "svg" else {"Software": None}
        figure.savefig(out, format=kind, dpi=dpi, metadata=meta)
        return out.getvalue()


class _Painter:
    """Adds matplotlib patches to one set of axes, back to front."""

    def __init__(self, axes: Any, wide: float, high: float) -> None:
        self.axes = axes
        self.wide, self.high = wide, high
        self.sheet: Box = (-OUTSIDE, -OUTSIDE, wide + OUTSIDE, high + OUTSIDE)
        self.level = 0

    def clip(self, clips: tuple[Path, ...]) -> Any:
        """One clip of several nested ones; matplotlib takes a single path, so they are met beforehand."""
        from matplotlib.path import Path as MplPath

        if not clips:
            return None
        if len(clips) == 1:
            return _mpl_path(clips)
        meet = region(clips[:1])
        for other in clips[1:]:
            meet = meet.intersection(region((other,)))
        polygons = [g for g in getattr(meet, "geoms", [meet]) if g.geom_type == "Polygon" and not g.is_empty]
        if not polygons:
            return MplPath(np.zeros((1, 2)))
        rings = [r for p in polygons for r in (p.exterior, *p.interiors)]
        return MplPath.make_compound_path(*[MplPath(np.asarray(r.coords), closed=True) for r in rings])

    def path(self, item: PathItem, clip: Any, window: Box | None) -> None:
        if not any(p.segments for p in item.subpaths):
            return
        fill = item.fill
        if fill is not None and fill.image is not None:
            self._image(fill.image, item.subpaths[0].bbox, clip)
            return
        shape_path = _mpl_path(item.subpaths)
        if fill is not None and fill.colour is not None:
            self._add(shape_path, clip, fill=fill.colour)
        if fill is not None and fill.pattern is not None:
            self._pattern(item, fill, clip, window)
        if item.stroke is None:
            return
        if all(_within(p.bbox, self.sheet) for p in item.subpaths if p.segments):
            self._add(shape_path, clip, stroke=item.stroke)
            return
        # matplotlib cuts lines at the picture's edge itself, and draws the curves that leave it as straight ones.
        for line, start in _on_sheet(item.subpaths, self.sheet):
            self._add(_mpl_path((line,)), clip, stroke=item.stroke, start=start)

    def _image(self, png: bytes, box: Box, clip: Any) -> None:
        from PIL import Image

        dots_in = np.asarray(Image.open(io.BytesIO(png)).convert("RGBA"))
        self.level += 1
        shown = self.axes.imshow(
            dots_in, extent=(box[0], box[2], box[3], box[1]), aspect="auto", zorder=self.level,
        )  # fmt: skip
        self.axes.set_xlim(0, self.wide)
        self.axes.set_ylim(self.high, 0)
        if clip is not None:
            shown.set_clip_path(clip, self.axes.transData)

    def _pattern(self, item: PathItem, fill: Fill, clip: Any, window: Box | None) -> None:
        from matplotlib.path import Path as MplPath

        if fill.pattern == "dots":
            for part in _batches([Path.circle(z, DOT_RADIUS) for z in dots(item.subpaths, window)]):
                self._add(_mpl_path(part), clip, fill=INK)
        else:
            lines = hatch(item.subpaths, window)
            if lines:
                xy = np.array([[z.real, z.imag] for ab in lines for z in ab])
                codes = [_MOVE, _LINE] * len(lines)
                self._add(MplPath(xy, codes), clip, stroke=HATCH_LINE)

    def text(self, text: Text, placement: Placement, clip: Any) -> None:
        from matplotlib.path import Path as MplPath

        runs = shape(text.text, text.weight)
        scale = text.size_pt * MM_PER_POINT / 1000
        wide = sum(r.advance for r in runs) * scale
        x = {"start": 0.0, "middle": -wide / 2, "end": -wide}[text.anchor]
        turn = cmath.rect(1, math.radians(text.angle_deg))
        xy: list[complex] = []
        codes: list[int] = []
        for run in runs:
            for glyph in run.glyphs:
                pts, kinds = _glyph(run.face, glyph.index)
                at = complex(x + glyph.x * scale, -glyph.y * scale)
                xy += [at + p.conjugate() * scale for p in pts]  # a font's y runs up
                codes += kinds
            x += run.advance * scale
        if xy:
            here = [placement.apply(complex(text.x, text.y) + turn * p) for p in xy]
            self._add(MplPath(np.array([[z.real, z.imag] for z in here]), codes), clip, fill=text.colour)

    def _add(
        self, path: Any, clip: Any, fill: str | None = None, stroke: Stroke | None = None, start: float = 0.0
    ) -> None:
        """`start`: mm of the dashes that went before."""
        from matplotlib.patches import PathPatch

        style: dict[str, Any] = {"facecolor": fill or "none", "edgecolor": "none", "linewidth": 0.0}
        if stroke is not None:
            style.update(edgecolor=stroke.colour, linewidth=stroke.width_pt)
            style.update(capstyle={"butt": "butt", "round": "round"}[stroke.cap], joinstyle=stroke.join)
            if stroke.dash_mm:
                before = (start + stroke.phase_mm) / MM_PER_POINT
                style["linestyle"] = (before, tuple(d / MM_PER_POINT for d in stroke.dash_mm))
        patch = PathPatch(path, zorder=self.level, antialiased=True, snap=False, **style)
        self.level += 1
        self.axes.add_patch(patch)
        if clip is not None:
            patch.set_clip_path(clip, self.axes.transData)


def _within(box: Box, sheet: Box) -> bool:
    return box[0] >= sheet[0] and box[1] >= sheet[1] and box[2] <= sheet[2] and box[3] <= sheet[3]


def _on_sheet(paths: tuple[Path, ...], sheet: Box) -> list[tuple[Path, float]]:
    """What of some paths lies on the sheet, each stretch with its distance along its path, mm."""
    out: list[tuple[Path, float]] = []
    for path in paths:
        if not path.segments:
            continue
        whole = shapely.LineString([(z.real, z.imag) for z in path.flatten(0.005)])
        kept = whole.intersection(shapely.box(*sheet))
        for line in getattr(kept, "geoms", [kept]):
            if line.length > 0:
                points = [complex(x, y) for x, y in line.coords]
                out.append((Path.polyline(points), float(whole.project(shapely.Point(line.coords[0])))))
    return out


def _batches(paths: list[Path], size: int = 400) -> list[tuple[Path, ...]]:
    return [tuple(paths[n : n + size]) for n in range(0, len(paths), size)]


def _mpl_path(paths: tuple[Path, ...]) -> Any:
    from matplotlib.path import Path as MplPath

    xy: list[complex] = []
    codes: list[int] = []
    for path in paths:
        if not path.segments:
            continue
        xy.append(path.start)
        codes.append(_MOVE)
        for seg in path.segments:
            xy += seg[1:]
            codes += [_LINE] if len(seg) == 2 else [_CURVE4] * 3
        if path.closed:
            xy.append(path.start)
            codes.append(_CLOSE)
    return MplPath(np.array([[z.real, z.imag] for z in xy]), codes)


_MOVE, _LINE, _CURVE3, _CURVE4, _CLOSE = 1, 2, 3, 4, 79  # matplotlib's path codes


@lru_cache(maxsize=2000)
def _glyph(face: Face, index: int) -> tuple[tuple[complex, ...], tuple[int, ...]]:
    """A glyph's outline, y up, in thousandths of the size."""
    import uharfbuzz as hb

    pts: list[complex] = []
    codes: list[int] = []

    def move(x: float, y: float, _: Any = None) -> None:
        pts.append(complex(x, y))
        codes.append(_MOVE)

    def line(x: float, y: float, _: Any = None) -> None:
        pts.append(complex(x, y))
        codes.append(_LINE)

    def quad(cx: float, cy: float, x: float, y: float, _: Any = None) -> None:
        pts.extend((complex(cx, cy), complex(x, y)))
        codes.extend([_CURVE3] * 2)

    def cubic(ax: float, ay: float, bx: float, by: float, x: float, y: float, _: Any = None) -> None:
        pts.extend((complex(ax, ay), complex(bx, by), complex(x, y)))
        codes.extend([_CURVE4] * 3)

    def close(_: Any = None) -> None:
        pts.append(pts[-1])
        codes.append(_CLOSE)

    draw = hb.DrawFuncs()
    draw.set_move_to_func(move)
    draw.set_line_to_func(line)
    draw.set_quadratic_to_func(quad)
    draw.set_cubic_to_func(cubic)
    draw.set_close_path_func(close)
    glyph_outlines(face).draw_glyph(index, draw)
    return tuple(pts), tuple(codes)
