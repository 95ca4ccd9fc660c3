"""Panels of pieces: what the words make stands in the accent; what it was made from is dashed below it."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from unittest.mock import patch

import booklet.drafting.verbs.pleat as pleat_module
import booklet.drafting.verbs.slash_and_spread as spread_module
from booklet.drafting.copies import open_out
from booklet.drafting.strips import Strips
from booklet.drafting.verbs import VERBS
from booklet.drawing import look
from booklet.drawing.display import Fill, Stroke
from booklet.drawn.pieces import Telling, of_piece
from booklet.drawn.sketch import Sketch
from booklet.paths import Path, Placement

from .draft import Lesson

BEFORE = Stroke(0.45, look.SOFT, (0.9, 0.7))
SLASH = Stroke(0.7, look.ACCENT, (1.6, 0.8))
OPENED = Fill("#F3DCD5")  # the accent, very pale


def shaped(
    lesson: Lesson,
    key: str,
    accent: Iterable[str] = (),
    names: Iterable[str] = (),
    before: str = "",
    units: str = "",
    under: Sketch | None = None,
    grain: bool = False,
) -> Sketch:
    """A piece with the names told, those of `accent` and of `names`; `before` is the piece that it was made from."""
    piece = lesson.piece(key)
    told = Telling(units, frozenset((*accent, *names)), frozenset(accent), levels=False)
    sketch = of_piece(piece, told) if grain else of_piece(replace(piece, grain=(0j, 0j)), told)
    if under is not None:
        sketch.draws[1:1] = under.draws
    if before:
        old = lesson.piece(before).outline
        sketch.extent.append(old)
        sketch.line(old, BEFORE, role="before")
    return sketch


def strips_of(lesson: Lesson, before: str, after: str, n: int = 0) -> Strips:
    """The slashes that the n-th verb of `after` makes in `before`, taken from the verb's own work."""
    step = lesson.source.data["pieces"][after]["do"][n]
    verb = next(iter(step))
    kept: list[Strips] = []
    make = spread_module.slashed

    def keeping(*given: object, **named: object) -> Strips:
        kept.append(make(*given, **named))  # type: ignore[arg-type]
        return kept[-1]

    with patch.object(spread_module, "slashed", keeping), patch.object(pleat_module, "slashed", keeping):
        VERBS[verb](lesson.maker.asked(after, "do", n, verb), lesson.maker.shape(before))
    return kept[0]


def with_slashes(lesson: Lesson, before: str, after: str, names: Iterable[str] = ()) -> Sketch:
    """The piece before, its slashes dashed in the accent."""
    sketch = shaped(lesson, before, names=names)
    for a, b in strips_of(lesson, before, after).lines:
        sketch.line(Path.line(a, b), SLASH, role="slash")
    return sketch


def with_gaps(
    lesson: Lesson, before: str, after: str, accent: Iterable[str], names: Iterable[str] = ()
) -> Sketch:
    """The piece after, what was opened in the accent's palest tint."""
    strips = strips_of(lesson, before, after)
    under = Sketch()
    for (a, b), one, other in zip(strips.lines, strips.placings, strips.placings[1:], strict=False):
        gap = [one.apply(a), one.apply(b), other.apply(b), other.apply(a)]
        under.fill(Path.polyline(gap, True), OPENED)
    return shaped(lesson, after, accent, names, under=under)


def opened_out(lesson: Lesson, key: str) -> Sketch:
    """A half piece as its cloth is cut: whole, the fold a fold line."""
    piece = lesson.piece(key)
    opened = open_out(piece)
    fold = piece.edge(piece.fold or "")
    assert fold is not None
    sketch = Sketch()
    ring = opened.ring[0].edge.path.joined(*(h.edge.path for h in opened.ring[1:]))
    sketch.fill(ring, look.RIGHT_SIDE)
    sketch.line(ring, look.CUT, role="cut")
    sketch.line(fold.path, look.FOLD, ((f"{fold.name}, fold", 400),), role="fold")
    return sketch


def with_line(lesson: Lesson, key: str, line: str, names: Iterable[str] = ()) -> Sketch:
    """A piece with a line of the construction dashed over it."""
    sketch = shaped(lesson, key, names=names)
    group, _, name = line.partition(".")
    sketch.line(lesson.table.line(group, name), SLASH, ((name, 600),), look.ACCENT, role="slash")
    return sketch


def with_facing(lesson: Lesson, key: str, facing: str, accent: Iterable[str]) -> Sketch:
    """A piece with its facing dashed as it is laid on it."""
    sketch = shaped(lesson, key, accent)
    made = lesson.piece(facing)
    assert made.facing is not None
    laid = made.facing.laid
    fold = lesson.piece(key).edge(lesson.piece(key).fold or "")
    if fold is not None:  # face down it lies on the other half: drawn here through the fold
        laid = laid.then(Placement.mirror(fold.path.start, fold.path.end - fold.path.start))
    for edge in made.edges:
        if edge.name not in (*made.facing.edges, made.fold):
            sketch.line(edge.path.placed(laid), SLASH, role="slash")
    return sketch
