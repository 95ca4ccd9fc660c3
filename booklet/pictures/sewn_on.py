"""What is seen on a finished ply: hems and edges as rows of stitches, darts, buttons, pockets, bands, bindings and ties."""

from __future__ import annotations

import cmath
import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Stroke
from booklet.model import Part, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import polygon
from booklet.pictures.folding import closed_flat
from booklet.pictures.hung_sleeve import Lines
from booklet.pictures.laid_plies import offset_line

DEEP = 45.0  # mm of allowance from which a hem is taken as turned twice by the same amount
FOLD_IN = 3.0  # mm from a hem's inner fold to its stitches
SEAM = Stroke(0.55, look.INK)


@dataclass(frozen=True)
class Attached:
    """What an `attach` step sews on: the strap's piece, how many of its ends, and the edge and mark of its host."""

    strap: str
    ends: int
    to: str
    edge: str
    at: str


def attached_by(specs: Sequence[Mapping[str, object]]) -> tuple[Attached, ...]:
    """What the `attach` steps with those entries sew on."""
    out = []
    for spec in specs:
        ends = spec["end"] if isinstance(spec["end"], list) else [spec["end"]]
        piece, _, edge = str(spec["to"]).partition(".")
        out.append(Attached(str(ends[0]).partition(".")[0], len(ends), piece, edge, str(spec["at"])))
    return tuple(out)


def inside(bench: Bench, part: Part, by: float) -> Path:
    """A line `by` mm inside an edge, in the copy's frame."""
    path = bench.part_path(part)
    own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    count = max(2, int(path.length / 6))
    stops = [path.length * k / count for k in range(count + 1)]
    return Path.polyline([path.point(s) + path.tangent(s) * 1j * own * by for s in stops])


def ply_lines(bench: Bench, copy: str, at: Placement) -> Lines:
    """Rows of stitches, darts, pleats and openings of one ply, in the view."""
    ply = bench.copies[copy]
    lines: Lines = []
    place = closed_flat(bench.folds.get(copy, ()))
    for dart in ply.darts:
        mouth = (place(dart.first) + place(dart.second)) / 2
        lines.append((Path.line(at.apply(mouth), at.apply(place(dart.point))), SEAM, "dart"))
    for pleat in ply.pleats:
        for _, onto in pleat.moves:
            a, b = at.apply(place(onto.start)), at.apply(place(onto.end))
            top, foot = sorted((a, b), key=lambda z: z.imag)
            lines.append((Path.line(top, top + (foot - top) * 0.55), look.LEADER, "pleat"))
    for seam in bench.done:
        for part in seam.a.parts:
            if part.copy != copy:
                continue
            if seam.kind == "hem":
                lines.append((inside(bench, part, _hem(seam)).placed(at), look.STITCH, "stitch"))
            elif seam.kind == "zip":
                lines.append((inside(bench, part, 6.0).placed(at), look.STITCH, "stitch"))
        if seam.kind == "zip" and seam.b is not None:
            for part in seam.b.parts:
                if part.copy == copy:
                    lines.append((inside(bench, part, 6.0).placed(at), look.STITCH, "stitch"))
    return lines


def _hem(seam: Seam) -> float:
    """How far a hem's stitches lie inside its edge; of a deep one turned twice, half of what is turned in stays under."""
    return (seam.allow_a if seam.allow_a < DEEP else seam.allow_a / 2) - FOLD_IN


def button_lines(bench: Bench, copy: str, at: Placement) -> Lines:
    """Closed buttons on the ply that has the buttonholes."""
    return [
        (Path.circle(at.apply(m.at), m.size / 2), look.LEADER, "button")
        for m in bench.copies[copy].buttons
        if m.kind == "buttonhole"
    ]


