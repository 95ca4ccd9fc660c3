"""Joins: laid together and pressed, set in, through several pieces, a piece closed to a ring."""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from booklet.drawing import look, marks
from booklet.drawing.display import PathItem
from booklet.model import Run, Seam
from booklet.paths import Path, Placement, fit_rigid
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, grown, on_grain
from booklet.pictures.beside import side_by_side
from booklet.pictures.canvas import Frame, Picture, fit_frame, polygon
from booklet.pictures.chains import chain_beside
from booklet.pictures.in_round import inside_out
from booklet.pictures.plies import (
    short_title,
    side_words,
)
from booklet.pictures.pressed import is_strip, lie_open, opened, whole_beside
from booklet.pictures.rows import pieces_with_edges
from booklet.pictures.scenes import Room, close_up, together
from booklet.pictures.step_scene import StepScene, add_named_ends, add_section, joins, one_side

ROUND_CROTCH = 48.0  # mm of cloth shown round a seam of two legs
UPRIGHT = 2.0  # times as high as wide, and LONG mm, from which a seam needs more room
LONG = 300.0
UNLIKE = 12.0  # mm by which two edges may miss each other and are still drawn laid together


def draw_join(scene: StepScene) -> Picture | None:
    seams = joins(scene)
    if not seams:
        return None
    seam = one_side(seams)
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
    return laid is None or max(abs(x - laid.apply(y)) for x, y in pairs) > UNLIKE


def _plain_join(scene: StepScene, seams: list[Seam], seam: Seam, around: float | None = None) -> Picture:
    bench = scene.bench
    picture = Picture()
    assert seam.b is not None
    mutual = [
        s
        for s in seams
        if s.b and s.a.parts[0].copy == seam.a.parts[0].copy and s.b.parts[0].copy == seam.b.parts[0].copy
    ]
    ordered = [seam, *[s for s in mutual if s is not seam]]
    high = 50.0 if around is None and _upright(bench, seam) else 38.0
    ring = 14.0  # where the close-up begins
    if all(
        is_strip(bench, s, on_grain(bench.copies[s])) for s in (seam.a.parts[0].copy, seam.b.parts[0].copy)
    ):
        high, ring = 26.0, 6.0
    frame, at = together(bench, ordered, Room(5, 9, 68, high), scene.mm(seam.a_mm), around=around)
    order = list(at)
    last = max((s.a for s in ordered), key=lambda r: bench.run_path(r, at)[-1].bbox[2])
    detail = close_up(
        frame, bench, at, order, last, scene.mm(seam.allow_a), complex(78, ring), at_start=_open_late(seam)
    )
    picture.add(frame)
    if any(s.open for s in seam.sections):
        _open_part(frame, bench, seam, at, picture)
    picture.items += detail.board.items
    picture.bottom = max(picture.bottom, ring + 29.0)
    if seam.press in ("open", "to a", "to b"):
        _pressed(scene, seam, picture)
    return picture


def _upright(bench: Bench, seam: Seam) -> bool:
    """Whether a long seam runs down the pieces rather than across them."""
    assert seam.b is not None
    part = seam.b.parts[0]
    box = bench.part_path(part).placed(on_grain(bench.copies[part.copy])).bbox
    return seam.a_mm > LONG and box[3] - box[1] > UPRIGHT * (box[2] - box[0])


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
    y = picture.bottom + 4
    sewn = cut.joined(scene.mm(seam.allow_a), 24.0)
    if seam.press != "open":
        add_section(picture, sewn, 66, y, {})
        return picture
    add_section(picture, sewn, 8, y, {})
    add_section(picture, cut.pressed_open(34.0), 62, y + 3, {})
    level = y + 7.0
    then = marks.action_arrow(complex(44, level), complex(55, level), dot=False, role="order")
    picture.add_items(then, level)
    return picture


def _set_in(scene: StepScene, seam: Seam) -> Picture:
    """Unlike edges side by side with their partners; then a place on the sewn seam, pressed, and the plies cut across."""
    bench = scene.bench
    picture = Picture()
    assert seam.b is not None
    frame = side_by_side(bench, seam, Room(3, 3, 100, 46))
    picture.add(frame)
    if seam.press in ("open", "to a", "to b"):
        # What lies at the left above lies there below too, turned over top to foot.
        own = turned_about(seam) if len(seam.a.parts) <= len(seam.b.parts) else seam
        _pressed(scene, own, picture, whole=False)
    return picture


def turned_about(seam: Seam) -> Seam:
    """The same seam with its two runs changed over."""
    assert seam.b is not None and seam.b_mm is not None and seam.allow_b is not None
    press = {"to a": "to b", "to b": "to a"}.get(seam.press, seam.press)
    return replace(
        seam, a=seam.b, b=seam.a, press=press, allow_a=seam.allow_b, allow_b=seam.allow_a, a_mm=seam.b_mm, b_mm=seam.a_mm,
        sections=tuple(replace(s, a_mm=s.b_mm or 0.0, b_mm=s.a_mm) for s in seam.sections),
    )  # fmt: skip


