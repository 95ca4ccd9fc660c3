"""What stands in a tile's free ground: its name with a few words, and a bar to measure. Upright, or with a quarter turn."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Group, Item, PathItem, Text, box_path
from booklet.drawing.text import height_mm, measure
from booklet.paths import Path, Placement

BAR = 50.0
SMALL_PT, JOINT_PT = 7.8, 8.0
_NAME_PT = look.PAGE_NAME_PT


@dataclass(frozen=True)
class Block:
    """Items whose box has its upper left corner at the origin."""

    items: tuple[Item, ...]
    wide: float
    tall: float

    def centred(self, at: complex) -> Group:
        return Group(self.items, Placement.move(at - complex(self.wide, self.tall) / 2))

    def turned(self) -> Block:
        """With a quarter turn: reads from foot to top."""
        turn = Placement.rotation(-math.pi / 2).then(Placement.move(complex(0, self.wide)))
        return Block((Group(self.items, turn),), self.tall, self.wide)


def stacked(blocks: Sequence[Block], gap: float) -> Block:
    """One under another, left edges in line."""
    items: list[Item] = []
    y = 0.0
    for block in blocks:
        items.append(Group(block.items, Placement.move(complex(0, y))))
        y += block.tall + gap
    return Block(tuple(items), max(b.wide for b in blocks), y - gap)


def name_block(name: str, lines: Sequence[str], below: bool = False) -> Block:
    """The page name, with small lines at its right, their middle on its middle; or below it."""
    tall, wide = height_mm(_NAME_PT), measure(name, _NAME_PT, 600)
    items: list[Item] = [Text(0, tall, name, _NAME_PT, 600, look.INK, role="page name")]
    x, y = (
        (0.0, tall + 5.4)
        if below
        else (wide + 6, tall / 2 - (len(lines) - 1) * 2.1 + height_mm(SMALL_PT) / 2)
    )
    for n, line in enumerate(lines):
        items.append(Text(x, y + 4.2 * n, line, SMALL_PT, 400, look.SOFT, role="page note"))
    long = max(measure(line, SMALL_PT) for line in lines)
    if below:
        return Block(tuple(items), max(wide, long), y + 4.2 * (len(lines) - 1) + 1.0)
    return Block(tuple(items), x + long, tall)


def bar_block(length: str, words: str) -> Block:
    """Fifty millimetres with a tick every ten, to lay a ruler on."""
    foot = 3.0
    ticks = [Path.line(complex(x, 0 if x in (0, 50) else 1.4), complex(x, foot)) for x in range(0, 51, 10)]
    items: list[Item] = [
        PathItem(
            (Path.line(1j * foot, BAR + 1j * foot), *ticks), look.Stroke(0.6, look.INK), role="scale bar"
        ),
        Text(0, foot + 4.6, length, JOINT_PT, 600, look.INK, role="scale bar"),
        Text(BAR, foot + 4.6, words, SMALL_PT, 400, look.SOFT, 0.0, "end", "scale bar"),
    ]
    return Block(tuple(items), BAR, foot + 5.2)


def square_block(outer: str, inner: str, words: str) -> Block:
    """Four inches and in it 100 mm, each from the middle of one line to the middle of the other, with a corner shared."""
    pen = look.Stroke(0.6, look.INK)
    wide, small = 4 * 25.4, 100.0
    middle = small / 2
    items: list[Item] = [
        PathItem((box_path(0, 0, wide, wide),), pen, role="square 4 in"),
        PathItem((box_path(0, wide - small, small, small),), pen, role="square 100 mm"),
        Text(middle, 9.0, outer, look.TABLE_PT, 600, look.INK, 0.0, "middle", "scale bar"),
        Text(middle, wide - 5.6, inner, look.TABLE_PT, 600, look.INK, 0.0, "middle", "scale bar"),
        Text(middle, wide / 2, words, SMALL_PT, 400, look.SOFT, 0.0, "middle", "scale bar"),
    ]
    return Block(tuple(items), wide, wide)
