"""Everything that must hold of a style drafted for any body, worked out from its outlines alone."""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import groupby

import shapely

from booklet.model import Piece
from helpers.drafts import Drafted
from helpers.rings import corner, line, polygon, run_sewn, sewn, string, width_at

PARTNERS = 0.5  # mm: partner seams, after what is declared to be drawn up
INCH = 25.4


def faults_of(made: Drafted) -> list[str]:
    """What is wrong with the drafted style, in words; nothing where all holds."""
    out = list(made.errors)
    if out:
        return out
    for piece in made.draft.pieces.values():
        out += [f"{piece.key}: {fault}" for fault in outline_faults(piece)]
    out += seam_faults(made)
    out += ease_faults(made)
    _ = made.openings
    return out + list(made.errors)


def outline_faults(piece: Piece) -> Iterator[str]:
    for before, after in zip(piece.edges, piece.edges[1:] + piece.edges[:1], strict=True):
        gap = abs(before.path.end - after.path.start)
        if gap > 1e-6:
            yield f"{before.name} ends {gap:.4f} mm from where {after.name} begins"
        if before.length < 3:
            yield f"{before.name} is {before.length:.2f} mm long"
    ring = polygon(piece.outline)
    if not ring.is_valid:
        yield f"the outline is not simple: {shapely.is_valid_reason(ring)}"
        return
    # shapely counts a ring that is counter-clockwise with y up; seen with y down that is clockwise.
    if not ring.exterior.is_ccw:
        yield "the outline does not run clockwise as seen"
    if ring.area < 2000:
        yield f"the area is {ring.area:.0f} mm2"
    if piece.cuts:
        grain = string(piece.grain)
        low = ring.bounds[3] - ring.bounds[1] < 60  # a collar or its stand has no room for a longer one
        if grain.length < (15 if low else 30):
            yield f"the grain line is {grain.length:.0f} mm long"
        if not ring.contains(grain):
            yield "the grain line leaves the piece"
    if piece.fold is not None:
        fold = piece.edge(piece.fold)
        assert fold is not None
        if line(fold.path).hausdorff_distance(string((fold.path.start, fold.path.end))) > 0.01:
            yield "the fold edge is not straight"
        yield from _square_to_fold(piece)


def _square_to_fold(piece: Piece) -> Iterator[str]:
    """An edge leaves a fold within 1 degree of square, and a round one is 3 degrees off at most over its first 6 mm."""
    n = next(k for k, e in enumerate(piece.edges) if e.name == piece.fold)
    fold = piece.edges[n].path
    way = (fold.end - fold.start) / abs(fold.end - fold.start)
    for other, at_start in ((piece.edges[n - 1], False), (piece.edges[(n + 1) % len(piece.edges)], True)):
        path = other.path if at_start else other.path.reversed()
        for far, most in ((0.01, 1.0), (6.0, 3.0)):
            first = path.point(far) - path.start
            off = abs(math.degrees(math.asin((first / abs(first) * way.conjugate()).real)))
            if off > most:
                yield f"{other.name} meets the fold {off:.1f} degrees off square over {far} mm"


def seam_faults(made: Drafted) -> Iterator[str]:
    """Each pair of runs, measured anew: equal but for what is declared to be drawn up."""
    joined = 0
    for seam in made.seams.seams:
        if seam.b is None:
            continue
        joined += 1
        declared = sum(s.wanted or 0.0 for s in seam.sections)
        a, b = run_sewn(seam.a, made.by_id), run_sewn(seam.b, made.by_id)
        if abs(a - b - declared) > PARTNERS:
            yield f"{seam.id}: {a:.2f} to {b:.2f} mm with {declared:.2f} mm declared"
        for drawn, group in groupby(seam.sections, key=lambda s: s.wanted is not None):
            # What one stretch is drawn up by may shift within it: its sections are judged together.
            together = list(group)
            for some in [together] if drawn else [[s] for s in together]:
                off = sum(s.a_mm - (s.b_mm or 0.0) - (s.wanted or 0.0) for s in some)
                if abs(off) > PARTNERS:
                    yield f"{seam.id} from {some[0].start} to {some[-1].end}: {off:.2f} mm out"
        if abs(seam.a_mm - a) > 0.02 or abs((seam.b_mm or 0) - b) > 0.02:
            yield f"{seam.id}: the table says {seam.a_mm:.2f} and {seam.b_mm:.2f} mm, measured {a:.2f} and {b:.2f}"
    if not joined and not any(s.kind == "bind" for s in made.seams.seams):
        yield "no seam joins anything"


