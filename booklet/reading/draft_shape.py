"""The shape of draft.yaml: values, points and lines of the construction, marks, pieces."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, StrictStr, Tag, model_validator

from booklet.reading.buttons_shape import ButtonRow
from booklet.reading.collar_shape import CollarShape, CollarStandShape, FlatCollarShape
from booklet.reading.construction_shape import Group
from booklet.reading.dxf_shape import DxfShape
from booklet.reading.shape import (
    Choice,
    Count,
    FileUnit,
    Flag,
    Name,
    NamedValue,
    Names,
    Pair,
    Plain,
    Shape,
    Side,
    SideOrWhole,
    Value,
    When,
    Words,
    form,
    refuse,
)
from booklet.reading.shaping_darts import DartShape
from booklet.reading.shaping_fullness import CircleShape, FlounceShape
from booklet.reading.shaping_shape import Shaping
from booklet.reading.ways_shape import AllInOneShape, LiningShape, PocketShape, WaistbandShape


class Mark(Shape):
    on: Names
    from_: Words | None = None
    at: Value | None = None
    where: Words | None = None
    notch: Literal["single", "double", "triple", "dot"] = "single"
    when: When = None

    @model_validator(mode="after")
    def _placed(self) -> Mark:
        if (self.at is None) == (self.where is None):
            raise refuse(
                " has no place, or two", "Give it from: and at:, or where: with a line that crosses the edge."
            )
        return self


class PieceOpening(Shape):
    """A slit: from an edge, so far down, so wide at its mouth."""

    from_: Words
    down: Value
    mouth: Value = 0
    foot: Literal["point", "square", "round"] = "point"
    faced_by: Words = ""
    closes: Words = ""
    when: When = None


class Ends(Shape):
    start: Value
    end: Value


def _width_form(value: object) -> str:
    return "(ends)" if isinstance(value, dict) and ("start" in value or "end" in value) else "(width)"


class FacingShape(Shape):
    of: Words
    along: list[StrictStr] = Field(min_length=1)
    wide: Annotated[
        Annotated[Value, Tag("(width)")] | Annotated[Ends, Tag("(ends)")], Discriminator(_width_form)
    ]
    at_fold: Value | None = None
    turn: Value | None = None


class BindingShape(Shape):
    """A bias strip: what it binds, its finished width, and how far it runs on beyond both ends."""

    of: Words
    wide: Value
    kind: Literal["single", "double"] = "single"
    turn: Value | None = None
    before: Value | None = None
    after: Value | None = None
    join: Value | None = None
    longest: Value | None = None


class PlaceShape(Shape):
    """Another piece laid on this one, the middle of one of its edges on a point of the construction."""

    piece: Words
    edge: Words
    at: Words
    when: When = None


class SplitShape(Shape):
    """Where a piece may be cut in two: at its fold, halfway across its grain, or at a line across."""

    at: Words
    allow: Value | None = None


class Rectangle(Shape):
    long: Value
    wide: Value


class Match(Shape):
    along: Words
    from_: Words
    to: list[StrictStr] = Field(min_length=1)


class FoldLineAt(Shape):
    off: Words
    by: Value
    when: When = None


def _trim_form(value: object) -> str:
    return "(words)" if value in ("none", "to stitch line") else "(length)"


Trim = Annotated[
    Annotated[Literal["none", "to stitch line"], Tag("(words)")] | Annotated[Plain, Tag("(length)")],
    Discriminator(_trim_form),
]


class CutEntry(Shape):
    cloth: Words
    count: Count = Field(1, ge=1)
    as_: Literal["pair", "same", "whole on fold", "single"] | None = None
    side: SideOrWhole | None = None
    face: Literal["up", "down", "either"] | None = None
    trim: Trim | None = None
    when: When = None

    @model_validator(mode="after")
    def _fits(self) -> CutEntry:
        if self.as_ == "single" and self.side is None:
            raise refuse(" is cut as single without a side", "Add side: left, right or whole.")
        if self.as_ == "pair" and self.count % 2:
            raise refuse(f" is cut as pair with count {self.count}", "Give an even count.")
        return self


def _allow_form(value: object) -> str:
    if isinstance(value, dict):
        return "(choice)" if "is" in value else "(pair)"
    return "(as)" if isinstance(value, str) and value.startswith("as ") else "(plain)"


Allow = Annotated[
    Annotated[Plain, Tag("(plain)")]
    | Annotated[Pair, Tag("(pair)")]
    | Annotated[Choice, Tag("(choice)")]
    | Annotated[StrictStr, Tag("(as)")],
    Discriminator(_allow_form),
]
Cut = Annotated[
    Annotated[dict[str, Count], Tag("(mapping)")] | Annotated[list[CutEntry], Tag("(list)")],
    Discriminator(form),
]
OutlineEntry = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[dict[Name, Names], Tag("(mapping)")],
    Discriminator(form),
]
FoldLine = Annotated[
    Annotated[StrictStr, Tag("(plain)")] | Annotated[FoldLineAt, Tag("(mapping)")],
    Discriminator(form),
]
HemFolds = Annotated[
    Annotated[list[StrictStr], Tag("(list)")] | Annotated[dict[str, When], Tag("(mapping)")],
    Discriminator(form),
]


Coordinates = Annotated[
    list[Annotated[list[Plain], Field(min_length=2, max_length=2)]], Field(min_length=2, max_length=2000)
]


class SmoothEdge(Shape):
    smooth: Coordinates
    leave: Literal["across", "out", "in", "up", "down"] | None = None
    arrive: Literal["across", "out", "in", "up", "down"] | None = None


MeasuredEdge = Annotated[
    Annotated[Coordinates, Tag("(list)")] | Annotated[SmoothEdge, Tag("(mapping)")], Discriminator(form)
]


class MeasuredShape(Shape):
    """A piece by coordinates read off paper: x across, y down."""

    edges: Annotated[dict[Name, MeasuredEdge], Field(min_length=2)]


EdgeLines = Annotated[
    Annotated[list[Name], Tag("(list)")] | Annotated[dict[Name, StrictStr], Tag("(mapping)")],
    Discriminator(form),
]


class SvgShape(Shape):
    """A piece from a drawing in the style's folder; `px` is how long one px of it is, where the file doesn't say."""

    file: Words
    edges: EdgeLines
    outline: Words | None = None
    px: Value | None = None

    @model_validator(mode="after")
    def _edges_fit(self) -> SvgShape:
        if self.outline is not None and isinstance(self.edges, dict):
            raise refuse(" has an outline, whose edges are a list", "Write edges: [first, second, ...].")
        return self


class PieceShape(Shape):
    number: Annotated[Count, Field(ge=1)] | None = None
    title: Words | None = None
    called: dict[str, StrictStr] = {}
    when: When = None
    half: Side | None = None
    drawn_for: SideOrWhole | None = None
    mirror: Flag = False
    outline: Annotated[list[OutlineEntry], Field(min_length=2)] | None = None
    rectangle: Rectangle | None = None
    edges: Annotated[list[Name], Field(min_length=4, max_length=4)] | None = None
    facing: FacingShape | None = None
    all_in_one_facing: AllInOneShape | None = None
    lining: LiningShape | None = None
    waistband: WaistbandShape | None = None
    pocket: PocketShape | None = None
    binding: BindingShape | None = None
    circle: CircleShape | None = None
    flounce: FlounceShape | None = None
    measured: MeasuredShape | None = None
    svg: SvgShape | None = None
    dxf: DxfShape | None = None
    flat_collar: FlatCollarShape | None = None
    collar_stand: CollarStandShape | None = None
    collar: CollarShape | None = None
    from_: Words | None = None
    fold: Words | None = None
    levels: dict[Name, StrictStr] = {}
    lines_across: dict[Name, StrictStr] = {}
    darts: dict[Name, DartShape] = {}
    openings: dict[Name, PieceOpening] = {}
    do: list[Shaping] = []
    match: Match | None = None
    fold_lines: dict[Name, FoldLine] = {}
    cut: Cut | None = None
    allow: dict[str, Allow] = {}
    hem_folds: HemFolds = []
    places: dict[Name, PlaceShape] = {}
    buttons: dict[Name, ButtonRow] = {}
    grain: Words | None = None
    nap: Flag = False
    may_turn: Literal["across"] | None = None
    may_split: SplitShape | None = None
    stripe_at: Words | None = None

    @model_validator(mode="after")
    def _held_one_way(self) -> PieceShape:
        if self.nap and self.may_turn is not None:
            raise refuse(" has a nap and may turn across", "A piece with nap lies with its top to one end.")
        return self

    @model_validator(mode="after")
    def _given_once(self) -> PieceShape:
        names = (
            "outline",
            "rectangle",
            "facing",
            "all_in_one_facing",
            "lining",
            "waistband",
            "pocket",
            "binding",
            "circle",
            "flounce",
            "measured",
            "svg",
            "dxf",
            "flat_collar",
            "collar_stand",
            "collar",
            "from_",
        )
        ways = [k for k in names if getattr(self, k) is not None]
        if len(ways) != 1:
            given = " and ".join(w.rstrip("_") for w in ways) or "nothing"
            raise refuse(f" is given by {given}", f"Give it one of {', '.join(names[:-1])} or from.")
        if self.cut is not None and (self.number is None or self.title is None):
            raise refuse(" is cut, so it needs a number and a title")
        if self.half is not None and self.drawn_for is not None:
            raise refuse(" has both half and 'drawn for'", "A half piece says half: left or right alone.")
        return self


class DraftShape(Shape):
    units: FileUnit = "cm"
    values: dict[Name, NamedValue] = {}
    construction: dict[Name, Group] = {}
    marks: dict[Name, Mark] = {}
    pieces: dict[Name, PieceShape] = Field(min_length=1)
