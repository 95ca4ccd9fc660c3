"""What a drafted piece bears besides its edges: folds, darts, pleats, slits, buttons, and what it is cut to fit."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from booklet.model.edges import Side
from booklet.paths import Path, Placement


@dataclass(frozen=True)
class FoldLine:
    """A line across a piece on which the cloth is folded; its ends lie on two edges."""

    name: str
    path: Path


@dataclass(frozen=True)
class Split:
    """Where a piece may be cut in two: along a straight line on the drawing, each part reaching `allow` mm beyond it.

    `at` is 'fold', 'middle' or the name of a line across. The first part lies where the line's way times 1j points.
    """

    at: str
    line: tuple[complex, complex]
    allow: float


@dataclass(frozen=True)
class Dart:
    """Legs first-end, point, second-end along the edge's way; `press_first`: the fold lies towards the first leg."""

    name: str
    edge: str
    first: complex
    point: complex
    second: complex
    intake: float
    press_first: bool
    press_words: str  # "to centre"
    side: Side = "whole"


@dataclass(frozen=True)
class Pleat:
    """Cloth folded away, `deep` mm deep at its edge. Each move brings a fold line onto its placement line.

    A knife pleat and a tuck have one move, a box or an inverted pleat two (one on a half piece's fold). Lines run from
    `edge` to `foot`. `sewn` names the edges whose sewn length the pleat is folded out of; even pleats share a `group`.
    `press_first`: the fold points towards the start of `edge`.
    """

    name: str
    group: str
    kind: Literal["knife", "box", "inverted", "tuck"]
    edge: str
    foot: str
    sewn: tuple[str, ...]
    deep: float
    moves: tuple[tuple[Path, Path], ...]
    press_first: bool
    press_words: str  # "to centre"
    side: Side = "whole"


@dataclass(frozen=True)
class Opening:
    """A slit from an edge into a piece; its stitching runs round it, `mouth` wide at the edge."""

    name: str
    edge: str
    at: complex
    foot: complex
    mouth: float
    closes: str
    faced_by: str

    @property
    def depth(self) -> float:
        return abs(self.foot - self.at)


@dataclass(frozen=True)
class FacingOf:
    """What a facing copies. `laid` lays it face down on its parent: facing's drawing -> parent's drawing."""

    parent: str
    edges: tuple[str, ...]
    laid: Placement


@dataclass(frozen=True)
class BindingOf:
    """What one bias binding is for. It is cut in `strips` equal strips, joined by seams `join` mm deep.

    `covers` is the sewn length of what it binds, `before` and `after` run on beyond its two ends as ties.
    """

    run: str
    kind: Literal["single", "double"]
    finished: float
    covers: float
    before: float
    after: float
    turned_in: float  # at each end
    strips: int
    join: float

    @property
    def long(self) -> float:
        """The joined binding with its ends cut square, mm."""
        return self.covers + self.before + self.after + 2 * self.turned_in


@dataclass(frozen=True)
class Place:
    """Where another piece is laid on this one. `laid` carries that piece's drawing to this one's; `corners` are drilled."""

    name: str
    piece: str
    laid: Placement
    outline: Path
    corners: tuple[complex, ...]
    side: Side = "whole"


@dataclass(frozen=True)
class ButtonMark:
    """One place of a row of buttons: where a button sits, or where its buttonhole is cut, from end to end.

    `at` is the button's middle either way. `side` is the wearer's side that it is for; whole: every ply has it.
    """

    row: str
    kind: Literal["button", "buttonhole"]
    at: complex
    ends: tuple[complex, complex]  # of the cut, the end that the button pulls against first
    side: Side
    along: bool  # the cut lies along the row's line, else across it
    size: float  # of the button across
    thick: float
    line: str  # what the row lies on: 'centre', or an edge, `inside` mm inside it
    inside: float | None
    start: str  # the edge that `far`, the distance along the line, counts from
    far: float
    wrapped: float = 0.0  # a strip wrapped round a ball or an odd button; 0 for a flat one
