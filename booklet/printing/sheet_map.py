"""The sheet made small: the map of the pages with the order of joining, and the picture of two pages that meet."""

from __future__ import annotations

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.display import Board, Item, Stroke, Text, View, box_path
from booklet.drawing.marks import action_arrow
from booklet.drawing.text import height_mm, measure
from booklet.paths import Path, Placement
from booklet.printing.free_ground import FreeGround, line_shapes
from booklet.printing.grid import tile_name
from booklet.printing.sheet import Sheet
from booklet.printing.tiles import Joint, diamond, joints_of

_PEN = Stroke(0.6, look.INK)
_FRAME = Stroke(0.5, look.INK)
_ARROW = Stroke(0.8, look.ACCENT)
_NAME_PT = 8.0


@dataclass(frozen=True)
class SmallPicture:
    """Items whose upper left corner is the origin, and the size that they take up."""

    items: tuple[Item, ...]
    width: float
    height: float


def outlines(sheet: Sheet) -> tuple[Path, ...]:
    """The cut lines as they lie on the sheet."""
    return tuple(entry.piece.outline.placed(entry.placement) for entry in sheet.placed)


# ---------------------------------------------------------------- the map


def page_map(
    sheet: Sheet, width: float, height: float, marked: tuple[int, int] | None = None
) -> SmallPicture:
    """Pieces, printed pages with their names, an arrow along each row and one down the rows.

    `marked` is the tile whose name stands out: the one that the joining picture shows.
    """
    grid = sheet.grid
    down_arrow = 4.0 if sheet.rows > 1 else 0.0
    scale = min((width - down_arrow) / (sheet.columns * grid.step_x), height / (sheet.rows * grid.step_y))
    view = View(scale, Placement.move(complex(down_arrow, 0)))
    cell_x, cell_y = grid.step_x * scale, grid.step_y * scale
    board = Board()
    pieces = [view.path(p) for p in outlines(sheet)]
    for path in pieces:
        board.path(path, _PEN, look.RIGHT_SIDE, "piece")
    cells = {tile: view.point(grid.origin(*tile)) for tile in sheet.tiles}
    for corner in cells.values():
        board.box(corner.real, corner.imag, cell_x, cell_y, _FRAME, None, "tile")
    lines = line_shapes(board.items, 0.05)
    arrows: list[Item] = []
    for row in range(sheet.rows):
        here = [c for r, c in sheet.tiles if r == row]
        if len(here) > 1:
            y = row * cell_y + cell_y * 0.82
            x0, x1 = (down_arrow + (c + 0.5) * cell_x for c in (here[0], here[-1]))
            arrows += action_arrow(
                complex(x0 - cell_x * 0.25, y), complex(x1 + cell_x * 0.25, y), _ARROW, role="order"
            )
    if sheet.rows > 1:
        arrows += action_arrow(
            0.6 + 1j * cell_y / 2, 0.6 + 1j * (sheet.rows - 0.5) * cell_y, _ARROW, role="order"
        )
    board.add(*arrows)
    lines += line_shapes(arrows)
    for tile, corner in cells.items():
        _map_name(board, tile, corner, complex(cell_x, cell_y), lines, tile == marked)
    return SmallPicture(tuple(board.items), down_arrow + sheet.columns * cell_x, sheet.rows * cell_y)


def _map_name(
    board: Board,
    tile: tuple[int, int],
    corner: complex,
    size: complex,
    lines: list[BaseGeometry],
    marked: bool,
) -> None:
    name = tile_name(*tile)
    wide, tall = measure(name, _NAME_PT, 600), height_mm(_NAME_PT)
    ground = shapely.box(
        corner.real + 0.6, corner.imag + 0.6, corner.real + size.real - 0.6, corner.imag + size.imag - 0.6
    )
    near = [g for g in lines if g.intersects(ground)]
    free = FreeGround(ground, near)
    upper_left = corner + complex(wide, tall) / 2 + 1 + 1j
    pad = 1.6 if marked else 0.0
    at = free.best(wide + pad, tall + pad, clear=0.0, enough=1.4, near=upper_left, pull=0.03, step=0.7) or (
        corner + size / 2
    )
    if marked:
        board.box(
            at.real - wide / 2 - 0.8,
            at.imag - tall / 2 - 0.8,
            wide + 1.6,
            tall + 1.6,
            None,
            look.SOLID,
            "label",
        )
    colour = look.WHITE if marked else look.INK
    board.add(Text(at.real, at.imag + tall / 2, name, _NAME_PT, 600, colour, 0.0, "middle", "tile name"))


# ---------------------------------------------------------------- joining


