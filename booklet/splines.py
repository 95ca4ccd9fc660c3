"""Smooth curves through points, as a French curve would draw them.

Hobby's spline: J. D. Hobby, "Smooth, easy to compute interpolating splines", Discrete & Computational Geometry 1
(1986). Angles are chosen so that mock curvature is continuous at the inner points; each stretch becomes one cubic.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence

import numpy as np

from booklet.paths import Path


def _velocity(theta: float, phi: float) -> float:
    """Hobby's rho: how far the control point lies along its tangent, in thirds of the chord."""
    st, ct, sp, cp = math.sin(theta), math.cos(theta), math.sin(phi), math.cos(phi)
    top = 2 + math.sqrt(2) * (st - sp / 16) * (sp - st / 16) * (ct - cp)
    below = 1 + (math.sqrt(5) - 1) / 2 * ct + (3 - math.sqrt(5)) / 2 * cp
    return top / below


def _turn(a: complex, b: complex) -> float:
    """Angle from direction a to direction b, in (-pi, pi]."""
    return cmath.phase(b / a)


def smooth_curve(
    points: Sequence[complex],
    leave: complex | None = None,
    arrive: complex | None = None,
    closed: bool = False,
) -> Path:
    """The curve through `points` (n complex, mm), one cubic between neighbours.

    `leave` and `arrive` are directions (any length) at the two ends; without one the end has the curl of a circle.
    A closed curve runs from the last point back to the first. Raises ValueError for neighbours that coincide.
    """
    pts = [complex(p) for p in points]
    if closed:
        pts.append(pts[0])
    n = len(pts) - 1
    if n < 1:
        raise ValueError("a curve needs two points")
    chord = [b - a for a, b in zip(pts, pts[1:], strict=False)]
    size = [abs(c) for c in chord]
    if min(size) < 1e-9:
        raise ValueError("two neighbouring points of a curve coincide")
    psi = [0.0] + [_turn(chord[k - 1], chord[k]) for k in range(1, n)] + [0.0]
    theta = _closed_angles(chord, size) if closed else _open_angles(chord, size, psi, leave, arrive)
    segments = []
    for k in range(n):
        if closed:
            nxt = (k + 1) % n
            phi = -_turn(chord[k], chord[nxt]) - theta[nxt]
        else:
            phi = -psi[k + 1] - theta[k + 1]
        out = cmath.exp(1j * theta[k]) * _velocity(theta[k], phi) / 3
        inn = cmath.exp(-1j * phi) * _velocity(phi, theta[k]) / 3
        segments.append((pts[k], pts[k] + chord[k] * out, pts[k + 1] - chord[k] * inn, pts[k + 1]))
    return Path(tuple(segments))


def _open_angles(
    chord: list[complex], size: list[float], psi: list[float], leave: complex | None, arrive: complex | None
) -> list[float]:
    """Angles theta_0..theta_n from each chord to the curve's leaving direction; theta_n + phi_n = 0 by psi_n = 0."""
    n = len(chord)
    m = np.zeros((n + 1, n + 1))
    r = np.zeros(n + 1)
    if leave is None:
        m[0, 0], m[0, 1], r[0] = 1, 1, -psi[1]
    else:
        m[0, 0], r[0] = 1, _turn(chord[0], leave)
    for k in range(1, n):
        before, after = 1 / size[k - 1], 1 / size[k]
        m[k, k - 1] = before
        m[k, k] = 2 * before + 2 * after
        m[k, k + 1] = after
        r[k] = -2 * psi[k] * before - psi[k + 1] * after
    if arrive is None:
        m[n, n - 1], m[n, n], r[n] = 1, 1, 0.0
    else:
        m[n, n], r[n] = 1, _turn(chord[-1], arrive)
    return [float(x) for x in np.linalg.solve(m, r)]


def _closed_angles(chord: list[complex], size: list[float]) -> list[float]:
    n = len(chord)
    psi = [_turn(chord[k - 1], chord[k]) for k in range(n)]
    m = np.zeros((n, n))
    r = np.zeros(n)
    for k in range(n):
        before, after = 1 / size[k - 1], 1 / size[k]
        m[k, (k - 1) % n] += before
        m[k, k] += 2 * before + 2 * after
        m[k, (k + 1) % n] += after
        r[k] = -2 * psi[k] * before - psi[(k + 1) % n] * after
    return [float(x) for x in np.linalg.solve(m, r)]
