"""Sleeves of a finished garment, hanging from the shoulder: each laid flat in half, with its cuff or its elastic."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Stroke
from booklet.model import Part, Seam
from booklet.paths import Path
from booklet.pictures.bench import Bench

HANG = (30.0, 60.0)  # degrees below level between which a sleeve hangs
BEFORE = 0.46  # share of a hanging sleeve's width that shows beside the body; the rest is behind it
FULL_FLAT = 14.0  # the same where it lies flat
FLAT = 5.0  # degrees: how little a sleeve that lies flat may hang
FULL = 44.0  # degrees: how a sleeve hangs that is fuller than its armhole
PUFF = 0.42  # share of a full sleeve's surplus that shows above the shoulder
GATHER = (11.0, 19.0)  # mm: short and long strokes at a gathered edge

Lines = list[tuple[Path, Stroke, str]]


@dataclass(frozen=True)
class Sleeve:
    """A sleeve's true measures, laid flat in half, mm: from the crown to the lower edge, to the underarm, half widths."""

    copy: str
    long: float
    seam_long: float  # from the crown's level to the lower end of the underarm seam
    wide: float  # at the underarm
    lower: float  # at the lower edge, as cut
    end: float  # at the lower edge, as sewn into a cuff or on elastic
    cuff: float  # how deep its cuff is, 0 without one
    casing: float  # how far the casing's stitches lie inside the lower edge
    hem: float  # how far a plain hem's do
    full: bool  # gathered into the armhole
    slit: tuple[float, float] | None  # across from the fold, and how long, where the half in view has it
    button: float  # across a button on the cuff, 0 without one
    plain: float = 0.0  # along the head from the underarm in view to where its gathers begin


@dataclass(frozen=True)
class Hung:
    """A sleeve in the view: its cloth, its cuff, and the lines on them."""

    area: shapely.Geometry
    cuff: shapely.Geometry | None
    lines: Lines
    copy: str
    underarm: Path  # its seam there, from the body to the lower edge


def sleeve_of(bench: Bench, seam: Seam, head: Part, under: complex, elastics: Mapping[str, float]) -> Sleeve:
    """`under`: the end of the head at the underarm that is in view, in the sleeve's own frame."""
    copy = bench.copies[head.copy]
    a, b = (copy.placing.apply(z) for z in copy.piece.grain)
    path = bench.part_path(head)
    up = (b - a) / abs(b - a)
    middle = (path.start + path.end) / 2
    if ((path.point(path.length / 2) - middle) * up.conjugate()).real < 0:
        up = -up
    points = np.asarray(path.flatten(0.3))
    crown = complex(max(points, key=lambda z: (z * np.conj(up)).real))

    def down(z: complex) -> float:
        return -((z - crown) * up.conjugate()).real

    def across(z: complex) -> float:
        return ((z - crown) * up.conjugate()).imag

    ring = bench.stitch_line(head.copy)
    count = max(40, int(ring.length / 4))
    outline = [ring.point(ring.length * k / count) for k in range(count)]
    depth = max(down(z) for z in outline)
    edge = _lower_edge(bench, head)
    low = (edge.start, edge.end) if edge is not None else [z for z in outline if down(z) > depth - 20]
    corners = min(low, key=across), max(low, key=across)
    wide = abs(across(path.start) - across(path.end)) / 2
    lower = abs(across(corners[1]) - across(corners[0])) / 2
    own = corners[0] if across(under) < across(crown) else corners[1]
    near = [z for z in outline if abs(across(z) - across((corners[0] + corners[1]) / 2)) < lower * 0.3]
    end, cuff, casing, hem, button = lower, 0.0, 0.0, 0.0, 0.0
    for other in bench.done:
        if head.copy not in {p.copy for p in other.a.parts}:
            continue
        if other.kind == "band" and other.b is not None:
            band = bench.copies[other.b.parts[0].copy]
            box = band.outline.bbox
            end = (other.b_mm or other.a_mm) / 2
            cuff = min(box[2] - box[0], box[3] - box[1]) / (2 if band.piece.fold_lines else 1)
            button = max((m.size for m in band.buttons), default=0.0)
        elif other.kind == "casing":
            end = elastics.get(other.step, other.a_mm) / 2
            casing = _casing_depth(bench, other.a.parts[0])
        elif other.kind == "hem":
            hem = max(other.allow_a * 0.6, 8.0)
    slit = None
    for opening in copy.openings:
        if (across(opening.at) < 0) == (across(under) < 0):
            slit = abs(across(opening.at)) / max(lower, 1.0), opening.depth
    return Sleeve(
        head.copy, max(map(down, near)), max(down(own), 1.0), wide, lower, end, cuff, casing, hem,
        seam.treatment == "gathers", slit, button, _plain(bench, head, under),
    )  # fmt: skip


