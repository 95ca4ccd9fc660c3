"""Every pack of a style as a finished file, judged: as it was laid out, and as another PDF engine reads it back.

A finding is a sentence with its page. What is compared with what: pages with their numbers ("n of m"), labels and running
heads; the cover's contents with where sections begin; the guide's lists of pages with where each piece lies on the tiles.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import lru_cache

import pypdfium2
import pytest
import shapely

from booklet import write
from booklet.drawing import look, text
from booklet.drawing.bounds import box_of, flat_items, text_corners
from booklet.drawing.display import Text
from booklet.drawing.judge import judge
from booklet.drawing.page import PageSpec
from booklet.job import make_job
from booklet.model import Job
from booklet.pages.shop_sheet import LARGE, SMALL
from booklet.pages.spec import paper_of
from booklet.pages.words import Words, words_for
from booklet.printing.grid import tile_name
from booklet.printing.sheet import PlacedPiece, Sheet
from booklet.reading.packs import read_pack
from booklet.reading.read import read_style
from booklet.reading.shop import read_shop
from booklet.reading.sizes import read_sizes
from helpers.read_back import Cell, ReadPage, clashes, read_pages
from helpers.steps import ROOT

PACKS = ("full", "apprentice", "sale", "shop")
LANGUAGES = ("en", "fr", "es")
UNITS = ("cm", "in")
PAPERS = ("a4", "letter")
STYLES = tuple(sorted(f.parent.name for f in (ROOT / "styles").glob("*/style.yaml")))
NESTED = tuple(sorted(f.parent.name for f in (ROOT / "styles").glob("*/sizes.yaml")))
OWN_GROUND = 4.0  # mm2 of a piece on a tile from which on its page must be listed
PRINTER = 6.0  # mm from the paper's edge that many printers leave white


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


def findings(booklet: Made) -> list[str]:
    """All that is wrong."""
    out = [f"'{w}' is cut: it finds no room on a line" for w in booklet.cut_words]
    for n, spec, read in booklet.reading:
        out += [f"page {n}: {w}" for w in (*_layout(spec, booklet.job), *clashes(read, PRINTER))]
    if booklet.tiles_read:
        for n, spec, read in booklet.tiles:
            found = [f.what for f in judge(spec.drawing, cut_words=False) if f.kind.startswith("words")]
            out += [f"page {n}: {w}" for w in (*found, *clashes(read, PRINTER, own_ground=True))]
    out += [w for rule in RULES for w in rule(booklet)]
    return list(dict.fromkeys(out))


# ---------------------------------------------------------------- as laid out


def _layout(spec: PageSpec, job: Job) -> Iterator[str]:
    """Words over words, off the page, over its margins, over its foot, or cut short."""
    drawing = spec.drawing
    for f in judge(drawing):
        yield f"{f.kind}: {f.what}"
    panels = _panels(spec, job)
    for flat in flat_items(drawing.items):
        if not isinstance(flat.item, Text) or not flat.item.text.strip():
            continue
        if flat.item.text.endswith("…"):
            yield f"'{flat.item.text}' is cut short"
        corners = text_corners(flat.item, flat.placement)
        x0, x1 = min(z.real for z in corners), max(z.real for z in corners)
        if not any(left - 0.05 <= x0 and x1 <= right + 0.05 for left, right in panels):
            yield f"'{flat.item.text}' is outside the margins ({x0:.1f} to {x1:.1f} mm)"
    rule_at = max(
        (box_of(f.item, f.placement) for f in flat_items(drawing.items) if f.item.role == "rule"),
        key=lambda b: b[3] if b else 0.0,
        default=None,
    )
    if rule_at is None:
        return
    for flat in flat_items(drawing.items):
        box = box_of(flat.item, flat.placement if isinstance(flat.item, Text) else flat.placement.IDENTITY)
        if flat.item.role in ("foot", "rule", "fold") or box is None or flat.clips:
            continue
        if box[3] > rule_at[1] + 0.1 and box[3] > _foot_of(spec, job):
            said = flat.item.text if isinstance(flat.item, Text) else f"a line '{flat.item.role}'"
            yield f"{said} reaches below the page's foot ({box[3]:.1f} mm)"


def _foot_of(spec: PageSpec, job: Job) -> float:
    for panel in (SMALL[job.paper], LARGE[job.paper]):
        if abs(spec.drawing.width - 2 * panel.width) < 0.1:
            return panel.foot_rule
    return paper_of(job).foot_rule


def _panels(spec: PageSpec, job: Job) -> list[tuple[float, float]]:
    """Left and right margins of the page, or of the panels of a folded sheet."""
    for panel in (SMALL[job.paper], LARGE[job.paper]):
        if abs(spec.drawing.width - 2 * panel.width) < 0.1:
            return [(panel.left + k * panel.width, panel.right + k * panel.width) for k in (0, 1)]
    return [(paper_of(job).left, paper_of(job).right)]


# ---------------------------------------------------------------- numbers read back


COUNTED = ("n", "of", "first", "last", "page")


def phrase(told: str) -> re.Pattern[str]:
    """A phrase as what finds it in print: slots are groups."""
    out = ""
    for literal, name, _, _ in string.Formatter().parse(told.replace("**", "")):
        out += r"\s+".join(re.escape(p) for p in re.split(r"\s+", literal))
        form = r"\d+" if name in COUNTED else ".+?"
        out += f"(?P<{name}>{form})" if name else ""
    return re.compile(out + r"(?!\w)")


def numbers(told: str) -> list[int]:
    """'22–24, 27' as 22, 23, 24, 27."""
    out: list[int] = []
    for first, last in re.findall(r"(\d+)(?:\s*\u2013\s*(\d+))?", told):
        out += range(int(first), int(last or first) + 1)
    return out


def _pages_are_numbered(b: Made) -> Iterator[str]:
    of = len(b.pages)
    if of != len(b.specs):
        yield f"{of} pages in the file, {len(b.specs)} laid out"
    wanted = phrase(b.words("frame.page", n="{n}", of="{of}"))
    for n, spec, read in b.reading:
        if read.label != str(n):
            yield f"page {n}: a viewer calls it '{read.label}'"
        if spec.drawing.width > spec.drawing.height:
            continue
        feet = [m for c in read.cells if c.y > read.height - 14 and (m := wanted.search(c.text))]
        if [(m["n"], m["of"]) for m in feet] != [(str(n), str(of))]:
            yield f"page {n} of {of} says {[m[0] for m in feet]}"


def _sheets_are_numbered(b: Made) -> Iterator[str]:
    wanted = phrase(b.words("frame.page", n="{n}", of="{of}"))
    said: list[tuple[int, int]] = []
    for _, spec, read in b.reading:
        if spec.drawing.width > spec.drawing.height:
            feet = [m for c in read.cells if c.y > read.height - 25 and (m := wanted.fullmatch(c.text))]
            said += [(int(m["n"]), int(m["of"])) for m in feet]
    if sorted(said) != [(n, len(said)) for n in range(1, len(said) + 1)] or len(said) % 4:
        yield f"the panels of the folded sheet say {said}"
    if b.pack == "shop" and len(said) != 2 * len(b.pages):
        yield f"{len(said)} panels on {len(b.pages)} sides"


def heads(b: Made) -> list[str]:
    """The running head's section, a page; '' for a folded sheet, and for one left empty."""
    blank = b.words("frame.blank")
    out = []
    for _, spec, read in b.reading:
        top = [c for c in read.cells if c.y < look.A4.head_rule and c.left < 40]
        empty = any(c.text == blank.replace("\u00a0", " ") for c in read.cells)
        out.append("" if spec.drawing.width > spec.drawing.height or empty or not top else top[0].text)
    return out


