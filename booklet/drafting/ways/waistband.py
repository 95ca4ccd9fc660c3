"""`waistband:` a straight band as long as the edges it is sewn to, or a shaped one made of the upper parts of the pieces."""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass, replace

from booklet.drafting.asked import Asked
from booklet.drafting.bands import band_along
from booklet.drafting.details import side_of
from booklet.drafting.marking import met_by
from booklet.drafting.places import Inner, whole_edge
from booklet.drafting.shape import Run, Shape, snapped
from booklet.drafting.verbs.extend import extended
from booklet.model import Mark, Trueing
from booklet.paths import Path, Placement
from booklet.splines import smooth_curve

TRUED = 30.0  # mm between the points through which an edge is drawn true
WITHIN = 0.5  # mm: how well two sides that become one have to agree
KINK = math.radians(0.2)  # a smaller turn is left as it is
EDGES = ("upper", "end", "lower", "start")  # of a straight band: top, right, foot, left


# ---------------------------------------------------------------- straight


def straight_band(asked: Asked, wide: float, before: float, after: float) -> Shape:
    """A rectangle: its lower edge runs from `start` to `end` as the garment is seen, left to right."""
    refs = asked.listed("of")
    names = asked.maker.raw[asked.key].get("edges") or EDGES
    stops: list[tuple[float, str, str]] = [(0.0, "single", "start_line")] if before > 0 else []
    at = 0.0
    for n, ref in enumerate(refs):
        size, inner = _along(asked, ref, refs)
        stops += [(at + s, kind, name) for s, kind, name in inner]
        at += size
        if n < len(refs) - 1:
            stops.append((at, "single", f"{ref.split('.')[0]}_end"))
    if after > 0:
        stops.append((at, "single", "end_line"))
    long = before + at + after
    corners = [0j, complex(long), complex(long, wide), complex(0, wide)]
    runs = [Run(n, Path.line(corners[k], corners[(k + 1) % 4])) for k, n in enumerate(names)]
    marks = [Mark(name, kind, long - before - s) for s, kind, name in stops]  # type: ignore[arg-type]
    runs[2] = replace(runs[2], marks=tuple(sorted(_told_apart(marks), key=lambda m: m.at)))
    grain = (complex(long * 0.3, wide / 2), complex(long * 0.7, wide / 2))
    return Shape(tuple(runs), asked.maker.side(asked.key), grain=grain, derived=(names[2],))


def _along(asked: Asked, ref: str, refs: list[str]) -> tuple[float, list[Inner]]:
    """An edge's sewn length and its inner notches, from left to right as the garment is seen from outside."""
    side = side_of(ref)[1]
    shape, run = asked.edge(ref)
    if side == "whole" or shape.has(f"{run.name}.{side}") or shape.has(ref.partition(".")[2]):
        return met_by(asked, ref, refs)
    if shape.fold is not None:
        raise asked.fault("waistband", f"{ref} is half of a piece on the fold", f"Write {side_of(ref)[0]}.")
    if asked.maker.sides:
        shape = asked.maker.sides[side].shape(ref.partition(".")[0], asked.where)
    size, inner = whole_edge(shape, run.name)
    turned = shape.drawn_for not in (side, "whole")  # a pair: the other copy is the mirror image
    return (size, [(size - s, kind, name) for s, kind, name in inner]) if turned else (size, inner)


def _told_apart(marks: list[Mark]) -> list[Mark]:
    """Marks with names of their own: a notch that both sides of the body have is there twice."""
    seen: dict[str, int] = {}
    out = []
    for mark in marks:
        seen[mark.name] = seen.get(mark.name, 0) + 1
        out.append(mark if seen[mark.name] == 1 else replace(mark, name=f"{mark.name}_{seen[mark.name]}"))
    return out


# ---------------------------------------------------------------- shaped


@dataclass(frozen=True)
class Slice:
    """The upper part of one piece, darts folded out, along the garment: `upper` and `lower` from `first` to `last`."""

    key: str
    upper: Path
    lower: Path
    marks: tuple[Mark, ...]  # on the upper edge
    first: str  # what the piece calls its edge there
    last: str
    fold: str | None

    def placed(self, placing: Placement) -> Slice:
        return replace(self, upper=self.upper.placed(placing), lower=self.lower.placed(placing))


def slices_of(asked: Asked, wide: float) -> list[Slice]:
    """One slice an edge of `of:`, all as they lie on one side of the body, clockwise, in the order of the ring."""
    out: list[Slice] = []
    side = None
    for ref in asked.listed("of"):
        key = ref.partition(".")[0]
        shape, run = asked.edge(ref)
        if side is None:
            side = shape.drawn_for
        if shape.drawn_for != side:
            shape = shape.placed(Placement.mirror(0j, 1j))
        band = band_along(shape, key, [run.name], (wide, wide), None, asked.where).shape
        upper, last, outer, first = band.runs
        out.append(
            Slice(key, upper.path, outer.path.reversed(), upper.marks, first.name, last.name, shape.fold)
        )
    return _in_order(asked, out)


def _in_order(asked: Asked, slices: list[Slice]) -> list[Slice]:
    def follow(a: Slice, b: Slice) -> bool:
        one_name = side_of(a.last)[0] == side_of(b.first)[0]
        return one_name and a.last != a.fold and b.first != b.fold

    for row in (slices, slices[::-1]):
        if all(follow(a, b) for a, b in zip(row, row[1:], strict=False)):
            return row
    raise asked.fault(
        "waistband-order",
        f"{' and '.join(asked.listed('of'))} do not meet side by side in edges of one name",
        "Name the edges from one end of the band to the other; the seams between them must be called alike.",
    )


