"""What stands at a slit: the loop, and the button that it takes."""

from __future__ import annotations

from booklet.drawing import look
from booklet.drawing.display import PathItem
from booklet.paths import Path
from booklet.pictures import sections as cut
from booklet.pictures.bench import on_grain
from booklet.pictures.canvas import Frame, Picture, fit_frame
from booklet.pictures.plies import short_title, side_words
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene, add_section


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
            frame.ply(outline.placed(at), look.RIGHT_SIDE, of=short_title(bench, copy.id))
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
