"""Lines on the drafting table: runs of straight and cubic segments, and rigid placings of them.

Points are complex numbers x + 1j*y in millimetres, x to the right and y down, as a drafter works. A segment is a
tuple of two points (straight) or four (a cubic Bezier's end and control points).

Lengths come from Gauss-Legendre quadrature (16 nodes on each half of a cubic), good to far below a micrometre
for the smooth curves of a draft.
"""

from __future__ import annotations

import cmath
import math
from dataclasses import dataclass
from functools import cached_property, lru_cache
from typing import ClassVar

import numpy as np

Segment = tuple[complex, ...]
Box = tuple[float, float, float, float]

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)
# The same on both halves of [0, 1].
_HALVES = np.concatenate(((_NODES + 1) / 4, (_NODES + 3) / 4))
_HALF_WEIGHTS = np.concatenate((_WEIGHTS, _WEIGHTS)) / 4
_CLOSE = 1e-6  # mm: ends nearer than this are one point


@dataclass(frozen=True)
class Placement:
    """A rigid placing: z -> turn * z + shift, or turn * conj(z) + shift where the thing is turned over.

    `turn` is a unit complex number. A mirrored placing shows the other side of the cloth.
    """

    turn: complex = 1 + 0j
    shift: complex = 0j
    mirrored: bool = False

    IDENTITY: ClassVar[Placement]

    @staticmethod
    def move(by: complex) -> Placement:
        return Placement(1 + 0j, by)

    @staticmethod
    def rotation(radians: float, about: complex = 0j) -> Placement:
        turn = cmath.rect(1, radians)
        return Placement(turn, about - turn * about)

    @staticmethod
    def mirror(about: complex = 0j, direction: complex = 1j) -> Placement:
        """Reflection in the line through `about` along `direction`."""
        unit = direction / abs(direction)
        turn = unit * unit
        return Placement(turn, about - turn * about.conjugate(), True)

    def apply(self, z: complex) -> complex:
        return self.turn * (z.conjugate() if self.mirrored else z) + self.shift

    def apply_all(self, z: np.ndarray) -> np.ndarray:
        return self.turn * (np.conj(z) if self.mirrored else z) + self.shift

    def direction(self, v: complex) -> complex:
        """A direction carried along: turned and mirrored, not moved."""
        return self.turn * (v.conjugate() if self.mirrored else v)

    def then(self, after: Placement) -> Placement:
        """This placing followed by `after`."""
        turn = after.turn * (self.turn.conjugate() if after.mirrored else self.turn)
        return Placement(turn / abs(turn), after.apply(self.shift), self.mirrored != after.mirrored)

    @property
    def inverse(self) -> Placement:
        if self.mirrored:
            return Placement(self.turn, -self.turn * self.shift.conjugate(), True)
        back = self.turn.conjugate()
        return Placement(back, -back * self.shift)


Placement.IDENTITY = Placement()


@lru_cache(maxsize=1024)
def _steps(count: int) -> np.ndarray:
    """`count` + 1 parameters from 0 to 1. Shared: never written to."""
    t = np.linspace(0, 1, count + 1)
    t.setflags(write=False)
    return t


def _bezier(seg: Segment, t: np.ndarray | float) -> np.ndarray | complex:
    p0, p1, p2, p3 = seg
    a, b, c = 3 * (p1 - p0), 3 * (p0 - 2 * p1 + p2), p3 - 3 * (p2 - p1) - p0
    return ((c * t + b) * t + a) * t + p0


def _slope(seg: Segment, t: np.ndarray | float) -> np.ndarray | complex:
    p0, p1, p2, p3 = seg
    u = 1 - t
    return 3 * (u * u * (p1 - p0) + 2 * u * t * (p2 - p1) + t * t * (p3 - p2))


def _cubic_length(seg: Segment, t0: float = 0.0, t1: float = 1.0) -> float:
    """Length of a cubic between two parameters, quadrature on two halves."""
    p0, p1, p2, p3 = seg
    a, b, c = 3 * (p1 - p0), 6 * (p0 - 2 * p1 + p2), 3 * (p3 - 3 * (p2 - p1) - p0)
    t = t0 + (t1 - t0) * _HALVES
    return (t1 - t0) * float(_HALF_WEIGHTS @ np.abs((c * t + b) * t + a))


@lru_cache(maxsize=20000)
def segment_length(seg: Segment) -> float:
    return abs(seg[1] - seg[0]) if len(seg) == 2 else _cubic_length(seg)


