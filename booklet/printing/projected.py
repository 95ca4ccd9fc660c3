"""The pattern as a projector throws it: one page, heavy lines, a grid of squares under them, light on dark if asked for.

A projector is set up until the squares measure what they say on the table; thin lines would be lost at a pixel of one or
two millimetres.
"""

from __future__ import annotations

from dataclasses import replace

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing, Fill, Item, PathItem, Stroke, Text, box_path

HEAVIER = 3.0  # times the paper's lines
LEAST_PT = 2.4  # 0.85 mm: half a projector's pixel at two metres' width (common practice, no source)
GRID = {"cm": 100.0, "in": 4 * 25.4}  # mm between the lines of the grid
_GRID_LINE = Stroke(1.2, look.RULE)
_DARK = "#101010"


def projected(drawing: Drawing, units: str, inverted: bool = False) -> Drawing:
    """The page with heavy lines on its grid; `inverted` puts light lines on a dark ground."""
    board = Board()
    step = GRID[units]
    if inverted:
        board.path(box_path(0, 0, drawing.width, drawing.height), None, Fill(_DARK), "ground")
    for n in range(1, int(drawing.width / step) + 1):
        board.line(complex(n * step, 0), complex(n * step, drawing.height), _GRID_LINE, "grid")
    for n in range(1, int(drawing.height / step) + 1):
        board.line(complex(0, n * step), complex(drawing.width, n * step), _GRID_LINE, "grid")
    items = (*board.items, *drawing.items)
    return replace(drawing, items=tuple(_heavy(item, inverted) for item in items))


def _heavy(item: Item, inverted: bool) -> Item:
    if isinstance(item, Text):
        return replace(item, colour=_light(item.colour)) if inverted else item
    if isinstance(item, PathItem):
        stroke, fill = item.stroke, item.fill
        if stroke is not None:
            wide = max(stroke.width_pt * HEAVIER, LEAST_PT) if item.role != "grid" else stroke.width_pt
            colour = _light(stroke.colour) if inverted else stroke.colour
            stroke = replace(
                stroke,
                width_pt=wide,
                colour=colour,
                dash_mm=_longer(stroke.dash_mm),
                phase_mm=stroke.phase_mm * 2,
            )
        if inverted and fill is not None and fill.colour is not None and item.role != "ground":
            fill = replace(fill, colour=_light(fill.colour))
        return replace(item, stroke=stroke, fill=fill)
    name = f"{item.name} projected" if item.name else None
    return replace(item, items=tuple(_heavy(i, inverted) for i in item.items), name=name)


def _longer(dashes: tuple[float, ...]) -> tuple[float, ...]:
    return tuple(d * 2 for d in dashes)


def _light(colour: str) -> str:
    """The opposite grey or colour: dark becomes light, light dark."""
    return "#" + "".join(f"{255 - int(colour[n : n + 2], 16):02X}" for n in (1, 3, 5))
