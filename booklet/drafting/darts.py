"""Drawn darts: the edge is redrawn smooth with the dart closed, then opened, and its end shaped for pressing."""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import replace

from booklet.drafting.asked import Asked
from booklet.drafting.numeric import Unbracketed, find_root
from booklet.drafting.places import drawn_at
from booklet.drafting.shape import Run, Shape
from booklet.model import Dart, TakeUp, Trueing
from booklet.paths import Path, Placement
from booklet.problems import Fault, Where
from booklet.splines import smooth_curve

STEEPEST = 55.0  # degrees: a dart that leans more than this from the square of its edge has no clean end


def put_dart(
    shape: Shape,
    name: str,
    edge: str,
    middle: float,
    wide: float,
    long: float,
    press_first: bool,
    words: str,
    where: Where,
) -> Shape:
    """A dart `wide` mm across its mouth and `long` mm deep, its middle at `middle` mm along the edge's way.

    The edge is redrawn so that it runs on smoothly when the dart is folded. The legs are equal. The mouth takes the
    shape got by folding the dart towards its first leg (`press_first`) or its second and cutting across.
    """
    run = shape.run(edge)
    line = run.path
    s1, s2 = middle - wide / 2, middle + wide / 2
    _check_room(run, name, s1, s2, where)
    first, second = line.point(s1), line.point(s2)
    chord = second - first
    inward = chord / abs(chord) * 1j  # the ring runs clockwise, so its inside is on the right hand
    point = (first + second) / 2 + inward * long
    dart = Dart(name, edge, first, point, second, abs(second - first), press_first, words)
    return _drawn(shape, run, dart, s1, s2)


def aim_dart(
    shape: Shape, name: str, edge: str, middle: float, wide: float, point: complex, press_first: bool, words: str,
    where: Where,
) -> Shape:  # fmt: skip
    """A dart `wide` mm across its mouth that runs from `middle` mm along the edge to a given point, on a slant or not.

    The legs lie on both sides of the line to the point, equally long: the mean of where they meet the edge as it was. The
    edge is redrawn to run on smoothly when the dart is folded.
    """
    run = shape.run(edge)
    line = run.path
    mouth = line.point(middle)
    axis = mouth - point
    slant = abs(math.degrees(cmath.phase(axis / (line.tangent(middle) * -1j))))
    if abs(axis) < wide or slant > STEEPEST:
        raise Fault.of(
            "dart-slant",
            f"the dart {name} would be {abs(axis):.0f} mm long and lean {slant:.0f} degrees from the square of {edge}",
            where,
            f"Let it be longer than it is wide and lean {STEEPEST:.0f} degrees at the most.",
        )
    ends, leg = [mouth, mouth], abs(axis)
    met = [middle, middle]
    for _ in range(20):  # each step is off by a small share of the last
        half = math.asin(wide / 2 / leg)
        ends = [point + axis / abs(axis) * cmath.exp(k * half) * leg for k in (-1j, 1j)]
        rays = [Path.line(point, z + (z - point) * line.length) for z in ends]
        met = [
            min((s for s, _ in line.crossings(ray)), key=lambda s: abs(s - middle), default=missed)
            for ray, missed in zip(rays, (-wide, line.length + wide), strict=True)
        ]
        _check_room(run, name, met[0], met[1], where)
        now = sum(abs(line.point(s) - point) for s in met) / 2
        settled, leg = abs(now - leg) < 1e-9, now
        if settled:
            break
    dart = Dart(name, edge, ends[0], point, ends[1], abs(ends[1] - ends[0]), press_first, words)
    return _drawn(shape, run, dart, met[0], met[1])


