"""From cut pieces to a DXF file of a style: what the paper would show, a block a piece, for one body and its options."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath

import shapely

from booklet.drafting.copies import open_out
from booklet.exchange.library import dxf_library
from booklet.exchange.plain import BlockPiece, NotchPoint
from booklet.exchange.rings import corners, divided
from booklet.exchange.write_dxf import dxf_bytes, safe_names
from booklet.inputs import Inputs
from booklet.job import check_style
from booklet.model import CutPiece, Dart, NotchStroke, Place
from booklet.pages.copy_words import copy_line
from booklet.pages.ground import polygon_of
from booklet.pages.piece_block import outline_words
from booklet.pages.piece_lines import OnPaper, on_paper, slit_path
from booklet.pages.words import Words, words_for
from booklet.paths import Path
from booklet.printing.files import write_beside
from booklet.problems import Problem

EDGE = 0.02  # mm: what lies so little beyond the paper's edge lies on it
FINE = 0.005  # mm: how far a chord may lie off its curve
SHORT = 12.0  # mm: a dart's hole stays so far before its point, so that it doesn't show; common practice, no source


def write_dxf(given: Inputs, out: FilePath) -> tuple[int, tuple[Problem, ...]]:
    """Writes the file whole or not at all; how many pieces it holds, and what was found on the way. Raises Fault."""
    data, count, problems = style_dxf(given)
    write_beside(out, data)
    return count, problems


def style_dxf(given: Inputs) -> tuple[bytes, int, tuple[Problem, ...]]:
    """The file's bytes, its pieces counted, and the warnings and notes of the draft. Raises Fault for its errors."""
    dxf_library()
    style = given.style
    checked = check_style(style, given.body, given.options, given.units, given.shop, given.width)
    cuts = sorted(checked.prepared.cuts, key=lambda c: (c.piece.number, c.piece.key))
    words = words_for(given.shop.language, given.shop.wording)
    size = given.body.code or given.body.name
    cloths = style.sources["style"].data.get("cloths") or {}
    titles = {str(key): str(cloth.get("title", key)) for key, cloth in cloths.items()}
    names = safe_names([c.piece.key for c in cuts])
    pieces = [block_piece(c, name, size, titles, words) for c, name in zip(cuts, names, strict=True)]
    s = style.style
    chosen = ", ".join(f"{option} {choice}" for option, choice in checked.prepared.options.items())
    told = (
        f"STYLE NAME: {s.style} {s.title}",
        f"CREATION DATE: {s.dated}",
        f"AUTHOR: {given.shop.name}",
        f"SAMPLE SIZE: {size}",
        "UNITS: METRIC",
        *([f"ANNOTATION: {chosen}"] if chosen else []),
    )
    return dxf_bytes(pieces, told), len(pieces), checked.problems


def block_piece(cut: CutPiece, name: str, size: str, cloths: Mapping[str, str], words: Words) -> BlockPiece:
    """One piece as its paper shows it: a half with its mirror line, or whole."""
    piece, shown = cut.piece, on_paper(cut)
    rules = piece.cuts
    first = next((r for r in rules if not r.fused), rules[0])
    head = (
        f"PIECE NAME: {piece.number} {piece.heading}",
        f"SIZE: {size}",
        f"QUANTITY: {first.count}",
        f"MATERIAL: {cloths.get(first.cloth, first.cloth)}",
    )
    told = []
    for rule in rules:
        line = copy_line(cut, rule, None, words)
        parts = (line.words, outline_words(rule, words))
        told.append(f"ANNOTATION: {cloths.get(rule.cloth, rule.cloth)}: {', '.join(p for p in parts if p)}")
    mirror = shown.fold
    return BlockPiece(
        name,
        tuple(divided(cut.paper_cut, corners(cut.paper_cut))),
        tuple(part for e in cut.paper_net for part in stretches(e.path)),
        None if mirror is None else (mirror.start, mirror.end),
        piece.grain,
        tuple(n for stroke in cut.paper_notches if stroke.cut for n in _notches(stroke)),
        inner_lines(cut, shown),
        tuple(holes(cut, shown)),
        head,
        tuple(told),
    )


def stretches(path: Path) -> list[Path]:
    """An edge divided at its own sharp corners."""
    return divided(path, [0, *corners(path, closed=False)])


def inner_lines(cut: CutPiece, shown: OnPaper) -> tuple[Path, ...]:
    """What is drawn within the piece and not cut: folds, centre lines, darts, pleats, slits, places, marks that stay whole."""
    out = [f.path for f in (*shown.fold_lines, *shown.lines_across)]
    out += [Path.polyline([d.first, d.point, d.second]) for d in shown.darts]
    out += [line for p in shown.pleats for move in p.moves for line in move]
    out += [slit_path(s) for s in shown.openings]
    out += [Path.line(*m.ends) for m in shown.buttons if m.kind == "buttonhole"]
    out += [line for p in _places(cut) for line in _on_paper(p.outline, cut)]
    out += [
        Path.line(a, b)
        for stroke in cut.paper_notches
        if not stroke.cut and stroke.mark.kind != "dot"
        for a, b in stroke.strokes
    ]
    return tuple(out)


def holes(cut: CutPiece, shown: OnPaper) -> Iterator[complex]:
    """Drilled points: dots, darts a little short of their points, the corners of what is laid on the piece."""
    for stroke in cut.paper_notches:
        if stroke.mark.kind == "dot":
            (a, b), *_ = stroke.strokes
            yield (a + b) / 2
    yield from (_short_of(dart) for dart in shown.darts)
    yield from (m.at for m in shown.buttons if m.kind == "button")
    ground = polygon_of(cut.paper_cut).buffer(EDGE)
    for place in _places(cut):
        yield from (z for z in place.corners if ground.contains(shapely.Point(z.real, z.imag)))


def _places(cut: CutPiece) -> tuple[Place, ...]:
    return cut.piece.places if cut.extent == "half" else open_out(cut.piece).places


def _on_paper(line: Path, cut: CutPiece) -> list[Path]:
    """The stretches of a line that the paper shows: what lies across a fold is on it by half."""
    points = line.flatten(FINE)
    drawn = shapely.LineString([(z.real, z.imag) for z in points])
    shown = shapely.line_merge(drawn.intersection(polygon_of(cut.paper_cut).buffer(EDGE)))
    parts = [part for part in getattr(shown, "geoms", [shown]) if part.length > EDGE * 4]
    return [Path.polyline(complex(*c) for c in shapely.get_coordinates(part)) for part in parts]


def _short_of(dart: Dart) -> complex:
    mouth = (dart.first + dart.second) / 2
    long = abs(dart.point - mouth)
    return dart.point + (mouth - dart.point) / long * min(SHORT, long / 2)


def _notches(stroke: NotchStroke) -> Iterator[NotchPoint]:
    for a, b in stroke.strokes:
        if abs(b - a) > 1e-9:
            yield NotchPoint(a, (b - a) / abs(b - a), abs(b - a))
