"""Pictures of narrow and blind hems: the edge with the fold to make, and the plies cut across."""

from __future__ import annotations

import numpy as np

from booklet.drawing import look, marks
from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem
from booklet.drawing.labels import Label
from booklet.model import Seam
from booklet.paths import Path
from booklet.pictures.canvas import Picture
from booklet.pictures.plies import short_title
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section, stitch_mark
from booklet.pictures.step_scene import StepScene, add_section
from booklet.pictures.turned import BESIDE, EDGE, small_whole, turned_edge
from booklet.sewing.operations.hem_kinds import FOLD_BACK

KINDS = ("narrow", "blind")
GAP = THICK + 0.4  # mm on paper from ply to ply


def draw_hem_kind(scene: StepScene, seam: Seam) -> Picture:
    """`seam` is the hem to draw; its `neaten` is one of KINDS."""
    titles = {"cloth": short_title(scene.bench, seam.a.parts[0].copy)}
    return _narrow(scene, seam, titles) if seam.neaten == "narrow" else _blind(scene, seam, titles)


def _narrow(scene: StepScene, seam: Seam, titles: dict[str, str]) -> Picture:
    """The first row halfway between the cut edge and the fold line; the roll cut across."""
    picture = Picture()
    picture.add(small_whole(scene.bench, seam.a, seam.allow_a))
    frame = turned_edge(scene.bench, seam.a, EDGE, seam.allow_a, "", second=False)
    deep = seam.allow_a / 2 * frame.scale
    left, _, right, _ = frame.paper_box
    folds = [p for f in flat_items(tuple(frame.board.items)) if isinstance(f.item, PathItem) and f.item.role == "fold"
             for p in f.item.subpaths]  # fmt: skip
    for fold in folds:
        row = below(fold, deep)
        frame.put(PathItem((row,), look.SEW_NOW, None, "seam"))
        frame.lines.append(row)
    for share, fold in ((0.1, folds[0]), (0.72, folds[-1])):
        x = left + (right - left) * share
        a, b = (_at(below(fold, far), x) for far in (deep, 2 * deep))
        if share < 0.5:
            frame.labels.append(Label("first row", a, (), False))
        else:
            frame.board.add(*marks.measure_line(a, b, scene.mm(seam.allow_a / 2), 0.0, beside=1 + 0j))
    picture.add(frame)
    add_section(picture, rolled(scene.mm(seam.allow_a / 2)), BESIDE, 18, {**titles, "first": "first row"})
    return picture


def below(path: Path, far: float) -> Path:
    """A line moved down the paper, square to itself, mm."""
    points = path.flatten(0.02)
    way = np.gradient(points)
    normal = way / np.abs(way) * 1j
    return Path.polyline(points + np.where(normal.imag < 0, -normal, normal) * far)


def _at(path: Path, x: float) -> complex:
    """The point of a line on paper that lies nearest to an x."""
    points = path.flatten(0.02)
    met = path.crossings(Path.line(complex(x, -1e3), complex(x, 1e3)))
    return met[0][1] if met else complex(points[int(np.argmin(np.abs(points.real - x)))])


def rolled(words: str, long: float = 32.0, wide: float = 9.0) -> Section:
    """Wrong side up: turned twice, the first row in the inner fold, the last one beside it."""
    fold, y1, y2 = long - wide, -GAP, -2 * GAP
    ply = bent(
        [
            0j,
            complex(long, 0),
            complex(long, y2),
            complex(fold, y2),
            complex(fold, y1),
            complex(long - 1.2, y1),
        ],
        0.5,
    )
    items = draw_section([SectionPly(ply, False)])
    first = Path.line(complex(fold + 0.15, y1 - 0.1), complex(fold + 0.15, y2 + 0.1))
    items.append(PathItem((first,), look.Stroke(1.3, look.INK), None, "sewn"))
    items.append(stitch_mark(fold + 2.0, y2 - 1.3, 1.3))
    items += marks.measure_line(complex(fold, y2 - 3.2), complex(long, y2 - 3.2), words, 0.0)
    return Section(
        tuple(items),
        (0, y2 - 6.0, long + 1.5, 1.8),
        {"cloth": 1.2 + 0j, "first": complex(fold + 0.1, (y1 + y2) / 2)},
    )


def _blind(scene: StepScene, seam: Seam, titles: dict[str, str]) -> Picture:
    picture = Picture()
    depth = seam.allow_a
    picture.add(small_whole(scene.bench, seam.a, depth))
    picture.add(turned_edge(scene.bench, seam.a, EDGE, depth, scene.mm(depth), second=False))
    if scene.spec.get("by", "hand") == "hand":
        section = caught_by_hand(scene.mm(FOLD_BACK))
        more = {"edge": "neatened edge,\nfolded back", "stitch": "one or two threads"}
    else:
        section = caught_by_machine(scene.mm(FOLD_BACK))
        more = {"edge": "neatened edge", "stitch": "one or two threads"}
    add_section(picture, section, BESIDE, 16, {**titles, **more})
    return picture


def caught_by_hand(words: str, long: float = 38.0) -> Section:
    """Wrong side up: the hem turned up, its edge folded back, a stitch between the fold and the garment."""
    fold, back = long - 22.0, 8.0
    ply = bent(
        [0j, complex(long, 0), complex(long, -GAP), complex(fold, -GAP), complex(fold, -2 * GAP),
         complex(fold + back, -2 * GAP)],
        0.6,
    )  # fmt: skip
    items = draw_section([SectionPly(ply, False)])
    caught = Path.polyline(
        [complex(fold - 2.4, -0.35), complex(fold - 1.0, 0.1), complex(fold + 0.3, -GAP + 0.2)]
    )
    items.append(PathItem((caught,), look.Stroke(1.7, look.ACCENT), None, "seam"))
    items += marks.measure_line(
        complex(fold, -2 * GAP - 2.4), complex(fold + back, -2 * GAP - 2.4), words, 0.0
    )
    return Section(
        tuple(items),
        (0, -2 * GAP - 5.5, long + 1.5, 1.8),
        {"cloth": 1.2 + 0j, "edge": complex(fold + back, -2 * GAP), "stitch": complex(fold - 1.8, -0.2)},
    )


def caught_by_machine(words: str, long: float = 38.0) -> Section:
    """The hem folded under the work: its edge stands out, the needle bites into the fold beside it."""
    hem, fold = 6.0, long - 11.0
    ply = bent(
        [
            0j,
            complex(fold, 0),
            complex(fold, GAP),
            complex(hem, GAP),
            complex(hem, 2 * GAP),
            complex(long, 2 * GAP),
        ],
        0.6,
    )
    items = draw_section([SectionPly(ply, False)])
    items.append(stitch_mark(fold + 3.0, 2 * GAP - 1.4, 2 * GAP + 1.4))
    bite = Path.line(complex(fold + 3.0, 2 * GAP - 0.9), complex(fold - 0.4, GAP / 2))
    items.append(PathItem((bite,), look.Stroke(1.7, look.ACCENT), None, "seam"))
    items += marks.measure_line(complex(fold, -2.6), complex(long, -2.6), words, 0.0)
    return Section(
        tuple(items),
        (0, -5.5, long + 1.5, 2 * GAP + 1.8),
        {"cloth": 1.2 + 0j, "edge": complex(long - 0.4, 2 * GAP), "stitch": complex(fold - 0.3, GAP / 2)},
    )
