"""The work on the table: copies with their cut lines, and where each lies so that seams meet.

A copy's own frame shows its right side. It lies wrong side up exactly when its placing mirrors.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field

import numpy as np

from booklet.model import Copy, CutPiece, Dart, Half, Part, Pleat, Run, Seam
from booklet.paths import Path, Placement, fit_rigid
from booklet.pictures.folding import Fold, closed_flat, path_closed


@dataclass(frozen=True)
class Bench:
    """`done` are the seams sewn before this step, `fused` the hosts whose interfacing is on."""

    copies: Mapping[str, Copy]
    cuts: Mapping[str, CutPiece]  # by piece
    done: tuple[Seam, ...] = ()
    fused: frozenset[str] = frozenset()
    turned: frozenset[str] = field(default_factory=frozenset)
    darted: frozenset[str] = (
        frozenset()
    )  # "copy.dart" of the darts that are sewn, and of the pleats that are folded
    bound: frozenset[str] = frozenset()  # the pieces whose slits have been bound with strips
    folds: Mapping[str, tuple[Fold, ...]] = field(default_factory=dict)  # pleats and darts drawn closed

    def cut_line(self, copy: str) -> Path:
        """The cut outline in the copy's frame."""
        c = self.copies[copy]
        cut = self.cuts[c.piece.key].cut.placed(c.placing)
        folds = self.folds.get(copy)
        return path_closed(cut, folds) if folds else cut

    def stitch_line(self, copy: str) -> Path:
        folds = self.folds.get(copy)
        return path_closed(self.copies[copy].outline, folds) if folds else self.copies[copy].outline

    def lies(self, copy: str, z: complex) -> complex:
        """Where a point of a copy's frame lies when its folds are closed."""
        return closed_flat(self.folds.get(copy, ()))(z)

    def sewn_darts(self, copy: str) -> tuple[Dart, ...]:
        """The darts of a copy that are sewn."""
        return tuple(d for d in self.copies[copy].darts if f"{copy}.{d.name}" in self.darted)

    def folded_pleats(self, copy: str) -> tuple[Pleat, ...]:
        """The pleats of a copy that are folded."""
        return tuple(p for p in self.copies[copy].pleats if f"{copy}.{p.name}" in self.darted)

    def half(self, part: Part) -> Half:
        return self.copies[part.copy].by_name[part.edge]

    def part_path(self, part: Part) -> Path:
        """The part's stitch line in its copy's frame, in the direction it is walked."""
        edge = self.half(part).edge
        low, high = sorted((part.start, part.end))
        path = edge.path.part(low, high)
        if folds := self.folds.get(part.copy):
            path = path_closed(path, folds)
        return path.reversed() if part.backwards else path

    def run_path(self, run: Run, at: Mapping[str, Placement]) -> list[Path]:
        """The run's parts where they lie, for those copies that are placed."""
        return [self.part_path(p).placed(at[p.copy]) for p in run.parts if p.copy in at]

    def outward(self, copy: str, way: complex) -> complex:
        """The unit direction out of the piece beside an edge walked along its path."""
        return way * -1j * self.copies[copy].sign

    def sewn_points(self, run: Run, count: int) -> list[tuple[str, complex]]:
        """`count` points at equal sewn distances along a run: (copy, point in its frame), both ends in."""
        sizes = []
        for part in run.parts:
            edge = self.half(part).edge
            sizes.append(edge.sewn(*sorted((part.start, part.end))))
        total = sum(sizes)
        out = []
        for k in range(count):
            s = total * k / (count - 1)
            for n, (part, size) in enumerate(zip(run.parts, sizes, strict=True)):
                if s <= size + 1e-6 or n == len(sizes) - 1:
                    out.append((part.copy, self.point_at(part, min(s, size))))
                    break
                s -= size
        return out

    def point_at(self, part: Part, sewn: float) -> complex:
        """The point a sewn distance from the part's beginning: folded stretches are jumped over."""
        edge = self.half(part).edge
        low, high = sorted((part.start, part.end))
        far = edge.sewn(low, high) - sewn if part.backwards else sewn
        at = low + far
        for up in edge.take_ups:
            if low <= up.start and at > up.start + 1e-9:
                at += up.end - up.start
        point = edge.path.point(min(max(at, 0.0), edge.length))
        return self.lies(part.copy, point)

    def between(self, x: str, y: str, seams: Sequence[Seam]) -> list[tuple[complex, complex]]:
        """Points of x and y that come together in those seams, each in its own copy's frame."""
        out: list[tuple[complex, complex]] = []
        for seam in seams:
            if seam.b is None:
                continue
            pa, pb = self.sewn_points(seam.a, 25), self.sewn_points(seam.b, 25)
            for (ca, za), (cb, zb) in zip(pa, pb, strict=True):
                if (ca, cb) == (x, y):
                    out.append((za, zb))
                elif (cb, ca) == (x, y):
                    out.append((zb, za))
        return out

    def lay(
        self,
        y: str,
        on: str,
        at_on: Placement,
        seams: Sequence[Seam],
        face_to_face: bool,
        about: tuple[complex, float] | None = None,
    ) -> Placement | None:
        """Where copy y lies so that its seams with `on` meet: turned over onto it, or edge to edge beside it.

        `about`: a point of `on` and a reach in mm; of the points that meet only those near by count, if there are three.
        """
        pairs = self.between(on, y, seams)
        if about is not None:
            near = sorted(pairs, key=lambda p: abs(p[0] - about[0]))
            within = [p for p in near if abs(p[0] - about[0]) <= about[1]]
            pairs = within if len(within) >= 3 else near[:3]
        if len(pairs) < 2:
            return None
        target = np.array([at_on.apply(a) for a, _ in pairs])
        source = np.array([b for _, b in pairs])
        return fit_rigid(source, target, at_on.mirrored != face_to_face)


def box_of(paths: Sequence[Path]) -> tuple[float, float, float, float]:
    boxes = [p.bbox for p in paths]
    return (
        min(b[0] for b in boxes), min(b[1] for b in boxes), max(b[2] for b in boxes), max(b[3] for b in boxes),
    )  # fmt: skip


def grown(
    box: tuple[float, float, float, float], by: float, down: float | None = None
) -> tuple[float, float, float, float]:
    d = by if down is None else down
    return box[0] - by, box[1] - d, box[2] + by, box[3] + d


def common(
    a: tuple[float, float, float, float], b: tuple[float, float, float, float]
) -> tuple[float, float, float, float]:
    return max(a[0], b[0]), max(a[1], b[1]), min(a[2], b[2]), min(a[3], b[3])


def on_grain(copy: Copy) -> Placement:
    """The copy turned so that its grain runs up the page, its right side up."""
    a, b = (copy.placing.apply(z) for z in copy.piece.grain)
    way = (b - a) / abs(b - a)
    if copy.piece.fold is None and abs(way.imag) < 1e-6:  # a strip: long side across
        return Placement.IDENTITY
    up = way if way.imag <= 0 else -way
    return Placement(-1j / up)
