"""Places labels: on the surface where they fit with clear ground round them, else outside with a straight leader.

No words over words or lines, nothing outside the frame, leaders cross neither each other nor a measure nor an arrow.
The same input gives the same places: candidates stand on fixed steps, and the search for the best set of them is
bounded by a count.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry import LineString

from booklet.drawing import look
from booklet.drawing.display import Item, Text
from booklet.drawing.marks import leader
from booklet.drawing.patterns import region
from booklet.drawing.scene import Scene, scene_of
from booklet.drawing.text import CAP_HEIGHT, DESCENT, measure, tidy
from booklet.paths import Box, Path
from booklet.units import MM_PER_POINT

_KEEP = 70  # candidates a label takes into the search
_SEARCH = 20_000  # sets looked at, at most
_LEFT_OUT = 1e5  # cost of a label that finds no place
_WORDS_GAP = 1.3  # between two labels
_LINE_GAP = 1.1  # between words and a line or thing beside them
_GOOD_REACH = 8.0  # a leader much shorter is hard to see, a longer one hard to follow
_FOREIGN = 45.0  # cost of words on another thing's surface
_REACHES = (3.0, 5.0, 7.0, 9.0, 12.0, 15.0, 18.0, 22.0, 27.0, 33.0, 40.0, 48.0)


@dataclass(frozen=True)
class Label:
    """Words for a thing: its `target` point, and the paths of its surface if it has one to stand on.

    A newline in `text` forces a break; without one a long label may be set in two lines. `dot` is False for
    an edge or a notch. `leader` False: the label stands on the surface or nowhere. `within` keeps a label with
    a leader inside these paths; `window` is the part of the drawing in which a surface may be written on.
    """

    text: str
    target: complex
    surface: tuple[Path, ...] = ()
    dot: bool = True
    size_pt: float = look.LABEL_PT
    weight: int = 400
    colour: str = look.INK
    leader: bool = True
    within: tuple[Path, ...] = ()
    window: tuple[Path, ...] = ()


@dataclass(frozen=True)
class Placed:
    """Labels as display items, and those that found no place."""

    items: tuple[Item, ...]
    left_over: tuple[Label, ...]


@dataclass(frozen=True)
class _Spot:
    """One way to set a label: its lines' box, how they align, its leader if any, what it costs."""

    box: Box
    lines: tuple[str, ...]
    anchor: str
    start: complex | None
    foot: complex
    cost: float


def place_labels(frame: Box, drawn: Sequence[Item], labels: Sequence[Label]) -> Placed:
    """Finds places for all labels inside `frame` (x0, y0, x1, y1) round what is drawn already."""
    if not labels:
        return Placed((), ())
    finder = _Finder(frame, scene_of(drawn))
    choices = [finder.spots(label) for label in labels]
    picked = _choose(choices)
    items: list[Item] = []
    left: list[Label] = []
    for label, spot in zip(labels, picked, strict=True):
        if spot is None:
            left.append(label)
        else:
            items += _set(label, spot)
    return Placed(tuple(items), tuple(left))


# ---------------------------------------------------------------- candidates


