"""`flat collar:` drawn on the bodice, front and back laid together at the neck with their shoulders overlapping.

The overlap at the armhole end shortens the outer edge, so that the collar rolls a little and hides its seam (trade
method; amounts: common practice, no source). The neck edge is as long as the two necklines.
"""

from __future__ import annotations

import math
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.necks import Neckline, amount_above, grain_of, neck_marks, solved, spread_of
from booklet.drafting.shape import Shape
from booklet.drafting.ways.collar import collar_runs, point_of, with_corner
from booklet.paths import Path, Placement
from booklet.splines import smooth_curve

COUNT = 8  # stretches between the points of a parallel edge
REACH = 20.0  # mm that the smoothed neck edge may leave the two necklines at the shoulder


def laid_together(
    front: tuple[Path, Path], back: tuple[Path, Path], overlap: float
) -> tuple[Path, Path, complex]:
    """(the back's neckline from centre back, the front's on to its front end, the neck point), laid on the table.

    Each half is (neckline, shoulder). The neck points coincide; at the armhole end the front's shoulder lies `overlap`
    mm inside the back's.
    """
    (f_neck, f_shoulder), (b_neck, b_shoulder) = _from_shoulder(*front), _from_shoulder(*back)
    f_way, b_way = f_shoulder[1] - f_shoulder[0], b_shoulder[1] - b_shoulder[0]
    inward = 1 if _side(b_neck.end - b_neck.start, b_way) > 0 else -1
    outward = 1 if _side(f_neck.end - f_neck.start, f_way) > 0 else -1
    into = 2 * math.asin(overlap / 2 / abs(b_way)) * inward
    wanted = b_way / abs(b_way) * complex(math.cos(into), math.sin(into))
    mirrored = inward == outward  # else the front already lies on the other side of its shoulder
    given = f_way.conjugate() if mirrored else f_way
    turn = wanted / (given / abs(given))
    start = f_shoulder[0].conjugate() if mirrored else f_shoulder[0]
    place = Placement(turn, b_shoulder[0] - turn * start, mirrored)
    return b_neck.reversed(), f_neck.placed(place), b_shoulder[0]


def _from_shoulder(neck: Path, shoulder: Path) -> tuple[Path, tuple[complex, complex]]:
    """The neckline run from its shoulder end, and the shoulder from the neck point to the tip."""
    ends = [(abs(n - s), turned, flip) for turned, n in ((False, neck.start), (True, neck.end))
            for flip, s in ((False, shoulder.start), (True, shoulder.end))]  # fmt: skip
    _, turned, flip = min(ends)
    line = (shoulder.end, shoulder.start) if flip else (shoulder.start, shoulder.end)
    return (neck.reversed() if turned else neck), line


def _side(chord: complex, way: complex) -> float:
    """Which side of a shoulder the neckline's far end lies on: above 0 clockwise of it, as seen."""
    return (chord * way.conjugate()).imag


def from_flat_collar(asked: Asked) -> Shape:
    """`flat collar: {neck: [BACK.EDGE, FRONT.EDGE], shoulder overlap, wide, wide point, spread, round}`.

    Half a collar from centre back (`centre`, which may lie on the fold) to its end at the front edge.
    """
    back, front = (_half(asked, n) for n in (0, 1))
    overlap = asked.amount("shoulder overlap")
    shoulder = min(front[1].length, back[1].length)
    if not 0 <= overlap < shoulder:
        raise asked.fault(
            "overlap",
            f"the shoulders, {shoulder:.1f} mm long, are to overlap by {overlap:.1f} mm",
            "Write 0 to about a third of the shoulder.",
        )
    behind, before, at = laid_together(front, back, overlap)
    turn = Placement((1 + 0j) / behind.start_tangent, -behind.start / behind.start_tangent, False)
    behind, before, at = behind.placed(turn), before.placed(turn), turn.apply(at)
    over = Placement.mirror(0j, 1 + 0j)
    turned = behind.end.imag < behind.start.imag  # the neck lies above: drawn upside down, then turned back
    if turned:
        behind, before, at = behind.placed(over), before.placed(over), over.apply(at)
    neck = _smooth(asked, behind, before, at)
    wide = amount_above(asked, "wide", 5.0)
    outer, end = _outer(asked, neck, wide)
    outer, end = with_corner(asked, outer, end)
    line = Neckline(neck.length, (("shoulder", behind.length),))
    shape = Shape(
        collar_runs(neck, outer, end), asked.maker.side(asked.key), grain=grain_of(wide), derived=("neck",)
    )
    shape = shape.with_run(replace(shape.run("neck"), marks=neck_marks(line, neck.length)))
    return shape.placed(over) if turned else shape


def _half(asked: Asked, n: int) -> tuple[Path, Path]:
    """A half's neckline and its shoulder: the neighbour of the neckline whose name the other half has there too."""
    (shape, run), (other, theirs) = (asked.edge(asked.listed("neck")[k]) for k in (n, 1 - n))
    alike = {r.name for r in other.neighbours(theirs.name)} - {other.fold, "centre"}
    found = [r for r in shape.neighbours(run.name) if r.name in alike and r.name != shape.fold]
    if len(found) != 1:
        raise asked.fault(
            "shoulder",
            f"{asked.listed('neck')[n]} and {asked.listed('neck')[1 - n]} have no neighbour of one name, their shoulder",
            "Call the shoulders of front and back alike.",
        )
    return run.path, found[0].path


def _smooth(asked: Asked, behind: Path, before: Path, at: complex) -> Path:
    """One smooth neck edge over the shoulder, as long as both necklines; it leaves them only near the shoulder."""
    first, last = behind.point(behind.length * 0.3), before.point(before.length * 0.7)
    out = behind.end_tangent + before.start_tangent
    out = out / abs(out) * 1j

    def drawn(off: float) -> Path:
        return smooth_curve(
            [behind.start, first, at + out * off, last, before.end], behind.start_tangent, before.end_tangent
        )

    long = behind.length + before.length
    between = (-REACH, 0.0) if drawn(0.0).length < long else (0.0, REACH)
    return solved(asked, drawn, long, between, "does not come smoothly over the shoulder")


def _outer(asked: Asked, neck: Path, wide: float) -> tuple[Path, Path]:
    """The outer edge, `wide` off the neck edge, and the end from its tip to the neck edge's front end."""
    point = amount_above(asked, "wide point", 5.0) if asked.has("wide point") else wide
    spread = spread_of(asked, point)
    tip = point_of(neck, point, spread)
    stops = [neck.length * k / COUNT for k in range(COUNT)]
    points = [neck.point(s) - 1j * neck.tangent(s) * wide for s in stops]
    outer = smooth_curve([*points, tip], neck.start_tangent)
    return outer, Path.line(tip, neck.end)
