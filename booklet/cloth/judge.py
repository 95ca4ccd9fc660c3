"""An independent look over a lay: every ply rebuilt from its own drawn outline, with shapely alone.

Nothing of the search is used here, neither its grown and thinned outlines nor its no-fit polygons. Each ply is carried
by its placing's matrix from the cut piece's drawing to the cloth and must lie inside its stretch of the lay and over no
meeting line, keep the cutting gap, lie along the grain and the right way up, with its fold edge on the fold and its
match point on the repeat; and every ply of the cloth must lie there exactly once. What is found is a fault of ours, not
of the user's files, so it names no line.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
import shapely

from booklet.model import Copy, CutPiece, CutRule, LayPlan, LaySection, Placing
from booklet.paths import Path
from booklet.problems import Problem

NEAR = 0.05  # mm: as well as cut lines are drawn
ON_FOLD = 1e-6  # mm: a fold edge lies on the fold exactly
GRAIN = math.radians(0.01)
OWN_MIRROR = 0.1  # mm: an outline that differs by less from its mirror image is its own
MATCHED = 0.5  # mm: how far a match point may lie off a line of the repeat
FLAT = 0.02  # mm: chords of a curved outline lie within this


@dataclass(frozen=True)
class _Ply:
    """One placing with the cloth it needs, in the coordinates of the cloth; `whole` is its opened outline there.

    `fold` is the y of the fold that a half piece's edge should lie on.
    """

    placing: Placing
    copies: tuple[Copy, ...]
    cut: CutPiece
    section: LaySection
    fold: float
    whole: shapely.Polygon
    region: shapely.Polygon

    @property
    def called(self) -> str:
        return f"piece {self.cut.piece.number} {self.cut.piece.heading}"


def judge_plan(
    plan: LayPlan, copies: Sequence[Copy], cuts: Sequence[CutPiece], gap: float = 3.0
) -> tuple[Problem, ...]:
    """What is wrong with a plan, worst first; nothing where it can be cut as drawn. `gap` mm lies between cut lines."""
    found: list[Problem] = []
    by_id = {c.id: c for c in copies}
    by_key = {c.piece.key: c for c in cuts}
    sections = plan.sections or (_plain(plan),)
    found += _stretches(plan, sections)
    plies = []
    for placing in plan.placings:
        unknown = [name for name in placing.copies if name not in by_id]
        if unknown or not placing.copies or placing.piece not in by_key:
            told = " and ".join(unknown) if unknown else placing.piece
            found.append(_problem("copies", f"the lay places '{told}', which is not cut"))
        elif not 0 <= placing.section < len(sections):
            found.append(
                _problem("stretch", f"'{placing.piece}' lies on a stretch that the lay does not have")
            )
        else:
            mine = tuple(by_id[n] for n in placing.copies)
            plies.append(_ply(placing, mine, by_key[placing.piece], sections[placing.section]))
    found += _all_once(plan, copies)
    asked = _asked(plan, copies, by_key)
    sides = set(asked.values())
    up = "down" if "down" in sides and "up" not in sides else "up"  # shown where it lies in one layer
    for ply in plies:
        found += [
            *_matrix(ply),
            *_inside(ply, plan, gap),
            *_fold(ply),
            *_faces(ply, asked.get((ply.cut.piece.key, ply.copies[0].rule), "") not in ("", up)),
            *_grain(ply),
            *_matched(ply, plan),
        ]
    found += [*_gaps(plies, gap), *_nap(plies, plan), *_length(plan, plies, sections)]
    return tuple(found)


def _plain(plan: LayPlan) -> LaySection:
    """The one stretch of a lay that is flat, or folded once along its middle."""
    if plan.kind == "fold":
        return LaySection(0.0, plan.length_mm, 0.0, plan.usable_mm / 2, 2, (0.0,))
    return LaySection(0.0, plan.length_mm, 0.0, plan.usable_mm, 1)


def _stretches(plan: LayPlan, sections: Sequence[LaySection]) -> Iterator[Problem]:
    """Each stretch is as wide as the cloth gives, its folds lie at its edges, and one begins behind the other."""
    wanted = {
        "open": [1], "fold": [2], "two_folds": [2], "cross_fold": [2], "part_fold": [2, 1], "side_fold": [2, 1]
    }[plan.kind]  # fmt: skip
    if [s.layers for s in sections] != wanted:
        yield _problem("stretch", f"a lay of this kind has stretches of {wanted} layers")
        return
    if plan.kind == "side_fold":
        yield from _side_by_side(plan, *sections)
        return
    for section in sections:
        wide = section.high - section.low
        layers = 2 if section.folds else 1
        if abs(wide * layers - plan.usable_mm) > NEAR:
            yield _problem("stretch", f"a stretch of the lay is {wide:.1f} mm across, which the cloth is not")
        edges = (section.low, section.high)[: len(section.folds)]
        if any(abs(a - b) > ON_FOLD for a, b in zip(section.folds, edges, strict=True)):
            yield _problem("stretch", "a fold lies elsewhere than at the edge of the folded cloth")
        two = section.meeting is not None and section.low < section.meeting < section.high
        if (len(section.folds) == 2) != two or section.cross_fold != (plan.kind == "cross_fold"):
            yield _problem("stretch", "the folds of the lay are not those of its kind")
    for one, other in pairwise(sections):
        if other.start < one.end - NEAR:
            yield _problem("stretch", "one stretch of the lay begins before the other has ended")


def _side_by_side(plan: LayPlan, folded: LaySection, flat: LaySection) -> Iterator[Problem]:
    """One side folded in: both stretches as long as the lay, single cloth from the edge of what is folded in on."""
    if abs(2 * (folded.high - folded.low) + flat.high - flat.low - plan.usable_mm) > NEAR:
        yield _problem("stretch", "the folded and the single cloth are together not as wide as the cloth is")
    if flat.high - flat.low < NEAR or abs(flat.low - folded.high) > NEAR:
        yield _problem("stretch", "the single cloth does not begin where what is folded in ends")
    if (folded.start, folded.end) != (flat.start, flat.end):
        yield _problem("stretch", "the folded and the single cloth are not equally long")
    if folded.folds != (folded.low,) or flat.folds:
        yield _problem("stretch", "a fold lies elsewhere than at the edge of the folded cloth")
    if folded.meeting is not None or flat.meeting is not None or folded.cross_fold or flat.cross_fold:
        yield _problem("stretch", "the folds of the lay are not those of its kind")


def _problem(code: str, what: str) -> Problem:
    return Problem(f"lay-{code}", "error", None, what)


def _polygon(path: Path) -> shapely.Polygon:
    pts = path.flatten(FLAT)
    return shapely.Polygon(np.column_stack((pts.real, pts.imag)))


def _drawn(copy: Copy, cut: CutPiece) -> shapely.Polygon:
    """The ply's opened outline in the piece's drawing: cut line, stitch line, or so much beyond the stitch line."""
    if copy.rule.trim is None:
        return _polygon(cut.cut)
    net = _polygon(cut.stitch)
    return net.buffer(copy.rule.trim, join_style="mitre", mitre_limit=2.5) if copy.rule.trim else net


def _part(drawn: shapely.Polygon, cut: CutPiece, part: int) -> shapely.Polygon:
    """The first or second part of a piece cut in two, as far as the line and the allowance beyond it."""
    split = cut.piece.split
    if split is None:
        return shapely.Polygon()
    way = split.line[1] - split.line[0]
    off = 1j * way / abs(way) * split.allow
    off, far = (off, 1e4) if part == 1 else (-off, -1e4)
    along = way / abs(way) * 1e4
    low, high = split.line[0] - off, split.line[0] - off + 1j * way / abs(way) * far
    corners = [low - along, low + along, high + along, high - along]
    found = drawn.intersection(shapely.Polygon([(z.real, z.imag) for z in corners]))
    return found if found.geom_type == "Polygon" else max(found.geoms, key=lambda g: g.area)


def _ply(placing: Placing, copies: tuple[Copy, ...], cut: CutPiece, section: LaySection) -> _Ply:
    drawn = _drawn(copies[0], cut)
    if placing.part:
        drawn = _part(drawn, cut, placing.part)
    points = shapely.get_coordinates(drawn.exterior)
    laid = placing.placing.apply_all(points[:, 0] + 1j * points[:, 1])
    whole = shapely.Polygon(np.column_stack((laid.real, laid.imag)))
    region, fold = whole, 0.0
    if placing.on_fold and section.folds:  # the other half is the under layer's
        middle = (whole.bounds[1] + whole.bounds[3]) / 2
        fold = min(section.folds, key=lambda y: abs(y - middle))
        x0, y0, x1, y1 = whole.bounds
        far = fold > section.low + NEAR
        side = (x0 - 1, min(y0, fold) - 1, x1 + 1, fold) if far else (x0 - 1, fold, x1 + 1, max(y1, fold) + 1)
        half = whole.intersection(shapely.box(*side))
        parts = [g for g in getattr(half, "geoms", [half]) if g.geom_type == "Polygon" and not g.is_empty]
        region = max(parts, key=lambda g: g.area) if parts else shapely.Polygon()
    return _Ply(placing, copies, cut, section, fold, whole, region)


# ------------------------------------------------------------------ each ply there, once


def _all_once(plan: LayPlan, copies: Sequence[Copy]) -> Iterator[Problem]:
    wanted = [c.id for c in copies if c.cloth == plan.cloth]
    placed = [name for p in plan.placings for name in p.copies]
    parted = [p for p in plan.placings if p.part]
    yield from _parts_once(parted, copies, plan)
    for name in dict.fromkeys((*wanted, *placed)):
        times = placed.count(name)
        if any(name in p.copies for p in parted):
            if any(name in p.copies for p in plan.placings if not p.part):
                yield _problem("copies", f"{name} lies on the {plan.cloth} in parts, and whole too")
        elif name in wanted and times != 1:
            yield _problem("copies", f"{name} lies {times} times on the {plan.cloth}, not once")
        elif name not in wanted and any(c.id == name for c in copies):
            yield _problem("copies", f"{name} lies on the {plan.cloth}, of which it is not cut")


def _parts_once(parted: Sequence[Placing], copies: Sequence[Copy], plan: LayPlan) -> Iterator[Problem]:
    """Of a piece cut in two both parts of every copy lie there once; of halves one each way up, or both layers at once."""
    by_id = {c.id: c for c in copies}
    for name in dict.fromkeys(n for p in parted for n in p.copies):
        split = by_id[name].piece.split if name in by_id else None
        mine = [p for p in parted if name in p.copies]
        if split is None:
            yield _problem("copies", f"{name} lies in parts, and may not be split")
        elif split.at == "fold":
            both = [p for p in mine if _layers(plan, p) == 2 and not p.spare]
            ways = [p.mirrored for p in mine if p not in both]
            if any(p.part != 1 for p in mine) or (len(both), sorted(ways)) not in (
                (1, []),
                (0, [False, True]),
            ):
                yield _problem("copies", f"the two halves of {name} are not each laid once")
        elif sorted(p.part for p in mine) != [1, 2]:
            yield _problem("copies", f"the two parts of {name} are not each laid once")


def _layers(plan: LayPlan, placing: Placing) -> int:
    return plan.sections[placing.section].layers


def _matrix(ply: _Ply) -> Iterator[Problem]:
    """The placing is rigid, and the outline drawn on the plan is the one that it gives."""
    placing = ply.placing
    if abs(abs(placing.placing.turn) - 1) > 1e-9:
        yield _problem("scale", f"{ply.called} is laid {abs(placing.placing.turn):.4f} times its size")
    if placing.mirrored != placing.placing.mirrored:
        yield _problem("face", f"{ply.called} is said to lie the other way up than its matrix lays it")
    drawn = _polygon(placing.outline)
    shapes = (ply.region, ply.whole) if placing.on_fold else (ply.whole, ply.region)
    off = math.inf
    for shape in shapes:
        if off > 2 * FLAT + NEAR:
            off = min(off, _apart(drawn, shape))
    if off > 2 * FLAT + NEAR:
        yield _problem(
            "outline", f"the outline drawn for {ply.called} lies {off:.2f} mm from where it is placed"
        )


def _apart(one: shapely.Polygon, other: shapely.Polygon) -> float:
    """How far the corners of two outlines lie from the other at most, mm; NEAR where it is no more than that."""
    rings = one.exterior, other.exterior
    a, b = (shapely.get_coordinates(ring) for ring in rings)
    if len(a) == len(b):
        in_order = (
            (a, b),
            (_sorted(a), _sorted(b)),
        )  # the same corners, be it from another one on or the other way round
        if any(float(np.hypot(*(one - two).T).max()) <= NEAR for one, two in in_order):
            return NEAR
    for ring, corners in (rings, rings[::-1]):
        shapely.prepare(ring)
        if not shapely.dwithin(ring, shapely.points(shapely.get_coordinates(corners)), NEAR).all():
            return float(rings[0].hausdorff_distance(rings[1]))
    return NEAR


def _sorted(corners: np.ndarray) -> np.ndarray:
    """From left to right; of those equally far to a tenth of NEAR from top to bottom. The end of a ring counts once."""
    corners = corners[:-1]
    return corners[np.lexsort((corners[:, 1], np.round(corners[:, 0] / NEAR, 1)))]


# ------------------------------------------------------------------ where it lies


def _inside(ply: _Ply, plan: LayPlan, gap: float) -> Iterator[Problem]:
    """Within the stretch and over no meeting line; what does not lie on a fold keeps off it, or it would be cut joined."""
    section = ply.section
    if ply.region.is_empty:
        yield _problem("inside", f"{ply.called} does not lie on the cloth")
        return
    off = 0.0 if ply.placing.on_fold else gap
    x0, y0, x1, y1 = ply.region.bounds
    first = section.start + (gap if section.cross_fold else 0.0)
    low = section.low + (off if section.low in section.folds else 0.0)
    high = section.high - (off if section.high in section.folds else 0.0)
    later = plan.kind == "part_fold" and section.start > 0
    parted = "over the line where the fold ends"
    over = [
        (
            parted if later else "over the fold" if section.cross_fold else "before the cloth's beginning",
            first - x0,
        ),
        (
            parted if plan.kind == "part_fold" and not later else "beyond the length taken up",
            x1 - section.end,
        ),
        ("over the fold" if section.low in section.folds else "over one selvedge", low - y0),
        ("over the fold" if section.high in section.folds else "over the selvedge", y1 - high),
    ]
    if section.meeting is not None:
        over.append(("over the meeting line", min(section.meeting - y0, y1 - section.meeting)))
    for where, mm in over:
        if mm > NEAR:
            yield _problem("inside", f"{ply.called} lies {mm:.2f} mm {where}")


def _fold(ply: _Ply) -> Iterator[Problem]:
    """A fold edge lies on a fold, all of it, and the two halves are each other's mirror image in it."""
    placing, piece = ply.placing, ply.cut.piece
    if not placing.on_fold:
        return
    fold = piece.edge(piece.fold or "")
    if not ply.section.folds or fold is None or any(c.rule.how != "whole on fold" for c in ply.copies):
        yield _problem("fold", f"{ply.called} is laid on a fold that the lay or the piece does not have")
        return
    ends = [placing.placing.apply(z) for z in (fold.path.start, fold.path.end)]
    off = max(abs(z.imag - ply.fold) for z in ends)
    if off > ON_FOLD:
        yield _problem("fold", f"the fold edge of {ply.called} lies {off:.3f} mm off the fold")
        return
    on_line = ply.region.intersection(shapely.LineString([(-1e5, ply.fold), (1e5, ply.fold)]))
    x0, x1 = sorted(z.real for z in ends)
    if on_line.is_empty or on_line.bounds[0] > x0 + NEAR or on_line.bounds[2] < x1 - NEAR:
        yield _problem(
            "fold", f"{ply.called} does not meet the fold along the {fold.length:.1f} mm of its fold edge"
        )
    if on_line.length < fold.length - NEAR:
        yield _problem(
            "fold", f"{ply.called} meets the fold for {on_line.length:.1f} mm of {fold.length:.1f} mm"
        )
    under = shapely.transform(ply.whole, lambda xy: xy * np.array([1.0, -1.0]) + np.array([0, 2 * ply.fold]))
    if _apart(under, ply.whole) > OWN_MIRROR:
        yield _problem("fold", f"the two halves of {ply.called} differ, so it cannot be cut on the fold")


