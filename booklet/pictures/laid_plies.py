"""Where the plies of a finished garment lie in a view: front over back, a yoke folded over the shoulder, legs apart."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely

from booklet.model import Copy, Part, Seam
from booklet.paths import Placement
from booklet.pictures.bench import Bench, on_grain
from booklet.pictures.canvas import polygon
from booklet.pictures.plies import placed_area

APART = 0.055  # radians: how far two legs stand apart
FOLDED = 6.0  # mm: two edges of one seam that lie so far from each other are joined by cloth folded over
SPECK = 60.0  # mm2 of a ply that would be seen by themselves, too little to be told for cloth
THIN = 7.0  # mm: how wide what is seen of a ply behind must be somewhere
PAST = 60.0  # mm that a fold line is followed past its ends


def round_the_body(
    bench: Bench, front: Sequence[Copy], back: Sequence[Copy], seams: Sequence[Seam]
) -> dict[str, Placement]:
    """The front over the back, each ply laid on one that is there by the seams between them."""
    at: dict[str, Placement] = {}
    if back:
        at[back[0].id] = on_grain(back[0]).then(Placement.mirror(0j, 1j))
        rest = [*front, *back[1:]]
    else:
        at[front[0].id] = on_grain(front[0])
        rest = list(front[1:])
    for copy in [*rest, *rest]:
        if copy.id in at:
            continue
        want_wrong = copy in back
        same = {c.id for c in (back if want_wrong else front)}
        for known in sorted(at, key=lambda k: k not in same):  # beside its own layer first
            laid = bench.lay(copy.id, known, at[known], seams, face_to_face=at[known].mirrored != want_wrong)
            if laid is not None:
                at[copy.id] = laid
                break
    return at


def twins(front: Sequence[Copy]) -> bool:
    """Whether there are the left and the right ply of one piece: two legs, where they are joined to each other."""
    return len(front) == 2 and front[0].piece.name == front[1].piece.name and front[0].side != front[1].side


def legs_side_by_side(
    bench: Bench, front: Sequence[Copy], back: Sequence[Copy], seams: Sequence[Seam]
) -> dict[str, Placement]:
    """Both legs a little apart, mirror images about the centre seam at x = 0, the backs behind the fronts."""
    at: dict[str, Placement] = {}
    for pair, wrong in ((back, True), (front, False)):
        if twins(pair):
            at |= _pair_about_axis(bench, pair, seams, wrong)
    return at


def _pair_about_axis(
    bench: Bench, pair: Sequence[Copy], seams: Sequence[Seam], wrong: bool
) -> dict[str, Placement]:
    first, second = pair
    meets = bench.between(first.id, second.id, seams)
    if not meets:
        return {}
    upright = on_grain(first).then(Placement.mirror(0j, 1j)) if wrong else on_grain(first)
    top = min((upright.apply(z) for z, _ in meets), key=lambda z: z.imag)  # the seam's straight upper part
    moved = upright.then(Placement.move(-complex(top.real)))
    x0, _, x1, _ = first.outline.placed(moved).bbox
    outward = APART if x0 + x1 < 0 else -APART
    fork = max(moved.apply(z).imag for z, _ in meets)
    moved = moved.then(Placement.rotation(outward, 1j * fork))  # so the seam's upper part stays closed
    to_first = first.placing.inverse.then(second.placing).inverse  # the twin's frame -> the first's
    return {first.id: moved, second.id: to_first.then(moved).then(Placement.mirror(0j, 1j))}


def fork_of(bench: Bench, pair: Sequence[str], seams: Sequence[Seam], at: Mapping[str, Placement]) -> float:
    """How far down the centre seam of two legs ends, in the view."""
    return max((at[pair[0]].apply(z).imag for z, _ in bench.between(pair[0], pair[1], seams)), default=0.0)


def own_half(area: shapely.Geometry, fork: float) -> shapely.Geometry:
    """A leg without what lies past the centre seam at x = 0: there it turns in between the legs, which stand apart below
    the `fork`."""
    x0, y0, x1, y1 = area.bounds
    out = -1.0 if area.centroid.x < 0 else 1.0
    far, low = out * (max(abs(x0), abs(x1)) + 1), y1 + 1
    ring = [(0, y0 - 1), (0, fork), (out * (low - fork) * math.tan(APART), low), (far, low), (far, y0 - 1)]
    return area.intersection(shapely.Polygon(ring))


# ---------------------------------------------------------------- folded over


@dataclass(frozen=True)
class FoldOver:
    """The end of one ply, sewn to a ply of the other layer and folded over to it: a yoke at the shoulder.

    All in the view. `line`: where it folds, neck first or armhole first; `edge`: the end's seam unfolded; `seam`: where
    the other ply has it; `beyond`: the ground of the end while it is unfolded.
    """

    copy: str
    over: str
    line: tuple[complex, complex]
    edge: tuple[complex, ...]
    seam: tuple[complex, ...]
    beyond: shapely.Geometry

    @property
    def turned(self) -> Placement:
        return Placement.mirror(self.line[0], self.line[1] - self.line[0])

    def strip(self, area: shapely.Geometry) -> shapely.Geometry:
        """What lies on the other side once it is folded over, closed up to the seam there."""
        flap = placed_area(area.intersection(self.beyond), self.turned)
        ring = [*(self.turned.apply(z) for z in self.edge), *reversed(self.seam)]
        closing = shapely.Polygon([(z.real, z.imag) for z in ring]).buffer(0)
        return shapely.union_all([flap, closing]).buffer(0.8).buffer(-0.8)


def folds_over(
    bench: Bench, seams: Sequence[Seam], at: Mapping[str, Placement], layer: Sequence[str]
) -> list[FoldOver]:
    """Every seam between a ply of `layer` and one that is not whose two edges lie apart: the ply's end is folded over."""
    out = []
    for seam in seams:
        if seam.b is None:
            continue
        for one, two in ((seam.a, seam.b), (seam.b, seam.a)):
            if len(one.parts) != 1 or len(two.parts) != 1:
                continue
            mine, other = one.parts[0], two.parts[0]
            if mine.copy not in at or other.copy not in at or mine.copy not in layer or other.copy in layer:
                continue
            if polygon(bench.stitch_line(mine.copy)).area > polygon(bench.stitch_line(other.copy)).area:
                continue
            edge, there = _points(bench, mine, at), _points(bench, other, at)
            if abs(edge[0] - there[0]) > abs(edge[0] - there[-1]):
                there = there[::-1]
            gap = sum(abs(a - b) for a, b in zip(edge, there, strict=True)) / len(edge)
            side_seam = abs((edge[-1] - edge[0]).imag) > abs((edge[-1] - edge[0]).real)
            if gap < FOLDED or side_seam:
                continue
            line = ((edge[0] + there[0]) / 2, (edge[-1] + there[-1]) / 2)
            out.append(FoldOver(mine.copy, other.copy, line, edge, there, _beyond(line, edge)))
    return out