class _Finder:
    """Knows what is in the way; proposes spots for one label at a time."""

    def __init__(self, frame: Box, scene: Scene) -> None:
        self.frame = frame
        self.scene = scene
        self.blocks = STRtree([*scene.lines, *scene.barred, *scene.words])
        self.no_leader = STRtree([*scene.barred, *scene.words])
        self.lines = STRtree(list(scene.lines))

    def spots(self, label: Label) -> list[_Spot]:
        found = self._set(label, _settings(label.text))
        if not found and "\n" in label.text:  # broken elsewhere it may be less wide
            found = self._set(label, _settings(label.text.replace("\n", " "))[1:])
        found.sort(key=lambda s: s.cost)
        return found[:_KEEP]

    def _set(self, label: Label, settings: Sequence[tuple[str, ...]]) -> list[_Spot]:
        found: list[_Spot] = []
        for lines in settings:
            wide = max(measure(line, label.size_pt, label.weight) for line in lines)
            tall = _block_height(len(lines), label.size_pt)
            if label.surface:
                found += self._on(label, lines, wide, tall)
            if label.leader:
                found += self._beside(label, lines, wide, tall)
        return found

    def _on(self, label: Label, lines: tuple[str, ...], wide: float, tall: float) -> list[_Spot]:
        """Spots on the surface, the nearest to the target first."""
        seen = self.scene.surface(label.surface)
        if label.window:
            seen = seen.intersection(region(label.window))
        if seen.is_empty:
            return []
        x0, y0, x1, y1 = seen.bounds
        step = 1.5 if (x1 - x0) * (y1 - y0) < 4000 else 2.5
        xs = np.arange(x0 + wide / 2, x1 - wide / 2 + 1e-6, step)
        ys = np.arange(y0 + tall / 2, y1 - tall / 2 + 1e-6, step)
        if not len(xs) or not len(ys):
            return []
        cx, cy = (a.ravel() for a in np.meshgrid(xs, ys))
        cx = np.append(cx, label.target.real)
        cy = np.append(cy, label.target.imag)
        clear = look.LABEL_CLEAR
        boxes = shapely.box(
            cx - wide / 2 - clear, cy - tall / 2 - clear, cx + wide / 2 + clear, cy + tall / 2 + clear
        )
        shapely.prepare(seen)
        fits = shapely.contains(seen, boxes) & self._in_frame(cx, cy, wide, tall)
        hit = np.zeros(len(boxes), bool)
        if len(self.blocks.geometries):
            hit[self.blocks.query(boxes, predicate="intersects")[0]] = True
        out = []
        for k in np.nonzero(fits & ~hit)[0]:
            x, y = float(cx[k]), float(cy[k])
            box = (x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)
            away = abs(complex(x, y) - label.target)
            # On the thing beats any leader; one line beats two.
            cost = away * 0.25 + 2.0 * (len(lines) - 1) - 30.0
            out.append(_Spot(box, lines, "middle", None, label.target, cost))
        return out

    def _in_frame(self, cx: np.ndarray, cy: np.ndarray, wide: float, tall: float) -> np.ndarray:
        x0, y0, x1, y1 = self.frame
        e = 1e-6
        return (
            (cx - wide / 2 >= x0 - e)
            & (cx + wide / 2 <= x1 + e)
            & (cy - tall / 2 >= y0 - e)
            & (cy + tall / 2 <= y1 + e)
        )

    def _beside(self, label: Label, lines: tuple[str, ...], wide: float, tall: float) -> list[_Spot]:
        """Spots round the target on fixed reaches and directions, with a leader from the words' side."""
        raw: list[tuple[Box, str, complex, float]] = []
        for reach in _REACHES:
            for tenth in range(36):
                way = cmath.rect(1, math.radians(tenth * 10))
                start = label.target + way * reach
                raw += _round_start(start, way, wide, tall, reach)
        x0, y0, x1, y1 = self.frame
        raw = [
            r
            for r in raw
            if r[0][0] >= x0 - 1e-6 and r[0][1] >= y0 - 1e-6 and r[0][2] <= x1 + 1e-6 and r[0][3] <= y1 + 1e-6
        ]
        if not raw:
            return []
        boxes = np.array([r[0] for r in raw])
        shapes = shapely.box(
            boxes[:, 0] - _LINE_GAP, boxes[:, 1] - _LINE_GAP, boxes[:, 2] + _LINE_GAP, boxes[:, 3] + _LINE_GAP
        )
        # A leader's very foot may touch a line or a mark: the thing it names.
        starts = np.array([r[2] for r in raw])
        ends = label.target + (starts - label.target) * 0.08
        feet = shapely.linestrings(
            np.stack([np.column_stack((z.real, z.imag)) for z in (starts, ends)], axis=1)
        )
        hit = np.zeros(len(raw), bool)
        if label.within:
            inside = region(label.within)
            shapely.prepare(inside)
            hit |= ~shapely.contains(inside, shapes)
        if len(self.blocks.geometries):
            hit[self.blocks.query(shapes, predicate="intersects")[0]] = True
        if len(self.no_leader.geometries):
            hit[self.no_leader.query(feet, predicate="intersects")[0]] = True
        crossed = np.zeros(len(raw))
        if len(self.lines.geometries):
            np.add.at(crossed, self.lines.query(feet, predicate="intersects")[0], 1)
        foreign = np.zeros(len(raw), bool)
        for ground in self.scene.grounds:
            if not ground.seen.is_empty:
                shapely.prepare(ground.seen)
                foreign |= shapely.intersects(ground.seen, shapes)
        out = []
        for k in np.nonzero(~hit)[0]:
            box, anchor, start, cost = raw[k]
            total = cost + 1.5 * crossed[k] + (_FOREIGN if foreign[k] else 0.0) + 0.5 * (len(lines) - 1)
            out.append(_Spot(box, lines, anchor, start, label.target, float(total)))
        return out


def _round_start(
    start: complex, way: complex, wide: float, tall: float, reach: float
) -> list[tuple[Box, str, complex, float]]:
    """The boxes whose leader may start at a point: (box, anchor, start, cost)."""
    x, y = start.real, start.imag
    gap = look.LEADER_GAP
    out: list[tuple[Box, str, complex, float]] = []
    slant = abs(way.imag)
    cost = abs(reach - _GOOD_REACH) if reach > _GOOD_REACH else 1.6 * (_GOOD_REACH - reach)
    if way.real > 0.15:  # words to the right of the target
        box = (x + gap, y - tall / 2, x + gap + wide, y + tall / 2)
        out.append((box, "start", start, cost + 4.0 * slant))
    if way.real < -0.15:
        box = (x - gap - wide, y - tall / 2, x - gap, y + tall / 2)
        out.append((box, "end", start, cost + 4.0 * slant))
    if slant > 0.8:  # straight above or below: the leader starts at the words' middle
        top = y + gap if way.imag > 0 else y - gap - tall
        out.append(((x - wide / 2, top, x + wide / 2, top + tall), "middle", start, cost + 8.0))
    return out


