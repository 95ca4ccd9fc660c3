"""Tools that this work needs, the settings of its rows, and room for swatches: for whoever learns by it."""

from __future__ import annotations

from booklet.cloth.needles import stitches_an_inch
from booklet.drawing import look
from booklet.drawing.display import Board, Item
from booklet.drawing.marks import tick_box
from booklet.drawing.page import Bookmark
from booklet.model import Job
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence
from booklet.units import NBSP, show

# Tools by the operations that call for them; those without are always there.
TOOLS: tuple[tuple[str, tuple[str, ...]], ...] = (
    ("shears", ()),
    ("paper", ()),
    ("tape", ()),
    ("pins", ()),
    ("chalk", ()),
    ("unpick", ()),
    ("iron", ()),
    ("hand", ("tack", "fell", "hook", "button", "buttons", "loop", "baste")),
    ("ham", ("dart", "collar")),
    ("zip", ("zip",)),
    ("bodkin", ("casing",)),
    ("turner", ("loop", "tie")),
    ("buttonhole", ("buttons",)),
)
ROWS = (("plain", ()), ("gathering", ("gather", "ease")), ("staystitch in", ("staystitch",)),
        ("understitch in", ("understitch", "face")))  # fmt: skip
TICK_WIDE = 14.0
SWATCH = 48.0  # mm, a side
MOST_SWATCHES = 3


def tools_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    blocks = [*_tools(job, words, paper), *_settings(job, words, paper), *_swatches(job, words, paper)]
    title = words("tools.title")
    return [
        Leaf("tools", title, words("tools.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _steps_with(job: Job, verbs: tuple[str, ...]) -> list[int]:
    return [s.number for s in job.steps if s.operation in verbs]


def _tools(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 62, words("tools.tool"), weight=600),
        Column(left + 66, right - left - 66 - TICK_WIDE - 4, words("tools.purpose")),
        Column(right - TICK_WIDE, TICK_WIDE, words("tools.ready"), "middle"),
    )
    rows = []
    for name, verbs in TOOLS:
        used = _steps_with(job, verbs)
        if used or not verbs:
            purpose = (
                words("tools.step", count=len(used), list=", ".join(str(n) for n in used)) if used else ""
            )
            use = words(f"tools.uses.{name}", list=purpose)
            rows.append(Row((sentence(words(f"tools.names.{name}")), use, ""), extra=(_box(right),)))
    return [
        heading_block(words("tools.tools"), "", paper, before=0),
        *table_blocks(columns, rows, left, right),
    ]


def _box(right: float) -> Item:
    return tick_box(right - TICK_WIDE / 2 - 2.0, -3.5, 4.0)


def _settings(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 100, words("tools.seam")),
        Column(left + 104, 44, words("tools.stitch"), "end", 600),
    )
    rows = []
    for name, verbs in ROWS:
        if name in job.shop.stitches and (not verbs or _steps_with(job, verbs)):
            mm = job.shop.stitches[name]
            told = _dial(mm, job, words) if name in ("plain", "gathering") else show(mm, job.units)
            rows.append(Row((sentence(words(f"tools.stitches.{name}")), told)))
    needles = [Row((sentence(n.name), n.printed)) for n in job.size.notions if n.kind == "needle"]
    note = words_block(
        words("tools.try"), left, 150, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=2.5
    )
    head = heading_block(words("tools.settings"), "", paper)
    return [head, *table_blocks(columns, [*rows, *needles], left, right), note] if rows else []


def _dial(mm: float, job: Job, words: Words) -> str:
    """A stitch length as machines have it: their dials are in millimetres, older and workroom ones, where people
    measure in inches, in stitches an inch; there it says both."""
    long = words.told(f"{mm:g}{NBSP}mm")
    if job.units != "in":
        return long
    return words("tools.dial", length=long, count=f"{stitches_an_inch(mm):.0f}").replace(" ", NBSP)


def _swatches(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    board = Board()
    for n, need in enumerate(job.size.cloths[:MOST_SWATCHES]):
        x = paper.left + n * (SWATCH + 8)
        board.box(x, 0, SWATCH, SWATCH, look.STITCH, role="frame")
        board.text(
            x + SWATCH / 2,
            SWATCH + 4.6,
            sentence(need.title),
            look.CHECK_PT,
            400,
            look.SOFT,
            "middle",
            role="label",
        )
    if not board.items:
        return []
    note = words_block(words("tools.swatch"), paper.left, 150, keep=True)
    return [heading_block(words("tools.cloth"), "", paper), note, Block(SWATCH + 6, tuple(board.items), 3.0)]
