"""Packs of the shipped styles as finished files: laid out by us, read back by another PDF engine."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import pypdfium2
import pytest

from booklet import write
from booklet.drawing import text
from booklet.drawing.page import PageSpec
from booklet.job import make_job
from booklet.model import Job
from booklet.pages.words import Words, words_for
from booklet.printing.sheet import Sheet
from booklet.reading.packs import read_pack
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.reading.sizes import read_sizes
from helpers.read_back import ReadPage, read_pages
from helpers.steps import ROOT

PACKS = ("full", "apprentice", "sale", "shop")
LANGUAGES = ("en", "fr", "es")
UNITS = ("cm", "in")
PAPERS = ("a4", "letter")
STYLES = tuple(sorted(f.parent.name for f in (ROOT / "styles").glob("*/style.yaml")))
NESTED = tuple(sorted(f.parent.name for f in (ROOT / "styles").glob("*/sizes.yaml")))


@dataclass(frozen=True)
class Made:
    """A finished booklet: its pages as laid out, as read back, and the sheet of its pattern."""

    job: Job
    pack: str
    specs: tuple[PageSpec, ...]
    pages: tuple[ReadPage, ...]
    sheet: Sheet | None
    first_tile: int  # 0 for a pack without a pattern
    outline: tuple[tuple[int, str, int], ...]  # level, title, page from 1
    cut_words: tuple[str, ...]
    tiles_read: bool

    @property
    def words(self) -> Words:
        return words_for(self.job.language)

    @property
    def reading(self) -> list[tuple[int, PageSpec, ReadPage]]:
        """The pages before the tiles, with their numbers."""
        stop = self.first_tile - 1 if self.first_tile else len(self.pages)
        return [(n, *p) for n, p in enumerate(zip(self.specs[:stop], self.pages, strict=False), 1)]

    @property
    def tiles(self) -> list[tuple[int, PageSpec, ReadPage]]:
        if not self.first_tile:
            return []
        return [
            (n, self.specs[n - 1], self.pages[n - 1]) for n in range(self.first_tile, len(self.pages) + 1)
        ]


@lru_cache(maxsize=2)
def job_of(style: str, language: str, units: str, nested: bool = False) -> Job:
    """On the style's own body, or in all sizes of its table, for the invented workroom with terms, mark and rates."""
    files = read_style(ROOT / "styles" / style)
    shop = read_shop(files.folder, ROOT / "demo" / "shop.yaml", language)
    if not nested:
        return make_job(files, units=units, shop=shop, evaluations=0)  # type: ignore[arg-type]
    table = read_sizes(files.folder).chosen("all")
    return make_job(files, table.bodies, base=table.base, units=units, shop=shop, evaluations=0)  # type: ignore[arg-type]


def made(job: Job, pack: str, tiles: bool = True) -> Made:
    """The pack printed, and read back; the full-scale pages, which are the same in every pack, only if `tiles`."""
    caught: list[PageSpec] = []
    sheets: list[Sheet] = []
    cut: list[str] = []
    arrange, to_bytes, fitting = write.arrange, write._bytes, text._fitting

    def arranged(pieces: object, grid: object) -> Sheet:
        key = (id(job.size), job.paper, job.language)
        if key not in _kept:
            _kept.clear()
            _kept[key] = (job.size, arrange(pieces, grid))  # type: ignore[arg-type]
        sheets.append(_kept[key][1])
        return sheets[-1]

    def bytes_of(given: Job, pages: Sequence[PageSpec], attached: object) -> bytes:
        caught.extend(pages)
        return to_bytes(given, pages, attached)  # type: ignore[arg-type]

    def fits(chunk: text.Chunk, width: float, size_pt: float) -> list[text.Chunk]:
        parts = fitting(chunk, width, size_pt)
        if len(parts) > 1:
            cut.append("".join(t for t, _ in chunk))
        return parts

    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(write, "arrange", arranged)
        patch.setattr(write, "_bytes", bytes_of)
        patch.setattr(text, "_fitting", fits)
        done = write.print_booklet(job, pack=read_pack(pack))
    document = pypdfium2.PdfDocument(done.pdf)
    try:
        pages = read_pages(
            document, None if tiles or not done.pages.first_tile else done.pages.first_tile - 1
        )
        outline = tuple(
            (b.level, b.get_title(), (b.get_dest().get_index() if b.get_dest() else -1) + 1)
            for b in document.get_toc()
        )
    finally:
        document.close()
    sheet = sheets[-1] if sheets else None
    return Made(
        job,
        pack,
        tuple(caught),
        pages,
        sheet,
        done.pages.first_tile,
        outline,
        tuple(dict.fromkeys(cut)),
        tiles,
    )


_kept: dict[tuple[int, str, str], tuple[object, Sheet]] = {}
