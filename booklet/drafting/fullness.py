"""The arithmetic of fullness: pleats, circle skirts and circular flounces. Lengths in one unit, whichever."""

from __future__ import annotations

import math
from dataclasses import dataclass

# Take-up of one pleat in depths (one hidden fold is one depth deep). NIMI TP p202-204; double box: BoxFold.
TAKE_UP = {"knife": 2.0, "tuck": 2.0, "box": 4.0, "inverted": 4.0, "double box": 8.0}

# The share of a whole circle, by name.
PARTS = {"full": 1.0, "three-quarter": 0.75, "half": 0.5, "quarter": 0.25}


def take_up(kind: str, deep: float) -> float:
    """What one pleat folds away."""
    return TAKE_UP[kind] * deep


@dataclass(frozen=True)
class Pleats:
    """Even pleats over a finished width: their number is whole, so the face is corrected, never the finished width."""

    count: int
    face: float
    finished: float
    cloth: float


def even_pleats(finished: float, deep: float, face: float, kind: str = "knife") -> Pleats:
    """As many pleats as come nearest to the wanted face. Raises ValueError where not even one fits."""
    if not finished > 0 or not deep > 0 or not face > 0:
        raise ValueError("pleats need a finished width, a depth and a face above 0")
    count = math.floor(finished / face + 0.5)
    if count < 1:
        raise ValueError(f"no pleat with a face of {face:g} fits in {finished:g}")
    return Pleats(count, finished / count, finished, finished + count * take_up(kind, deep))


def strips_of(cloth: float, width: float, join: float) -> int:
    """How many strips across a cloth `width` wide make a length, each losing `join` to its seams."""
    if not width > join >= 0:
        raise ValueError("the cloth must be wider than its joins")
    return math.ceil(cloth / (width - join) - 1e-9)


# ------------------------------------------------------------------ circles


def circle_angle(part: str) -> float:
    """The angle of a full, three-quarter, half or quarter circle, radians."""
    return math.tau * PARTS[part]


def circle_radius(waist: float, part: str = "full") -> float:
    """The seam line's radius: its allowance lies inside it, those of the seams across the ring outside its length."""
    return waist / circle_angle(part)


def flounce_ring(top: float, bottom: float, deep: float) -> tuple[float, float]:
    """Inner radius and angle (radians) of a circular flounce: r = top x deep / (bottom - top). Baldt 1916."""
    if not bottom > top > 0 or not deep > 0:
        raise ValueError("the lower edge of a circular flounce is longer than its upper one")
    return top * deep / (bottom - top), (bottom - top) / deep
