"""Cross-sections of the plies, one for each way of joining: every ply a thick line, its right side tinted.

Drawn to no scale, in paper millimetres; x runs across the seam, the table lies below.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Item, PathItem, Stroke
from booklet.paths import Path
from booklet.splines import smooth_curve

THICK = 1.15


@dataclass(frozen=True)
class SectionPly:
    """A ply's middle line, with its right side to the left (`up`) or right hand of the line's way."""

    line: Path
    right_side_up: bool
    interfacing: bool = False


def bent(points: Sequence[complex], radius: float = 0.9) -> Path:
    """A line through the points with rounded bends."""
    pts = list(points)
    out: list[Path] = []
    at = pts[0]
    for before, corner, after in zip(pts, pts[1:], pts[2:], strict=False):
        a, b = (corner - before) / abs(corner - before), (after - corner) / abs(after - corner)
        r = min(radius, abs(corner - before) * 0.49, abs(after - corner) * 0.49)
        p, q = corner - a * r, corner + b * r
        if abs(p - at) > 1e-6:
            out.append(Path.line(at, p))
        out.append(smooth_curve([p, q], a, b))
        at = q
    out.append(Path.line(at, pts[-1]))
    return Path(tuple(s for p in out for s in p.segments))


def _band(line: Path, low: float, high: float) -> Path:
    """The strip between two distances to the left of a line's way."""
    pts = line.flatten(0.02)
    way = np.gradient(pts)
    normal = way / np.abs(way) * -1j
    return Path.polyline(np.concatenate((pts + normal * low, (pts + normal * high)[::-1])), closed=True)


def draw_section(plies: Sequence[SectionPly]) -> list[Item]:
    board = Board()
    for ply in plies:
        h = THICK / 2
        board.path(_band(ply.line, -h, h), None, look.WRONG_SIDE, "section")
        low, high = (0.05, h) if ply.right_side_up else (-h, -0.05)
        board.path(_band(ply.line, low, high), None, look.SECTION_SIDE, "section")
        board.path(_band(ply.line, -h, h), Stroke(0.55, look.INK), None, "section")
        if ply.interfacing:
            off = -h - 0.45 if ply.right_side_up else h + 0.45
            pts = ply.line.flatten(0.02)
            way = np.gradient(pts)
            dotted = Path.polyline(pts + way / np.abs(way) * -1j * off)
            board.path(dotted, Stroke(0.75, look.INK, (0.2, 0.6), "round"), None, "interfacing")
    return board.items


def stitch_mark(x: float, y0: float, y1: float) -> Item:
    """A row of stitches seen end on: an accent stroke through the plies."""
    return PathItem((Path.line(complex(x, y0), complex(x, y1)),), look.SEW_NOW, None, "seam")


@dataclass(frozen=True)
class Section:
    """A finished section: items about an origin, its box, and points that labels speak of."""

    items: tuple[Item, ...]
    box: tuple[float, float, float, float]
    spots: dict[str, complex]


def joined(allow_words: str, long: float = 34.0) -> Section:
    """Two plies right sides together, sewn near one edge (before pressing)."""
    seam = long - 8
    lower = Path.line(0j, complex(long))
    upper = Path.line(complex(4, -THICK - 0.35), complex(long, -THICK - 0.35))
    items = draw_section([SectionPly(lower, True), SectionPly(upper, False)])
    items.append(stitch_mark(seam, -THICK - 1.9, 1.6))
    items += marks.measure_line(complex(seam, -3.2), complex(long, -3.2), allow_words, 0.0, beside=-1j)
    return Section(
        tuple(items), (0, -7.0, long + 12, 2.0), {"lower": 1.2 + 0j, "upper": complex(9, -THICK - 0.35)}
    )


def pressed_open(long: float = 40.0) -> Section:
    """Wrong side up: each allowance folded back on its own ply."""
    m, a = long / 2, 7.0
    left = bent(
        [0j, complex(m - 0.35, 0), complex(m - 0.35, -THICK - 0.25), complex(m - a, -THICK - 0.25)], 0.5
    )
    right = bent(
        [
            complex(long, 0),
            complex(m + 0.35, 0),
            complex(m + 0.35, -THICK - 0.25),
            complex(m + a, -THICK - 0.25),
        ],
        0.5,
    )
    items = draw_section([SectionPly(left, False), SectionPly(right, True)])
    items.append(stitch_mark(m, -THICK - 1.2, 1.0))
    return Section(tuple(items), (0, -4.0, long, 1.5), {"a": 1.2 + 0j, "b": complex(long - 1.2)})