def _parameter_at(seg: Segment, s: float) -> float:
    """Parameter of a cubic at the length `s` from its start: Newton, kept in [0, 1]."""
    total = segment_length(seg)
    if s <= 0 or total <= 0:
        return 0.0
    if s >= total:
        return 1.0
    t = s / total
    low, high = 0.0, 1.0
    for _ in range(40):
        gap = _cubic_length(seg, 0.0, t) - s
        if abs(gap) < 1e-9:
            break
        low, high = (t, high) if gap < 0 else (low, t)
        speed = abs(complex(_slope(seg, t)))
        step = t - gap / speed if speed > 1e-12 else (low + high) / 2
        t = step if low < step < high else (low + high) / 2
    return t


def _split(seg: Segment, t: float) -> tuple[Segment, Segment]:
    """De Casteljau's division of a cubic at t."""
    p0, p1, p2, p3 = seg
    a, b, c = p0 + (p1 - p0) * t, p1 + (p2 - p1) * t, p2 + (p3 - p2) * t
    d, e = a + (b - a) * t, b + (c - b) * t
    m = d + (e - d) * t
    return (p0, a, d, m), (m, e, c, p3)


def _flat_count(seg: Segment, tol: float) -> int:
    """How many chords keep a cubic within `tol`: the bound from its second differences."""
    p0, p1, p2, p3 = seg
    bend = max(abs(p0 - 2 * p1 + p2), abs(p1 - 2 * p2 + p3))
    return max(1, math.ceil(math.sqrt(0.75 * bend / tol)))


