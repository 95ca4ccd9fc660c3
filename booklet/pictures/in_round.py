"""The body flat, front over back, with its sleeves hung at the armholes: how a garment in the round is drawn."""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

import numpy as np
import shapely

from booklet.drawing import look
from booklet.drawing.display import Fill
from booklet.model import Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, polygon
from booklet.pictures.plies import (
    placed_area,
)
from booklet.splines import smooth_curve

HANG = math.radians(17)  # a sleeve in the round hangs down by so much


def in_the_round(
    bench: Bench, seams: Sequence[Seam], wrong_side_out: bool
) -> tuple[dict[str, Placement], list[str]]:
    """Where the two largest whole plies lie, front over back, and the others that hang on them. Order: undermost first."""
    bodies = [
        c for c in bench.copies.values() if c.side == "whole" and c.host is None and c.piece.facing is None
    ]
    bodies = [
        c
        for c in bodies
        if any(
            c.id in {p.copy for s in seams for p in (*s.a.parts, *(s.b.parts if s.b else ()))} for _ in (0,)
        )
    ]
    bodies.sort(key=lambda c: -polygon(bench.cut_line(c.id)).area)
    if not bodies:
        return {}, []
    top = min(bodies[:2], key=lambda c: c.piece.number)
    start = Placement.mirror(0j, 1j) if wrong_side_out else Placement.IDENTITY
    at = {top.id: start}
    order = [top.id]
    for other in bodies[:2]:
        if other.id == top.id:
            continue
        laid = bench.lay(other.id, top.id, start, [s for s in seams if s.b is not None], face_to_face=True)
        if laid is not None:
            at[other.id] = laid
            order.insert(0, other.id)
    return at, order


def half_sleeves(
    bench: Bench, seams: Sequence[Seam], at: dict[str, Placement], top: str
) -> dict[str, tuple[shapely.Geometry, Placement]]:
    """Each paired piece sewn to the top ply, folded in half lengthwise and hung at its armhole by two points.

    The half drawn is the one sewn to the top ply; it is placed rigidly with its underarm on the body's and its crown
    towards the top end of the armhole.
    """
    out: dict[str, tuple[shapely.Geometry, Placement]] = {}
    for seam in seams:
        if seam.b is None or len({p.copy for p in (*seam.a.parts, *seam.b.parts)}) < 2:
            continue
        for single, chain in ((seam.a, seam.b), (seam.b, seam.a)):
            copy = single.parts[0].copy
            if len(single.parts) != 1 or bench.copies[copy].side == "whole" or copy in out:
                continue
            mine = [p for p in chain.parts if p.copy == top]
            if not mine or len(chain.parts) < 2:
                continue
            pairs = bench.between(top, copy, [seam])
            if len(pairs) < 4:
                continue
            edge = bench.part_path(mine[0]).placed(at[top])
            own = [b for _, b in pairs]
            body_pts = [at[top].apply(a) for a, _ in pairs]
            low = max(range(len(pairs)), key=lambda k: body_pts[k].imag)
            high = min(range(len(pairs)), key=lambda k: body_pts[k].imag)
            under, crown = own[low], own[high]
            half = _half_along(bench, copy, crown, under)
            mirrored = at[top].mirrored
            u = under.conjugate() if mirrored else under
            k = crown.conjugate() if mirrored else crown
            arm = cmath.phase((body_pts[high] - body_pts[low]) / (k - u))
            outwards = 1.0 if body_pts[low].real > edge.point(edge.length / 2).real else -1.0
            turn = cmath.rect(1, arm + HANG * outwards)
            placing = Placement(turn, body_pts[low] - turn * u, mirrored)
            out[copy] = (half, placing)
    return out


def sleeve_gap(
    bench: Bench, seams: Sequence[Seam], at: dict[str, Placement], top: str, copy: str, placing: Placement
) -> shapely.Geometry:
    """The cloth between the armhole and a rigid sleeve head: bounded by both curves and a soft line over the crown."""
    pairs: list[tuple[complex, complex]] = []
    for seam in seams:
        pairs = pairs or (
            bench.between(top, copy, [seam]) if len(bench.between(top, copy, [seam])) >= 4 else []
        )
    body = [at[top].apply(a) for a, _ in pairs]
    head = [placing.apply(b) for _, b in pairs]
    if not body:
        return shapely.Polygon()
    if body[0].imag > body[-1].imag:  # from the shoulder down
        body, head = body[::-1], head[::-1]
    out = 1.0 if head[0].real > body[0].real else -1.0
    if abs(head[0] - body[0]) > 1.0:
        over = smooth_curve([body[0], head[0]], complex(out, -0.15), complex(out, 0.55)).flatten(0.5)
    else:
        over = np.array([body[0], head[0]])
    ring = [*(complex(z) for z in over), *head[1:], *body[::-1]]
    return shapely.Polygon([(z.real, z.imag) for z in ring]).buffer(0)


def _half_along(bench: Bench, copy: str, crown: complex, under: complex) -> shapely.Geometry:
    """The part of a piece on the underarm's side of the upright line through its crown."""
    outline = polygon(bench.cut_line(copy))
    grain = bench.copies[copy].piece.grain
    way = grain[1] - grain[0]
    way /= abs(way)
    side = way * 1j
    if ((under - crown) * side.conjugate()).real < 0:
        side = -side
    far = 3000.0
    ring = [
        crown + way * far,
        crown + way * far + side * far,
        crown - way * far + side * far,
        crown - way * far,
    ]
    return outline.intersection(shapely.Polygon([(z.real, z.imag) for z in ring]))


def draw_round(
    frame: Frame,
    bench: Bench,
    seams: Sequence[Seam],
    at: dict[str, Placement],
    order: Sequence[str],
    sleeves: dict[str, tuple[shapely.Geometry, Placement]],
    wrong: bool,
) -> None:
    """Undermost ply first, the sleeves next, the top ply last."""
    fill: Fill = look.WRONG_SIDE if wrong else look.RIGHT_SIDE
    other: Fill = look.RIGHT_SIDE if wrong else look.WRONG_SIDE
    for n, copy in enumerate(order):
        top = n == len(order) - 1
        if top:
            draw_sleeves(frame, bench, seams, at, copy, sleeves, fill)
        frame.ply(bench.stitch_line(copy).placed(at[copy]), fill if top else other)
    frame.waves()


def draw_sleeves(
    frame: Frame,
    bench: Bench,
    seams: Sequence[Seam],
    at: dict[str, Placement],
    top: str,
    sleeves: dict[str, tuple[shapely.Geometry, Placement]],
    fill: Fill,
) -> None:
    """Each half sleeve with the cloth that joins it to the armhole; its gathers as short strokes from the armhole."""
    for copy, (half, placing) in sleeves.items():
        whole = placed_area(half, placing).union(sleeve_gap(bench, seams, at, top, copy, placing).buffer(0.3))
        frame.area(whole, fill)
        for seam in seams:
            if seam.treatment != "gathers":
                continue
            pairs = bench.between(top, copy, [seam])
            for a, b in pairs[1:-1]:
                z, h = at[top].apply(a), placing.apply(b)
                if abs(h - z) > 6.0:
                    frame.line(
                        Path.line(z, z + (h - z) / abs(h - z) * min(26.0, abs(h - z))), look.LEADER, "gathers"
                    )
