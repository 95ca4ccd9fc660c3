"""A nest of eight sizes, read back from its file: every line there once, a layer a size, dashes that tell apart."""

from __future__ import annotations

import io
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache

import numpy as np
import pikepdf
import pypdfium2
import pytest
import shapely
from helpers.page_paths import over_the_edge, paths_of
from helpers.steps import ROOT

from booklet.drawing.display import Group, Item, PathItem, Stroke
from booklet.drawing.page import PageSpec
from booklet.drawing.text import measure
from booklet.job import make_job
from booklet.model import Job
from booklet.pages.nest_lines import HEAVY, LIGHT, pens_of
from booklet.pages.nest_piece import nest_piece, nest_pieces
from booklet.pages.piece_lines import on_paper
from booklet.paths import Path
from booklet.printing.formats import FORMATS, OVERLAP, SheetChoice
from booklet.printing.nest_guide import piece_rows, whole_rows
from booklet.printing.pdf import pdf_bytes
from booklet.printing.sheet import Sheet, arrange
from booklet.printing.tiles import DrawnSheet, draw_sheet, tile_pages
from booklet.reading.read import read_style
from booklet.reading.sizes import read_sizes
from booklet.write import print_booklet

STYLE = "aline"
CLOSE = 0.1  # mm


@dataclass(frozen=True)
class Nest:
    job: Job
    sheet: Sheet
    drawn: DrawnSheet
    pages: tuple[PageSpec, ...]
    pdf: bytes


def job_of(sizes: str) -> Job:
    table = read_sizes(ROOT / "styles" / STYLE).chosen(sizes)
    return make_job(read_style(ROOT / "styles" / STYLE), table.bodies, base=table.base, evaluations=0)


@cache
def job_of_all() -> Job:
    return job_of("all")


def nest(paper: str = "a4", overlap: float = OVERLAP) -> Nest:
    return _nest(paper, overlap)  # with both, so that a default is not kept twice


@cache
def _nest(paper: str, overlap: float) -> Nest:
    job = job_of_all()
    sheet = arrange(nest_pieces(job), FORMATS[paper].grid(overlap=overlap))
    drawn = draw_sheet(sheet)
    pages = tile_pages(drawn)
    layers = [f"Size {s.size}" for s in job.sizes]
    return Nest(job, sheet, drawn, pages, pdf_bytes(pages, title="nest", layers=layers))


def cut_lines(paper: str = "a4", overlap: float = OVERLAP) -> dict[str, list[Path]]:
    """By layer: every size's cut lines on the sheet, straight from the cut pieces."""
    return _cut_lines(paper, overlap)


@cache
def _cut_lines(paper: str, overlap: float) -> dict[str, list[Path]]:
    made = nest(paper, overlap)
    out: dict[str, list[Path]] = {}
    for entry, stack in zip(made.sheet.placed, made.job.stacks, strict=True):
        assert entry.piece.key == stack.piece
        for size, at, lines in zip(made.job.sizes, stack.placements, entry.piece.sizes, strict=True):
            cut = size.cut_piece(stack.piece).paper_cut
            ring = shapely.LinearRing([(z.real, z.imag) for z in cut.placed(at).flatten(0.01)])
            for path in lines.cut:
                points = path.flatten(0.01)
                assert shapely.distance(ring, shapely.points(points.real, points.imag)).max() < 0.02
            out.setdefault(f"Size {size.size}", []).extend(p.placed(entry.placement) for p in lines.cut)
    return out


def points_of(path: Path, step: float = 1.0) -> np.ndarray:
    flat = path.flatten(0.01)
    gone = np.concatenate([[0.0], np.cumsum(np.abs(np.diff(flat)))])
    s = np.arange(0, gone[-1], step)
    return np.interp(s, gone, flat.real) + 1j * np.interp(s, gone, flat.imag)


PAPERS = [("a4", OVERLAP), ("letter", 0.0)]  # lapped, and edge to edge


