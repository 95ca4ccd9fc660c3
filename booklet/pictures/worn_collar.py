"""A collar on its stand as it is worn, closed round the neck: drawn by convention from the pieces' true measures."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look
from booklet.model import Run, Seam
from booklet.paths import Path
from booklet.pictures.bench import Bench
from booklet.pictures.hung_sleeve import Lines

POINTS_DOWN = math.radians(58)  # how steeply the front edges of a closed collar fall
LEAN = 0.2  # a stand leans in to the neck by this share of its height
ROLL = 0.72  # share of the stand's height that shows where the collar folds down at the side


@dataclass(frozen=True)
class Collar:
    """True measures, mm: heights at the centre back, the collar's front edge, the button on the stand (0: none)."""

    stand: float
    fall: float
    point: float
    button: float


Layer = tuple[shapely.Geometry, Lines]


def collar_of(bench: Bench, seams: Sequence[Seam], body: Sequence[str]) -> Collar | None:
    """The piece sewn round the neck, by one long seam to three or more plies or halves of the body, and what is on it."""
    found = next(
        (
            (run.parts[0].copy, run.parts[0].edge)
            for s in seams
            if s.b is not None
            for run, other in ((s.a, s.b), (s.b, s.a))
            if _one(run) and len(other.parts) >= 3 and {p.copy for p in other.parts} <= set(body)
            and bench.copies[run.parts[0].copy].side == "whole" and run.parts[0].copy not in body
        ),
        None,
    )  # fmt: skip
    if found is None:
        return None
    stand, neck = found
    first = _other_side(bench, seams, stand, neck)
    if first is None:
        return None
    button = max((m.size for m in bench.copies[stand].buttons), default=0.0)
    leaf, seam_edge = first
    outer = max((h for h in bench.copies[leaf].edges if h.name != seam_edge), key=lambda h: h.edge.length)
    ends = [h.edge.length for h in bench.copies[leaf].edges if h.name not in (seam_edge, outer.name)]
    high = _between(bench, stand, neck, next(n for n in _joined(seams, stand) if n != neck))
    return Collar(high, _between(bench, leaf, seam_edge, outer.name), max(ends, default=50.0), button)


def _one(run: Run) -> bool:
    return len(run.parts) == 1


def _joined(seams: Sequence[Seam], copy: str) -> list[str]:
    """Edges of a piece that are sewn by themselves to one other, longest first."""
    found = {}
    for s in seams:
        for run in (s.a, s.b):
            if run is not None and s.b is not None and _one(run) and run.parts[0].copy == copy:
                found[run.parts[0].edge] = abs(run.parts[0].end - run.parts[0].start)
    return sorted(found, key=lambda name: -found[name])


def _other_side(bench: Bench, seams: Sequence[Seam], stand: str, neck: str) -> tuple[str, str] | None:
    """The collar on the stand's other long edge: its copy and its edge there."""
    for s in seams:
        if s.b is None or not (_one(s.a) and _one(s.b)):
            continue
        for mine, other in ((s.a.parts[0], s.b.parts[0]), (s.b.parts[0], s.a.parts[0])):
            long = abs(mine.end - mine.start) > 0.5 * bench.half(mine).edge.length
            if mine.copy == stand and mine.edge != neck and long and mine.edge == _joined(seams, stand)[1]:
                return other.copy, other.edge
    return None


def _between(bench: Bench, copy: str, one: str, two: str) -> float:
    a, b = (bench.copies[copy].by_name[n].edge for n in (one, two))
    middle = a.path.point(a.length / 2)
    return abs(b.path.point(b.path.nearest(middle)) - middle)


def _area(points: Sequence[complex]) -> shapely.Geometry:
    return shapely.Polygon([(z.real, z.imag) for z in points]).buffer(0)


def _curve(a: complex, b: complex, c: complex, d: complex) -> list[complex]:
    return [complex(z) for z in Path(((a, b, c, d),)).flatten(0.2)]


