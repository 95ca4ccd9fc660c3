"""A page before it knows its number, and the frame that every page of the booklet has."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Board, Item
from booklet.drawing.page import Bookmark, PageSpec
from booklet.drawing.text import measure
from booklet.model import Job
from booklet.pages.nest_words import sizes_told
from booklet.pages.words import Words, sentence


@dataclass(frozen=True)
class Leaf:
    """A page without number: what stands between its head and foot. `section` keys the running head."""

    section: str
    title: str
    aside: str
    items: tuple[Item, ...]
    bookmarks: tuple[Bookmark, ...] = ()


def paper_of(job: Job) -> look.Paper:
    return look.PAPERS[job.paper]


def framed(leaf: Leaf, job: Job, words: Words, n: int, of: int) -> PageSpec:
    """The page with its head, title, foot and number."""
    paper = paper_of(job)
    board = Board()
    frame(board, job, words, paper, leaf.section, n, of)
    if leaf.title:
        heading(board, paper, leaf.title, leaf.aside)
    board.add(*leaf.items)
    return PageSpec(board.drawing(paper.width, paper.height), str(n), leaf.bookmarks)


def frame(board: Board, job: Job, words: Words, paper: look.Paper, section: str, n: int, of: int) -> None:
    """Running head and foot with their rules; what is too long for its place is cut short with an ellipsis."""
    style = words("frame.head", code=job.style.code, title=job.style.title)
    if job.nested:
        told = sentence(sizes_told([s.size for s in job.sizes], words))
        middle = words("sizes.foot", sizes=told, version=job.style.version)
    else:
        middle = words("frame.foot", size=job.size.size, version=job.style.version)
    page = words("frame.page", n=n, of=of)
    frame_words(board, paper, words("sections." + section), style, job.shop.name, middle, page)


def frame_words(
    board: Board, paper: look.Paper, name: str, right: str, shop: str, middle: str, page: str
) -> None:
    """The frame from its words: at the head `name` and `right`, at the foot shop, `middle` and page."""
    head_y, foot_y = paper.head_rule - 2.6, paper.foot_rule + 4.1
    board.text(paper.left, head_y, name, look.HEAD_PT, 600, look.SOFT, role="head")
    room = paper.right - paper.left - measure(name, look.HEAD_PT, 600) - 8
    right = shortened(right, room, look.HEAD_PT)
    board.text(paper.right, head_y, right, look.HEAD_PT, 400, look.SOFT, "end", role="head")
    rule(board, paper, paper.head_rule, look.HEAD_RULE)
    rule(board, paper, paper.foot_rule, look.FOOT_RULE)
    third = (paper.right - paper.left) / 3
    shop = shortened(shop, third - 4, look.FOOT_PT)
    middle = shortened(middle, third + 10, look.FOOT_PT)
    centre = (paper.left + paper.right) / 2
    board.text(paper.left, foot_y, shop, look.FOOT_PT, 400, look.SOFT, role="foot")
    board.text(centre, foot_y, middle, look.FOOT_PT, 400, look.SOFT, "middle", role="foot")
    board.text(paper.right, foot_y, page, look.FOOT_PT, 600, look.INK, "end", role="foot")


def heading(board: Board, paper: look.Paper, title: str, aside: str) -> None:
    """The page's title, and at the right what it covers."""
    free = paper.right - paper.left - (measure(aside, look.TABLE_PT) + 8 if aside else 0)
    size = look.TITLE_PT
    while measure(title, size, 600) > free and size > look.STEP_TITLE_PT:
        size -= 0.5
    title = shortened(title, free, size, 600)
    board.text(paper.left, paper.title_baseline, title, size, 600, role="title")
    if aside:
        at = paper.title_baseline
        board.text(paper.right, at, aside, look.TABLE_PT, 400, look.SOFT, "end", role="title")


def rule(board: Board, paper: look.Paper, y: float, pen: object, left: float | None = None) -> None:
    start = paper.left if left is None else left
    board.line(complex(start, y), complex(paper.right, y), pen, role="rule")  # type: ignore[arg-type]


def shortened(text: str, room: float, size_pt: float, weight: int = 400) -> str:
    """The text, or as much of it as fits with an ellipsis."""
    if measure(text, size_pt, weight) <= room:
        return text
    while text and measure(text.rstrip() + "…", size_pt, weight) > room:
        text = text[:-1]
    return text.rstrip() + "…"
