"""The sheet parted into pages: pieces clipped to the print area, strips, joints with their marks, names, a bar.

A tile is trimmed at left and top on the solid line and laid over its neighbours' dashed lines. Diamonds stand on the
joints: each neighbour prints its part, so that a shift shows at once.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from shapely.geometry import Polygon
from shapely.geometry.base import BaseGeometry

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_touch
from booklet.drawing.display import Anchor, Board, Drawing, Group, PathItem, Text, box_path
from booklet.drawing.page import Bookmark, PageSpec
from booklet.drawing.text import height_mm, measure
from booklet.language import OWN
from booklet.pages.words import Words, words_for
from booklet.paths import Path, Placement
from booklet.printing.free_ground import FreeGround, line_shapes, word_shapes
from booklet.printing.grid import Grid, tile_name
from booklet.printing.piece_words import piece_words
from booklet.printing.sheet import Sheet
from booklet.printing.tile_blocks import JOINT_PT, SMALL_PT, bar_block, name_block, square_block, stacked

DIAMOND = 4.2  # mm from a diamond's middle to its points
_SIDE_PT = 11.0
BIG_SHEET = (
    500.0  # from this width on a page carries both test squares, as it is printed far from the guide's
)


@dataclass(frozen=True)
class TileWords:
    """What tiles say, in the reader's language; {} stands for what is filled in."""

    tile: str
    scale: str
    trim: str
    lies_over: str
    measure: str
    bar: str
    square_in: str
    square_mm: str
    bookmark: str

    @classmethod
    def of(cls, words: Words) -> TileWords:
        """Those of `pattern.tile` in the language's page texts."""
        return cls(**words.table("pattern.tile"))


@dataclass(frozen=True)
class Joint:
    """A numbered seam between two printed tiles: side by side (upright), or one over the other."""

    number: int
    first: tuple[int, int]
    second: tuple[int, int]
    upright: bool


@dataclass(frozen=True)
class DrawnSheet:
    """A sheet with its words: groups in the sheet's mm, ready for tiles, map and joining picture."""

    sheet: Sheet
    pieces: tuple[Group, ...]
    words: tuple[Group, ...]
    left_over: tuple[str, ...]


def draw_sheet(sheet: Sheet) -> DrawnSheet:
    """Each piece as a form of its own, placed; its words beside it in the sheet's coordinates."""
    pieces: list[Group] = []
    words: list[Group] = []
    left: list[str] = []
    for entry in sheet.placed:
        piece = entry.piece
        pieces.append(
            Group(piece.items, entry.placement, layer=piece.layer, name=f"piece {piece.key}", role="piece")
        )
        for size in piece.sizes:
            name = f"piece {piece.key} {size.size}"
            pieces.append(Group(size.items, entry.placement, layer=size.layer, name=name, role="piece"))
        said = piece_words(entry, sheet.grid)
        for size, names in zip(piece.sizes, said.named, strict=True):
            words.append(Group(names, layer=size.layer, role="size names"))
        words.append(Group(said.items, layer=piece.layer, role="piece words"))
        left += said.left_over
    return DrawnSheet(sheet, tuple(pieces), tuple(words), tuple(left))


def joints_of(tiles: Sequence[tuple[int, int]]) -> tuple[Joint, ...]:
    """All joints between printed tiles: first those within the rows, row by row, then those between rows."""
    there = dict.fromkeys(tiles)
    pairs = [((r, c), (r, c + 1), True) for r, c in tiles if (r, c + 1) in there]
    pairs += [((r, c), (r + 1, c), False) for r, c in tiles if (r + 1, c) in there]
    return tuple(Joint(n + 1, a, b, upright) for n, (a, b, upright) in enumerate(pairs))


def tile_pages(drawn: DrawnSheet, note: str = "", words: TileWords | None = None) -> tuple[PageSpec, ...]:
    """One page a tile, in the order of the rows. `note` is the style's code and size: 'W-014  size 92'."""
    words = words or TileWords.of(words_for(OWN))
    joints = joints_of(drawn.sheet.tiles)
    shapes = [line_shapes((g,)) for g in drawn.pieces]
    boxes = [box_of(g) for g in drawn.pieces]
    pages: list[PageSpec] = []
    for n, tile in enumerate(drawn.sheet.tiles):
        maker = _Tile(drawn.sheet.grid, tile, joints, words)
        here: list[Group] = []
        lines: list[BaseGeometry] = []
        for group, box, shape in zip(drawn.pieces, boxes, shapes, strict=True):
            if box is not None and boxes_touch(box, maker.grid.area(*tile)):
                here.append(group)
                lines += shape
        for group in drawn.words:
            if said := _words_here(group, maker.grid, tile):
                here.append(said)
                lines += line_shapes((said,)) + word_shapes((said,))
        drawing = maker.page(here, lines, n + 1, len(drawn.sheet.tiles), note)
        name = tile_name(*tile)
        marks = (Bookmark(words.bookmark, 0),) if n == 0 else ()
        pages.append(PageSpec(drawing, name, (*marks, Bookmark(name, 1))))
    return tuple(pages)


