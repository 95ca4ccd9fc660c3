"""Lay plans to scale: of each cloth the recommended lay and the next shortest of its width, and the best of the others."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Item
from booklet.drawing.page import Bookmark
from booklet.drawing.text import measure
from booklet.model import ClothNeed, Job, LayPlan
from booklet.pages import figures
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.lay_ground import Sheet, across_mm, along_mm, draw_cloth
from booklet.pages.lay_notes import lay_figures, lay_notes, lay_title, split_numbers
from booklet.pages.lay_pieces import draw_piece, name_meeting, name_piece
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence

SCALES = (6, 8, 10, 12, 14, 16, 18, 20, 22, 25, 30, 35, 40, 50)
SMALL = 18  # pieces are not drawn smaller only to save a page
SHOWN = 3  # lays of one width at most
LEFT_ROOM = 8.0  # for the width's measure
ABOVE, BELOW = 5.0, 9.0  # for the words at the cloth's edges and the length's measure

Plans = Sequence[tuple[ClothNeed, LayPlan]]


def lay_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    plans = [(c, lay) for c in job.size.cloths for lay in shown_lays(c)]
    if not plans:
        return []
    title = words("lays.title")
    scale, pages = _fitted(job, words, paper, plans)
    key = "sizes.lay_aside" if job.nested else "lays.aside"
    aside = words(key, scale=scale, size=job.size.size)
    return [
        Leaf("lays", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(pages)
    ]


def shown_lays(need: ClothNeed) -> list[LayPlan]:
    """The recommended lay of each width first, with the next shortest; last the one for a nap and the one with pieces cut
    in two."""
    out: list[LayPlan] = []
    for lay in need.lays:
        if lay.placings and sum(lay.width_mm == other.width_mm for other in out) < SHOWN:
            out.append(lay)
    return [*out, *(lay for lay in (need.one_way_lay, need.split_lay) if lay is not None)]


def _fitted(
    job: Job, words: Words, paper: look.Paper, plans: Plans
) -> tuple[int, tuple[tuple[Item, ...], ...]]:
    """One scale for all plans, so that they can be compared: the largest that needs no more pages than SMALL does."""
    wide = paper.right - paper.left - LEFT_ROOM
    longest = max(along_mm(lay, max(lay.buy_mm, lay.length_mm)) for _, lay in plans)
    scales = [s for s in SCALES if longest / s <= wide] or [SCALES[-1]]
    smallest, *larger = reversed([s for s in scales if s <= SMALL] or scales[:1])
    order = list(plans)
    best = _set(job, words, paper, order, smallest)
    lower = _lower_first(plans)
    if lower != order:
        again = _set(job, words, paper, lower, smallest)
        order, best = (lower, again) if len(again) < len(best) else (order, best)
    scale = smallest
    for one in larger:
        pages = _set(job, words, paper, order, one)
        if len(pages) > len(best):
            break
        scale, best = one, pages
    return scale, best


def _lower_first(plans: Plans) -> list[tuple[ClothNeed, LayPlan]]:
    """The plans of one cloth and width behind the first of them by their height on paper: two low ones share a page."""
    out: list[tuple[ClothNeed, LayPlan]] = []
    for _, group in groupby(plans, key=lambda plan: (plan[0].key, plan[1].width_mm)):
        first, *others = group
        out += [first, *sorted(others, key=lambda plan: across_mm(plan[1]))]
    return out


def _set(job: Job, words: Words, paper: look.Paper, plans: Plans, scale: int) -> tuple[tuple[Item, ...], ...]:
    """The plans on as many pages as they need at a scale."""
    blocks = [_lead(words, paper)]
    for n, (cloth, lay) in enumerate(plans):
        blocks += _plan(job, words, paper, cloth, lay, scale, before=9 if n else 6)
    return flow(blocks, paper.top, paper.foot)


def _lead(words: Words, paper: look.Paper) -> Block:
    """What holds for every plan, before the first."""
    wide = paper.right - paper.left
    return words_block(
        words("lays.lead"), paper.left, wide, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT
    )


def _plan(
    job: Job, words: Words, paper: look.Paper, cloth: ClothNeed, lay: LayPlan, scale: int, before: float
) -> list[Block]:
    width = figures.cloth_width(lay.width_mm, job.units)
    title = f"{words('lays.plan', cloth=sentence(cloth.title), width=width)}, {lay_title(job, words, lay)}"
    parts = split_numbers(job, lay)
    if parts:
        title += ", " + words("lays.in_parts", numbers=parts)
    if lay is cloth.one_way_lay:
        title += ", " + words("lays.for_nap")
    choice = sum(lay.width_mm == other.width_mm for other in shown_lays(cloth)) > 1
    key = "lays.recommended" if lay.recommended and choice else "lays.taken"
    taken = words(key, length=figures.cloth_taken(lay.length_mm, job.units))
    head = heading_block(title, taken, paper, before=before)
    drawn, unsaid = _drawn(job, words, paper, lay, scale)
    notes = " ".join((*lay_notes(job, words, lay), *unsaid, *lay_figures(job, words, lay)))
    foot = words_block(
        notes, paper.left + LEFT_ROOM, paper.right - paper.left - LEFT_ROOM,
        look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=1.5,
    )  # fmt: skip
    return [head, Block(drawn.height, drawn.items, 0.6, keep=True), foot]


def _drawn(
    job: Job, words: Words, paper: look.Paper, lay: LayPlan, scale: int
) -> tuple[Block, tuple[str, ...]]:
    """The plan from y = 0 down, and words that found no room on it."""
    board = Board()
    sheet = Sheet(lay, scale, paper.left + LEFT_ROOM, ABOVE)
    draw_cloth(board, words, sheet)
    unsaid: dict[str, list[str]] = {}
    for placing in lay.placings:
        draw_piece(board, job, words, sheet, placing)
    for placing in lay.placings:
        line = name_piece(board, job, words, sheet, placing)
        if line is not None and str(line.number) not in unsaid.setdefault(line.words, []):
            unsaid[line.words].append(str(line.number))
    name_meeting(board, words, sheet)
    left, top, foot = sheet.left, sheet.top, sheet.foot
    width = figures.cloth_width(across_mm(lay), job.units)
    board.add(*marks.measure_line(complex(left, foot), complex(left, top), width, offset=4.2, witness=False))
    key = "lays.buy_across" if lay.kind == "cross_fold" else "lays.buy"
    text = words(key, length=figures.cloth_length(lay.buy_mm, job.units))
    board.add(
        *marks.measure_line(complex(left, foot), complex(sheet.right, foot), text, offset=-6.4, witness=True)
    )
    within = measure(text, look.MEASURE_PT, 600) + 2 * look.MEASURE_HEAD_LONG + 4 < sheet.buy
    below = BELOW if within else BELOW + look.LABEL_LEADING  # the measure has its words below it
    told = tuple(
        words("lays.note", count=len(n), number=", ".join(n), words=said) for said, n in unsaid.items()
    )
    return Block(foot + below, tuple(board.items)), told