def contents(b: Made) -> list[tuple[str, int]]:
    """The cover's lines with their pages."""
    cover = b.pages[0]
    head = next(c for c in cover.cells if c.text == b.words("cover.contents"))
    rows: dict[float, list[Cell]] = {}
    for cell in cover.cells:
        if cell.left > head.left - 0.5 and head.y + 1 < cell.y < cover.height - 17:
            rows.setdefault(cell.y, []).append(cell)
    return [(" ".join(c.text for c in row[:-1]), int(row[-1].text)) for _, row in sorted(rows.items())]


TITLED = ("measures", "cloth", "chart", "key", "safety", "terms", "tools", "answers", "checks", "sign_off")


def _title_of(key: str, job: Job) -> str:
    return "sizes.title" if key == "measures" and job.nested else f"{key}.title"


def _contents_are_true(b: Made) -> Iterator[str]:
    if b.pack == "shop":
        return
    told, found = contents(b), heads(b)
    starts = [n for n in range(2, len(found) + 1) if found[n - 1] and found[n - 1] != found[n - 2]]
    glossary = b.words("safety.glossary")
    listed = [page for title, page in told if title != b.words("cover.words")]
    if listed != sorted(listed) or not set(starts) <= set(listed):
        yield f"the cover lists pages {listed}, sections begin on {starts}"
    titled = {b.words("cover." + key): b.words(_title_of(key, b.job)) for key in TITLED}
    for title, page in told:
        if title in titled and not any(c.text == titled[title] and c.y < 35 for c in b.pages[page - 1].cells):
            yield f"the cover says '{title}' on page {page}, whose title is not '{titled[title]}'"
        if title == b.words("cover.words") and not any(c.text == glossary for c in b.pages[page - 1].cells):
            yield f"the cover says '{title}' on page {page}, which has no '{glossary}'"
    marked = {page for level, _, page in b.outline if level == 0}
    for title, page in told:
        if page not in marked:
            yield f"no bookmark leads to page {page}, '{title}'"
    for level, title, page in b.outline:
        if not 1 <= page <= len(b.pages):
            yield f"the bookmark '{title}' (level {level}) leads nowhere"