def _gaps(plies: list[_Ply], gap: float) -> Iterator[Problem]:
    regions = [p.region for p in plies]
    tree = shapely.STRtree(regions)
    near = tree.query(regions, predicate="dwithin", distance=gap) if regions else np.empty((2, 0), dtype=int)
    for a, b in sorted((int(a), int(b)) for a, b in near.T if a < b):
        over = float(regions[a].intersection(regions[b]).area)
        apart = float(regions[a].distance(regions[b]))
        if over > NEAR:
            yield _problem("overlap", f"{plies[a].called} and {plies[b].called} overlap by {over:.1f} mm²")
        elif apart < gap - NEAR:
            yield _problem(
                "gap", f"{plies[a].called} and {plies[b].called} lie {apart:.2f} mm apart, not {gap:.1f} mm"
            )


# ------------------------------------------------------------------ which way up, which way round


def _own_mirror(shape: shapely.Polygon) -> bool:
    """Whether turning the paper over, across or end for end, gives the same outline."""
    x0, y0, x1, y1 = shape.bounds
    middle = np.array([(x0 + x1) / 2, (y0 + y1) / 2])
    for signs in ((1.0, -1.0), (-1.0, 1.0)):
        over = shapely.transform(shape, lambda xy, s=signs: middle + (xy - middle) * np.array(s))
        if _apart(over, shape) < OWN_MIRROR:
            return True
    return False


