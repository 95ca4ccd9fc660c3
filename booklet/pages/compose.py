"""The booklet in the order of its pack. The whole one: cover, measurements, cloth and notions, chart, lays, key, steps,
safety, then the tile run.

The tile run is printed on its own, single-sided, and begins on a new leaf: an odd page as a print dialog counts.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing
from booklet.drawing.page import PageSpec
from booklet.model import Job
from booklet.pages.cover import cover_leaf
from booklet.pages.packs import PageRun, Part, parts_of, section_leaves
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.words import Words, words_for
from booklet.problems import Fault
from booklet.reading.packs import FULL, Pack, read_pack

TileRun = PageRun  # the full-scale part; the first of its pages tells how to print the others


def compose(
    job: Job,
    *,
    cover: Sequence[tuple[str, Drawing]] = (),
    tiles: TileRun | None = None,
    pack: Pack | None = None,
    begin: int = 1,
    total: int | None = None,
) -> list[PageSpec]:
    """All pages of a pack, by default the whole booklet. `cover`: captions with drawings of the garment; `tiles`: the
    full-scale run, if there is one; `begin` and `total`: in a larger file, the first page's number and how many there are.
    Raises `Fault` for a pack that has no page for this style.
    """
    words = words_for(job.language, job.wording)
    pack = pack or read_pack(FULL)
    parts = parts_of(job, words, pack, cover, tiles)
    first = begin + (1 if pack.has("cover") else 0)
    starts: list[int] = []
    blanks: list[bool] = []
    for part in parts:
        blanks.append(part.section == "pattern" and first % 2 == 0)
        first += blanks[-1]
        starts.append(first)
        first += part.run.count
    of = first - 1 if total is None else total
    if first == begin:
        raise Fault.of("pack", f"the pack '{pack.name}' has no page for {job.style.title}", None)
    pages: list[PageSpec] = []
    if pack.has("cover"):
        leaf = cover_leaf(job, words, cover, _contents(parts, starts))
        pages.append(replace(framed(leaf, job, words, begin, of), section="cover"))
    for part, start, blank in zip(parts, starts, blanks, strict=True):
        if blank:
            pages.append(_blank(job, words, start - 1, of))
        run = list(part.run.pages(start, of))
        if len(run) != part.run.count:
            what = "the tile run" if part.section == "pattern" else part.section
            raise ValueError(f"{what} has {len(run)} pages, not the {part.run.count} that it promised")
        pages += [replace(page, section=part.section) for page in run]
    return pages


def sections_of(job: Job, words: Words) -> list[list[Leaf]]:
    """The parts of the whole booklet between its cover and the tile run, in order."""
    return list(section_leaves(job, words, read_pack(FULL)).values())


def _contents(parts: Sequence[Part], starts: Sequence[int]) -> list[tuple[str, int]]:
    """Titles of the sections with their first pages."""
    return [
        (title, start + page)
        for part, start in zip(parts, starts, strict=True)
        for title, page in part.contents
    ]


def _blank(job: Job, words: Words, n: int, of: int) -> PageSpec:
    """The back of the last leaf before the tile run: it says that it is empty on purpose."""
    paper = paper_of(job)
    note = Board()
    centre = (paper.left + paper.right) / 2
    note.text(
        centre, paper.height / 2, words("frame.blank"), look.TABLE_PT, 400, look.SOFT, "middle", role="label"
    )
    return framed(Leaf("tiles", "", "", tuple(note.items)), job, words, n, of)
