"""Pictures of a bound slit: the row round it and the cut; its edges spread on the strip; the strip turned; the slit shut."""

from __future__ import annotations

from booklet.drawing import look
from booklet.model import Opening, Part
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, common, grown, on_grain
from booklet.pictures.canvas import Box, Frame, Picture, fit_frame
from booklet.pictures.plies import short_title
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene, add_section
from booklet.sewing.checks_placket import above_slit, cut_size, finished_width

BESIDE = 34.0  # mm of cloth shown beside the slit
ABOVE = 16.0
AT_FOOT = 1.5  # mm from the sleeve's edge to the row in the middle of the strip


def draw_placket(scene: StepScene) -> Picture | None:
    bench = scene.bench
    if "over" in scene.spec:
        return draw_placket_two(scene)
    key, _, name = str(scene.spec["slit"]).partition(".")
    found = [
        (c.id, o)
        for c in bench.copies.values()
        if c.piece.name == key and c.host is None
        for o in c.openings
        if o.name == name
    ]
    strips = [c for c in bench.copies.values() if c.piece.name == str(scene.spec["with"]) and c.host is None]
    if not found or not strips:
        return None
    host, slit = next((f for f in found if bench.copies[f[0]].side == "right"), found[0])
    seam = (scene.numbers or {})["seam"]
    _, wide = cut_size(strips[0])
    picture = Picture()
    picture.add(_cut(scene, host, slit, Room(3, 4, 34, 44)))
    spread = _spread(scene, host, slit, strips[0].id, seam, wide, Room(42, 6, 60, 26))
    picture.add(spread)
    names = {"cloth": short_title(bench, host), "binding": short_title(bench, strips[0].id)}
    y = max(picture.bottom, 48.0) + 5
    picture.add(_shut(scene, host, slit, (wide - 2 * seam) / 2, Room(3, y, 34, 36)))
    add_section(picture, cut.binding_turned(False, scene.mm((wide - 2 * seam) / 2)), 54, y + 6, names)
    return picture


def slit_at(bench: Bench, part: Part, at_start: bool) -> Opening | None:
    """The slit at which a part of a run begins or ends."""
    z = bench.half(part).edge.path.point(part.start if at_start else part.end)
    return next((o for o in bench.copies[part.copy].openings if abs(o.at - z) < 0.5), None)


def _upright(bench: Bench, host: str, slit: Opening) -> tuple[Placement, complex, complex]:
    """The piece turned so that the slit runs straight up from its edge."""
    at = on_grain(bench.copies[host])
    way = at.direction(slit.foot - slit.at)
    at = at.then(Placement(-1j * abs(way) / way))
    return at, at.apply(slit.at), at.apply(slit.foot)


def _cut_edge(cloth: Path, a: complex) -> complex:
    """Straight below a point on the stitch line: the cut edge."""
    return a + 1j * min((s for s, _ in Path.line(a, a + 60j).crossings(cloth)), default=0.0)


def _window(
    bench: Bench, host: str, at: Placement, a: complex, f: complex
) -> tuple[float, float, float, float]:
    cloth = grown(bench.cut_line(host).placed(at).bbox, 3.0)
    return common((a.real - BESIDE, f.imag - ABOVE, a.real + BESIDE, a.imag + 24), cloth)


def _cut(scene: StepScene, host: str, slit: Opening, room: Room) -> Frame:
    bench = scene.bench
    at, a, f = _upright(bench, host, slit)
    frame = fit_frame(_window(bench, host, at, a, f), room.width, room.height, room.corner)
    cloth = bench.cut_line(host).placed(at)
    frame.ply(cloth, look.RIGHT_SIDE, of=short_title(bench, host))
    foot = _cut_edge(cloth, a)
    half = max(slit.mouth / 2, 1.0)
    for hand in (-1, 1):
        frame.line(Path.polyline([foot + hand * half, a + hand * half, f + hand * 0.6]), look.SEW_NOW, "seam")
    frame.line(Path.line(foot, f + 2j), look.CUT, "slit")
    frame.measure(a, f, scene.mm(slit.depth), BESIDE * 0.62 * frame.scale, beside=1 + 0j)
    frame.label("cut", f + (a - f) * 0.45, None, dot=False)
    frame.label(f"{short_title(bench, host)},\nright side up", f + (a - f) * 0.25 + BESIDE * 0.6, None)
    return frame


