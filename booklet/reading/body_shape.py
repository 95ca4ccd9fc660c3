"""The shape of a body's file: one person's measures."""

from __future__ import annotations

from typing import Annotated, Any

from pydantic import Discriminator, Field, Tag

from booklet.reading.shape import FileUnit, Flag, PlainLength, Shape, Words
from booklet.reading.style_shape import MeasureName


class SidedShape(Shape):
    left: PlainLength
    right: PlainLength


def _measure_form(value: Any) -> str:
    return "(sided)" if isinstance(value, dict) else "(length)"


Measure = Annotated[
    Annotated[PlainLength, Tag("(length)")] | Annotated[SidedShape, Tag("(sided)")],
    Discriminator(_measure_form),
]


class BodyShape(Shape):
    name: Words
    code: Words = ""
    units: FileUnit = "cm"
    dated: Words = ""
    note: Words = ""
    child: Flag = False
    measures: dict[MeasureName, Measure] = Field(min_length=1)
