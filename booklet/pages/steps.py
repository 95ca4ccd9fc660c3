"""The numbered steps: words at the left, pictures at the right and level with them, parts as page titles.

Heights follow the content. A part that begins within a page has its heading there, between two steps; a heading never
ends a page.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing, Group, Item
from booklet.drawing.marks import check_mark, tick_box
from booklet.drawing.page import Bookmark
from booklet.drawing.text import paragraph
from booklet.model import Job, Step
from booklet.pages import figures
from booklet.pages.flow import Block, height_of, placed
from booklet.pages.picture_words import told
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.step_sizes import step_table
from booklet.pages.words import Words
from booklet.paths import Placement

FIRST = 8.6  # from a step's top to its title's baseline
PICTURES_DOWN = 3.4  # from a step's top to its pictures
GAP = 6.0  # between pictures
PART_HIGH = 13.0  # a part's heading inside a page
ALONE_WORDS = 112.0  # measure of the words where there is no picture
UNDER = 4.5  # from a picture's foot to the first baseline of words that run on under it
# What it costs to begin a page within a part, or a part with one step at a page's foot. The white left on a page, the
# last one apart, costs its share of the page, squared.
MID_PART, LATE_PART = 0.08, 0.05
THIN, THINNER = 0.45, 4.0  # a page under this share of its height costs so much for each share that it lacks
TAIL_CLEAR = 4.0  # white between the last step and what comes after it on its page


@dataclass(frozen=True)
class _Block:
    step: Step
    items: tuple[Item, ...]
    height: float
    part: str  # heading that comes before it, '' if none
    under: str  # the part that it belongs to


@dataclass(frozen=True)
class _Page:
    blocks: list[_Block]


def step_leaves(job: Job, words: Words, answers: bool = True, tail: Sequence[Block] = ()) -> list[Leaf]:
    """`answers`: with the rules that a step answers, beside it. `tail`: the words explained, under the last step."""
    paper = paper_of(job)
    blocks = _blocks(job, words, paper, answers)
    room = paper.foot - paper.top
    pages = _paged(blocks, room, height_of(tail) + TAIL_CLEAR if tail else 0.0)
    leaves = [_leaf(page, job, words, paper) for page in pages]
    if tail:
        y = paper.top + _height(pages[-1].blocks) + TAIL_CLEAR
        last = leaves[-1]
        mark = Bookmark(words("safety.glossary"), 0, y)
        leaves[-1] = replace(last, items=(*last.items, *placed(tail, y)), bookmarks=(*last.bookmarks, mark))
    return leaves


def answers_of(step: Step, words: Words) -> list[str]:
    """The rules that a step answers, each with its reason, for the shop's copy."""
    return [
        f"**{words('answers.rule')}** {rule_words(a.rule, words)}. **{words('answers.reason')}** {a.reason.rstrip('.')}."
        for a in step.answers
    ]


def rule_words(rule: str, words: Words) -> str:
    return words.name("rules." + rule, rule)


def _blocks(job: Job, words: Words, paper: look.Paper, answers: bool) -> list[_Block]:
    out, under = [], ""
    for step in job.steps:
        under = step.part or under
        items, height = _step(step, [s.size for s in job.sizes], words, paper, answers)
        out.append(_Block(step, items, height, step.part, under))
    return out


def _paged(blocks: Sequence[_Block], room: float, tail: float = 0.0) -> list[_Page]:
    """Steps on pages, in order: as few pages as can be, each as full as can be, what is left over on the last, but no page
    nearly empty where its neighbours can give it a step; parts at the top of a page where that costs little.

    The best set of breaks is found from the end; `best[n]` is how many pages the steps from n on take, what they cost
    and where the first of them ends. `tail`: the height, mm, of what comes after the last step on its page.
    """
    best: list[tuple[int, float, int]] = [(0, 0.0, len(blocks))] * (len(blocks) + 1)
    for n in range(len(blocks) - 1, -1, -1):
        ways = []
        for end in range(n + 1, len(blocks) + 1):
            last = end == len(blocks)
            used = _height(blocks[n:end]) + (tail if last else 0.0)
            if used > room + look.STEP_CLEAR and end > n + 1:
                break
            free = max(0.0, 1 - used / room)
            cost = 0.0 if last else free * free
            cost += THINNER * max(0.0, THIN - used / room)
            cost += 0.0 if blocks[n].part or n == 0 else MID_PART
            if not last and blocks[end - 1].part and not blocks[end].part:
                cost += LATE_PART  # a heading low on a page with one step of its part
            over = 1 if last and used > room + look.STEP_CLEAR else 0  # the tail does not fit under one step
            ways.append((1 + over + best[end][0], cost + best[end][1], end))
        best[n] = min(ways)
    pages, n = [], 0
    while n < len(blocks):
        end = best[n][2]
        pages.append(_Page(list(blocks[n:end])))
        n = end
    return pages


def _height(blocks: Sequence[_Block]) -> float:
    return sum(b.height for b in blocks) + sum(PART_HIGH for b in blocks[1:] if b.part)


