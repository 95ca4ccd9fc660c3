"""`buttons:` rows of buttons and buttonholes along a line of a piece, at even places. Lengths in mm.

Length of a buttonhole: the button's diameter and thickness (sewing.about.com, 'How to make a buttonhole'), or for a ball
or an odd button half of a strip wrapped round it, and 1/8 in. Its end
lies past the button's middle by 1/8 in on the side that the button pulls to: past the line of a hole across it, above
the button in a hole along the line (same source; 1/8 in below the top also in ICAR household course, buttons).
"""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Literal

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Run, Shape
from booklet.model import ButtonMark, Side
from booklet.paths import Path, Placement
from booklet.problems import nearest

PAST = 3.0  # mm from a hole's end to the button's middle; 1/8 in, see above
THICK = 2.5  # mm of a button that doesn't say (common practice, no source)
EIGHTH = 25.4 / 8  # mm
MOST = 40  # buttons in a row


def hole_length(size: float, thick: float) -> float:
    """`size` and `thick` of the button."""
    return size + thick


def wrapped_hole(round_it: float) -> float:
    """Buttonhole for a ball or an odd button: half of a strip wrapped round it, and 1/8 in
    (thesewingcorner.blogspot.com, May 2013)."""
    return round_it / 2 + EIGHTH


def hole_of(mark: ButtonMark) -> float:
    """The buttonhole for a row's buttons, by their diameter and thickness or by the strip wrapped round one."""
    return wrapped_hole(mark.wrapped) if mark.wrapped > 0 else hole_length(mark.size, mark.thick)


def hole_ends(at: complex, way: complex, long: float) -> tuple[complex, complex]:
    """The cut of a hole for a button at `at`; `way` is the unit direction that it lies in, away from its pulling end."""
    return at - way * PAST, at + way * (long - PAST)


def even_places(
    first: float, long: float, count: int | None, apart: float | None, last: float | None
) -> list[float]:
    """Places along a line `long` mm long: two of `count`, `apart` and `last` (from its far end) say where they are.

    With `apart` and `last` the row fills the stretch, as near to that spacing as an even one comes.
    """
    if last is not None:
        reach = long - last - first
        number = count if count is not None else round(reach / apart) + 1 if apart else 1
        if number < 2:
            return [first]
        return [first + reach * k / (number - 1) for k in range(number)]
    return [first + (apart or 0.0) * k for k in range(count or 1)]


def button_placed(mark: ButtonMark, placing: Placement) -> ButtonMark:
    a, b = mark.ends
    return replace(mark, at=placing.apply(mark.at), ends=(placing.apply(a), placing.apply(b)))


def button_marks(asked: Asked, shape: Shape) -> tuple[ButtonMark, ...]:
    """All rows of a piece that apply."""
    out: list[ButtonMark] = []
    for name in asked.spec.get("buttons") or {}:
        one = asked.within("buttons", name)
        if one.applies():
            out += _row(one, shape, str(name))
    return tuple(out)


def _row(asked: Asked, shape: Shape, name: str) -> list[ButtonMark]:
    path, run = _line(asked, shape)
    path, turned = _begun(asked, shape, path)
    size = asked.amount("size")
    thick = asked.amount("thick", default=THICK)
    wrapped = asked.amount("round", default=0.0)
    if wrapped and wrapped < 2 * size:
        raise asked.fault(
            "button-size", f"a strip round the buttons of {asked.key}.{name} comes out {wrapped:.1f} mm, they {size:.1f} mm "
            "across", "Wrap a strip round the widest part: it is at least twice the diameter.",
        )  # fmt: skip
    if not (size > 1 and thick > 0):
        raise asked.fault(
            "button-size", f"the buttons of {asked.key}.{name} come out {size:.1f} mm across and {thick:.1f} mm thick",
            "Write a button's diameter and thickness.",
        )  # fmt: skip
    inside = asked.amount("inside", default=0.0) if run else 0.0
    out = []
    words = asked.words("on")
    holes = asked.words("holes")
    along = asked.words("cut", "along") == "along"
    for s in _places(asked, path, run, turned, name):
        way = path.tangent(s)
        inward = way * (-1j if turned else 1j)  # of an edge, which runs clockwise
        at = path.point(s) + inward * inside
        lies = way if along else _inwards(shape, at, way * 1j)
        ends = hole_ends(at, lies, wrapped_hole(wrapped) if wrapped else hole_length(size, thick))
        for kind, side in _kinds(holes):
            both = ends if kind == "buttonhole" else (at, at)
            place = (words, inside if run else None, asked.words("from"), s)
            out.append(ButtonMark(name, kind, at, both, side, along, size, thick, *place, wrapped))
    return out


