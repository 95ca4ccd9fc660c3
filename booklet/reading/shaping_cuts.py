"""The shapes of the verbs of `do:` that divide a piece."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from booklet.reading.shape import Names, Plain, Shape, Value, When, Words, refuse


class EdgePlace(Shape):
    """A place on an edge: `from:` and `at:`, a line across (`where:`) or a mark; or, alone, the point of a dart."""

    on: Words | None = None
    from_: Words | None = None
    at: Value | None = None
    where: Words | None = None
    mark: Words | None = None
    dart: Words | None = None

    @model_validator(mode="after")
    def _one_place(self) -> EdgePlace:
        given = [k for k in ("at", "where", "mark", "dart") if getattr(self, k) is not None]
        if len(given) != 1:
            raise refuse(
                f" is placed by {' and '.join(given) or 'nothing'}",
                "Give it one of at: (with from:), where:, mark: or dart:.",
            )
        if (self.dart is None) != (self.on is not None):
            raise refuse(" needs on: with the edge, or dart: alone")
        if (self.at is None) != (self.from_ is None):
            raise refuse(" needs from: and at: together")
        return self


class _Kept(Shape):
    keep: Words | None = None
    drop: Words | None = None
    edge: Words
    marks: Plain | None = None
    names: Names | None = None
    when: When = None

    @model_validator(mode="after")
    def _one_part(self) -> _Kept:
        if (self.keep is None) == (self.drop is None):
            raise refuse(" has no part to keep, or two", "Name an edge of one part with keep: or drop:.")
        return self


class CutAlong(_Kept):
    line: Words | None = None
    from_: EdgePlace | None = None
    via: Names | None = None
    to: EdgePlace | None = None

    @model_validator(mode="after")
    def _one_line(self) -> CutAlong:
        ends = (self.from_ is not None, self.to is not None)
        if (self.line is not None) == any(ends) or (any(ends) and not all(ends)):
            raise refuse(" needs line:, or from: and to:")
        return self


class CutAcross(_Kept):
    on: Words
    from_: Words
    at: Value
    way: Literal["square", "level", "upright"] = "square"


class CutBand(Shape):
    """A band taken off along edges; the new edge may have the name of one of them."""

    along: Names
    wide: Value
    edge: Words
    when: When = None
