"""The grid of tiles that a big sheet is printed on: paper, print area, overlap, names."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing.look import Paper
from booklet.paths import Box


@dataclass(frozen=True)
class Grid:
    """Tiles of a paper. The print area is what a tile carries; a step is how much of it is new, in mm.

    With `whole` no piece may lie across a joint; a page as wide as a `roll` keeps its width however little lies on it.
    """

    paper: Paper
    margin: float = 10.0  # from every edge of the paper
    overlap: float = 10.0  # at right and foot
    whole: bool = False
    roll: bool = False

    @property
    def area_width(self) -> float:
        return self.paper.width - 2 * self.margin

    @property
    def area_height(self) -> float:
        return self.paper.height - 2 * self.margin

    @property
    def step_x(self) -> float:
        return self.area_width - self.overlap

    @property
    def step_y(self) -> float:
        return self.area_height - self.overlap

    def cell(self, row: int, column: int) -> Box:
        """What of the sheet is this tile's own (its strips are the neighbours')."""
        x, y = column * self.step_x, row * self.step_y
        return x, y, x + self.step_x, y + self.step_y

    def area(self, row: int, column: int) -> Box:
        """What of the sheet this tile prints, strips included."""
        x, y = column * self.step_x, row * self.step_y
        return x, y, x + self.area_width, y + self.area_height

    def origin(self, row: int, column: int) -> complex:
        """The sheet point that lies in the upper left corner of the print area."""
        return complex(column * self.step_x, row * self.step_y)


def row_name(row: int) -> str:
    """A, B ... Z, AA, AB ..."""
    name = ""
    row += 1
    while row:
        row, rest = divmod(row - 1, 26)
        name = chr(ord("A") + rest) + name
    return name


def tile_name(row: int, column: int) -> str:
    """'B2': the row's letter and the column's number."""
    return f"{row_name(row)}{column + 1}"
