"""One style as a DXF file: a block a piece, each inserted once, curves as fine polylines; the same bytes every time.

Release R2000: the oldest of the format that carries its unit, and as plain as R13, which the standard names.
"""

from __future__ import annotations

import io
import math
import re
import unicodedata
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import shapely

from booklet.exchange import layers
from booklet.exchange.library import dxf_library
from booklet.exchange.plain import BlockPiece
from booklet.paths import Path

TOLERANCE = 0.005  # mm: how far a chord may lie off its curve
ROUND = 5  # places of a mm that are written
APART = 60.0  # mm between two pieces in model space
ROW = 3000.0  # mm: how wide the pieces stand beside each other
TALL = 6.0  # mm: the words' height
LETTER = 0.7  # about a letter's width, as a share of its height
NAME_LONGEST = 48


def dxf_bytes(pieces: Sequence[BlockPiece], style_words: Sequence[str]) -> bytes:
    """The whole file. Raises Fault where the library for it is not there."""
    ezdxf = dxf_library()
    with _no_time_of_making(ezdxf):
        doc = ezdxf.new("R2000", units=layers.MILLIMETRES)
        doc.header["$MEASUREMENT"] = layers.METRIC
        for layer in layers.WRITTEN:
            doc.layers.add(layer)
        space = doc.modelspace()
        for piece in pieces:
            _write_block(doc.blocks.new(piece.name), piece)
        for piece, at in _side_by_side(pieces):
            space.add_blockref(piece.name, at, dxfattribs={"layer": layers.CUT})
        for n, text in enumerate(style_words):
            place = (0.0, (len(style_words) - n) * TALL * 1.6 + APART)
            _text(space, text, place, layers.CUT)
        out = io.StringIO()
        doc.write(out)
        return bytes(doc.encode(out.getvalue()))


@contextmanager
def _no_time_of_making(ezdxf: Any) -> Iterator[None]:
    """Dates, version and random ids of a file left at fixed values."""
    before = ezdxf.options.write_fixed_meta_data_for_testing
    ezdxf.options.write_fixed_meta_data_for_testing = True
    try:
        yield
    finally:
        ezdxf.options.write_fixed_meta_data_for_testing = before


def safe_names(names: Sequence[str]) -> list[str]:
    """Names that every reader takes, in the same order: ASCII letters, digits, - and _, unlike in any case."""
    out: list[str] = []
    taken: set[str] = set()
    for name in names:
        plain = unicodedata.normalize("NFKD", name).encode("ascii", "ignore").decode()
        stem = re.sub(r"[^A-Za-z0-9_-]+", "_", plain).strip("_")[:NAME_LONGEST] or "piece"
        word, n = stem, 1
        while word.upper() in taken:
            n += 1
            word = f"{stem}_{n}"
        taken.add(word.upper())
        out.append(word)
    return out


def _write_block(block: Any, piece: BlockPiece) -> None:
    for layer, ring in ((layers.CUT, piece.cut), (layers.STITCH, piece.stitch)):
        points, turns = ring_points(ring)
        block.add_polyline2d(points, close=True, dxfattribs={"layer": layer})
        for point, turn in zip(points, turns, strict=True):
            block.add_point(point, dxfattribs={"layer": layers.TURN if turn else layers.CURVE})
    for line, layer in ((piece.mirror, layers.MIRROR), (piece.grain, layers.GRAIN)):
        if line is not None:
            block.add_line(_xy(line[0]), _xy(line[1]), dxfattribs={"layer": layer})
    for path in piece.inner:
        points = _clean([_xy(z) for z in path.flatten(TOLERANCE)])
        if len(points) > 1:
            block.add_polyline2d(points, close=path.closed, dxfattribs={"layer": layers.INNER})
    for notch in piece.notches:
        angle = _angle(notch.inward)
        more = {"layer": layers.NOTCH, "angle": angle, "thickness": round(notch.deep, ROUND)}
        block.add_point(_xy(notch.at), dxfattribs=more)
    for hole in piece.holes:
        block.add_point(_xy(hole), dxfattribs={"layer": layers.HOLE})
    x, y = _xy(_middle(piece))
    longest = max((len(text) for text in (*piece.head, *piece.words)), default=0)
    x = round(x - longest * TALL * LETTER / 2, ROUND)
    texts = [(layers.CUT, text) for text in piece.head] + [(layers.WORDS, text) for text in piece.words]
    for n, (layer, text) in enumerate(texts):
        _text(block, text, (x, y - n * TALL * 1.6), layer)


def ring_points(ring: Sequence[Path]) -> tuple[list[tuple[float, float]], list[bool]]:
    """The points of a closed ring, y up, the last not repeated, and whether each is a turn point."""
    points: list[tuple[float, float]] = []
    turns: list[bool] = []
    for path in ring:
        for n, z in enumerate(path.flatten(TOLERANCE)[:-1]):
            point = _xy(z)
            if points and point == points[-1]:
                turns[-1] = turns[-1] or (n == 0 and len(ring) > 1)
                continue
            points.append(point)
            turns.append(n == 0 and len(ring) > 1)
    if len(points) > 1 and points[0] == points[-1]:
        points.pop()
        turns.pop()
    return points, turns


def _clean(points: list[tuple[float, float]]) -> list[tuple[float, float]]:
    return [p for n, p in enumerate(points) if n == 0 or p != points[n - 1]]


def _xy(z: complex) -> tuple[float, float]:
    """A point in the file's way, y up."""
    return round(float(z.real), ROUND) + 0.0, round(-float(z.imag), ROUND) + 0.0


def _angle(way: complex) -> float:
    return round(math.degrees(math.atan2(-way.imag, way.real)) % 360, 3)


def _text(space: Any, text: str, at: tuple[float, float], layer: str) -> None:
    plain = " ".join(text.split())
    space.add_text(plain, height=TALL, dxfattribs={"layer": layer}).set_placement(at)


def _middle(piece: BlockPiece) -> complex:
    """A place within the piece where its words begin."""
    points, _ = ring_points(piece.stitch)
    inside = shapely.Polygon(points).buffer(0).representative_point()
    return complex(inside.x, -inside.y)


def _side_by_side(pieces: Sequence[BlockPiece]) -> Iterator[tuple[BlockPiece, tuple[float, float]]]:
    """Where each block stands in model space: in rows, left to right, none over another."""
    x, y, high = 0.0, 0.0, 0.0
    for piece in pieces:
        points, _ = ring_points(piece.cut)
        x0, x1 = min(p[0] for p in points), max(p[0] for p in points)
        y0, y1 = min(p[1] for p in points), max(p[1] for p in points)
        if x > 0 and x + x1 - x0 > ROW:
            x, y, high = 0.0, y - high - APART, 0.0
        yield piece, (round(x - x0, ROUND), round(y - y1, ROUND))
        x += x1 - x0 + APART
        high = max(high, y1 - y0)
