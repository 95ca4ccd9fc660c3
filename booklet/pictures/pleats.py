"""Pleats on their piece, right side up: fold and placement lines, arrows from one to the other; and folded, cut across."""

from __future__ import annotations

import shapely

from booklet.drawing import look, marks
from booklet.drawing.display import PathItem
from booklet.paths import Path
from booklet.pictures.bench import grown, on_grain
from booklet.pictures.canvas import Picture, fit_frame, polygon
from booklet.pictures.plies import draw_copy, side_words
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section
from booklet.pictures.step_scene import StepScene, add_section
from booklet.sewing.operations.pleat import pleats_of

STEP = THICK + 0.35  # from ply to ply
DEPTH_SHOWN = 110.0  # mm of the piece below the edge
SHOWN = 3  # pleats of an even row that a frame shows


def draw_pleat(scene: StepScene) -> Picture | None:
    """The first pleats of each group on their piece, and how one of them lies when it is folded."""
    bench = scene.bench
    groups = pleats_of(bench.copies.values(), scene.spec)[:2]
    if not groups:
        return None
    picture = Picture()
    x, width = 3.0, 96.0 / len(groups) - 4
    for group in groups:
        copy = group.copies[0]
        at = on_grain(copy)
        outline = bench.cut_line(copy.id).placed(at)
        pleats = group.pleats[:SHOWN]
        lines = [(fold.placed(at), placement.placed(at)) for p in pleats for fold, placement in p.moves]
        near = [z for pair in lines for p in pair for z in (p.start, p.point(min(DEPTH_SHOWN, p.length)))]
        box = (
            min(z.real for z in near),
            min(z.imag for z in near),
            max(z.real for z in near),
            max(z.imag for z in near),
        )
        box, around = grown(box, 32.0), grown(outline.bbox, 3.0)
        box = (
            max(box[0], around[0]), max(box[1], around[1]), min(box[2], around[2]), min(box[3], around[3])
        )  # fmt: skip
        frame = fit_frame(box, width, 50, complex(x, 5))
        draw_copy(frame, bench, copy.id, at)
        for n, (fold, placement) in enumerate(lines):
            frame.line(fold, look.FOLD, "fold")
            frame.line(placement, look.SEW_NOW if group.sewn else look.LEADER, "placement")
            for share in (0.18, 0.62):
                a, b = (p.point(min(DEPTH_SHOWN, p.length) * share) for p in (fold, placement))
                start, tip = frame.on_paper(a), frame.on_paper(b)
                if abs(tip - start) > 3:
                    frame.board.add(*marks.action_arrow(start, tip))
            if n == 0:
                foot = [p.point(min(DEPTH_SHOWN, p.length) * 0.86) for p in (fold, placement)]
                frame.label("fold line", foot[0], None)
                frame.label("placement line" if group.one.kind != "tuck" else "meets here", foot[1], None)
        spot = polygon(outline).intersection(shapely.box(*box)).representative_point()
        frame.label(
            side_words(bench, copy.id, at), complex(spot.x, box[3] - (box[3] - box[1]) * 0.1), outline
        )
        picture.add(frame)
        x += width + 6
    kind = groups[0].one.kind
    add_section(
        picture, folded(kind, scene.mm(groups[0].one.deep)), 12, picture.bottom + 5, {"top": "right side"}
    )
    return picture


def folded(kind: str, deep: str) -> Section:
    """One pleat cut across, right side up, its fold towards the left where it has one way."""
    low, mid, top = 0.0, -STEP, -2 * STEP
    lines: dict[str, list[tuple[float, float]]] = {
        "knife": [(0, low), (24, low), (24, mid), (13, mid), (13, top), (44, top)],
        "tuck": [(0, low), (23, low), (23, mid), (12, mid), (12, top), (24.6, top), (24.6, low), (44, low)],
        "box": [(0, low), (17, low), (17, mid), (8, mid), (8, top), (38, top), (38, mid), (29, mid), (29, low), (46, low)],
        "inverted": [
            (0, top), (22.6, top), (22.6, mid), (13, mid), (13, low), (33, low), (33, mid), (23.4, mid), (23.4, top), (46, top)
        ],
    }  # fmt: skip
    line = bent([complex(*z) for z in lines[kind]], 0.6)
    items = draw_section([SectionPly(line, True)])
    a, b = {"knife": (13, 24), "tuck": (12, 23), "box": (8, 17), "inverted": (13, 22.6)}[kind]
    items += marks.measure_line(complex(a, top - 3.0), complex(b, top - 3.0), deep, 0.0, beside=-1j)
    if kind == "tuck":
        items.append(PathItem((Path.line(21.6 - 0.9j, 26.0 - 0.9j),), look.SEW_NOW, None, "seam"))
    return Section(
        tuple(items),
        (0, top - 9.0, 52, 2.0),
        {"top": complex(35 if kind == "box" else 40, top if kind != "tuck" else low)},
    )
