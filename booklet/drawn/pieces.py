"""A drafted piece as a sketch: its net outline with every edge's name and length, and all that is drawn on it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import Item, PathItem, Stroke, View, circle_path
from booklet.drawing.patterns import region
from booklet.drawn.names import Words
from booklet.drawn.sketch import Sketch
from booklet.model import ButtonMark, Dart, Edge, Mark, Opening, Piece, Pleat
from booklet.paths import Path
from booklet.units import show

INNER = Stroke(0.4, look.INK, (2.2, 0.6, 0.4, 0.6))
LEVEL = Stroke(0.35, look.SOFT, (0.5, 0.7))
TICK = 2.0  # of a mark, on paper
_COUNTS = {"single": 1, "double": 2, "triple": 3}


@dataclass(frozen=True)
class Telling:
    """What is told of a piece: lengths in `units` ('' tells none), names (None tells all), what stands in the accent."""

    units: str = ""
    names: frozenset[str] | None = None
    accent: frozenset[str] = frozenset()
    levels: bool = True

    def words(self, name: str, *more: tuple[str, int]) -> Words:
        if self.names is not None and name not in self.names:
            return ()
        return ((name, 600 if name in self.accent else 400), *more)

    def length(self, mm: float, words: str = "") -> tuple[tuple[str, int], ...]:
        return ((f"  {show(mm, self.units)}{words}", 600),) if self.units else ()

    def colour(self, name: str, usual: str = look.INK) -> str:
        return look.ACCENT if name in self.accent else usual

    def pen(self, name: str, usual: Stroke) -> Stroke:
        if name not in self.accent:
            return usual
        return Stroke(max(usual.width_pt, 0.6) * 1.7, look.ACCENT, usual.dash_mm, usual.cap)


def of_piece(piece: Piece, told: Telling) -> Sketch:
    """The whole drawing of a piece."""
    sketch = Sketch()
    sketch.fill(piece.outline, look.RIGHT_SIDE)
    if told.levels:
        _levels(sketch, piece, told)
    for line in (*piece.fold_lines, *piece.lines_across):
        pen = told.pen(line.name, INNER)
        sketch.line(line.path, pen, told.words(line.name), told.colour(line.name), role="fold line")
    for edge in piece.edges:
        _edge(sketch, edge, edge.name == piece.fold, told)
    for n, pleat in enumerate(piece.pleats):
        _pleat(sketch, pleat, told, all(p.group != pleat.group for p in piece.pleats[:n]))
    for dart in piece.darts:
        _dart(sketch, dart, told)
    for slit in piece.openings:
        _slit(sketch, slit, told)
    own = [b for b in piece.buttons if piece.drawn_for == "whole" or b.side in ("whole", piece.drawn_for)]
    for n, button in enumerate(own):
        _button(sketch, button, told, all(b.row != button.row for b in own[:n]))
    for edge in piece.edges:
        for mark in edge.marks:
            _mark(sketch, edge, mark, told)
    for edge in piece.edges:
        sketch.point(edge.path.start)
    _grain(sketch, piece)
    return sketch


def _edge(sketch: Sketch, edge: Edge, fold: bool, told: Telling) -> None:
    words = told.words(edge.name, *told.length(edge.sewn_length), *((("  fold", 400),) if fold else ()))
    pen = told.pen(edge.name, look.FOLD if fold else look.CUT)
    # The ring runs clockwise: its right hand is the piece.
    sketch.line(edge.path, pen, words, told.colour(edge.name), prefer=-1, role="fold" if fold else "cut")


def _levels(sketch: Sketch, piece: Piece, told: Telling) -> None:
    ground = region((piece.outline,))
    x0, _, x1, _ = piece.outline.bbox
    for name, y in piece.levels:
        met = shapely.intersection(ground, shapely.LineString([(x0 - 1, y), (x1 + 1, y)]))
        parts = [p for p in getattr(met, "geoms", [met]) if p.length > 1.0]
        if parts:
            ends = np.array(max(parts, key=lambda p: p.length).coords)
            path = Path.line(complex(*ends[0]), complex(*ends[-1]))
            words = ((f"{name} level", 400),) if told.words(name) else ()
            sketch.line(path, LEVEL, words, look.SOFT, role="level")


def _pleat(sketch: Sketch, pleat: Pleat, told: Telling, first: bool) -> None:
    """Its fold lines broken, its placement lines whole, arrows from the one to the other; the first of even ones named."""
    for fold, placement in pleat.moves:
        sketch.line(fold, told.pen(pleat.group, INNER), role="pleat")
        sketch.line(placement, told.pen(pleat.group, look.LEADER), role="pleat")

        def arrow(view: View, fold: Path = fold, placement: Path = placement) -> tuple[Item, ...]:
            a, b = (view.point(p.point(min(p.length * 0.15, 7.0 / view.scale))) for p in (fold, placement))
            return marks.action_arrow(a, b, role="order") if abs(b - a) > 1.5 else ()

        sketch.draw(arrow)
    if first:
        fold = pleat.moves[0][0]
        words = told.words(pleat.group, *told.length(pleat.deep, " deep"))
        sketch.name(fold.point(fold.length * 0.4), words, told.colour(pleat.group))


def _dart(sketch: Sketch, dart: Dart, told: Telling) -> None:
    legs = Path.polyline([dart.first, dart.point, dart.second])
    sketch.line(legs, told.pen(dart.name, look.STITCH), role="dart")
    words = told.words(dart.name, *told.length(dart.intake))
    sketch.point(dart.point, words, told.colour(dart.name), radius=0.45)


def _slit(sketch: Sketch, slit: Opening, told: Telling) -> None:
    way = (slit.foot - slit.at) / abs(slit.foot - slit.at)
    half = way * 1j * slit.mouth / 2
    path = Path.polyline([slit.at + half, slit.foot, slit.at - half])
    sketch.line(path, told.pen(slit.name, look.STITCH), role="opening")
    sketch.name(slit.foot, told.words(slit.name), told.colour(slit.name))


def _button(sketch: Sketch, button: ButtonMark, told: Telling, first: bool) -> None:
    """A cross where a button sits, a barred cut for its hole; the first of a row named."""
    pen = told.pen(button.row, look.LEADER)

    def strokes(view: View) -> tuple[Item, ...]:
        if button.kind == "button":
            z = view.point(button.at)
            lines = [Path.line(z - r, z + r) for r in (0.8 + 0.8j, 0.8 - 0.8j)]
        else:
            a, b = (view.point(z) for z in button.ends)
            bar = marks.unit(b - a) * 0.8j
            lines = [Path.line(a, b), *(Path.line(z - bar, z + bar) for z in (a, b))]
        return (PathItem(tuple(lines), pen, role="button"),)

    sketch.draw(strokes)
    if first:
        sketch.name(button.at, told.words(button.row), told.colour(button.row))


def _mark(sketch: Sketch, edge: Edge, mark: Mark, told: Telling) -> None:
    """A mark on its edge, its name outside."""
    s = min(max(mark.at, 0.0), edge.length)
    at, out = edge.path.point(s), edge.path.normal(s)
    pen = told.pen(mark.name, look.NOTCH)

    def strokes(view: View) -> tuple[Item, ...]:
        z, inward = view.point(at), -out
        if mark.kind == "dot":
            return (PathItem((circle_path(z + inward * TICK, 0.5),), pen, role="notch"),)
        count = _COUNTS.get(mark.kind, 1)
        return (marks.notch(z, inward, TICK, count, stroke=pen),)

    sketch.draw(strokes)
    sketch.name(at, told.words(mark.name), told.colour(mark.name, look.SOFT))


def _grain(sketch: Sketch, piece: Piece) -> None:
    tail, head = piece.grain

    def arrow(view: View) -> tuple[Item, ...]:
        a, b = view.point(tail), view.point(head)
        return marks.grain_arrow(a, b, one_way=piece.nap) if abs(b - a) > 2 else ()

    sketch.draw(arrow)
