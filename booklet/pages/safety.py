"""Cautions in a box, care in words, and the trade's words that this booklet uses."""

from __future__ import annotations

import unicodedata

from booklet.drawing import look
from booklet.drawing.display import Board
from booklet.drawing.page import Bookmark
from booklet.model import Job
from booklet.pages.flow import Block, flow, heading_block, height_of, placed, words_block
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words
from booklet.sewing.words import glossary

PAD = 5.0
BETWEEN = 1.8  # mm between two words explained


def safety_leaves(job: Job, words: Words, explained: bool = True) -> list[Leaf]:
    """`explained`: with the trade's words, unless they stand elsewhere."""
    paper = paper_of(job)
    blocks = [_box(job, words, paper)]
    blocks += _list(words("safety.care"), words.lines("care"), paper)
    blocks += glossary_blocks(job, words, paper) if explained else []
    title = words("safety.title")
    return [
        Leaf("safety", title, words("safety.aside"), items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


def _box(job: Job, words: Words, paper: look.Paper) -> Block:
    """The cautions that the style names, in a ruled box on pale ground."""
    left, wide = paper.left + PAD, paper.right - paper.left - 2 * PAD
    blocks = [
        words_block(words("safety.reminder"), left, wide, weight=600),
        words_block(words("safety.practice"), left, wide, before=2.5),
    ]
    for key in job.style.cautions:
        name = f"cautions.{key}"
        if not words.has(name):
            blocks.append(words_block(key, left, wide, before=4))
            continue
        blocks.append(
            words_block(words(f"{name}.title"), left, wide, look.BODY_PT, weight=600, before=5, keep=True)
        )
        blocks += [_bullet(line, left, wide, 1.4) for line in words.lines(f"{name}.lines")]
    blocks.append(words_block(words("safety.sale"), left, wide, before=5))
    high = height_of(blocks) + 2 * PAD
    board = Board()
    board.box(
        paper.left, 0, paper.right - paper.left, high, look.Stroke(0.8, look.INK), look.GROUND, role="ground"
    )
    board.add(*placed(blocks, PAD))
    return Block(high, tuple(board.items))


def _bullet(text: str, left: float, wide: float, before: float) -> Block:
    block = words_block(text, left + 4, wide - 4)
    board = Board()
    board.text(left, _first_baseline(), "–", look.BODY_PT, 400, look.SOFT)
    return Block(block.height, (*board.items, *block.items), before)


def _first_baseline() -> float:
    from_top = words_block("x", 0, 10).items[0]
    return from_top.y  # type: ignore[union-attr]


def _list(title: str, lines: tuple[str, ...], paper: look.Paper) -> list[Block]:
    wide = min(paper.right - paper.left, 150.0)
    head = heading_block(title, "", paper, ruled=True)
    return [head, *(_bullet(t, paper.left, wide, 2.4 if n == 0 else 1.6) for n, t in enumerate(lines))]


def by_alphabet(word: str) -> str:
    """Accents don't count in the order of words."""
    plain = unicodedata.normalize("NFKD", word.casefold())
    return "".join(c for c in plain if not unicodedata.combining(c))


def glossary_blocks(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    """Words in two columns, read down the left one first."""
    said = " ".join(text for s in job.steps for text in (s.title, *s.text, s.check, s.note))
    entries = [t for t in glossary(words.language, words.wording) if t.always or t.used_in(said)]
    entries.sort(key=lambda t: by_alphabet(t.word.removeprefix("to ")))
    if not entries:
        return []
    half = (paper.right - paper.left - 8) / 2
    columns = [
        [
            words_block(
                words.spaced(f"**{e.word}:** {e.text}"),
                paper.left + k * (half + 8), half, look.CHECK_PT, look.CHECK_LEADING, before=BETWEEN,
            )
            for e in part
        ]
        for k, part in enumerate((entries[: (len(entries) + 1) // 2], entries[(len(entries) + 1) // 2 :]))
    ]  # fmt: skip
    board = Board()
    for column in columns:
        board.add(*placed(column, 0.0))
    high = max(height_of(column) for column in columns if column)
    return [
        heading_block(words("safety.glossary"), "", paper, ruled=True),
        Block(high, tuple(board.items), 2.6),
    ]
