"""Words measured and broken into lines before they are placed: shaping, kerning, fallback signs.

Sizes are in points, widths in millimetres. A sign that neither face has is a `Fault`, never a box in print.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from booklet.drawing.display import Board, Text
from booklet.drawing.fonts import Face, fallback_face, text_face
from booklet.drawing.look import BODY_LEADING, BODY_PT, INK
from booklet.problems import Fault
from booklet.units import MM_PER_POINT, NBSP

ASCENT, CAP_HEIGHT, X_HEIGHT, DESCENT = (
    0.72,
    0.66,
    0.486,
    0.21,
)  # of the size; marks over capitals stand higher
_FEATURES = {"kern": True, "mark": True, "mkmk": True, "ccmp": True, "liga": False, "clig": False}
_JOINERS = "\u200b\u200c\u200d\u2060\ufeff"  # never drawn; the zero-width space says where a word may break
_UNITS = "mm|cm|m|in|yd|ft|pt|g|kg|min|h|%|°C"
_UNIT_GAP = re.compile(rf"(?<=[\d½¼¾⅛⅜⅝⅞⅓⅔]) (?=(?:{_UNITS})(?![\w]))")
_MIXED_GAP = re.compile(r"(?<=\d) (?=\d+/\d)|(?<=[±≈×]) (?=\d)")


@dataclass(frozen=True)
class Glyph:
    """A glyph of one face and where it stands, in thousandths of the size, y up.

    `cluster` is the place in the run's text of the letter that it draws.
    """

    index: int
    x: float
    y: float
    cluster: int


@dataclass(frozen=True)
class Run:
    """Letters of one face; `advance` in thousandths of the size."""

    face: Face
    text: str
    glyphs: tuple[Glyph, ...]
    advance: float


@dataclass(frozen=True)
class Word:
    """A placed run of a broken line: its left end in mm from the line's start."""

    x: float
    text: str
    weight: int


@dataclass(frozen=True)
class Line:
    words: tuple[Word, ...]
    width: float


# ---------------------------------------------------------------- shaping


@lru_cache(maxsize=8)
def _shaper(face: Face) -> Any:
    import uharfbuzz as hb

    font = hb.Font(hb.Face(face.data))
    font.scale = (1000, 1000)
    return font


@lru_cache(maxsize=8)
def _signs(face: Face) -> frozenset[int]:
    return frozenset(_shaper(face).face.unicodes)


def glyph_outlines(face: Face) -> Any:
    """The face's shaper at 1000 units a size, for painters that draw outlines."""
    return _shaper(face)


@lru_cache(maxsize=20000)
def shape(text: str, weight: int = 400) -> tuple[Run, ...]:
    """The text as runs of glyphs, one face each. Raises `Fault` for a sign that no face has."""
    plain = "".join(c for c in text if c not in _JOINERS)
    main = text_face(weight)
    runs: list[Run] = []
    for part, own in _by_face(plain, main, weight):
        face = main if own else fallback_face(weight)
        runs.append(_shape_run(face, part))
    return tuple(runs)


def lacking(text: str) -> tuple[str, ...]:
    """The signs of a text that no face has, each once."""
    have = _signs(text_face(400)) | _signs(fallback_face(400))
    signs = dict.fromkeys(c for c in text if c not in _JOINERS and not c.isspace())
    return tuple(c for c in signs if ord(c) not in have)


def _by_face(text: str, main: Face, weight: int) -> list[tuple[str, bool]]:
    """Cut where the face must change; a letter and the marks on it stay together."""
    clusters: list[str] = []
    for char in text:
        if clusters and 0x300 <= ord(char) <= 0x36F:
            clusters[-1] += char
        else:
            clusters.append(char)
    out: list[tuple[str, bool]] = []
    have = _signs(main)
    for cluster in clusters:
        own = all(ord(c) in have for c in cluster)
        if not own:
            _check_fallback(cluster, text, weight)
        if out and out[-1][1] == own:
            out[-1] = (out[-1][0] + cluster, own)
        else:
            out.append((cluster, own))
    return out


def _check_fallback(cluster: str, text: str, weight: int) -> None:
    lacking = [c for c in cluster if ord(c) not in _signs(fallback_face(weight))]
    if lacking:
        shown = text if len(text) <= 40 else text[:40] + "..."
        code = ", ".join(f"U+{ord(c):04X}" for c in lacking)
        raise Fault.of(
            "missing-glyph",
            f"the words '{shown}' use a sign that the booklet's fonts do not have ({code})",
            None,
            "Write it another way.",
        )


def _shape_run(face: Face, text: str) -> Run:
    import uharfbuzz as hb

    buffer = hb.Buffer()
    buffer.add_str(text)
    buffer.guess_segment_properties()
    hb.shape(_shaper(face), buffer, _FEATURES)
    glyphs, at = [], 0.0
    for info, place in zip(buffer.glyph_infos, buffer.glyph_positions, strict=True):
        glyphs.append(Glyph(info.codepoint, at + place.x_offset, float(place.y_offset), info.cluster))
        at += place.x_advance
    return Run(face, text, tuple(glyphs), at)


def measure(text: str, size_pt: float, weight: int = 400) -> float:
    """Width of the words on one line, in mm."""
    return sum(run.advance for run in shape(text, weight)) / 1000 * size_pt * MM_PER_POINT


