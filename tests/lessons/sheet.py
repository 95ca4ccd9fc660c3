"""Panels put on one sheet, and the sheet painted as a small picture that carries the mark of its drawing."""

from __future__ import annotations

import hashlib
import io
from collections.abc import Sequence
from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Board, Drawing, Item, PathItem
from booklet.drawing.text import measure
from booklet.drawn.sketch import Painted, Sketch, paint, paint_at
from booklet.paths import Placement
from booklet.printing.picture import picture_bytes

WIDE = 176.0  # of a sheet, mm
DPI = 108.0
GAP = 10.0  # between two panels
EDGE = 3.0  # round the sheet
COLOURS = 20
MARK = "drawing"  # the PNG's own note that holds the mark


@dataclass(frozen=True)
class Panel:
    """A sketch with its words below. Panels of one `scale` name are drawn alike large."""

    sketch: Sketch
    words: str = ""
    alike: str = ""


def sheet(panels: Sequence[Panel], columns: int, tall: float) -> Drawing:
    """The panels in rows of so many, each in a cell `tall` high at most."""
    cell = (WIDE - 2 * EDGE - GAP * (columns - 1)) / columns
    done = _painted(panels, cell, tall)
    board = Board()
    y = EDGE
    for first in range(0, len(panels), columns):
        row = range(first, min(first + columns, len(panels)))
        high = max(done[k].height for k in row)
        for n, k in enumerate(row):
            x = EDGE + n * (cell + GAP)
            board.group(
                done[k].items,
                Placement.move(complex(x + (cell - done[k].width) / 2, y + (high - done[k].height) / 2)),
            )
            words = panels[k].words
            if words:
                size = look.LABEL_PT
                left = x + (cell - measure(words, size)) / 2
                board.text(left, y + high + 5.2, words, size, colour=look.SOFT)
        y += high + (12.5 if any(panels[k].words for k in row) else 6.0)
    return board.drawing(WIDE, y - 3.0)


def _painted(panels: Sequence[Panel], wide: float, tall: float) -> list[Painted]:
    """Each as large as its cell lets it be, names and all; those that belong together at one scale."""
    scales = [_scale(p.sketch, wide, tall) for p in panels]
    out = []
    for panel, own in zip(panels, scales, strict=True):
        like = [s for p, s in zip(panels, scales, strict=True) if p.alike and p.alike == panel.alike]
        out.append(paint_at(panel.sketch, min(like) if like else own))
    return out


def _scale(sketch: Sketch, wide: float, tall: float) -> float:
    room = (wide, tall)
    scale = paint(sketch, *room, grow=False).scale
    for _ in range(6):
        painted = paint_at(sketch, scale)
        over = max(painted.width / wide, painted.height / tall)
        if over <= 1.0:
            break
        scale /= over**1.15
    return scale


def mark_of(drawing: Drawing) -> str:
    """What a drawing shows, as a short mark: every path and word, to the hundredth of a mm."""
    digest = hashlib.sha256(f"{drawing.width:.2f} {drawing.height:.2f}".encode())
    for flat in flat_items(drawing.items):
        digest.update(_told(flat.item, flat.placement).encode())
    return digest.hexdigest()[:24]


def _told(item: Item, at: Placement) -> str:
    if isinstance(item, PathItem):
        points = [p for path in item.subpaths for seg in path.segments for p in seg]
        return f"{item.stroke} {item.fill} {[_near(z) for z in points]}\n"
    assert hasattr(item, "text")
    place = _near(at.apply(complex(item.x, item.y)))
    return f"{item.text} {item.size_pt} {item.weight} {item.colour} {item.angle_deg:.1f} {place}\n"


def _near(z: complex) -> str:
    return f"{z.real + 0.0:.1f},{z.imag + 0.0:.1f}".replace("-0.0", "0.0")


def png_of(drawing: Drawing) -> bytes:
    """The sheet with few colours and its mark."""
    from PIL import Image
    from PIL.PngImagePlugin import PngInfo

    image = Image.open(io.BytesIO(picture_bytes(drawing, "png", DPI))).convert("RGB")
    few = image.quantize(COLOURS, dither=Image.Dither.NONE)
    note = PngInfo()
    note.add_text(MARK, mark_of(drawing))
    out = io.BytesIO()
    few.save(out, "PNG", optimize=True, pnginfo=note)
    return out.getvalue()
