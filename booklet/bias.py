"""Bias strips: how wide they are cut for a binding, how many are joined for a length, and what cloth gives them.

All lengths are millimetres; the formulas hold in any unit. Strips are cut on the true bias, at 45 degrees to the grain,
with their ends on the straight grain, and are joined along those ends.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

ROOT2 = math.sqrt(2.0)
BindingKind = Literal["single", "double"]
# Layers of the finished width that a strip is cut to (common practice, no source): a single binding has both edges
# folded in, a double one is folded in half before it is sewn.
FOLDS: dict[BindingKind, int] = {"single": 4, "double": 6}


def cut_width(finished: float, kind: BindingKind, turn_of_cloth: float) -> float:
    """Width of the strip for a binding `finished` wide on each side of the edge."""
    return FOLDS[kind] * finished + turn_of_cloth


def along_selvedge(width: float) -> float:
    """What a true-bias strip of this width takes of the selvedge."""
    return width * ROOT2


def square_for_line(long: float) -> float:
    """Side of the square across which one bias line of this length can be drawn."""
    return long / ROOT2


def yield_of_square(side: float, width: float) -> float:
    """Length of strip that a square gives, by its area."""
    return side * side / width


def square_for_length(long: float, width: float) -> float:
    """Side of the square that gives this length of strip, by its area; round it up to cut."""
    return math.sqrt(long * width)


def tube_square(long: float, width: float, join: float) -> float:
    """Side of the square for one continuous strip cut from a tube, both seams of the tube taking `join` an edge."""
    count = math.sqrt(long / (2 * width))
    return count * along_selvedge(width) + 2 * join


def end_triangles(shortest: float) -> float:
    """Area lost in the two corners of a rectangle beyond a shortest strip of this length."""
    return shortest * shortest / 2


def rectangle_long(long: float, width: float, shortest: float, cloth: float) -> float:
    """How much of a cloth `cloth` wide gives this length in strips of which none is under `shortest`."""
    return (long * width + end_triangles(shortest)) / cloth


def yield_of_rectangle(cloth: float, deep: float, width: float, shortest: float) -> float:
    """Length of strip that a rectangle gives, no strip under `shortest`."""
    return (cloth * deep - end_triangles(shortest)) / width


def join_loss(join: float) -> float:
    """What one join costs of the strips' length: two allowances, measured across a seam that lies at 45 degrees."""
    return 2 * join * ROOT2


@dataclass(frozen=True)
class Strips:
    """Equal strips that joined give one binding: `count` of them, each with two long edges of `each` mm."""

    count: int
    each: float
    width: float
    join: float

    @property
    def joined(self) -> float:
        """Length of the joined strip along its middle, its slanted ends not cut off."""
        return self.count * self.each - (self.count - 1) * join_loss(self.join)

    @property
    def square(self) -> float:
        """What is left when both slanted ends are cut square."""
        return self.joined - self.width


def strips_for(long: float, width: float, join: float, longest: float) -> Strips:
    """The fewest equal strips, none over `longest`, that give `long` mm with square ends.

    Raises ValueError where a strip of that length would be no longer than a join and its slant take.
    """
    if longest <= join_loss(join) + width:
        raise ValueError(
            f"strips of {longest:.0f} mm are too short to be joined where they are {width:.0f} mm wide"
        )
    need = long + width  # both slanted ends together take one width
    count = 1
    while (need + (count - 1) * join_loss(join)) / count > longest + 1e-6:
        count += 1
    return Strips(count, (need + (count - 1) * join_loss(join)) / count, width, join)
