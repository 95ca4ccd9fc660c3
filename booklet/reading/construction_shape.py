"""The shape of `construction:` in draft.yaml: points and lines of the drafting table."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, StrictStr, model_validator

from booklet.reading.shape import Flag, Name, Shape, Value, Words, refuse

Two = Annotated[list[StrictStr], Field(min_length=2, max_length=2)]
Three = Annotated[list[StrictStr], Field(min_length=3, max_length=3)]
AtLeastTwo = Annotated[list[StrictStr], Field(min_length=2)]


class Square(Shape):
    """So far square to a line, from a point on it (or beside it), towards a direction or a point."""

    to: Words
    from_: Words
    by: Value
    toward: Words


class Foot(Shape):
    """Where the square from a point meets a line."""

    from_: Words
    on: Words


class ArcMeets(Shape):
    """Where an arc of a radius round a point meets a line, or another arc."""

    round: Words
    radius: Value
    meets: Words | None = None
    and_round: Words | None = None
    and_radius: Value | None = None
    near: Words | None = None

    @model_validator(mode="after")
    def _with_what(self) -> ArcMeets:
        other = self.and_round is not None and self.and_radius is not None
        if (self.meets is None) == (not other):
            raise refuse(
                " meets nothing, or two things", "Give it meets: LINE, or and round: with and radius:."
            )
        return self


class Mirrored(Shape):
    point: Words
    in_: Words


class Turned(Shape):
    point: Words
    round: Words
    by: Value


class Ray(Shape):
    """At a distance from a point, at an angle: 0 points across, 90 deg down."""

    from_: Words
    angle: Value
    by: Value


POINT_BEGINNINGS = (
    "from_",
    "midway",
    "divide",
    "along",
    "meet",
    "square",
    "foot",
    "arc",
    "mirrored",
    "turned",
    "ray",
)
LINE_KINDS = ("straight", "curve", "arc", "ellipse", "copy_", "part_of", "joined", "parallel")


def _words(key: str) -> str:
    return key.rstrip("_").replace("_", " ")


def _listed(keys: tuple[str, ...]) -> str:
    return ", ".join(_words(k) for k in keys[:-1]) + f" and {_words(keys[-1])}"


class Point(Shape):
    """From a point (else the draft's corner), by so much; or found in one other way, and then moved by so much."""

    from_: Words | None = None
    across: Value | None = None
    out: Value | None = None
    in_: Value | None = None
    down: Value | None = None
    up: Value | None = None
    midway: Two | None = None
    divide: Two | None = None
    part: Value | None = None
    along: Words | None = None
    by: Value | None = None
    share: Value | None = None
    starting: Words | None = None
    meet: Two | None = None
    prolong: Flag = False
    near: Words | None = None
    square: Square | None = None
    foot: Foot | None = None
    arc: ArcMeets | None = None
    mirrored: Mirrored | None = None
    turned: Turned | None = None
    ray: Ray | None = None

    @model_validator(mode="after")
    def _one_beginning(self) -> Point:
        begins = [k for k in POINT_BEGINNINGS if getattr(self, k) is not None]
        if len(begins) > 1:
            raise refuse(f" begins in {len(begins)} ways", f"Keep one of {_listed(POINT_BEGINNINGS)}.")
        if self.along is None and (
            self.by is not None or self.share is not None or self.starting is not None
        ):
            raise refuse(" has by, share or starting without along", "Add along: with the line.")
        if self.meet is None and (self.prolong or self.near is not None):
            raise refuse(" has prolong or near without meet", "Add meet: with two lines.")
        return self


class LineArc(Shape):
    """An arc: through three points; from one to another with a radius; or round a centre."""

    through: Three | None = None
    from_: Words | None = None
    to: Words | None = None
    radius: Value | None = None
    bulge: Words | None = None
    large: Flag = False
    round: Words | None = None
    way: Literal["clockwise", "anticlockwise"] | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> LineArc:
        ends = self.from_ is not None and self.to is not None
        by_radius = ends and self.radius is not None and self.bulge is not None and self.round is None
        by_centre = ends and self.round is not None and self.way is not None and self.radius is None
        if [self.through is not None, by_radius, by_centre].count(True) != 1:
            raise refuse(
                " is not one kind of arc",
                "Give it through: [a, b, c]; or from, to, radius and bulge; or round, from, to and way.",
            )
        return self


class CopyOf(Shape):
    """A line of another construction or an edge of another piece, turned over, turned and moved, in that order."""

    line: Words
    mirrored_in: Words | None = None
    turned_round: Words | None = None
    turned_by: Value | None = None
    move: Two | None = None

    @model_validator(mode="after")
    def _turned_by_something(self) -> CopyOf:
        if (self.turned_round is None) != (self.turned_by is None):
            raise refuse(" is turned by half", "Give it both turned round: and turned by:.")
        return self


class PartOf(Shape):
    line: Words
    from_: Words
    to: Words


class Parallel(Shape):
    to: Words
    by: Value
    toward: Words


class Line(Shape):
    straight: AtLeastTwo | None = None
    curve: AtLeastTwo | None = None
    arc: LineArc | None = None
    ellipse: Two | None = None
    copy_: CopyOf | None = None
    part_of: PartOf | None = None
    joined: AtLeastTwo | None = None
    parallel: Parallel | None = None
    leave: Words | None = None
    arrive: Words | None = None

    @model_validator(mode="after")
    def _one_kind(self) -> Line:
        kinds = [k for k in LINE_KINDS if getattr(self, k) is not None]
        if len(kinds) != 1:
            raise refuse(
                " must be straight or a curve" if not kinds else f" is drawn in {len(kinds)} ways",
                f"Give it one of {_listed(LINE_KINDS)}, such as straight: [a, b] or curve: [a, b, c].",
            )
        if self.leave is not None and kinds[0] not in ("curve", "ellipse"):
            raise refuse(" has leave without curve or ellipse", "Take it out.")
        if self.ellipse is not None and (self.leave is None or self.arrive is not None):
            raise refuse(
                " is a quarter of an ellipse, which says how it leaves",
                "Add leave: and no arrive:; it arrives square to that.",
            )
        return self


class Group(Shape):
    points: dict[Name, Point] = {}
    lines: dict[Name, Line] = {}
