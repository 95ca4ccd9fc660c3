"""Cross-sections through a zip: the closed opening of each kind, right side up, and a concealed zip's first tape."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Item, PathItem, Stroke
from booklet.paths import Path
from booklet.pictures.sections import THICK, Section, SectionPly, bent, draw_section, stitch_mark

STEP = THICK + 0.35  # from one ply's middle to the next
TAPE = 0.8


def _tape(x0: float, x1: float, y: float) -> Item:
    ring = [
        complex(x0, y - TAPE / 2),
        complex(x1, y - TAPE / 2),
        complex(x1, y + TAPE / 2),
        complex(x0, y + TAPE / 2),
    ]
    return PathItem((Path.polyline(ring, closed=True),), Stroke(0.45, look.INK), look.GROUND, "section")


def _teeth(x: float, y: float, wide: float = 1.5) -> Item:
    return PathItem((Path.circle(complex(x, y), wide / 2),), None, look.SOLID, "section")


def _folded(fold: float, out: float, back: float, y: float) -> SectionPly:
    """A ply that lies right side up from `out` to its fold and is turned under there, back by so much."""
    s = 1.0 if fold > out else -1.0
    points = [complex(out, y), complex(fold, y), complex(fold, y + STEP), complex(fold - s * back, y + STEP)]
    return SectionPly(bent(points if s > 0 else points[::-1], 0.5), True)


def centred(words: str) -> Section:
    m, row = 20.0, 5.0
    y = 2 * STEP + 0.1
    items = draw_section([_folded(m - 0.25, 0.0, 9.0, 0.0), _folded(m + 0.25, 2 * m, 9.0, 0.0)])
    items += [_tape(m - 8, m + 8, y), _teeth(m, y - 0.35)]
    items += [stitch_mark(m + s * row, -1.4, y + 1.2) for s in (-1, 1)]
    items += marks.measure_line(complex(m, -3.0), complex(m + row, -3.0), words, 0.0, beside=-1j)
    return Section(
        tuple(items),
        (0, -7.0, 2 * m, y + 1.6),
        {"a": 1.2 + 0j, "b": complex(2 * m - 1.2), "zip": complex(m + 7.4, y)},
    )


def lapped(words: str) -> Section:
    m, row, out = 23.0, 9.0, 2.4
    under = 2 * STEP + 0.2
    y = under + 2 * STEP
    items = draw_section([_folded(m, 0.0, 13.0, 0.0), _folded(m - out, 40.0, 9.0, under)])
    items += [_tape(m - 13, m + 6, y), _teeth(m - out - 1.2, y - 0.5)]
    items.append(stitch_mark(m - row, -1.4, y + 1.2))
    items.append(stitch_mark(m - out + 1.8, under - 1.2, y + 1.2))
    items += marks.measure_line(complex(m - row, -3.0), complex(m, -3.0), words, 0.0, beside=-1j)
    return Section(
        tuple(items),
        (0, -7.0, 40.0, y + 1.6),
        {"a": 1.2 + 0j, "b": complex(36, under), "zip": complex(m + 5.4, y)},
    )


def concealed_tape() -> Section:
    """The tape face down on the right side, its coil on the stitch line, raw edge at the right."""
    m, y = 22.0, -THICK / 2 - TAPE / 2 - 0.25
    items = draw_section([SectionPly(Path.line(0j, complex(36)), True)])
    items += [_tape(m, m + 9, y), _teeth(m, y - 0.2)]
    items.append(stitch_mark(m + 1.7, y - 1.4, 1.3))
    return Section(tuple(items), (0, y - 2.2, 37.0, 1.6), {"cloth": 1.2 + 0j, "zip": complex(m + 8, y)})


def concealed() -> Section:
    m = 20.0
    y = 2 * STEP + 0.1
    items = draw_section([_folded(m - 0.2, 0.0, 10.0, 0.0), _folded(m + 0.2, 2 * m, 10.0, 0.0)])
    items += [_tape(m - 9, m - 0.9, y), _tape(m + 0.9, m + 9, y), _teeth(m, y + 0.1, 2.0)]
    items += [stitch_mark(m + s * 2.2, STEP - 0.7, y + 1.2) for s in (-1, 1)]
    return Section(
        tuple(items),
        (0, -1.6, 2 * m, y + 1.6),
        {"a": 1.2 + 0j, "b": complex(2 * m - 1.2), "zip": complex(m + 8, y)},
    )


SECTIONS = {"centred": centred, "lapped": lapped}
