"""The shape of sewing.yaml: the steps in their order, each with exactly one operation."""

from __future__ import annotations

import re
from typing import Annotated, Any, Literal

from pydantic import AfterValidator, Discriminator, Field, StrictStr, Tag, WithJsonSchema, model_validator

from booklet.problems import Fault, nearest
from booklet.reading.shape import (
    Flag,
    Names,
    PlainLength,
    Ratio,
    Shape,
    Side,
    Value,
    When,
    Words,
    refuse,
)
from booklet.units import parse_length, parse_ratio

VERBS = (
    "fuse",
    "staystitch",
    "mark",
    "baste",
    "dart",
    "pleat",
    "gather",
    "ease",
    "join",
    "french seam",
    "flat fell",
    "lapped seam",
    "finish",
    "face",
    "understitch",
    "topstitch",
    "edgestitch",
    "tack",
    "hang",
    "hem",
    "casing",
    "band",
    "tie",
    "strips",
    "bind",
    "pocket",
    "attach",
    "zip",
    "fell",
    "hook",
    "loop",
    "button",
    "buttons",
    "collar",
    "placket",
    "try on",
    "free",
    "press",
)
Acts = Literal["trim", "grade", "clip", "notch", "press", "understitch", "turn", "tack", "topstitch"]


def _check_id(value: str) -> str:
    if not re.fullmatch(r"[\w-]+", value):
        raise refuse(f" is '{value}'", "Write letters, digits, - and _.")
    return value


StepId = Annotated[StrictStr, AfterValidator(_check_id)]
Pair = Annotated[list[StrictStr], Field(min_length=2, max_length=2)]
SomeNames = Annotated[list[StrictStr], Field(min_length=1)]


class Gather(Shape):
    run: Words
    by: Value | None = None
    to: Value | None = None
    rows: Annotated[int, Field(ge=1, le=5)] = 2

    @model_validator(mode="after")
    def _by_or_to(self) -> Gather:
        if (self.by is None) == (self.to is None):
            raise refuse(" must say by how much or to what length", "Give it one of by: and to:.")
        return self


class Ease(Shape):
    """Rows that draw an edge up a little before it is joined. A plain length after `ease:` is a join's own."""

    run: Words
    by: Value | None = None
    to: Value | None = None
    rows: Annotated[int, Field(ge=1, le=2)] = 1

    @model_validator(mode="after")
    def _by_or_to(self) -> Ease:
        if (self.by is None) == (self.to is None):
            raise refuse(" must say by how much or to what length", "Give it one of by: and to:.")
        return self


def is_verb(key: str, value: object) -> bool:
    """Whether an entry of a step is its operation. `ease:` is one only where it names a run; else it goes with a join."""
    return key in VERBS and (key != "ease" or (isinstance(value, dict) and "run" in value))


def _ease_form(value: object) -> str:
    return "(rows)" if is_verb("ease", value) else "(amount)"


EaseOrAmount = Annotated[
    Annotated[Ease, Tag("(rows)")] | Annotated[Value, Tag("(amount)")], Discriminator(_ease_form)
]


class Face(Shape):
    edge: Words
    with_: Words
    catch: list[StrictStr] = []  # what lies between, such as a collar's neck edges


class Understitch(Shape):
    seam: Words


class Tack(Shape):
    """Held by hand: along a run, or in places, where the seams of earlier steps lie."""

    run: Words | None = None
    at: Names | None = None
    to: Words

    @model_validator(mode="after")
    def _run_or_at(self) -> Tack:
        if (self.run is None) == (self.at is None):
            raise refuse(" must say what is tacked", "Give it one of run: and at:.")
        return self


class Hem(Shape):
    run: Words
    kind: Literal["single", "double", "narrow", "blind"] = "single"
    by: Literal["hand", "machine"] | None = None  # how a blind hem is sewn

    @model_validator(mode="after")
    def _by_of_blind(self) -> Hem:
        if self.by is not None and self.kind != "blind":
            raise refuse(f" says by: {self.by}, and is no blind hem", "Write kind: blind, or take by: out.")
        return self