def best_joint(sheet: Sheet) -> Joint | None:
    """The joint between two pages side by side that shows joining best: the one that most cut lines cross."""
    joints = joints_of(sheet.tiles)
    best: tuple[int, Joint] | None = None
    shapes = line_shapes([g for g in _as_items(sheet)])
    for joint in joints:
        if not joint.upright:
            continue
        x0, y0, _, y1 = sheet.grid.cell(*joint.second)
        edge = shapely.LineString([(x0, y0), (x0, y1)])
        crossed = sum(1 for s in shapes if s.intersects(edge))
        if best is None or crossed > best[0]:
            best = (crossed, joint)
    return best[1] if best else (joints[0] if joints else None)


def _as_items(sheet: Sheet) -> list[Item]:
    board = Board()
    board.path(outlines(sheet), _PEN)
    return board.items


def joining_picture(sheet: Sheet, joint: Joint, width: float, trimmed: str) -> SmallPicture:
    """The first page with its strips, the second trimmed, and arrows from diamond half to diamond half.

    `trimmed` are the words under the second: '{name}, trimmed at left and top'.
    """
    grid = sheet.grid
    gap = 15.0
    scale = (width - gap) / (2 * grid.area_width)
    # Side by side for both kinds of joint: the room is wide.
    right = complex(grid.area_width * scale + gap, 0)
    board = Board()
    for tile, corner in ((joint.first, 0j), (joint.second, right)):
        _small_tile(board, sheet, tile, scale, corner)
    tall = grid.area_height * scale
    if joint.upright:
        for share in (0.25, 0.75):
            y = grid.step_y * scale * share
            board.add(*action_arrow(right + 1j * y, complex(grid.step_x * scale, y), _ARROW, dot=False))
    else:
        for share in (0.25, 0.75):
            x = grid.step_x * scale * share
            board.add(*action_arrow(right + x, complex(x, grid.step_y * scale), _ARROW, dot=False))
    foot = tall + 4.6
    names = (tile_name(*joint.first), trimmed.format(name=tile_name(*joint.second)))
    for name, corner in zip(names, (0j, right), strict=True):
        middle = corner.real + grid.step_x * scale / 2
        wide = measure(name, look.LABEL_PT, 600)
        middle = min(max(middle, wide / 2), width - wide / 2)
        board.text(middle, foot, name, look.LABEL_PT, 600, look.INK, "middle", role="tile name")
    return SmallPicture(tuple(board.items), width, foot + 1.0)


def _small_tile(board: Board, sheet: Sheet, tile: tuple[int, int], scale: float, corner: complex) -> None:
    """A page as it comes out of the printer, less its blank margin."""
    grid = sheet.grid
    area = box_path(corner.real, corner.imag, grid.area_width * scale, grid.area_height * scale)
    view = View(scale, Placement.move(corner - grid.origin(*tile) * scale))
    joint = corner + complex(grid.step_x, grid.step_y) * scale
    end = corner + complex(grid.area_width, grid.area_height) * scale
    seams = [j for j in joints_of(sheet.tiles) if tile in (j.first, j.second)]
    strips = []
    lines = []
    for seam in seams:
        if seam.first == tile and seam.upright:
            strips.append(box_path(joint.real, corner.imag, (end - joint).real, (end - corner).imag))
            lines.append(Path.line(complex(joint.real, corner.imag), complex(joint.real, end.imag)))
        elif seam.first == tile:
            strips.append(box_path(corner.real, joint.imag, (end - corner).real, (end - joint).imag))
            lines.append(Path.line(complex(corner.real, joint.imag), complex(end.real, joint.imag)))
    inner = Board()
    inner.path(area, None, look.WRONG_SIDE, "tile")
    for strip in strips:
        inner.path(strip, None, look.GROUND, "strip")
    for path in outlines(sheet):
        inner.path(view.path(path), _PEN, look.RIGHT_SIDE, "piece")
    inner.path(lines, Stroke(0.5, look.SOFT, (0.8, 0.6)), role="tile edge")
    for seam in seams:
        for share in (0.25, 0.75):
            inner.add(*diamond(view.point(_on_joint(sheet, seam, share)), 1.4))
    board.group(inner.items, clip=area, role="small tile")
    board.path(area, _FRAME, None, "tile")


def _on_joint(sheet: Sheet, joint: Joint, share: float) -> complex:
    """Where a diamond stands on the sheet."""
    grid = sheet.grid
    origin = grid.origin(*joint.second)
    along = complex(0, grid.step_y * share) if joint.upright else complex(grid.step_x * share, 0)
    return origin + along
