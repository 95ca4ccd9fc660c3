"""The page beside the print guide of a nest: each size's cut line as it is printed, and which pages a size needs."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.drawing import look
from booklet.drawing.display import Board, Item, Stroke
from booklet.drawing.look import Paper
from booklet.drawing.text import break_lines, measure, paragraph
from booklet.printing.guide import page_runs
from booklet.printing.sheet import PlacedPiece, Sheet, tiles_of

_PT, _LEADING, _ROW = 8.8, 4.3, 5.6
_SAMPLE = 52.0  # mm of line
_MOST = 999  # page numbers have at most as many digits


@dataclass(frozen=True)
class NestWords:
    """What the page says, in the reader's language."""

    lines: str
    lines_text: str
    pages: str
    pages_aside: str
    whole: str


@dataclass(frozen=True)
class SizeRow:
    """A piece, a run of sizes ('34–38'), and the tiles that they lie on, counted from 0."""

    piece: str
    sizes: str
    tiles: tuple[int, ...]


def whole_rows(sheet: Sheet, names: Sequence[str]) -> tuple[SizeRow, ...]:
    """For each size the tiles of the whole pattern."""
    at = {tile: n for n, tile in enumerate(sheet.tiles)}
    return tuple(
        SizeRow(
            "",
            name,
            tuple(sorted({at[t] for p in sheet.placed for t in tiles_of((_of_size(p, n),), sheet.grid)})),
        )
        for n, name in enumerate(names)
    )


def piece_rows(sheet: Sheet, names: Sequence[str]) -> tuple[SizeRow, ...]:
    """For each piece the tiles of its sizes; sizes next to each other that need the same tiles share a row."""
    at = {tile: n for n, tile in enumerate(sheet.tiles)}
    out: list[SizeRow] = []
    for entry in sheet.placed:
        title = f"{entry.piece.number} {entry.piece.title}"
        found = [tuple(at[t] for t in tiles_of((_of_size(entry, n),), sheet.grid)) for n in range(len(names))]
        begin = 0
        for n in range(1, len(names) + 1):
            if n == len(names) or found[n] != found[begin]:
                run = names[begin] if n - begin == 1 else f"{names[begin]}\u2013{names[n - 1]}"
                out.append(SizeRow(title, run, found[begin]))
                begin = n
    return tuple(out)


def _of_size(entry: PlacedPiece, n: int) -> PlacedPiece:
    """The piece as one size alone; whole where all sizes share it."""
    if not entry.piece.sizes:
        return entry
    return replace(entry, piece=replace(entry.piece, outline=entry.piece.sizes[n].outline))


@dataclass(frozen=True)
class NestGuide:
    """The page's content before its page numbers are known; `parts` of the pieces' rows, one a page."""

    whole: tuple[SizeRow, ...]
    pieces: tuple[SizeRow, ...]
    pens: tuple[Stroke, ...]
    paper: Paper
    words: NestWords

    @property
    def parts(self) -> list[list[SizeRow]]:
        """The rows of pieces parted into pages, by numbers no shorter than the real ones."""
        first = self.paper.top + 4.0 + self._top_height()
        out: list[list[SizeRow]] = [[]]
        y = first + 14.0
        for row in self.pieces:
            tall = self._tall(row, _MOST - max(row.tiles, default=0), self._room)
            if y + tall > self.paper.foot - 4.0 and out[-1]:
                out.append([])
                y = self.paper.top + 18.0
            out[-1].append(row)
            y += tall
        return out

    def pages(self, first_tile: int) -> list[tuple[Item, ...]]:
        """The items of each page; `first_tile` is the number of the pattern's first page as a print window counts."""
        out = []
        for n, rows in enumerate(self.parts):
            board = Board()
            y = self.paper.top + 4.0
            if n == 0:
                self._top(board, y, first_tile)
                y += self._top_height()
            self._rows(board, y, rows, first_tile)
            out.append(tuple(board.items))
        return out

    # ------------------------------------------------------------ the upper table

    @property
    def _text_left(self) -> float:
        return self.paper.left + 12.0 + _SAMPLE + 6.0

    @property
    def _room(self) -> float:
        """For the page numbers of a piece."""
        return self.paper.right - self.paper.left - 84.0

    def _tall(self, row: SizeRow, first: int, room: float) -> float:
        return _ROW + (len(break_lines(self._told(row, first), room, _PT, 600)) - 1) * _LEADING

    def _told(self, row: SizeRow, first: int) -> str:
        return page_runs([first + t for t in row.tiles])

    def _top_height(self) -> float:
        room = self.paper.right - self._text_left
        rows = sum(self._tall(r, _MOST - max(r.tiles, default=0), room) for r in self.whole)
        wide = self.paper.right - self.paper.left
        return 14.0 + rows + len(break_lines(self.words.lines_text, wide)) * look.BODY_LEADING + 9.0

    def _top(self, board: Board, y: float, first: int) -> None:
        left, right = self.paper.left, self.paper.right
        y = paragraph(board, left, y + 2.0, self.words.lines_text, right - left) + 6.0
        board.text(left, y, self.words.lines, 11.0, 600)
        board.text(self._text_left, y, self.words.pages, 11.0, 600)
        board.text(right, y, self.words.pages_aside, _PT, 400, look.SOFT, "end")
        y += 2.6
        board.line(complex(left, y), complex(right, y), look.TABLE_RULE, "rule")
        for n, (row, pen) in enumerate(zip(self.whole, self.pens, strict=True)):
            board.text(left, y + 4.0, row.sizes, _PT, 600)
            board.line(complex(left + 12.0, y + 2.8), complex(left + 12.0 + _SAMPLE, y + 2.8), pen, "sample")
            room = right - self._text_left
            end = paragraph(board, self._text_left, y + 4.0, self._told(row, first), room, _PT, _LEADING)
            y = end - _LEADING + _ROW - 4.0
            pen = look.ROW_RULE if n < len(self.whole) - 1 else look.TABLE_RULE
            board.line(complex(left, y), complex(right, y), pen, "rule")

    # ------------------------------------------------------------ the lower one

    def _rows(self, board: Board, y: float, rows: Sequence[SizeRow], first: int) -> None:
        left, right = self.paper.left, self.paper.right
        board.text(left, y + 2.0, self.words.whole, 11.0, 600)
        y += 4.6
        board.line(complex(left, y), complex(right, y), look.TABLE_RULE, "rule")
        before = ""
        for n, row in enumerate(rows):
            if row.piece != before:
                board.text(left, y + 4.0, _short(row.piece), _PT)
            before = row.piece
            board.text(left + 60.0, y + 4.0, row.sizes, _PT, 600)
            end = paragraph(
                board, right - self._room, y + 4.0, self._told(row, first), self._room, _PT, _LEADING
            )
            y = end - _LEADING + _ROW - 4.0
            last = n == len(rows) - 1
            if last or rows[n + 1].piece != row.piece:
                board.line(
                    complex(left, y), complex(right, y), look.TABLE_RULE if last else look.ROW_RULE, "rule"
                )


def nest_guide(
    sheet: Sheet, names: Sequence[str], pens: Sequence[Stroke], paper: Paper, words: NestWords
) -> NestGuide:
    return NestGuide(whole_rows(sheet, names), piece_rows(sheet, names), tuple(pens), paper, words)


def _short(title: str) -> str:
    while title and measure(title, _PT) > 56.0:
        title = title[:-2].rstrip() + "…" if len(title) > 2 else ""
    return title