@dataclass(frozen=True)
class Path:
    """A run of segments joined end to end, with a direction. Lengths and positions are in mm from its start."""

    segments: tuple[Segment, ...]

    @staticmethod
    def line(a: complex, b: complex) -> Path:
        return Path(((complex(a), complex(b)),))

    @staticmethod
    def polyline(points: object, closed: bool = False) -> Path:
        """Straight segments through the points (an iterable or array of complex)."""
        pts = [complex(p) for p in points]  # type: ignore[attr-defined]
        if closed and pts and abs(pts[0] - pts[-1]) > _CLOSE:
            pts.append(pts[0])
        return Path(tuple((a, b) for a, b in zip(pts, pts[1:], strict=False)))

    @staticmethod
    def circle(centre: complex, radius: float) -> Path:
        """Four cubics, 0.03 % of the radius off at most."""
        k = 0.5522847498 * radius
        pts = [centre + radius * 1j**n for n in range(5)]
        return Path(
            tuple(
                (a, a + k * 1j ** (n + 1), b - k * 1j ** (n + 2), b)
                for n, (a, b) in enumerate(zip(pts, pts[1:], strict=False))
            )
        )

    @property
    def start(self) -> complex:
        return self.segments[0][0]

    @property
    def end(self) -> complex:
        return self.segments[-1][-1]

    @property
    def closed(self) -> bool:
        return abs(self.start - self.end) < 1e-4

    @cached_property
    def _stops(self) -> tuple[float, ...]:
        """Length from the start to the end of each segment."""
        out, total = [], 0.0
        for seg in self.segments:
            total += segment_length(seg)
            out.append(total)
        return tuple(out)

    @property
    def length(self) -> float:
        return self._stops[-1] if self.segments else 0.0

    def _locate(self, s: float) -> tuple[int, float]:
        """Segment number and parameter at length s. Raises ValueError past either end (by over 0.01 mm)."""
        if s < -0.01 or s > self.length + 0.01:
            raise ValueError(f"{s:.2f} mm lies outside a line of {self.length:.2f} mm")
        before = 0.0
        for n, stop in enumerate(self._stops):
            if s <= stop or n == len(self._stops) - 1:
                seg = self.segments[n]
                inside = min(max(s - before, 0.0), stop - before)
                if len(seg) == 2:
                    span = stop - before
                    return n, inside / span if span > 0 else 0.0
                return n, _parameter_at(seg, inside)
            before = stop
        raise ValueError("an empty line has no points")

    def point(self, s: float) -> complex:
        n, t = self._locate(s)
        seg = self.segments[n]
        return seg[0] + (seg[1] - seg[0]) * t if len(seg) == 2 else complex(_bezier(seg, t))

    def tangent(self, s: float) -> complex:
        """Unit direction at length s (of the segment that ends there, at a corner)."""
        n, t = self._locate(s)
        return _unit_slope(self.segments[n], t)

    @property
    def start_tangent(self) -> complex:
        return _unit_slope(self.segments[0], 0.0)

    @property
    def end_tangent(self) -> complex:
        return _unit_slope(self.segments[-1], 1.0)

    def normal(self, s: float) -> complex:
        """Unit normal to the left hand of the way, on a table with y down (tangent turned by -90 degrees)."""
        return self.tangent(s) * -1j

    def reversed(self) -> Path:
        return Path(tuple(tuple(reversed(seg)) for seg in reversed(self.segments)))

    def placed(self, placing: Placement) -> Path:
        if placing == Placement.IDENTITY:
            return self
        turn, shift = placing.turn, placing.shift  # written out: it is done to every point of a booklet
        if placing.mirrored:
            return Path(tuple([tuple([turn * p.conjugate() + shift for p in seg]) for seg in self.segments]))
        return Path(tuple([tuple([turn * p + shift for p in seg]) for seg in self.segments]))

    def stretched(self, sx: float, sy: float, about: complex = 0j) -> Path:
        """Scaled by sx across and sy down about a point."""

        def move(p: complex) -> complex:
            d = p - about
            return about + complex(d.real * sx, d.imag * sy)

        return Path(tuple(tuple(move(p) for p in seg) for seg in self.segments))

    def joined(self, *others: Path) -> Path:
        segments = self.segments
        for other in others:
            segments += other.segments
        return Path(segments)

    def part(self, s0: float, s1: float) -> Path:
        """The piece of the run from s0 to s1 (s0 < s1)."""
        if s1 - s0 < 1e-9:
            raise ValueError("a part needs some length")
        n0, t0 = self._locate(s0)
        n1, t1 = self._locate(s1)
        out: list[Segment] = []
        for n in range(n0, n1 + 1):
            a = t0 if n == n0 else 0.0
            b = t1 if n == n1 else 1.0
            if b - a < 1e-9:
                continue
            out.append(_between(self.segments[n], a, b))
        if not out:
            return Path.line(self.point(s0), self.point(s1))
        return Path(tuple(out))

    def flatten(self, tol: float = 0.05) -> np.ndarray:
        """Points (complex array) of chords that keep within `tol` mm."""
        out: list[np.ndarray] = []
        straight = [self.start]  # corners since the last curve
        for seg in self.segments:
            if len(seg) == 2:
                straight.append(seg[1])
                continue
            if straight:
                out.append(np.array(straight))
                straight = []
            points = np.asarray(_bezier(seg, _steps(_flat_count(seg, tol))[1:]))
            points[-1] = seg[3]  # exactly, so that neighbouring lines share a point
            out.append(points)
        if straight:
            out.append(np.array(straight))
        return np.concatenate(out)

    @cached_property
    def bbox(self) -> Box:
        pts = self.flatten(0.05)
        return float(pts.real.min()), float(pts.imag.min()), float(pts.real.max()), float(pts.imag.max())

    def nearest(self, z: complex) -> float:
        """Length along the run at which it comes nearest to a point."""
        best_gap, best_s, before = math.inf, 0.0, 0.0
        for seg, stop in zip(self.segments, self._stops, strict=True):
            n = 1 if len(seg) == 2 else max(8, _flat_count(seg, 0.02))
            t = _steps(n)
            pts = seg[0] + (seg[1] - seg[0]) * t if len(seg) == 2 else np.asarray(_bezier(seg, t))
            a, d = pts[:-1], np.diff(pts)
            size = np.abs(d) ** 2
            u = np.clip(((z - a) * d.conj()).real / np.where(size > 0, size, 1), 0, 1)
            gaps = np.abs(a + u * d - z)
            k = int(np.argmin(gaps))
            if gaps[k] < best_gap - 1e-12:
                best_gap = float(gaps[k])
                where = (k + float(u[k])) / n
                best_s = (
                    before + (stop - before) * where
                    if len(seg) == 2
                    else before + _cubic_length(seg, 0.0, where)
                )
            before = stop
        return best_s

    def crossings(self, other: Path) -> list[tuple[float, complex]]:
        """Where another line meets this one: (length along this one, point), in order."""
        from_lengths: list[tuple[float, complex]] = []
        for s, _, z in _meetings(self, other):
            if not from_lengths or all(abs(z - w) > 1e-3 for _, w in from_lengths):
                from_lengths.append((s, z))
        return sorted(from_lengths, key=lambda sz: sz[0])


def _unit_slope(seg: Segment, t: float) -> complex:
    if len(seg) == 2:
        d = seg[1] - seg[0]
    else:
        d = complex(_slope(seg, t))
        if abs(d) < 1e-9:  # control point on the end: look along to the next one
            d = seg[2] - seg[0] if t < 0.5 else seg[3] - seg[1]
        if abs(d) < 1e-9:
            d = seg[3] - seg[0]
    if abs(d) < 1e-12:
        raise ValueError("a line of no length has no direction")
    return d / abs(d)


def _between(seg: Segment, a: float, b: float) -> Segment:
    if len(seg) == 2:
        d = seg[1] - seg[0]
        return seg[0] + d * a, seg[0] + d * b
    tail = _split(seg, a)[1] if a > 0 else seg
    return _split(tail, (b - a) / (1 - a))[0] if b < 1 else tail


