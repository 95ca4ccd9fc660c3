"""Marks of a lay plan: the ruled lines of a piece that lies with its paper face down, the cross on a match point."""

from __future__ import annotations

import math

from booklet.drawing import look
from booklet.drawing.display import Group, Item, PathItem, Stroke
from booklet.paths import Path

PITCH = 2.2
FEWEST = 3  # lines on a narrow piece, which are closer together
RULED = Stroke(0.3, look.SOFT)
ARM = 1.1  # of the cross, mm
CROSS = Stroke(0.8, look.INK)


def face_down_lines(outline: Path) -> Group:
    """Upright lines within an outline, on one grid for the whole page; on a narrow piece at equal distances."""
    x0, y0, x1, y1 = outline.bbox
    first, last = math.ceil(x0 / PITCH), math.floor(x1 / PITCH)
    at = [n * PITCH for n in range(first, last + 1)]
    if x1 - x0 < PITCH * (FEWEST + 1):
        at = [x0 + (x1 - x0) * n / (FEWEST + 1) for n in range(1, FEWEST + 1)]
    lines = tuple(Path.line(complex(x, y0), complex(x, y1)) for x in at)
    return Group((PathItem(lines, RULED, role="ruled"),), clip=outline)


def match_cross(at: complex) -> tuple[Item, ...]:
    """A small upright cross on the point that lies on the repeat."""
    arms = (Path.line(at - ARM, at + ARM), Path.line(at - 1j * ARM, at + 1j * ARM))
    return (PathItem(arms, CROSS, role="match"),)
