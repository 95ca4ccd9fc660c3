"""What must hold of a style's cut lines for any body and options, worked out from net edges and shapely alone."""

from __future__ import annotations

import cmath
import math
from collections.abc import Iterator

import shapely

from booklet.model import Copy, CutPiece, Half, NotchStroke, Seam
from booklet.paths import Placement
from helpers.drafts import Drafted
from helpers.rings import line, point, polygon, string

KEPT = 0.05  # mm: how well an edge keeps its allowance along its run (DESIGN 5)
LONGEST_NOTCH = 6.0  # mm, or half the allowance (ANSWERS)
INWARDS = 3.0


def cut_faults(made: Drafted) -> list[str]:
    out = list(made.errors)
    for cut in made.cut:
        key = cut.piece.key
        out += [f"{key}: {f}" for f in ring_faults(cut)]
        out += [f"{key}: {f}" for f in allowance_faults(cut)]
        out += [f"{key}: {f}" for f in hem_end_faults(cut, turned_twice(made))]
        out += [f"{key}: {f}" for f in notch_faults(cut)]
        out += [f"{key}: {f}" for f in paper_faults(cut)]
    out += seam_end_faults(made)
    return out + list(made.errors)


def ring_faults(cut: CutPiece) -> Iterator[str]:
    ring, net = polygon(cut.cut), polygon(cut.stitch)
    if not ring.is_valid or not ring.exterior.is_simple:
        yield f"the cut line is not simple: {shapely.is_valid_reason(ring)}"
        return
    if not ring.buffer(1e-3).covers(net):
        yield "the cut line runs inside the stitch line"
    most = max(h.edge.allow for h in cut.net)
    if not net.buffer(2.5 * most + 0.1, quad_segs=32).covers(ring):
        yield "a corner reaches beyond 2.5 times the widest allowance"


def allowance_faults(cut: CutPiece) -> Iterator[str]:
    """Along its own run, corners left out, each edge has its own allowance."""
    ring = line(cut.cut)
    most = max(h.edge.allow for h in cut.net)
    checked = 0
    for half in cut.net:
        path, allow = half.edge.path, half.edge.allow
        shy = [(0.0, 2.6 * most), (path.length - 2.6 * most, path.length)]
        shy += [(up.start - 2.6 * most, up.end + 2.6 * most) for up in half.edge.take_ups]
        count = max(3, round(path.length / 25))
        for k in range(count + 1):
            s = path.length * k / count
            if any(a - 1e-6 <= s <= b + 1e-6 for a, b in shy):
                continue
            checked += 1
            off = float(ring.distance(point(path.point(s) + path.tangent(s) * -1j * allow)))
            if off > KEPT:
                yield f"{half.name} strays {off:.3f} mm from its {allow:.1f} mm at {s:.0f} of {path.length:.0f} mm"
    if not checked:
        yield "no place was found to check its allowances"


def offset_line(half: Half, at_start: bool, sign: int, reach: float) -> list[complex]:
    """A neighbour's cut line near a corner, from its net edge: points every 1.5 mm, the corner's first."""
    path, out = half.edge.path, []
    s = 0.0
    while s <= min(reach, path.length):
        at = s if at_start else path.length - s
        out.append(path.point(at) + path.tangent(at) * -1j * half.edge.allow * sign)
        s += 1.5
    return out


