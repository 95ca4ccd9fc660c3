"""Elastic in a casing: cut, relaxed and stretched lengths."""

from __future__ import annotations

import re
from dataclasses import dataclass
from typing import Any

from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.seams.table import RecipeStep
from booklet.units import parse_ratio

_MEASURED = re.compile(r"[a-z\"\u2033]", re.IGNORECASE)  # a length names its unit, a share does not


def elastic_length(girth: float, overlap: float, less: float = 0.0, less_share: float = 0.0) -> float:
    """Elastic to cut for a part of the body: the girth less a share and less a fixed amount, plus what is lapped.

    Soft knit elastic 5 to 8 % less, standard woven about 10 %, firm 12 to 15 % (boneyardtools.com); or about 2 in
    less at the waist (firststitchco.com).
    """
    return girth * (1 - less_share) - less + overlap


def casing_depth(elastic: float, ease: float = 6.35, turn: float = 6.35) -> float:
    """Cloth turned in for a casing: the elastic's width, room to thread it, and the edge folded under.

    1/4 in each (firststitchco.com); the metric habit is 3 to 6 mm clear (common practice, no source).
    """
    return elastic + ease + turn


@dataclass(frozen=True)
class Elastic:
    """Lengths in mm: shorter than the body by the share `less`, or by `less_mm`, and longer by the overlap."""

    run: str
    fits: str
    body: float
    less: float
    wide: float
    overlap: float
    stretch: float
    less_mm: float = 0.0

    @property
    def relaxed(self) -> float:
        return elastic_length(self.body, 0.0, self.less_mm, self.less)

    @property
    def cut(self) -> float:
        return elastic_length(self.body, self.overlap, self.less_mm, self.less)

    @property
    def stretched(self) -> float:
        return self.relaxed * (1 + self.stretch)


def elastic_of(step: RecipeStep, table: Table) -> Elastic:
    """The elastic of a casing step. Raises Fault for a length or share that cannot be read."""
    spec = step.spec["elastic"]

    def mm(raw: Any) -> float:
        return parse_formula(raw, table.unit, step.where).evaluate(table.value, table.length_of)

    fits = str(spec["fits"])
    less = spec.get("less", 0)
    measured = isinstance(less, str) and bool(_MEASURED.search(less))
    return Elastic(
        run=str(step.spec["run"]),
        fits=fits,
        body=mm(fits),
        less=0.0 if measured else parse_ratio(less, where=step.where),
        wide=mm(spec["wide"]),
        overlap=mm(spec.get("overlap", 0)),
        stretch=parse_ratio(spec.get("stretch", 0), where=step.where),
        less_mm=mm(less) if measured else 0.0,
    )
