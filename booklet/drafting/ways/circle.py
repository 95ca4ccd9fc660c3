"""`circle:` and `flounce:` one of the equal pieces of a circle skirt or of a circular flounce, its edges true arcs."""

from __future__ import annotations

import cmath
import math

from booklet.arcs import arc
from booklet.drafting.asked import Asked
from booklet.drafting.fullness import circle_angle, circle_radius, flounce_ring
from booklet.drafting.shape import Run, Shape
from booklet.paths import Path

WIDEST = 1.75 * math.pi  # of one opened piece: beyond it the allowances of its two ends would meet


def ring_piece(
    inner: float, outer: float, angle: float, names: tuple[str, str, str, str], drawn_for: str
) -> Shape:
    """A sector of a ring: from its centre line, straight down at the left, through `angle` (radians) to its side.

    `names` are those of the inner edge, the side, the outer edge and the centre line.
    """
    corner = [r * _way(a) for r, a in ((inner, 0.0), (inner, angle), (outer, angle), (outer, 0.0))]
    runs = (
        Run(names[0], _arc(inner, 0.0, angle)),
        Run(names[1], Path.line(corner[1], corner[2])),
        Run(names[2], _arc(outer, angle, 0.0)),
        Run(names[3], Path.line(corner[3], corner[0])),
    )
    return Shape(runs, drawn_for)  # type: ignore[arg-type]


def _way(angle: float) -> complex:
    """The unit direction `angle` from straight down, turning to the right as seen."""
    return 1j * cmath.exp(-1j * angle)


def _arc(radius: float, start: float, end: float) -> Path:
    """An arc about 0 between two angles from straight down."""
    return arc(0j, radius, math.pi / 2 - start, start - end)


def _sector(
    asked: Asked, radius: float, deep: float, angle: float, names: tuple[str, str, str, str]
) -> Shape:
    """One of `seams:` equal pieces; of a piece on a fold, its half."""
    seams = round(asked.amount("seams", kind="count")) if asked.has("seams") else 1
    if seams < 1:
        raise asked.fault(
            "circle-seams", f"{asked.key} has {seams} seams", "A ring is closed by one seam at least."
        )
    each = angle / seams
    if each > WIDEST + 1e-9:
        needed = math.ceil(angle / WIDEST - 1e-9)
        raise asked.fault(
            "circle-angle",
            f"{asked.key} goes round by {math.degrees(each):.0f} degrees in one piece, so its ends would overlap",
            f"Cut it in {needed} pieces or more: seams: {needed}.",
        )
    half = asked.maker.raw[asked.key].get("fold") is not None
    drawn_for = asked.maker.side(asked.key)
    return ring_piece(radius, radius + deep, each / 2 if half else each, names, drawn_for)


def _sizes(asked: Asked, *keys: str) -> list[float]:
    sizes = [asked.amount(k) for k in keys]
    for key, size in zip(keys, sizes, strict=True):
        if not size > 1:
            raise asked.fault(
                "circle-size", f"{asked.key}: {key} comes out {size:.1f} mm", "It must be above 0."
            )
    return sizes


def from_circle(asked: Asked) -> Shape:
    """`circle: {waist, long, part, seams}`: edges waist, side, hem, centre; the centre line may lie on the fold."""
    waist, long = _sizes(asked, "waist", "long")
    part = asked.words("part", "full")
    radius = circle_radius(waist, part)
    return _sector(asked, radius, long, circle_angle(part), ("waist", "side", "hem", "centre"))


def from_flounce(asked: Asked) -> Shape:
    """`flounce: {top, bottom, deep, seams}`: edges top, side, bottom, centre; the centre line may lie on the fold."""
    top, bottom, deep = _sizes(asked, "top", "bottom", "deep")
    if bottom - top < 1:
        raise asked.fault(
            "flounce",
            f"{asked.key} is {top:.0f} mm long at its top and {bottom:.0f} mm at its bottom",
            "A circular flounce is longer at the bottom; write a rectangle for one that is not.",
        )
    radius, angle = flounce_ring(top, bottom, deep)
    return _sector(asked, radius, deep, angle, ("top", "side", "bottom", "centre"))