def _settings(text: str) -> list[tuple[str, ...]]:
    """The label as one line, and as two where it is long: parted after its comma or near its middle."""
    text = tidy(text)
    if "\n" in text:
        return [tuple(text.split("\n"))]
    out: list[tuple[str, ...]] = [(text,)]
    words = text.split(" ")
    if len(words) < 2 or len(text) < 12:
        return out
    cuts = range(1, len(words))
    best = min(
        cuts,
        key=lambda n: (
            max(len(" ".join(words[:n])), len(" ".join(words[n:]))) - (4 if words[n - 1].endswith(",") else 0)
        ),
    )
    out.append((" ".join(words[:best]), " ".join(words[best:])))
    return out


def _leading(size_pt: float) -> float:
    return look.LABEL_LEADING * size_pt / look.LABEL_PT


def _block_height(count: int, size_pt: float) -> float:
    """From the first line's capitals to the last line's descenders."""
    return (count - 1) * _leading(size_pt) + (CAP_HEIGHT + DESCENT) * size_pt * MM_PER_POINT


# ---------------------------------------------------------------- choosing


def _choose(choices: list[list[_Spot]]) -> list[_Spot | None]:
    """One spot a label, none against another, at the least cost found: depth first, bounded by a count."""
    order = sorted(range(len(choices)), key=lambda k: (len(choices[k]), k))
    least = [min((s.cost for s in choices[k]), default=_LEFT_OUT) for k in order]
    rest = [sum(least[n:]) for n in range(len(order) + 1)]
    best_cost = math.inf
    best: dict[int, _Spot | None] = {}
    looked = 0
    cache: dict[tuple[int, int], bool] = {}
    shapes: dict[int, tuple[Box, shapely.Geometry, LineString | None]] = {}

    def shape(spot: _Spot) -> tuple[Box, shapely.Geometry, LineString | None]:
        if id(spot) not in shapes:
            box = _grown(spot.box, _WORDS_GAP / 2)
            shapes[id(spot)] = (box, shapely.box(*box), _leader_shape(spot))
        return shapes[id(spot)]

    def apart(a: _Spot, b: _Spot) -> bool:
        key = (id(a), id(b))
        if key not in cache:
            cache[key] = not _clash(shape(a), shape(b))
        return cache[key]

    def go(depth: int, cost: float, chosen: list[_Spot | None]) -> None:
        nonlocal best_cost, best, looked
        if cost + rest[depth] >= best_cost - 1e-9:
            return
        if depth == len(order):
            best_cost, best = cost, {order[n]: s for n, s in enumerate(chosen)}
            return
        for spot in choices[order[depth]]:
            if looked > _SEARCH and best:
                return
            looked += 1
            if all(other is None or apart(other, spot) for other in chosen):
                go(depth + 1, cost + spot.cost, [*chosen, spot])
        go(depth + 1, cost + _LEFT_OUT, [*chosen, None])

    go(0, 0.0, [])
    return [best[k] for k in range(len(choices))]


def _clash(
    a: tuple[Box, shapely.Geometry, LineString | None], b: tuple[Box, shapely.Geometry, LineString | None]
) -> bool:
    """Whether two spots, each as its words' grown box, that box's area and its leader, are in each other's way."""
    (box_a, area_a, line_a), (box_b, area_b, line_b) = a, b
    if box_a[0] < box_b[2] and box_b[0] < box_a[2] and box_a[1] < box_b[3] and box_b[1] < box_a[3]:
        return True
    if line_a is not None and line_a.intersects(area_b):
        return True
    if line_b is not None and line_b.intersects(area_a):
        return True
    return line_a is not None and line_b is not None and line_a.distance(line_b) < 0.4


def _grown(box: Box, by: float) -> Box:
    return box[0] - by, box[1] - by, box[2] + by, box[3] + by


def _leader_shape(spot: _Spot) -> LineString | None:
    if spot.start is None:
        return None
    return LineString([(spot.start.real, spot.start.imag), (spot.foot.real, spot.foot.imag)])


def _set(label: Label, spot: _Spot) -> list[Item]:
    x0, y0, x1, _ = spot.box
    x = {"start": x0, "middle": (x0 + x1) / 2, "end": x1}[spot.anchor]
    y = y0 + CAP_HEIGHT * label.size_pt * MM_PER_POINT
    items: list[Item] = []
    for line in spot.lines:
        anchor = spot.anchor
        items.append(
            Text(x, y, line, label.size_pt, label.weight, label.colour, 0.0, anchor, "label")  # type: ignore[arg-type]
        )
        y += _leading(label.size_pt)
    if spot.start is not None:
        items += leader(spot.start, spot.foot, label.dot)
    return items