def _steps_are_counted(b: Made) -> Iterator[str]:
    steps = len(b.job.steps)
    many = phrase(b.words("steps.aside", first="{first}", last="{last}", of="{of}", minutes="{minutes}"))
    one = phrase(b.words("steps.aside_one", first="{first}", of="{of}", minutes="{minutes}"))
    said: list[int] = []
    pages = [
        read
        for (_, _, read), head in zip(b.reading, heads(b), strict=True)
        if head == b.words("sections.steps")
    ]
    for read in pages:
        found = [m for c in read.cells if c.y < 35 and (m := many.search(c.text) or one.search(c.text))]
        if len(found) != 1 or found[0]["of"] != str(steps):
            yield f"page {read.n} of the steps says {[m[0] for m in found]}, there are {steps}"
            continue
        first = int(found[0]["first"])
        said += range(first, int(found[0].groupdict().get("last") or first) + 1)
    if pages and said != list(range(1, steps + 1)):
        yield f"the pages of the steps tell of {said}, there are {steps}"


def _tiles_are_named(b: Made) -> Iterator[str]:
    if b.sheet is None:
        return
    names = [tile_name(*t) for t in b.sheet.tiles]
    of = len(names)
    if of != len(b.tiles):
        yield f"{len(b.tiles)} pages hold {of} tiles"
        return
    wanted = phrase(b.words.table("pattern.tile")["tile"])
    for k, (n, _, read) in enumerate(b.tiles):
        if read.label != names[k]:
            yield f"page {n}: a viewer calls it '{read.label}', it is {names[k]}"
        if not b.tiles_read:
            continue
        large = names[k] if of > 1 else b.sheet.grid.paper.name
        if not any(w.text == large and w.size > 30 for w in read.words):
            yield f"page {n} is not called {large}"
        found = [m for c in read.cells if (m := wanted.search(c.text))]
        if [(m["n"], m["of"]) for m in found] != [(str(k + 1), str(of))]:
            yield f"page {n}, {names[k]}, {k + 1} of {of}, says {[m[0] for m in found]}"
        beside = {w.text for w in read.words if re.fullmatch(r"[A-Z]{1,2}\d+", w.text)} - {names[k]}
        row, column = b.sheet.tiles[k]
        near = {tile_name(r, c) for r, c in ((row - 1, column), (row + 1, column), (row, column - 1), (row, column + 1))
                if (r, c) in b.sheet.tiles}  # fmt: skip
        if not near <= beside:
            yield f"page {n}, {names[k]}, does not name {sorted(near - beside)} beside it"


def _guide(b: Made) -> ReadPage | None:
    title = b.words("pattern.title")
    told = (r for _, _, r in b.reading if any(c.text == title and c.size > 12 for c in r.cells))
    return next(told, None)


