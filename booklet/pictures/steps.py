"""Which picture each operation gets: frames of the scene kinds composed on one drawing, a hundred millimetres wide."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import PathItem
from booklet.drawing.labels import Label
from booklet.model import Run, Seam, StepPicture
from booklet.paths import Path, Placement
from booklet.pictures import applied
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, box_of, grown, on_grain
from booklet.pictures.buttons import draw_buttons
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.collar import draw_collar
from booklet.pictures.ease import draw_ease
from booklet.pictures.enclosed import draw_fell_seam, draw_french, draw_lapped
from booklet.pictures.facing_ends import draw_folded_host, draw_turned_end
from booklet.pictures.hems import KINDS as HEM_KINDS
from booklet.pictures.hems import draw_hem_kind
from booklet.pictures.in_round import draw_round, half_sleeves, in_the_round, sleeve_gap
from booklet.pictures.placket import draw_placket, slit_at
from booklet.pictures.pleats import draw_pleat
from booklet.pictures.plies import draw_copy, placed_area, short_title, side_words
from booklet.pictures.scenes import (
    Room,
    close_up,
    folded_strip,
    label_plies,
    opened,
    pieces_with_edges,
    side_by_side,
    together,
    turned_edge,
)
from booklet.pictures.step_scene import Maker, StepScene, add_section
from booklet.pictures.tack import draw_tack
from booklet.pictures.topstitch import draw_topstitch
from booklet.pictures.zip import draw_fell, draw_hook, draw_zip
from booklet.sewing.operations.gather import row_depths

WIDTH = 106.0


def step_picture(scene: StepScene) -> tuple[tuple[StepPicture, ...], tuple[Label, ...]]:
    """The pictures of a step (none where it touches no cloth), and labels that found no place."""
    maker = MAKERS.get(scene.verb)
    made = maker(scene) if maker else None
    if made is None:
        return (), ()
    drawing, left = made.finish()
    return (StepPicture(scene.verb, drawing),), left


def _joins(scene: StepScene) -> list[Seam]:
    return [s for s in scene.seams if s.b is not None]


def _one_side(seams: list[Seam]) -> Seam:
    """The seam to draw where a step runs once a side: the right one."""
    return next((s for s in seams if s.side in ("right", "whole")), seams[0])


# ---------------------------------------------------------------- joins


def draw_join(scene: StepScene) -> Picture | None:
    seams = _joins(scene)
    if not seams:
        return None
    seam = _one_side(seams)
    assert seam.b is not None
    copies = {p.copy for p in (*seam.a.parts, *seam.b.parts)}
    if len(copies) == 1:
        return _self_join(scene, seam)
    if seam.treatment == "gathers" or _unlike(scene.bench, seam):
        return _set_in(scene, seam)
    if len(seam.a.parts) > 1 and len(seam.b.parts) > 1:
        return _long_seam(scene, seams)
    return _plain_join(scene, seams, seam)


def _unlike(bench: Bench, seam: Seam) -> bool:
    """Whether the two runs' shapes differ so much that they cannot lie on each other."""
    assert seam.b is not None
    if len({p.copy for p in seam.b.parts}) > 1 or len({p.copy for p in seam.a.parts}) > 1:
        return len(seam.a.parts) != len(seam.b.parts)
    a, b = seam.a.parts[0].copy, seam.b.parts[0].copy
    laid = bench.lay(b, a, Placement.IDENTITY, [seam], True)
    pairs = bench.between(a, b, [seam])
    return laid is None or max(abs(x - laid.apply(y)) for x, y in pairs) > 12.0


def _plain_join(scene: StepScene, seams: list[Seam], seam: Seam) -> Picture:
    bench = scene.bench
    picture = Picture()
    assert seam.b is not None
    mutual = [
        s
        for s in seams
        if s.b and s.a.parts[0].copy == seam.a.parts[0].copy and s.b.parts[0].copy == seam.b.parts[0].copy
    ]
    ordered = [seam, *[s for s in mutual if s is not seam]]
    frame, at = together(bench, ordered, Room(5, 9, 68, 38), scene.mm(seam.a_mm))
    order = list(at)
    last = max((s.a for s in ordered), key=lambda r: bench.run_path(r, at)[-1].bbox[2])
    detail = close_up(
        frame, bench, at, order, last, scene.mm(seam.allow_a), complex(78, 14), at_start=_open_late(seam)
    )
    picture.add(frame)
    if any(s.open for s in seam.sections):
        _open_part(frame, bench, seam, at, picture)
    picture.items += detail.board.items
    picture.bottom = max(picture.bottom, 43.0)
    if seam.press in ("open", "to a", "to b"):
        second = opened(bench, seam, Room(6, picture.bottom + 6, 54, 25), seam.press)
        picture.add(second)
        section = cut.pressed_open() if seam.press == "open" else cut.pressed_aside(seam.press == "to b")
        titles = {k: short_title(bench, r.parts[0].copy) for k, r in (("a", seam.a), ("b", seam.b))}
        add_section(picture, section, 65.5, second.paper_box[1] + 10, titles)
    return picture