def pressed_aside(to_right: bool, long: float = 40.0) -> Section:
    """Wrong side up: both allowances folded to one side."""
    m, a = long / 2, 7.0
    s = 1 if to_right else -1
    near = bent(
        [
            complex(m + s * long / 2, 0),
            complex(m, 0),
            complex(m, -THICK - 0.25),
            complex(m + s * a, -THICK - 0.25),
        ],
        0.5,
    )
    far = bent([complex(m - s * long / 2, 0), complex(m - s * 0.4, -0.1), complex(m - s * 0.4, -2 * THICK - 0.6),
                complex(m + s * a, -2 * THICK - 0.6)], 0.5)  # fmt: skip
    items = draw_section([SectionPly(near, to_right), SectionPly(far, not to_right)])
    items.append(stitch_mark(m + s * 0.9, -2 * THICK - 1.6, -0.4))
    # From the allowances down onto the piece that they lie on.
    items += marks.action_arrow(
        complex(m + s * (a - 0.6), -2 * THICK - 0.6), complex(m + s * (a + 7.0), -0.3), dot=False
    )
    return Section(tuple(items), (0, -5.5, long, 1.5), {"a": 1.2 + 0j, "b": complex(long - 1.2)})


def faced(interfaced: bool, allow_words: str, long: float = 38.0) -> Section:
    """Facing on the parent, right sides together, its interfacing outside."""
    seam = long - 9
    parent = Path.line(0j, complex(long))
    facing = Path.line(complex(8, -THICK - 0.35), complex(long, -THICK - 0.35))
    items = draw_section([SectionPly(parent, True), SectionPly(facing, False, interfaced)])
    items.append(stitch_mark(seam, -THICK - 2.2, 1.6))
    items += marks.measure_line(complex(seam, -4.0), complex(long, -4.0), allow_words, 0.0, beside=-1j)
    return Section(
        tuple(items), (0, -7.5, long + 12, 2.0), {"facing": complex(20, -THICK - 0.35), "parent": 1.2 + 0j}
    )  # fmt: skip


def understitched(interfaced: bool) -> Section:
    """Opened out: allowances under the facing, a row through them all beside the seam."""
    m = 16.0
    # Sewn right sides together: the facing's allowance lies next to the facing, the garment's below it.
    parent = bent([0j, complex(m, 0), complex(m, 3.1), complex(m + 6, 3.1)], 0.6)
    facing = bent(
        [complex(m + 16, 0), complex(m + 0.9, 0), complex(m + 0.9, 1.6), complex(m + 4.5, 1.6)], 0.6
    )
    items = draw_section([SectionPly(parent, True), SectionPly(facing, False, interfaced)])
    items.append(stitch_mark(m + 2.6, -1.9, 4.2))
    return Section(
        tuple(items),
        (0, -4.5, m + 16, 4.8),
        {"parent": 1.2 + 0j, "facing": complex(m + 14.8, 0), "row": complex(m + 2.6, -1.9)},
    )


def facing_turned(interfaced: bool) -> Section:
    """Turned inside: the facing under the parent, the seam rolled a little inwards."""
    m = 22.0
    parent = bent([0j, complex(m, 0), complex(m, 1.5), complex(m - 5, 1.5)], 0.7)
    facing = bent(
        [complex(m - 16, 3.4), complex(m - 0.6, 3.4), complex(m - 0.6, 2.1), complex(m - 4, 2.2)], 0.5
    )
    items = draw_section([SectionPly(parent, True), SectionPly(facing, False, interfaced)])
    return Section(
        tuple(items), (0, -1.5, m + 1.5, 5.2), {"parent": 1.2 + 0j, "facing": complex(m - 14.8, 3.4)}
    )


def hem_double(depth_words: str) -> Section:
    m = 30.0
    y1, y2 = -THICK - 0.4, -2 * THICK - 0.8
    ply = bent(
        [0j, complex(m, 0), complex(m, y2), complex(m - 10, y2), complex(m - 10, y1), complex(m - 1.2, y1)],
        0.5,
    )
    items = draw_section([SectionPly(ply, False)])
    items.append(stitch_mark(m - 8.7, y2 - 1.2, 1.2))
    items += marks.measure_line(complex(m - 10, -5.6), complex(m, -5.6), depth_words, 0.0)
    return Section(tuple(items), (0, -8.2, m + 1.5, 1.8), {"cloth": 1.2 + 0j, "hem": complex(m - 5, y2)})


