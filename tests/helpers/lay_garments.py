"""Two invented garments to lay, and what a lay looks like rebuilt from the drawn outlines by shapely alone."""

from __future__ import annotations

import numpy as np
import shapely

from booklet.cloth.engine import Lay
from booklet.cloth.pieces import LayPiece
from booklet.paths import Path

Ring = tuple[complex, ...]


def rect(long: float, wide: float) -> Ring:
    return (0j, complex(long, 0), complex(long, wide), complex(0, wide))


def turned(*segments: tuple[complex, ...]) -> Ring:
    """Segments drawn with the grain downwards, flattened, the grain turned on to +x."""
    points = [z for s in segments for z in Path((s,)).flatten(0.05)[:-1]]
    return tuple(complex(z.imag, z.real) for z in points)


def bodice(long: float, wide: float, neck: float, shoulder: float = 40) -> Ring:
    """Half a front or back: its centre line on y = 0, the hem at the right."""
    hem = complex(wide + 20, long)
    return turned(
        (neck * 1j, 45 + neck * 1j, 80 + neck * 0.6j, 85 + 0j),
        (85 + 0j, 200 + shoulder * 1j),
        (200 + shoulder * 1j, 170 + 120j, 180 + 220j, wide + 230j),
        (wide + 230j, hem),
        (hem, complex(0, long + 5)),
        (complex(0, long + 5), neck * 1j),
    )


def sleeve(long: float, half: float) -> Ring:
    return turned(
        (-half + 150j, -half * 0.5 + 140j, complex(-half * 0.5), 0j),
        (0j, complex(half * 0.45), half * 0.45 + 140j, half + 150j),
        (half + 150j, half * 0.8 + long * 1j),
        (half * 0.8 + long * 1j, -half * 0.8 + long * 1j),
        (-half * 0.8 + long * 1j, -half + 150j),
    )


def neck_facing(inner: float, outer: float) -> Ring:
    arc = np.exp(1j * np.linspace(0, 1.4, 10))
    return (*(outer * arc).tolist(), *(inner * arc[::-1]).tolist())


def on_fold(key: str, outline: Ring, count: int = 1, nap: bool = False) -> LayPiece:
    xs = [z.real for z in outline if abs(z.imag) < 1e-9]
    return LayPiece(key, outline, "whole", count, (complex(min(xs)), complex(max(xs))), nap=nap)


def blouse(nap: bool = False, pocket: bool = True) -> tuple[LayPiece, ...]:
    pieces = [
        LayPiece("front", bodice(710, 270, 90), "pair", 2, nap=nap),
        on_fold("back", bodice(700, 270, 25), nap=nap),
        on_fold("yoke", rect(160, 210), nap=nap),
        on_fold("collar", rect(90, 220), 2, nap=nap),
        LayPiece("sleeve", sleeve(420, 190), "pair", 2, nap=nap),
        LayPiece("cuff", rect(250, 120), "same", 4, nap=nap, turnable=True),
    ]
    if pocket:
        pieces.append(LayPiece("pocket", (0j, 150 + 0j, 130 + 130j, 10 + 110j), "single", 1, nap=nap))
    return tuple(pieces)


def dress() -> tuple[LayPiece, ...]:
    return (
        on_fold("front", bodice(990, 300, 90)),
        on_fold("back", bodice(980, 300, 25)),
        on_fold("front facing", neck_facing(90, 160)),
        on_fold("back facing", neck_facing(85, 150)),
        LayPiece("sleeve", sleeve(300, 190), "pair", 2),
    )


def polygon(outline: Ring) -> shapely.Polygon:
    return shapely.Polygon([(z.real, z.imag) for z in outline])


def whole(piece: LayPiece) -> shapely.Polygon:
    """The opened outline, made here by shapely's own affine reflection and a hair to close the fold."""
    if piece.fold_edge is None:
        return polygon(piece.outline)
    a, b = piece.fold_edge
    u = (b - a) / abs(b - a)
    t = u * u
    s = a - t * a.conjugate()
    far = shapely.affinity.affine_transform(
        polygon(piece.outline), [t.real, t.imag, t.imag, -t.real, s.real, s.imag]
    )
    both = shapely.union_all([polygon(piece.outline), far]).buffer(0.01).buffer(-0.01)
    assert both.geom_type == "Polygon"
    return both