def _open_late(seam: Seam) -> bool:
    """Whether a stretch left open lies in the last third of the seam."""
    stops = [0.0]
    for section in seam.sections:
        stops.append(stops[-1] + section.a_mm)
    return any(s.open and stop > stops[-1] * 2 / 3 for s, stop in zip(seam.sections, stops[1:], strict=True))


def _open_part(frame: Frame, bench: Bench, seam: Seam, at: dict[str, Placement], picture: Picture) -> None:
    """The stretch left open is shown plain, with its two marks."""
    begins = [k for k, section in enumerate(seam.sections) if section.open]
    stops = [sum(section.a_mm for section in seam.sections[:k]) for k in (begins[0], begins[-1] + 1)]
    part = seam.a.parts[0]
    a, b = (bench.point_at(part, s) for s in stops)
    line = Path.line(at[part.copy].apply(a), at[part.copy].apply(b))
    frame.put(PathItem((frame.view.path(line),), look.Stroke(2.6, look.WHITE), None, "seam"))
    frame.line(line, look.HIDDEN, "open")
    frame.label("left open", line.point(line.length / 2), None, dot=False)
    for end in (line.start, line.end):
        z = frame.on_paper(end)
        frame.board.add(PathItem((Path.circle(z, 0.7),), look.NOTCH, look.WRONG_SIDE, "mark"))
    picture.items += frame.board.items[-6:]
    picture.labels += [lab for lab in frame.labels if lab.text == "left open" and lab not in picture.labels]


def _self_join(scene: StepScene, seam: Seam) -> Picture:
    """A piece closed to a ring: its two ends, brought together."""
    bench = scene.bench
    picture = Picture()
    assert seam.b is not None
    runs = [Run(seam.a.text, seam.a.parts), Run(seam.b.text, seam.b.parts)]
    frame, at = pieces_with_edges(bench, runs, Room(3, 12, 74, 30), whole=True)
    a = frame.on_paper(at[seam.a.parts[0].copy].apply(bench.point_at(seam.a.parts[0], seam.a_mm / 2)))
    b = frame.on_paper(at[seam.b.parts[0].copy].apply(bench.point_at(seam.b.parts[0], (seam.b_mm or 0) / 2)))
    frame.board.add(*marks.curved_arrow(a, b, -1j, 1j, swing=0.35))
    picture.add(frame)
    add_section(picture, cut.joined(scene.mm(seam.allow_a), 24.0), 80 - 14, picture.bottom + 4, {})
    return picture


def _set_in(scene: StepScene, seam: Seam) -> Picture:
    bench = scene.bench
    picture = Picture()
    frame = side_by_side(bench, seam, Room(3, 3, 100, 46))
    picture.add(frame)
    if seam.press in ("to a", "to b"):
        assert seam.b is not None
        titles = {k: short_title(bench, r.parts[0].copy) for k, r in (("a", seam.a), ("b", seam.b))}
        add_section(picture, cut.pressed_aside(seam.press == "to b"), 30, picture.bottom + 5, titles)
    return picture


