"""'Before you print': the first page of the tile run, with the two squares, the map and the way to join.

The squares are 100 mm and 4 inches from the middle of one line to the middle of the other. Which wrong sizes
a printer makes is worked out: a page of one paper fitted into another comes out by the ratio of their sides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Board, Item, Stroke
from booklet.drawing.look import Paper
from booklet.drawing.text import break_lines, height_mm, measure, paragraph
from booklet.language import OWN
from booklet.pages.words import Words, words_for
from booklet.paths import Path, Placement
from booklet.printing.grid import row_name
from booklet.printing.sheet import Sheet
from booklet.printing.sheet_map import best_joint, joining_picture, page_map
from booklet.printing.tiles import Joint

SQUARE_MM, SQUARE_IN = 100.0, 4 * 25.4
_GAP = 9.3  # between the square and the tables beside it


@dataclass(frozen=True)
class GuideWords:
    """What the page says, in the reader's language; names in {} are filled in."""

    outer: str
    inner: str
    side_mm: str
    side_in: str
    alone: str
    right: str
    pages_many: str
    pages_one: str
    wrong: str
    every: str
    every_big: str
    projector: str
    projector_set: str
    projector_grid: str
    off_title: str
    off_mm: str
    off_in: str
    off_what: str
    off_right: str
    off_fitted: str
    off_percent: str
    off_other: str
    off_feed: str
    thrown_what: str
    thrown_less: str
    thrown_less_why: str
    thrown_more: str
    thrown_more_why: str
    thrown_uneven: str
    thrown_uneven_why: str
    window_title: str
    window_scale: str
    window_scale_value: str
    window_fit: str
    window_fit_value: str
    window_sides: str
    window_sides_value: str
    window_paper: str
    window_paper_value: str
    window_pages: str
    window_pages_value: str
    viewer_title: str
    viewer_page: str
    viewer_view: str
    viewer_view_value: str
    viewer_keystone: str
    viewer_keystone_value: str
    map_title: str
    map_aside_many: str
    map_aside_one: str
    join_title: str
    trimmed: str
    join_trim: str
    join_row: str
    join_rows: str
    join_check: str
    trimmed_all: str
    butt_trim: str
    butt_row: str
    by_piece: str
    by_piece_aside: str
    join_single: str
    point: str = "."  # the decimal sign

    @classmethod
    def of(cls, words: Words) -> GuideWords:
        """Those of `pattern.guide` in the language's page texts."""
        point = words.told("1.5")[1:-1]
        return cls(**words.table("pattern.guide"), point=point)


@dataclass(frozen=True)
class GuideFacts:
    """What only the booklet knows: page numbers as a print window counts them, and what to measure once joined.

    `check` is a sentence: 'The fold edge of piece 1 measures 545 mm, ± 2 mm.'
    """

    page: int
    first_tile: int
    last_tile: int
    check: str
    by_piece: tuple[tuple[str, str], ...] = ()  # ('1 Front', '22–24, 27')
    big: bool = False  # the pattern's pages carry both squares
    grid: str = ""  # for a projector: what its grid measures


def print_guide(
    sheet: Sheet, paper: Paper, facts: GuideFacts, words: GuideWords | None = None
) -> tuple[Item, ...]:
    """The page's items between head and foot, in page mm."""
    words = words or GuideWords.of(words_for(OWN))
    board = Board()
    top = paper.top + 4.0
    _squares(board, paper.left, top, facts, words)
    side_left = paper.left + SQUARE_IN + _GAP
    printed_on = sheet.grid.paper
    y = _off_table(board, side_left, paper.right, top, _cases(sheet, paper, bool(facts.grid), words), words)
    _window_table(board, side_left, paper.right, y + 8.0, printed_on, facts, words)
    lower = top + SQUARE_IN + 11.5
    foot = _by_piece(board, paper, facts, words)
    joint = best_joint(sheet)
    _map(board, sheet, paper, lower, foot, joint, words)
    _join(board, sheet, paper, lower, foot, joint, facts, words)
    return tuple(board.items)