def gaps_closed(
    bench: Bench, seams: Sequence[Seam], at: Mapping[str, Placement], layers: Sequence[Sequence[str]]
) -> list[tuple[str, shapely.Geometry]]:
    """Seams within a layer whose edges do not meet all along, as each ply is laid whole: a ply and what is missing of it."""
    out = []
    for seam in seams:
        if seam.b is None or len(seam.a.parts) != 1 or len(seam.b.parts) != 1:
            continue
        one, two = seam.a.parts[0], seam.b.parts[0]
        if one.copy == two.copy or not any(one.copy in row and two.copy in row for row in layers):
            continue
        a, b = _points(bench, one, at), _points(bench, two, at)
        if abs(a[0] - b[0]) > abs(a[0] - b[-1]):
            b = b[::-1]
        if max(abs(p - q) for p, q in zip(a, b, strict=True)) < 20.0:
            ring = [*a, *reversed(b)]
            out.append((two.copy, shapely.Polygon([(z.real, z.imag) for z in ring]).buffer(0.4)))
    return out


def _points(bench: Bench, part: Part, at: Mapping[str, Placement]) -> tuple[complex, ...]:
    path = bench.part_path(part).placed(at[part.copy])
    return tuple(path.point(path.length * k / 12) for k in range(13))


def _beyond(line: tuple[complex, complex], edge: Sequence[complex]) -> shapely.Geometry:
    a, b = line
    way = (b - a) / abs(b - a)
    a, b = a - way * PAST, b + way * PAST
    off = max((abs(z - line[0]) for z in edge), default=0.0) + PAST
    middle = edge[len(edge) // 2]
    out = way * 1j if ((middle - a) * way.conjugate()).imag > 0 else way * -1j
    return shapely.Polygon([(z.real, z.imag) for z in (a, b, b + out * off, a + out * off)])


def edge_in_view(
    bench: Bench, part: Part, at: Mapping[str, Placement], folds: Sequence[FoldOver], shown: Sequence[str]
) -> list[complex]:
    """The points of a part of an edge that can be seen in a view, in its order: those folded over lie where they fold to."""
    if part.copy not in at:
        return []
    path = bench.part_path(part).placed(at[part.copy])
    count = max(2, int(path.length / 4))
    points = [path.point(path.length * k / count) for k in range(count + 1)]
    mine = [f for f in folds if f.copy == part.copy]
    if not mine:
        return points if part.copy in shown else []
    out = []
    for z in points:
        fold = next((f for f in mine if f.beyond.covers(shapely.Point(z.real, z.imag))), None)
        if fold is None and part.copy in shown:
            out.append(z)
        elif fold is not None and fold.over in shown:
            out.append(fold.turned.apply(z))
    return out


def layer_area(
    bench: Bench, copy: str, at: Placement, folds: Sequence[FoldOver]
) -> tuple[shapely.Geometry, shapely.Geometry]:
    """A ply as it lies in the view without what is folded away; and the whole of it unfolded."""
    whole = polygon(bench.stitch_line(copy).placed(at))
    kept = whole
    for fold in folds:
        if fold.copy == copy:
            kept = kept.difference(fold.beyond)
    return kept, whole


def offset_line(points: Sequence[complex], by: complex | float) -> list[complex]:
    """Points `by` mm to the right of a line of points as it is walked (y down)."""
    pts = np.asarray(points)
    way = np.gradient(pts)
    way = way / np.maximum(np.abs(way), 1e-9)
    return [complex(z) for z in pts + way * 1j * by]


def without_specks(areas: Sequence[shapely.Geometry], behind: Sequence[bool]) -> list[shapely.Geometry]:
    """Plies, undermost first, without what would look out from below the others as a speck, or, of those behind, a line."""
    cover: shapely.Geometry = shapely.Polygon()
    out = []
    for area, thin in reversed(list(zip(areas, behind, strict=True))):
        seen = area.difference(cover)
        parts = [g for g in getattr(seen, "geoms", [seen]) if g.geom_type == "Polygon"]
        specks = [g.buffer(0.05) for g in parts if g.area < SPECK or (thin and g.buffer(-THIN / 2).is_empty)]
        kept = area.difference(shapely.union_all(specks)) if specks else area
        out.append(kept)
        cover = cover.union(kept)
    return out[::-1]
