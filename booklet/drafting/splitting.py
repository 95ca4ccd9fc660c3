"""`may split:` of a piece: the straight line along which it may be cut in two where that saves cloth."""

from __future__ import annotations

import numpy as np
import shapely

from booklet.drafting.asked import Asked
from booklet.drafting.shape import Shape
from booklet.model import Edge, Split
from booklet.paths import Path
from booklet.problems import nearest

ALLOWANCE = 10.0  # mm at each of the two edges where none is given (common practice, no source)
STRAIGHT = 0.5  # mm: how far a line to split along may stray from its chord
LEAST = 0.05  # of the piece's area: a smaller part is none


def split_of(
    asked: Asked, shape: Shape, edges: tuple[Edge, ...], grain: tuple[complex, complex]
) -> Split | None:
    """Where the piece may be cut in two; None if nothing is said. Raises Fault for a line that does not part it."""
    if not asked.has("may split"):
        return None
    told = asked.within("may split")
    at = told.words("at")
    allow = told.amount("allow", default=ALLOWANCE)
    if allow <= 0:
        raise told.fault(
            "split", f"{asked.key} may be split with no allowance", "Give `allow:` a length above 0."
        )
    outline = edges[0].path.joined(*(e.path for e in edges[1:]))
    if at == "fold":
        fold = next((e for e in edges if e.name == shape.fold), None)
        if fold is None:
            raise told.fault(
                "split",
                f"{asked.key} may be split at its fold, and is not drawn as a half on a fold",
                "Write `at: middle`, or the name of one of its lines across.",
            )
        return Split(at, (fold.path.start, fold.path.end), allow)
    if at == "middle":
        line = _middle(outline, grain)
    else:
        found = next((f.path for f in shape.lines_across if f.name == at), None)
        if found is None:
            raise told.fault(
                "unknown-line",
                f"{asked.key} has no line across '{at}' to be split along",
                nearest(at, ["fold", "middle", *(f.name for f in shape.lines_across)]).strip(),
            )
        line = (found.start, found.end)
        off = _off(found, line)
        if off > STRAIGHT:
            raise told.fault(
                "split",
                f"the line '{at}' of {asked.key} strays {off:.1f} mm from straight",
                "Split along a straight line.",
            )
    if min(_areas(outline, line)) < LEAST:
        raise told.fault(
            "split", f"the line '{at}' does not cut {asked.key} in two", "Choose a line that crosses it."
        )
    return Split(at, line, allow)


def _middle(outline: Path, grain: tuple[complex, complex]) -> tuple[complex, complex]:
    """Across the grain, halfway along it."""
    way = (grain[1] - grain[0]) / abs(grain[1] - grain[0])
    turned = outline.flatten() * np.conj(way)
    along = (turned.real.min() + turned.real.max()) / 2
    return complex(along, turned.imag.min()) * way, complex(along, turned.imag.max()) * way


def _off(path: Path, line: tuple[complex, complex]) -> float:
    a, b = line
    if abs(b - a) < 1.0:
        return float("inf")
    return float(np.abs(((path.flatten() - a) * np.conj((b - a) / abs(b - a))).imag).max())


def _areas(outline: Path, line: tuple[complex, complex]) -> tuple[float, float]:
    """The shares of the outline's area on both sides of the line drawn on."""
    points = outline.flatten()
    whole = shapely.Polygon(np.column_stack((points.real, points.imag))).buffer(0)
    a, b = line
    way = (b - a) / abs(b - a)
    far = 4 * (abs(points - a).max() + 1)
    corners = [a - way * far, a + way * far, a + way * far + 1j * way * far, a - way * far + 1j * way * far]
    part = whole.intersection(shapely.Polygon([(z.real, z.imag) for z in corners])).area / whole.area
    return part, 1 - part
