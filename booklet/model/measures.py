"""Measures of the body and of the finished garment."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.model.edges import Side


@dataclass(frozen=True)
class Finished:
    """A garment measure: what it covers on the body, and the ease between."""

    name: str
    title: str
    garment_mm: float
    body_name: str | None
    body_mm: float | None
    least_mm: float | None
    intended_mm: float | None
    note: str = ""
    note_mm: float | None = None  # the length that ends the note

    @property
    def ease_mm(self) -> float | None:
        return None if self.body_mm is None else self.garment_mm - self.body_mm


@dataclass(frozen=True)
class BodyMeasure:
    """A measure used: `given` by the body file, or worked out by the style's rule."""

    name: str
    mm: float
    given: bool
    rule: str = ""
    side: Side = "whole"  # of a body whose left and right differ
