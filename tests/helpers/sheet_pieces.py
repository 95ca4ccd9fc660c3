"""A small invented garment at full scale: a front, a sleeve, a cuff and a narrow curved facing."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Item, PathItem
from booklet.drawing.page import Callout, EdgeNote, SheetPiece
from booklet.paths import Path

FRONT = Path(
    (
        (90j, 60 + 90j, 95 + 60j, 100 + 0j),
        (100 + 0j, 190 + 45j),
        (190 + 45j, 160 + 130j, 170 + 240j, 260 + 260j),
        (260 + 260j, 300 + 620j),
        (300 + 620j, 200 + 635j, 100 + 640j, 640j),
        (640j, 90j),
    )
)
SLEEVE = Path(
    (
        (140j, 80 + 140j, 120 + 0j, 250 + 0j),
        (250 + 0j, 380 + 0j, 420 + 140j, 500 + 140j),
        (500 + 140j, 480 + 330j),
        (480 + 330j, 20 + 330j),
        (20 + 330j, 140j),
    )
)
CUFF = Path.polyline([0j, 340 + 0j, 340 + 50j, 50j], True)
FACING = Path(
    (
        (90j, 60 + 90j, 95 + 60j, 100 + 0j),
        (100 + 0j, 150 + 25j),
        (150 + 25j, 140 + 110j, 60 + 150j, 150j),
        (150j, 90j),
    )
)
LINES = ("main 1, on the fold", "W-014, size 92, version 1.2", "allowances included: 10 mm")


def piece(
    number: str, title: str, outline: Path, *, notes: bool = False, lines: tuple[str, ...] = LINES
) -> SheetPiece:
    x0, y0, x1, y1 = outline.bbox
    middle = complex((x0 + x1) / 2, (y0 + y1) / 2)
    stitch = outline.stretched(0.93, 0.93, middle)
    items: list[Item] = [
        PathItem((outline,), look.CUT_FULL, role="cut"),
        PathItem((stitch,), look.STITCH_FULL, role="stitch"),
    ]
    if y1 - y0 > 200:
        items += marks.grain_arrow(middle + 40j, middle + 140j, full=True)
    edge = Path((stitch.segments[2],))
    target = Path((outline.segments[2],)).point(90.0) if notes else 0j
    return SheetPiece(
        f"p{number}",
        number,
        title,
        outline,
        tuple(items),
        lines,
        (EdgeNote("armhole", edge),) if notes else (),
        (Callout("front notch", target),) if notes else (),
    )


def pieces() -> tuple[SheetPiece, ...]:
    return (
        piece("1", "Front", FRONT, notes=True),
        piece("3", "Sleeve", SLEEVE),
        piece("4", "Cuff", CUFF, lines=LINES[:1]),
        piece("5", "Front neck facing", FACING),
    )
