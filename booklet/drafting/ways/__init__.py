"""The ways in which a piece is given: each a key of its entry and a function from what stands there to a Shape."""

from __future__ import annotations

from collections.abc import Callable

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Shape
from booklet.drafting.ways.all_in_one import from_all_in_one
from booklet.drafting.ways.binding import from_binding
from booklet.drafting.ways.circle import from_circle, from_flounce
from booklet.drafting.ways.collar import from_collar
from booklet.drafting.ways.collar_stand import from_collar_stand
from booklet.drafting.ways.facing import from_facing
from booklet.drafting.ways.flat_collar import from_flat_collar
from booklet.drafting.ways.from_dxf import from_dxf
from booklet.drafting.ways.from_svg import from_svg
from booklet.drafting.ways.lining import from_lining
from booklet.drafting.ways.measured import from_measured
from booklet.drafting.ways.outline import from_outline, from_rectangle
from booklet.drafting.ways.pocket import from_pocket
from booklet.drafting.ways.waistband import from_waistband

Way = Callable[[Asked], Shape]


def from_piece(asked: Asked) -> Shape:
    """`from: PIECE`: that piece's shape as it stands, to be shaped further."""
    return asked.other(str(asked.spec))


WAYS: dict[str, Way] = {
    "outline": from_outline,
    "rectangle": from_rectangle,
    "facing": from_facing,
    "all in one facing": from_all_in_one,
    "lining": from_lining,
    "waistband": from_waistband,
    "pocket": from_pocket,
    "binding": from_binding,
    "circle": from_circle,
    "flounce": from_flounce,
    "measured": from_measured,
    "svg": from_svg,
    "dxf": from_dxf,
    "flat collar": from_flat_collar,
    "collar stand": from_collar_stand,
    "collar": from_collar,
    "from": from_piece,
}
