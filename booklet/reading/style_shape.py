"""The shape of style.yaml: what the garment is, what it needs, what is bought for it, what it must measure."""

from __future__ import annotations

from typing import Annotated, Any, Literal

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


def _check_weight(raw: object) -> object:
    """`weight:` in g/m²: a number, the two ends of a range, or a word."""
    ends = raw if isinstance(raw, list) else [raw]
    numbers = all(isinstance(x, (int, float)) and not isinstance(x, bool) and 5 <= x <= 2000 for x in ends)
    if raw not in WEIGHTS and not (numbers and len(ends) in (1, 2)):
        raise refuse(
            f" is '{raw}', which is no weight of a cloth",
            f"Write g/m² such as 150 or [110, 150], or one of {', '.join(WEIGHTS)}.",
        )
    return raw


WEIGHTS = ("very light", "light", "medium", "heavy", "very heavy")
Weight = Annotated[Any, AfterValidator(_check_weight)]
Caution = Annotated[StrictStr, AfterValidator(_check_caution)]
MeasureName = Annotated[StrictStr, AfterValidator(_check_measure)]


class Repeat(Shape):
    """Of stripes or checks, from one line to the next like it."""

    along: PlainLength | None = None
    across: PlainLength | None = None

    @model_validator(mode="after")
    def _some(self) -> Repeat:
        if self.along is None and self.across is None:
            raise refuse(
                " has neither along nor across", "Give the repeat along the cloth, across it, or both."
            )
        return self


class Cloth(Shape):
    title: Words
    kind: Words = ""
    widths: list[PlainLength] = Field(min_length=1)
    shrinkage: Ratio = 0
    fusible: Flag = False
    nap: Flag = False
    one_way: Flag = False
    repeat: Repeat | None = None
    weight: Weight = None
    thick: PlainLength | None = None  # of one layer
    knit: Flag = False
    when: When = None


class ElasticNotion(Shape):
    wide: PlainLength
    for_: Words = ""
    buy: PlainLength | None = None
    when: When = None


class ButtonNotion(Shape):
    diameter: PlainLength
    thick: PlainLength | None = None
    count: Count = Field(1, ge=1)
    spare: Count = Field(0, ge=0)
    when: When = None


class ButtonsNotion(Shape):
    """Buttons counted and measured from rows of the draft, such as front.row."""

    rows: Annotated[list[StrictStr], Field(min_length=1)]
    spare: Count = Field(1, ge=0)
    count: Count | None = None
    kind: Words = ""
    when: When = None


class TapeNotion(Shape):
    """Tape for edges, or bought bias tape for a binding: `along` or `for`; `ends` is what each edge takes more."""

    along: list[StrictStr] | None = None
    for_: Words | None = None
    times: Count = Field(1, ge=1)
    wide: PlainLength | None = None
    kind: Words = ""
    ends: PlainLength | None = None
    buy: PlainLength | None = None
    when: When = None

    @model_validator(mode="after")
    def _one_of(self) -> TapeNotion:
        if bool(self.along) == bool(self.for_):
            raise refuse(
                " names neither edges nor a binding, or both", "Give it along: [...] or for: BINDING."
            )
        return self


class PipingNotion(Shape):
    along: Annotated[list[StrictStr], Field(min_length=1)]
    cord: PlainLength
    allow: PlainLength = "12 mm"
    times: Count = Field(1, ge=1)
    buy: PlainLength | None = None
    when: When = None


class BoningNotion(Shape):
    along: Annotated[list[StrictStr], Field(min_length=1)]
    times: Count = Field(1, ge=1)
    buy: PlainLength | None = None
    when: When = None


class ZipNotion(Shape):
    """A zip for the opening that ends at a mark (`for`), or a separating one for a whole edge (`along`)."""

    for_: Words | None = None
    along: Words | None = None
    off: PlainLength | None = None  # of the edge, what has no zip: collar and hem
    less: Ratio | None = None
    kind: Words = ""
    long: PlainLength | None = None
    when: When = None

    @model_validator(mode="after")
    def _one_of(self) -> ZipNotion:
        if (self.for_ is None) == (self.along is None):
            raise refuse(
                " names neither an opening nor an edge, or both",
                "Give it for: PIECE.MARK or along: PIECE.EDGE.",
            )
        wrong = [
            k for k, v in (("off", self.off), ("less", self.less)) if v is not None and self.along is None
        ]
        wrong += ["long"] if self.long is not None and self.for_ is None else []
        if wrong:
            raise refuse(
                f" takes no {wrong[0]} with {'for' if self.for_ else 'along'}", f"Take {wrong[0]}: out."
            )
        return self


class Notion(Shape):
    """One of thread, elastic, tape, piping, boning, zip, button, buttons, needle, labels, or an item in words."""

    thread: Literal["sewing", "neatening", "topstitching"] | None = None
    colour: Words = ""
    elastic: ElasticNotion | None = None
    tape: TapeNotion | None = None
    piping: PipingNotion | None = None
    boning: BoningNotion | None = None
    zip: ZipNotion | None = None
    button: ButtonNotion | None = None
    buttons: ButtonsNotion | None = None
    needle: Words | None = None
    labels: Annotated[list[StrictStr], Field(min_length=1)] | None = None
    item: Words | None = None
    count: Count = Field(1, ge=1)
    why: Words = ""
    when: When = None

    @model_validator(mode="after")
    def _one_kind(self) -> Notion:
        kinds = [k for k in NOTION_KINDS if getattr(self, k) is not None]
        if len(kinds) != 1:
            raise refuse(
                f" is {' and '.join(kinds) or 'nothing'}",
                f"Give it one of {', '.join(NOTION_KINDS[:-1])} or {NOTION_KINDS[-1]}.",
            )
        return self


NOTION_KINDS = (
    "thread",
    "elastic",
    "tape",
    "piping",
    "boning",
    "zip",
    "button",
    "buttons",
    "needle",
    "labels",
    "item",
)


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
    "pressed",
]
Option = Annotated[list[Annotated[StrictStr, Field(min_length=1)]], Field(min_length=1)]
OptionTitle = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[dict[str, StrictStr], Tag("(mapping)")],
    Discriminator(form),
]


class Change(Shape):
    version: Words
    dated: Words
    what: Words


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
    nest_at: dict[str, Words] = {}  # piece -> the place where its sizes lie on each other
    changes: list[Change] = []