@pytest.mark.parametrize(("paper", "overlap"), PAPERS)
def test_every_cut_line_of_every_size_is_on_the_tiles_once_and_alike_in_overlaps(
    paper: str, overlap: float
) -> None:
    made = nest(paper, overlap)
    grid = made.sheet.grid
    margin = complex(grid.margin, grid.margin)
    own: dict[str, list[shapely.LineString]] = {}
    printed: dict[str, list[shapely.LineString]] = {}
    with pikepdf.open(io.BytesIO(made.pdf)) as pdf:
        for tile, page in zip(made.sheet.tiles, pdf.pages, strict=True):
            cell, area = shapely.box(*grid.cell(*tile)), shapely.box(*grid.area(*tile))
            for drawn in paths_of(page, steps=40):
                if not drawn.layer or not any(abs(drawn.width_pt - w) < 0.01 for w in (HEAVY, LIGHT)):
                    continue
                if drawn.operator != "S":
                    continue
                for sub in drawn.subpaths:
                    on = [z - margin + grid.origin(*tile) for z in sub]
                    line = shapely.LineString([(z.real, z.imag) for z in on])
                    own.setdefault(drawn.layer, []).append(line.intersection(cell))
                    printed.setdefault(drawn.layer, []).append(line.intersection(area))
    wanted = cut_lines(paper, overlap)
    assert set(own) == set(wanted) == {f"Size {s.size}" for s in made.job.sizes}
    for layer, paths in wanted.items():
        found = shapely.union_all(own[layer])
        for path in paths:
            z = points_of(path)
            assert shapely.distance(found, shapely.points(z.real, z.imag)).max() < CLOSE, layer
        length = sum(p.length for p in paths)
        assert sum(line.length for line in own[layer]) == pytest.approx(length, rel=2e-3), layer
        # Whatever else is printed, in the strips, lies on the very same lines.
        true = shapely.union_all(
            [shapely.LineString([(q.real, q.imag) for q in p.flatten(0.01)]) for p in paths]
        )
        for line in printed[layer]:
            if not line.is_empty:
                assert shapely.hausdorff_distance(line, true.intersection(line.buffer(CLOSE))) < 5.0
                assert shapely.distance(true, shapely.points(shapely.get_coordinates(line))).max() < CLOSE


@pytest.mark.parametrize(("paper", "overlap"), PAPERS)
def test_nothing_is_printed_nearer_to_the_papers_edge_than_its_margin(paper: str, overlap: float) -> None:
    made = nest(paper, overlap)
    with pikepdf.open(io.BytesIO(made.pdf)) as pdf:
        for page in pdf.pages:
            assert over_the_edge(page, made.sheet.grid.margin) == 0.0


# ---------------------------------------------------------------- layers


def without(items: Sequence[Item], layer: str) -> tuple[Item, ...]:
    """The drawing less one layer."""
    out: list[Item] = []
    for item in items:
        if isinstance(item, Group):
            if item.layer == layer:
                continue
            item = Group(
                without(item.items, layer), item.placement, item.clip, item.layer, item.name, item.role
            )
        out.append(item)
    return tuple(out)


def raster(pdf: bytes, page: int, dpi: float = 100.0) -> np.ndarray:
    document = pypdfium2.PdfDocument(pdf)
    return np.asarray(document[page].render(scale=dpi / 72, grayscale=True).to_numpy()).astype(np.int16)


@cache
def with_all_layers(page: int) -> np.ndarray:
    return raster(nest().pdf, page)


def test_there_is_a_layer_a_size_in_size_order() -> None:
    with pikepdf.open(io.BytesIO(nest().pdf)) as pdf:
        layers = pdf.Root.OCProperties
        names = [str(g.Name) for g in layers.OCGs]
        assert names == [str(g.Name) for g in layers.D.Order] == [f"Size {s.size}" for s in nest().job.sizes]
        assert not pdf.check_pdf_syntax() if hasattr(pdf, "check_pdf_syntax") else not pdf.check()


@pytest.mark.parametrize("which", [0, 4, 7])
def test_a_layer_that_is_off_takes_its_size_s_lines_and_nothing_else(which: int) -> None:
    made = nest()
    layer = f"Size {made.job.sizes[which].size}"
    with pikepdf.open(io.BytesIO(made.pdf)) as pdf:
        groups = pdf.Root.OCProperties
        groups.D.OFF = pikepdf.Array([g for g in groups.OCGs if str(g.Name) == layer])
        out = io.BytesIO()
        pdf.save(out)
    bare = tuple(
        PageSpec(type(p.drawing)(p.drawing.width, p.drawing.height, without(p.drawing.items, layer)), p.label)
        for p in made.pages
    )
    other = pdf_bytes(bare, title="nest")
    missing = 0
    for n in range(0, len(made.pages), 3):
        off, told = raster(out.getvalue(), n), raster(other, n)
        assert np.abs(off - told).max() < 40, n
        missing += int((np.abs(off - with_all_layers(n)) > 64).sum())
    assert missing > 500


def test_a_flat_file_of_one_size_has_no_layers() -> None:
    printed = print_booklet(job_of("40"), SheetChoice(FORMATS["a4"], part="pattern"))
    with pikepdf.open(io.BytesIO(printed.pdf)) as pdf:
        assert "/OCProperties" not in pdf.Root
        assert all("/Properties" not in (page.obj.get("/Resources") or {}) for page in pdf.pages)


