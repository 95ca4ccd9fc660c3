"""The shapes of the verbs of `do:` that divide, join and dart a piece."""

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


class OnEdge(EdgePlace):
    """A place on an edge, not in a dart's point."""

    @model_validator(mode="after")
    def _on_edge(self) -> OnEdge:
        if self.dart is not None:
            raise refuse(" is a dart's point", "Give it a place on an edge: on:, from: and at:.")
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


class DartVerb(Shape):
    name: Words
    on: Words
    from_: Words
    at: Value
    wide: Value
    long: Value
    press: Words = "to centre"
    when: When = None


class MoveDart(Shape):
    dart: Words
    to: OnEdge
    share: Plain | None = None
    name: Words | None = None
    point_back: Value | None = None
    hold: Words | None = None
    press: Words | None = None
    when: When = None


class CloseDart(Shape):
    dart: Words
    open: OnEdge
    hold: Words | None = None
    when: When = None


class Lengthen(Shape):
    at: Words
    by: Value
    move: Words | None = None
    when: When = None


class JoinTo(Shape):
    piece: Words
    edge: Words
    with_: Words
    over: Literal["as drawn", "turned over"] = "as drawn"
    when: When = None


class Extend(Shape):
    edge: Words
    by: Value
    line: Words | None = None
    ends: Literal["square", "mirrored"] = "square"
    when: When = None
