"""The shapes of the ways in which a piece is made of others: linings, waistbands, all-in-one facings, pocket bags."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StrictStr, model_validator

from booklet.reading.shape import Flag, Name, Shape, Value, Words, refuse

Runs = Annotated[list[StrictStr], Field(min_length=1)]


class LiningShape(Shape):
    """A piece copied, turned over; without what facings cover, its hem shorter, a pleat at its fold."""

    of: Words
    less_facing: dict[Name, StrictStr] = {}
    hem: Words | None = None
    shorter: Value | None = None
    darts: Literal["sewn", "as pleats"] = "sewn"
    pleat: Value | None = None


class WaistbandShape(Shape):
    """Edges from the band's start to its end, as seen; `before` and `after` run on beyond them."""

    of: Runs
    wide: Value
    before: Value | None = None
    after: Value | None = None
    shaped: Flag = False
    true: Literal["smooth", "none"] | None = None

    @model_validator(mode="after")
    def _trued_if_shaped(self) -> WaistbandShape:
        if self.true is not None and not self.shaped:
            raise refuse(" is straight, so nothing is trued", "Take out true:, or add shaped: true.")
        return self


class AllInOneShape(Shape):
    of: Words
    edges: Annotated[list[StrictStr], Field(min_length=2)]
    wide: Value
    at_fold: Value | None = None
    turn: Value | None = None


class PocketShape(Shape):
    """A bag for a pocket in a seam of `in`: its mouth begins `at` along the edge, seen from `from`."""

    in_: Words
    edge: Words
    from_: Words
    at: Value
    mouth: Value
    deep: Value
    wide: Value
    name: Name = "pocket"
