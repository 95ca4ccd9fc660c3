"""The sections of a pack as runs of pages: each knows how many it has before any page has its number."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from booklet.drawing.display import Drawing
from booklet.drawing.page import Bookmark, PageSpec
from booklet.model import Job
from booklet.pages.answers import answer_leaves
from booklet.pages.chart import chart_leaves
from booklet.pages.checking import checks_leaves, sign_off_leaves
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.key import key_leaves
from booklet.pages.lays import lay_leaves
from booklet.pages.measures import measure_leaves
from booklet.pages.safety import glossary_blocks, safety_leaves
from booklet.pages.shop_sheet import sheet_count, sheet_pages
from booklet.pages.spec import Leaf, framed, paper_of
from booklet.pages.steps import step_leaves
from booklet.pages.terms import terms_leaves
from booklet.pages.tools import tools_leaves
from booklet.pages.words import Words
from booklet.reading.packs import PAGES, Pack, Section


@dataclass(frozen=True)
class PageRun:
    """A run of pages whose place is not known yet. `pages(first, of)`: `first` is the physical number of its first page,
    `of` the number of pages in the file; it returns `count` pages.
    """

    count: int
    pages: Callable[[int, int], Sequence[PageSpec]]


@dataclass(frozen=True)
class Part:
    """A section with its pages. `contents`: its lines on the cover, each with a page counted from its first."""

    section: str
    run: PageRun
    contents: tuple[tuple[str, int], ...] = ()


# Sections that are framed pages and take no settings.
LEAVES: dict[str, Callable[[Job, Words], list[Leaf]]] = {
    "terms": terms_leaves,
    "tools": tools_leaves,
    "measures": measure_leaves,
    "cloth": cloth_leaves,
    "chart": chart_leaves,
    "lays": lay_leaves,
    "key": key_leaves,
    "answers": answer_leaves,
    "checks": checks_leaves,
    "sign off": sign_off_leaves,
}


def section_leaves(job: Job, words: Words, pack: Pack) -> dict[str, list[Leaf]]:
    """The framed pages of each section that has any, in the pack's order."""
    made = {s.name: LEAVES[s.name](job, words) for s in pack.sections if s.name in LEAVES}
    made |= _steps_and_safety(job, words, pack)
    return {s.name: made[s.name] for s in pack.sections if made.get(s.name)}


def _steps_and_safety(job: Job, words: Words, pack: Pack) -> dict[str, list[Leaf]]:
    """The words explained stand with the safety; where they would take a page more there, under the last step if there
    is room. Without a section for safety they follow the steps."""
    told = next((s for s in pack.sections if s.name == "steps"), None)
    if told is None:
        return {"safety": safety_leaves(job, words)} if pack.has("safety") else {}
    steps = step_leaves(job, words, told.answers)
    safety = safety_leaves(job, words) if pack.has("safety") else []
    short = safety_leaves(job, words, explained=False) if pack.has("safety") else []
    explained = glossary_blocks(job, words, paper_of(job))
    if explained and len(short) < len(safety):
        under = step_leaves(job, words, told.answers, tail=explained)
        if len(under) == len(steps):
            return {"steps": under, "safety": short}
    return {"steps": steps, "safety": safety}


def parts_of(
    job: Job, words: Words, pack: Pack, views: Sequence[tuple[str, Drawing]], tiles: PageRun | None
) -> list[Part]:
    """The parts of a pack in order, without its cover; those that have nothing to say are left out."""
    leaves = section_leaves(job, words, pack)
    parts: list[Part] = []
    for section in pack.sections:
        if section.name == PAGES:
            parts.append(_woven(section, job))
        elif section.name == "sheet":
            parts.append(_sheet(job, words, views))
        elif section.name == "pattern" and tiles is not None:
            parts.append(Part("pattern", tiles, ((words("cover.tiles", count=tiles.count - 1), 0),)))
        elif section.name in leaves:
            before = [title for p in parts for title, _ in p.contents]
            parts.append(_framed(leaves[section.name], job, words, before))
    return parts


def _framed(leaves: Sequence[Leaf], job: Job, words: Words, before: Sequence[str]) -> Part:
    def pages(first: int, of: int) -> list[PageSpec]:
        return [framed(leaf, job, words, first + n, of) for n, leaf in enumerate(leaves)]

    section = leaves[0].section
    alone = section == "safety" and words("cover.words") in before
    lines = [(words("cover.safety_alone" if alone else "cover." + section, n=len(job.steps)), 0)]
    if section == "steps" and any(b.title == words("safety.glossary") for b in leaves[-1].bookmarks):
        lines.append((words("cover.words"), len(leaves) - 1))
    return Part(section, PageRun(len(leaves), pages), tuple(lines))


def _sheet(job: Job, words: Words, views: Sequence[tuple[str, Drawing]]) -> Part:
    def pages(first: int, of: int) -> list[PageSpec]:
        return sheet_pages(job, words, views, first, of)

    return Part("sheet", PageRun(sheet_count(job, words, views), pages), ((words("cover.sheet"), 0),))


def _woven(section: Section, job: Job) -> Part:
    """Pages of the shop's own: left empty here, filled when the file is whole."""
    paper = paper_of(job)

    def pages(first: int, of: int) -> list[PageSpec]:
        marks = (Bookmark(section.title),) if section.title else ()
        empty = Drawing(paper.width, paper.height, ())
        return [
            PageSpec(empty, str(first + n), marks if n == 0 else (), (section.file, n))
            for n in range(section.count)
        ]

    contents = ((section.title, 0),) if section.title else ()
    return Part(PAGES, PageRun(section.count, pages), contents)
