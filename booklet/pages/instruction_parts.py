"""What instructions for a screen are made of: headed parts with text, tables and pictures."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing.display import Drawing


@dataclass(frozen=True)
class Picture:
    """A drawing with the words for those who can't see it."""

    drawing: Drawing
    told: str


@dataclass(frozen=True)
class Table:
    """Rows of cells under a head; cells of the columns in `numbers` are figures. With `sizes` all columns but the first are
    sizes in their order, so that what is alike for several may be said once."""

    head: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    numbers: tuple[int, ...] = ()
    sizes: bool = False


@dataclass(frozen=True)
class Part:
    """A headed part: level 2 stands under the title, 3 under a part. `text` may hold **bold** figures."""

    title: str
    level: int = 2
    number: int | None = None  # of a step, which may be ticked off
    aside: str = ""
    text: tuple[str, ...] = ()
    check: str = ""
    note: str = ""
    table: Table | None = None
    bullets: tuple[str, ...] = ()
    terms: tuple[tuple[str, str], ...] = ()
    pictures: tuple[Picture, ...] = ()
