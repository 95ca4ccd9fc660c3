"""The booklet in order: cover, measurements, cloth and notions, chart, lays, key, steps, safety, then the tile run.

The tile run is printed on its own, single-sided, and begins on a new leaf: an odd page as a print dialog counts.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing
from booklet.drawing.page import PageSpec
from booklet.model import Job
from booklet.pages.chart import chart_leaves
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.cover import cover_leaf
from booklet.pages.key import key_leaves
from booklet.pages.lays import lay_leaves
from booklet.pages.measures import measure_leaves
from booklet.pages.safety import safety_leaves
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.steps import step_leaves
from booklet.pages.words import Words, words_for


@dataclass(frozen=True)
class TileRun:
    """The full-scale part: how many pages it has, and its pages once their place is known.

    `pages(first, of)`: `first` is the physical number of its first page (the one with the squares), `of` the
    number of pages in the file. It returns `count` pages.
    """

    count: int
    pages: Callable[[int, int], Sequence[PageSpec]]


def compose(
    job: Job, *, cover: Sequence[tuple[str, Drawing]] = (), tiles: TileRun | None = None
) -> list[PageSpec]:
    """All pages. `cover`: captions with drawings of the garment; `tiles`: the full-scale run, if there is one."""
    words = words_for(job.language)
    sections = [leaves for leaves in _sections(job, words) if leaves]
    front = 1 + sum(len(leaves) for leaves in sections)
    blank = front % 2 if tiles is not None else 0
    of = front + blank + (tiles.count if tiles is not None else 0)
    contents = _contents(job, words, sections, tiles, front + blank + 1)
    leaves = [cover_leaf(job, words, cover, contents), *(leaf for part in sections for leaf in part)]
    pages = [framed(leaf, job, words, n, of) for n, leaf in enumerate(leaves, 1)]
    if blank:
        pages.append(_blank(job, words, front + 1, of))
    if tiles is not None:
        run = list(tiles.pages(front + blank + 1, of))
        if len(run) != tiles.count:
            raise ValueError(f"the tile run has {len(run)} pages, not the {tiles.count} that it promised")
        pages += run
    return pages


def _sections(job: Job, words: Words) -> list[list[Leaf]]:
    return [
        measure_leaves(job, words),
        cloth_leaves(job, words),
        chart_leaves(job, words),
        lay_leaves(job, words),
        key_leaves(job, words),
        step_leaves(job, words),
        safety_leaves(job, words),
    ]


def _contents(
    job: Job, words: Words, sections: Sequence[Sequence[Leaf]], tiles: TileRun | None, first_tile: int
) -> list[tuple[str, int]]:
    """Titles of the sections with their first pages."""
    out, n = [], 2
    for leaves in sections:
        section = leaves[0].section
        out.append((words("cover." + section, n=len(job.steps)), n))
        n += len(leaves)
    if tiles is not None:
        out.append((words("cover.tiles", n=tiles.count), first_tile))
    return out


def _blank(job: Job, words: Words, n: int, of: int) -> PageSpec:
    """The back of the last leaf before the tile run: it says that it is empty on purpose."""
    paper = paper_of(job)
    note = Board()
    centre = (paper.left + paper.right) / 2
    note.text(
        centre, paper.height / 2, words("frame.blank"), look.TABLE_PT, 400, look.SOFT, "middle", role="label"
    )
    return framed(Leaf("tiles", "", "", tuple(note.items)), job, words, n, of)