def pockets(
    bench: Bench, copy: str, at: Placement, parts: Mapping[str, int]
) -> list[tuple[shapely.Geometry, Lines]]:
    """Patch pockets where their places are: edge-stitched, the mouth's hem, the lines that divide them."""
    out = []
    for place in bench.copies[copy].places:
        pocket = next((c for c in bench.copies.values() if c.piece.name == place.piece), None)
        sewn = [s for s in bench.done if pocket is not None and s.a.parts[0].copy == pocket.id]
        if pocket is None or not any(s.kind == "patch" for s in sewn):
            continue
        laid = pocket.placing.inverse.then(place.laid).then(bench.copies[copy].placing).then(at)
        ring = bench.stitch_line(pocket.id).placed(laid)
        lines: Lines = []
        for seam in sewn:
            if seam.kind == "hem":
                lines.append(
                    (
                        inside(bench, seam.a.parts[0], max(seam.allow_a / 2 - FOLD_IN, 8.0)).placed(laid),
                        look.STITCH,
                        "stitch",
                    )
                )
            elif seam.kind == "patch":
                lines += [(inside(bench, p, 3.0).placed(laid), look.STITCH, "stitch") for p in seam.a.parts]
        mouth = next((s.a.parts[0] for s in sewn if s.kind == "hem"), None)
        many = parts.get(pocket.piece.name, 1)
        if mouth is not None and many > 1:
            top = bench.part_path(mouth).placed(laid)
            deep = ring.bbox[3] - ring.bbox[1]
            for k in range(1, many):
                z = top.point(top.length * k / many)
                lines.append((Path.line(z, z + 1j * deep), look.STITCH, "stitch"))
        out.append((polygon(ring), lines))
    return out


def bands(bench: Bench, copy: str, at: Placement) -> list[tuple[shapely.Geometry, Lines]]:
    """The finished band along the edges of this ply: as deep as the band is from its seam to its fold."""
    out = []
    for seam in bench.done:
        if seam.kind != "band" or seam.b is None or seam.treatment != "equal":
            continue
        band = bench.copies[seam.b.parts[0].copy]
        x0, y0, x1, y1 = band.outline.bbox
        deep = min(x1 - x0, y1 - y0) / (2 if band.piece.fold_lines else 1)
        for part in seam.a.parts:
            if part.copy != copy:
                continue
            points = [complex(z) for z in bench.part_path(part).flatten(0.3)]
            own = bench.copies[copy].sign * (-1 if part.backwards else 1)
            upper = _upright_ends(offset_line(points, -own * deep))
            row = offset_line(points, -own * 2.5)
            ring = [*points, *reversed(upper)]
            area = shapely.Polygon([(z.real, z.imag) for z in (at.apply(q) for q in ring)]).buffer(0)
            out.append((area, [(Path.polyline([at.apply(z) for z in row]), look.STITCH, "stitch")]))
    return out


def _upright_ends(upper: list[complex]) -> list[complex]:
    """The band's far edge without the loops that an offset has at bends."""
    line = shapely.LineString([(z.real, z.imag) for z in upper]).simplify(0.3)
    return [complex(x, y) for x, y in line.coords]


# ---------------------------------------------------------------- bindings and ties


def strip(points: Sequence[complex], wide: float) -> shapely.Geometry:
    """A flat strip along a line."""
    return shapely.LineString([(z.real, z.imag) for z in points]).buffer(
        wide / 2, cap_style="flat", join_style="round"
    )


def bindings(
    bench: Bench, copy: str, at: Placement, area: shapely.Geometry
) -> tuple[list[shapely.Geometry], list[shapely.Geometry]]:
    """The bindings on a ply's edges, and the ties that they run on as: those behind the ply, those before it."""
    on, ties = [], []
    for seam in bench.done:
        if seam.kind != "bind":
            continue
        strips = [c.piece.binding for c in bench.copies.values() if c.piece.binding is not None]
        for part in seam.a.parts:
            if part.copy != copy or not strips:
                continue
            of = next((b for b in strips if part.edge.startswith(b.run.split(".")[-1])), strips[0])
            if of is None:
                continue
            path = bench.part_path(part).placed(at)
            points = [complex(z) for z in path.flatten(0.3)]
            on.append(strip(points, 2 * of.finished).intersection(area))
            ends = sorted(((path.start, of.before), (path.end, of.after)), key=lambda e: e[0].imag)
            (neck, up), (low, down) = ends
            if up > 1:
                ties += _neck_tie(neck, up, of.finished)
            if down > 1:
                ties.append(strip(_hanging(low, down, math.copysign(1, low.real)), of.finished))
    return on, ties