def folded_end_faults(
    cut: CutPiece, owner: Half, other: Half, at_start: bool, what: str, over: Placement | None = None,
    trail: list[complex] | None = None, twice: bool = False,
) -> Iterator[str]:  # fmt: skip
    """The owner's allowance, folded back along its stitch line, ends on the other edge's cut line.

    `at_start`: the corner is the owner's start. `trail` is the crossing cut line in this frame where it is not the
    piece's own; `over` how it is brought beyond the stitch line, by default folded along the owner's tangent. `twice`: it
    is turned a second time in its middle, so that its outer half ends on the inner one's end.
    """
    path = owner.edge.path
    corner = path.start if at_start else path.end
    way = path.start_tangent if at_start else path.end_tangent
    ring = line(cut.cut)
    points = trail if trail is not None else offset_line(other, not at_start, 1, 3.5 * owner.edge.allow + 10)
    fold = over or Placement.mirror(corner, way)
    checked = 0
    for z in points:
        laid = fold.apply(z)
        depth = ((laid - corner) * (way * -1j).conjugate()).real  # beyond the owner's stitch line
        if twice and depth > owner.edge.allow / 2 - 0.5:
            continue  # that far in, the side has no share in the hem's ends
        again = Placement.mirror(corner - 1j * way * owner.edge.allow / 2, way).apply(laid)
        if 0.5 < depth < owner.edge.allow - 0.5 and abs(laid - corner) < 2.4 * owner.edge.allow:
            checked += 1
            ends = (
                [laid, again] if twice else [laid]
            )  # where it comes to lie, and where the second turn brings it
            off = max(float(ring.distance(point(end))) for end in ends)
            if off > (
                4 * KEPT if twice else KEPT
            ):  # a curved hem's second turn is not quite its mirror image
                yield f"{what}: the end of {owner.name} lies {off:.2f} mm off at a depth of {depth:.1f} mm"
                return
    if not checked:
        yield f"{what}: nothing to check at the end of {owner.name}"


def straight_on(half: Half, other: Half, at_start: bool) -> bool:
    """Whether two edges run on into each other: there the wider allowance ends in a step."""
    a = half.edge.path.start_tangent if at_start else half.edge.path.end_tangent
    b = other.edge.path.end_tangent if at_start else other.edge.path.start_tangent
    return abs(cmath.phase(a / b)) < math.radians(12)


def turned_twice(made: Drafted) -> set[tuple[str, str]]:
    """(piece, edge) of every hem that is turned twice."""
    hems = [s for s in made.seams.seams if s.kind == "hem" and s.neaten == "double"]
    return {(made.by_id[p.copy].piece.key, p.edge) for s in hems for p in s.a.parts}


def hem_end_faults(cut: CutPiece, twice: set[tuple[str, str]]) -> Iterator[str]:
    """The ends of a hem mirror the sides about the fold line, and the fold's ends are snipped."""
    for n, half in enumerate(cut.net):
        if not half.edge.hem_fold:
            continue
        for at_start in (True, False):
            other = cut.net[n - 1] if at_start else cut.net[(n + 1) % len(cut.net)]
            if other.edge.hem_fold or other.edge.allow < 0.05 or straight_on(half, other, at_start):
                continue
            again = (cut.piece.key, half.name) in twice
            yield from folded_end_faults(cut, half, other, at_start, "hem", twice=again)
            corner = half.edge.path.start if at_start else half.edge.path.end
            if not any(
                s.mark.kind == "snip" and s.edge == half.name and abs(z - corner) < 2.5 * other.edge.allow
                for s in cut.notches
                for z in s.strokes[0]
            ):
                yield f"no snip at the {'start' if at_start else 'end'} of the fold of {half.name}"


def paper_faults(cut: CutPiece) -> Iterator[str]:
    if cut.extent == "whole":
        if cut.paper_cut != cut.cut:
            yield "printed whole, but the paper shows another line"
        return
    fold = cut.piece.edge(cut.piece.fold or "")
    assert fold is not None
    half = polygon(cut.paper_cut)
    over = Placement.mirror(fold.path.start, fold.path.end - fold.path.start)
    # A hair of growth, so that the two halves touch along the fold.
    whole = shapely.union_all([half.buffer(1e-4), polygon(cut.paper_cut.placed(over)).buffer(1e-4)])
    if whole.symmetric_difference(polygon(cut.cut)).area > 1.0:
        yield "the paper half and its mirror image are not the whole"
    way = fold.path.end - fold.path.start
    if (
        half.exterior.intersection(string((fold.path.start - way, fold.path.end + way)).buffer(1e-6)).length
        < fold.length
    ):
        yield "the paper half does not lie along its fold for the fold's whole length"
    for stroke in cut.paper_notches:
        if any(((z - fold.path.start) * way.conjugate()).imag < -1e-3 for s in stroke.strokes for z in s):
            yield f"the paper half carries the other half's mark {stroke.mark.name}"