def _check_less(value: Any) -> Any:
    """A share of the girth, or a length with its unit."""
    for read in (parse_ratio, lambda raw: parse_length(raw, "cm")):
        try:
            read(value)
            return value
        except Fault:
            continue
    raise refuse(f" is '{value}', neither a share nor a length", "Write 8 % or 2 in.")


Less = Annotated[Any, AfterValidator(_check_less), WithJsonSchema({"type": ["number", "string"]})]


class Elastic(Shape):
    wide: PlainLength
    fits: Words
    less: Less = 0
    stretch: Ratio = 0
    overlap: PlainLength = 0


class Casing(Shape):
    run: Words
    along: Words
    elastic: Elastic
    gap: PlainLength


class Band(Shape):
    run: Words
    with_: Words
    fold: Words
    inside: Words
    catch: list[StrictStr] = []
    ends: list[StrictStr] = []  # sewn across, folded right sides together
    beyond: Names | None = None  # what of the band stands out beyond the run, at one end or at both


class Tie(Shape):
    pieces: SomeNames
    fold: Words
    sew: SomeNames
    tip: Words | None = None


class Bind(Shape):
    run: Words
    with_: Words


class Pocket(Shape):
    mouth: Words
    sew: Words
    on: Words
    hem: Literal["single", "double"] = "double"
    parts: Annotated[int, Field(ge=1, le=6)] = 1


class Attach(Shape):
    end: Names
    to: Words
    at: Words
    lap: PlainLength


class Zip(Shape):
    edges: Annotated[list[StrictStr], Field(min_length=2, max_length=2)]
    kind: Literal["centred", "lapped", "concealed"] = "centred"


class Fell(Shape):
    run: Names
    to: Words


class Hook(Shape):
    at: Words
    with_: Literal["eye", "bar"] = "eye"


class Loop(Shape):
    of: Words
    long: PlainLength
    wide: PlainLength
    at: Words
    side: Side


class Button(Shape):
    at: Words
    side: Side


class Placket(Shape):
    """A slit bound all round with one straight strip; or with an over strip that laps an under strip."""

    slit: Words
    with_: Words | None = None
    over: Words | None = None
    under: Words | None = None
    top: Literal["pointed", "square"] | None = None  # of the over strip
    seam: PlainLength

    @model_validator(mode="after")
    def _one_or_two(self) -> Placket:
        if (self.with_ is not None) == (self.over is not None or self.under is not None):
            raise refuse(" must say what binds it", "Give it with:, or both of over: and under:.")
        if (self.over is None) != (self.under is None):
            raise refuse(" has one strip of two", "Give it both of over: and under:.")
        if self.top is not None and self.over is None:
            raise refuse(
                f" says top: {self.top}, and has no over strip", "Give it over: and under:, or take top: out."
            )
        return self


class Held(Shape):
    """The neck edges of a collar that is made: of its under side and of its upper side."""

    under: Words
    upper: Words


class Collar(Shape):
    """A collar made of its upper and under side; or put between the outer and the inner stand."""

    pieces: Annotated[list[StrictStr], Field(min_length=2, max_length=2)] | None = None
    sew: SomeNames | None = None
    stands: Annotated[list[StrictStr], Field(min_length=2, max_length=2)] | None = None
    along: Words | None = None
    ends: Annotated[list[StrictStr], Field(min_length=2, max_length=2)] | None = None
    holds: Held | None = None

    @model_validator(mode="after")
    def _made_or_held(self) -> Collar:
        made, held = (self.pieces, self.sew), (self.stands, self.along, self.ends, self.holds)
        if (all(made) and not any(held)) or (all(held) and not any(made)):
            return self
        raise refuse(
            " is neither made nor put between stands",
            "Give it pieces: and sew:, or stands:, along:, ends: and holds:.",
        )


