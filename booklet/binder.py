"""The shop's binder: every style of a folder in one file, behind an index. A style with problems costs only its own entry."""

from __future__ import annotations

import os
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.drawing.page import PageSpec
from booklet.drawing.recolour import recoloured
from booklet.inputs import Inputs, read_inputs
from booklet.making import job_of
from booklet.model import Job
from booklet.pages.binder import Broken, Entry, holed, index_pages, pack_run, sheet_run, turned_page
from booklet.pages.words import words_for
from booklet.printing.pdf import pdf_bytes
from booklet.printing.weave import weave
from booklet.problems import Fault, Problem
from booklet.reading.packs import Pack, read_pack
from booklet.reading.shop import Shop, read_shop
from booklet.reading.sizes import ALL, has_sizes

SHEET = "shop"  # the pack that stands on one sheet
STYLE = "style.yaml"
DEEPEST = 4  # folders below the one that is named

Tell = Callable[[float, str], None]  # the share done, and which style is made just now


@dataclass(frozen=True)
class Binder:
    """A finished binder. `entries`: (code, title, first page); `broken`: styles left out; `problems`: warnings."""

    pdf: bytes
    pages: int
    entries: tuple[tuple[str, str, int], ...]
    broken: tuple[Broken, ...]
    problems: tuple[Problem, ...] = ()


def style_folders(folder: Path) -> tuple[Path, ...]:
    """The styles in a folder and in the folders in it, by path. Raises `Fault` where there are none."""
    if not folder.is_dir():
        raise Fault.of("usage", f"{folder} is no folder", None, "Name the folder that holds your styles.")
    if (folder / STYLE).exists():
        mend = f"Name the folder that holds it: {(folder / '..').resolve().name or '/'}."
        raise Fault.of("usage", f"{folder} is a style itself", None, mend)
    found = tuple(_styles_below(folder, DEEPEST))
    if not found:
        raise Fault.of(
            "usage", f"there is no style in {folder}", None, "A style is a folder with a style.yaml."
        )
    return found


def _styles_below(folder: Path, deep: int) -> Iterator[Path]:
    """Folders with a style.yaml; within one no other is looked for, nor in hidden ones or those that cannot be read."""
    try:
        inside = sorted(p.name for p in os.scandir(folder) if p.is_dir() and not p.name.startswith("."))
    except OSError:
        return
    for name in inside:
        if (folder / name / STYLE).exists():
            yield folder / name
        elif deep > 1:
            yield from _styles_below(folder / name, deep - 1)


def make_binder(
    folder: Path,
    *,
    pack: str = SHEET,
    sizes: str | None = None,
    paper: str | None = None,
    units: str | None = None,
    language: str | None = None,
    shop: Path | None = None,
    one_sided: bool = False,
    tell: Tell = lambda _share, _name: None,
) -> Binder:
    """Makes every style for its own body, or for sizes of its table (`all`: where it has one), in the order of their codes.

    Printed on both sides, the holes' edge changes from side to side and each style begins on a leaf of its own. Raises
    `Fault` where no style can be made or the shop's own files are at fault.
    """
    folders = style_folders(folder)
    workroom = read_shop(folder, shop, language)
    paper = paper or workroom.paper or None  # one for all
    chosen = read_pack(pack, Path(workroom.packs) if workroom.packs else None)
    entries: list[Entry] = []
    broken: list[Broken] = []
    problems: list[Problem] = []
    codes: dict[str, str] = {}
    for n, style in enumerate(folders):
        name = style.relative_to(folder).as_posix()
        tell(n / len(folders), name)
        try:
            own = None if sizes == ALL and not has_sizes(style) else sizes
            given = read_inputs(style, None, shop, (), units, paper, sizes=own, language=language)
            entries.append(_entry(job_of(given), chosen))
        except Fault as fault:
            broken.append(Broken(name, tuple(p for p in fault.problems if p.severity == "error")))
        except (MemoryError, OSError):
            raise
        except Exception as error:  # a fault of the program in one style doesn't cost the others theirs
            broken.append(Broken(name, (_own_fault(error, style),)))
        else:
            problems += _same_code(given, name, codes)
    if not entries:
        raise Fault(p for b in broken for p in b.problems)
    entries.sort(key=lambda e: _in_order(e.job.style.code))
    pages, numbered = _paged(entries, broken, workroom, one_sided)
    first = entries[0]
    marked = [holed(page, first.job.paper, n, one_sided) for n, page in enumerate(pages, 1)]
    title, name = first.words("binder.title"), workroom.name
    painted = recoloured(marked, workroom.palette)
    made = pdf_bytes(painted, title=title, author=name, subject=name, language=first.job.language)
    listed = tuple((e.job.style.code, e.job.style.title, e.first) for e in numbered)
    return Binder(weave(made, marked), len(pages), listed, tuple(broken), tuple(problems))


def _paged(
    entries: Sequence[Entry], broken: Sequence[Broken], shop: Shop, one_sided: bool
) -> tuple[list[PageSpec], list[Entry]]:
    """All pages, the index first, and the entries with their numbers."""
    first = entries[0]
    ahead = len(index_pages(shop.name, entries, broken, first.job, first.words, 1))
    numbered: list[Entry] = []
    at = ahead + 1
    for entry in entries:
        at += not one_sided and at % 2 == 0
        numbered.append(replace(entry, first=at))
        at += entry.run.count
    of = at - 1
    pages = index_pages(shop.name, numbered, broken, first.job, first.words, of)
    for entry in numbered:
        if len(pages) + 1 < entry.first:
            pages.append(turned_page(shop.name, entry.job, first.words, len(pages) + 1, of))
        pages += entry.run.pages(entry.first, of)
    return pages, numbered


def _entry(job: Job, pack: Pack) -> Entry:
    """A style's pages, numbered through the binder later. The pattern stays out: it is printed by itself."""
    words = words_for(job.language, job.wording)
    views = [(title, view) for title, view in job.views if isinstance(view, Drawing)]
    if pack.name == SHEET and not pack.file:
        return Entry(job, words, sheet_run(job, words, views))
    return Entry(job, words, pack_run(job, pack, views))


def _in_order(code: str) -> tuple[tuple[int, str], ...]:
    """A key that sorts T-9 before T-12."""
    parts = re.split(r"(\d+)", code.lower())
    return tuple((int(p), "") if p.isdecimal() else (-1, p) for p in parts)


def _same_code(given: Inputs, name: str, codes: dict[str, str]) -> Iterator[Problem]:
    """A warning where another style of the binder has the code already."""
    code = given.style.style.style
    other = codes.setdefault(code, name)
    if other != name:
        where = given.style.sources["style"].where("style")
        what = f"{name} has the code {code} of {other}"
        yield Problem("code-twice", "warning", where, what, "Give each style a code of its own.")


def _own_fault(error: Exception, style: Path) -> Problem:
    said = " ".join(str(error).split())[:80]
    what = f"the program failed on {style}: {type(error).__name__}{f' ({said})' if said else ''}"
    mend = f"This is no fault of your files. `booklet make {style}` tells more; please report it."
    return Problem("own-fault", "error", None, what, mend)