COUNT = {"single": 1, "double": 2, "triple": 3, "snip": 1, "dot": 2}


def notch_faults(cut: CutPiece) -> Iterator[str]:
    edges = {h.name: h for h in cut.net}
    ring = line(cut.cut)
    for stroke in cut.notches:
        half = edges[stroke.edge]
        if len(stroke.strokes) != COUNT[stroke.mark.kind]:
            yield f"{stroke.mark.name} is {stroke.mark.kind} and has {len(stroke.strokes)} strokes"
        if stroke.mark.kind == "dot" or stroke.mark.name == "hem fold":
            continue
        yield from _stroke_faults(stroke, half, ring)
    for half in cut.net:
        for mark in half.edge.marks:
            if not any(s.mark == mark and s.edge == half.name for s in cut.notches):
                yield f"{half.name} has no stroke for its mark {mark.name}"
        for up in half.edge.take_ups:
            for leg in (up.start, up.end):
                if not any(
                    s.edge == half.name and s.mark.name == up.name and s.mark.at == leg for s in cut.notches
                ):
                    yield f"no snip at the leg of {up.name} at {leg:.0f} mm"
    for fold in (*cut.piece.fold_lines, *cut.piece.lines_across):
        for z in (fold.path.start, fold.path.end):
            at_edge = min(float(line(h.edge.path).distance(point(z))) for h in cut.net)
            at_corner = min(abs(h.edge.path.start - z) for h in cut.net)
            near = min(
                (abs(h.edge.path.point(m.at) - z) for h in cut.net for m in h.edge.marks), default=math.inf
            )
            snips = [s for s in cut.notches if s.mark.name == fold.name]
            found = any(string(s.strokes[0]).distance(point(z)) < 60 for s in snips)
            if at_edge < 0.5 and at_corner > 1.0 and near > 0.5 and not found:
                yield f"no snip at an end of {fold.name}"


def _stroke_faults(stroke: NotchStroke, half: Half, ring: shapely.LineString) -> Iterator[str]:
    name = stroke.mark.name
    path, allow = half.edge.path, half.edge.allow
    long = min(LONGEST_NOTCH, allow / 2) if stroke.cut else INWARDS
    if stroke.cut != (allow > 0.05):
        yield f"{name}: {'cut' if stroke.cut else 'not cut'} on an edge with {allow:.1f} mm allowance"
    feet = []
    for outer, inner in stroke.strokes:
        if abs(abs(outer - inner) - long) > 1e-6:
            yield f"{name} is {abs(outer - inner):.2f} mm long, not {long:.2f}"
        s = path.nearest(inner)
        feet.append(s)
        square = abs(((outer - inner) / abs(outer - inner) * path.tangent(s).conjugate()).real)
        at_leg = any(abs(s - z) < 0.5 for up in half.edge.take_ups for z in (up.start, up.end))
        if square > math.sin(math.radians(1.0)) and not at_leg:
            yield f"{name} is {math.degrees(math.asin(square)):.1f} degrees off square"
        if stroke.cut:
            if ring.distance(point(outer)) > KEPT:
                yield f"{name} begins {ring.distance(point(outer)):.2f} mm off the cut line"
            if not at_leg and abs(abs(path.point(s) - inner) - (allow - long)) > KEPT:
                yield f"{name} does not end within the allowance"
        elif abs(path.point(path.nearest(outer)) - outer) > 1e-3:
            yield f"{name} does not begin on the stitch line"
    if len(feet) > 1 and stroke.mark.kind != "snip":
        apart = [b - a for a, b in zip(feet, feet[1:], strict=False)]
        if any(abs(abs(a) - 6.0) > 0.3 for a in apart):
            yield f"{name}: strokes {apart} mm apart"
    if abs(sum(feet) / len(feet) - stroke.mark.at) > 0.3:
        yield f"{name} stands at {sum(feet) / len(feet):.1f} mm, its mark at {stroke.mark.at:.1f}"


