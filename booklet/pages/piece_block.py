"""The block of words on a pattern piece: number, title, copies, style, size, allowances; in several sizes to fit."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Board, Item
from booklet.drawing.text import break_lines, height_mm, measure, paragraph
from booklet.model import CutPiece, CutRule, Job
from booklet.pages import figures
from booklet.pages.copy_words import CopyLine, copy_lines, side_words
from booklet.pages.words import Words


@dataclass(frozen=True)
class BlockStyle:
    """Type sizes and the measure of one form of the block; `short` leaves out all but title and copies."""

    number_pt: float
    title_pt: float
    text_pt: float
    leading: float
    width: float
    short: bool = False


# From the roomiest to the smallest; the first that finds free ground is taken.
STYLES = (
    BlockStyle(34, 17, 10.0, 4.9, 84),
    BlockStyle(30, 15, 9.4, 4.5, 62),
    BlockStyle(24, 12.4, 8.6, 4.1, 48),
    BlockStyle(18, 11, 8.0, 3.7, 110),
    BlockStyle(18, 11, 8.0, 3.7, 38),
    BlockStyle(14, 9.6, 7.6, 3.5, 150, True),
    BlockStyle(14, 9.6, 7.6, 3.5, 60, True),
    BlockStyle(14, 9.6, 7.6, 3.5, 30, True),
)


@dataclass(frozen=True)
class LabelBlock:
    """Words set from (0, 0): x to the right, y down, `wide` by `high` mm."""

    items: tuple[Item, ...]
    wide: float
    high: float


def cloth_title(job: Job, key: str) -> str:
    return next((c.title for c in job.size.cloths if c.key == key), key.replace("_", " "))


def outline_words(rule: CutRule, words: Words) -> str:
    """'cut on the stitch line', for a ply with an outline of its own; '' for one cut as the piece is."""
    if rule.trim is None:
        return ""
    if rule.trim == 0:
        return words("chart.on_stitch")
    return words("chart.beyond", length=figures.both(rule.trim))


def copies_words(job: Job, cut: CutPiece, line: CopyLine, rule: CutRule, words: Words) -> str:
    outline = outline_words(rule, words)
    key = "label.copies_trim" if outline else "label.copies"
    return words(key, cloth=cloth_title(job, line.cloth), copies=line.words, outline=outline)


def label_lines(job: Job, cut: CutPiece, words: Words) -> tuple[str, ...]:
    """The lines under number and title, most needed first."""
    lines = copy_lines(cut, job.size, words)
    out = [
        copies_words(job, cut, line, rule, words)
        for line, rule in zip(lines, cut.piece.cuts, strict=True)
    ]
    if any(line.how == "pair" for line in lines) and cut.piece.drawn_for != "whole":
        out.append(words("label.drawn_for", side=side_words(cut.piece.drawn_for, words)))
    style = job.style
    out.append(words("label.identity", code=style.code, size=job.size.size, version=style.version))
    out.append(words("label.allowances", list=figures.allowance_words(cut, words)))
    return tuple(out)


def label_block(job: Job, cut: CutPiece, words: Words, style: BlockStyle) -> LabelBlock:
    lines = label_lines(job, cut, words)
    if style.short:
        lines = lines[: len(cut.piece.cuts)]
    board = Board()
    base = height_mm(style.number_pt)
    number = str(cut.piece.number)
    board.text(0, base, number, style.number_pt, 600, role="label")
    x = measure(number, style.number_pt, 600) + style.title_pt * 0.16
    title_room = max(style.width - x, 18.0)
    titles = break_lines(cut.piece.title, title_room, style.title_pt, 600)
    y = paragraph(
        board, x, base, cut.piece.title, title_room, style.title_pt, style.title_pt * 0.42, weight=600, role="label"
    )
    wide = x + max(line.width for line in titles)
    y += style.leading * 1.25 - style.title_pt * 0.42
    for n, line in enumerate(lines):
        broken = break_lines(line, style.width, style.text_pt)
        wide = max(wide, *(b.width for b in broken))
        colour = look.INK if n < len(cut.piece.cuts) else look.SOFT
        y = paragraph(board, 0, y, line, style.width, style.text_pt, style.leading, colour=colour, role="label")
    return LabelBlock(tuple(board.items), wide, y - style.leading + height_mm(style.text_pt, 0.24))