def casing(depth_words: str) -> Section:
    """Turned up with its edge folded in, the elastic flat inside."""
    m = 32.0
    y = -3.6
    ply = bent(
        [
            0j,
            complex(m, 0),
            complex(m, y),
            complex(m - 14, y),
            complex(m - 14, y + 1.5),
            complex(m - 10.5, y + 1.5),
        ],
        0.6,
    )
    items = draw_section([SectionPly(ply, False)])
    elastic = PathItem((_band(Path.line(complex(m - 9.6, y / 2 + 0.15), complex(m - 1.6, y / 2 + 0.15)), -0.5, 0.5),),
                       Stroke(0.6, look.INK), look.LINING, "section")  # fmt: skip
    items.append(elastic)
    items.append(stitch_mark(m - 12.8, y - 1.2, 1.2))
    items += marks.measure_line(complex(m - 14, y - 3.4), complex(m, y - 3.4), depth_words, 0.0)
    return Section(
        tuple(items), (0, y - 6.0, m + 1.5, 1.8), {"cloth": 1.2 + 0j, "elastic": complex(m - 5, y / 2 + 0.15)}
    )


def banded(interfaced: bool) -> Section:
    """Lying flat, right side up: garment at the left, band at the right, folded wrong sides together."""
    m, far = 20.0, 38.0
    up = -THICK - 0.45
    garment = bent([0j, complex(m + 6, 0)])
    band = bent([complex(m + 6, up), complex(m, up), complex(m, -2 * THICK - 1.4), complex(far, -2 * THICK - 1.4),
                 complex(far, 2 * THICK + 0.4), complex(m - 1.4, 2 * THICK + 0.4), complex(m - 1.4, THICK + 0.35),
                 complex(m + 5, THICK + 0.35)], 0.6)  # fmt: skip
    items = draw_section([SectionPly(garment, True), SectionPly(band, True)])
    if interfaced:
        outer = Path.line(complex(m + 1, -2 * THICK - 0.4), complex(far - 1.2, -2 * THICK - 0.4))
        inner = Path.line(complex(m + 6.4, 2 * THICK - 0.6), complex(far - 1.2, 2 * THICK - 0.6))
        dots = Stroke(0.75, look.INK, (0.2, 0.6), "round")
        items.append(PathItem((outer, inner), dots, None, "interfacing"))
    items.append(stitch_mark(m + 1.6, up - 0.9, 1.0))
    items.append(stitch_mark(m - 0.2, -3.4, 2 * THICK + 1.6))
    return Section(
        tuple(items), (0, -5.5, far + 1.5, 4.8), {"garment": 1.2 + 0j, "band": complex(far - 6, -2 * THICK - 1.4)}
    )  # fmt: skip


def felled_over() -> Section:
    """Inside up: a seam pressed towards the right, and the inner layer's folded edge sewn down on it by hand."""
    m, far, s = 18.0, 38.0, THICK + 0.4
    garment = Path.line(0j, complex(m + 7))
    outer = bent([complex(m + 7, s), complex(m, s), complex(m, 2 * s), complex(far, 2 * s)], 0.5)
    inner = bent(
        [complex(m + 6, -s), complex(m - 0.8, -s), complex(m - 0.8, -2 * s), complex(far, -2 * s)], 0.5
    )
    items = draw_section([SectionPly(garment, False), SectionPly(outer, False), SectionPly(inner, True)])
    items.append(
        PathItem(
            (Path.line(complex(m + 1.0, -0.9), complex(m + 1.0, s + 0.9)),),
            Stroke(1.3, look.INK),
            None,
            "sewn",
        )
    )
    caught = Path.line(complex(m - 1.8, 0.0), complex(m - 0.2, -1.4 * s))
    items.append(PathItem((caught,), Stroke(1.7, look.ACCENT), None, "seam"))
    spots = {"garment": 1.2 + 0j, "outer": complex(far - 5, 2 * s), "inner": complex(far - 8, -2 * s)}
    return Section(tuple(items), (0, -2 * s - 2.0, far + 1.5, 2 * s + 2.0), spots)


def tube(words: str) -> Section:
    """A strip folded right sides together, sewn along its open edge."""
    m = 26.0
    ply = bent([complex(m, -THICK - 0.35), complex(0, -THICK - 0.35), 0j, complex(m, 0)], 0.6)
    items = draw_section([SectionPly(ply, True)])
    seam = m - 7
    items.append(stitch_mark(seam, -THICK - 1.9, 1.6))
    items += marks.measure_line(complex(seam, -3.6), complex(m, -3.6), words, 0.0, beside=-1j)
    return Section(
        tuple(items), (-1.0, -6.5, m + 12, 2.0), {"fold": 0.0 - 0.9j, "cloth": complex(10, -THICK - 0.35)}
    )


