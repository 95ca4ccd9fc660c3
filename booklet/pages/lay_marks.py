"""What tells a piece apart that lies with the paper face down on a lay: ruled lines, a pattern of its own."""

from __future__ import annotations

import math

from booklet.drawing import look
from booklet.drawing.display import Group, PathItem, Stroke
from booklet.paths import Path

PITCH = 2.2
RULED = Stroke(0.3, look.SOFT)


def face_down_lines(outline: Path) -> Group:
    """Upright lines within an outline, on one grid for the whole page."""
    x0, y0, x1, y1 = outline.bbox
    first, last = math.ceil(x0 / PITCH), math.floor(x1 / PITCH)
    lines = tuple(Path.line(complex(n * PITCH, y0), complex(n * PITCH, y1)) for n in range(first, last + 1))
    items = (PathItem(lines, RULED, role="ruled"),) if lines else ()
    return Group(items, clip=outline)