def _spread(
    scene: StepScene, host: str, slit: Opening, strip: str, seam: float, wide: float, room: Room
) -> Frame:
    """The strip below with its right side up, the slit's edges on it, drawn shorter than they are."""
    bench = scene.bench
    long = 2 * slit.depth
    high = wide * 2.0
    box = (-8.0, -high, long + 8, wide + 4)
    frame = fit_frame(box, room.width, room.height, room.corner)
    frame.ply(
        Path.polyline([0j, complex(long), complex(long, wide), complex(0, wide)], closed=True),
        look.RIGHT_SIDE,
    )
    middle = long / 2
    # The cloth hangs upwards; its edge leaves the strip's towards the foot of the slit.
    edge = [0j, complex(middle, seam - AT_FOOT), complex(long)]
    over = [complex(long, -high * 1.2), complex(0, -high * 1.2)]
    lower = [complex(z.real, wide - z.imag) for z in edge]
    frame.ply(Path.polyline([*lower, *over], closed=True), look.RIGHT_SIDE, of=short_title(bench, host))
    frame.line(Path.line(complex(0, wide - seam), complex(long, wide - seam)), look.SEW_NOW, "seam")
    frame.label(
        f"{short_title(bench, host)}, spread,\nright side up", complex(long * 0.25, -high * 0.4), None
    )
    frame.label(f"{short_title(bench, strip)} below", complex(middle, wide - 0.6), None)
    return frame


def _shut(scene: StepScene, host: str, slit: Opening, finished: float, room: Room) -> Frame:
    """The finished slit from the right side: its strip lies below the part that laps over, from both sides."""
    bench = scene.bench
    at, a, f = _upright(bench, host, slit)
    frame = fit_frame(_window(bench, host, at, a, f), room.width, room.height, room.corner)
    cloth = bench.cut_line(host).placed(at)
    frame.ply(cloth, look.RIGHT_SIDE, of=short_title(bench, host))
    foot = _cut_edge(cloth, a)
    frame.line(Path.line(foot, f), look.CUT, "slit")
    over = bench.copies[host].by_name[dict(scene.ends)[host]].edge.path.placed(at)
    back = -1.0 if over.point(over.length / 2).real > a.real else 1.0  # away from it
    frame.line(Path.polyline([foot - finished * back, f - finished * back, f]), look.HIDDEN, "under")
    slant = Path.line(f - 1.0 * back, f - finished * back + 5j)
    frame.line(slant, look.SEW_NOW, "seam")
    frame.label("strip below", f + (a - f) * 0.55 - finished * back, None, dot=False)
    return frame


# ---------------------------------------------------------------- two strips

WIDER = 64.0  # mm of cloth shown beside a slit with two strips


def draw_placket_two(scene: StepScene) -> Picture | None:
    """The cut; both strips sewn to its edges, seen on the wrong side; the over one turned to the right side and sewn round."""
    bench = scene.bench
    key, _, name = str(scene.spec["slit"]).partition(".")
    plies = [c for c in bench.copies.values() if c.piece.name == key and c.host is None]
    found = [(c.id, o) for c in plies for o in c.openings if o.name == name]
    over, under = (
        next(
            (c for c in bench.copies.values() if c.piece.name == str(scene.spec[k]) and c.host is None), None
        )
        for k in ("over", "under")
    )
    if not found or over is None or under is None:
        return None
    host, slit = next((f for f in found if bench.copies[f[0]].side == "right"), found[0])
    picture = Picture()
    picture.add(_cut_corners(scene, host, slit, Room(3, 4, 30, 46)))
    picture.add(_strips_sewn(scene, host, slit, over.id, under.id, Room(40, 4, 62, 46)))
    picture.add(_over_sewn(scene, host, slit, over.id, under.id, Room(22, picture.bottom + 5, 62, 50)))
    return picture


def _sight(bench: Bench, host: str, at: Placement, a: complex, f: complex, above: float) -> Box:
    cloth = grown(bench.cut_line(host).placed(at).bbox, 3.0)
    return common((a.real - WIDER, f.imag - above - 12, a.real + WIDER, a.imag + 24), cloth)


def _cut_corners(scene: StepScene, host: str, slit: Opening, room: Room) -> Frame:
    """The line, and the two slanting cuts that leave a triangle at its end."""
    bench = scene.bench
    at, a, f = _upright(bench, host, slit)
    box = _sight(bench, host, at, a, f, ABOVE)
    frame = fit_frame(
        (a.real - BESIDE, box[1], a.real + BESIDE, box[3]), room.width, room.height, room.corner
    )
    cloth = bench.cut_line(host).placed(at)
    frame.ply(cloth, look.RIGHT_SIDE)
    half = slit.mouth / 2
    y = f + 1j * half
    frame.line(Path.line(_cut_edge(cloth, a), y), look.CUT, "slit")
    for hand in (-1, 1):
        frame.line(Path.line(y, f + hand * half), look.CUT, "slit")
    frame.measure(a, f, scene.mm(slit.depth), BESIDE * 0.62 * frame.scale, beside=1 + 0j)
    frame.label("cut", f + (a - f) * 0.5, None, dot=False)
    frame.label(f"{short_title(bench, host)},\nright side up", f + (a - f) * 0.3 - BESIDE * 0.6, cloth)
    return frame