def _words_here(group: Group, grid: Grid, tile: tuple[int, int]) -> Group | None:
    """A piece's words that stand on this tile's own ground; in a strip they would be hidden, and cut at its end."""
    items = []
    for item in group.items:
        box = box_of(item)
        ground = grid.cell(*tile) if isinstance(item, Text) else grid.area(*tile)
        if box is not None and boxes_touch(box, ground):
            items.append(item)
    return replace(group, items=tuple(items)) if items else None


class _Tile:
    """Draws one tile's page; everything in the page's own mm."""

    def __init__(self, grid: Grid, tile: tuple[int, int], joints: Sequence[Joint], words: TileWords) -> None:
        self.grid = grid
        self.tile = tile
        self.words = words
        m = grid.margin
        self.left, self.top = m, m
        self.right, self.foot = m + grid.step_x, m + grid.step_y  # the joints
        self.end_x, self.end_y = m + grid.area_width, m + grid.area_height
        self.butt = grid.overlap == 0
        self.at_right = _joint(joints, lambda j: j.upright and j.first == tile)
        self.at_left = _joint(joints, lambda j: j.upright and j.second == tile)
        self.at_foot = _joint(joints, lambda j: not j.upright and j.first == tile)
        self.at_top = _joint(joints, lambda j: not j.upright and j.second == tile)

    def page(self, groups: list[Group], lines: list[BaseGeometry], n: int, of: int, note: str) -> Drawing:
        board = Board()
        self._strips(board)
        area = box_path(self.left, self.top, self.grid.area_width, self.grid.area_height)
        move = Placement.move(complex(self.left, self.top) - self.grid.origin(*self.tile))
        placed = tuple(Group((g,), move) for g in groups)
        board.group(placed, clip=area, role="pattern")
        self._edges(board)
        free = self._free_ground(lines, move)
        self._diamonds(board, free)
        self._neighbours(board, free)
        self._name(board, free, n, of, note)
        return board.drawing(self.grid.paper.width, self.grid.paper.height)

    # ------------------------------------------------------------ edges

    def _strips(self, board: Board) -> None:
        wide, tall = self.end_x - self.right, self.end_y - self.foot
        if self.at_right:
            foot = self.end_y if self.at_foot else self.foot
            board.box(self.right, self.top, wide, foot - self.top, None, look.GROUND, "strip")
        if self.at_foot:
            board.box(self.left, self.foot, self.right - self.left, tall, None, look.GROUND, "strip")

    def _edges(self, board: Board) -> None:
        """Solid where the tile is trimmed, dashed where a neighbour's edge comes to lie, faint where it ends."""
        trim, lay, end = look.Stroke(0.8, look.INK), look.Stroke(0.6, look.SOFT, (1.2, 0.9)), look.FINE
        x_end = self.end_x if self.at_right else self.right
        y_end = self.end_y if self.at_foot else self.foot
        left, top = self.left, self.top
        if self.butt:  # edge comes to edge: each is trimmed
            lay = trim
        board.line(complex(left, top), complex(left, y_end), trim if self.at_left else end, "tile edge")
        board.line(complex(left, top), complex(x_end, top), trim if self.at_top else end, "tile edge")
        right, foot = complex(self.right, top), complex(left, self.foot)
        board.line(right, complex(self.right, y_end), lay if self.at_right else end, "tile edge")
        board.line(foot, complex(x_end, self.foot), lay if self.at_foot else end, "tile edge")

    def _diamonds(self, board: Board, free: FreeGround) -> None:
        area = box_path(self.left, self.top, self.grid.area_width, self.grid.area_height)
        for joint, edge, upright in (
            (self.at_left, self.left, True),
            (self.at_right, self.right, True),
            (self.at_top, self.top, False),
            (self.at_foot, self.foot, False),
        ):
            if joint is None:
                continue
            start, step = (self.top, self.grid.step_y) if upright else (self.left, self.grid.step_x)
            for share, letter in ((0.25, "a"), (0.75, "b")):
                along = start + step * share
                middle = complex(edge, along) if upright else complex(along, edge)
                board.group(diamond(middle), clip=area, role="diamond")
                free.add(Polygon([(p.real, p.imag) for p in _corners(middle)]))
                text = self._joint_name(f"{joint.number}{letter}", middle, upright, free)
                board.add(text)
                free.add(*word_shapes([text]))

    def _joint_name(self, name: str, middle: complex, upright: bool, free: FreeGround) -> Text:
        """Beside the diamond, on the side that stays in sight when the pages lie joined, clear of lines if it can."""
        drop = height_mm(JOINT_PT) / 2
        off = DIAMOND + 1.0
        x, y = middle.real, middle.imag + drop
        places: list[tuple[float, float, Anchor]]
        if upright:
            inner = middle.real < (self.left + self.right) / 2
            side = off if inner else -off
            anchor: Anchor = "start" if inner else "end"
            places = [(x + side, y + down, anchor) for down in (0.0, -4.0, 4.0)]
        else:
            row = y + (off if middle.imag < (self.top + self.foot) / 2 else -off)
            places = [(x + off, row, "start"), (x - off, row, "end")]
        texts = [_text(px, py, name, JOINT_PT, 600, where) for px, py, where in places]
        gaps = free.clearance(np.array(word_shapes(texts)), 0.4)
        return texts[int(np.argmax(gaps > 0.3))]

    # ------------------------------------------------------------ words

    def _free_ground(self, lines: list[BaseGeometry], move: Placement) -> FreeGround:
        """The tile's own ground, a little in from its edges; what is off the print area need not be looked at."""
        inset = 4.0
        ground = shapely.box(self.left + inset, self.top + inset, self.right - inset, self.foot - inset)
        shift = np.array([move.shift.real, move.shift.imag])
        moved = shapely.transform(np.array(lines, object), lambda p: p + shift) if lines else []
        area = shapely.box(self.left, self.top, self.end_x, self.end_y)
        near = [g for g in moved if g.intersects(area)]
        return FreeGround(ground, near)

    def _neighbours(self, board: Board, free: FreeGround) -> None:
        """Names at mid-side, moved along it where a line is in the way."""
        row, column = self.tile
        middle = complex((self.left + self.right) / 2, (self.top + self.foot) / 2)
        sides = (
            (self.at_left, tile_name(row, column - 1), "\u2190 {}", 1 + 0j, self.left),
            (self.at_right, tile_name(row, column + 1), "{} \u2192", -1 + 0j, self.right),
            (self.at_top, tile_name(row - 1, column), "\u2191 {}", 1j, self.top),
            (self.at_foot, tile_name(row + 1, column), "\u2193 {}", -1j, self.foot),
        )
        for joint, name, form, inward, edge in sides:
            if joint is None:
                continue
            trimmed = self.butt or inward in (1 + 0j, 1j)
            block = [(form.format(name), _SIDE_PT, 600, look.INK)]
            if trimmed:
                block.append((self.words.trim, SMALL_PT, 400, look.SOFT))
            self._side_block(board, free, block, inward, edge, middle)
            if not trimmed:
                self._strip_words(board, free, self.words.lies_over.format(name=name), inward == -1 + 0j)

    def _side_block(
        self,
        board: Board,
        free: FreeGround,
        block: list[tuple[str, float, int, str]],
        inward: complex,
        edge: float,
        middle: complex,
    ) -> None:
        wide = max(measure(words, size, weight) for words, size, weight, _ in block)
        tall = height_mm(_SIDE_PT) + (4.4 if len(block) > 1 else 0.0) + 1.0
        beside = inward.imag == 0
        off = (wide if beside else tall) / 2 + 2.6
        base = complex(edge, middle.imag) if beside else complex(middle.real, edge)
        base += inward * off
        along = 1j if beside else 1 + 0j
        reach = self.grid.step_y if beside else self.grid.step_x
        spots = [base + along * d for d in _outwards(reach * 0.42, 4.0)]
        boxes = np.array([_box(z, wide, tall) for z in spots])
        # The first, nearest to the middle, of the freest; it may lie over a line, never over words.
        gaps = np.minimum(free.clearance(boxes), 2.0)
        unread = FreeGround(free.ground, word_shapes(board.items)).clearance(boxes, 0.4) < 0.3
        at = spots[int(np.argmax(np.where(unread, -1.0, gaps)))]
        anchor: Anchor = "middle" if not beside else ("start" if inward.real > 0 else "end")
        x = at.real if not beside else at.real - inward.real * wide / 2
        y = at.imag - tall / 2 + height_mm(_SIDE_PT)
        for words, size, weight, colour in block:
            board.add(Text(x, y, words, size, weight, colour, 0.0, anchor, "neighbour"))
            y += 4.4
        free.add(_box(at, wide, tall))

    def _strip_words(self, board: Board, free: FreeGround, words: str, upright: bool) -> None:
        """In the strip itself, which the neighbour comes to cover: where no line is, near mid-side first."""
        long, tall = measure(words, SMALL_PT), height_mm(SMALL_PT, 0.9)
        middle = complex((self.left + self.right) / 2, (self.top + self.foot) / 2)
        if upright:
            middle, along, reach = complex((self.right + self.end_x) / 2, middle.imag), 1j, self.grid.step_y
        else:
            middle, along, reach = (
                complex(middle.real, (self.foot + self.end_y) / 2),
                1 + 0j,
                self.grid.step_x,
            )
        size = (tall, long) if upright else (long, tall)
        spots = [middle + along * d for d in _outwards((reach - long) * 0.48, 4.0)]
        gaps = np.minimum(free.clearance(np.array([_box(z, *size) for z in spots])), 1.0)
        at = spots[int(np.argmax(gaps))]
        drop = height_mm(SMALL_PT) / 2
        foot, angle = (at + drop, -90.0) if upright else (at + 1j * drop, 0.0)
        board.add(Text(foot.real, foot.imag, words, SMALL_PT, 400, look.SOFT, angle, "middle", "strip"))

    def _name(self, board: Board, free: FreeGround, n: int, of: int, note: str) -> None:
        """Page name, what it belongs to, and the bar: together where there is room, else apart."""
        # A page with no neighbours needs no place in a grid; its paper's name can't be taken for another paper.
        name = tile_name(*self.tile) if of > 1 else self.grid.paper.name
        lines = [self.words.tile.format(n=n, of=of), self.words.scale, *([note] if note else [])]
        title, bar = name_block(name, lines), bar_block(self.words.bar, self.words.measure)
        if self.grid.paper.width >= BIG_SHEET:
            bar = square_block(self.words.square_in, self.words.square_mm, self.words.measure)
        both = stacked((title, bar), 5.0)
        middle = complex((self.left + self.right) / 2, (self.top + self.foot) / 2)
        for clear in (6.0, 3.0):
            at = free.best(both.wide, both.tall, clear=clear, enough=14.0, near=middle, pull=0.01)
            if at is not None:
                board.add(both.centred(at))
                return
        narrow = name_block(name, lines, below=True)
        for shapes in ((title, narrow, title.turned(), narrow.turned()), (bar, bar.turned())):
            # Where lines leave no room the block may lie over lines, never over words.
            over_lines = FreeGround(free.ground, word_shapes(board.items))
            tries = [(shape, free, clear) for clear in (2.0, 0.8) for shape in shapes]
            for shape, ground, clear in [*tries, (shapes[0], over_lines, 0.8)]:
                at = ground.best(
                    shape.wide, shape.tall, clear=clear, enough=8.0, near=middle, pull=0.005, step=2.5
                )
                if at is not None:
                    board.add(shape.centred(at))
                    free.add(_box(at, shape.wide, shape.tall))
                    break


