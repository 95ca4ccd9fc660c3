"""The shape of `do:` in draft.yaml: one class a shaping verb, and `Shaping`, an entry with just one of them."""

from __future__ import annotations

from typing import Literal

from pydantic import Field, model_validator

from booklet.reading.shape import Plain, Shape, Value, Words, refuse


class FrontAndBackNames(Shape):
    front: Words
    back: Words


class FrontAndBackValues(Shape):
    front: Value
    back: Value


class FitCap(Shape):
    head: Words
    to: FrontAndBackNames
    by: Literal["height", "biceps"] = "height"
    ease: FrontAndBackValues
    walk: FrontAndBackNames
    top: Words = "top"


class SlashAndSpread(Shape):
    from_: Words
    to: Words
    slashes: Plain
    open: dict[str, Value] = Field(min_length=1)


class Shaping(Shape):
    """One entry of `do:`: exactly one shaping verb."""

    fit_cap: FitCap | None = None
    slash_and_spread: SlashAndSpread | None = None

    @model_validator(mode="after")
    def _one_verb(self) -> Shaping:
        if len(self.model_fields_set) != 1:
            raise refuse(f" has {len(self.model_fields_set)} verbs", "Write one shaping to an entry of do:.")
        return self
