"""Cloth and notions to buy for the sizes of a range: a line for each width, a column a size."""

from __future__ import annotations

from booklet.drawing import look
from booklet.language import tongue_for
from booklet.model import ClothNeed, Job, LayPlan
from booklet.pages import figures
from booklet.pages.copy_words import recommended_lay
from booklet.pages.flow import Block, heading_block, words_block
from booklet.pages.lay_notes import saving_words
from booklet.pages.piece_block import cloth_kind
from booklet.pages.size_tables import NONE, SizeLine, size_table
from booklet.pages.sizes import size_names
from booklet.pages.words import Words, sentence
from booklet.sewing.size_words import size_phrases, size_runs

LABEL_WIDE, NOTION_WIDE = 52.0, 58.0


def cloth_blocks(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """What to buy of each cloth."""
    blocks = [words_block(words("cloth.wash"), paper.left, 150)]
    for n, need in enumerate(job.size.cloths):
        aside = words("sizes.cloth_aside")
        blocks.append(heading_block(sentence(need.title), aside, paper, before=9 if n == 0 else 7))
        blocks.append(_told(cloth_kind(need, words, job.units), paper, keep=True))
        lines = cloth_lines(need, job, words)
        blocks += size_table(
            lines, size_names(job), paper.left, paper.right, LABEL_WIDE, words,
            head=words("cloth.width"), grouped=True, before=2.5,
        )  # fmt: skip
        blocks += [_told(text, paper, before=1.5) for text in refusals(need, job, words)]
        ways = " ".join(saving_words(job, words, need))
        if ways:
            blocks.append(_told(words("sizes.ways", size=job.size.size, ways=ways), paper, before=1.5))
    note = words("sizes.cloth_note", size=job.size.size)
    return [*blocks, _told(note, paper, before=2.5)]


def _told(text: str, paper: look.Paper, before: float = 0.0, keep: bool = False) -> Block:
    return words_block(
        text, paper.left, 170, look.CHECK_PT, look.CHECK_LEADING, colour=look.SOFT, before=before, keep=keep
    )


def cloth_lines(need: ClothNeed, job: Job, words: Words) -> list[SizeLine]:
    """What to buy on each width, in the base's order, and how it is laid; widths only reckoned by area at the end."""
    needs = [next((c for c in s.cloths if c.key == need.key), None) for s in job.sizes]
    every = [need, *(c for c in needs if c is not None)]
    chosen = recommended_lay(job.size, need.key)
    out = []
    for width in dict.fromkeys(lay.width_mm for c in every for lay in c.lays):
        like = best_lay(need, width)
        lays = [c and best_lay(c, width, like) for c in needs]
        best = chosen is not None and width == chosen.width_mm
        buy = tuple(figures.cloth_length(lay.buy_mm, job.units) if lay else NONE for lay in lays)
        laid = tuple(words("cloth." + lay.kind) if lay else NONE for lay in lays)
        out.append(SizeLine(figures.cloth_width(width, job.units), buy, strong=best, pale=best))
        out.append(SizeLine(words("sizes.laid"), laid, soft=True))
    for width in dict.fromkeys(width for c in every for width, _ in c.estimates):
        found = [dict(c.estimates).get(width) if c is not None else None for c in needs]
        label = words("sizes.by_area", width=figures.cloth_width(width, job.units))
        buy = tuple(NONE if mm is None else figures.cloth_length(mm, job.units) for mm in found)
        out.append(SizeLine(label, buy, soft=True))
    return out


def best_lay(need: ClothNeed, width: float, like: LayPlan | None = None) -> LayPlan | None:
    """The lay to buy for on a width: the shortest to buy, of equals the one laid as `like` is, then the recommended one."""
    lays = [lay for lay in need.lays if lay.width_mm == width]
    if like is None:
        return next((lay for lay in lays if lay.recommended), lays[0] if lays else None)
    return min(lays, key=lambda lay: (lay.buy_mm, lay.kind != like.kind, not lay.recommended), default=None)


def refusals(need: ClothNeed, job: Job, words: Words) -> list[str]:
    """The widths on which some sizes cannot be laid, with the reason."""
    found: dict[tuple[float, str], list[int]] = {}
    for n, size in enumerate(job.sizes):
        for c in size.cloths:
            for width, why in c.refusals if c.key == need.key else ():
                found.setdefault((width, why), []).append(n)
    small = size_phrases(tongue_for(job.language, job.wording))
    return [
        words(
            "sizes.cannot",
            width=figures.cloth_width(width, job.units),
            sizes=size_runs(size_names(job), which, small),
            why=why,
        )
        for (width, why), which in found.items()
    ]


def notion_lines(job: Job) -> list[SizeLine]:
    """A line for each thing to buy, in the order in which the sizes name them."""
    names = dict.fromkeys(n.name for s in (job.size, *job.sizes) for n in s.notions)
    return [
        SizeLine(
            sentence(name),
            tuple(next((n.printed for n in s.notions if n.name == name), NONE) for s in job.sizes),
        )
        for name in names
    ]


def notion_blocks(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    lines = notion_lines(job)
    head = heading_block(words("cloth.notions"), words("sizes.cloth_aside"), paper)
    table = size_table(
        lines, size_names(job), paper.left, paper.right, NOTION_WIDE, words,
        head=words("sizes.notion"), grouped=True,
    )  # fmt: skip
    return [head, *table] if lines else []
