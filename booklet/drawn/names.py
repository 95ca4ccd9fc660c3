"""Places names in a drawing of a draft: along their lines, beside their points, and nothing over anything.

Every name offers spots on fixed steps. The set is found by setting the name with the fewest spots first and letting a
name that finds none push others aside, a bounded number of times; then each takes a better spot if one is free. The same
input gives the same places.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.display import Item, Text
from booklet.drawing.marks import leader, readable_angle
from booklet.drawing.text import measure, tidy
from booklet.paths import Path
from booklet.units import MM_PER_POINT

Words = tuple[tuple[str, int], ...]  # runs of one line, each with its weight

_RISE, _DROP = 0.70, 0.22  # of the size: from the baseline to what letters reach
_OFF = 0.8  # between a line and the words along it
_BEND = 0.9  # how far a line may bow away under the words along it
_GAP = 0.45  # clear ground between words and lines
_PUSHES = 600
_REACHES = (1.15, 1.9, 3.2, 4.8, 6.5, 8.5, 11.0, 14.0)
_BARE = 2.0  # a name as near as this needs no leader


@dataclass(frozen=True)
class Name:
    """A name for a point, or for a line (`along`), in the drawing's mm.

    `prefer` is the side of the line on which it would rather stand: a vector per place is the line's normal times this
    (1 left hand of its way, -1 right hand, 0 either). `dot` sets a dot at the foot of a leader.
    """

    words: Words
    at: complex
    along: Path | None = None
    prefer: int = 0
    colour: str = look.INK
    size_pt: float = look.LABEL_PT
    dot: bool = False

    @property
    def wide(self) -> float:
        return sum(measure(tidy(text), self.size_pt, weight) for text, weight in self.words)

    @property
    def tall(self) -> float:
        return (_RISE + _DROP) * self.size_pt * MM_PER_POINT


@dataclass(frozen=True)
class _Spot:
    """The left end of a baseline with its angle, the words' box, what a leader would join, the cost."""

    base: complex
    angle: float
    box: BaseGeometry
    lead: tuple[complex, complex] | None
    cost: float


@dataclass(frozen=True)
class Set:
    """Names as items, and those that found no place."""

    items: tuple[Item, ...]
    left_over: tuple[Name, ...]


def set_names(
    names: Sequence[Name],
    lines: Sequence[BaseGeometry],
    frame: tuple[float, float, float, float] | None = None,
    keep_off: BaseGeometry | None = None,
) -> Set:
    """Sets names among drawn lines, within a frame (x0, y0, x1, y1) if there is one.

    On `keep_off` (the grounds of things) only names along a line may stand for nothing; it costs others a little.
    """
    if not names:
        return Set((), ())
    choices = [_free(_spots(n), lines, frame, keep_off) for n in names]
    picked = _choose(choices)
    items: list[Item] = []
    left: list[Name] = []
    for name, spot in zip(names, picked, strict=True):
        if spot is None:
            left.append(name)
        else:
            items += _items(name, spot)
    return Set(tuple(items), tuple(left))


# ---------------------------------------------------------------- spots


def _spots(name: Name) -> list[_Spot]:
    out = _along(name, name.along) if name.along is not None else []
    return out + _beside(name, 0.0 if name.along is None else 12.0)


def _box(base: complex, angle: float, wide: float, size_pt: float, grown: float) -> BaseGeometry:
    size = size_pt * MM_PER_POINT
    turn = cmath.rect(1, math.radians(angle))
    top, foot = -_RISE * size - grown, _DROP * size + grown
    ends = ((-grown, foot), (wide + grown, foot), (wide + grown, top), (-grown, top))
    return shapely.Polygon([((z := base + turn * complex(x, y)).real, z.imag) for x, y in ends])


def _along(name: Name, line: Path) -> list[_Spot]:
    """Spots beside a line, turned with it, where it is straight enough under the words."""
    wide, long = name.wide, line.length
    size = name.size_pt * MM_PER_POINT
    out: list[_Spot] = []
    room = long - wide
    if room < -wide * 0.6:
        return out
    if room < 0.5:
        stops = [long / 2]
    else:
        count = min(24, max(2, int(room / 2.5)))
        stops = [wide / 2 + room * k / count for k in range(count + 1)]
    for s in stops:
        a, b = line.point(max(s - wide / 2, 0.0)), line.point(min(s + wide / 2, long))
        if abs(b - a) < 1e-6:
            continue
        way = (b - a) / abs(b - a)
        under = [
            line.point(t) for t in np.linspace(max(s - wide / 2, 0.0), min(s + wide / 2, long), 7).tolist()
        ]
        bows = [((z - a) * way.conjugate()).imag for z in under]  # below the chord where positive
        if max(bows) - min(bows) > _BEND:
            continue
        angle = readable_angle(way)
        turn = cmath.rect(1, math.radians(angle))
        middle = (a + b) / 2
        for side in (1, -1):  # 1: left hand of the line's way
            reach = -min(bows) if side == 1 else max(bows)
            out_way = way * -1j * side
            upward = (out_way * (turn * -1j).conjugate()).real > 0
            lift = _OFF + reach + (_DROP if upward else _RISE) * size
            base = middle + out_way * lift - turn * wide / 2
            off = abs(s - long / 2) / max(long, 1.0) * 6.0
            cost = off + (6.0 if name.prefer == -side else 0.0) + (0.0 if room >= 0.5 else 4.0)
            box = _box(base, angle, wide, name.size_pt, _GAP - 0.05)
            out.append(_Spot(base, angle, box, None, cost))
    return out


