"""Arcs of circles and quarters of ellipses as cubic Beziers, and where arcs meet lines and each other.

An arc is divided into cubics of at most 30 degrees each; with the control length 4/3 tan(angle/4) of the radius they
stray from the circle by less than 1e-6 of it (arithmetic: the error falls with the sixth power of the angle, 2.7e-4 at
90 degrees).
Angles are radians, turning from x towards y: clockwise as seen, y down.
"""

from __future__ import annotations

import cmath
import math

from booklet.paths import Path, Segment

_LARGEST = math.radians(30)


def arc(centre: complex, radius: float, start: float, sweep: float) -> Path:
    """The arc from the angle `start` through `sweep` (both radians, sweep negative against the clock)."""
    return _bent(centre, radius, 1j * radius, start, sweep)


def _bent(centre: complex, a: complex, b: complex, start: float, sweep: float) -> Path:
    """The affine image centre + a cos t + b sin t of a circle's arc."""
    count = max(1, math.ceil(abs(sweep) / _LARGEST - 1e-9))
    step = sweep / count
    k = 4 / 3 * math.tan(step / 4)

    def at(t: float) -> complex:
        return centre + a * math.cos(t) + b * math.sin(t)

    def slope(t: float) -> complex:
        return b * math.cos(t) - a * math.sin(t)

    segments: list[Segment] = []
    for n in range(count):
        t0, t1 = start + step * n, start + step * (n + 1)
        p, q = at(t0), at(t1)
        segments.append((p, p + slope(t0) * k, q - slope(t1) * k, q))
    return Path(tuple(segments))


def arc_through(a: complex, b: complex, c: complex) -> Path:
    """The arc from a over b to c. Raises ValueError where the three lie on one straight line."""
    p, q = b - a, c - a
    cross = (p.conjugate() * q).imag
    if abs(cross) < 1e-9 * abs(p) * abs(q):
        raise ValueError("the three points lie on one straight line")
    centre = a - 1j * (q * abs(p) ** 2 - p * abs(q) ** 2) / (2 * cross)
    start = cmath.phase(a - centre)
    sweep = cmath.phase((c - centre) / (a - centre))
    over = cmath.phase((b - centre) / (a - centre))
    if (over > 0) != (sweep > 0) or abs(over) > abs(sweep):
        sweep += -2 * math.pi if sweep > 0 else 2 * math.pi
    return arc(centre, abs(a - centre), start, sweep)


def arc_between(a: complex, b: complex, radius: float, bulge: complex, large: bool = False) -> Path:
    """The arc of a radius from a to b that bulges to the side of the direction `bulge`; the longer way if `large`.

    Raises ValueError, with what is missing, where the radius is under half the distance.
    """
    half = abs(b - a) / 2
    if radius < half - 1e-9:
        raise ValueError(
            f"an arc of {radius:.1f} mm radius does not reach over {2 * half:.1f} mm: at least {half:.1f} mm is needed"
        )
    way = (b - a) / abs(b - a)
    side = 1j if (bulge * (way * 1j).conjugate()).real > 0 else -1j
    rise = math.sqrt(max(radius * radius - half * half, 0.0))
    centre = (a + b) / 2 + way * side * (rise if large else -rise)
    sweep = 2 * math.asin(min(1.0, half / radius))
    sweep = 2 * math.pi - sweep if large else sweep
    turning = -1 if side == 1j else 1
    return arc(centre, radius, cmath.phase(a - centre), turning * sweep)


def arc_round(centre: complex, a: complex, towards: complex, clockwise: bool) -> Path:
    """From a round the centre as far as the ray through `towards`."""
    sweep = cmath.phase((towards - centre) / (a - centre))
    if clockwise and sweep <= 0:
        sweep += 2 * math.pi
    if not clockwise and sweep >= 0:
        sweep -= 2 * math.pi
    return arc(centre, abs(a - centre), cmath.phase(a - centre), sweep)


def ellipse_quarter(a: complex, b: complex, leave: complex) -> Path:
    """The quarter ellipse that leaves a in the direction `leave` and reaches b square to it.

    Raises ValueError where b does not lie ahead of a and to one side.
    """
    u = leave / abs(leave)
    ahead = ((b - a) * u.conjugate()).real
    aside = ((b - a) * u.conjugate()).imag
    if ahead < 1e-6 or abs(aside) < 1e-6:
        raise ValueError("its end does not lie ahead of its start and to one side")
    v = u * 1j * aside  # from a to the centre
    return _bent(a + v, -v, u * ahead, 0.0, math.pi / 2)


def circles_meet(a: complex, ra: float, b: complex, rb: float) -> tuple[complex, ...]:
    """Where two circles meet: two points, one where they touch, none."""
    far = abs(b - a)
    if far < 1e-9 or far > ra + rb + 1e-9 or far < abs(ra - rb) - 1e-9:
        return ()
    x = (far * far + ra * ra - rb * rb) / (2 * far)
    y = math.sqrt(max(ra * ra - x * x, 0.0))
    way = (b - a) / far
    return (a + way * complex(x, y), a + way * complex(x, -y)) if y > 1e-9 else (a + way * x,)


def circle_meets(centre: complex, radius: float, line: Path) -> tuple[complex, ...]:
    """Where a circle meets a line or curve, in the line's order."""
    found = line.crossings(arc(centre, radius, 0.0, 2 * math.pi))
    out: list[complex] = []
    for _, z in found:
        if all(abs(z - w) > 1e-3 for w in out):
            out.append(z)
    return tuple(out)
