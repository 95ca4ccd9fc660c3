"""Facings laid on, and the row that holds them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.drawing import look
from booklet.model import Part, Run
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, box_of, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame
from booklet.pictures.chains import stops_along
from booklet.pictures.facing_ends import draw_folded_host, draw_turned_end
from booklet.pictures.folding import Along, DartClosing
from booklet.pictures.hanging import Spread, body_of, open_seams, spreads, tie_open_seams
from booklet.pictures.plies import lay_cloth, short_title
from booklet.pictures.scenes import label_plies
from booklet.pictures.step_scene import StepScene, add_section, joins


def draw_face(scene: StepScene) -> Picture | None:
    """The facings right side down on the work, both opened out where they hang together; the plies cut across."""
    seams = joins(scene)
    if not seams:
        return None
    seam = seams[0]
    bench = scene.bench
    assert seam.b is not None
    picture = Picture()
    pairs = list(zip(seam.a.parts, seam.b.parts, strict=False))
    hosts = dict.fromkeys((a.copy, b.copy) for a, b in pairs)
    facings = [facing for _, facing in hosts]
    groups = spreads(bench, [host for host, _ in hosts], near=seam.a)
    room = 100.0 / len(groups) - (4 if len(groups) > 1 or len(hosts) > 1 else 30)
    x = 3.0
    told: set[str] = set()
    ends = dict(scene.ends)
    for group in groups:
        on: dict[str, tuple[str, Placement]] = {}  # facing: its host, and where it lies
        for host, facing in hosts:
            laid = bench.lay(facing, host, group.at[host], [seam], True) if host in group.at else None
            if laid is not None:
                on[facing] = host, laid
        if not on:
            continue
        bench = _along_darts(bench, pairs, group, on)
        box = grown(box_of([bench.cut_line(f).placed(p) for f, (_, p) in on.items()]), 26.0)
        box = common(box, grown(box_of([bench.cut_line(h).placed(p) for h, p in group.at.items()]), 3.0))
        frame = fit_frame(box, room, 54.0, complex(x, 10 if ends else 4))  # room for one label more
        for host, at in group.at.items():
            draw_folded_host(frame, bench, host, at, body_of(bench, host, at, group.copies))
        for facing, (host, laid) in on.items():
            run = Run("", tuple(b for a, b in pairs if a.copy == host and b.copy == facing))
            paths = bench.run_path(run, {facing: laid})
            body = body_of(bench, facing, laid, facings)
            end = ends.get(facing)
            if end is None:
                lay_cloth(frame, bench, facing, laid, body)
            else:
                clear = (scene.numbers or {})["clear"]
                sewn = draw_turned_end(frame, bench, facing, laid, body, end, clear, run, told)
                paths = [sewn] if sewn is not None else []
            for part, path in zip(run.parts, paths, strict=False):
                _clips(frame, bench, part, {facing: laid}, path)
            for path in paths:
                frame.line(path, look.SEW_NOW, "seam")
        over = {f: p for f, (_, p) in on.items()}
        tie_open_seams(frame, bench, Spread(over, open_seams(bench, over)))
        for name in scene.openings:
            for host, at in group.at.items():
                _slit(frame, bench, host, at, name)
        lying = {**group.at, **over}
        label_plies(frame, bench, lying, tuple(lying), told)
        picture.add(frame)
        x += room + 6
    faced_section = cut.faced(bool(bench.fused), scene.mm(seam.allow_a))
    titles = {
        "facing": f"facing{', interfacing outside' if bench.fused else ''}",
        "parent": short_title(bench, pairs[0][0].copy),
    }
    if len(hosts) > 1:
        add_section(picture, faced_section, 22, picture.bottom + (18 if ends else 6), titles)
    else:
        add_section(picture, faced_section, 58, 30, titles)
    return picture


def _along_darts(
    bench: Bench, pairs: Sequence[tuple[Part, Part]], group: Spread, on: Mapping[str, tuple[str, Placement]]
) -> Bench:
    """The bench with each facing bent along the edge of its host, where darts are drawn closed: so they meet."""
    folds = dict(bench.folds)
    for facing, (host, laid) in on.items():
        mine = [(a, b) for a, b in pairs if (a.copy, b.copy) == (host, facing)]
        if len(mine) == 1 and any(isinstance(f, DartClosing) for f in folds.get(host, ())):
            own = bench.part_path(mine[0][1])
            edge = bench.part_path(mine[0][0]).placed(group.at[host]).placed(laid.inverse)
            folds[facing] = (Along(own, edge),)
    return replace(bench, folds=folds)


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
    bench = _along_darts(bench, [(a, b)], Spread({host: flip}, ()), {facing: (host, laid)})
    box = grown(box_of([bench.stitch_line(facing).placed(laid)]), 16.0)
    frame = fit_frame(box, 62, 44, complex(3, 4))
    frame.ply(bench.stitch_line(host).placed(flip), look.WRONG_SIDE, of=short_title(bench, host))
    frame.ply(bench.stitch_line(facing).placed(laid), look.RIGHT_SIDE, of=short_title(bench, facing))
    run = Run("", tuple(p for p in seam.b.parts if p.copy == facing))
    for part in run.parts:
        path = bench.part_path(part)
        own = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
        pts = path.flatten(0.1)
        inner = [path.point(s) + path.tangent(s) * 1j * own * 2.0 for s in stops_along(path, len(pts))]
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
