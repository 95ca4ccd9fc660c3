"""Strips folded lengthwise and sewn to tubes."""

from __future__ import annotations

import shapely

from booklet.drawing import look
from booklet.paths import Path, Placement
from booklet.pictures import sections as cut
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame, Picture, fit_frame
from booklet.pictures.plies import (
    placed_area,
    short_title,
)
from booklet.pictures.scenes import Room
from booklet.pictures.step_scene import StepScene, add_section


def draw_tie(scene: StepScene) -> Picture | None:
    bench = scene.bench
    keys = [
        str(k)
        for k in (scene.spec["pieces"] if isinstance(scene.spec["pieces"], list) else [scene.spec["pieces"]])
    ]
    copy = next((c.id for c in bench.copies.values() if c.piece.name == keys[0] and c.host is None), None)
    if copy is None:
        return None
    picture = Picture()
    tip = str(scene.spec["tip"]) if scene.spec.get("tip") else None
    allow = max(h.edge.allow for h in bench.copies[copy].edges)
    picture.add(folded_strip(bench, copy, Room(3, 6, 98, 30), tip))
    add_section(picture, cut.tube(scene.mm(allow)), 34, picture.bottom + 4, {"fold": "fold"})
    return picture


def folded_strip(bench: Bench, copy: str, room: Room, tip: str | None) -> Frame:
    """A strip folded lengthwise, right sides together: its wrong side shows, open edges sewn."""
    c = bench.copies[copy]
    x0, y0, x1, y1 = bench.cut_line(copy).bbox
    mid = (y0 + y1) / 2
    short = min(x1 - x0, (y1 - y0) * 6.5)
    frame = fit_frame((x0 - 2, y0 - 6, x0 + short + 2, mid + 8), room.width, room.height, room.corner)
    tip_left = any(
        h.base == tip and h.edge.path.bbox[2] - h.edge.path.bbox[0] < 1 and h.edge.path.bbox[0] < x0 + 40
        for h in c.edges
    )
    flip = Placement.IDENTITY if tip_left else Placement.mirror(complex((x0 + x1) / 2), 1j)
    area = shapely.box(x0, mid, x1, y1)
    lift = Placement.move(complex(0, y0 - mid + 0))
    body = placed_area(placed_area(area, flip), lift)
    frame.area(body, look.WRONG_SIDE, of=short_title(bench, copy))
    frame.waves()
    frame.cloth.clear()
    allow = max(h.edge.allow for h in c.edges)
    top = y0
    foot = y0 + (y1 - mid)
    frame.line(Path.line(complex(x0, top), complex(x1, top)), look.FOLD, "fold")
    corners = [complex(x0 + allow, top)] if tip else [complex(x0, foot - allow)]
    if tip:
        corners.append(complex(x0 + allow, foot - allow))
    seam = Path.polyline([*corners, complex(x1, foot - allow)])
    frame.line(seam, look.SEW_NOW, "seam")
    frame.label("fold", complex(x0 + short * 0.3, top), None, dot=False)
    frame.label(
        f"{short_title(bench, copy)},\nwrong side out", complex(x0 + short * 0.45, (top + foot) / 2), None
    )
    end, inside = ("tip", allow) if tip else ("open end", 0.0)
    frame.label(end, complex(x0 + inside, (top + foot) / 2), None, dot=False)
    return frame