class TryOn(Shape):
    look_at: SomeNames
    before: SomeNames = []  # steps whose seams are only basted for it


class PressAll(Shape):
    all: Flag


def _press_form(value: object) -> str:
    return "(mapping)" if isinstance(value, dict) else "(plain)"


Press = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[PressAll, Tag("(mapping)")], Discriminator(_press_form)
]


def _opening_form(value: object) -> str:
    return "(choice)" if isinstance(value, dict) else "(plain)"


class OpeningChoice(Shape):
    is_: Words
    when: When


StepOpening = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[OpeningChoice, Tag("(choice)")],
    Discriminator(_opening_form),
]


# Why a soft rule is not kept at this step: one reason for all, or one for each rule named.
Although = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[dict[str, Words], Tag("(mapping)")],
    Discriminator(_press_form),
]


class Lapped(Shape):
    over: Words
    under: Words


class StepShape(Shape):
    """One numbered step. `press` is an act beside another operation, and the operation itself when it stands alone."""

    id: StepId | None = None
    part: Words | None = None
    title: Words | None = None
    check: Words | None = None
    minutes: Annotated[float, Field(ge=0)] | None = None
    note: Words | None = None
    when: When = None
    press: Press | None = None
    neaten: Literal["apart", "together", "enclosed", "raw"] | None = None
    before: Flag = False
    leave_open: list[StrictStr] = []
    then: list[Acts] = []
    opening: StepOpening | None = None
    ease: EaseOrAmount | None = None
    inside: PlainLength | None = None
    rows: Annotated[int, Field(ge=1, le=2)] | None = None
    although: Although | None = None

    fuse: SomeNames | None = None
    staystitch: SomeNames | None = None
    mark: SomeNames | None = None
    baste: SomeNames | None = None
    dart: SomeNames | None = None
    pleat: SomeNames | None = None
    gather: Gather | None = None
    join: Pair | None = None
    french_seam: Pair | None = None
    flat_fell: Pair | None = None
    lapped_seam: Lapped | None = None
    finish: SomeNames | None = None
    face: Face | None = None
    understitch: Understitch | None = None
    topstitch: SomeNames | None = None
    edgestitch: SomeNames | None = None
    tack: Tack | None = None
    hang: SomeNames | None = None
    hem: Hem | None = None
    casing: Casing | None = None
    band: Band | None = None
    tie: Tie | None = None
    strips: SomeNames | None = None
    bind: Bind | None = None
    pocket: Pocket | None = None
    attach: Attach | None = None
    zip: Zip | None = None
    fell: Fell | None = None
    hook: Hook | None = None
    loop: Loop | None = None
    button: Button | None = None
    buttons: SomeNames | None = None
    collar: Collar | None = None
    placket: Placket | None = None
    try_on: TryOn | None = None
    free: Names | None = None

    @model_validator(mode="before")
    @classmethod
    def _one_verb(cls, data: Any) -> Any:
        if isinstance(data, dict):
            verbs = [key for key, value in data.items() if is_verb(key, value) and key != "press"]
            if len(verbs) > 1:
                raise refuse(
                    f" has {len(verbs)} operations, {' and '.join(verbs)}",
                    "Write each as an entry of its own.",
                )
            if not verbs and "press" not in data:
                known = cls.keys()
                unknown = [str(key) for key in data if key not in known]
                raise refuse(" has no operation", nearest(unknown[0] if unknown else "", VERBS))
            beside = [key for key in ("inside", "rows") if key in data]
            if beside and "topstitch" not in data:
                raise refuse(
                    f" has {beside[0]}:, which belongs to topstitch: alone",
                    "Take it out, or write topstitch:.",
                )
        return data


class SewingShape(Shape):
    steps: list[StepShape] = Field(min_length=1)