def _strips_sewn(scene: StepScene, host: str, slit: Opening, over: str, under: str, room: Room) -> Frame:
    """The wrong side of the piece: each strip lies on it, right side down, its raw edge level with the slit's."""
    bench = scene.bench
    at, _, _ = _upright(bench, host, slit)
    at = at.then(Placement.mirror(0j, 1j))
    a, f = at.apply(slit.at), at.apply(slit.foot)
    longest = max(cut_size(bench.copies[c])[0] for c in (over, under))
    cloth = bench.cut_line(host).placed(at)
    foot = _cut_edge(cloth, a)
    frame = fit_frame(
        _sight(bench, host, at, a, f, max(0.0, longest - abs(foot - f))), room.width, room.height, room.corner
    )
    frame.ply(cloth, look.WRONG_SIDE)
    # Seen on the wrong side of a right sleeve the back lies to the right of its slit.
    back = 1.0 if bench.copies[host].side == "right" else -1.0
    half = slit.mouth / 2
    for copy, hand in ((under, back), (over, -back)):
        long, wide = cut_size(bench.copies[copy])
        strip = Path.polyline(
            [foot, foot - 1j * long, foot - 1j * long + hand * wide, foot + hand * wide], closed=True
        )
        frame.ply(strip, look.WRONG_SIDE)
        frame.line(Path.line(foot + hand * half, f + hand * half), look.SEW_NOW, "seam")
        frame.label(side_of_strip(bench, copy), foot - 1j * long * 0.45 + hand * wide * 0.6, strip)
    frame.line(Path.line(foot, f), look.CUT, "slit")
    frame.label(
        f"{short_title(bench, host)},\nwrong side up",
        complex(a.real + back * (WIDER - 6), f.imag + 14),
        cloth,
    )
    return frame


def side_of_strip(bench: Bench, copy: str) -> str:
    return f"{short_title(bench, copy)},\nwrong side up"


def _over_sewn(scene: StepScene, host: str, slit: Opening, over: str, under: str, room: Room) -> Frame:
    """The right side: the over strip covers slit and under strip; its row runs up, round the top, down and across."""
    bench = scene.bench
    at, a, f = _upright(bench, host, slit)
    half = slit.mouth / 2
    wide, narrow = (finished_width(bench.copies[c], half) for c in (over, under))
    above = above_slit(bench.copies[over], bench.copies[host], slit, half)
    cloth = bench.cut_line(host).placed(at)
    frame = fit_frame(_sight(bench, host, at, a, f, above), room.width, room.height, room.corner)
    frame.ply(cloth, look.RIGHT_SIDE)
    foot = _cut_edge(cloth, a)
    back = -1.0 if bench.copies[host].side == "right" else 1.0
    row = foot - back * half  # at the front edge of the slit
    up = -1j * (abs(foot - f) + above)
    pointed = str(scene.spec.get("top", "pointed")) == "pointed"
    tip = [row + up + back * wide / 2 + 0j] if pointed else []
    drop = 1j * wide / 2 if pointed else 0j
    strip = Path.polyline(
        [row, row + up + drop, *tip, row + up + drop + back * wide, row + back * wide], closed=True
    )
    frame.ply(strip, look.RIGHT_SIDE)
    inner = 1.5 * back
    end = complex(0.0, f.imag - row.imag)
    rim = complex(0.0, 1.5)
    frame.line(
        Path.polyline(
            [row + inner, row + up + drop + inner + rim * 0.6, *[t + rim * 1.4 for t in tip],
             row + up + drop + back * wide - inner + rim * 0.6, row + end + back * wide - inner, row + end + inner]
        ),
        look.SEW_NOW,
        "seam",
    )  # fmt: skip
    low = foot + back * half - back * narrow
    frame.line(Path.polyline([low, low + end, low + end + back * narrow]), look.HIDDEN, "under")
    frame.measure(
        f, f - 1j * above, scene.mm(above), -back * (wide - half + 5) * frame.scale, beside=back + 0j
    )
    frame.label(f"{short_title(bench, over)},\nright side up", row + up * 0.3 + back * wide * 0.7, strip)
    frame.label(f"{short_title(bench, under)}\nbelow", low + end * 0.4, None)
    return frame
