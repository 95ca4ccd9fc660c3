"""Tacking: the inside of the garment with the facing turned in, the stitches along its edge or in places, cut across."""

from __future__ import annotations

from booklet.drawing import look
from booklet.drawing.display import PathItem
from booklet.model import Part, Run, Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import box_of, common, grown, on_grain
from booklet.pictures.canvas import Picture, fit_frame
from booklet.pictures.plies import short_title
from booklet.pictures.rows import pieces_with_edges
from booklet.pictures.scenes import Room, label_plies
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section
from booklet.pictures.step_scene import StepScene, add_section
from booklet.pictures.topstitch import inwards
from booklet.sewing.operations.tack import in_places
from booklet.sewing.operations.understitch import TACK

BESIDE = 1.5  # mm inside the edge, where the stitches are drawn


def draw_tack(scene: StepScene) -> Picture | None:
    if not scene.seams:
        return None
    seam = next((s for s in scene.seams if s.side in ("right", "whole")), scene.seams[0])
    found = _turned_in(scene, seam)
    picture = Picture()
    if found is None:
        runs = [s.a for s in scene.seams if s.side in (seam.side, "whole")]
        frame, _ = pieces_with_edges(scene.bench, runs, Room(3, 4, 96, 40), offset=-BESIDE, wrong_side=True)
        picture.add(frame)
        return picture
    host, part, faced = found
    bench, inner = scene.bench, part.copy
    flip = on_grain(bench.copies[host]).then(Placement.mirror(0j, 1j))
    laid = bench.lay(inner, host, flip, [faced], face_to_face=True)
    if laid is None:
        return None
    box = grown(box_of([bench.stitch_line(inner).placed(laid)]), 22.0)
    box = common(
        box, grown(box_of([bench.stitch_line(c).placed(p) for c, p in ((host, flip), (inner, laid))]), 4.0)
    )
    frame = fit_frame(box, 58, 46, complex(3, 4))
    frame.ply(bench.stitch_line(host).placed(flip), look.WRONG_SIDE, of=short_title(bench, host))
    frame.ply(bench.stitch_line(inner).placed(laid), look.RIGHT_SIDE, of=short_title(bench, inner))
    for s in scene.seams:
        for p in s.a.parts:
            if p.copy == inner:
                line = _place(scene, p, faced) if in_places(s) else inwards(bench, p, BESIDE)
                frame.line(line.placed(laid), look.SEW_NOW, "seam")
    label_plies(frame, bench, {host: flip, inner: laid}, (host, inner))
    picture.add(frame)
    to_seam = any(s.step == str(scene.spec.get("to")) for s in bench.done)
    titles = {"parent": short_title(bench, host), "facing": short_title(bench, inner)}
    if to_seam:
        titles["allowance"] = "allowances"
    add_section(picture, tacked(to_seam), 66, 14, titles)
    return picture


def _turned_in(scene: StepScene, seam: Seam) -> tuple[str, Part, Seam] | None:
    """The garment's copy, the tacked part and the seam that faces the one with the other: the longest part first."""
    for part in sorted(seam.a.parts, key=lambda p: -abs(p.end - p.start)):
        for done in scene.bench.done:
            if done.kind != "face" or done.b is None:
                continue
            for a, b in zip(done.a.parts, done.b.parts, strict=False):
                if b.copy == part.copy:
                    return a.copy, part, done
    return None


def _place(scene: StepScene, part: Part, faced: Seam) -> Path:
    """A short row over the seam's end that lies free, away from the faced edge."""
    bench = scene.bench
    path = bench.part_path(part)
    if path.length < TACK + 1.0:  # a place of its own on the edge
        return inwards(bench, part, BESIDE)
    own = [bench.part_path(p) for p in (faced.b or Run("", ())).parts if p.copy == part.copy]

    def far(z: complex) -> float:
        return min((abs(p.point(p.nearest(z)) - z) for p in own), default=0.0)

    long = min(TACK, path.length / 2)
    at_end = far(path.end) > far(path.start)
    return path.part(path.length - long, path.length) if at_end else path.part(0.0, long)


def tacked(to_allowances: bool, long: float = 34.0) -> Section:
    """Right side up: the facing turned inside, its free edge caught to allowances, or to a thread of the cloth."""
    low = 2.6 if not to_allowances else 4.6
    parent = bent([0j, complex(long, 0), complex(long, low / 2), complex(long - 5, low / 2)], 0.5)
    facing = bent(
        [complex(long - 20, low + 0.8), complex(long - 0.6, low + 0.8), complex(long - 0.6, low / 2 + 1.3),
         complex(long - 4, low / 2 + 1.3)],
        0.4,
    )  # fmt: skip
    plies = [SectionPly(parent, True), SectionPly(facing, False)]
    spots = {"parent": 1.2 + 0j, "facing": complex(long - 12, low + 0.8)}
    top = 0.1
    if to_allowances:
        top = THICK + 0.75
        plies.append(SectionPly(Path.line(complex(long - 26, top), complex(long - 13, top)), False))
        spots["allowance"] = complex(long - 25, top)
    items = draw_section(plies)
    x = long - 18.5
    stitch = Path.polyline([complex(x - 1.6, top), complex(x - 2.2, low + 0.2), complex(x, low + 1.0)])
    items.append(PathItem((stitch,), look.Stroke(1.7, look.ACCENT), None, "seam"))
    return Section(tuple(items), (0, -1.5, long + 1.5, low + 2.4), spots)