def _the_guide_is_true(b: Made) -> Iterator[str]:
    if b.sheet is None:
        return
    read, told = _guide(b), b.words.table("pattern.guide")
    if read is None:
        yield "no page before the pattern tells how to print it"
        return
    first, last, of = b.first_tile, len(b.pages), len(b.tiles)
    names = {tile_name(*t) for t in b.sheet.tiles}
    mapped = {w.text for w in read.words if re.fullmatch(r"[A-Z]{1,2}\d+", w.text) and w.left < 22 + 68}
    if of > 1 and mapped != names:
        yield f"the map shows {sorted(mapped)}, the pattern has {sorted(names)}"
    aside = told["map_aside_one"] if of == 1 else told["map_aside_many"].format(n=of)
    if not any(c.text == aside for c in read.cells):
        yield f"the map is not said to have '{aside}'"
    if not any(c.text == b.words("pattern.aside", count=of) for c in read.cells):
        yield f"the guide is not said to be for {of} pages"
    run = f"{first}\u2013{last}" if of > 1 else str(first)
    if not any(c.text == told["window_pages_value"].format(page=read.n, rest=run) for c in read.cells):
        yield f"the print window is not told {read.n}, then {run}"
    if not re.search(phrase(told["alone"].format(page=read.n)), read.text):
        yield f"the guide does not name its own page, {read.n}"
    if read.n % 2 == 0:
        yield f"the guide is on the back of a leaf, page {read.n}"
    if not b.job.nested:
        yield from _lists(
            b,
            _listed(read, told["by_piece"]),
            {f"{p.piece.number} {p.piece.title}": p for p in b.sheet.placed},
        )


def _listed(read: ReadPage, heading: str) -> dict[str, list[int]]:
    """A list of pages under a heading: names with their pages, in columns."""
    (head,) = [c for c in read.cells if c.text == heading]
    rows: dict[float, list[Cell]] = {}
    for cell in read.cells:
        if head.y + 2 < cell.y < read.height - 15:
            rows.setdefault(cell.y, []).append(cell)
    out: dict[str, list[int]] = {}
    for row in rows.values():
        for name, pages in zip(row[::2], row[1::2], strict=True):
            out[name.text] = numbers(pages.text)
    return out


def _lists(b: Made, listed: dict[str, list[int]], pieces: dict[str, PlacedPiece]) -> Iterator[str]:
    plain = {k.replace("\u00a0", " "): v for k, v in pieces.items()}
    if set(listed) != set(plain):
        yield f"the guide lists {sorted(listed)}, printed are {sorted(plain)}"
    for name in sorted(set(listed) & set(plain)):
        must, may = _pages_of(b, [plain[name].piece.outline.placed(plain[name].placement)])
        if not must <= set(listed[name]) <= may:
            yield f"{name} is listed on {listed[name]}, and lies on {sorted(must)}"


def _pages_of(b: Made, outlines: Sequence[object]) -> tuple[set[int], set[int]]:
    """Pages that an outline's ground covers more than a trace of, and those that it touches at all."""
    assert b.sheet is not None
    must, may = set(), set()
    rings = []
    for outline in outlines:
        flat = outline.flatten(0.05)  # type: ignore[attr-defined]
        rings.append(shapely.Polygon([(z.real, z.imag) for z in flat]).buffer(0))
    ground = shapely.union_all(rings)
    for k, tile in enumerate(b.sheet.tiles):
        cell = shapely.box(*b.sheet.grid.cell(*tile))
        if ground.intersection(cell).area > OWN_GROUND:
            must.add(b.first_tile + k)
        if ground.buffer(0.5).intersects(cell):
            may.add(b.first_tile + k)
    return must, may


def _sizes_find_their_pages(b: Made) -> Iterator[str]:
    """The page of a nest that says which pages one size needs."""
    if b.sheet is None or not b.job.nested:
        return
    said: dict[str, list[int]] = {}
    names = [s.size for s in b.job.sizes]
    head = b.words.table("nest.guide")["pages"]
    for _, _, read in b.reading:
        tops = [c for c in read.cells if c.text == head]
        if not tops:
            continue
        end = next(c.y for c in read.cells if c.text == b.words.table("nest.guide")["whole"])
        size = ""
        for cell in sorted(read.cells, key=lambda c: (c.y, c.left)):
            if not tops[0].y + 1 < cell.y < end - 1:
                continue
            if cell.text in names and cell.left < 30:
                size = cell.text
            else:
                said.setdefault(size, []).extend(numbers(cell.text))
    if list(said) != names:
        yield f"pages are told for the sizes {list(said)}, there are {names}"
        return
    for k, name in enumerate(names):
        outlines = [
            (p.piece.sizes[k].outline if p.piece.sizes else p.piece.outline).placed(p.placement)
            for p in b.sheet.placed
        ]
        must, may = _pages_of(b, outlines)
        if not must <= set(said[name]) <= may:
            yield f"size {name} is told pages {said[name]}, and lies on {sorted(must)}"


RULES = (
    _pages_are_numbered,
    _sheets_are_numbered,
    _contents_are_true,
    _steps_are_counted,
    _tiles_are_named,
    _the_guide_is_true,
    _sizes_find_their_pages,
)