def _box_meets(seg: Segment, others: tuple[Segment, ...]) -> bool:
    """Whether the box of a segment's points meets the box of any other's: a curve lies within its points' box."""
    x0, x1 = min(p.real for p in seg) - 1e-3, max(p.real for p in seg) + 1e-3
    y0, y1 = min(p.imag for p in seg) - 1e-3, max(p.imag for p in seg) + 1e-3
    for o in others:
        if (
            min(p.real for p in o) <= x1
            and max(p.real for p in o) >= x0
            and min(p.imag for p in o) <= y1
            and max(p.imag for p in o) >= y0
        ):
            return True
    return False


def _chords(path: Path, wanted: tuple[int, ...]) -> list[tuple[int, float, float, complex, complex]]:
    out = []
    for n in wanted:
        seg = path.segments[n]
        if len(seg) == 2:
            out.append((n, 0.0, 1.0, seg[0], seg[1]))
            continue
        count = max(4, _flat_count(seg, 0.02))
        t = _steps(count)
        pts = np.asarray(_bezier(seg, t))
        out += [(n, float(t[i]), float(t[i + 1]), complex(pts[i]), complex(pts[i + 1])) for i in range(count)]
    return out


def _meetings(a: Path, b: Path) -> list[tuple[float, float, complex]]:
    """Crossings of two paths as (length on a, length on b, point), refined by Newton on both curves."""
    out = []
    near_b = tuple(n for n, seg in enumerate(b.segments) if _box_meets(seg, a.segments))
    near_a = tuple(n for n, seg in enumerate(a.segments) if _box_meets(seg, b.segments))
    if not near_a or not near_b:
        return []
    cb = _chords(b, near_b)
    pb = np.array([c[3] for c in cb])
    db = np.array([c[4] for c in cb]) - pb
    for na, ta0, ta1, p, q in _chords(a, near_a):
        d = q - p
        cross = d.real * db.imag - d.imag * db.real
        w = pb - p
        with np.errstate(divide="ignore", invalid="ignore"):
            u = (w.real * db.imag - w.imag * db.real) / cross
            v = (w.real * d.imag - w.imag * d.real) / cross
        hits = np.nonzero(
            (np.abs(cross) > 1e-12) & (u > -1e-6) & (u < 1 + 1e-6) & (v > -1e-6) & (v < 1 + 1e-6)
        )[0]
        for k in hits:
            nb, tb0, tb1, _, _ = cb[int(k)]
            ta = ta0 + (ta1 - ta0) * float(u[k])
            tb = tb0 + (tb1 - tb0) * float(v[k])
            ta, tb = _polish(a.segments[na], b.segments[nb], ta, tb)
            sa = (a._stops[na - 1] if na else 0.0) + _length_to(a.segments[na], ta)
            sb = (b._stops[nb - 1] if nb else 0.0) + _length_to(b.segments[nb], tb)
            out.append((sa, sb, _at(a.segments[na], ta)))
    return out


def _at(seg: Segment, t: float) -> complex:
    return seg[0] + (seg[1] - seg[0]) * t if len(seg) == 2 else complex(_bezier(seg, t))


def _length_to(seg: Segment, t: float) -> float:
    return segment_length(seg) * t if len(seg) == 2 else _cubic_length(seg, 0.0, t)


def _polish(a: Segment, b: Segment, ta: float, tb: float) -> tuple[float, float]:
    for _ in range(8):
        gap = _at(a, ta) - _at(b, tb)
        if abs(gap) < 1e-10:
            break
        da = a[1] - a[0] if len(a) == 2 else complex(_slope(a, ta))
        db = b[1] - b[0] if len(b) == 2 else complex(_slope(b, tb))
        det = -da.real * db.imag + da.imag * db.real
        if abs(det) < 1e-12:
            break
        ta += (gap.real * db.imag - gap.imag * db.real) / det
        tb += (gap.real * da.imag - gap.imag * da.real) / det
        ta, tb = min(max(ta, 0.0), 1.0), min(max(tb, 0.0), 1.0)
    return ta, tb


def area(points: np.ndarray) -> float:
    """Signed area of a closed ring of points (complex), mm2: positive when it runs clockwise as seen, y down."""
    nxt = np.roll(points, -1)
    return float(np.sum(points.real * nxt.imag - nxt.real * points.imag)) / 2


def fit_rigid(source: np.ndarray, target: np.ndarray, mirrored: bool) -> Placement:
    """The rigid placing that brings points nearest to their partners, least squares (two-dimensional Procrustes).

    Source: Kabsch 1976, Acta Crystallographica A32, in its complex form. Both arrays hold n complex points.
    """
    src = np.conj(source) if mirrored else source
    cs, ct = src.mean(), target.mean()
    turn = complex(np.sum((target - ct) * np.conj(src - cs)))
    turn = turn / abs(turn) if abs(turn) > 1e-12 else 1 + 0j
    return Placement(turn, complex(ct - turn * cs), mirrored)