def worn_front(
    collar: Collar, side: complex, centre: complex, slope: complex, neckline: Sequence[complex]
) -> list[Layer]:
    """Seen from the front, undermost first. For the half at the right of x = 0: `side` is where neck and shoulder meet,
    `centre` the neckline's lowest point, `slope` the unit direction down the shoulder, `neckline` from centre to side."""
    high, fall = collar.stand, collar.fall
    rolled = side + complex(-high * LEAN, -high * ROLL)
    top = complex(0, side.imag - high * 1.12)
    front = complex(0, centre.imag - high * 0.78)
    back_roll = _curve(rolled, rolled - 0.35j * high + rolled.real * -0.22, top + rolled.real * 0.5, top)
    front_roll = _curve(
        rolled,
        rolled + 0.5j * (front - rolled).imag,
        front + rolled.real * 0.42 - 0.12j * (front - rolled).imag,
        front,
    )
    inside = _mirrored_ring(back_roll, front_roll)
    neck_inside = _curve(
        rolled + 0.35j * high,
        rolled + 0.62j * high - rolled.real * 0.3,
        complex(rolled.real * 0.4, top.imag + high * 1.35),
        complex(0, top.imag + high * 1.35),
    )
    lines: Lines = [
        (Path.polyline([*neck_inside, *(_flip(z) for z in reversed(neck_inside))]), look.LEADER, "seam")
    ]
    low = [*neckline, *[z for z in reversed(front_roll)]]
    band = [*low, *(_flip(z) for z in reversed(low))]
    stand = _area(band)
    button: Lines = []
    if collar.button:
        mid = (centre + front) / 2
        button.append((Path.circle(complex(0, mid.imag + 0.5), collar.button / 2), look.LEADER, "button"))
    tip = front + cmath.rect(collar.point, POINTS_DOWN)
    shoulder = side + slope * fall * 0.42 - 2j
    edge = _curve(
        tip,
        tip + (shoulder - tip) * 0.35 + complex(fall * 0.12, fall * 0.1),
        shoulder + complex(2, fall * 0.35),
        shoulder,
    )
    over = _curve(shoulder, shoulder - 0.3j * high - 1.0, rolled + complex(high * 0.25, -high * 0.05), rolled)
    leaf = [front, tip, *edge, *over, *front_roll]
    out: list[Layer] = [(inside, lines), (stand, button)]
    for flip in (False, True):
        ring = [_flip(z) for z in leaf] if flip else leaf
        area = _area(ring)
        row = area.buffer(-4.0).exterior if area.buffer(-4.0).geom_type == "Polygon" else area.exterior
        shown = [complex(x, y) for x, y in row.coords]
        stitched = [
            z
            for z in shown
            if _near(z, [_flip(q) for q in [front, tip, *edge]] if flip else [front, tip, *edge])
        ]
        out.append((area, _row(stitched)))
    return out


def _row(points: Sequence[complex]) -> Lines:
    """Points of a ring as the longest line without a jump."""
    if len(points) < 3:
        return []
    runs: list[list[complex]] = [[points[0]]]
    for z in points[1:]:
        if abs(z - runs[-1][-1]) > 30:
            runs.append([])
        runs[-1].append(z)
    if len(runs) > 1 and abs(runs[0][0] - runs[-1][-1]) < 30:
        runs[0] = runs.pop() + runs[0]
    return [(Path.polyline(r), look.STITCH, "stitch") for r in runs if len(r) > 1]


def _near(z: complex, line: Sequence[complex]) -> bool:
    path = shapely.LineString([(q.real, q.imag) for q in line])
    return bool(path.distance(shapely.Point(z.real, z.imag)) < 5.0)


def _flip(z: complex) -> complex:
    return complex(-z.real, z.imag)


def _mirrored_ring(one: Sequence[complex], two: Sequence[complex]) -> shapely.Geometry:
    ring = [*one, *(_flip(z) for z in reversed(one)), *(_flip(z) for z in two), *reversed(two)]
    return _area(ring)


def worn_back(collar: Collar, side: complex, centre: complex, slope: complex) -> list[Layer]:
    """Seen from behind: the collar folded down over its stand, to just below the neck seam."""
    high, fall = collar.stand, collar.fall
    rolled = side + complex(-high * LEAN, -high * ROLL)
    top = complex(0, min(centre.imag - high, rolled.imag - 0.3 * high))
    roll = _curve(rolled, rolled - 0.2j * high - rolled.real * 0.12, top + rolled.real * 0.5, top)
    foot = complex(0, centre.imag - high + fall)
    shoulder = side + slope * fall * 0.42 - 2j
    over = _curve(rolled, rolled + complex(high * 0.25, -high * 0.05), shoulder - 0.3j * high - 1.0, shoulder)
    edge = _curve(shoulder, shoulder + complex(-fall * 0.2, fall * 0.3), foot + shoulder.real * 0.45, foot)
    half = [*reversed(roll), *over, *edge]
    ring = [*half, *(_flip(z) for z in reversed(half))]
    row = [z - 4j for z in edge]
    lines: Lines = [(Path.polyline([*row, *(_flip(z) for z in reversed(row))]), look.STITCH, "stitch")]
    return [(_area(ring), lines)]
