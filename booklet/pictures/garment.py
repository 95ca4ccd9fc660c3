"""The finished garment from its own outlines, for the cover: drawn in layers, each covering what lies behind it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import shapely

from booklet.drawing.display import Drawing
from booklet.model import Copy, Seam
from booklet.paths import Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import fit_frame
from booklet.pictures.garment_body import body_layers
from booklet.pictures.garment_darts import shaped
from booklet.pictures.garment_layers import Layer, Sewn, View, paint
from booklet.pictures.garment_legs import leg_layers
from booklet.pictures.laid_plies import folds_over, legs_side_by_side, round_the_body, twins


def garment_drawings(
    bench: Bench, views: Mapping[str, Sequence[str]], width: float, height: float, sewn: Sewn
) -> list[tuple[str, Drawing]]:
    """Each view that can be drawn, by its name, all at one scale, none larger than `width` by `height` mm on paper.

    A view's plies (piece keys, undermost first) lie right side out over those of the other views, wrong side up.
    `bench.done` holds every seam of the garment. A view whose pieces cannot be laid on each other is left out.
    """
    drawn = []
    for name, shown in views.items():
        behind = [key for other, keys in views.items() if other != name for key in keys]
        layers = garment_layers(bench, shown, behind, sewn)
        if layers:
            x0, y0, x1, y1 = shapely.union_all([layer.area for layer in layers]).bounds
            drawn.append((name, layers, (x0 - 3, y0 - 3, x1 + 3, y1 + 3)))
    scale = min((fit_frame(box, width, height, 0j).scale for _, _, box in drawn), default=1.0)
    out = []
    for name, layers, box in drawn:
        frame = fit_frame(box, width, height, 0j, largest=scale)
        for layer in layers:
            paint(frame, layer)
        out.append((name, Drawing(width, frame.paper_box[3], tuple(frame.board.items))))
    return out


def garment_layers(bench: Bench, shown: Sequence[str], behind: Sequence[str], sewn: Sewn) -> list[Layer]:
    """The view's layers, undermost first, in mm; the body's middle is x = 0."""
    bench = shaped(bench, [c.id for c in bench.copies.values()])
    plies = [c for c in bench.copies.values() if c.host is None]
    front = [c for key in shown for c in plies if c.piece.name == key]
    back = [c for key in behind for c in plies if c.piece.name == key]
    if not front:
        return []
    seams = tuple(s for s in bench.done if s.b is not None and s.kind == "join")
    legs = twins(front) and _twin_seam_only(bench, front, seams)
    at = legs_side_by_side(bench, front, back, seams) if legs else round_the_body(bench, front, back, seams)
    if not any(c.id in at for c in front):
        return []
    at = at if legs else centred(bench, at, [*front, *back])
    ids = [c.id for c in front if c.id in at], [c.id for c in back if c.id in at]
    folds = [] if legs else [*folds_over(bench, seams, at, ids[1]), *folds_over(bench, seams, at, ids[0])]
    view = View(bench, seams, at, *ids, folds, sewn)
    if legs:
        return leg_layers(view)
    return body_layers(view)


def _twin_seam_only(bench: Bench, front: Sequence[Copy], seams: Sequence[Seam]) -> bool:
    return bool(bench.between(front[0].id, front[1].id, seams)) and not any(c.darts for c in front)


def centred(bench: Bench, at: dict[str, Placement], copies: Sequence[Copy]) -> dict[str, Placement]:
    """The view moved so that its middle is x = 0: that of a whole ply, else of them all."""
    whole = [c for c in copies if c.id in at and c.side == "whole"] or [c for c in copies if c.id in at]
    boxes = [bench.stitch_line(c.id).placed(at[c.id]).bbox for c in whole]
    shift = Placement.move(-complex((min(b[0] for b in boxes) + max(b[2] for b in boxes)) / 2))
    return {c: p.then(shift) for c, p in at.items()}