def _long_seam(scene: StepScene, seams: list[Seam]) -> Picture:
    """A seam that runs through several pieces, in the round, wrong side out."""
    bench = scene.bench
    picture = Picture()
    at, order = in_the_round(bench, [*bench.done, *seams], wrong_side_out=True)
    if len(order) < 2:
        return _plain_join(scene, seams, _one_side(seams))
    top = order[-1]
    sleeves = half_sleeves(bench, bench.done, at, top)
    areas = [polygon(bench.cut_line(c).placed(at[c])) for c in order]
    areas += [placed_area(h, p) for h, p in sleeves.values()]
    areas += [sleeve_gap(bench, bench.done, at, top, c, p) for c, (_, p) in sleeves.items()]
    x0, y0, x1, y1 = shapely.union_all(areas).bounds
    frame = fit_frame(grown((x0, y0, x1, y1), 6.0), 74, 54, complex(3, 3))
    draw_round(frame, bench, bench.done, at, order, sleeves, wrong=True)
    where = {**at, **{c: p for c, (_, p) in sleeves.items()}}
    for seam in seams:
        for run in (seam.a, seam.b):
            if run is None:
                continue
            for part in run.parts:
                if part.copy == top or (
                    part.copy in sleeves and _on_half(bench, part, sleeves[part.copy][0])
                ):
                    frame.line(bench.part_path(part).placed(where[part.copy]), look.SEW_NOW, "seam")
    outline = bench.stitch_line(top).placed(at[top])
    spot = polygon(outline).representative_point()
    frame.label(side_words(bench, top, at[top]), complex(spot.x, spot.y), outline)
    for copy, (half, placing) in list(sleeves.items())[:1]:
        spot = placed_area(half, placing).difference(polygon(outline)).representative_point()
        frame.label(short_title(bench, copy), complex(spot.x, spot.y), None)
    picture.add(frame)
    seam = _one_side(seams)
    section = cut.pressed_open(34) if seam.press == "open" else cut.pressed_aside(seam.press == "to b", 34)
    if seam.press != "none":
        add_section(
            picture,
            section,
            70,
            52,
            {"a": short_title(bench, seam.a.parts[0].copy), "b": _other_title(bench, seam)},
        )
    return picture


def _other_title(bench: Bench, seam: Seam) -> str:
    assert seam.b is not None
    return short_title(bench, seam.b.parts[0].copy)


def _on_half(bench: Bench, part: Any, half: shapely.Geometry) -> bool:
    path = bench.part_path(part)
    z = path.point(path.length / 2)
    return bool(half.buffer(2.0).contains(shapely.Point(z.real, z.imag)))


# ---------------------------------------------------------------- facings


def draw_face(scene: StepScene) -> Picture | None:
    seams = _joins(scene)
    if not seams:
        return None
    seam = seams[0]
    bench = scene.bench
    assert seam.b is not None
    picture = Picture()
    pairs = list(zip(seam.a.parts, seam.b.parts, strict=False))
    hosts = dict.fromkeys((a.copy, b.copy) for a, b in pairs)
    room = 100.0 / max(1, len(hosts)) - (4 if len(hosts) > 1 else 30)
    x = 3.0
    told: set[str] = set()
    height = 50.0
    ends = dict(scene.ends)
    top = 10 if ends else 4  # room for one label more
    for host, facing in hosts:
        at = {host: on_grain(bench.copies[host])}
        laid = bench.lay(facing, host, at[host], [seam], face_to_face=True)
        if laid is None:
            continue
        at[facing] = laid
        run_b = Run("", tuple(b for a, b in pairs if a.copy == host))
        box = grown(box_of([bench.cut_line(facing).placed(laid)]), 26.0)
        host_box = grown(bench.cut_line(host).placed(at[host]).bbox, 3.0)
        box = (
            max(box[0], host_box[0]),
            max(box[1], host_box[1]),
            min(box[2], host_box[2]),
            min(box[3], host_box[3]),
        )
        frame = fit_frame(box, room, height, complex(x, top))
        paths = bench.run_path(run_b, at)
        end = ends.get(facing)
        if end is None:
            draw_copy(frame, bench, host, at[host])
            draw_copy(frame, bench, facing, laid, notches=False)
        else:
            draw_folded_host(frame, bench, host, at[host])
            sewn = draw_turned_end(
                frame, bench, facing, laid, end, (scene.numbers or {})["clear"], run_b, told
            )
            paths = [sewn] if sewn is not None else []
        for n, path in enumerate(paths):
            _clips(frame, bench, run_b.parts[n], at, path)
        for path in paths:
            frame.line(path, look.SEW_NOW, "seam")
        for name in scene.openings:
            _slit(frame, bench, host, at[host], name)
        label_plies(frame, bench, at, (host, facing), told)
        picture.add(frame)
        x += room + 6
    faced_section = cut.faced(bool(bench.fused), scene.mm(seam.allow_a))
    titles = {
        "facing": f"facing{', interfacing outside' if bench.fused else ''}",
        "parent": short_title(bench, pairs[0][0].copy),
    }
    if len(hosts) > 1:
        below = (
            4 if len(hosts) == 2 else 18 if ends else 14
        )  # the labels of three narrow frames stand under them
        add_section(picture, faced_section, 22, picture.bottom + below, titles)
    else:
        add_section(picture, faced_section, 58, 30, titles)
    return picture