# ------------------------------------------------------------------ the ends of allowances at crossing seams


def first_seams(made: Drafted) -> dict[tuple[str, str], tuple[int, Seam]]:
    """(copy, edge) -> the first seam that joins it to something."""
    out: dict[tuple[str, str], tuple[int, Seam]] = {}
    for order, seam in enumerate(made.seams.seams):
        if seam.kind not in ("join", "face", "band", "close", "catch"):
            continue
        for part in (*seam.a.parts, *(seam.b.parts if seam.b else ())):
            out.setdefault((part.copy, part.edge), (order, seam))
    return out


def seam_end_faults(made: Drafted) -> Iterator[str]:
    """Pressed open, or towards this piece: each allowance ends on its own piece's crossing cut line, folded over.
    Pressed away: on the crossing cut line of the neighbour, laid edge to edge. The seam sewn first is the one shaped."""
    first = first_seams(made)
    cut_of = {c.piece.key: c for c in made.cut}
    checked = 0
    for copy in made.copies:
        cut = cut_of[copy.piece.key]
        if copy.host is not None or copy.placing != Placement.IDENTITY:
            continue
        for k, after in enumerate(copy.edges):
            before = copy.edges[k - 1]
            if before.edge.hem_fold or after.edge.hem_fold or min(before.edge.allow, after.edge.allow) < 0.05:
                continue
            if straight_on(after, before, True):
                continue
            late = (10**9, None)
            one, two = (first.get((copy.id, h.name), late) for h in (before, after))
            if one[0] == two[0]:
                continue
            owner, other, seam = (before, after, one[1]) if one[0] < two[0] else (after, before, two[1])
            if seam is None or seam.kind != "join" or seam.press == "none" or seam.b is None:
                continue
            here = "to a" if any((p.copy, p.edge) == (copy.id, owner.name) for p in seam.a.parts) else "to b"
            at_start = owner is after
            what = f"{seam.id} at {other.name}"
            checked += 1
            if seam.press in ("open", here):
                yield from folded_end_faults(cut, owner, other, at_start, what)
            else:
                laid = neighbours_line(made, copy, owner, at_start, seam, here)
                yield from folded_end_faults(cut, owner, other, at_start, what, Placement.IDENTITY, laid)
    if not checked and sum(s.kind == "join" for s in made.seams.seams) > 3:
        yield "no crossing seams were found to check"


def neighbours_line(
    made: Drafted, copy: Copy, owner: Half, at_start: bool, seam: Seam, here: str
) -> list[complex]:  # fmt: skip
    """The crossing cut line of the piece that the allowance is pressed on to, laid edge to edge at this corner."""
    mine, theirs = (seam.a, seam.b) if here == "to a" else (seam.b, seam.a)
    assert mine is not None
    assert theirs is not None
    n = next(i for i, p in enumerate(mine.parts) if (p.copy, p.edge) == (copy.id, owner.name))
    run_starts_here = at_start != mine.parts[n].backwards
    whole_chain = n == (0 if run_starts_here else len(mine.parts) - 1)
    part = theirs.parts[
        (0 if run_starts_here else -1) if whole_chain and len(mine.parts) != len(theirs.parts) else n
    ]
    other = made.by_id[part.copy]
    ring = other.edges
    j = next(i for i, h in enumerate(ring) if h.name == part.edge)
    # The run's start is the part's start, whichever way its path runs.
    corner_is_path_start = run_starts_here != part.backwards
    crossing = ring[j - 1] if corner_is_path_start else ring[(j + 1) % len(ring)]
    path = ring[j].edge.path
    z, t = (path.start, path.start_tangent) if corner_is_path_start else (path.end, -path.end_tangent)
    my = owner.edge.path
    corner, way = (my.start, my.start_tangent) if at_start else (my.end, -my.end_tangent)
    turn = way / t
    laid = Placement(turn / abs(turn), corner - turn / abs(turn) * z)
    return [
        laid.apply(p)
        for p in offset_line(crossing, not corner_is_path_start, other.sign, 3.5 * owner.edge.allow + 10)
    ]