def _kinds(holes: str) -> list[tuple[Literal["button", "buttonhole"], Side]]:
    """What the row has on which side of the wearer."""
    if holes == "both":
        return [("buttonhole", "whole")]
    if holes == "none":
        return [("button", "whole")]
    other: Side = "left" if holes == "right" else "right"
    mine: Side = "right" if holes == "right" else "left"
    return [("buttonhole", mine), ("button", other)]


def _line(asked: Asked, shape: Shape) -> tuple[Path, Run | None]:
    """The row's line, and the edge it is where it is one."""
    name = asked.words("on")
    if shape.has(name):
        run = shape.run(name)
        return run.path, run
    lines = {f.name: f.path for f in shape.lines_across}
    if name not in lines:
        raise asked.fault(
            "unknown-line",
            f"{asked.key} has no line across and no edge '{name}'",
            nearest(name, [*lines, *(r.name for r in shape.runs)]).strip(),
        )
    if asked.has("inside") or asked.has("mark"):
        raise asked.fault(
            "button-line",
            f"'{name}' is no edge of {asked.key}",
            "Only a row on an edge has inside: and mark:.",
        )
    return lines[name], None


def _begun(asked: Asked, shape: Shape, path: Path) -> tuple[Path, bool]:
    """The line from its end at the edge `from:`, and whether it was turned for that."""
    start = asked.run(shape, asked.words("from")).path

    def off(z: complex) -> float:
        ends = min(abs(start.start - z), abs(start.end - z))
        return ends if ends < 1e-6 else abs(start.point(start.nearest(z)) - z)

    turned = off(path.end) < off(path.start) - 1e-6
    return (path.reversed() if turned else path), turned


def _places(asked: Asked, path: Path, run: Run | None, turned: bool, name: str) -> list[float]:
    long = path.length
    count = round(asked.amount("count", kind="number")) if asked.has("count") else None
    apart = asked.amount("apart") if asked.has("apart") else None
    last = asked.amount("last") if asked.has("last") else None
    first = _first(asked, run, long, turned)
    if count is not None and not 1 <= count <= MOST:
        raise asked.fault(
            "buttons", f"{asked.key}.{name} has {count} buttons", f"Write a count from 1 to {MOST}."
        )
    if apart is not None and apart < 5:
        raise asked.fault(
            "buttons", f"the buttons of {asked.key}.{name} lie {apart:.1f} mm apart", "Set them wider."
        )
    places = even_places(first, long, count, apart, last)
    if len(places) > MOST:
        raise asked.fault(
            "buttons", f"{asked.key}.{name} comes out with {len(places)} buttons", "Set them further apart."
        )
    if places != sorted(places) or not all(-1e-6 <= s <= long + 1e-6 for s in places):
        raise asked.fault(
            "buttons",
            f"the buttons of {asked.key}.{name} lie from {places[0]:.0f} to {places[-1]:.0f} mm on a line of {long:.0f} mm",
            "Set the first and the last within the line, or have fewer.",
        )
    return [min(max(s, 0.0), long) for s in places]


def _first(asked: Asked, run: Run | None, long: float, turned: bool) -> float:
    if asked.has("first"):
        return asked.amount("first")
    if run is not None and asked.has("mark"):
        name = asked.words("mark")
        mark = next((m for m in run.marks if m.name == name), None)
        if mark is None:
            raise asked.fault(
                "unknown-mark",
                f"{asked.key}.{run.name} has no mark '{name}'",
                nearest(name, [m.name for m in run.marks]).strip(),
            )
        return long - mark.at if turned else mark.at
    return long / 2


def _inwards(shape: Shape, at: complex, square: complex) -> complex:
    """Of the two ways square to the line, the one away from the nearer outline: into the garment."""
    outline = shape.runs[0].path.joined(*(r.path for r in shape.runs[1:]))

    def reach(way: complex) -> float:
        met = [s for s, _ in Path.line(at + way * 1e-3, at + way * 3000).crossings(outline)]
        return min(met, default=math.inf)

    return square if reach(square) >= reach(-square) else -square