def _clips(frame: Frame, bench: Bench, part: Any, at: dict[str, Placement], path: Path) -> None:
    """Clips from the cut edge to 2 mm off the seam, where the seam curves inwards."""
    allow = bench.half(part).edge.allow
    step = 15.0
    count = int(path.length / step)
    own = bench.copies[part.copy].sign * (-1 if part.backwards else 1) * (-1 if at[part.copy].mirrored else 1)
    for k in range(1, count):
        s = k * step
        before, after = path.tangent(max(s - 6, 0)), path.tangent(min(s + 6, path.length))
        if abs((after / before).imag) < 0.02:
            continue
        out = path.tangent(s) * -1j * own
        z = path.point(s)
        frame.line(
            Path.line(z + out * allow, z + out * min(2.0, allow / 3)), look.Stroke(0.6, look.INK), "clip"
        )


def _slit(frame: Frame, bench: Bench, host: str, at: Placement, name: str) -> None:
    """The stitching round a slit: down one side, across the foot, up the other; the cut between."""
    for opening in bench.copies[host].openings:
        if opening.name != name:
            continue
        a, f = at.apply(opening.at), at.apply(opening.foot)
        way = (f - a) / abs(f - a)
        side = way * 1j * opening.mouth / 2
        path = Path.polyline([a + side, f - way * 1.0 + side * 0.15, f - way * 1.0 - side * 0.15, a - side])
        frame.line(path, look.SEW_NOW, "seam")
        frame.line(Path.line(a, f - way * 3), look.CUT, "slit")
        frame.label("cut here after\nsewing", a + (f - a) * 0.6, None, dot=False)


def draw_understitch(scene: StepScene) -> Picture | None:
    """The facing from the inside, its row beside the seam; the two sections before and after turning."""
    target = str(scene.spec.get("seam") if isinstance(scene.spec, Mapping) else scene.spec)
    seams = [s for s in scene.bench.done if s.step == target and s.b is not None]
    if not seams:
        return None
    seam, bench = seams[0], scene.bench
    assert seam.b is not None
    picture = Picture()
    a, b = max(zip(seam.a.parts, seam.b.parts, strict=False), key=lambda ab: abs(ab[0].end - ab[0].start))
    host, facing = a.copy, b.copy
    flip = on_grain(bench.copies[host]).then(Placement.mirror(0j, 1j))
    laid = bench.lay(facing, host, flip, [seam], face_to_face=True)
    if laid is None:
        return None
    box = grown(box_of([bench.stitch_line(facing).placed(laid)]), 16.0)
    frame = fit_frame(box, 62, 44, complex(3, 4))
    frame.ply(bench.stitch_line(host).placed(flip), look.WRONG_SIDE)
    frame.ply(bench.stitch_line(facing).placed(laid), look.RIGHT_SIDE)
    run = Run("", tuple(p for p in seam.b.parts if p.copy == facing))
    for part in run.parts:
        path = bench.part_path(part)
        own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
        pts = path.flatten(0.1)
        inner = [path.point(s) + path.tangent(s) * 1j * own * 2.0 for s in _stops(path, len(pts))]
        frame.line(Path.polyline(inner).placed(laid), look.SEW_NOW, "seam")
    label_plies(frame, bench, {host: flip, facing: laid}, (host, facing))
    picture.add(frame)
    fused = bool(bench.fused)
    add_section(
        picture, cut.understitched(fused), 70, 6, {"parent": short_title(bench, host), "facing": "facing"}
    )
    add_section(
        picture,
        cut.facing_turned(fused),
        74,
        31,
        {"parent": short_title(bench, host), "facing": "facing, turned"},
    )
    return picture


def _stops(path: Path, count: int) -> list[float]:
    return [path.length * k / (count - 1) for k in range(count)]


# ---------------------------------------------------------------- one piece and its edge


def draw_staystitch(scene: StepScene) -> Picture:
    picture = Picture()
    frame, _ = pieces_with_edges(scene.bench, [s.a for s in scene.seams], Room(3, 4, 96, 44), offset=3.0)
    picture.add(frame)
    return picture


def draw_finish(scene: StepScene) -> Picture:
    picture = Picture()
    frame, _ = pieces_with_edges(scene.bench, [s.a for s in scene.seams], Room(3, 4, 96, 42), offset=-1.5)
    picture.add(frame)
    return picture


