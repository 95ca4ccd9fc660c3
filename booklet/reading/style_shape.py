"""The shape of style.yaml: what the garment is, what it needs, what is bought for it, what it must measure."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Discriminator, Field, StrictStr, Tag, model_validator

from booklet.problems import nearest
from booklet.reading.measures import MEASURES
from booklet.reading.shape import (
    Count,
    FileUnit,
    Flag,
    Name,
    Plain,
    PlainLength,
    Ratio,
    Shape,
    Value,
    When,
    Words,
    form,
    refuse,
)


def _check_measure(name: str) -> str:
    if name not in MEASURES:
        raise refuse(f": there is no measure '{name}'", nearest(name, MEASURES))
    return name


# Those that the booklet has words for; a style may write a sentence of its own instead.
CAUTIONS = (
    "iron",
    "blades",
    "needles",
    "chemicals",
    "flames",
    "childrens_wear",
    "cords",
    "small_parts",
    "nightwear",
)


def _check_caution(text: str) -> str:
    if text not in CAUTIONS and " " not in text.strip():
        raise refuse(
            f": there is no caution '{text}'", nearest(text, CAUTIONS) + " Or write a sentence of your own."
        )
    return text


Caution = Annotated[StrictStr, AfterValidator(_check_caution)]
MeasureName = Annotated[StrictStr, AfterValidator(_check_measure)]


class Cloth(Shape):
    title: Words
    kind: Words = ""
    widths: list[PlainLength] = Field(min_length=1)
    shrinkage: Ratio = 0
    fusible: Flag = False
    nap: Flag = False
    when: When = None


class ElasticNotion(Shape):
    wide: PlainLength
    for_: Words = ""
    when: When = None


class ButtonNotion(Shape):
    diameter: PlainLength
    count: Count = Field(1, ge=1)
    spare: Count = Field(0, ge=0)
    when: When = None


class ButtonsNotion(Shape):
    """Buttons counted and measured from rows of the draft, such as front.row."""

    rows: Annotated[list[StrictStr], Field(min_length=1)]
    spare: Count = Field(1, ge=0)
    kind: Words = ""
    when: When = None


class ZipNotion(Shape):
    for_: Words
    kind: Words = ""
    when: When = None


class Notion(Shape):
    """One of thread, elastic, zip, button, or an item in words."""

    thread: Literal["sewing", "neatening"] | None = None
    elastic: ElasticNotion | None = None
    zip: ZipNotion | None = None
    button: ButtonNotion | None = None
    buttons: ButtonsNotion | None = None
    item: Words | None = None
    count: Count = Field(1, ge=1)
    why: Words = ""
    when: When = None

    @model_validator(mode="after")
    def _one_kind(self) -> Notion:
        kinds = [
            k
            for k in ("thread", "elastic", "zip", "button", "buttons", "item")
            if getattr(self, k) is not None
        ]
        if len(kinds) != 1:
            raise refuse(
                f" is {' and '.join(kinds) or 'nothing'}",
                "Give it one of thread, elastic, zip, button, buttons or item.",
            )
        return self


class Finished(Shape):
    """A measure of the finished garment: round at a level, along an edge, down a piece, or an overlap."""

    level: Words | None = None
    across: list[StrictStr] | None = None
    overlap_of: Annotated[list[StrictStr], Field(min_length=2, max_length=2)] | None = None
    along: Words | None = None
    down: Words | None = None
    from_: Words | None = None
    to: Words | None = None
    covers: MeasureName | None = None
    least: Value | None = None
    intended: Value | None = None
    title: Words | None = None
    when: When = None

    @model_validator(mode="after")
    def _one_way(self) -> Finished:
        ways = [k for k in ("across", "overlap_of", "along", "down") if getattr(self, k) is not None]
        if len(ways) != 1:
            raise refuse(
                f" is measured in {len(ways)} ways",
                "Give it one of across, overlap of, along or down (with from and to).",
            )
        if ways[0] in ("across", "overlap_of") and self.level is None:
            raise refuse(" has no level", "Name the level line that it is measured on.")
        if ways[0] == "down" and (self.from_ is None or self.to is None):
            raise refuse(" is measured down a piece without both from and to")
        return self


class BodyOpening(Shape):
    """An opening that a part of the body passes."""

    ring: Words | None = None
    slit: Words | None = None
    zip: Words | None = None
    passes: MeasureName | None = None
    least: Value = 0
    wraps: Flag = False
    when: When = None

    @model_validator(mode="after")
    def _ring_or_wrap(self) -> BodyOpening:
        if self.wraps == (self.ring is not None):
            raise refuse(
                " is neither a ring nor a wrap, or both", "Give it ring: and passes:, or wraps: true."
            )
        if self.ring is not None and self.passes is None:
            raise refuse(" does not say what passes it", "Add passes: with a measure.")
        return self


# What an edge has come to when the last step is done.
EndState = Literal[
    "finished",
    "hemmed",
    "faced",
    "bound",
    "gathered",
    "staystitched",
    "understitched",
    "topstitched",
    "tacked",
]
Option = Annotated[list[Annotated[StrictStr, Field(min_length=1)]], Field(min_length=1)]
OptionTitle = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[dict[str, StrictStr], Tag("(mapping)")],
    Discriminator(form),
]


class StyleShape(Shape):
    style: Words
    title: Words
    summary: Words = ""
    version: Words
    dated: Words
    level: Words = ""
    units: FileUnit = "cm"
    base: Words
    needs: list[MeasureName] = []
    rules: dict[MeasureName, Plain] = {}
    options: dict[Name, Option] = {}
    option_titles: dict[str, OptionTitle] = {}
    cloths: dict[Name, Cloth] = Field(min_length=1)
    notions: list[Notion] = []
    finished: dict[Name, Finished] = {}
    openings: dict[Name, BodyOpening] = {}
    ends: dict[str, EndState] = {}
    views: dict[Name, list[StrictStr]] = {}
    cautions: list[Caution] = []
