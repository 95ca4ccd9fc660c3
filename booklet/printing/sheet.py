"""Pieces arranged on one big sheet so that few pages are printed.

Paper has no grain: a piece may be turned, by quarters or aslant; its words stand upright all the same. The ground is
divided into small cells that part each tile evenly (`sheet_cells`). Several widths of the sheet and orders of the pieces
are tried (`sheet_first`), then the best of these gives up one tile after another (`sheet_close`). The count of tries is
fixed, so that the same pieces always lie alike.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass, replace

import shapely

from booklet.drawing.page import SheetPiece
from booklet.paths import Placement
from booklet.printing.grid import Grid, tile_name
from booklet.printing.sheet_cells import GAP, Cells, Mask, Spot, masks_of, polygon_of
from booklet.printing.sheet_close import fewer_tiles
from booklet.printing.sheet_first import laid, orders_of
from booklet.problems import Collector, Fault

# Ways of lying: two quarters first, then the other two, then each of the four leant a little either way.
_FIRST = (1 + 0j, 1j)
_LEAN = 8.0  # degrees. On the shipped styles it saves 2 of 143 Letter pages, none on A4, beside quarter turns alone
_MORE = (
    -1 + 0j,
    -1j,
    *(q * cmath.rect(1, math.radians(a)) for a in (_LEAN, -_LEAN) for q in (1, 1j, -1, -1j)),
)
_MOST_COLUMNS = 8
_SLACK = 1.3  # how much more than their area pieces take up, about


@dataclass(frozen=True)
class PlacedPiece:
    """A piece and how it lies on the sheet."""

    piece: SheetPiece
    placement: Placement


@dataclass(frozen=True)
class Sheet:
    """Where every piece lies, and the tiles that carry something: (row, column), by rows."""

    grid: Grid
    placed: tuple[PlacedPiece, ...]
    tiles: tuple[tuple[int, int], ...]

    @property
    def rows(self) -> int:
        return 1 + max(r for r, _ in self.tiles)

    @property
    def columns(self) -> int:
        return 1 + max(c for _, c in self.tiles)

    def names(self) -> tuple[str, ...]:
        return tuple(tile_name(r, c) for r, c in self.tiles)


def arrange(pieces: Sequence[SheetPiece], grid: Grid) -> Sheet:
    """The arrangement with the fewest tiles among those tried, of these one that parts no piece; then the shortest joined
    sheet.

    Raises `Fault` for no pieces or one without size.
    """
    if not pieces:
        raise Fault.of("sheet-empty", "there is no piece to print", None, "Give a piece 'cut:'.")
    cells = Cells.of(grid)
    masks = [masks_of(piece, _FIRST, cells) for piece in pieces]
    _refuse_too_large(pieces, masks, cells, grid)
    spots = _first(pieces, masks, cells, grid)
    if not grid.whole:
        masks = [(*two, *masks_of(piece, _MORE, cells)) for piece, two in zip(pieces, masks, strict=True)]
        _, spots = fewer_tiles(masks, spots, cells, _least(pieces, grid))
    placed = _placed(pieces, masks, spots, cells)
    if grid.whole:
        grid = _cropped(placed, grid)
    sheet = Sheet(grid, placed, tiles_of(placed, grid))
    return sheet if grid.whole else _unparted(sheet) or sheet


def _unparted(sheet: Sheet) -> Sheet | None:
    """The pieces each whole on a page, if some are parted, all can be whole, and that takes no more pages."""
    grid = sheet.grid
    if all(len(tiles_of((p,), grid)) == 1 for p in sheet.placed):
        return None
    with suppress(Fault):  # a piece larger than a page has to be parted
        placed = arrange([p.piece for p in sheet.placed], replace(grid, whole=True)).placed
        tiles = tiles_of(placed, grid)
        if len(tiles) <= len(sheet.tiles):
            return Sheet(grid, placed, tiles)
    return None


def _first(
    pieces: Sequence[SheetPiece], masks: Sequence[Sequence[Mask]], cells: Cells, grid: Grid
) -> list[Spot]:
    """The best of all widths and orders."""
    first = max(1, math.ceil(max(min(m.wide for m in ways) for ways in masks) / cells.across))
    best: tuple[tuple[float, ...], list[Spot]] | None = None
    for columns in range(first, max(first, _most_columns(pieces, grid)) + 1):
        for order in orders_of(pieces):
            spots = laid(masks, order, columns * cells.across, cells, grid)
            tiles = tiles_of(_placed(pieces, masks, spots, cells), grid)
            score: tuple[float, ...] = (len(tiles), *_extent(tiles, grid))
            if grid.whole:
                score = (len(tiles), max(y + masks[k][turn].tall for k, (turn, _, y) in enumerate(spots)))
            if best is None or score < best[0]:
                best = (score, spots)
    assert best is not None
    return best[1]


def _placed(
    pieces: Sequence[SheetPiece], masks: Sequence[Sequence[Mask]], spots: Sequence[Spot], cells: Cells
) -> tuple[PlacedPiece, ...]:
    return tuple(
        PlacedPiece(piece, ways[turn].at(x, y, cells))
        for piece, ways, (turn, x, y) in zip(pieces, masks, spots, strict=True)
    )


def _least(pieces: Sequence[SheetPiece], grid: Grid) -> int:
    """Pages that no arrangement goes below: the pieces' ground by a page's."""
    return math.ceil(sum(polygon_of(p).area for p in pieces) / (grid.step_x * grid.step_y))


def _most_columns(pieces: Sequence[SheetPiece], grid: Grid) -> int:
    """Wider sheets than this hold only more empty pages."""
    if grid.whole:
        return 1
    total = sum(polygon_of(p).area for p in pieces) * _SLACK
    return min(_MOST_COLUMNS, math.ceil(2 * math.sqrt(total / (grid.step_x * grid.step_y))) + 1)


def _refuse_too_large(
    pieces: Sequence[SheetPiece], masks: Sequence[Sequence[Mask]], cells: Cells, grid: Grid
) -> None:
    """A page that pieces are not parted on must hold each of them. Raises one `Fault` for all that it doesn't."""
    if not grid.whole:
        return
    collector = Collector()
    for piece, ways in zip(pieces, masks, strict=True):
        if all(m.wide > cells.across or m.tall > cells.down for m in ways):
            over = min(m.wide for m in ways) * cells.x - grid.step_x
            collector.error(
                "sheet-piece",
                None,
                f"piece {piece.number} '{piece.title}' is {over / 10:.0f} cm too wide for the {grid.paper.name}",
                "Print it on pages that are joined, such as --sheets a0.",
            )
    collector.raise_if_errors()


