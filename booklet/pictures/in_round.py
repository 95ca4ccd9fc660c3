"""The garment in the round while it is sewn: inside out, front over back, its sleeves beside it at the armholes."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import shapely

from booklet.drawing import look
from booklet.model import Seam
from booklet.paths import Path, Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Frame
from booklet.pictures.folding import DartClosing
from booklet.pictures.garment import centred
from booklet.pictures.garment_body import body_layers, sleeves_hung
from booklet.pictures.garment_darts import shaped
from booklet.pictures.garment_layers import Layer, Sewn, View, paint
from booklet.pictures.laid_plies import folds_over, round_the_body


@dataclass(frozen=True)
class Round:
    """The layers of the picture, undermost first; the seams being sewn as they are seen; the uppermost ply of the body
    with the sleeves beside it, for their names. `at` has the plies of the body, in the scene's mm."""

    layers: tuple[Layer, ...]
    seams: tuple[Path, ...]
    top: str
    at: Mapping[str, Placement]
    sleeves: Mapping[str, shapely.Geometry]

    @property
    def box(self) -> tuple[float, float, float, float]:
        x0, y0, x1, y1 = shapely.union_all([layer.area for layer in self.layers]).bounds
        return x0, y0, x1, y1

    def draw(self, frame: Frame) -> None:
        """The garment, then the seams being sewn."""
        for layer in self.layers:
            paint(frame, layer)
        for path in self.seams:
            frame.line(path, look.SEW_NOW, "seam")


def inside_out(bench: Bench, seams: Sequence[Seam]) -> Round | None:
    """The garment as the long seams find it: the plies of their a side before those of their b side.

    A ply with both sides of a seam is a sleeve. What is joined to both layers, as a yoke is, goes with the layer behind
    and is folded over. None where the plies cannot be laid so.
    """
    sides = [_copies(seams, a=True), _copies(seams, a=False)]
    sleeves = [c for c in sides[0] if c in sides[1]]
    front, back = ([c for c in row if c not in sleeves] for row in sides)
    joined = tuple(s for s in bench.done if s.b is not None and s.kind == "join")
    back += [c for c in _between(joined, front, back) if c not in front and c not in back]
    if not front or not back:
        return None
    all_seams = (*joined, *seams)
    bench = shaped(bench, [c for c in (*front, *back) if _dart_sewn(bench, c)])
    plies = [[bench.copies[c] for c in row] for row in (front, back)]
    laid = round_the_body(bench, plies[0], plies[1], all_seams)
    if any(c not in laid for c in (*front, *back)):
        return None
    over = Placement.mirror(0j, 1j)
    at = {c: p.then(over) for c, p in centred(bench, laid, [*plies[0], *plies[1]]).items()}
    view = View(
        bench, all_seams, at, front, back, folds_over(bench, all_seams, at, back), Sewn(),
        look.WRONG_SIDE, look.RIGHT_SIDE, worn=False,
    )  # fmt: skip
    hung = sleeves_hung(view)
    lines = [
        bench.part_path(part).placed(at[part.copy])
        for seam in seams
        for part in seam.a.parts
        if part.copy in front
    ]
    lines += [h.underarm for h in hung if h.copy in sleeves]
    return Round(tuple(body_layers(view)), tuple(lines), front[-1], at, {h.copy: h.area for h in hung})


def _dart_sewn(bench: Bench, copy: str) -> bool:
    return any(isinstance(fold, DartClosing) for fold in bench.folds.get(copy, ()))


def _copies(seams: Sequence[Seam], a: bool) -> list[str]:
    runs = [s.a if a else s.b for s in seams]
    return list(dict.fromkeys(p.copy for run in runs if run is not None for p in run.parts))


def _between(seams: Sequence[Seam], front: Sequence[str], back: Sequence[str]) -> list[str]:
    """Plies sewn by a seam of their own to a ply of either layer."""
    to: dict[str, set[int]] = {}
    for seam in seams:
        if seam.b is None or len(seam.a.parts) != 1 or len(seam.b.parts) != 1:
            continue
        pair = seam.a.parts[0].copy, seam.b.parts[0].copy
        for mine, other in (pair, pair[::-1]):
            for n, layer in enumerate((front, back)):
                if other in layer:
                    to.setdefault(mine, set()).add(n)
    return [c for c, layers in to.items() if len(layers) == 2]
