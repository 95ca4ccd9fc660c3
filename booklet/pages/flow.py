"""Blocks set one under the other down a page and on to the next: headings, paragraphs, rows of tables, pictures."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from booklet.drawing import look
from booklet.drawing.display import Board, Fill, Group, Item
from booklet.drawing.text import break_lines, height_mm, measure, paragraph, widest_word
from booklet.paths import Placement

SHORT = 7  # rows of a table that stays on one page
THIN = 0.4  # of a page's height: a last page with less takes over from the one before
ROW_UP, ROW_DOWN = 4.6, 2.1  # a table row: rule above to first baseline, last baseline to rule below


@dataclass(frozen=True)
class Block:
    """Something `height` mm high, its items drawn from y = 0 down, x on the page.

    `before`: white above it, left out at a page's top. `keep`: stays on one page with the next block.
    `again`: drawn first where a page begins with this block (a table's head). `heading`: a part of the page begins with it.
    """

    height: float
    items: tuple[Item, ...]
    before: float = 0.0
    keep: bool = False
    again: Block | None = None
    heading: bool = False


@dataclass
class _Page:
    items: list[Item] = field(default_factory=list)
    y: float = 0.0
    first: int = 0  # of its blocks


def flow(
    blocks: Sequence[Block], top: float, foot: float, balanced: bool = True
) -> tuple[tuple[Item, ...], ...]:
    """The blocks on as many pages as they need; a block higher than a page gets one of its own.

    `balanced`: where the last page would be rather empty, or begin within a part, it begins at an earlier heading if that
    leaves enough before it; an empty one else takes over rows of a table.
    """
    pages = _filled(blocks, top, foot)
    if balanced and len(pages) > 1:
        pages = _balanced(blocks, pages, top, foot)
    return tuple(tuple(p.items) for p in pages if p.items)


def _balanced(blocks: Sequence[Block], pages: list[_Page], top: float, foot: float) -> list[_Page]:
    """As many pages, the last one begun earlier where that is better."""
    before, last = pages[-2], pages[-1]
    least = THIN * (foot - top)
    thin = last.y - top < least
    if not thin and blocks[last.first].heading:
        return pages
    best, best_filled = pages, last.y - top
    for rows in (False, True) if thin else (False,):
        for n in range(last.first - 1, before.first, -1):
            block = blocks[n]
            if blocks[n - 1].keep or not (block.again is not None if rows else block.heading):
                continue
            again = _filled(blocks, top, foot, n)
            if len(again) != len(pages):
                continue
            filled = min(p.y - top for p in again[-2:])
            if filled >= least:
                return again
            if thin and filled > best_filled:
                best, best_filled = again, filled
    return best


def _filled(blocks: Sequence[Block], top: float, foot: float, new_at: int = -1) -> list[_Page]:
    """First fit, with a new page at the block `new_at`."""
    pages = [_Page(y=top)]
    i = 0
    while i < len(blocks):
        chain = [blocks[i]]
        while chain[-1].keep and i + len(chain) < len(blocks):
            chain.append(blocks[i + len(chain)])
        page = pages[-1]
        need = sum(b.height + b.before for b in chain) - (chain[0].before if page.y == top else 0.0)
        if page.y > top and (page.y + need > foot + 1e-6 or (i == new_at and page.first != i)):
            pages.append(_Page(y=top, first=i))
            continue
        for block in chain:
            page = pages[-1]
            if page.y > top:
                page.y += block.before
            elif block.again is not None and page.items == []:
                _put(page, block.again)
            _put(page, block)
        i += len(chain)
    return pages


def height_of(blocks: Sequence[Block]) -> float:
    """Height of the blocks on one page, without the white above the first."""
    return sum(b.height + b.before for b in blocks) - (blocks[0].before if blocks else 0.0)


def placed(blocks: Sequence[Block], y: float) -> tuple[Item, ...]:
    """The blocks from y down, whatever the room."""
    page = _Page(y=y)
    for n, block in enumerate(blocks):
        page.y += block.before if n else 0.0
        _put(page, block)
    return tuple(page.items)


def _put(page: _Page, block: Block) -> None:
    if block.items:
        page.items.append(Group(block.items, Placement(1 + 0j, page.y * 1j)))
    page.y += block.height


# ---------------------------------------------------------------- blocks


def words_block(
    markup: str,
    left: float,
    width: float,
    size_pt: float = look.BODY_PT,
    leading: float = look.BODY_LEADING,
    *,
    weight: int = 400,
    colour: str = look.INK,
    before: float = 0.0,
    keep: bool = False,
) -> Block:
    """A paragraph; its height runs from the top of the capitals to a little below the last line."""
    board = Board()
    first = height_mm(size_pt, 0.72)
    end = paragraph(board, left, first, markup, width, size_pt, leading, weight=weight, colour=colour)
    return Block(end - leading + height_mm(size_pt, 0.24), tuple(board.items), before, keep)


def heading_block(
    title: str, aside: str, paper: look.Paper, *, before: float = 9.0, ruled: bool = False
) -> Block:
    """A heading over a part of a page, with something at its right; where a line does not hold both, under it."""
    board = Board()
    base, size, wide = height_mm(look.STEP_TITLE_PT, 0.72), look.STEP_TITLE_PT - 1, paper.right - paper.left
    end = paragraph(board, paper.left, base, title, wide, size, 4.9, weight=600, role="heading")
    lines = round((end - base) / 4.9)
    base += (lines - 1) * 4.9
    beside = lines == 1 and measure(title, size, 600) + measure(aside, look.CHECK_PT) + ASIDE_CLEAR <= wide
    if aside and beside:
        board.text(paper.right, base, aside, look.CHECK_PT, 400, look.SOFT, "end", role="heading")
    elif aside:
        base += 4.5
        board.text(paper.left, base, aside, look.CHECK_PT, 400, look.SOFT, role="heading")
    if ruled:
        board.line(complex(paper.left, base + 2.4), complex(paper.right, base + 2.4), look.TABLE_RULE, "rule")
    return Block(base + 2.4, tuple(board.items), before, keep=True, heading=True)


@dataclass(frozen=True)
class Column:
    """A column of a table: from `x`, `width` wide; words stand at its start, middle or end."""

    x: float
    width: float
    head: str = ""
    anchor: str = "start"
    weight: int = 400
    colour: str = look.INK
    size_pt: float = look.TABLE_PT


@dataclass(frozen=True)
class Row:
    """Cells in the order of the columns. A strong row is set semibold; `pale` grounds it."""

    cells: tuple[str, ...]
    strong: bool = False
    pale: bool = False
    soft: bool = False
    extra: tuple[Item, ...] = ()  # drawn with the row, y = 0 at its first baseline
    columns: tuple[Column, ...] = ()  # for a row that is divided in a way of its own


ASIDE_CLEAR = 6.0  # mm between a heading and what stands at its right
LINE = 4.0  # leading of a cell of several lines


def table_blocks(
    columns: Sequence[Column],
    rows: Sequence[Row],
    left: float,
    right: float,
    *,
    before: float = 0.0,
    head_rule: bool = True,
) -> list[Block]:
    """A table without verticals: a head, then a block a row; the head comes again on a new page."""
    if not rows:
        return []
    head = _head(columns, left, right, head_rule)
    blocks = [Block(head.height, head.items, before, keep=True)]
    for n, row in enumerate(rows):
        last = n == len(rows) - 1
        block = _row(row.columns or columns, row, left, right, last)
        # A short table is never parted; a long one keeps two rows together at either end, and a soft row with its own.
        keep = not last and (
            len(rows) <= SHORT or n in (0, len(rows) - 2) or (rows[n + 1].soft and not row.soft)
        )
        blocks.append(Block(block.height, block.items, keep=keep, again=head if n else None))
    return blocks


def _head(columns: Sequence[Column], left: float, right: float, top_rule: bool) -> Block:
    board = Board()
    if top_rule:
        board.line(complex(left, 0), complex(right, 0), look.TABLE_RULE, "rule")
    columns = [_wide_enough(c) for c in columns]
    lines = [break_lines(c.head, c.width, look.CHECK_PT) if c.head else () for c in columns]
    deepest = max((len(x) for x in lines), default=0)
    for column, broken in zip(columns, lines, strict=True):
        y = ROW_UP + (deepest - len(broken)) * 3.7
        _cell(board, column, column.head, y, look.CHECK_PT, 400, look.SOFT, 3.7)
    height = ROW_UP + max(deepest - 1, 0) * 3.7 + ROW_DOWN if deepest else 0.0
    board.line(complex(left, height), complex(right, height), look.TABLE_RULE, "rule")
    return Block(height, tuple(board.items))


def _wide_enough(column: Column) -> Column:
    """For its head: a word that is wider than the column stands over its neighbours' white, and is not cut."""
    more = widest_word(column.head, look.CHECK_PT) - column.width
    if more <= 0:
        return column
    x = column.x - more * {"start": 0.0, "middle": 0.5, "end": 1.0}[column.anchor]
    return replace(column, x=x, width=column.width + more + 1e-6)


def _row(columns: Sequence[Column], row: Row, left: float, right: float, last: bool) -> Block:
    board = Board()
    deepest = 1
    for column, text in zip(columns, row.cells, strict=True):
        if text:
            weight = 600 if row.strong else column.weight
            deepest = max(deepest, len(break_lines(text, column.width, column.size_pt, weight)))
    height = ROW_UP + (deepest - 1) * LINE + ROW_DOWN
    if row.pale:
        board.box(left, 0, right - left, height, None, Fill(look.PALE), role="ground")
    for column, text in zip(columns, row.cells, strict=True):
        weight = 600 if row.strong else column.weight
        colour = look.SOFT if row.soft else column.colour
        _cell(board, column, text, ROW_UP, column.size_pt, weight, colour, LINE)
    if row.extra:
        board.group(row.extra, Placement(1 + 0j, ROW_UP * 1j))
    pen = look.TABLE_RULE if last else look.ROW_RULE
    board.line(complex(left, height), complex(right, height), pen, "rule")
    return Block(height, tuple(board.items))


def _cell(
    board: Board, column: Column, text: str, y: float, size: float, weight: int, colour: str, leading: float
) -> None:
    if text:
        paragraph(
            board, column.x, y, text, column.width, size, leading, weight=weight, colour=colour,
            anchor=column.anchor, role="cell",
        )  # fmt: skip
