"""The shape of `construction:` in draft.yaml: points and lines of the drafting table."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StrictStr, model_validator

from booklet.reading.shape import Name, Shape, Value, Words, refuse

Two = Annotated[list[StrictStr], Field(min_length=2, max_length=2)]
AtLeastTwo = Annotated[list[StrictStr], Field(min_length=2)]


class Point(Shape):
    """From a point (else the draft's corner), by so much; or midway, along a line, where two lines meet."""

    from_: Words | None = None
    across: Value | None = None
    out: Value | None = None
    in_: Value | None = None
    down: Value | None = None
    up: Value | None = None
    midway: Two | None = None
    divide: Two | None = None
    part: Value | None = None
    along: Words | None = None
    by: Value | None = None
    share: Value | None = None
    meet: Two | None = None

    @model_validator(mode="after")
    def _one_beginning(self) -> Point:
        begins = [k for k in ("from_", "midway", "divide", "along", "meet") if getattr(self, k) is not None]
        if len(begins) > 1:
            raise refuse(
                f" begins in {len(begins)} ways", "Keep one of from, midway, divide, along and meet."
            )
        if self.along is None and (self.by is not None or self.share is not None):
            raise refuse(" has by or share without along", "Add along: with the line.")
        return self


class Line(Shape):
    straight: AtLeastTwo | None = None
    curve: AtLeastTwo | None = None
    leave: Words | None = None
    arrive: Words | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Line:
        if (self.straight is None) == (self.curve is None):
            raise refuse(" must be straight or a curve", "Give it straight: [a, b] or curve: [a, b, c].")
        return self


class Group(Shape):
    points: dict[Name, Point] = {}
    lines: dict[Name, Line] = {}
