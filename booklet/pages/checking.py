"""Checks with their tolerances, and time and sign-off: what an apprentice writes on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Board, Item
from booklet.drawing.marks import tick_box
from booklet.drawing.page import Bookmark
from booklet.language import tongue_for
from booklet.model import Job, Step
from booklet.pages import figures
from booklet.pages.flow import Block, Column, Row, flow, heading_block, table_blocks, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence
from booklet.sewing.size_align import in_a_row
from booklet.sewing.size_words import merge_lines, size_phrases
from booklet.units import NBSP, show, told

TICK_WIDE = 13.0
RULED = 9.0  # mm from line to line where somebody writes
LENGTHS = ("length", "inside", "outside", "rise")  # finished measures that are no girth, by their names


def checks_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    blocks = [
        words_block(words("checks.lead"), paper.left, min(paper.right - paper.left, 150.0)),
        *_limits(job, words, paper),
        *_step_checks(job, words, paper),
        *_end_checks(job, words, paper),
    ]
    title = words("checks.title")
    return [
        Leaf("checks", title, words("checks.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _within(mm: float, job: Job) -> str:
    size = show(mm, job.units) if job.units == "in" else f"{mm:g}{NBSP}mm"  # half millimetres are kept
    return f"±{NBSP}{told(size, job.units)}"


def _box(right: float) -> Item:
    return tick_box(right - TICK_WIDE / 2 - 2.0, -3.5, 4.0)


def _limits(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """The shop's tolerances in two columns, read down the left one first."""
    told = [(sentence(words(f"checks.names.{k}")), _within(v, job)) for k, v in job.shop.tolerances.items()]
    if not told:
        return []
    half = (paper.right - paper.left - 10) / 2
    x = paper.left + half + 10
    columns = (
        Column(paper.left, half - 20, words("checks.what")),
        Column(paper.left + half - 18, 18, words("checks.within"), "end", 600),
        Column(x, half - 20, words("checks.what")),
        Column(x + half - 18, 18, words("checks.within"), "end", 600),
    )
    down = (len(told) + 1) // 2
    second = [*told[down:], ("", "")][:down]
    rows = [Row((*a, *b)) for a, b in zip(told[:down], second, strict=True)]
    return [
        heading_block(words("checks.limits"), "", paper),
        *table_blocks(columns, rows, paper.left, paper.right),
    ]


def _step_checks(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 10, words("checks.step"), "middle", 600),
        Column(left + 14, right - left - 14 - TICK_WIDE - 4, words("checks.check")),
        Column(right - TICK_WIDE, TICK_WIDE, words("checks.ok"), "middle"),
    )
    checks = _checks(job)
    rows = [Row((str(s.number), checks[s.id], ""), extra=(_box(right),)) for s in job.steps if s.check]
    return (
        [heading_block(words("checks.steps"), "", paper), *table_blocks(columns, rows, left, right)]
        if rows
        else []
    )


def _checks(job: Job) -> dict[str, str]:
    """The check of each step by its id; of several sizes with all figures in size order, for there is no table here."""
    if not job.nested:
        return {s.id: s.check for s in job.steps}
    names, small = [s.size for s in job.sizes], size_phrases(tongue_for(job.language, job.wording))
    out = {}
    for n, step in enumerate(job.steps):
        told = [[steps[n].check] if steps[n].check else [] for steps in job.sized_steps]
        out[step.id] = " ".join(merge_lines(names, told, small))
    return out


def _targets(job: Job, n: int) -> str:
    """A finished measure of all sizes, in size order."""
    point = tongue_for(job.language, job.wording).grammar.numbers.point
    return in_a_row([figures.length(s.finished[n].garment_mm, job.units) for s in job.sizes], point)