def _check_room(run: Run, name: str, s1: float, s2: float, where: Where) -> None:
    if s1 < 10 or s2 > run.path.length - 10:
        raise Fault.of(
            "dart-place",
            f"the dart {name}, {s2 - s1:.0f} mm wide at {(s1 + s2) / 2:.0f} mm, does not fit on {run.name}, "
            f"{run.path.length:.0f} mm long",
            where,
            "Set it nearer the middle of the edge or make it narrower.",
        )
    for up in run.take_ups:
        if up.start < s2 and up.end > s1:
            raise Fault.of(
                "dart-place", f"the mouths of the dart {name} and of {up.name} on {run.name} overlap", where,
                "Set them further apart.",
            )  # fmt: skip


def _free(run: Run, s1: float, s2: float) -> tuple[float, float]:
    """How far the edge runs on both sides of a mouth without another dart or pleat."""
    low = max((t.end for t in run.take_ups if t.end <= s1), default=0.0)
    return low, min((t.start for t in run.take_ups if t.start >= s2), default=run.path.length)


def _redrawn(line: Path, dart: Dart, s1: float, s2: float, low: float, high: float) -> tuple[Path, Path]:
    """The stretches before and after a dart: one smooth line through its first leg's end while it is folded."""
    closing = Placement.rotation(
        cmath.phase((dart.first - dart.point) / (dart.second - dart.point)), dart.point
    )
    before, after = line.part(low, s1), line.part(s2, high).placed(closing)
    via_before = [seg[0] for seg in before.segments]
    via_after = [seg[-1] for seg in after.segments]
    closed = smooth_curve([*via_before, dart.first, *via_after], before.start_tangent, after.end_tangent)
    left, right = closed.segments[: len(via_before)], closed.segments[len(via_before) :]
    return Path(left), Path(right).placed(closing.inverse)


def _drawn(shape: Shape, run: Run, dart: Dart, s1: float, s2: float) -> Shape:
    """The dart on its edge, redrawn from what lies before s1 and after s2, as far as the next dart or pleat."""
    line, edge = run.path, run.name
    low, high = _free(run, s1, s2)
    left, right = _redrawn(line, dart, s1, s2, low, high)
    parts = [left, Path.line(dart.first, dart.second), right]
    if low > 0:
        parts.insert(0, line.part(0, low))
    if high < line.length:
        parts.append(line.part(high, line.length))
    path = parts[0].joined(*parts[1:])

    def moved(s: float) -> float:
        """Where a place of the old line lies on the new one: at its share of its side."""
        if s <= s1:
            return s if s <= low else low + (s - low) * left.length / (s1 - low)
        rest = line.length - s
        beyond = line.length - high
        return path.length - (rest if rest <= beyond else beyond + (high - s) * right.length / (high - s2))

    marks = tuple(replace(m, at=moved(m.at)) for m in run.marks)
    ups = [replace(t, start=moved(t.start), end=moved(t.end)) for t in run.take_ups]
    mouth = low + left.length
    ups.append(TakeUp(dart.name, mouth, mouth + abs(dart.second - dart.first)))
    ups.sort(key=lambda t: t.start)
    darts = (*shape.darts, dart)
    new = shaped_ends(replace(run, path=path, marks=marks, take_ups=tuple(ups)), darts)
    change = Trueing(edge, f"redrawn over {dart.name}", run.sewn - (s2 - s1), new.sewn)
    return replace(shape.with_run(new), darts=darts, trueings=(*shape.trueings, change))


