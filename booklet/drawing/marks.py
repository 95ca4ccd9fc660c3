"""The marks of the booklet's language: arrows, measures, notches, waves, grain, fold, rings, ticks.

Every function returns display items (or a path) in the drawing's millimetres. Arrows end exactly on the points
they are given: both ends are recorded in `PathItem.ends`, so that a check can find what they stand on.
"""

from __future__ import annotations

import cmath
import math

from booklet.drawing import look
from booklet.drawing.display import Fill, Item, PathItem, Stroke, Text, box_path, circle_path
from booklet.drawing.text import height_mm, measure, tidy
from booklet.paths import Path, Segment

_HEAD_NOTCH = 0.28  # depth of the notch in a head's back, of its length


def unit(v: complex) -> complex:
    """The direction of v. Raises ValueError where v has no length."""
    if abs(v) < 1e-12:
        raise ValueError("a mark of no length has no direction")
    return v / abs(v)


def arrow_head(tip: complex, towards: complex, long: float, wide: float) -> Path:
    """A head with a notched back, its tip exactly on `tip`; `towards` is the way it flies."""
    d = unit(towards)
    back = tip - d * long
    side = d * 1j * wide / 2
    return Path.polyline([tip, back + side, tip - d * long * (1 - _HEAD_NOTCH), back - side], True)


# ---------------------------------------------------------------- arrows of action


def action_arrow(
    start: complex, tip: complex, stroke: Stroke = look.ACTION, dot: bool = True, role: str = "action"
) -> tuple[Item, ...]:
    """A straight arrow: a dot on the start (unless told otherwise), the tip on the target."""
    return arrow_along(Path.line(start, tip), stroke, dot, role)


def curved_arrow(
    start: complex,
    tip: complex,
    leave: complex,
    arrive: complex,
    stroke: Stroke = look.ACTION,
    dot: bool = True,
    role: str = "action",
    swing: float = 0.5,
) -> tuple[Item, ...]:
    """An arrow that leaves along `leave` and arrives along `arrive` (as a rule square to the edges it joins).

    `swing` is how far the control points lie out, as a share of the distance.
    """
    reach = abs(tip - start) * swing
    curve: Segment = (start, start + unit(leave) * reach, tip - unit(arrive) * reach, tip)
    return arrow_along(Path((curve,)), stroke, dot, role)


def arrow_along(
    path: Path, stroke: Stroke = look.ACTION, dot: bool = True, role: str = "action"
) -> tuple[Item, ...]:
    """An arrow that follows a path from its start to its end. Only an 'action' must end on things."""
    length = path.length
    head_long = min(look.ACTION_HEAD_LONG, length * 0.7)
    head_wide = look.ACTION_HEAD_WIDE * head_long / look.ACTION_HEAD_LONG
    back = length - head_long * (1 - _HEAD_NOTCH)
    shaft = path.part(0.0, back)
    # On a curve the head lies along its own chord, so that it sits on the line at both ends.
    head = arrow_head(path.end, path.end - path.point(max(length - head_long, 0.0)), head_long, head_wide)
    solids = (head, circle_path(path.start, look.ACTION_DOT)) if dot else (head,)
    ends: tuple[complex, ...] = (path.start, path.end) if dot else (path.end,)
    if role != "action":
        ends = ()
    return (
        PathItem((shaft,), stroke, role=role, ends=ends),
        *(PathItem((p,), fill=Fill(stroke.colour), role=role) for p in solids),
    )


# ---------------------------------------------------------------- measures and leaders


def readable_angle(direction: complex) -> float:
    """Degrees by which words turn to run along a direction and not stand on their heads."""
    angle = math.degrees(cmath.phase(direction))
    if angle > 90.0 + 1e-6:
        angle -= 180.0
    elif angle <= -90.0 - 1e-6:
        angle += 180.0
    # Straight up or down: words read from foot to top.
    return -90.0 if abs(abs(angle) - 90.0) < 1e-6 else angle