# ---------------------------------------------------------------- small parts


def diamond(middle: complex, size: float = DIAMOND) -> tuple[PathItem, ...]:
    """A diamond whose upper left and lower right quarters are black, its middle exactly on a joint."""
    top, right, foot, left = _corners(middle, size)
    pen = look.Stroke(0.5, look.INK)
    quarters = (
        Path.polyline([middle, left, top], True),
        Path.polyline([middle, right, foot], True),
    )
    return (
        PathItem((Path.polyline([top, right, foot, left], True),), pen, look.WRONG_SIDE, "diamond"),
        PathItem(quarters, None, look.SOLID, "diamond"),
    )


def _corners(middle: complex, size: float = DIAMOND) -> tuple[complex, complex, complex, complex]:
    return middle - 1j * size, middle + size, middle + 1j * size, middle - size


def _joint(joints: Sequence[Joint], fits: Callable[[Joint], bool]) -> Joint | None:
    return next((j for j in joints if fits(j)), None)


def _text(
    x: float,
    y: float,
    words: str,
    size: float,
    weight: int,
    anchor: Anchor,
    colour: str = look.INK,
    role: str = "joint",
) -> Text:
    return Text(x, y, words, size, weight, colour, 0.0, anchor, role)


def _box(middle: complex, wide: float, tall: float) -> Polygon:
    x, y = middle.real, middle.imag
    return shapely.box(x - wide / 2, y - tall / 2, x + wide / 2, y + tall / 2)


def _outwards(reach: float, step: float) -> list[float]:
    """0, then ever farther to both sides."""
    out = [0.0]
    for n in range(1, int(reach / step) + 1):
        out += [-n * step, n * step]
    return out
