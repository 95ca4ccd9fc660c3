"""Lengths to buy and amounts of notions, worked out.

Pure functions on millimetres (thread in metres where the name says so). Nothing here knows a piece or a style. Factors
that the trade only has by habit are arguments with that habit as default; a shop sets its own.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

ROUNDING = 1e-6  # of a step: 1.375 yd is eleven eighths, though its quotient may come out a hair above


# ---------------------------------------------------------------- cloth


def round_up(length: float, step: float) -> float:
    """The next whole number of steps; a length that is one within rounding stays."""
    return math.ceil(length / step - ROUNDING) * step


def length_to_buy(lay_length: float, step: float, shrinkage: float = 0.0, squaring: float = 0.0) -> float:
    """What to ask for in the shop so that a lay fits after the first wash and after squaring the ends.

    `shrinkage` is the share lost along the length (0.04), `squaring` what both cut ends lose together. Shrinkage rule:
    buy = need / (1 - s); rounding up to the next 10 cm or 1/8 yd: common practice, no source.
    """
    return round_up(length_needed(lay_length, shrinkage, squaring), step)


def length_needed(lay_length: float, shrinkage: float = 0.0, squaring: float = 0.0) -> float:
    """The same before it is rounded up to what is sold."""
    if not 0 <= shrinkage < 1:
        raise ValueError(f"shrinkage is a share of the length below 1, not {shrinkage}")
    return (lay_length + squaring) / (1 - shrinkage)


def share_used(piece_area: float, width: float, length: float) -> float:
    """Piece area over lay area (NIMI Trade Theory p. 32), 0 to 1."""
    return piece_area / (width * length)


def interfacing_length(
    areas: Sequence[float], usable_width: float, share: float = 0.75, step: float = 100.0
) -> float:
    """Length to buy from the sum of interfaced areas alone: 0.7 to 0.8 of the cloth is used (common practice)."""
    return round_up(sum(areas) / (usable_width * share), step)


# ---------------------------------------------------------------- thread


@dataclass(frozen=True)
class StitchType:
    """A stitch type of ISO 4915: metres of thread in a metre of seam, and where that figure comes from."""

    code: str
    title: str
    ratio: float
    source: str


_TABLE = "thread table after Carr and Latham and thread makers, scribd.com/document/194966618"

STITCH_TYPES: dict[str, StitchType] = {
    s.code: s
    for s in (
        StitchType("101", "single-thread chain stitch", 4.0, _TABLE),
        StitchType("301", "lockstitch", 2.5, _TABLE),
        # Another sheet has 5.5 (scribd.com/document/49933681); the higher of the two, so that nobody runs short.
        StitchType("304", "zigzag lockstitch", 7.0, _TABLE),
        StitchType("401", "two-thread chain stitch", 5.5, _TABLE),
        StitchType("406", "two-needle bottom cover stitch", 18.0, _TABLE),
        StitchType("503", "two-thread overedge", 12.0, _TABLE),
        StitchType("504", "three-thread overedge", 14.0, _TABLE),
        StitchType("512", "four-thread mock safety stitch", 18.0, _TABLE),
        StitchType("514", "four-thread overedge", 20.0, "value from memory"),
        StitchType("516", "five-thread safety stitch", 20.0, _TABLE),
        StitchType("602", "four-thread cover stitch", 25.0, _TABLE),
        StitchType("605", "five-thread cover stitch", 28.0, _TABLE),
        StitchType("606", "flat seam", 32.0, _TABLE),
    )
}


def thread_length(seam_length: float, ratio: float, waste: float = 0.15) -> float:
    """Thread in a seam, in the seam's unit: length x ratio x (1 + waste).

    Waste of 10 to 15 % (apparelscience.com, measuring actual thread consumption) or 15 to 20 % (another maker).
    """
    return seam_length * ratio * (1 + waste)


def thread_metres(seam_mm: float, stitch_type: str, waste: float = 0.15) -> float:
    """Metres of thread in so many millimetres of seam of an ISO 4915 stitch type. KeyError for a type not listed."""
    return thread_length(seam_mm / 1000, STITCH_TYPES[stitch_type].ratio, waste)


def spools(metres: float, sizes: Sequence[float]) -> tuple[int, float]:
    """(how many, metres on each): the smallest single spool that holds it, else so many of the largest."""
    for size in sorted(sizes):
        if metres <= size * (1 + ROUNDING):
            return 1, size
    largest = max(sizes)
    return math.ceil(metres / largest - ROUNDING), largest


# ---------------------------------------------------------------- elastic


def elastic_length(girth: float, overlap: float, less: float = 0.0, less_share: float = 0.0) -> float:
    """Elastic to cut for a part of the body: the girth less a share and less a fixed amount, plus what is lapped.

    Soft knit elastic 5 to 8 % less, standard woven about 10 %, firm 12 to 15 % (boneyardtools.com).
    """
    return girth * (1 - less_share) - less + overlap


def casing_depth(elastic: float, ease: float = 6.35, turn: float = 6.35) -> float:
    """Cloth turned in for a casing: the elastic's width, room to thread it, and the edge folded under.

    1/4 in each (firststitchco.com); the metric habit is 3 to 6 mm clear (common practice, no source).
    """
    return elastic + ease + turn


# ---------------------------------------------------------------- strips and loops


def strip_on_selvedge(width: float) -> float:
    """What a true-bias strip of this width takes along the selvedge (arithmetic)."""
    return width * math.sqrt(2)


def square_for_strip(length: float, width: float) -> float:
    """Side of the square that gives so much bias strip, seams between strips left out (arithmetic)."""
    return math.sqrt(length * width)


def strip_from_square(side: float, width: float) -> float:
    """Bias strip in a square: its area over the strip's width (arithmetic)."""
    return side * side / width


def square_for_one_strip(length: float) -> float:
    """Side of the square across which one bias line of this length runs (arithmetic)."""
    return length / math.sqrt(2)


def loop_finished(diameter: float, thickness: float, ends_apart: float = 0.0) -> float:
    """Length of a button loop between its sewn ends: with the edge between them it must pass round the button.

    A buttonhole is as long as diameter + thickness (sewing.about.com) and opens to twice its length; so does a loop.
    """
    return 2 * (diameter + thickness) - ends_apart


def loop_cut(finished: float, sewn_in: float) -> float:
    """Length to cut a loop: `sewn_in` is what goes into the seam at each end."""
    return finished + 2 * sewn_in


# ---------------------------------------------------------------- circles

CIRCLE_SHARES: dict[str, float] = {"full": 1.0, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


@dataclass(frozen=True)
class CircleSkirt:
    """Radii and hem of a skirt cut as a share of a full circle, on the stitch lines."""

    waist_radius: float
    hem_radius: float
    hem_length: float


def circle_skirt(waist: float, length: float, share: float = 1.0) -> CircleSkirt:
    """Radii for a waist seam of this length (allowances of any seams across the ring already added): r = W / theta."""
    angle = 2 * math.pi * share
    radius = waist / angle
    return CircleSkirt(radius, radius + length, angle * (radius + length))


def flounce_radius(top: float, bottom: float, depth: float) -> float:
    """Inner radius of a circular flounce whose edges are `top` and `bottom` long (Baldt 1916)."""
    if bottom <= top:
        raise ValueError("a circular flounce is longer at its foot than at its top")
    return top * depth / (bottom - top)