def _end_checks(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """The finished garment's measures with room for what was found."""
    left, right = paper.left, paper.right
    # Where each measure stands for all sizes, room is taken from its name and from what is written in.
    name, target, limit = (40.0, 80.0, 17.0) if job.nested else (56.0, 26.0, 26.0)
    x = [left, left + name + 2, left + name + target + 4, left + name + target + limit + 10]
    columns = (
        Column(x[0], name, words("checks.measure")),
        Column(x[1], target, words("checks.target"), "end", 600),
        Column(x[2], limit, words("checks.tolerance"), "end"),
        Column(x[3], right - x[3] - TICK_WIDE - 2, words("checks.found")),
        Column(right - TICK_WIDE, TICK_WIDE, words("checks.ok"), "middle"),
    )
    rows = []
    for n, f in enumerate(job.size.finished):
        kind = "length" if any(word in f.name for word in LENGTHS) else "girth"
        off = job.shop.tolerances.get(kind)
        told = "" if off is None else _within(off, job)
        cells = (f.title or f.name.replace("_", " "), _targets(job, n), told, "", "")
        rows.append(Row(cells, extra=(_box(right),)))
    return (
        [heading_block(words("checks.end"), "", paper), *table_blocks(columns, rows, left, right)]
        if rows
        else []
    )


# ---------------------------------------------------------------- time and sign-off


@dataclass(frozen=True)
class Group:
    """A part of the work: its steps in a row, under one heading."""

    title: str
    steps: tuple[Step, ...]

    @property
    def minutes(self) -> int:
        return sum(s.minutes for s in self.steps)


def groups_of(job: Job, words: Words) -> tuple[Group, ...]:
    """The steps by the parts of the recipe; those before the first named part by themselves."""
    found: list[tuple[str, list[Step]]] = []
    for step in job.steps:
        if step.part or not found:
            found.append((step.part or words("sign_off.other"), []))
        found[-1][1].append(step)
    return tuple(Group(title, tuple(steps)) for title, steps in found)


def sign_off_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    minutes = figures.hours(sum(s.minutes for s in job.steps), words)
    blocks = [
        *_job(job, words, paper),
        words_block(words("sign_off.lead"), paper.left, min(paper.right - paper.left, 150.0), before=8.0),
        *_parts(job, words, paper),
        heading_block(words("sign_off.rework"), "", paper),
        _lines(paper.left, paper.right, 5),
    ]
    title, aside = words("sign_off.title"), words("sign_off.aside", minutes=minutes)
    return [
        Leaf("sign_off", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _job(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """Number, client's code, dates: lines to write on, two by two."""
    board = Board()
    half = (paper.right - paper.left - 12) / 2
    client = job.size.body_code
    asked = (("number", ""), ("client", client), ("begun", ""), ("due", ""))
    for n, (key, known) in enumerate(asked):
        x, y = paper.left + (n % 2) * (half + 12), 6.0 + (n // 2) * RULED
        board.text(x, y, words(f"sign_off.{key}"), look.CHECK_PT, 400, look.SOFT, role="label")
        if known:
            board.text(x + 28, y, known, look.TABLE_PT, 600, role="label")
        board.line(complex(x + 26, y + 1.4), complex(x + half, y + 1.4), look.ROW_RULE, "rule")
    return [Block(6.0 + RULED + 3.0, tuple(board.items))]


def _parts(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    columns = (
        Column(left, 44, words("sign_off.part"), weight=600),
        Column(left + 45, 17, words("sign_off.steps")),
        Column(left + 60, 20, words("sign_off.planned"), "end"),
        Column(left + 84, 16, words("sign_off.taken")),
        Column(left + 104, 22, words("sign_off.apprentice")),
        Column(left + 130, 22, words("sign_off.tutor")),
        Column(left + 156, right - left - 156, words("sign_off.date")),
    )
    rules = [(left + 84, 16.0), (left + 104, 22.0), (left + 130, 22.0), (left + 156, right - left - 156)]
    rows = []
    groups = groups_of(job, words)
    for group in groups:
        first, last = group.steps[0].number, group.steps[-1].number
        steps = str(first) if first == last else f"{first}–{last}"
        cells = (f"{group.title}\n", steps, figures.minutes(group.minutes, words), "", "", "", "")
        rows.append(Row(cells, extra=_under(rules)))
    whole = figures.hours(sum(g.minutes for g in groups), words)
    total = Row((words("sign_off.total"), "", whole, "", "", "", ""), strong=True)
    return table_blocks(columns, [*rows, total], left, right, before=4.0)


def _under(rules: Sequence[tuple[float, float]]) -> tuple[Item, ...]:
    board = Board()
    for x, wide in rules:
        board.line(complex(x, 4.0), complex(x + wide, 4.0), look.ROW_RULE, "rule")
    return tuple(board.items)


def _lines(left: float, right: float, count: int) -> Block:
    board = Board()
    for n in range(count):
        y = RULED * (n + 1)
        board.line(complex(left, y), complex(right, y), look.ROW_RULE, "rule")
    return Block(RULED * count + 1.0, tuple(board.items))
