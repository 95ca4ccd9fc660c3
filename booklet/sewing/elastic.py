"""Elastic in a casing: cut, relaxed and stretched lengths."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.seams.table import RecipeStep
from booklet.units import parse_ratio


@dataclass(frozen=True)
class Elastic:
    """Lengths in mm. Source of the rule: less than the body by a share, plus the overlap (firm woven about 10 %)."""

    run: str
    fits: str
    body: float
    less: float
    wide: float
    overlap: float
    stretch: float

    @property
    def relaxed(self) -> float:
        return self.body * (1 - self.less)

    @property
    def cut(self) -> float:
        return self.relaxed + self.overlap

    @property
    def stretched(self) -> float:
        return self.relaxed * (1 + self.stretch)


def elastic_of(step: RecipeStep, table: Table) -> Elastic:
    """The elastic of a casing step. Raises Fault for a length or share that cannot be read."""
    spec = step.spec["elastic"]

    def mm(raw: Any) -> float:
        return parse_formula(raw, table.unit, step.where).evaluate(table.value, table.length_of)

    fits = str(spec["fits"])
    return Elastic(
        run=str(step.spec["run"]),
        fits=fits,
        body=mm(fits),
        less=parse_ratio(spec.get("less", 0), where=step.where),
        wide=mm(spec["wide"]),
        overlap=mm(spec.get("overlap", 0)),
        stretch=parse_ratio(spec.get("stretch", 0), where=step.where),
    )