def page_runs(numbers: Sequence[int]) -> str:
    """'22–24, 27' for 22, 23, 24 and 27."""
    runs: list[list[int]] = []
    for n in sorted(numbers):
        if runs and n == runs[-1][-1] + 1:
            runs[-1].append(n)
        else:
            runs.append([n])
    return ", ".join(f"{r[0]}" if len(r) == 1 else f"{r[0]}\u2013{r[-1]}" for r in runs)


def _by_piece(board: Board, paper: Paper, facts: GuideFacts, words: GuideWords) -> float:
    """A table at the page's foot, in columns read downwards. Returns the y that is left to what stands above."""
    if not facts.by_piece:
        return paper.foot
    size, leading, gap = 8.8, 4.3, 6.0
    room = paper.right - paper.left
    columns = 3
    while columns > 1 and any(
        measure(name, size) + 3 + measure(pages, size, 600) > (room - gap * (columns - 1)) / columns
        for name, pages in facts.by_piece
    ):
        columns -= 1
    wide = (room - gap * (columns - 1)) / columns
    rows = -(-len(facts.by_piece) // columns)
    top = paper.foot - rows * leading - 5.0
    board.text(paper.left, top, words.by_piece, 11.0, 600)
    board.text(paper.right, top, words.by_piece_aside, 8.8, 400, look.SOFT, "end")
    for n, (name, pages) in enumerate(facts.by_piece):
        x = paper.left + (n // rows) * (wide + gap)
        y = top + 5.6 + (n % rows) * leading
        free = wide - 3 - measure(pages, size, 600)
        while name and measure(name, size) > free:
            name = name[:-2].rstrip() + "…" if len(name) > 2 else ""
        board.text(x, y, name, size, 400, look.INK)
        board.text(x + wide, y, pages, size, 600, look.INK, "end")
    return top - 8.0


# ---------------------------------------------------------------- the squares


def _squares(board: Board, x: float, y: float, facts: GuideFacts, words: GuideWords) -> None:
    """Both share the lower left corner; millimetre ticks look inwards, inch ticks outwards."""
    pen, tick = Stroke(0.6, look.INK), Stroke(0.5, look.INK)
    foot = y + SQUARE_IN
    inner_top = foot - SQUARE_MM
    board.box(x, y, SQUARE_IN, SQUARE_IN, pen, None, "square 4 in")
    board.box(x, inner_top, SQUARE_MM, SQUARE_MM, pen, None, "square 100 mm")
    ticks: list[Path] = []
    for n in range(1, 10):
        long = 3.4 if n == 5 else 2.2
        ticks.append(Path.line(complex(x, foot - 10 * n), complex(x + long, foot - 10 * n)))
        ticks.append(Path.line(complex(x + 10 * n, foot), complex(x + 10 * n, foot - long)))
    for n in range(1, 16):
        long = 2.6 if n % 4 == 0 else 1.3
        at = n * 25.4 / 4
        ticks.append(Path.line(complex(x + at, y), complex(x + at, y - long)))
        ticks.append(Path.line(complex(x + SQUARE_IN, foot - at), complex(x + SQUARE_IN + long, foot - at)))
    board.path(ticks, tick, role="square ticks")
    middle_x, middle_y = x + SQUARE_MM / 2, foot - SQUARE_MM / 2
    size = look.TABLE_PT
    board.text(middle_x, inner_top + 5.2, words.outer, size, 600, look.INK, "middle")
    board.text(middle_x, foot - 5.6, words.inner, size, 600, look.INK, "middle")
    drop = height_mm(size) / 2
    board.text(x + 6.0 + drop, middle_y, words.side_mm, size, 600, look.INK, "middle", -90)
    board.text(x + SQUARE_MM - 5.0 + drop, middle_y, words.side_in, size, 600, look.INK, "middle", -90)
    left, width = x + 17.0, 67.0
    many = facts.last_tile > facts.first_tile
    rest = (words.pages_many if many else words.pages_one).format(
        first=facts.first_tile, last=facts.last_tile
    )
    texts: tuple[str, ...] = (
        words.alone.format(page=facts.page),
        words.right.format(pages=rest),
        words.wrong,
        words.every_big if facts.big else words.every,
    )
    if facts.grid:
        texts = (
            words.projector.format(page=facts.page, first=facts.first_tile),
            words.projector_set.format(first=facts.first_tile),
            words.projector_grid.format(step=facts.grid),
        )
    tall = sum(len(break_lines(t, width)) for t in texts) * look.BODY_LEADING + 3 * 2.2
    line = middle_y - tall / 2 + look.BODY_LEADING * 0.8
    for text in texts:
        line = paragraph(board, left, line, text, width) + 2.2


# ---------------------------------------------------------------- tables


_SMALLER = (Paper("A3", 297.0, 420.0),)


def wrong_scale(paper: Paper) -> tuple[Paper, float]:
    """The other common paper, and the share that a page of this one shrinks to when fitted to it."""
    other = look.LETTER if paper.name == look.A4.name else look.A4
    if (
        paper.width > look.LETTER.width
    ):  # a big sheet comes out of an office printer's driver as the next smaller one
        other = _SMALLER[0] if paper.width > _SMALLER[0].width else look.A4
    return other, min(other.width / paper.width, other.height / paper.height)


# mm, inches and what happened; a word over both columns where there are no inches
_Case = tuple[str, str, str]


def _cases(sheet: Sheet, paper: Paper, thrown: bool, words: GuideWords) -> list[_Case]:
    """What a square that is off tells. `paper` is the booklet's own, on which the squares are printed."""
    if thrown:
        return [
            (words.thrown_less, "", words.thrown_less_why),
            (words.thrown_more, "", words.thrown_more_why),
            (words.thrown_uneven, "", words.thrown_uneven_why),
        ]
    sizes = [(1.0, words.off_right), (0.97, words.off_percent.format(percent=97))]
    if not sheet.grid.roll:  # a roll is fitted to nothing
        # A page that fits either paper comes out right on both: the page of the squares itself may have been fitted.
        printed_on = sheet.grid.paper
        fits_both = wrong_scale(printed_on)[1] >= 1.0
        other, share = wrong_scale(paper if fits_both else printed_on)
        name = paper.name if fits_both else printed_on.name
        sizes.append((share, words.off_fitted.format(paper=name, other=other.name)))
    sizes.sort(key=lambda size: -size[0])
    told = [
        (f"{100 * share:.1f}".replace(".", words.point), f"{4 * share:.2f}".replace(".", words.point), text)
        for share, text in sizes
    ]
    return [*told, (words.off_other, "", words.off_feed)]


def _off_table(
    board: Board, left: float, right: float, top: float, cases: Sequence[_Case], words: GuideWords
) -> float:
    """The heading stands with the square's top. Returns the y of the table's end."""
    board.text(left, top + 2.0, words.off_title, 11.0, 600)
    y = top + 4.6
    board.line(complex(left, y), complex(right, y), look.TABLE_RULE, "rule")
    mm, inch, what = left + 9.0, left + 20.0, left + 24.5
    size = 8.8
    measured = any(inches for _, inches, _ in cases)
    if measured:
        board.text(mm, y + 4.7, words.off_mm, 8.2, 400, look.SOFT, "end")
        board.text(inch, y + 4.7, words.off_in, 8.2, 400, look.SOFT, "end")
    head = words.off_what if measured else words.thrown_what
    board.text(what, y + 4.7, head, 8.2, 400, look.SOFT)
    y += 7.0
    board.line(complex(left, y), complex(right, y), look.TABLE_RULE, "rule")
    for n, (a, b, text) in enumerate(cases):
        long = measure(a, size, 600)
        anchor_x = mm if b else left + max(9.0 if measured else 0.0, long)
        board.text(anchor_x, y + 4.5, a, size, 600, look.INK, "end")
        if b:
            board.text(inch, y + 4.5, b, size, 400, look.INK, "end")
        end = paragraph(board, what, y + 4.5, text, right - what, size, 3.8)
        y = end - 3.8 + 2.0
        pen = look.ROW_RULE if n < len(cases) - 1 else look.TABLE_RULE
        board.line(complex(left, y), complex(right, y), pen, "rule")
    return y


def _window_table(
    board: Board, left: float, right: float, top: float, paper: Paper, facts: GuideFacts, words: GuideWords
) -> None:
    board.text(left, top, words.viewer_title if facts.grid else words.window_title, 11.0, 600)
    y = top + 2.6
    board.line(complex(left, y), complex(right, y), look.TABLE_RULE, "rule")
    rest = (
        f"{facts.first_tile}\u2013{facts.last_tile}"
        if facts.last_tile > facts.first_tile
        else f"{facts.first_tile}"
    )
    rows: tuple[tuple[str, str], ...] = (
        (words.window_scale, words.window_scale_value),
        (words.window_fit, words.window_fit_value),
        (words.window_sides, words.window_sides_value),
        (words.window_paper, words.window_paper_value.format(paper=paper.name)),
        (words.window_pages, words.window_pages_value.format(page=facts.page, rest=rest)),
    )
    if facts.grid:
        rows = (
            (words.viewer_page, rest),
            rows[0],
            (words.viewer_view, words.viewer_view_value),
            (words.viewer_keystone, words.viewer_keystone_value),
        )
    for n, (name, value) in enumerate(rows):
        board.text(left, y + 4.4, name, 8.8, 400, look.SOFT)
        board.text(right, y + 4.4, value, 8.8, 600, look.INK, "end")
        y += 6.3
        pen = look.ROW_RULE if n < len(rows) - 1 else look.TABLE_RULE
        board.line(complex(left, y), complex(right, y), pen, "rule")


# ---------------------------------------------------------------- map and joining


def _map(
    board: Board,
    sheet: Sheet,
    paper: Paper,
    top: float,
    foot: float,
    joint: Joint | None,
    words: GuideWords,
) -> None:
    width = 66.5
    n = len(sheet.tiles)
    board.text(paper.left, top, words.map_title, 11.0, 600)
    aside = words.map_aside_one if n == 1 else words.map_aside_many.format(n=n)
    board.text(paper.left + width, top, aside, 8.8, 400, look.SOFT, "end")
    picture = page_map(sheet, width, foot - top - 8.0, joint.first if joint else None)
    board.group(picture.items, Placement.move(complex(paper.left, top + 7.0)), role="map")


def _join(
    board: Board,
    sheet: Sheet,
    paper: Paper,
    top: float,
    foot: float,
    joint: Joint | None,
    facts: GuideFacts,
    words: GuideWords,
) -> None:
    left = paper.left + 80.0
    board.text(left, top, words.join_title, 11.0, 600)
    y = top + 7.0
    if joint is None:
        paragraph(board, left, y, words.join_single.format(check=facts.check), paper.right - left)
        return
    steps = _join_steps(sheet, facts, words)
    text_left = left + 6.6
    lines = sum(len(break_lines(s, paper.right - text_left)) for s in steps)
    text_tall = lines * look.BODY_LEADING + len(steps) * 2.0 + 6.0
    room = foot - y - text_tall
    # The picture takes what the words leave, at most as much as two fifths of a page's width allow.
    width = min(82.0, 15.0 + 2 * (room - 6.0) * sheet.grid.area_width / sheet.grid.area_height)
    trimmed = words.trimmed_all if sheet.grid.overlap == 0 else words.trimmed
    picture = joining_picture(sheet, joint, width, trimmed)
    board.group(picture.items, Placement.move(complex(left, y)), role="joining")
    y += picture.height + 8.0
    for n, step in enumerate(steps):
        board.text(left, y, str(n + 1), 11.0, 600, look.ACCENT)
        y = paragraph(board, text_left, y, step, paper.right - text_left) + 2.0


def _join_steps(sheet: Sheet, facts: GuideFacts, words: GuideWords) -> Sequence[str]:
    butt = sheet.grid.overlap == 0
    steps = [words.butt_trim if butt else words.join_trim]
    if any(a[0] == b[0] for a, b in zip(sheet.tiles, sheet.tiles[1:], strict=False)):
        steps.append(words.butt_row if butt else words.join_row)
    if sheet.rows > 1:
        steps.append(words.join_rows.format(last=row_name(sheet.rows - 1)))
    steps.append(words.join_check.format(check=facts.check))
    return steps
