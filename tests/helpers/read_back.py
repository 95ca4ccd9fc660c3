"""A finished file's words as another PDF engine (PDFium) reads them, with the places of their signs: mm from the page's
left and its top."""

from __future__ import annotations

import ctypes
from collections.abc import Iterator
from dataclasses import dataclass
from functools import cached_property

import pypdfium2
import pypdfium2.raw as raw
from shapely import STRtree, box
from shapely.geometry import Polygon

POINTS = 72 / 25.4
APART, SPACE = 1.6, 0.25  # mm between two cells, between two words
OVER = 0.35  # share of the smaller sign's box that two signs of different words may have in common
SMALLEST = 5.5  # points


@dataclass(frozen=True)
class Sign:
    left: float  # of its ink, as top, right and foot
    top: float
    right: float
    foot: float
    start: float  # of its room on the line, with the white beside it
    end: float
    base: float  # the line it stands on
    text: str
    size: float  # points, as printed
    upright: bool

    @property
    def box(self) -> Polygon:
        return box(self.left, self.top, self.right, self.foot)


@dataclass(frozen=True)
class ReadWord:
    """Signs between two spaces."""

    signs: tuple[Sign, ...]

    @property
    def text(self) -> str:
        return "".join(s.text for s in self.signs)

    @property
    def left(self) -> float:
        return min(s.left for s in self.signs)

    @property
    def size(self) -> float:
        return min(s.size for s in self.signs)


@dataclass(frozen=True)
class Cell:
    """Upright words of one line that stand near each other, with plain spaces."""

    left: float
    right: float
    y: float
    text: str
    size: float


@dataclass(frozen=True)
class ReadPage:
    n: int  # from 1
    width: float
    height: float
    label: str
    words: tuple[ReadWord, ...]

    @cached_property
    def cells(self) -> tuple[Cell, ...]:
        """By lines, from left to right."""
        signs = sorted(
            (s for w in self.words for s in w.signs if s.upright), key=lambda s: (round(s.base, 1), s.start)
        )
        out: list[Cell] = []
        for s in signs:
            y, last = round(s.base, 1), out[-1] if out else None
            if last is not None and abs(last.y - y) < 0.05 and s.start - last.right < APART * s.size / 9:
                gap = " " if s.start - last.right > SPACE * s.size / 9 else ""
                out[-1] = Cell(
                    last.left, max(last.right, s.end), y, last.text + gap + s.text, max(last.size, s.size)
                )
            else:
                out.append(Cell(s.start, s.end, y, s.text, s.size))
        return tuple(out)

    @cached_property
    def text(self) -> str:
        """All words in the order of the file, a space between."""
        return " ".join(w.text for w in self.words)


def read_pages(document: pypdfium2.PdfDocument, stop: int | None = None) -> tuple[ReadPage, ...]:
    """All pages; those from `stop` on, counted from 0, without their words."""
    return tuple(_page(document, n, stop is None or n < stop) for n in range(len(document)))


def _page(document: pypdfium2.PdfDocument, n: int, words: bool) -> ReadPage:
    page = document[n]
    try:
        wide, high = page.get_size()
        said = tuple(_words(page, high)) if words else ()
        return ReadPage(n + 1, wide / POINTS, high / POINTS, document.get_page_label(n), said)
    finally:
        page.close()


def _words(page: pypdfium2.PdfPage, high: float) -> Iterator[ReadWord]:
    text = page.get_textpage()
    row: list[Sign] = []
    matrix, x, y = raw.FS_MATRIX(), ctypes.c_double(), ctypes.c_double()
    for i in range(text.count_chars()):
        code = raw.FPDFText_GetUnicode(text.raw, i)
        sign = chr(code) if code else " "
        if sign.isspace() or raw.FPDFText_IsGenerated(text.raw, i):
            if row:
                yield ReadWord(tuple(row))
            row = []
            continue
        left, low, right, up = (v / POINTS for v in text.get_charbox(i))
        if right <= left or up <= low:
            continue
        raw.FPDFText_GetMatrix(text.raw, i, ctypes.byref(matrix))
        raw.FPDFText_GetCharOrigin(text.raw, i, ctypes.byref(x), ctypes.byref(y))
        size = raw.FPDFText_GetFontSize(text.raw, i) * (matrix.b**2 + matrix.d**2) ** 0.5
        mm = high / POINTS
        base = mm - y.value / POINTS
        start, _, end, _ = (v / POINTS for v in text.get_charbox(i, loose=True))
        upright = abs(matrix.b) < 1e-6 and matrix.d > 0
        found = Sign(left, mm - up, right, mm - low, start, end, base, sign, size, upright)
        reach = 1.5 * max(size, 4.0) / POINTS
        if row and (abs(left - row[-1].right) > reach or abs(base - row[-1].base) > reach):
            yield ReadWord(tuple(row))
            row = []
        row.append(found)
    if row:
        yield ReadWord(tuple(row))


def clashes(page: ReadPage, margin: float, own_ground: bool = False) -> Iterator[str]:
    """Signs over another word's, nearer the paper's edge than `margin` mm, or too small.

    `own_ground`: words may run into the white of the margin, where a clip hides them.
    """
    signs = [(k, s) for k, w in enumerate(page.words) for s in w.signs]
    if not signs:
        return
    boxes = [s.box for _, s in signs]
    tree = STRtree(boxes)
    seen: set[tuple[int, int]] = set()
    for i, j in sorted(zip(*tree.query(boxes, predicate="intersects").tolist(), strict=True)):
        pair = (signs[i][0], signs[j][0])
        if i >= j or pair[0] == pair[1] or pair in seen:
            continue
        if boxes[i].intersection(boxes[j]).area > OVER * min(boxes[i].area, boxes[j].area):
            seen.add(pair)
            yield f"'{page.words[pair[0]].text}' is printed over '{page.words[pair[1]].text}'"
    for word in page.words:
        near = min(min(s.left, s.top, page.width - s.right, page.height - s.foot) for s in word.signs)
        if near < margin and not own_ground:
            yield f"'{word.text}' is {near:.1f} mm from the paper's edge"
        if 0.1 < word.size < SMALLEST:
            yield f"'{word.text}' is {word.size:.1f} points small"