def _beside(name: Name, more: float) -> list[_Spot]:
    """Upright spots round a point, with a leader where they stand further off."""
    wide = name.wide
    size = name.size_pt * MM_PER_POINT
    high = 0.25 * size  # half the height of small letters
    out: list[_Spot] = []
    for reach in _REACHES:
        for tenth in range(24):
            way = cmath.rect(1, math.radians(tenth * 15))
            foot = name.at
            start = foot + way * reach
            if way.real > 0.3:
                base = complex(start.real, start.imag + high)
            elif way.real < -0.3:
                base = complex(start.real - wide, start.imag + high)
            else:
                drop = _RISE * size + 0.1 if way.imag > 0 else -_DROP * size - 0.1
                base = complex(start.real - wide / 2, start.imag + drop)
            gap = 0.6 * way
            lead = None if reach <= _BARE else (start - gap, foot)
            cost = more + reach * 1.2 + (6.0 if lead else 0.0) + 1.5 * abs(way.imag) * (way.real < -0.3)
            cost += 0.8 * (way.real < 0) + 0.5 * abs(way.imag)
            out.append(_Spot(base, 0.0, _box(base, 0.0, wide, name.size_pt, _GAP), lead, cost))
    return out


def _free(
    spots: list[_Spot],
    lines: Sequence[BaseGeometry],
    frame: tuple[float, float, float, float] | None,
    keep_off: BaseGeometry | None,
) -> list[_Spot]:
    """Those that lie on no line and inside the frame, the cheapest first."""
    if not spots:
        return []
    boxes = np.array([s.box for s in spots])
    hit = np.zeros(len(spots), bool)
    crossed = np.zeros(len(spots))
    if lines:
        tree = STRtree(list(lines))
        hit[tree.query(boxes, predicate="intersects")[0]] = True
        leads = np.array([_lead(s, 0.12) for s in spots])
        there = np.nonzero(~shapely.is_missing(leads))[0]
        np.add.at(crossed, there[tree.query(leads[there], predicate="intersects")[0]], 1)
    if frame is not None:
        hit |= ~shapely.contains(shapely.box(*frame), boxes)
    on = np.zeros(len(spots))
    if keep_off is not None:
        shapely.prepare(keep_off)
        on = np.where(shapely.intersects(keep_off, boxes), 1.5, 0.0)
    out = []
    for k in np.nonzero(~hit)[0]:
        s = spots[k]
        extra = 4.0 * crossed[k] + (on[k] if s.angle == 0.0 else 0.0)
        out.append(_Spot(s.base, s.angle, s.box, s.lead, s.cost + float(extra)))
    return sorted(out, key=lambda s: s.cost)


def _lead(spot: _Spot, foot_off: float) -> BaseGeometry | None:
    """The leader's line, a share of it left out at its foot, where it touches what it names."""
    if spot.lead is None:
        return None
    a, b = spot.lead
    b = b + (a - b) * foot_off
    return shapely.LineString([(a.real, a.imag), (b.real, b.imag)])


# ---------------------------------------------------------------- choosing


def _choose(choices: list[list[_Spot]]) -> list[_Spot | None]:
    """One spot a name, none against another, as far as that is found."""
    picked: list[_Spot | None] = [None] * len(choices)
    waiting = sorted(range(len(choices)), key=lambda k: (len(choices[k]), k))
    pushed = [0] * len(choices)
    for _ in range(_PUSHES):
        if not waiting:
            break
        k = waiting.pop(0)
        best: tuple[float, int, list[int]] | None = None
        for n, spot in enumerate(choices[k]):
            if best is not None and spot.cost >= best[0]:
                break
            against = _against(spot, picked, k)
            cost = spot.cost + sum(25.0 * (1 + pushed[j]) for j in against)
            if best is None or cost < best[0]:
                best = (cost, n, against)
        if best is None:
            continue
        for j in best[2]:
            picked[j] = None
            pushed[j] += 1
            waiting.append(j)
        picked[k] = choices[k][best[1]]
    for k, own in enumerate(choices):
        for spot in own:
            mine = picked[k]
            if mine is not None and spot.cost >= mine.cost:
                break
            if not _against(spot, picked, k):
                picked[k] = spot
                break
    return picked


def _against(spot: _Spot, picked: Sequence[_Spot | None], own: int) -> list[int]:
    return [j for j, other in enumerate(picked) if other is not None and j != own and _clash(spot, other)]


def _clash(a: _Spot, b: _Spot) -> bool:
    if a.box.intersects(b.box):
        return True
    lead_a, lead_b = _lead(a, 0.0), _lead(b, 0.0)
    return (
        (lead_a is not None and lead_a.intersects(b.box))
        or (lead_b is not None and lead_b.intersects(a.box))
        or (lead_a is not None and lead_b is not None and lead_a.distance(lead_b) < 0.3)
    )


def _items(name: Name, spot: _Spot) -> list[Item]:
    items: list[Item] = []
    turn = cmath.rect(1, math.radians(spot.angle))
    at = spot.base
    for text, weight in name.words:
        text = tidy(text)
        items.append(
            Text(
                at.real, at.imag, text, name.size_pt, weight, name.colour, spot.angle, "start", "label",
            )
        )  # fmt: skip
        at += turn * measure(text, name.size_pt, weight)
    if spot.lead is not None:
        items += leader(*spot.lead, dot=name.dot)
    return items