def _asked_up(copy: Copy, cut: CutPiece) -> str:
    """The side of the cloth that is up where a copy's paper lies as the copy is drawn; "" where either side will do."""
    rule = copy.rule
    if rule.how not in ("single", "same"):
        return ""
    if rule.face != "either":
        return rule.face
    if rule.how == "single" or _own_mirror(_drawn(copy, cut)):
        return ""
    return "down" if rule.fused else "up"


def _asked(
    plan: LayPlan, copies: Sequence[Copy], by_key: Mapping[str, CutPiece]
) -> dict[tuple[str, CutRule], str]:
    """That side for each piece and rule of the cloth. In one layer the cloth shows the wrong one only where every piece
    that asks for one asks for that."""
    rules = {(c.piece.key, c.rule): c for c in copies if c.cloth == plan.cloth and c.piece.key in by_key}
    return {(key, rule): _asked_up(copy, by_key[key]) for (key, rule), copy in rules.items()}


def _faces(ply: _Ply, other_side: bool) -> Iterator[Problem]:
    """In one layer each ply's side of the wearer tells which way up its paper lies, and the other way if the cloth shows
    the `other_side` than the ply is cut from. Laid folded, one of two plies cut through at once comes out mirrored: that
    is right for the two of a pair and for outlines that are their own mirror."""
    placing, rule = ply.placing, ply.copies[0].rule
    if placing.on_fold:
        if len(ply.copies) != 1:
            yield _problem("plies", f"{ply.called} on the fold gives one ply, not {len(ply.copies)}")
        return
    split = ply.cut.piece.split
    if (
        placing.part and split is not None and split.at == "fold"
    ):  # its halves are a pair: counted with the copies
        return
    spare = ply.section.layers == 2 and len(ply.copies) == 1
    if placing.spare != spare:
        yield _problem("plies", f"of {ply.called} a ply is said to be left over, or is and is not said")
    one_face = rule.how == "single" or (rule.how == "same" and rule.face != "either")
    if ply.section.layers == 1:
        if len(ply.copies) != 1:
            yield _problem("plies", f"{ply.called} in a single layer gives one ply, not {len(ply.copies)}")
        turned = placing.placing.mirrored != (ply.copies[0].placing.mirrored != other_side)
        if turned and (one_face or not _own_mirror(ply.whole)):
            yield _problem("face", f"{ply.called} is laid wrong side up for {ply.copies[0].id}")
        return
    if len(ply.copies) == 1:
        return  # of its two plies the one that comes out right is used
    if one_face:
        yield _problem("face", f"{ply.called} is cut one face up only and two of it are cut at once")
    if len(ply.copies) > 2:
        yield _problem("plies", f"{ply.called} in two layers gives two plies, not {len(ply.copies)}")
    turned_over = [c.placing.mirrored for c in ply.copies]
    if turned_over not in ([False, True], [True, False]) and not _own_mirror(ply.whole):
        yield _problem("face", f"the folded cloth gives {ply.called} once mirrored, which is not asked for")