# ---------------------------------------------------------------- names and dashes


def test_each_size_is_named_on_its_lines_in_several_places_clear_of_others() -> None:
    made = nest()
    named: dict[str, int] = {}
    for group in made.drawn.words:
        for item in group.items:
            if getattr(item, "role", "") == "size name":
                assert group.layer == f"Size {item.text}"  # type: ignore[union-attr]
                named[item.text] = named.get(item.text, 0) + 1  # type: ignore[union-attr]
    pieces = len(made.sheet.placed)
    assert set(named) == {s.size for s in made.job.sizes}
    assert min(named.values()) >= 3 * pieces
    assert not [w for w in made.drawn.left_over if w in named]
    lines = {k: shapely.union_all([shapely.LineString([(q.real, q.imag) for q in p.flatten(0.05)]) for p in v])
             for k, v in cut_lines().items()}  # fmt: skip
    for group in made.drawn.words:
        for item in group.items:
            if getattr(item, "role", "") != "size name":
                continue
            wide = measure(item.text, item.size_pt, item.weight)  # type: ignore[union-attr]
            turn = np.exp(1j * np.radians(item.angle_deg))  # type: ignore[union-attr]
            foot = complex(item.x, item.y)  # type: ignore[union-attr]
            a, b = foot - turn * wide / 2, foot + turn * wide / 2
            words = shapely.LineString([(z.real, z.imag) for z in (a - turn * 0.6j, b - turn * 0.6j)])
            for layer, line in lines.items():
                if layer != group.layer:
                    assert line.distance(words) > 0.3, (item, layer)


def test_marks_that_move_lie_on_the_layer_of_their_size_and_the_others_are_drawn_once() -> None:
    """Every notch, dart and slit of every size is on its layer where the cutting has it, or with what all sizes share."""
    made = nest()
    own = shared = 0
    for entry, stack in zip(made.sheet.placed, made.job.stacks, strict=True):
        for size, at, lines in zip(made.job.sizes, stack.placements, entry.piece.sizes, strict=True):
            cut = size.cut_piece(stack.piece)
            wanted = [(at.apply(a) + at.apply(b)) / 2 for s in cut.paper_notches for a, b in s.strokes]
            legs = [(at.apply(d.first), at.apply(d.point)) for d in on_paper(cut).darts]
            wanted += [z for a, b in legs for z in (a, b)]
            wanted += [at.apply(o.foot) for o in on_paper(cut).openings]
            mine, common = marks_of(lines.items), marks_of(entry.piece.items)
            for z in wanted:
                here, there = near(z, mine), near(z, common)
                assert here or there, (stack.piece, size.size, z)
                own += here
                shared += there and not here
    assert own > 8 * 8 and shared > 0


def marks_of(items: Sequence[Item]) -> list[Path]:
    return [
        p
        for i in items
        if isinstance(i, PathItem) and i.role in ("notch", "dart", "opening")
        for p in i.subpaths
        if p.segments
    ]


def near(z: complex, paths: Sequence[Path]) -> bool:
    return any(abs(p.point(p.nearest(z)) - z) < CLOSE for p in paths)


def test_each_size_has_its_own_buttons_on_its_layer_and_named() -> None:
    """34 and 48 of the blouse: another count of buttons, in other places; the crosses look alike, their names do not."""
    table = read_sizes(ROOT / "styles" / "blouse").chosen("34,48")
    job = make_job(read_style(ROOT / "styles" / "blouse"), table.bodies, base=table.base, evaluations=0)
    stack = next(s for s in job.stacks if s.piece == "front")
    front = nest_piece(stack, job)
    drawn = draw_sheet(arrange((front,), FORMATS["a0"].grid()))
    assert drawn.left_over == ()
    counts = []
    for size, lines in zip(job.sizes, front.sizes, strict=True):
        row = [b for b in size.cut_piece("front").piece.buttons if b.kind == "button"]
        crosses = [i for i in lines.items if isinstance(i, PathItem) and i.role == "button"]
        own = [spot for name, spot in lines.spots if name == "row"]
        assert crosses and len({(round(z.real), round(z.imag)) for z in own}) == len(row)
        named = [
            i
            for group in drawn.words
            if group.layer == f"Size {size.size}"
            for i in group.items
            if getattr(i, "role", "") == "spot name"
        ]
        assert {i.text for i in named} == {size.size}  # type: ignore[union-attr]
        assert len(named) >= len(row)
        counts.append(len(row))
    assert counts[0] < counts[1]


def shown(pens: Sequence[Stroke], pen: Stroke) -> int:
    return [(p.width_pt, p.dash_mm) for p in pens].index((pen.width_pt, pen.dash_mm))


