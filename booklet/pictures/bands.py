"""A band above the pieces that it takes."""

from __future__ import annotations

import shapely

from booklet.drawing import look, marks
from booklet.model import Seam
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.chains import at_sewn
from booklet.pictures.edges import draw_strip
from booklet.pictures.placket import slit_at
from booklet.pictures.plies import (
    draw_copy,
    lay_cloth,
    short_title,
    side_words,
)
from booklet.pictures.step_scene import StepScene, add_section, joins, one_side


def draw_band(scene: StepScene) -> Picture | None:
    seams = joins(scene)
    if not seams:
        return None
    seam, bench = one_side(seams), scene.bench
    assert seam.b is not None
    picture = Picture()
    picture.add(_band_in_row(scene, seam))
    band = seam.b.parts[0].copy
    add_section(
        picture,
        cut.banded(band in bench.fused),
        30,
        picture.bottom + 9,  # room for the pieces' names between the two
        {"garment": short_title(bench, seam.a.parts[0].copy), "band": short_title(bench, band)},
    )
    _ends_sewn(scene, picture, band)
    return picture


def _ends_sewn(scene: StepScene, picture: Picture, band: str) -> None:
    """The band folded right sides together, its ends sewn from the fold to the edge that is sewn on."""
    bench = scene.bench
    ends = [s.a.parts[0] for s in scene.seams if s.kind == "end" and s.a.parts[0].copy == band]
    fold = next(iter(bench.copies[band].fold_lines), None)
    if not ends or fold is None:
        return
    line = fold.path
    way = (line.end - line.start) / abs(line.end - line.start)
    at = Placement(1 / way).then(Placement.mirror(0j, 1j))  # wrong side up, the fold level
    near = bench.part_path(scene.seams[0].b.parts[0]).placed(at) if scene.seams[0].b else line.placed(at)
    level, edge = line.placed(at).start.imag, near.point(near.length / 2).imag
    if edge < level:  # the fold lies above
        at = at.then(Placement(-1 + 0j))
        level = line.placed(at).start.imag
    whole = polygon(bench.cut_line(band).placed(at))
    x0, _, x1, y1 = whole.bounds
    half = whole.intersection(shapely.box(x0, level, x1, y1))
    frame = fit_frame((x0 - 3, level - 4, x1 + 3, y1 + 3), 50, 24, complex(26, picture.bottom + 8))
    lay_cloth(frame, bench, band, at, half)
    frame.line(Path.line(complex(x0, level), complex(x1, level)), look.CUT, "fold")
    for part in ends:
        path = bench.part_path(part).placed(at)
        lower, upper = sorted((path.start, path.end), key=lambda z: -z.imag)
        share = (lower.imag - level) / (lower.imag - upper.imag)
        frame.line(Path.line(lower + (upper - lower) * share, lower), look.SEW_NOW, "seam")
    spot = half.representative_point()
    frame.label(f"{short_title(bench, band)},\nwrong side out", complex(spot.x, spot.y), None)
    frame.label("fold", complex(x0 + (x1 - x0) * 0.3, level), None, dot=False)
    picture.add(frame)


def _band_in_row(scene: StepScene, seam: Seam) -> Frame:
    """The garment's pieces in a row below, the band above, arrows from the band's match points to their partners."""
    bench = scene.bench
    assert seam.b is not None
    at: dict[str, Placement] = {}
    x = 0.0
    lowest = 0.0
    for part in seam.a.parts:
        if part.copy in at:  # another stretch of a piece that lies there
            continue
        path = bench.part_path(part)
        chord = path.end - path.start
        base = Placement(abs(chord) / chord)
        inside = bench.cut_line(part.copy).placed(base).bbox
        edge = path.placed(base)
        if (inside[1] + inside[3]) / 2 < edge.bbox[1]:  # the piece must hang below its edge
            base = base.then(Placement(-1 + 0j))
            inside = bench.cut_line(part.copy).placed(base).bbox
            edge = path.placed(base)
        at[part.copy] = base.then(Placement.move(complex(x - inside[0], -edge.bbox[1])))
        x += inside[2] - inside[0] + 24.0
        lowest = max(lowest, min(inside[3] - edge.bbox[1], 190.0))
    band = seam.b.parts[0]
    path = bench.part_path(band)
    chord = path.end - path.start
    base = Placement(abs(chord) / chord)
    box = bench.cut_line(band.copy).placed(base).bbox
    gap = max(70.0, x * 0.09)
    at[band.copy] = base.then(Placement.move(complex((x - 24) / 2 - (box[0] + box[2]) / 2, -gap - box[3])))
    band_box = bench.cut_line(band.copy).placed(at[band.copy]).bbox
    whole = (min(-4.0, band_box[0] - 4), band_box[1] - 4, max(x - 20, band_box[2] + 4), lowest)
    frame = fit_frame(whole, 100, 50, complex(3, 8))  # room for words above a narrow band
    for copy, placing in at.items():
        draw_copy(frame, bench, copy, placing)
    stops_a, stops_b = [0.0], [0.0]
    for s in seam.sections:
        stops_a.append(stops_a[-1] + s.a_mm)
        stops_b.append(stops_b[-1] + (s.b_mm or 0.0))
    slits = (slit_at(bench, seam.a.parts[0], True), slit_at(bench, seam.a.parts[-1], False))
    at_slit = slits[0] is not None and slits[0] == slits[1]
    if slits[0] is not None and at_slit:  # to its two sides
        apart = max(slits[0].mouth / 2, 2.5 / frame.scale)  # so that two arrows can be told apart
        stops_a[0], stops_a[-1] = apart, stops_a[-1] - apart
        host = seam.a.parts[0].copy
        if _bound(bench, host):
            draw_strip(frame, slits[0], at[host], apart, bench.half(seam.a.parts[0]).edge.allow)
        else:
            frame.line(Path.line(slits[0].at, slits[0].foot).placed(at[host]), look.CUT, "slit")
        _name_ends(scene, frame, band.copy, at[band.copy])
    for sa, sb in zip(stops_a, stops_b, strict=True):
        ca, za = at_sewn(bench, seam.a, sa)
        cb, zb = at_sewn(bench, seam.b, sb)
        start, tip = frame.on_paper(at[cb].apply(zb)), frame.on_paper(at[ca].apply(za))
        # The ends cross on their way to a slit: their tips come down beside each other.
        bent = marks.curved_arrow(start, tip, 1j, 1j, swing=0.5)
        frame.board.add(*(bent if at_slit else marks.action_arrow(start, tip)))
    for copy in dict.fromkeys(p.copy for p in (*seam.b.parts, *seam.a.parts)):
        outline = bench.cut_line(copy).placed(at[copy])
        area = polygon(outline).intersection(shapely.box(*whole))
        spot = area.representative_point()
        frame.label(
            side_words(bench, copy, at[copy]).replace("\n", " ")
            if copy == band.copy
            else side_words(bench, copy, at[copy]),
            complex(spot.x, spot.y),
            outline,
        )
    return frame


def _bound(bench: Bench, host: str) -> bool:
    """Whether the slits of a piece have been bound with strips."""
    return bench.copies[host].piece.name in bench.bound


def _name_ends(scene: StepScene, frame: Frame, band: str, at: Placement) -> None:
    """The ends of a band by their names, as the words tell them apart."""
    for seam in scene.seams:
        part = seam.a.parts[0]
        if seam.kind == "end" and part.copy == band:
            path = scene.bench.part_path(part).placed(at)
            half = scene.bench.half(part)
            frame.label(half.edge.called or half.base.replace("_", " "), path.point(path.length / 2), None)
