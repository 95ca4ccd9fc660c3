"""Named edges of an outline, with their marks and what is folded away along them."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from booklet.paths import Path

Side = Literal["left", "right", "whole"]
Notch = Literal["single", "double", "triple", "dot", "snip"]


@dataclass(frozen=True)
class Mark:
    """A match point on an edge, `at` mm from the edge's start. `side` limits it to one half of an opened piece."""

    name: str
    kind: Notch
    at: float
    side: Side | None = None
    match: bool = True  # must meet a partner across the seam; a snip for folding need not


@dataclass(frozen=True)
class TakeUp:
    """A stretch of an edge that is folded away before it is sewn (a dart's or pleat's mouth)."""

    name: str
    start: float
    end: float


@dataclass(frozen=True)
class Edge:
    """A named run of an outline. Positions are mm from its start along the drawn stitch line."""

    name: str
    path: Path
    allow: float = 0.0
    called: str = ""
    marks: tuple[Mark, ...] = ()
    take_ups: tuple[TakeUp, ...] = ()
    hem_fold: bool = False  # its allowance is turned up on the stitch line

    @property
    def length(self) -> float:
        return self.path.length

    @property
    def sewn_length(self) -> float:
        return self.sewn(0.0, self.length)

    def sewn(self, s0: float, s1: float) -> float:
        """Length from s0 to s1 with what is folded away left out."""
        lost = sum(max(0.0, min(s1, t.end) - max(s0, t.start)) for t in self.take_ups)
        return s1 - s0 - lost

    def mark(self, name: str) -> Mark | None:
        return next((m for m in self.marks if m.name == name), None)


@dataclass(frozen=True)
class Half:
    """An edge of a whole ply: the drafted edge it comes from and the side of the wearer it lies on."""

    edge: Edge  # path in the copy's frame; marks and take-ups along it
    base: str  # the drafted edge's name
    side: Side

    @property
    def name(self) -> str:
        return self.edge.name