def _grain(ply: _Ply) -> Iterator[Problem]:
    """The grain lies along the cloth; of a piece that may cross it, along or across."""
    tail, head = (ply.placing.placing.apply(z) for z in ply.cut.piece.grain)
    way = head - tail
    off = abs(math.atan2(way.imag, abs(way.real)))
    if ply.cut.piece.may_cross:
        off = min(off, math.pi / 2 - off)
    if off > GRAIN:
        yield _problem(
            "grain", f"the grain of {ply.called} lies {math.degrees(off):.2f} degrees off the cloth's"
        )
    for drawn, z in zip(ply.placing.grain, (tail, head), strict=True):
        if abs(drawn - z) > NEAR:
            yield _problem("grain", f"the grain line drawn for {ply.called} is not the piece's own")
            return


def _nap(plies: list[_Ply], plan: LayPlan) -> Iterator[Problem]:
    """Pieces with nap, and all of a one-way cloth, have their tops to one end in every layer."""
    ways = [
        (p, (p.placing.placing.direction(p.cut.piece.grain[1] - p.cut.piece.grain[0])).real)
        for p in plies
        if p.cut.piece.nap or plan.one_way
    ]
    for ply, way in ways:
        if ply.section.cross_fold or abs(way) < NEAR:
            yield _problem("nap", f"{ply.called} has its top to one end, and here it has not")
    for (one, way), (other, other_way) in pairwise(ways):
        if (way > 0) != (other_way > 0):
            yield _problem("nap", f"{one.called} and {other.called} have nap and lie top to tail")


