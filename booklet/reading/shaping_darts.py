"""The shapes of darts: those of `darts:`, and the verbs of `do:` that draw, move, split and close them."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, model_validator

from booklet.reading.shape import Name, Ratio, Shape, Value, When, Words, refuse


class DartShape(Shape):
    """A dart square to its edge and `long`, or one aimed at a point, all the way or `short of point`.

    `wide` across its mouth, or so wide that it `takes` so much out of its edge.
    """

    on: Words
    from_: Words
    at: Value
    wide: Value | None = None
    takes: Value | None = None
    long: Value | None = None
    to: Words | None = None
    short_of_point: Value | None = None
    press: Words = "to centre"
    when: When = None

    @model_validator(mode="after")
    def _ends_somewhere(self) -> DartShape:
        if (self.wide is None) == (self.takes is None):
            raise refuse(
                " has no width, or two", "Give it wide: across its mouth, or takes: out of the edge's length."
            )
        if self.long is None and self.to is None:
            raise refuse(" ends nowhere", "Give it long:, or to: with the point it is aimed at.")
        if self.short_of_point is not None and (self.to is None or self.long is not None):
            raise refuse(" has short of point: with no point to stop before", "It goes with to: alone.")
        return self


class DrawnDart(DartShape):
    name: Name


class DartPlace(Shape):
    """A place on an edge: `from:` and `at:`, a line across (`where:`) or a mark."""

    on: Words
    from_: Words | None = None
    at: Value | None = None
    where: Words | None = None
    mark: Words | None = None

    @model_validator(mode="after")
    def _one_place(self) -> DartPlace:
        _check_place(self, least=1)
        return self


class _Turned(Shape):
    dart: Words
    press: Words | None = None
    short_of_point: Value | None = None
    to: DartPlace
    when: When = None


class MoveDart(_Turned):
    true: Literal["smooth", "none"] = "none"


class SplitDart(_Turned):
    into: Annotated[list[Name], Field(min_length=2, max_length=2)]
    share: Ratio


class CloseDart(Shape):
    """Closed for good, the edge `open` opened by its angle: at a place on it, or straight on in the dart's own line."""

    dart: Words
    open: Words
    from_: Words | None = None
    at: Value | None = None
    where: Words | None = None
    mark: Words | None = None
    true: Literal["smooth", "none"] = "smooth"
    when: When = None

    @model_validator(mode="after")
    def _one_place(self) -> CloseDart:
        _check_place(self, least=0)
        return self


def _check_place(place: DartPlace | CloseDart, least: int) -> None:
    given = [k for k in ("at", "where", "mark") if getattr(place, k) is not None]
    if not least <= len(given) <= 1:
        raise refuse(
            f" is placed by {' and '.join(given) or 'nothing'}",
            "Give it one of at: (with from:), where: or mark:.",
        )
    if (place.at is None) != (place.from_ is None):
        raise refuse(" needs from: and at: together")
