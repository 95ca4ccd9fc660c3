"""Numbers of a finished booklet, as another PDF engine reads them, held against each other and against its pattern.

Pages with their numbers ('n of m'), labels and running heads; the cover's contents with where sections begin; the guide's
lists of pages with where each piece lies on the tiles. A rule yields a sentence for each thing that is wrong.
"""

from __future__ import annotations

import re
import string
from collections.abc import Iterator, Sequence

import shapely

from booklet.drawing import look
from booklet.model import Job
from booklet.printing.grid import tile_name
from booklet.printing.sheet import PlacedPiece
from helpers.packs_made import Made
from helpers.read_back import Cell, ReadPage

OWN_GROUND = 4.0  # mm2 of a piece on a tile from which on its page must be listed
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