def laid_out(plan: Lay, pieces: tuple[LayPiece, ...]) -> list[shapely.Polygon]:
    """Every placed outline on the cloth, from turn, shift and mirroring alone."""
    by_key = {p.key: p for p in pieces}
    out = []
    for placed in plan.placements:
        piece = by_key[placed.key]
        ring = polygon(piece.outline) if placed.on_fold else whole(piece)
        p = placed.placement
        s = -1.0 if p.mirrored else 1.0
        matrix = [p.turn.real, -s * p.turn.imag, p.turn.imag, s * p.turn.real, p.shift.real, p.shift.imag]
        out.append(shapely.affinity.affine_transform(ring, matrix))
    return out


def check_lay(
    plan: Lay, pieces: tuple[LayPiece, ...], gap: float, tolerance: float = 0.01, one_way: bool = False
) -> None:
    """Asserts all that makes a lay one that can be cut."""
    rings = laid_out(plan, pieces)
    by_key = {p.key: p for p in pieces}
    for placed, ring in zip(plan.placements, rings, strict=True):
        section = plan.sections[placed.section]
        x0, y0, x1, y1 = ring.bounds
        off = 0.0 if placed.on_fold else gap
        start = section.start + (gap if section.cross_fold else 0.0)
        low = section.low + (off if section.low in section.folds else 0.0)
        high = section.high - (off if section.high in section.folds else 0.0)
        assert x0 >= start - tolerance and x1 <= section.end + tolerance, placed
        assert y0 >= low - tolerance and y1 <= high + tolerance, placed
        if section.meeting is not None:
            assert y1 <= section.meeting + tolerance or y0 >= section.meeting - tolerance, (
                "over the meeting line"
            )
        piece = by_key[placed.key]
        p = placed.placement
        if placed.crossed:
            assert piece.may_cross and p.turn in (1j, -1j)
        else:
            assert p.turn in (1, -1), "the grain lies along the cloth"
        if piece.nap or one_way:
            assert p.direction(1 + 0j) == 1 and not section.cross_fold, "all tops to the same end"
        right_side_up = piece.mode in ("single", "same") and not piece.turnable
        if section.layers == 1:
            assert len(placed.copies) == 1 and not placed.spare
            assert not right_side_up or placed.mirrored == piece.over, "one face up only"
        elif not placed.on_fold:
            assert placed.spare == (len(placed.copies) == 1)
            assert len(placed.copies) == 1 or not right_side_up, "one of two plies lies face down"
        if placed.on_fold:
            assert piece.fold_edge is not None
            a, b = (p.apply(z) for z in piece.fold_edge)
            fold = min(section.folds, key=lambda y: abs(y - a.imag))
            assert abs(a.imag - fold) < 1e-9 and abs(b.imag - fold) < 1e-9, "the fold edge lies on the fold"
    for n, ring in enumerate(rings):
        for other in rings[:n]:
            assert ring.distance(other) >= gap - tolerance
    for piece in pieces:
        mine = [p for p in plan.placements if p.key == piece.key]
        assert sorted(c for p in mine for c in p.copies) == list(range(piece.count)), piece.key
        single = [p for p in mine if plan.sections[p.section].layers == 1]
        if piece.mode == "pair" and not piece.turnable and single:
            assert sum(p.mirrored for p in single) * 2 == len(single) == piece.count, (
                "as many mirrored as not"
            )
    reach = max((r.bounds[2] for r in rings), default=0.0)
    layers = 2 if plan.kind == "cross_fold" else 1
    assert abs(layers * reach - plan.length) <= tolerance, "the length is where the last piece ends"
    if plan.kind == "side_fold":
        folded, flat = plan.sections
        assert folded.folds == (folded.low,) == (0.0,) and flat.low == folded.high and not flat.folds
        assert abs(flat.high + folded.high - plan.width) < 1e-6
        assert (flat.start, flat.end) == (folded.start, folded.end)
        return
    for one, after in zip(plan.sections[:-1], plan.sections[1:], strict=True):
        assert after.start >= one.end + gap - tolerance
    assert plan.bound <= plan.length + 1e-6


def check_matched(plan: Lay, pieces: tuple[LayPiece, ...], along: float, across: float) -> None:
    """Asserts that the match points lie on the lines of the repeat."""
    by_key = {p.key: p for p in pieces}
    for placed in plan.placements:
        piece = by_key[placed.key]
        if piece.match is None:
            continue
        point = piece.match
        if piece.fold_edge is not None:
            point = complex(point.real, piece.fold_edge[0].imag)
        at = placed.placement.apply(point)
        for value, repeat in ((at.real, along), (at.imag, across)):
            if repeat:
                assert abs(value - round(value / repeat) * repeat) < 0.01, placed
