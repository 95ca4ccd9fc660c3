"""The shop's binder: every style of a folder in one file, behind an index. A style with problems costs only its own entry."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.drawing.page import PageSpec
from booklet.inputs import read_inputs
from booklet.job import make_job
from booklet.model import Job
from booklet.pages.binder import Broken, Entry, holed, index_pages, sheet_run
from booklet.pages.compose import compose
from booklet.pages.packs import PageRun
from booklet.pages.words import words_for
from booklet.printing.pdf import pdf_bytes
from booklet.printing.weave import weave
from booklet.problems import Fault
from booklet.reading.packs import Pack, read_pack
from booklet.reading.shop import read_shop

SHEET = "shop"  # the pack that stands on one sheet


@dataclass(frozen=True)
class Binder:
    """A finished binder. `entries`: (code, title, first page); `broken`: styles left out."""

    pdf: bytes
    pages: int
    entries: tuple[tuple[str, str, int], ...]
    broken: tuple[Broken, ...]


def style_folders(folder: Path) -> tuple[Path, ...]:
    """The styles in a folder, by name. Raises `Fault` where there are none."""
    if not folder.is_dir():
        raise Fault.of("usage", f"{folder} is no folder", None, "Name the folder that holds your styles.")
    found = tuple(sorted(p.parent for p in folder.glob("*/style.yaml")))
    if not found:
        raise Fault.of(
            "usage", f"there is no style in {folder}", None, "A style is a folder with a style.yaml."
        )
    return found


def make_binder(
    folder: Path,
    *,
    pack: str = SHEET,
    paper: str | None = None,
    units: str | None = None,
    language: str | None = None,
    shop: Path | None = None,
) -> Binder:
    """Makes every style for its own body. Raises `Fault` where none can be made or the shop's own files are at fault."""
    folders = style_folders(folder)
    workroom = read_shop(folder, shop, language)
    chosen = read_pack(pack, Path(workroom.packs) if workroom.packs else None)
    entries: list[Entry] = []
    broken: list[Broken] = []
    for style in folders:
        try:
            given = read_inputs(style, None, shop, (), units, paper, language=language)
            job = make_job(given.style, given.body, units=given.units, paper=given.paper, shop=given.shop)
            entries.append(_entry(job, chosen))
        except Fault as fault:
            broken.append(Broken(style.name, tuple(p for p in fault.problems if p.severity == "error")))
    if not entries:
        raise Fault(p for b in broken for p in b.problems)
    first = entries[0].job
    words = words_for(first.language, first.wording)
    name = workroom.name
    ahead = len(index_pages(name, name, entries, broken, first, words, 1))
    at = ahead + 1
    numbered = []
    for entry in entries:
        numbered.append(replace(entry, first=at))
        at += entry.run.count
    of = at - 1
    pages: list[PageSpec] = list(index_pages(name, name, numbered, broken, first, words, of))
    for entry in numbered:
        pages += entry.run.pages(entry.first, of)
    marked = [holed(page, first.paper) for page in pages]
    made = pdf_bytes(marked, title=words("binder.title"), author=name, subject=name, language=first.language)
    listed = tuple((e.job.style.code, e.job.style.title, e.first) for e in numbered)
    return Binder(weave(made, marked), of, listed, tuple(broken))


def _entry(job: Job, pack: Pack) -> Entry:
    """A style's pages, numbered through the binder later. The pattern stays out: it is printed by itself."""
    words = words_for(job.language, job.wording)
    views = [(title, view) for title, view in job.views if isinstance(view, Drawing)]
    if pack.name == SHEET:
        return Entry(job, words, sheet_run(job, words, views))

    def pages(first: int, of: int) -> list[PageSpec]:
        return compose(job, cover=views, pack=pack, begin=first, total=of)

    return Entry(job, words, PageRun(len(compose(job, cover=views, pack=pack)), pages))
