"""Interfacing above the pieces that it is fused to."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.paths import Path, Placement
from booklet.pictures.bench import box_of, on_grain
from booklet.pictures.canvas import Picture, fit_frame, polygon
from booklet.pictures.plies import (
    short_title,
    side_words,
)
from booklet.pictures.step_scene import StepScene


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
        frame.ply(bench.cut_line(copy).placed(placing), look.WRONG_SIDE, of=short_title(bench, copy))
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