def _leaf(page: _Page, job: Job, words: Words, paper: look.Paper) -> Leaf:
    board = Board()
    y = paper.top
    marks: list[Bookmark] = []
    for n, block in enumerate(page.blocks):
        if block.part:
            marks.append(Bookmark(block.part, 0, y if n else 0.0))
        if n and block.part:
            board.line(complex(paper.left, y), complex(paper.right, y), look.HEAD_RULE, "rule")
            board.text(paper.left, y + 8.4, block.part, look.STEP_TITLE_PT + 2.6, 600, role="title")
            y += PART_HIGH
        if n:
            start = complex(paper.left, y)
            board.line(start, complex(paper.right, y), look.STEP_RULE, "rule")
        board.add(Group(block.items, Placement.move(y * 1j)))
        marks.append(Bookmark(f"{block.step.number} {block.step.title}", 1, y))
        y += block.height
    first = page.blocks[0]
    title = first.under if first.part or not first.under else words("steps.continued", part=first.under)
    title = title or words("sections.steps")
    last = page.blocks[-1].step
    sum_ = sum(b.step.minutes for b in page.blocks)
    key = "steps.aside_one" if last is first.step else "steps.aside"
    aside = words(
        key,
        first=first.step.number,
        last=last.number,
        of=len(job.steps),
        minutes=figures.minutes(sum_, words),
    )
    if job.nested:
        aside = words("sizes.steps_aside", aside=aside, size=job.size.size)
    return Leaf("steps", title, aside, tuple(board.items), tuple(marks))


def _step(
    step: Step, sizes: Sequence[str], words: Words, paper: look.Paper, answers: bool
) -> tuple[tuple[Item, ...], float]:
    """A step's items from y = 0 down, and its height with the white below.

    Its table of sizes stands under the words where there is room beside the pictures, else under both.
    """
    board = Board()
    board.text(look.NUMBER_X, FIRST, str(step.number), look.STEP_NUMBER_PT, 600, look.ACCENT, role="number")
    board.add(tick_box(look.NUMBER_X, FIRST + 3.3))
    if step.minutes:
        time = figures.minutes(step.minutes, words)
        board.text(look.NUMBER_X, FIRST + 12.3, time, look.CHECK_PT, 400, look.SOFT, role="minutes")
    pictures, high = _pictures(step, words, paper.right - look.PICTURE_LEFT)
    beside = PICTURES_DOWN + high if high else 0.0
    low = _words(board, step, beside, answers_of(step, words) if answers else ())
    board.add(*pictures)
    if step.by_size:
        x = look.WORDS_LEFT
        table, high = step_table(step.by_size, sizes, x, look.WORDS_RIGHT - x, words)
        if low + high > beside:
            table, high = step_table(step.by_size, sizes, x, paper.right - x, words)
            low = max(low, beside)
        board.group(table, Placement.move(low * 1j))
        low += high
    low = max(low, beside, FIRST + 13.0)
    return tuple(board.items), low + look.STEP_CLEAR


def _words(board: Board, step: Step, beside: float, answered: Sequence[str] = ()) -> float:
    """Title, paragraphs, note, rules answered and check; returns where they end. Down to `beside` there are pictures at
    the right of them; lines below that run on under the pictures, as all do in a step without any."""
    x = look.WORDS_LEFT
    column = look.WORDS_RIGHT - x if beside else ALONE_WORDS

    def under(y: float, leading: float, indent: float = 0.0) -> tuple[int, float]:
        """How many lines from a baseline on stand beside the pictures, and how wide those after them are."""
        return max(0, math.ceil((beside + UNDER - y) / leading)), ALONE_WORDS - indent

    y = paragraph(board, x, FIRST, step.title, column, look.STEP_TITLE_PT, 5.4, weight=600, role="title")
    y += 0.9
    for text in step.text:
        y = paragraph(board, x, y, text, column, then=under(y, look.BODY_LEADING)) + 1.6
    y -= 1.6
    last = y - look.BODY_LEADING
    if step.note:
        y += 1.2
        y = paragraph(
            board, x, y, step.note, column, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, role="note",
            then=under(y, look.CHECK_LEADING),
        )  # fmt: skip
        last = y - look.CHECK_LEADING
    for text in answered:
        y += 1.2
        y = paragraph(
            board, x, y, text, column, look.CHECK_PT, look.CHECK_LEADING, role="answer",
            then=under(y, look.CHECK_LEADING),
        )  # fmt: skip
        last = y - look.CHECK_LEADING
    if step.check:
        y += 1.4 if not (step.note or answered) else 1.0
        board.add(check_mark(x, y))
        y = paragraph(
            board, x + 5.1, y, step.check, column - 5.1, look.CHECK_PT, look.CHECK_LEADING, role="check",
            then=under(y, look.CHECK_LEADING, 5.1),
        )  # fmt: skip
        last = y - look.CHECK_LEADING
    return last + 1.0


def _pictures(step: Step, words: Words, wide: float) -> tuple[list[Item], float]:
    """A step's pictures in rows, left to right, 1:1. Returns the items and how far down they reach."""
    rows: list[list[tuple[Drawing, str]]] = []
    for picture in step.pictures:
        drawing = picture.drawing
        assert isinstance(drawing, Drawing)
        used = sum(d.width + GAP for d, _ in rows[-1]) if rows else 0.0
        if rows and used + drawing.width <= wide + 0.01:
            rows[-1].append((drawing, words.spaced(told(step, picture))))
        else:
            rows.append([(drawing, words.spaced(told(step, picture)))])
    items: list[Item] = []
    y = PICTURES_DOWN
    for row in rows:
        x = look.PICTURE_LEFT
        for drawing, alt in row:
            at = Placement.move(complex(x, y))
            items.append(Group(drawing.items, at, role="picture", told=alt))
            x += drawing.width + GAP
        y += max(d.height for d, _ in row) + GAP
    return items, y - GAP - PICTURES_DOWN if rows else 0.0