def strip_folded(double: bool, words: str) -> Section:
    """A bias strip pressed for use: both edges folded to the middle crease, or folded in half; its right side outside."""
    m, y = 30.0, THICK + 0.5
    if double:
        ply = bent([complex(m, y), complex(0, y), 0j, complex(m)], 0.5)
        items = draw_section([SectionPly(ply, False)])
        spots = {"fold": complex(0, y / 2), "edges": complex(m, y / 2)}
    else:
        h = m / 2
        ply = bent(
            [complex(h - 0.5, 0), 0j, complex(0, y), complex(m, y), complex(m, 0), complex(h + 0.5, 0)], 0.5
        )
        items = draw_section([SectionPly(ply, False)])
        spots = {"crease": complex(h, y), "edges": complex(h - 3, 0)}
    if double:
        items += marks.measure_line(complex(0, -2.4), complex(m, -2.4), words, 0.0)
    else:
        items += marks.measure_line(complex(0, -2.4), complex(m / 2, -2.4), words, 0.0)
    return Section(tuple(items), (-1.0, -5.0, m + 1.5, y + 1.0), spots)


def binding_sewn(double: bool, words: str) -> Section:
    """Wrong side up: the binding right side down on the cloth, raw edges level at the right, the first row sewn."""
    m, seam = 32.0, 24.0
    up = -THICK - 0.4
    items_of = [SectionPly(Path.line(0j, complex(m)), False)]
    if double:
        fold = bent([complex(m, up), complex(8, up), complex(8, 2 * up), complex(m, 2 * up)], 0.5)
        items_of.append(SectionPly(fold, False))
        top = 2 * up
    else:
        opened = bent([complex(m, up), complex(6, up), complex(6, 2 * up), complex(13, 2 * up)], 0.5)
        items_of.append(SectionPly(opened, False))
        top = up
    items = draw_section(items_of)
    items.append(stitch_mark(seam, top - 1.2, 1.3))
    items += marks.measure_line(complex(seam, top - 3.0), complex(m, top - 3.0), words, 0.0, beside=-1j)
    return Section(
        tuple(items), (0, top - 6.5, m + 9, 1.8), {"cloth": 1.2 + 0j, "binding": complex(11, 1.5 * up)}
    )


def binding_turned(double: bool, words: str) -> Section:
    """The binding folded over the edge to the right side (below), its fold past the first row, topstitched."""
    m, seam = 28.0, 18.0
    gap = THICK + 0.4
    far = m + gap
    cloth = Path.line(0j, complex(m))
    plies = [SectionPly(cloth, False)]
    if double:
        outer = bent([complex(m, -gap), complex(seam, -gap), complex(seam, -2 * gap), complex(far + gap, -2 * gap),
                      complex(far + gap, 2 * gap), complex(seam - 1.6, 2 * gap), complex(seam - 1.6, gap),
                      complex(far, gap), complex(far, -gap)], 0.5)  # fmt: skip
        plies.append(SectionPly(outer, True))
    else:
        ply = bent([complex(m, -gap), complex(seam, -gap), complex(seam, -2 * gap), complex(far, -2 * gap),
                    complex(far, 2 * gap), complex(seam - 1.6, 2 * gap), complex(seam - 1.6, gap),
                    complex(m - 1.5, gap)], 0.5)  # fmt: skip
        plies.append(SectionPly(ply, True))
    items = draw_section(plies)
    items.append(stitch_mark(seam + 0.6, -2 * gap - 1.2, 2 * gap + 1.2))
    items += marks.measure_line(
        complex(seam, -2 * gap - 3.0), complex(far, -2 * gap - 3.0), words, 0.0, beside=-1j
    )
    return Section(
        tuple(items),
        (0, -2 * gap - 6.5, far + 9, 2 * gap + 1.8),
        {"cloth": 1.2 + 0j, "binding": complex(seam + 5, 2 * gap)},
    )


def patched(words: str) -> Section:
    """Right side up: the pocket's edge folded under itself, laid on the cloth and topstitched."""
    m, fold = 38.0, 12.0
    up = -THICK - 0.4
    cloth = Path.line(0j, complex(m))
    ply = bent([complex(fold + 11, up), complex(fold, up), complex(fold, 2 * up), complex(m, 2 * up)], 0.5)
    items = draw_section([SectionPly(cloth, True), SectionPly(ply, True)])
    items.append(stitch_mark(fold + 3.0, 2 * up - 1.3, 1.3))
    items += marks.measure_line(
        complex(fold, 2 * up - 3.2), complex(fold + 3.0, 2 * up - 3.2), words, 0.0, beside=-1j
    )
    return Section(
        tuple(items), (0, 2 * up - 6.8, m + 1, 1.8), {"cloth": 1.2 + 0j, "pocket": complex(m - 6, 2 * up)}
    )