def ease_faults(made: Drafted) -> Iterator[str]:
    """Least eases from the outlines, and the stage's own figures compared with them."""
    told = {f.name: f for f in made.finished}
    body = {m.name: m.mm for m in made.measures}
    yield from made.errors
    measured = {"T-07": top_girths, "T-12": skirt_girths, "T-15": aline_girths}.get(
        str(made.style.data.get("style"))
    )
    rows = measured(made) if measured else {}
    for name, (garment, covers, least, exact) in rows.items():
        if garment - body.get(covers, 0.0) < least - 0.3:
            yield f"{name}: {garment:.1f} mm over {body.get(covers, 0.0):.1f} mm has less than {least:.1f} mm ease"
        if name not in told:
            yield f"{name} is not among the finished measures"
        elif exact and abs(told[name].garment_mm - garment) > 0.5:
            yield f"{name}: told {told[name].garment_mm:.1f} mm, measured {garment:.1f} mm"


Girths = dict[str, tuple[float, str, float, bool]]


def top_girths(made: Drafted) -> Girths:
    """name: (garment, body measure, least ease, whether both ways of measuring must agree)."""
    front, back, sleeve = (made.draft.pieces[k] for k in ("front", "back", "sleeve"))
    bust = hip = 0.0
    for piece in (front, back):
        # Just below the level itself, where the level line would run along the very end of the armhole.
        under, hem = corner(piece, "armhole", "side"), corner(piece, "side", "hem")
        bust += 2 * width_at(piece, under.imag + 0.05)
        hip += 2 * (hem.real - corner(piece, "hem", "centre").real)
    arm = abs(corner(sleeve, "head", "front_seam") - corner(sleeve, "head", "back_seam"))
    return {
        "bust": (bust, "bust_girth", 2 * INCH, True),
        "hip": (hip, "hip_girth", 1.5 * INCH, False),  # the level cuts off a curved hem's corner
        "upper_arm": (
            arm,
            "upper_arm_girth",
            2 * INCH,
            False,
        ),  # as spread, measured between the underarm points
    }


def skirt_girths(made: Drafted) -> Girths:
    pieces = made.draft.pieces
    back, left, right = (pieces[k] for k in ("back", "left_front", "right_front"))
    hip_depth = next(m.mm for m in made.measures if m.name == "hip_depth")
    hip = 2 * width_at(back, hip_depth) + width_at(left, hip_depth, 0.0) + width_at(right, hip_depth, x1=0.0)
    overlap = min(width_at(left, hip_depth, x1=0.0), width_at(right, hip_depth, 0.0)) * 2
    waist = 0.0
    for piece in (back, left, right):
        edge = piece.edge("waist")
        assert edge is not None
        if piece is back:
            waist += 2 * sewn(edge, 0.0, edge.length)
            continue
        centre = edge.mark("front_centre")
        assert centre is not None
        at_side = abs(edge.path.end - corner(piece, "waist", "side")) < 1e-6
        waist += sewn(edge, centre.at, edge.length) if at_side else sewn(edge, 0.0, centre.at)
    return {
        "waist": (waist, "waist_girth", 12.0, True),
        "hip": (hip, "hip_girth", 40.0, True),
        "wrap": (overlap, "", 180.0, True),
    }


def aline_girths(made: Drafted) -> Girths:
    front, back = (made.draft.pieces[k] for k in ("front", "back"))
    hip_depth = next(m.mm for m in made.measures if m.name == "hip_depth")
    waist = 0.0
    for piece in (front, back):
        edge = piece.edge("waist")
        assert edge is not None
        waist += 2 * sewn(edge, 0.0, edge.length)
    hip = 2 * (width_at(front, hip_depth) + width_at(back, hip_depth))
    return {"waist": (waist, "waist_girth", 12.0, True), "hip": (hip, "hip_girth", 40.0, True)}