def _cropped(placed: Sequence[PlacedPiece], grid: Grid) -> Grid:
    """The page only as large as what lies on it, so far as one page is enough."""
    x1 = max(p.piece.outline.placed(p.placement).bbox[2] for p in placed) + GAP / 2 + 2 * grid.margin
    y1 = max(p.piece.outline.placed(p.placement).bbox[3] for p in placed) + GAP / 2 + 2 * grid.margin
    if y1 > grid.paper.height:
        return grid
    wide = grid.paper.width if grid.roll else x1
    return replace(grid, paper=replace(grid.paper, width=wide, height=math.ceil(y1)))


def tiles_of(placed: Sequence[PlacedPiece], grid: Grid) -> tuple[tuple[int, int], ...]:
    """The tiles whose own ground a piece meets, by rows."""
    met: dict[tuple[int, int], None] = {}
    for entry in placed:
        ground = polygon_of(entry.piece, entry.placement)
        shapely.prepare(ground)
        x0, y0, x1, y1 = ground.bounds
        for row in range(max(0, int(y0 // grid.step_y)), int(y1 // grid.step_y) + 1):
            for column in range(max(0, int(x0 // grid.step_x)), int(x1 // grid.step_x) + 1):
                if ground.intersects(shapely.box(*grid.cell(row, column))):
                    met[(row, column)] = None
    return tuple(sorted(met))


def _extent(tiles: Sequence[tuple[int, int]], grid: Grid) -> tuple[float, float]:
    """The joined sheet's longer and shorter side: of equal page counts, the one that a table holds best."""
    tall = (1 + max(r for r, _ in tiles)) * grid.step_y
    wide = (1 + max(c for _, c in tiles)) * grid.step_x
    return max(tall, wide), min(tall, wide)
