"""Lengths to buy and amounts of notions, worked out.

Pure functions on millimetres (thread in metres where the name says so). Nothing here knows a piece or a style. Factors
that the trade only has by habit are arguments with that habit as default; a shop sets its own.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

ROUNDING = 1e-6  # of a step: 1.375 yd is eleven eighths, though its quotient may come out a hair above


# ---------------------------------------------------------------- cloth


def round_up(length: float, step: float) -> float:
    """The next whole number of steps; a length that is one within rounding stays."""
    return math.ceil(length / step - ROUNDING) * step


def length_to_buy(
    lay_length: float, step: float, shrinkage: float = 0.0, squaring: float = 0.0, repeat: float = 0.0
) -> float:
    """What to ask for in the shop so that a lay fits after the first wash and after squaring the ends.

    `shrinkage` is the share lost along the length (0.04), `squaring` what both cut ends lose together, `repeat` the
    length of a pattern that is matched, 0 for plain cloth. Rounded up to whole steps, 10 cm or 1/8 yd: common practice,
    no source. All in one unit. Raises ValueError for a shrinkage that is no share below 1.
    """
    return round_up(length_needed(lay_length, shrinkage, squaring, repeat), step)


def length_needed(
    lay_length: float, shrinkage: float = 0.0, squaring: float = 0.0, repeat: float = 0.0
) -> float:
    """The same before it is rounded up to what is sold: need / (1 - s) (textile shrinkage rule, fabricis.com).

    A matched length takes one repeat more, since the shop cuts anywhere in the pattern (common practice, no source).
    """
    return washed(lay_length + squaring + repeat, shrinkage)


def washed(length: float, shrinkage: float) -> float:
    """Length, or width, before a wash that takes `shrinkage` of it, so that `length` is left."""
    if not 0 <= shrinkage < 1:
        raise ValueError(f"shrinkage is a share of the length below 1, not {shrinkage}")
    return length / (1 - shrinkage)


def share_used(piece_area: float, width: float, length: float) -> float:
    """Piece area over lay area (NIMI Trade Theory p. 32), 0 to 1."""
    return piece_area / (width * length)


def length_by_area(areas: Sequence[float], usable_width: float, share: float = 0.75) -> float:
    """Length that pieces of these areas take of a width: 0.7 to 0.8 of the cloth is used (common practice)."""
    return sum(areas) / (usable_width * share)


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
        # Not in the table: as 101, its like (common practice, no source).
        StitchType("103", "blindstitch", 4.0, "common practice, no source"),
        # A single thread taken back and forth by hand (common practice, no source).
        StitchType("209", "hand stitches", 2.5, "common practice, no source"),
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


# Thread in a length of seam by thickness t, stitches s in an inch and needle gauge or seam width w, all in inches
# (textiletechinsight.com, textilecalculations.com). Of 504 two sources disagree; the ratio is used there.
FORMULAS: dict[str, Callable[[float, float, float], float]] = {
    "101": lambda t, s, w: 3 + 2 * t * s,
    "301": lambda t, s, w: 2 + 2 * t * s,
    "401": lambda t, s, w: 4 + 2 * t * s,
    "514": lambda t, s, w: 5 + 2 * s * (3 * t + 2 * w),
    "516": lambda t, s, w: 9 + 2 * s * (3 * t + 2 * w),
    "602": lambda t, s, w: 8 + s * (5 * w + 4 * t),
    "605": lambda t, s, w: 10 + 2 * s * (2 * w + 3 * t),
}


def thread_by_formula(stitch_type: str, t: float, s: float, w: float = 0.0) -> float:
    """Inches of thread in an inch of seam. KeyError for a type that no formula is known for."""
    return FORMULAS[stitch_type](t, s, w)


def spools(metres: float, sizes: Sequence[float]) -> tuple[int, float]:
    """(how many, metres on each): the smallest single spool that holds it, else so many of the largest."""
    for size in sorted(sizes):
        if metres <= size * (1 + ROUNDING):
            return 1, size
    largest = max(sizes)
    return math.ceil(metres / largest - ROUNDING), largest


# ---------------------------------------------------------------- tape, piping, boning


def tape_to_buy(edges: Sequence[float], ends: float) -> float:
    """Tape or bias binding for edges sewn apart: each edge and `ends` for its two ends.

    5 to 10 cm an edge (common practice, no source); a tape that stops stretch takes the shoulder and 2 cm. It is bought
    in one length, so that it has no joins; those of a binding cut from cloth are in its strips.
    """
    return sum(edges) + len(edges) * ends


PIPING_EASE = 1.05  # of the edge's length (common practice, no source)


def piping_length(edge: float) -> float:
    """Piping, and its cord, for an edge."""
    return edge * PIPING_EASE


def piping_strip(cord: float, allowance: float) -> float:
    """Width of the bias strip that covers a cord `cord` across: its girth and an allowance on each side."""
    return math.pi * cord + 2 * allowance


BONE_SHORT = 12.0  # mm at each end of a bone, clear of the seams (common practice, no source)


def bone_length(seam: float, short: float = BONE_SHORT) -> float:
    """A bone for a seam."""
    return seam - 2 * short


# ---------------------------------------------------------------- zips


def zip_for_opening(passes: float, ring: float, ease: float) -> float:
    """The shortest zip that lets a part of the body through a ring: an open zip adds twice its length.

    Hip 40 in, waist 28 in, and about 2 in of ease give 7 in (threadsmagazine.com, a reader's question on fly zips).
    """
    return max(0.0, (passes + ease - ring) / 2)


def zip_for_front(length: float, off: float, less: float = 0.02) -> float:
    """A separating zip for a jacket's front: its length without collar and hem, and 2 to 3 % less.

    73 - (8 + 2) = 63 cm, less 2 % = 61.7 cm (apparel-merchandising.com, January 2012).
    """
    return (length - off) * (1 - less)


# ---------------------------------------------------------------- buttons

LIGNE = 0.635  # mm: 40 ligne are one inch (thebuttonstore.co.uk)


def in_ligne(diameter: float) -> float:
    """A button's size as buttons are sold, from millimetres across."""
    return diameter / LIGNE


# ---------------------------------------------------------------- loops


def loop_finished(diameter: float, thickness: float) -> float:
    """Length of a button loop between its sewn ends, by which it passes round the button.

    A buttonhole is as long as diameter + thickness (sewing.about.com) and opens to twice its length; so does a loop.
    """
    return 2 * (diameter + thickness)


def loop_cut(finished: float, sewn_in: float) -> float:
    """Length to cut a loop: `sewn_in` is what goes into the seam at each end."""
    return finished + 2 * sewn_in
