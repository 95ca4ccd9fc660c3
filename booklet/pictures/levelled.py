"""The edge of a garment that has hung: one height above the floor, marked all along it."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Item, PathItem
from booklet.drawing.labels import Label
from booklet.paths import Path, Placement
from booklet.pictures.bench import box_of, grown
from booklet.pictures.canvas import Picture, fit_frame
from booklet.pictures.chains import stops_along
from booklet.pictures.hanging import draw_spread, spreads, surface_of
from booklet.pictures.plies import inner_point, side_words
from booklet.pictures.step_scene import StepScene, one_side

FLOOR = 11.0  # mm on paper from the lowest point of the edge to the floor


def draw_hang(scene: StepScene) -> Picture:
    """What is sewn together so far, hanging with its edge below; measures run up from the floor to the line that is marked."""
    bench, seam = scene.bench, one_side(list(scene.seams))
    group = spreads(bench, [p.copy for p in seam.a.parts], False)[0]
    parts = [p for p in seam.a.parts if p.copy in group.at]
    edge = [bench.part_path(p).placed(group.at[p.copy]) for p in parts]
    ends = [z for path in edge for z in (path.start, path.end)]
    a, b = max(((x, y) for x in ends for y in ends), key=lambda pair: abs(pair[1] - pair[0]))
    if abs(b - a) > 1e-6:
        group = group.then(Placement(abs(b - a) / (b - a)))
    cloth = box_of([bench.cut_line(c).placed(at) for c, at in group.at.items()])
    lines = [bench.part_path(p).placed(group.at[p.copy]) for p in parts]
    box = box_of(lines)
    if (box[1] + box[3]) / 2 < (cloth[1] + cloth[3]) / 2:  # the edge hangs below
        group = group.then(Placement(-1 + 0j))
        cloth = box_of([bench.cut_line(c).placed(at) for c, at in group.at.items()])
        lines = [bench.part_path(p).placed(group.at[p.copy]) for p in parts]
    frame = fit_frame(grown(cloth, 3.0), 84.0, 36.0, complex(10, 4))
    draw_spread(frame, bench, group)
    spots = []
    for line in lines:
        frame.line(line, look.ACTION, "mark")
        spots += [frame.on_paper(line.point(s)) for s in stops_along(line, 5)[1::2]]
    told: set[str] = set()
    for copy, at in group.at.items():
        words, spot = side_words(bench, copy, at), inner_point(bench, copy, at, frame)
        if spot is not None and words not in told:
            told.add(words)
            frame.label(words, spot, surface_of(bench, copy, at, group.copies))
    picture = Picture()
    picture.add(frame)
    x0, _, x1, y1 = frame.paper_box
    floor = y1 + FLOOR
    picture.labels.append(Label("floor", complex(x0 + 2, floor), (), False))
    items: list[Item] = [
        PathItem((Path.line(complex(x0, floor), complex(x1, floor)),), look.CUT, None, "floor")
    ]
    for z in spots:
        items += marks.action_arrow(complex(z.real, floor), z, dot=False, role="height")
    picture.add_items(items, floor + 1.0)
    return picture
