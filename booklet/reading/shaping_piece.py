"""The shapes of the verbs of `do:` that change a whole piece."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, Tag

from booklet.reading.shape import Flag, Name, Shape, Value, When, Words, form


class WhenOnly(Shape):
    """A verb that needs no more words, for some options only."""

    when: When = None


# `true`, or a mapping with `when:` alone.
Bare = Annotated[Annotated[Flag, Tag("(plain)")] | Annotated[WhenOnly, Tag("(mapping)")], Discriminator(form)]


class Lengthen(Shape):
    at: Words
    by: Value
    line: Name | None = None
    when: When = None


class Extend(Shape):
    edge: Words
    by: Value
    ends: Literal["straight", "mirrored"] = "straight"
    fold_as: Name | None = None
    when: When = None


class JoinTo(Shape):
    piece: Words
    edge: Words
    their: Words
    names: dict[Words, Name] | None = None
    when: When = None


class Vent(Shape):
    edge: Words
    from_: Words
    high: Value
    wide: Value
    slant: Value | None = None
    edges: Annotated[list[Name], Field(min_length=2, max_length=2)] | None = None
    fold_as: Name | None = None
    when: When = None