def centred_text(
    at: complex,
    text: str,
    size_pt: float,
    weight: int = 400,
    angle_deg: float = 0.0,
    colour: str = look.INK,
    role: str = "label",
) -> Text:
    """Words whose capitals have their middle exactly at a point, turned about it."""
    down = cmath.rect(1, math.radians(angle_deg)) * 1j * height_mm(size_pt) / 2
    foot = at + down
    return Text(foot.real, foot.imag, text, size_pt, weight, colour, angle_deg, "middle", role)


def measure_line(
    a: complex,
    b: complex,
    label: str,
    offset: float = 0.0,
    *,
    witness: bool = True,
    beside: complex | None = None,
    size_pt: float = look.MEASURE_PT,
    stroke: Stroke = look.MEASURE,
) -> tuple[Item, ...]:
    """A measure from a to b: a thin line with heads, its label in a gap, parallel to the edge.

    `offset` moves the line off the edge, to the left hand of a->b where positive; `witness` draws the short
    bars at its ends. A line too short for its label has the label beside it: towards `beside` if given, else
    on the side of the offset. Without a label the line is whole.
    """
    label = tidy(label)
    d = unit(b - a)
    out = d * -1j * (1 if offset >= 0 else -1)
    p, q = a + d * -1j * offset, b + d * -1j * offset
    long = abs(b - a)
    words = measure(label, size_pt, 600)
    items: list[Item] = []
    head_long, head_wide = look.MEASURE_HEAD_LONG, look.MEASURE_HEAD_WIDE
    inside = long >= 2 * head_long + 0.6
    fits = bool(label) and long >= words + 2 * 1.0 + 2 * head_long + 2.0
    middle = (p + q) / 2
    lines: list[Path] = []
    if fits:
        gap = words / 2 + 0.9
        lines += [
            Path.line(p + d * head_long * 0.7, middle - d * gap),
            Path.line(middle + d * gap, q - d * head_long * 0.7),
        ]
        items.append(centred_text(middle, label, size_pt, 600, readable_angle(d), stroke.colour, "measure"))
    else:
        if inside:
            lines.append(Path.line(p + d * head_long * 0.7, q - d * head_long * 0.7))
        else:  # too short for heads within: they stand outside and point inwards
            lines += [
                Path.line(p - d * (head_long + 1.4), p - d * head_long * 0.7),
                Path.line(q + d * head_long * 0.7, q + d * (head_long + 1.4)),
            ]
        if label:
            away = unit(beside) if beside else out
            items.append(_label_beside(middle, away, label, size_pt, stroke.colour))
    sign = 1 if inside else -1
    heads = (
        arrow_head(p, -d * sign, head_long, head_wide),
        arrow_head(q, d * sign, head_long, head_wide),
    )
    if witness:
        lo, hi = (0.8, 0.8) if abs(offset) < 1.5 else (abs(offset) - 0.8, 0.8)
        for end in (p, q):
            lines.append(Path.line(end - out * lo, end + out * hi))
    items.insert(0, PathItem(tuple(lines), stroke, role="measure"))
    items += [PathItem((h,), fill=Fill(stroke.colour), role="measure") for h in heads]
    return tuple(items)


def _label_beside(middle: complex, out: complex, label: str, size_pt: float, colour: str) -> Text:
    """Upright words wholly on the side `out` of a line through a point, 1.2 mm off it."""
    reach = abs(out.real) * measure(label, size_pt, 600) / 2 + abs(out.imag) * height_mm(size_pt) / 2
    return centred_text(middle + out * (reach + 1.2), label, size_pt, 600, 0.0, colour, "measure")


def leader(
    start: complex, foot: complex, dot: bool = True, stroke: Stroke = look.LEADER
) -> tuple[PathItem, ...]:
    """A straight leader from beside its words to a point; a dot where it names a surface."""
    line = PathItem((Path.line(start, foot),), stroke, role="leader", ends=(foot,))
    if not dot:
        return (line,)
    return line, PathItem(
        (circle_path(foot, look.LEADER_DOT),), fill=Fill(stroke.colour), role="leader", ends=()
    )


# ---------------------------------------------------------------- marks on pieces