def _plain(bench: Bench, head: Part, under: complex) -> float:
    """How far from the underarm in view the head is sewn on plain, mm; all of it may be gathered."""
    path = bench.part_path(head)
    for seam in bench.done:
        part = next((p for p in seam.a.parts if (p.copy, p.edge) == (head.copy, head.edge)), None)
        if seam.kind == "gather" and part is not None:
            stops = [path.nearest(z) for z in (bench.part_path(part).start, bench.part_path(part).end)]
            at_start = abs(under - path.start) < abs(under - path.end)
            return min(stops) if at_start else path.length - max(stops)
    return 0.0


def _lower_edge(bench: Bench, head: Part) -> Path | None:
    """The sleeve's edge that is gathered, hemmed or banded, if it is not the head."""
    for seam in bench.done:
        for part in seam.a.parts:
            if seam.kind in ("band", "casing", "hem") and part.copy == head.copy and part.edge != head.edge:
                return bench.half(part).edge.path
    return None


def _casing_depth(bench: Bench, part: Part) -> float:
    copy = bench.copies[part.copy]
    line = next(iter(copy.fold_lines), None)
    if line is None:
        return 12.0
    edge = bench.part_path(part)
    middle = line.path.point(line.path.length / 2)
    return abs(edge.point(edge.nearest(middle)) - middle)


def hang(sleeve: Sleeve, armhole: Sequence[complex], out: float, worn: bool = True) -> Hung:
    """The sleeve at an armhole given from the underarm up to the shoulder; `out` is 1 where right of the body, else -1.

    `worn`: it falls by the body, part of it behind; else it lies flat with its whole width beside the body.
    """

    def there(z: complex) -> complex:  # from the drawing for a sleeve at the right
        return complex(z.real * out, z.imag)

    hole = [there(z) for z in armhole]
    under, tip = hole[0], hole[-1]
    way, above = _slope(sleeve, under - tip, BEFORE if worn else 1.0)
    side = way * 1j  # from the fold to the underarm
    start = tip - side * above
    full = sleeve.lower - sleeve.end
    outer = start + way * sleeve.long + side * full / 2
    inner = start + way * sleeve.seam_long + side * (sleeve.lower - full / 2)
    far = abs((inner - start) * way.conjugate())
    inner = inner if far > 1 else outer + side * sleeve.end
    gathered = full > 6.0
    knee = min(sleeve.long * 0.3, 70.0)
    ring = _curve(
        tip,
        tip + _lead(way) * sleeve.long * 0.16,
        start + way * sleeve.long * 0.16,
        start + way * sleeve.long * 0.34,
    )
    if above > 8.0:
        lift = start + way * max(above, sleeve.wide * 0.24)
        ring = _curve(tip, tip - side * above * 0.75, lift - way * above * 0.6, lift)
    if gathered:
        turn = start + way * (sleeve.long - knee)
        ring += _curve(turn, turn + way * knee * 0.6, outer - way * knee * 0.25 - side * full * 0.12, outer)
    hem_end = inner
    ring += _curve(
        outer,
        outer + side * sleeve.end * 0.3 + way * 1.5,
        hem_end - side * sleeve.end * 0.3 + way * 1.5,
        hem_end,
    )
    if gathered:
        back = start + way * (sleeve.seam_long - knee) + side * _inset(sleeve, knee)
        ring += _curve(
            hem_end, hem_end - way * knee * 0.25 + side * full * 0.12, back + way * knee * 0.5, back
        )
    reached = ((under - start) * side.conjugate()).real
    if worn and reached < sleeve.wide:  # the rest of its width goes behind the body
        ring.append(under + side * (sleeve.wide - reached))
    ring += hole
    area = shapely.Polygon([(there(z).real, there(z).imag) for z in ring]).buffer(0)
    lines: Lines = []

    def line(points: Sequence[complex], stroke: Stroke, role: str) -> None:
        lines.append((Path.polyline([there(z) for z in points]), stroke, role))

    cuff = None
    across = hem_end - outer
    if sleeve.cuff:
        corners = [outer, hem_end, hem_end + way * sleeve.cuff, outer + way * sleeve.cuff]
        cuff = shapely.Polygon([(there(z).real, there(z).imag) for z in corners])
        line([corners[3] - way * 2.5, corners[2] - way * 2.5], look.STITCH, "stitch")
        line([outer + way * 2.5, hem_end + way * 2.5], look.STITCH, "stitch")
    if sleeve.slit is not None:
        place = outer + across * min(sleeve.slit[0], 0.9)
        line([place, place - way * sleeve.slit[1]], look.LEADER, "opening")
        line([place, place + way * sleeve.cuff], look.LEADER, "opening")
        if sleeve.button:
            line(
                _round(place - across / abs(across) * 11 + way * sleeve.cuff / 2, sleeve.button / 2),
                look.LEADER,
                "button",
            )
    deep = sleeve.casing or (0.0 if sleeve.cuff else sleeve.hem)
    if deep:
        line([outer - way * deep, hem_end - way * deep], look.STITCH, "stitch")
    if gathered:
        _gathers(line, outer - way * sleeve.casing, across, -way)
        if sleeve.casing:
            _gathers(line, outer, across, -way, sleeve.casing * 0.7)
    if sleeve.full:
        steps = np.abs(np.diff(np.asarray(hole)))
        along = np.concatenate(([0.0], np.cumsum(steps)))
        top = [z for z, far in zip(hole, along, strict=True) if far >= sleeve.plain][::3]
        for n, z in enumerate(top):
            aim = way * cmath.rect(1, -0.5 * (n / max(len(top) - 1, 1)))
            line([z, z + aim * GATHER[n % 2] * 1.4], look.LEADER, "gathers")
    return Hung(area, cuff, lines, sleeve.copy, Path.line(there(under), there(hem_end)))


