"""One piece and its edge: a row beside it, or gathering rows."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.model import Opening
from booklet.paths import Path, Placement
from booklet.pictures.canvas import Frame, Picture
from booklet.pictures.chains import stops_along
from booklet.pictures.placket import slit_at
from booklet.pictures.rows import pieces_with_edges
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene, one_side
from booklet.sewing.operations.gather import row_depths

NARROWEST = 1.3  # paper mm: half of a strip at a slit, drawn so wide at the least


def draw_staystitch(scene: StepScene) -> Picture:
    picture = Picture()
    frame, _ = pieces_with_edges(scene.bench, [s.a for s in scene.seams], Room(3, 4, 96, 44), offset=3.0)
    picture.add(frame)
    return picture


def draw_finish(scene: StepScene) -> Picture:
    picture = Picture()
    frame, _ = pieces_with_edges(scene.bench, [s.a for s in scene.seams], Room(3, 4, 96, 42), inside=1.5)
    picture.add(frame)
    return picture


def draw_gather(scene: StepScene) -> Picture:
    """Two rows beside the edge, arrows the way the threads are drawn, and two bars of one scale."""
    bench = scene.bench
    seam = one_side(list(scene.seams))
    picture = Picture()
    frame, at = pieces_with_edges(bench, [seam.a], Room(14, 11, 78, 38), seam=False)
    allow = bench.half(seam.a.parts[0]).edge.allow
    depths, _ = row_depths(allow, int(scene.spec.get("rows", 2)))
    first, last = seam.a.parts[0], seam.a.parts[-1]
    slits = (slit_at(bench, first, True), slit_at(bench, last, False))
    beside = [slit.mouth / 2 if slit else 0.0 for slit in slits]  # the rows stop at its strip
    shown = [max(far, NARROWEST / frame.scale) if far else 0.0 for far in beside]  # so that it can be seen
    keep = {p: (shown[0] * (p == first), shown[1] * (p == last)) for p in seam.a.parts}
    if slits[0] is not None and not (scene.numbers or {}).get("bound"):
        frame.line(Path.line(slits[0].at, slits[0].foot).placed(at[first.copy]), look.CUT, "slit")
    elif slits[0] is not None:
        draw_strip(frame, slits[0], at[first.copy], max(shown), allow)
    for part in seam.a.parts:
        path = bench.part_path(part)
        own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
        for off in (allow - depth for depth in depths):
            stops = [s for s in stops_along(path, 60) if keep[part][0] <= s <= path.length - keep[part][1]]
            pts = [path.point(s) + path.tangent(s) * -1j * own * off for s in stops]
            frame.line(Path.polyline(pts).placed(at[part.copy]), look.GATHER_ROW, "gathering")
    ends = []
    for part, s, sign in ((first, 0.0, -1.0), (last, None, 1.0)):
        path = bench.part_path(part).placed(at[part.copy])
        at_s = 0.0 if s == 0.0 else path.length
        z = path.point(at_s)
        t = path.tangent(at_s) * sign
        ends.append(z)
        if (
            slits[0] is not None
        ):  # the two ends lie beside each other: the threads are drawn down, off the edge
            own = (
                bench.copies[part.copy].sign
                * (-1 if part.backwards else 1)
                * (-1 if at[part.copy].mirrored else 1)
            )
            out = frame.on_paper(z - t * max(shown)) + t * sign * -1j * own * (1.0 + allow * frame.scale)
            frame.board.add(
                *marks.action_arrow(out, out + t * sign * -1j * own * 6.0, dot=False, role="pull")
            )
            continue
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
        y = picture.bottom + (13.0 if slits[0] is not None else 5.0)
        per = 74.0 / flat
        for length, words in (
            (flat, scene.said(f"{scene.mm(flat)} flat")),
            (drawn, scene.said(f"{scene.mm(drawn)} drawn up")),
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


def draw_strip(frame: Frame, slit: Opening, at: Placement, half: float, allow: float) -> None:
    """The strip that binds a slit, from the cut edge to the slit's end, `half` mm to each side of it."""
    a, f = at.apply(slit.at), at.apply(slit.foot)
    way = (f - a) / abs(f - a)
    side, edge = way * 1j * half, a - way * allow
    for hand in (1, -1):
        band = Path.polyline([edge, edge + hand * side, f + hand * side * 0.3, f], closed=True)
        frame.shape(band, look.CUT, look.WRONG_SIDE, "strip")
    frame.label("strip", f + (a - f) * 0.8 + side / 2, None)
