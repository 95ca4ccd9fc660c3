"""Copies in a row, each with a line beside its edge."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from booklet.drawing import look
from booklet.model import Part, Run
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench, box_of, common, grown
from booklet.pictures.canvas import Box, Frame, fit_frame, polygon
from booklet.pictures.hanging import Spread, draw_spread, spreads, surface_of
from booklet.pictures.plies import (
    inner_point,
    run_box,
    side_words,
)
from booklet.pictures.scenes import Room

FARTHEST = 45.0  # mm: the widest allowance across which a row is led out to the raw end


def pieces_with_edges(
    bench: Bench,
    runs: Sequence[Run],
    room: Room,
    *,
    offset: float = 0.0,
    inside: float | None = None,
    wrong_side: bool = False,
    whole: bool = False,
    seam: bool = True,
) -> tuple[Frame, dict[str, Placement]]:
    """The copies of some runs in a row, right (or wrong) side up, each run drawn as the line being sewn.

    What hangs together by earlier seams lies opened out as one thing. `offset` moves that line off the stitch line,
    into the allowance where positive; `inside` instead lays it so far inside the cut edge, out to the raw ends.
    """
    groups = spreads(bench, [p.copy for r in runs for p in r.parts], wrong_side)
    at: dict[str, Placement] = {}
    x = 0.0
    boxes: list[Box] = []
    placed: list[Spread] = []
    for group in groups:
        tall = _cloth_box(bench, group)
        if len(groups) == 1 and tall[3] - tall[1] > 1.8 * (tall[2] - tall[0]):  # a long piece lies across
            group = group.then(Placement(1j))
        cloth = _cloth_box(bench, group)
        mine = [r for r in runs if any(p.copy in group.at for p in r.parts)]
        edge = run_box(bench, mine, group.at)
        box = cloth if whole else common(grown(edge, 40.0, 40.0), grown(cloth, 3.0))
        if not whole and (box[3] - box[1]) > 0.8 * (cloth[3] - cloth[1]):
            box = cloth
        group = group.then(Placement.move(complex(x - box[0], -box[1])))
        placed.append(group)
        at |= group.at
        boxes.append((x, 0.0, x + box[2] - box[0], box[3] - box[1]))
        x = boxes[-1][2] + 30.0
    box = grown((0.0, 0.0, boxes[-1][2], max(b[3] for b in boxes)), 3.0)
    frame = fit_frame(box, room.width, room.height, room.corner)
    shown: dict[str, Frame] = {}  # each group in a window of its own
    for group, own in zip(placed, boxes, strict=True):
        part = Frame(grown(own, 3.0), frame.scale, frame.on_paper(complex(own[0] - 3, own[1] - 3)))
        draw_spread(part, bench, group)
        part.waves()
        frame.board.add(*part.board.items)
        frame.labels += part.labels
        part.labels.clear()
        shown |= dict.fromkeys(group.copies, part)
    if seam:
        for run in runs:
            for p in run.parts:
                if inside is None:
                    line = moved(bench, p, at[p.copy], offset)
                else:
                    line = beside_cut(bench, p, inside).placed(at[p.copy])
                frame.line(line, look.SEW_NOW, "seam")
    told: set[str] = set()
    for group in placed:
        for copy in group.copies:
            words, spot = side_words(bench, copy, at[copy]), inner_point(bench, copy, at[copy], shown[copy])
            if spot is None or (len(group.copies) > 1 and words in told):
                continue
            told.add(words)
            shown[copy].label(words, spot, surface_of(bench, copy, at[copy], group.copies))
            frame.labels.append(shown[copy].labels.pop())
    return frame, at


def _cloth_box(bench: Bench, group: Spread) -> Box:
    return box_of([bench.cut_line(c).placed(p) for c, p in group.at.items()])


def moved(bench: Bench, part: Part, at: Placement, offset: float) -> Path:
    """A part's stitch line moved outwards (into the allowance) by `offset`, where it lies."""
    path = bench.part_path(part)
    if abs(offset) < 1e-6:
        return path.placed(at)
    pts = path.flatten(0.1)
    way = np.gradient(pts)
    sign = bench.copies[part.copy].sign * (-1 if part.backwards else 1)
    return Path.polyline(pts + way / np.abs(way) * -1j * sign * offset).placed(at)


def beside_cut(bench: Bench, part: Part, inside: float) -> Path:
    """A row so far inside a part's cut edge, mm, in the copy's frame; at the edge's own ends it runs out to the raw ends.

    Not where the edge round the corner has been joined: there the row goes on over the seam.
    """
    edge = bench.half(part).edge
    row = moved(bench, part, Placement.IDENTITY, edge.allow - inside)
    low, high = sorted((part.start, part.end))
    ends = (low < 0.05 and _free(bench, part, -1), high > edge.length - 0.05 and _free(bench, part, 1))
    before, after = ends[::-1] if part.backwards else ends
    points = [complex(z) for z in row.flatten(0.1)]
    if before:
        points = [*raw_end(bench, part.copy, points[0], points[0] - points[1]), *points]
    if after:
        points += raw_end(bench, part.copy, points[-1], points[-1] - points[-2])
    return Path.polyline(points)


def raw_end(bench: Bench, copy: str, z: complex, way: complex) -> list[complex]:
    """Where a row that comes to z, in the copy's frame, meets the cut edge if led on that way; none if that is far off."""
    end = z + way / abs(way) * FARTHEST
    met = shapely.LineString([(z.real, z.imag), (end.real, end.imag)]).intersection(
        polygon(bench.cut_line(copy)).exterior
    )
    near = [complex(p.x, p.y) for p in getattr(met, "geoms", [met]) if p.geom_type == "Point"]
    return sorted(near, key=lambda w: abs(w - z))[:1]


def _free(bench: Bench, part: Part, step: int) -> bool:
    """Whether the edge before (-1) or after (1) a part's own has not been joined yet."""
    ring = bench.copies[part.copy].edges
    n = next(k for k, h in enumerate(ring) if h.name == part.edge)
    beyond = (part.copy, ring[(n + step) % len(ring)].name)
    joined = [p for s in bench.done if s.kind == "join" and s.b is not None for p in (*s.a.parts, *s.b.parts)]
    return beyond not in [(p.copy, p.edge) for p in joined]