def straps(bench: Bench, copy: str, at: Placement, attached: Sequence[Attached]) -> list[shapely.Geometry]:
    """Straps and ties whose ends are sewn on: from place to place as a loop over the ply's edge, or hanging from one."""
    out = []
    ply = bench.copies[copy]
    for one in (a for a in attached if a.to == ply.piece.name):
        strap = next((c for c in bench.copies.values() if c.piece.name == one.strap), None)
        spots = [
            at.apply(h.edge.path.point(m.at))
            for h in ply.edges
            if h.base == one.edge
            for m in h.edge.marks
            if m.name == one.at
        ]
        if strap is None or not spots:
            continue
        x0, y0, x1, y1 = strap.outline.bbox
        long, wide = max(x1 - x0, y1 - y0), min(x1 - x0, y1 - y0) / (2 if strap.piece.fold_lines else 1)
        if one.ends > 1 and len(spots) == 2:
            left, right = sorted(spots, key=lambda z: z.real)
            rise = -1j * math.sqrt(max(long**2 - abs(right - left) ** 2, 0.0)) / 2
            curve = Path(((left, left + rise * 1.2, right + rise * 1.2, right),))
            out.append(strip([complex(z) for z in curve.flatten(0.3)], wide))
        else:
            middle = sum(spots) / len(spots) if len(spots) > 1 else 0j
            for z in spots:
                side = math.copysign(1.0, (z - middle).real)
                out.append(strip(_hanging(z, long, side), wide))
    return out


def _neck_tie(start: complex, long: float, wide: float) -> list[shapely.Geometry]:
    """One half of a loop round the neck, tied behind it: to the knot, and its end hanging from there."""
    out = math.copysign(1.0, start.real)
    knot = complex(0.0, start.imag - long * 0.4)
    loop = Path(
        ((start, start - 0.22j * long + out * 0.06 * long, knot + out * 0.2 * long - 0.02j * long, knot),)
    )
    tail = max(long - loop.length, 60.0) * 0.6
    end = knot + complex(-out * tail * 0.35, tail * 0.9)
    hang = Path(((knot, knot - out * tail * 0.3 + 0.1j * tail, end - 0.3j * tail, end),))
    return [strip([complex(z) for z in p.flatten(0.3)], wide) for p in (loop, hang)]


def _hanging(start: complex, long: float, out: float) -> list[complex]:
    """A tie hanging beside the ply in a soft wave, as long as it is."""
    wave = long * 0.07
    a = start + complex(out * wave * 1.4, long * 0.45)
    b = start + complex(out * wave * 1.1, long * 0.93)
    first = Path(((start, start + out * wave * 2.2 + 0.02j * long, a - 0.22j * long + out * wave * 0.5, a),))
    second = Path(((a, a + 0.2j * long - out * wave * 0.5, b - 0.2j * long - out * wave * 0.9, b),))
    return [complex(z) for z in (*first.flatten(0.3), *second.flatten(0.3)[1:])]


def bow(
    end: complex, out: float, widths: Sequence[tuple[float, float]]
) -> list[tuple[shapely.Geometry, Lines]]:
    """Two ties, (length, width) each, tied in a bow beside a band's end: two tails, two loops, the knot."""
    layers: list[tuple[shapely.Geometry, Lines]] = []
    long = min(w[0] for w in widths)
    wide = min(w[1] for w in widths)
    knot = end + complex(out * wide * 0.2, 0)
    for n, turn in enumerate((-0.16, 0.2)):
        tail = long * (0.4 - 0.06 * n)
        way = 1j * cmath.rect(1, -out * turn)
        foot = knot + way * tail
        line = Path(((knot, knot + way * tail * 0.4 + out * 4, foot - way * tail * 0.3 - out * 6, foot),))
        layers.append((strip([complex(z) for z in line.flatten(0.3)], wide), []))
    for turn in (math.radians(158), math.radians(24)):
        reach = long * 0.2
        far = knot + cmath.rect(reach, turn)
        side = cmath.rect(wide * 0.72, turn + math.pi / 2)
        pull = cmath.rect(reach * 0.35, turn)
        ring = [
            *Path(((knot, knot + pull + side, far - pull * 0.4 + side * 1.2, far),)).flatten(0.3),
            *Path(((far, far - pull * 0.4 - side * 1.2, knot + pull - side, knot),)).flatten(0.3)[1:],
        ]
        crease = Path.line(knot + cmath.rect(wide * 0.3, turn), knot + cmath.rect(reach * 0.5, turn + 0.12))
        layers.append((_ring(ring), [(crease, look.LEADER, "fold")]))
    layers.append((shapely.Point(knot.real, knot.imag).buffer(wide * 0.34), []))
    return layers


def _ring(points: Sequence[complex]) -> shapely.Geometry:
    array = np.asarray(points)
    return shapely.Polygon(np.column_stack((array.real, array.imag))).buffer(0)