def height_mm(size_pt: float, part: float = CAP_HEIGHT) -> float:
    """A part of the size in mm: the height of capitals unless told otherwise."""
    return size_pt * MM_PER_POINT * part


# ---------------------------------------------------------------- lines


def tidy(text: str) -> str:
    """Number and unit as one word: no-break spaces in '10 mm', '1 1/2 in', '± 2 mm', '8 %'."""
    return _UNIT_GAP.sub(NBSP, _MIXED_GAP.sub(NBSP, text))


def _weighted(markup: str) -> list[tuple[str, int]]:
    """'plain **strong** plain' as runs of a weight; a lone ** is taken as it stands."""
    parts = markup.split("**")
    if len(parts) % 2 == 0:
        parts[-2:] = ["**".join(parts[-2:])]
    return [(part, 600 if n % 2 else 400) for n, part in enumerate(parts) if part]


Chunk = list[tuple[str, int]]  # a word in one or more weights


def _chunks(markup: str, weight: int) -> list[Chunk | None]:
    """Words in order; None stands for a forced new line."""
    out: list[Chunk | None] = []
    glue = False  # the next text goes on with the last word
    for text, own in _weighted(tidy(markup)):
        heavy = max(weight, own)
        for piece in re.split(r"(\n|[ \t]+|\u200b)", text):
            if piece == "\n":
                out.append(None)
                glue = False
            elif not piece.strip(" \t"):
                glue = glue and piece == ""
            elif piece == "\u200b":
                out.append([(piece, heavy)])
                glue = True
            elif glue and out and out[-1] is not None:
                out[-1].append((piece, heavy))
            else:
                out.append([(piece, heavy)])
                glue = True
    return out


def break_lines(
    markup: str,
    width: float,
    size_pt: float = BODY_PT,
    weight: int = 400,
    indent: float = 0.0,
    then: tuple[int, float] | None = None,
) -> tuple[Line, ...]:
    """Lines no wider than `width` mm, first fit; '**' marks strong words, a newline starts a new line.

    `indent` is what the first line leaves free at its start. A word that is wider than a line is cut. `then`: after
    so many lines they may be so wide, no less than `width`.
    """
    space = measure(" ", size_pt, weight)
    lines: list[Line] = []
    row: Chunk = []
    used = indent

    def close() -> None:
        nonlocal row, used
        lines.append(_set_line(row, size_pt, indent if not lines else 0.0))
        row, used = [], 0.0

    for chunk in _chunks(markup, weight):
        if chunk is None:
            close()
            continue
        free_break = chunk[0][0] == "\u200b"
        for part in _fitting(chunk, width, size_pt):
            wide = _chunk_width(part, size_pt)
            gap = 0.0 if not row or free_break else space
            most = then[1] if then and len(lines) >= then[0] else width
            if row and used + gap + wide > most + 1e-6:
                close()
                gap = 0.0
            if gap:
                row.append((" ", weight))
            row += part
            used += gap + wide
    close()
    return tuple(lines)


def widest_word(markup: str, size_pt: float = BODY_PT, weight: int = 400) -> float:
    """Width of the widest word, in mm: on a narrower line it is cut."""
    return max((_chunk_width(c, size_pt) for c in _chunks(markup, weight) if c is not None), default=0.0)


def _chunk_width(chunk: Chunk, size_pt: float) -> float:
    return sum(measure(text, size_pt, weight) for text, weight in chunk)


def _fitting(chunk: Chunk, width: float, size_pt: float) -> list[Chunk]:
    """The word itself, or its letters cut so that each part fits."""
    if _chunk_width(chunk, size_pt) <= width:
        return [chunk]
    parts: list[Chunk] = [[]]
    for text, weight in chunk:
        for letter in re.findall(r".[\u0300-\u036f]*", text):
            if parts[-1] and _chunk_width(parts[-1], size_pt) + measure(letter, size_pt, weight) > width:
                parts.append([])
            last = parts[-1]
            if last and last[-1][1] == weight:
                last[-1] = (last[-1][0] + letter, weight)
            else:
                last.append((letter, weight))
    return parts


def _set_line(row: Chunk, size_pt: float, start: float) -> Line:
    """Runs of equal weight merged, so that kerning runs through, and placed."""
    merged: Chunk = []
    for text, weight in row:
        if text == " " and merged:  # a space takes the weight before it
            weight = merged[-1][1]
        if merged and merged[-1][1] == weight:
            merged[-1] = (merged[-1][0] + text, weight)
        else:
            merged.append((text, weight))
    words, x = [], start
    for text, weight in merged:
        words.append(Word(x, text, weight))
        x += measure(text, size_pt, weight)
    return Line(tuple(words), x)


def paragraph(
    board: Board,
    x: float,
    y: float,
    markup: str,
    width: float,
    size_pt: float = BODY_PT,
    leading: float = BODY_LEADING,
    *,
    weight: int = 400,
    colour: str = INK,
    anchor: str = "start",
    role: str = "",
    then: tuple[int, float] | None = None,
) -> float:
    """Sets a paragraph with its first baseline at y; returns the baseline after the last line's.

    `then` is that of `break_lines`, for words from their start on.
    """
    for line in break_lines(markup, width, size_pt, weight, then=then):
        left = x if anchor == "start" else x + (width - line.width) / (2 if anchor == "middle" else 1)
        for word in line.words:
            board.add(Text(left + word.x, y, word.text.rstrip(" "), size_pt, word.weight, colour, role=role))
        y += leading
    return y
