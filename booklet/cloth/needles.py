"""Machine needle and stitch length by the weight of the cloth.

Weights are g/m². Sizes and what they are for: sweetbriarstudio.blogspot.com, February 2010; 75/11 lies between
(shoemaking.wiki) and is not sold everywhere. Where one size ends and the next begins in g/m² is common practice, no
source, and so are the words light, medium and heavy.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any


@dataclass(frozen=True)
class Needle:
    """A needle by its two numbers (`nm`: hundredths of a mm of its blade) and the heaviest cloth it is for."""

    nm: int
    us: int
    suits: str
    up_to: float

    @property
    def called(self) -> str:
        return f"{self.nm}/{self.us}"


NEEDLES = (
    Needle(60, 8, "very fine sheers, chiffon, silk", 60),
    Needle(70, 10, "blouse weight, batiste", 120),
    Needle(80, 12, "cotton, viscose, most dressmaking", 180),
    Needle(90, 14, "heavier bottoms, wool, corduroy", 280),
    Needle(100, 16, "denim, duck", 380),
    Needle(110, 18, "canvas", 480),
    Needle(120, 19, "very heavy", math.inf),
)
WORDS: Mapping[str, float] = {
    "very light": 50,
    "light": 100,
    "medium": 150,
    "heavy": 250,
    "very heavy": 400,
}
FINE, HEAVY = 80.0, 280.0  # g/m²: below the one and above the other the plain stitch is shorter and longer


def weight_of(raw: Any) -> float:
    """g/m² of `weight:`, a number, a word of WORDS, or the middle of two numbers. KeyError for another word."""
    if isinstance(raw, str):
        return WORDS[raw]
    if isinstance(raw, Sequence):
        return sum(float(x) for x in raw) / len(raw)
    return float(raw)


def needle_for(weight: float) -> Needle:
    """The needle for a cloth of so many g/m²."""
    return next(n for n in NEEDLES if weight <= n.up_to)


def stitch_for(weight: float, plain: float) -> float:
    """Length of the plain stitch, mm: 2 for fine cloth, 3 for heavy, between them the shop's own (melgeecrafts.com:
    fine 2, medium 2.5 to 3)."""
    return 2.0 if weight < FINE else 3.0 if weight > HEAVY else plain


def stitches_an_inch(stitch: float) -> float:
    """From a stitch length in mm: 2.5 mm are 10.16 stitches an inch (melgeecrafts.com)."""
    return 25.4 / stitch