def _slope(sleeve: Sleeve, fall: complex, share: float) -> tuple[complex, float]:
    """The direction down the sleeve at which most of its width lies between the fold and the underarm; a full sleeve's
    surplus stands above the shoulder. `fall`: from the shoulder's tip to the underarm."""

    def room(degrees: float) -> float:
        side = cmath.rect(1, math.radians(degrees)) * 1j
        return (fall * side.conjugate()).real

    if sleeve.full:
        degrees = FULL if share < 1 else FULL_FLAT
        return cmath.rect(1, math.radians(degrees)), max(0.0, (sleeve.wide - room(degrees)) * PUFF)
    degrees = min(
        np.arange(HANG[0] if share < 1 else FLAT, HANG[1], 0.5),
        key=lambda d: abs(room(d) - sleeve.wide * share),
    )
    return cmath.rect(1, math.radians(float(degrees))), 0.0


def _lead(way: complex) -> complex:
    """How the fold leaves the shoulder: between level and the sleeve's own way."""
    lead = way + 0.9
    return lead / abs(lead)


def _inset(sleeve: Sleeve, knee: float) -> float:
    """How far the underarm seam lies from the fold, `knee` mm above the lower edge."""
    return sleeve.lower + (sleeve.wide - sleeve.lower) * min(knee / max(sleeve.seam_long, 1.0), 1.0) * 0.6


def _gathers(
    line: Callable[[Sequence[complex], Stroke, str], None],
    start: complex,
    across: complex,
    way: complex,
    long: float = 0.0,
) -> None:
    count = max(4, int(abs(across) / 11))
    for n in range(1, count):
        z = start + across * n / count
        line([z, z + way * (long or GATHER[n % 2])], look.LEADER, "gathers")


def _curve(a: complex, b: complex, c: complex, d: complex) -> list[complex]:
    return [complex(z) for z in Path(((a, b, c, d),)).flatten(0.3)]


def _round(centre: complex, radius: float) -> list[complex]:
    return [centre + cmath.rect(radius, math.tau * k / 20) for k in range(21)]