def lengths(dark: np.ndarray, step: float) -> tuple[list[float], list[float]]:
    """Lengths of marks and blanks, the first and last left out as they may be cut short."""
    cuts = np.flatnonzero(np.diff(dark.astype(int))) + 1
    parts = [(bool(dark[a]), (b - a) * step) for a, b in zip(cuts, cuts[1:], strict=False)]
    return [x for on, x in parts if on], [x for on, x in parts if not on]


def likeness(marks: list[float], blanks: list[float], pen: Stroke) -> float:
    """How well what is measured is what the pen would draw: the same lengths, each as often as it comes."""
    if not pen.dash_mm:
        return 0.0
    score = []
    for found, told in ((marks, pen.dash_mm[::2]), (blanks, pen.dash_mm[1::2])):
        for length in set(told):
            here = np.mean([abs(x - length) < 0.25 for x in found])
            want = np.mean([t == length for t in told])
            score.append(1 - min(1.0, abs(here - want) / want))
    return float(np.mean(score))


def test_neighbouring_sizes_are_told_apart_along_their_lines_at_300_dpi_in_grey() -> None:
    made = nest()
    entry = made.sheet.placed[0]
    pens = pens_of(len(made.job.sizes))
    dpi, step = 300.0, 0.05
    images: dict[int, np.ndarray] = {}
    grid = made.sheet.grid
    told: list[int] = []
    for n, size in enumerate(entry.piece.sizes):
        plain = [
            i for i in size.items if isinstance(i, PathItem) and i.role == "cut" and not i.stroke.phase_mm
        ]  # type: ignore[union-attr]
        lines = [p.placed(entry.placement) for i in plain if shown(pens, i.stroke) == n for p in i.subpaths]  # type: ignore[arg-type]
        profile: list[tuple[list[float], list[float]]] = []
        ink: list[float] = []
        for k, tile in enumerate(made.sheet.tiles):
            x0, y0, x1, y1 = grid.cell(*tile)
            for line in lines:
                z = points_of(line, step)
                inside = (z.real > x0 + 3) & (z.real < x1 - 3) & (z.imag > y0 + 3) & (z.imag < y1 - 3)
                runs = np.flatnonzero(np.diff(np.concatenate([[0], inside.astype(int), [0]])))
                for a, b in zip(runs[::2], runs[1::2], strict=True):
                    if (b - a) * step < 60:
                        continue
                    if k not in images:
                        images[k] = raster(made.pdf, k, dpi)
                    at = (z[a:b] - complex(x0, y0) + complex(grid.margin, grid.margin)) * dpi / 25.4
                    grey = images[k][at.imag.astype(int), at.real.astype(int)]
                    profile.append(lengths(grey < 128, step))
                    ink.append(float((grey < 128).mean()))
        marks = [x for m, _ in profile for x in m]
        blanks = [x for _, b in profile for x in b]
        solid = np.mean(ink) > 0.93  # what parts a solid line are the gaps of its names
        assert solid == (not pens[n].dash_mm), (n, np.mean(ink))
        if solid:
            told.append(n)
            continue
        scores = [likeness(marks, blanks, pen) for pen in pens]
        told.append(int(np.argmax(scores)))
        for m in (n - 1, n + 1):
            if 0 <= m < len(pens):
                assert scores[m] < scores[n] - 0.2, (n, m, scores)
    assert told == list(range(8))


# ---------------------------------------------------------------- which pages


def test_the_pages_of_a_size_are_those_that_its_lines_lie_on() -> None:
    made = nest()
    names = [s.size for s in made.job.sizes]
    grid = made.sheet.grid
    rows = whole_rows(made.sheet, names)
    assert [r.sizes for r in rows] == names
    for row in rows:
        paths = cut_lines()[f"Size {row.sizes}"]
        for k, tile in enumerate(made.sheet.tiles):
            cell = shapely.box(*grid.cell(*tile)).buffer(-0.5)
            meets = any(
                cell.intersects(shapely.LineString([(q.real, q.imag) for q in p.flatten(0.1)])) for p in paths
            )
            if meets:
                assert k in row.tiles, (row.sizes, tile)
    for row in piece_rows(made.sheet, names):
        assert row.tiles
    assert len({r.piece for r in piece_rows(made.sheet, names)}) == len(made.sheet.placed)


def test_pieces_say_where_their_sizes_meet_and_that_allowances_are_in() -> None:
    for entry in nest().sheet.placed:
        words = " ".join(entry.piece.lines)
        assert "sizes 34 to 48" in words
        assert "sizes lie on each other where" in words
        assert "allowances included" in words
        assert "stitch lines left out" in words
