"""What drafting hands on: pieces as drawn, with the rules they are cut by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from booklet.model.edges import Edge, Half, Side
from booklet.model.features import (
    BindingOf,
    ButtonMark,
    Dart,
    FacingOf,
    FoldLine,
    Opening,
    Place,
    Pleat,
    Split,
)
from booklet.paths import Path
from booklet.problems import Where


@dataclass(frozen=True)
class CutRule:
    """One line of `cut:`: so many copies of a piece from one cloth."""

    cloth: str
    count: int
    how: Literal["pair", "same", "whole on fold", "single"]
    face: Literal["up", "down", "either"]
    side: Side
    trim: float | None = None  # None: with the piece's allowances; 0: on the stitch line; n: n mm beyond it
    fused: bool = False


@dataclass(frozen=True)
class Trueing:
    """How much a shaping changed an edge's length, for the shop's copy."""

    edge: str
    what: str
    before: float
    after: float


@dataclass(frozen=True)
class Piece:
    """A closed net outline of edges, clockwise as seen (y down), each edge ending where the next begins.

    `drawn_for`: the wearer's side this drawing is for; `fold` names the edge that lies on the fold (then the drawing is
    a half). `grain` is a line on the piece, tail to head.
    """

    key: str
    number: int
    title: str
    drawn_for: Side
    edges: tuple[Edge, ...]
    where: Where
    fold: str | None = None
    grain: tuple[complex, complex] = (0j, 100j)
    cuts: tuple[CutRule, ...] = ()
    darts: tuple[Dart, ...] = ()
    fold_lines: tuple[FoldLine, ...] = ()
    openings: tuple[Opening, ...] = ()
    lines_across: tuple[FoldLine, ...] = ()  # centre lines and other drawn lines
    levels: tuple[tuple[str, float], ...] = ()  # name -> y on the drawing
    level_lines: tuple[tuple[str, tuple[Path, ...]], ...] = ()  # levels bent by a moved dart, as they now lie
    level_edges: tuple[tuple[str, str], ...] = ()  # name -> the edge that is that level
    facing: FacingOf | None = None
    binding: BindingOf | None = None
    places: tuple[Place, ...] = ()  # other pieces laid on this one
    nap: bool = False
    may_cross: bool = False  # its grain may lie across the cloth
    split: Split | None = None  # where it may be cut in two, if that saves cloth
    match: complex | None = None  # the point that lies on the repeat of a striped or checked cloth
    trueings: tuple[Trueing, ...] = ()
    derived_edges: tuple[str, ...] = ()  # edges our own code drew to fit a partner
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()
    side_word: str = ""  # the wearer's side in another language than English
    base: str = ""  # where one drawing became a left and a right piece: its name in the draft
    ring: tuple[Half, ...] = ()  # a whole piece whose halves differ: its edges with their sides

    @property
    def name(self) -> str:
        """What the draft and the recipe call it."""
        return self.base or self.key

    @property
    def heading(self) -> str:
        """Its title, with the side where left and right are two pieces."""
        return f"{self.title}, {self.side_word or self.drawn_for}" if self.base else self.title

    def edge(self, name: str) -> Edge | None:
        return next((e for e in self.edges if e.name == name), None)

    @cached_property
    def outline(self) -> Path:
        return self.edges[0].path.joined(*(e.path for e in self.edges[1:]))

    @property
    def half(self) -> bool:
        return self.fold is not None


@dataclass(frozen=True)
class Draft:
    """One size of a style, drafted: every value and every piece of it (construction-only pieces too)."""

    values: dict[str, float]  # by name, mm for lengths
    pieces: dict[str, Piece]

    def named(self, name: str) -> Piece | None:
        """A piece by the name the draft gives it; the first of the two where it became a left and a right one."""
        return next((p for p in self.pieces.values() if p.name == name), None)

    def to_cut(self) -> tuple[Piece, ...]:
        return tuple(sorted((p for p in self.pieces.values() if p.cuts), key=lambda p: p.number))