def draw_gather(scene: StepScene) -> Picture:
    """Two rows beside the edge, arrows the way the threads are drawn, and two bars of one scale."""
    bench = scene.bench
    seam = _one_side(list(scene.seams))
    picture = Picture()
    frame, at = pieces_with_edges(bench, [seam.a], Room(14, 11, 78, 38), seam=False)
    allow = bench.half(seam.a.parts[0]).edge.allow
    depths, _ = row_depths(allow, int(scene.spec.get("rows", 2)))
    first, last = seam.a.parts[0], seam.a.parts[-1]
    slits = (slit_at(bench, first, True), slit_at(bench, last, False))
    beside = [slit.mouth / 2 if slit else 0.0 for slit in slits]  # the rows stop at its sides
    keep = {p: (beside[0] * (p == first), beside[1] * (p == last)) for p in seam.a.parts}
    if slits[0] is not None:
        frame.line(Path.line(slits[0].at, slits[0].foot).placed(at[first.copy]), look.CUT, "slit")
    for part in seam.a.parts:
        path = bench.part_path(part)
        own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
        for off in (allow - depth for depth in depths):
            stops = [s for s in _stops(path, 60) if keep[part][0] <= s <= path.length - keep[part][1]]
            pts = [path.point(s) + path.tangent(s) * -1j * own * off for s in stops]
            frame.line(Path.polyline(pts).placed(at[part.copy]), look.GATHER_ROW, "gathering")
    ends = []
    for part, s, sign in ((first, 0.0, -1.0), (last, None, 1.0)):
        path = bench.part_path(part).placed(at[part.copy])
        at_s = 0.0 if s == 0.0 else path.length
        z = path.point(at_s)
        t = path.tangent(at_s) * sign
        ends.append(z)
        out = frame.on_paper(z) + t * 1.5
        frame.board.add(*marks.action_arrow(out, out + t * 7.0, dot=False, role="pull"))
    longest = max(seam.a.parts, key=lambda p: abs(p.end - p.start))
    row = bench.part_path(longest).placed(at[longest.copy])
    frame.label(
        f"{'one row' if len(depths) == 1 else 'two rows'},\nthreads left long",
        row.point(row.length * 0.62),
        None,
        dot=False,
    )
    picture.add(frame)
    numbers = scene.numbers or {}
    flat, drawn = numbers.get("flat", seam.a_mm - sum(beside)), numbers.get("drawn")
    if drawn is not None and drawn < flat:
        y = picture.bottom + 5.0
        per = 74.0 / flat
        for length, words in (
            (flat, f"{scene.mm(flat)} flat"),
            (drawn, f"{scene.mm(drawn)} drawn up"),
        ):
            mid = 53.0
            picture.add_items(
                marks.measure_line(
                    complex(mid - length * per / 2, y), complex(mid + length * per / 2, y), words, 0.0
                ),
                y + 2,
            )
            y += 5.2
    return picture


