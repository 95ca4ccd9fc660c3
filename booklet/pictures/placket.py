"""Pictures of a bound slit: the row round it and the cut; its edges spread on the strip; the strip turned; the slit shut."""

from __future__ import annotations

from booklet.drawing import look
from booklet.model import Opening, Part
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench, common, grown, on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame
from booklet.pictures.plies import short_title
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene, add_section
from booklet.sewing.checks_placket import cut_size

BESIDE = 34.0  # mm of cloth shown beside the slit
ABOVE = 16.0
AT_FOOT = 1.5  # mm from the sleeve's edge to the row in the middle of the strip


def draw_placket(scene: StepScene) -> Picture | None:
    bench = scene.bench
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
    frame.ply(cloth, look.RIGHT_SIDE)
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
    frame.ply(Path.polyline([*lower, *over], closed=True), look.RIGHT_SIDE)
    frame.line(Path.line(complex(0, wide - seam), complex(long, wide - seam)), look.SEW_NOW, "seam")
    frame.label(
        f"{short_title(bench, host)}, spread,\nright side up", complex(long * 0.25, -high * 0.4), None
    )
    frame.label(f"{short_title(bench, strip)} below", complex(middle, wide - 0.6), None)
    return frame


def _shut(scene: StepScene, host: str, slit: Opening, finished: float, room: Room) -> Frame:
    """The finished slit from the right side: its strip lies below the front part, from both sides."""
    bench = scene.bench
    at, a, f = _upright(bench, host, slit)
    frame = fit_frame(_window(bench, host, at, a, f), room.width, room.height, room.corner)
    cloth = bench.cut_line(host).placed(at)
    frame.ply(cloth, look.RIGHT_SIDE)
    foot = _cut_edge(cloth, a)
    frame.line(Path.line(foot, f), look.CUT, "slit")
    back = -1.0 if bench.copies[host].side == "right" else 1.0
    frame.line(Path.polyline([foot - finished * back, f - finished * back, f]), look.HIDDEN, "under")
    slant = Path.line(f - 1.0 * back, f - finished * back + 5j)
    frame.line(slant, look.SEW_NOW, "seam")
    frame.label("strip below", f + (a - f) * 0.55 - finished * back, None, dot=False)
    return frame