def laid_side_to_side(asked: Asked, slices: list[Slice]) -> list[Slice]:
    """Each slice laid against the one before it: their upper corners meet and their sides lie along each other."""
    out = [slices[0]]
    for piece in slices[1:]:
        last = out[-1]
        to, own = last.lower.end - last.upper.end, piece.lower.start - piece.upper.start
        if abs(abs(to) - abs(own)) > WITHIN:
            raise asked.fault(
                "waistband-sides",
                f"the sides of {last.key} and {piece.key} are {abs(to):.1f} and {abs(own):.1f} mm long in {asked.key}",
                "Draw both side seams alike near the waist.",
            )
        turn = cmath.rect(1.0, cmath.phase(to / own))
        out.append(piece.placed(Placement(turn, last.upper.end - turn * piece.upper.start)))
    return out


def trued(paths: list[Path]) -> Path:
    """Lines end to end drawn as one smooth line; as they are where they run on into each other already."""
    joined = _bridged(paths)
    turns = [
        abs(cmath.phase(b.start_tangent / a.end_tangent)) for a, b in zip(paths, paths[1:], strict=False)
    ]
    if not turns or max(turns) < KINK:
        return joined
    points = [paths[0].start]
    for path in paths:
        count = max(2, round(path.length / TRUED))
        points += [path.point(path.length * k / count) for k in range(1, count + 1)]
    return smooth_curve(points, paths[0].start_tangent, paths[-1].end_tangent)


def _bridged(paths: list[Path]) -> Path:
    """End to end, gaps of a rounding or of a hair between two sides closed by moving the second line's first point."""
    out = paths[0]
    for path in paths[1:]:
        segments = list(path.segments)
        segments[0] = (out.end, *segments[0][1:])
        out = out.joined(Path(tuple(segments)))
    return out


def shaped_band(asked: Asked, wide: float, before: float, after: float) -> Shape:
    """The slices as one piece: `upper`, `end`, `lower`, `start`; an end on the fold keeps the name of its edge."""
    parts = laid_side_to_side(asked, slices_of(asked, wide))
    raw_upper, raw_lower = _bridged([p.upper for p in parts]), _bridged([p.lower for p in parts])
    smooth = asked.words("true", "smooth") == "smooth"
    upper = trued([p.upper for p in parts]) if smooth else raw_upper
    lower = trued([p.lower for p in parts]) if smooth else raw_lower
    named_first = asked.listed("of")[0].partition(".")[0] == parts[0].key
    left, right = ("start", "end") if named_first else ("end", "start")
    fold = None
    if parts[0].first == parts[0].fold:
        left = fold = parts[0].first
    elif parts[-1].last == parts[-1].fold:
        right = fold = parts[-1].last
    upper_marks, lower_marks = _joint_marks(parts, upper, lower)
    runs = (
        Run("upper", upper, upper_marks),
        Run(right, Path.line(upper.end, lower.end)),
        Run("lower", lower.reversed(), lower_marks),
        Run(left, Path.line(lower.start, upper.start)),
    )
    changes = tuple(
        Trueing(name, "drawn smooth where the pieces meet", was.length, now.length)
        for name, was, now in (("upper", raw_upper, upper), ("lower", raw_lower, lower))
        if now is not was
    )
    first, _ = asked.edge(asked.listed("of")[0])
    made = Shape(snapped(runs), first.drawn_for, fold=fold, trueings=changes, derived=("upper", "lower"))
    for end, by in (("start", before), ("end", after)):
        made = _run_on(asked, made, end, by) if by > 0 else made
    return made


def _joint_marks(parts: list[Slice], upper: Path, lower: Path) -> tuple[tuple[Mark, ...], tuple[Mark, ...]]:
    """Notches where the pieces meet, on both edges, and those that the pieces' own upper edges have."""
    above, below = [], []
    for n, part in enumerate(parts):
        above += [replace(m, at=upper.nearest(part.upper.point(m.at))) for m in part.marks]
        if n < len(parts) - 1:
            name = side_of(part.last)[0]
            above.append(Mark(name, "single", upper.nearest(part.upper.end)))
            below.append(Mark(name, "single", lower.length - lower.nearest(part.lower.end)))
    return tuple(sorted(_told_apart(above), key=lambda m: m.at)), tuple(
        sorted(_told_apart(below), key=lambda m: m.at)
    )


def _run_on(asked: Asked, shape: Shape, end: str, by: float) -> Shape:
    """The band run on beyond one end, with a notch on both edges where the garment ends."""
    if not shape.has(end):
        raise asked.fault(
            "waistband-fold",
            f"the {end} of {asked.key} lies on the fold, so it cannot run on",
            "Take that out.",
        )
    runs = []
    before, after = shape.neighbours(end)
    for run in shape.runs:
        at = run.path.length if run.name == before.name else 0.0 if run.name == after.name else None
        marks = run.marks if at is None else (*run.marks, Mark(f"{end}_line", "single", at))
        runs.append(replace(run, marks=tuple(sorted(marks, key=lambda m: m.at))))
    return extended(replace(shape, runs=tuple(runs)), end, by, False, None, asked.where, asked.key)


def from_waistband(asked: Asked) -> Shape:
    """`waistband: {of: [edges], wide, before, after, shaped, true}`."""
    wide = asked.amount("wide")
    before, after = asked.amount("before", default=0.0), asked.amount("after", default=0.0)
    if not wide > 5 or min(before, after) < 0:
        raise asked.fault(
            "waistband",
            f"{asked.key} is {wide:.1f} mm wide and runs on by {before:.0f} and {after:.0f} mm",
            "Give it a width, and 0 or more beyond its ends.",
        )
    make = shaped_band if asked.spec.get("shaped") else straight_band
    return make(asked, wide, before, after)