def draw_hem(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    seam, bench = _one_side(list(scene.seams)), scene.bench
    if seam.neaten in HEM_KINDS:
        return draw_hem_kind(scene, seam)
    depth = seam.allow_a
    picture = Picture()
    if seam.neaten == "double":
        frame = turned_edge(bench, seam.a, Room(3, 4, 46, 44), depth, scene.mm(depth), second=False)
        picture.add(frame)
        add_section(
            picture,
            cut.hem_double(scene.mm(depth / 2)),
            62,
            16,
            {"cloth": short_title(bench, seam.a.parts[0].copy)},
        )
        return picture
    for n, second in enumerate((False, True)):
        row = min(3.0, depth * 0.2)
        words = scene.mm(depth if not second else depth - row)
        picture.add(turned_edge(bench, seam.a, Room(3 + 54 * n, 4, 46, 44), depth, words, second))
    return picture


def draw_casing(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    seam, bench = _one_side(list(scene.seams)), scene.bench
    depth = seam.allow_a
    picture = Picture()
    picture.add(turned_edge(bench, seam.a, Room(3, 4, 46, 44), depth, scene.mm(depth), second=False))
    tuck = (scene.numbers or {}).get("casing", depth - 6.0)
    add_section(
        picture,
        cut.casing(scene.mm(tuck)),
        60,
        14,
        {"elastic": "elastic", "cloth": short_title(bench, seam.a.parts[0].copy)},
    )
    return picture


def draw_band(scene: StepScene) -> Picture | None:
    seams = _joins(scene)
    if not seams:
        return None
    seam, bench = _one_side(seams), scene.bench
    assert seam.b is not None
    picture = Picture()
    picture.add(_band_in_row(scene, seam))
    band = seam.b.parts[0].copy
    add_section(
        picture,
        cut.banded(band in bench.fused),
        30,
        picture.bottom + 5,
        {"garment": short_title(bench, seam.a.parts[0].copy), "band": short_title(bench, band)},
    )
    return picture


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
    if slits[0] is not None and slits[0] == slits[1]:  # to its two sides
        apart = max(slits[0].mouth / 2, 2.5 / frame.scale)  # so that two arrows can be told apart
        stops_a[0], stops_a[-1] = apart, stops_a[-1] - apart
        host = seam.a.parts[0].copy
        frame.line(Path.line(slits[0].at, slits[0].foot).placed(at[host]), look.CUT, "slit")
        _name_ends(scene, frame, band.copy, at[band.copy])
    for sa, sb in zip(stops_a, stops_b, strict=True):
        ca, za = _at_sewn(bench, seam.a, sa)
        cb, zb = _at_sewn(bench, seam.b, sb)
        frame.board.add(
            *marks.action_arrow(frame.on_paper(at[cb].apply(zb)), frame.on_paper(at[ca].apply(za)))
        )
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


def _name_ends(scene: StepScene, frame: Frame, band: str, at: Placement) -> None:
    """The ends of a band by their names, as the words tell them apart."""
    for seam in scene.seams:
        part = seam.a.parts[0]
        if seam.kind == "end" and part.copy == band:
            path = scene.bench.part_path(part).placed(at)
            half = scene.bench.half(part)
            frame.label(half.edge.called or half.base.replace("_", " "), path.point(path.length / 2), None)


def _at_sewn(bench: Bench, run: Run, sewn: float) -> tuple[str, complex]:
    for n, part in enumerate(run.parts):
        size = bench.half(part).edge.sewn(*sorted((part.start, part.end)))
        if sewn <= size + 1e-6 or n == len(run.parts) - 1:
            return part.copy, bench.point_at(part, min(sewn, size))
        sewn -= size
    raise ValueError("an empty run has no points")


# ---------------------------------------------------------------- pieces alone


def draw_fuse(scene: StepScene) -> Picture | None:
    """Each piece wrong side up with its interfacing above it, arrows from one to the other."""
    bench = scene.bench
    keys = [str(k) for k in (scene.spec if isinstance(scene.spec, list) else [scene.spec])]
    hosts = [
        next((c.id for c in bench.copies.values() if c.piece.name == k and c.host is None), None)
        for k in keys
    ]
    shown = [h for h in hosts if h is not None]
    if not shown:
        return None
    at: dict[str, Placement] = {}
    x, tall, top = 0.0, 0.0, 0.0
    lifts: dict[str, float] = {}
    placed = []
    for copy in shown:
        base = on_grain(bench.copies[copy]).then(Placement.mirror(0j, 1j))
        box = bench.cut_line(copy).placed(base).bbox
        if box[3] - box[1] > 1.6 * (box[2] - box[0]) and len(shown) > 1:  # a long piece lies across
            base = base.then(Placement(1j))
            box = bench.cut_line(copy).placed(base).bbox
        lift = max(26.0, (box[3] - box[1]) * 0.7)
        lifts[copy] = lift
        placed.append((copy, base, box))
        top = max(top, lift)
    per_row = 2 if len(placed) <= 2 else 3
    y = 0.0
    for n in range(0, len(placed), per_row):
        row = placed[n : n + per_row]
        row_list = [[r] for r in row] if any(b[2] - b[0] > 700 for _, _, b in row) else [row]
        for group in row_list:
            x = 0.0
            high = max(lifts[c] for c, _, _ in group)
            for copy, base, box in group:
                at[copy] = base.then(Placement.move(complex(x - box[0], y + high - box[1])))
                x += box[2] - box[0] + 40.0
            tall = max(b[3] - b[1] for _, _, b in group)
            y += high + tall + 30.0
    outlines = [bench.cut_line(c).placed(p) for c, p in at.items()]
    box = box_of(outlines)
    whole = (box[0] - 4, min(0.0, box[1] - max(lifts.values())) - 4, box[2] + 4, box[3] + 4)
    picture = Picture()
    frame = fit_frame(whole, 74, 50, complex(4, 3), largest=0.3)
    for copy, placing in at.items():
        frame.ply(bench.cut_line(copy).placed(placing), look.WRONG_SIDE)
        up = Placement.move(complex(0, -lifts[copy]))
        glue = bench.stitch_line(copy).placed(placing).placed(up)
        frame.ply(glue, look.INTERFACING)
        x0, _y0, x1, _y1 = bench.stitch_line(copy).placed(placing).bbox
        anchors = _spread_points(bench.stitch_line(copy).placed(placing), x0, x1)
        for z in anchors:
            frame.board.add(*marks.action_arrow(frame.on_paper(z - 1j * lifts[copy]), frame.on_paper(z)))
        z = _lowest_inside(bench.cut_line(copy).placed(placing), glue)
        frame.label(side_words(bench, copy, placing), z, bench.cut_line(copy).placed(placing))
    first = next(iter(at))
    glue = bench.stitch_line(first).placed(at[first]).placed(Placement.move(complex(0, -lifts[first])))
    tip = max((seg[0] for seg in glue.segments), key=lambda z: z.real - 0.6 * z.imag)
    frame.label("interfacing,\nglue side down", tip, None, dot=False)
    picture.add(frame)
    return picture


def _spread_points(outline: Path, x0: float, x1: float) -> list[complex]:
    """Two points of an outline, near its left and right, its upper edge."""
    out = []
    for share in (0.12, 0.88):
        x = x0 + (x1 - x0) * share
        met = outline.crossings(Path.line(complex(x, -9000), complex(x, 9000)))
        if met:
            out.append(min((z for _, z in met), key=lambda z: z.imag))
    return out


def _lowest_inside(outline: Path, over: Path) -> complex:
    area = polygon(outline).difference(polygon(over))
    if area.is_empty or area.area < 50:
        spot = polygon(outline).representative_point()
    else:
        spot = max(getattr(area, "geoms", [area]), key=lambda g: g.area).representative_point()
    return complex(spot.x, spot.y)


def draw_dart(scene: StepScene) -> Picture | None:
    """Each dart on its piece, wrong side up: legs to bring together, fold line, the way to press."""
    bench = scene.bench
    refs = [str(r) for r in (scene.spec if isinstance(scene.spec, list) else [scene.spec])]
    picture = Picture()
    x = 3.0
    shown = []
    for ref in refs:
        key, _, name = ref.partition(".")
        for copy in bench.copies.values():
            if copy.piece.name == key and copy.host is None:
                darts = [d for d in copy.darts if d.name == name]
                if darts:
                    shown.append((copy.id, darts))
                    break
    width = min(60.0, 96.0 / max(1, len(shown)) - 4)
    for copy_id, darts in shown:
        at = on_grain(bench.copies[copy_id]).then(Placement.mirror(0j, 1j))
        outline = bench.cut_line(copy_id).placed(at)
        pts = [at.apply(z) for d in darts for z in (d.first, d.point, d.second)]
        box = grown(
            (
                min(z.real for z in pts),
                min(z.imag for z in pts),
                max(z.real for z in pts),
                max(z.imag for z in pts),
            ),
            45.0,
        )
        ob = grown(outline.bbox, 3.0)
        box = (max(box[0], ob[0]), max(box[1], ob[1]), min(box[2], ob[2]), min(box[3], ob[3]))
        frame = fit_frame(box, width, 46, complex(x, 5))
        draw_copy(frame, bench, copy_id, at)
        for d in darts:
            first, point, second = (at.apply(z) for z in (d.first, d.point, d.second))
            frame.line(Path.polyline([first, point, second]), look.SEW_NOW, "seam")
            frame.line(Path.line((first + second) / 2, point), look.FOLD, "fold")
            low = 0.35
            a, b = first + (point - first) * low, second + (point - second) * low
            start, tip = (b, a) if d.press_first else (a, b)
            frame.board.add(
                *marks.curved_arrow(frame.on_paper(start), frame.on_paper(tip), 1j, -1j, swing=0.8)
            )
        frame.label(
            f"point, {scene.mm(abs((darts[0].first + darts[0].second) / 2 - darts[0].point))}\nfrom the stitch line",
            at.apply(darts[0].point),
            None,
            dot=False,
        )
        spot = polygon(outline).intersection(shapely.box(*box)).representative_point()
        frame.label(
            side_words(bench, copy_id, at), complex(spot.x, box[3] - (box[3] - box[1]) * 0.15), outline
        )
        picture.add(frame)
        x += width + 6
    return picture if shown else None


def draw_tie(scene: StepScene) -> Picture | None:
    bench = scene.bench
    keys = [
        str(k)
        for k in (scene.spec["pieces"] if isinstance(scene.spec["pieces"], list) else [scene.spec["pieces"]])
    ]
    copy = next((c.id for c in bench.copies.values() if c.piece.name == keys[0] and c.host is None), None)
    if copy is None:
        return None
    picture = Picture()
    tip = str(scene.spec["tip"]) if scene.spec.get("tip") else None
    allow = max(h.edge.allow for h in bench.copies[copy].edges)
    picture.add(folded_strip(bench, copy, Room(3, 6, 98, 30), tip))
    add_section(picture, cut.tube(scene.mm(allow)), 34, picture.bottom + 4, {"fold": "fold"})
    return picture


def draw_loop(scene: StepScene) -> Picture | None:
    """The strip folded and sewn, then the loop basted at the slit's top."""
    picture = Picture()
    wide = (scene.numbers or {}).get("wide", 4.0)
    add_section(picture, cut.tube(scene.mm(wide)), 8, 8, {"fold": "fold"})
    slit = _slit_frame(scene, Room(62, 3, 40, 44), loop=True, button=False)
    if slit is not None:
        picture.add(slit)
    return picture


def draw_button(scene: StepScene) -> Picture | None:
    slit = _slit_frame(scene, Room(26, 3, 54, 46), loop=True, button=True)
    if slit is None:
        return None
    picture = Picture()
    picture.add(slit)
    return picture


def _slit_frame(scene: StepScene, room: Room, loop: bool, button: bool) -> Frame | None:
    bench = scene.bench
    ref = str(scene.spec.get("at", ""))
    key, _, name = ref.partition(".")
    side = str(scene.spec.get("side", "left"))
    for copy in bench.copies.values():
        if copy.piece.name != key or copy.host is not None:
            continue
        for opening in copy.openings:
            if opening.name != name:
                continue
            at = on_grain(copy)
            a, f = at.apply(opening.at), at.apply(opening.foot)
            box = (a.real - 48, a.imag - 20, a.real + 48, a.imag + 62)
            frame = fit_frame(box, room.width, room.height, room.corner)
            outline = bench.stitch_line(copy.id) if button else bench.cut_line(copy.id)
            frame.ply(outline.placed(at), look.RIGHT_SIDE)
            frame.line(Path.line(a, f), look.CUT if button else look.STITCH, "slit")
            # seen on the right side of a back, the wearer's left lies at the viewer's left
            left = -1.0
            sign_loop = left if (side == "left") != button else -left
            top = a + 3j
            if loop:
                reach = 9.0 * sign_loop
                z = top + complex(0, 4)
                # the loop reaches over the slit from its own side
                ends = (z + 0j, z + 5j)
                curve = Path(((ends[0], ends[0] - reach * 1.6, ends[1] - reach * 1.6, ends[1]),))
                frame.line(curve, look.SEW_NOW if not button else look.Stroke(1.4, look.INK), "loop")
                frame.label("loop", curve.point(curve.length / 2), None, dot=False)
            if button:
                centre = top + complex(-9.0 * sign_loop * 1.1, 6.5)
                z = frame.on_paper(centre)
                frame.board.add(
                    PathItem((Path.circle(z, 2.6),), look.Stroke(1.2, look.ACCENT), look.WRONG_SIDE, "button")
                )
                for d in (-0.7, 0.7):
                    frame.board.add(PathItem((Path.circle(z + d, 0.3),), None, look.SOLID_ACCENT, "button"))
                frame.label("button", centre + 6 * (1 if centre.real > a.real else -1), None, dot=False)
            spot = complex(a.real + 26, a.imag + 48)
            frame.label(side_words(bench, copy.id, at), spot, outline.placed(at))
            return frame
    return None


MAKERS: dict[str, Maker] = {
    "join": draw_join,
    "french seam": draw_french,
    "flat fell": draw_fell_seam,
    "lapped seam": draw_lapped,
    "face": draw_face,
    "understitch": draw_understitch,
    "topstitch": draw_topstitch,
    "edgestitch": draw_topstitch,
    "tack": draw_tack,
    "staystitch": draw_staystitch,
    "finish": draw_finish,
    "gather": draw_gather,
    "ease": draw_ease,
    "hem": draw_hem,
    "casing": draw_casing,
    "band": draw_band,
    "fuse": draw_fuse,
    "dart": draw_dart,
    "pleat": draw_pleat,
    "tie": draw_tie,
    "strips": applied.draw_strips,
    "bind": applied.draw_bind,
    "pocket": applied.draw_pocket,
    "attach": applied.draw_attach,
    "zip": draw_zip,
    "fell": draw_fell,
    "hook": draw_hook,
    "loop": draw_loop,
    "button": draw_button,
    "buttons": draw_buttons,
    "collar": draw_collar,
    "placket": draw_placket,
}
