"""Folding paper: what a dart's end looks like when the dart is closed and pressed."""

from __future__ import annotations

import cmath
import math

from booklet.model import Dart
from booklet.paths import Path, Placement
from helpers.rings import line, point


def angle_at(dart: Dart, pivot: complex | None = None) -> float:
    """The angle of a dart at its point, or at another it turns about, radians."""
    z = dart.point if pivot is None else pivot
    return cmath.phase((dart.second - z) / (dart.first - z))


def laid_down(z: complex, dart: Dart) -> complex:
    """Where a place between the legs comes to lie, on the side that the fold is pressed to.

    Pressed to the first side: the layer from the first leg to the crease is turned over along the first leg, the one
    from the crease to the second leg comes along with the closing. Pressed to the second side: the other way round.
    """
    angle = angle_at(dart)
    close = Placement.rotation(-angle, dart.point)  # brings the second leg on to the first
    crease = (dart.first - dart.point) * cmath.exp(1j * angle / 2)
    past_crease = ((z - dart.point) / crease).imag * math.copysign(1, angle) > 0
    if dart.press_first:
        over_first = Placement.mirror(dart.point, dart.first - dart.point)
        return close.apply(z) if past_crease else over_first.apply(z)
    over_second = Placement.mirror(dart.point, dart.second - dart.point)
    return over_second.apply(z) if past_crease else close.inverse.apply(z)


def folded(path: Path, start: float, end: float, dart: Dart, bend: float = 3.0) -> list[str]:
    """What the folded dart's end looks like, judged by folding paper: nothing where all is well.

    Closed, the second leg lies on the first. The cloth between the legs is creased along the line midway between them
    and pressed to one side; its edge must then lie on the seam line of that side. At the closed dart the seam may bend by
    so many degrees.
    """
    point_ = dart.point
    angle = cmath.phase((dart.second - point_) / (dart.first - point_))
    close = Placement.rotation(-angle, point_)  # brings the second leg on to the first
    before, after = path.part(0, start), path.part(end, path.length)
    faults = []
    # A fold wider than the stretch beside it is laid on to that, prolonged.
    far = before.start - before.start_tangent * 60, after.end + after.end_tangent * 60
    beside = (
        Path.line(far[0], before.start).joined(before)
        if dart.press_first
        else after.joined(Path.line(after.end, far[1]))
    )
    seam = line(beside, 0.005)
    for k in range(61):
        laid = laid_down(path.point(start + (end - start) * k / 60), dart)
        off = float(seam.distance(point(laid)))
        if off > 0.2:
            faults.append(f"the dart's end lies {off:.2f} mm off the seam line when folded")
    turn = close.direction(after.start_tangent) / before.end_tangent
    if abs(math.degrees(cmath.phase(turn))) > bend:
        faults.append(f"the waist bends by {math.degrees(cmath.phase(turn)):.1f} degrees at the folded dart")
    if abs(close.apply(after.start) - before.end) > 0.01:
        faults.append("the two sides do not meet when the dart is folded")
    return faults