def notch(
    at: complex,
    inward: complex,
    length: float = look.NOTCH_LENGTH,
    count: int = 1,
    gap: float | None = None,
    stroke: Stroke = look.NOTCH,
) -> PathItem:
    """One, two or three strokes from the cut edge inwards, side by side and centred on `at`."""
    inward = unit(inward)
    apart = gap if gap is not None else max(0.9, length * 0.5)
    starts = [at + inward * 1j * apart * (n - (count - 1) / 2) for n in range(count)]
    return PathItem(tuple(Path.line(z, z + inward * length) for z in starts), stroke, role="notch")


def wave(a: complex, b: complex, height: float = look.WAVE_HEIGHT, period: float = look.WAVE_PERIOD) -> Path:
    """The line along which a picture is cut off: whole waves from a to b, a cubic each half wave."""
    count = max(1, round(2 * abs(b - a) / period))
    step = (b - a) / count
    out: list[Segment] = []
    for n in range(count):
        p, q = a + step * n, a + step * (n + 1)
        # A cubic with both controls at height h rises to 3/4 h.
        lift = unit(b - a) * -1j * (height / 2) * 4 / 3 * (1 if n % 2 == 0 else -1)
        out.append((p, p + step * 0.3642 + lift, q - step * 0.3642 + lift, q))
    return Path(tuple(out))


def grain_arrow(
    a: complex, b: complex, *, one_way: bool = False, full: bool = False, stroke: Stroke | None = None
) -> tuple[Item, ...]:
    """The grain: heads at both ends, or at b alone where the cloth has a way."""
    pen = stroke or (look.GRAIN if not full else Stroke(0.8, look.INK))
    long, wide = (4.6, 2.8) if full else (2.4, 1.5)
    long = min(long, abs(b - a) * 0.4)
    d = unit(b - a)
    heads = [arrow_head(b, d, long, wide)] + ([] if one_way else [arrow_head(a, -d, long, wide)])
    start = a if one_way else a + d * long * (1 - _HEAD_NOTCH)
    shaft = Path.line(start, b - d * long * (1 - _HEAD_NOTCH))
    return (
        PathItem((shaft,), pen, role="grain"),
        *(PathItem((h,), fill=Fill(pen.colour), role="grain") for h in heads),
    )


def fold_bracket(
    a: complex, b: complex, inward: complex, depth: float = 4.6, *, full: bool = False
) -> tuple[Item, ...]:
    """'Place on the fold': a line beside the fold from a to b with an arm and a head onto it at each end."""
    inward = unit(inward) * depth
    long, wide = (4.6, 2.8) if full else (1.8, 1.3)
    pen = Stroke(0.8, look.INK) if full else look.GRAIN
    stop = -inward / depth * min(long * (1 - _HEAD_NOTCH), depth)
    path = Path.polyline([a - stop, a + inward, b + inward, b - stop])
    return (
        PathItem((path,), pen, role="fold"),
        *(PathItem((arrow_head(z, -inward, long, wide),), fill=look.SOLID, role="fold") for z in (a, b)),
    )


# ---------------------------------------------------------------- page marks


def check_mark(x: float, y: float, size: float = 3.2, stroke: Stroke = look.CHECK) -> PathItem:
    """A tick whose box has its lower left corner at (x, y)."""
    path = Path.polyline(
        [complex(x, y - 0.45 * size), complex(x + 0.36 * size, y), complex(x + size, y - 0.95 * size)]
    )
    return PathItem((path,), Stroke(stroke.width_pt, stroke.colour, (), "round"), role="check")


def tick_box(x: float, y: float, size: float = 4.4) -> PathItem:
    """An empty square to tick, its upper left corner at (x, y)."""
    return PathItem((box_path(x, y, size, size),), look.TICK_BOX, role="tick box")


def ring(centre: complex, radius: float) -> PathItem:
    """The ring round what a close-up shows, and round the close-up."""
    return PathItem((circle_path(centre, radius),), look.RING, role="ring")


def ring_link(small: complex, small_radius: float, large: complex, large_radius: float) -> PathItem:
    """The one line that joins two rings, from rim to rim."""
    d = unit(large - small)
    return PathItem(
        (Path.line(small + d * small_radius, large - d * large_radius),), look.LEADER, role="ring link"
    )