def shaped_ends(run: Run, darts: Sequence[Dart]) -> Run:
    """An edge with the ends of all its darts drawn anew from the stretches beside them."""
    known = {d.name: d for d in darts if d.edge == run.name}
    ups = sorted(run.take_ups, key=lambda t: t.start)
    stops = [0.0, *(s for t in ups for s in (t.start, t.end)), run.path.length]
    between = [
        run.path.part(a, b) if b - a > 1e-6 else None for a, b in zip(stops[::2], stops[1::2], strict=True)
    ]
    parts: list[Path] = []
    new_ups: list[TakeUp] = []
    grown: list[tuple[float, float]] = []  # beyond this place, marks move on by so much
    at = 0.0
    for n, up in enumerate(ups):
        left, right, dart = between[n], between[n + 1], known.get(up.name)
        end = run.path.part(up.start, up.end)
        if dart is not None and dart.press_first and left is not None:
            end = dart_end(dart, left)
        elif dart is not None and not dart.press_first and right is not None:
            end = dart_end(dart, right.reversed())
        parts += [p for p in (left, end) if p is not None]
        at += left.length if left is not None else 0.0
        new_ups.append(replace(up, start=at, end=at + end.length))
        at += end.length
        grown.append((up.end, end.length - (up.end - up.start)))
    parts += [p for p in between[-1:] if p is not None]
    marks = tuple(replace(m, at=m.at + sum(by for s, by in grown if m.at >= s - 1e-9)) for m in run.marks)
    return replace(run, path=parts[0].joined(*parts[1:]), marks=marks, take_ups=tuple(new_ups))


def dart_end(dart: Dart, beside: Path) -> Path:
    """The edge between a dart's legs, from the first to the second.

    `beside` is the edge on the side that the fold is pressed to, its end at that leg. It is seen through the folded dart,
    mirrored leg by leg: so the dart's end, folded, lies on the seam line.
    """
    first, point, second, press_first = dart.first, dart.point, dart.second, dart.press_first
    near, far = (first, second) if press_first else (second, first)
    half = cmath.phase((far - point) / (near - point)) / 2
    ray = Path.line(point, point + (near - point) * cmath.exp(-1j * half) * 3)
    met = beside.crossings(ray)
    if not met:  # too short a stretch for the fold: prolonged
        way = beside.start_tangent
        beside = Path.line(beside.start - way * 4 * abs(far - near), beside.start).joined(beside)
        met = beside.crossings(ray)
    if not met:
        raise ValueError(f"the end of the dart {dart.name} cannot be folded on to {dart.edge}")
    strip = beside.part(met[-1][0], beside.length)  # from the fold's far side up to the near leg
    over_leg = Placement.mirror(point, near - point)
    outer = strip.placed(over_leg).reversed()  # near leg -> fold line
    middle = Placement.mirror(point, (near - point) * cmath.exp(1j * half))
    inner = outer.placed(middle).reversed()  # fold line -> far leg
    whole = Path((*outer.segments, *inner.segments))
    return whole if press_first else whole.reversed()


# ---------------------------------------------------------------- the point that a dart turns about


def pivot_of(shape: Shape, dart: Dart) -> complex:
    """The point that a dart's cloth turns about: its own point, or the one it was drawn back from."""
    for name, z in shape.points:
        if name == pivot_name(dart.name) and abs(abs(dart.first - z) - abs(dart.second - z)) < 0.5:
            return z
    return dart.point


def pivot_name(dart: str) -> str:
    """How that point is called among the shape's points. No construction point has a dot in its name."""
    return f"{dart}.pivot"


# ---------------------------------------------------------------- as the file asks for it


