"""Copies, each one cut ply, and the seams that join their edges."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import Literal

from booklet.model.edges import Half, Side
from booklet.model.features import ButtonMark, Dart, FoldLine, Opening, Place, Pleat
from booklet.model.piece import CutRule, Piece
from booklet.paths import Path, Placement
from booklet.problems import Where


@dataclass(frozen=True)
class Copy:
    """One cut ply, opened out. `sign` is +1 where its ring runs clockwise as seen on its right side, else -1."""

    id: str
    piece: Piece
    cloth: str
    side: Side
    face: Literal["up", "down", "either"]
    edges: tuple[Half, ...]
    sign: int
    placing: Placement  # piece's drawing -> this copy's frame
    rule: CutRule
    host: str | None = None  # a fused ply is part of this copy
    darts: tuple[Dart, ...] = ()
    fold_lines: tuple[FoldLine, ...] = ()
    lines_across: tuple[FoldLine, ...] = ()
    openings: tuple[Opening, ...] = ()
    places: tuple[Place, ...] = ()
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()

    @cached_property
    def by_name(self) -> dict[str, Half]:
        return {h.name: h for h in self.edges}

    @cached_property
    def outline(self) -> Path:
        return self.edges[0].edge.path.joined(*(h.edge.path for h in self.edges[1:]))

    @property
    def called(self) -> str:
        """For a reader: '5 Sleeve, left'."""
        side = "" if self.side == "whole" else f", {self.side}"
        return f"{self.piece.number} {self.piece.title}{side}"


@dataclass(frozen=True)
class Part:
    """A stretch of one copy's edge, from `start` to `end` (mm along the edge; start > end when sewn backwards)."""

    copy: str
    edge: str
    start: float
    end: float

    @property
    def backwards(self) -> bool:
        return self.start > self.end


@dataclass(frozen=True)
class Run:
    """A directed chain of parts, `closed` when it comes back to its beginning. `text` is how the recipe names it."""

    text: str
    parts: tuple[Part, ...]
    closed: bool = False


@dataclass(frozen=True)
class Stretch:
    """One section of a seam, from match point to match point: sewn lengths of both sides, mm."""

    start: str
    end: str
    a_mm: float
    b_mm: float | None
    wanted: float | None = None  # declared a - b, where not zero
    open: bool = False


@dataclass(frozen=True)
class Seam:
    """Run a joined to run b, or run a treated alone (b is None)."""

    id: str
    step: str
    kind: str  # join, face, hem, finish, gather, casing, band, dart, staystitch ...
    a: Run
    b: Run | None
    side: Side
    press: str  # open | to a | to b | up | none; of topstitching seam | edge, of a tack at
    neaten: str  # apart | together | enclosed | raw
    allow_a: float
    allow_b: float | None
    a_mm: float  # sewn length
    b_mm: float | None
    sections: tuple[Stretch, ...]
    treatment: str  # equal | ease | gathers | alone
    where: Where
    derived: bool = False

    @property
    def difference(self) -> float:
        return 0.0 if self.b_mm is None else self.a_mm - self.b_mm