def _matched(ply: _Ply, plan: LayPlan) -> Iterator[Problem]:
    """The match point lies on a line of the repeat along and across; of a piece opened at its fold line, that line."""
    piece = ply.cut.piece
    if piece.match is None:
        return
    point = piece.match
    fold = piece.edge(piece.fold or "")
    if fold is not None:
        way = (fold.path.end - fold.path.start) / abs(fold.path.end - fold.path.start)
        point = fold.path.start + way * ((point - fold.path.start) * way.conjugate()).real
    at = ply.placing.placing.apply(point)
    for name, value, repeat in (("along", at.real, plan.repeat[0]), ("across", at.imag, plan.repeat[1])):
        if not repeat or (name == "across" and ply.placing.on_fold and abs(ply.fold) < ON_FOLD):
            continue
        off = abs(value - round(value / repeat) * repeat)
        if off > MATCHED:
            yield _problem(
                "match", f"the match point of {ply.called} lies {off:.1f} mm off the stripe, {name} the cloth"
            )


def _length(plan: LayPlan, plies: list[_Ply], sections: Sequence[LaySection]) -> Iterator[Problem]:
    if not plies:
        return
    taken = max(p.region.bounds[2] for p in plies if not p.region.is_empty)
    layers = 2 if sections[-1].cross_fold else 1  # of cloth in the length of the lay
    if abs(plan.length_mm - layers * taken) > 1.0 or abs(layers * sections[-1].end - plan.length_mm) > NEAR:
        yield _problem(
            "length", f"the lay is said to take {plan.length_mm:.1f} mm and takes {layers * taken:.1f} mm"
        )
    if plan.need_mm < plan.length_mm - NEAR or plan.buy_mm < plan.need_mm - NEAR:
        yield _problem(
            "length",
            f"{plan.buy_mm:.0f} mm are bought for {plan.need_mm:.0f} mm needed and {plan.length_mm:.0f} laid",
        )