def ask_dart(asked: Asked, shape: Shape, name: str) -> Shape:
    """An entry of `darts:`: `{on, from, at, wide or takes, long, press}`, or `to: POINT` with `short of point:` or `long:`.

    `wide` is measured across the mouth; `takes` is what the edge loses when the dart is sewn, and the width is solved.
    """
    far = asked.amount("at")
    wanted = asked.amount("takes" if asked.has("takes") else "wide")
    long = asked.amount("long", default=math.inf)
    if wanted <= 0 or long <= 0:
        raise asked.fault(
            "dart-size",
            f"the dart {name} is {wanted:.1f} mm wide and {long:.1f} mm long",
            "Give it a width and a length, or a `when:` under which it vanishes.",
        )
    if any(d.name == name for d in shape.darts):
        raise asked.fault("twice", f"{asked.key} already has a dart '{name}'", "Give this one another name.")
    run = asked.run(shape, asked.words("on"), f"the dart {name}: {asked.key}")
    begins = asked.begins(shape, run, asked.words("from"), f"the dart {name}")
    middle = drawn_at(run, far if begins else run.sewn - far)
    words = asked.words("press", "to centre")
    first = presses_first(shape, run, middle, words)
    _check_room(run, name, middle - wanted / 2, middle + wanted / 2, asked.where)
    aim = point_of(asked, asked.words("to")) if asked.has("to") else None
    whole = 0.0 if aim is None else abs(run.path.point(middle) - aim)
    short = 0.0
    if aim is not None:
        short = whole - long if asked.has("long") else asked.amount("short of point", default=0.0)
        check_short(asked, name, short, whole)

    def drawn(wide: float) -> Shape:
        if aim is None:
            return put_dart(shape, name, run.name, middle, wide, long, first, words, asked.where)
        end = aim + (run.path.point(middle) - aim) / max(whole, 1e-9) * short
        return aim_dart(shape, name, run.name, middle, wide, end, first, words, asked.where)

    made = drawn(_width(drawn, run, wanted, asked, name) if asked.has("takes") else wanted)
    return (
        made if aim is None or short <= 0 else replace(made, points=(*made.points, (pivot_name(name), aim)))
    )


def _width(drawn: Callable[[float], Shape], run: Run, takes: float, asked: Asked, name: str) -> float:
    """The width of a dart that takes just so much out of its edge's sewn length."""

    def over(wide: float) -> float:
        return run.sewn - drawn(wide).run(run.name).sewn - takes

    for k in (1.03, 1.1, 1.25, 1.5, 2.0):  # no wider than need be, so that what fits is not refused
        with suppress(Unbracketed, Fault):
            return find_root(over, takes / k, takes * k, 1e-6)
    raise asked.fault(
        "dart-size", f"no width of the dart {name} takes {takes:.1f} mm out of {asked.key}.{run.name}",
        "Set it nearer the middle of the edge, or less on a slant.",
    )  # fmt: skip


def ask_drawn_dart(asked: Asked, shape: Shape) -> Shape:
    """`dart: {name, ...}`: as an entry of `darts:`, at this place of `do:`."""
    return ask_dart(asked, shape, asked.words("name"))


def check_short(asked: Asked, name: str, short: float, whole: float) -> None:
    if not 0 <= short < whole * 0.75:
        raise asked.fault(
            "dart-size",
            f"the dart {name} would end {short:.1f} mm short of a point {whole:.0f} mm from the edge",
            "Draw it back by less than three quarters of that, and never beyond the point.",
        )


def point_of(asked: Asked, name: str) -> complex:
    """A point of the construction as it lies on the piece, which may have been turned over with `mirror: true`."""
    z = asked.table.point(name, None, asked.where)
    key: str | None = asked.key
    seen: list[str] = []
    while key is not None and key not in seen:
        seen.append(key)
        raw = asked.maker.raw.get(key) or {}
        z = complex(-z.real, z.imag) if raw.get("mirror") else z
        key = raw.get("from")
    return z


def presses_first(shape: Shape, run: Run, middle: float, words: str) -> bool:
    """Whether 'to centre' lies towards the start of the edge: the fold's end, or where the centre line crosses."""
    towards = words.removeprefix("to ").strip()
    before, after = shape.neighbours(run.name)
    if shape.fold is not None and towards == "centre":
        fold = shape.run(shape.fold).path
        way = (fold.end - fold.start).conjugate()
        return abs(((run.path.start - fold.start) * way).imag) < abs(((run.path.end - fold.start) * way).imag)
    if towards in (before.name, after.name):
        return before.name == towards
    across = next((f for f in shape.lines_across if f.name == towards), None)
    if across is not None:
        return min(run.path.nearest(across.path.start), run.path.nearest(across.path.end)) < middle
    return True