def _pressed(scene: StepScene, seam: Seam, picture: Picture, whole: bool = True) -> None:
    """Below what is drawn: a place on the seam, opened out and pressed, and its plies cut across.

    `whole`: where both allowances lie to one side, the whole plies are shown beside it, to tell which side that is; or
    above it where they are strips, which are told by their lengths.
    """
    bench, aside = scene.bench, seam.press != "open"
    y = picture.bottom + (8.5 if aside else 6.0)  # room for two lines between the views
    beside = Room(1.5, y, 16, 25)
    room = Room(22.5, y, 47, 25) if aside and whole else Room(6, y, 54, 25)
    lying = lie_open(bench, seam, room, upright=whole)
    strips = whole and all(is_strip(bench, copy, at) for copy, at in lying.at.items())
    if strips:
        beside = Room(3, y, 100, 7)
        y += 10.0
        room = replace(room, y=y)
    second = opened(bench, seam, lying, room, seam.press)
    if whole and (aside or strips):
        picture.add(whole_beside(bench, lying, beside, second))
    picture.add(second)
    right = (seam.press == "to a") == (lying.hand > 0)
    section = cut.pressed_aside(right, 32.0 if whole else 40.0) if aside else cut.pressed_open()
    ends = (lying.a, lying.b) if lying.hand < 0 else (lying.b, lying.a)
    names = short_title(bench, ends[0].copy), short_title(bench, ends[1].copy)
    add_named_ends(scene, picture, section, 73 if aside and whole else 65.5, y + 10, names)


def _long_seam(scene: StepScene, seams: list[Seam]) -> Picture:
    """A seam that runs through several pieces, in the round, wrong side out."""
    bench = scene.bench
    picture = Picture()
    seam = one_side(seams)
    if _left_to_right(bench, seam):
        return _plain_join(scene, [seam], seam, around=ROUND_CROTCH)
    round_it = inside_out(bench, seams) if _shared_pieces(bench, seam) else None
    if round_it is None:
        return _chains_apart(scene, seam) if _chains_unlike(bench, seam) else _plain_join(scene, seams, seam)
    frame = fit_frame(grown(round_it.box, 6.0), 74, 54, complex(3, 3))
    round_it.draw(frame)
    top = round_it.top
    outline = bench.stitch_line(top).placed(round_it.at[top])
    body = polygon(outline)
    spot = body.representative_point()
    frame.label(side_words(bench, top, round_it.at[top]), complex(spot.x, spot.y), outline)
    for copy, area in list(round_it.sleeves.items())[:1]:
        spot = area.difference(body).representative_point()
        frame.label(short_title(bench, copy), complex(spot.x, spot.y), None)
    picture.add(frame)
    stretch = _between_two(seam)
    if seam.press in ("open", "to a", "to b") and stretch is not None:
        _pressed(scene, stretch, picture)
    return picture


def _left_to_right(bench: Bench, seam: Seam) -> bool:
    """Whether the same pieces of the left and the right are sewn to each other, one put into the other, as legs are."""
    assert seam.b is not None
    pairs = list(zip(seam.a.parts, seam.b.parts, strict=False))
    return len(seam.a.parts) == len(seam.b.parts) and all(
        a.copy != b.copy and bench.copies[a.copy].piece.key == bench.copies[b.copy].piece.key
        for a, b in pairs
    )


def _shared_pieces(bench: Bench, seam: Seam) -> bool:
    """Whether a piece lies on both sides of a seam, as a sleeve or the two legs do: it closes something round."""
    assert seam.b is not None
    mine, theirs = ({bench.copies[p.copy].piece.name for p in run.parts} for run in (seam.a, seam.b))
    return bool(mine & theirs)


def _chains_unlike(bench: Bench, seam: Seam) -> bool:
    """Whether two chains, each opened out, do not lie on each other, as where darts have bent one of them."""
    assert seam.b is not None
    if any(bench.folds.get(p.copy) for p in (*seam.a.parts, *seam.b.parts)):
        return True
    placed = []
    for run in (seam.a, seam.b):
        at = chain_beside(bench, run, bench.done, Placement.IDENTITY)
        placed.append(np.array([at[c].apply(z) for c, z in bench.sewn_points(run, 25) if c in at]))
    a, b = placed
    if len(a) != len(b):
        return True
    laid = fit_rigid(b, a, True)
    return max(abs(laid.apply(complex(y)) - x) for x, y in zip(a, b, strict=True)) > UNLIKE


def _chains_apart(scene: StepScene, seam: Seam) -> Picture:
    """Both chains beside each other, opened out, the row on each; then a place on the sewn seam, pressed."""
    assert seam.b is not None
    picture = Picture()
    frame, _ = pieces_with_edges(scene.bench, [seam.a, seam.b], Room(3, 5, 100, 44))
    picture.add(frame)
    picture.bottom += 12.0  # room for the words between the two views
    stretch = _between_two(seam)
    if seam.press in ("open", "to a", "to b") and stretch is not None:
        _pressed(scene, stretch, picture)
    return picture


def _between_two(seam: Seam) -> Seam | None:
    """The first stretch of a long seam in which one copy meets another, not itself as a sleeve does."""
    assert seam.b is not None
    for a, b in zip(seam.a.parts, seam.b.parts, strict=False):
        if a.copy != b.copy:
            return replace(
                seam, a=Run(seam.a.text, (a,)), b=Run(seam.b.text, (b,)), a_mm=abs(a.end - a.start)
            )
    return None
