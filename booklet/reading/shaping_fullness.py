"""The shapes of the shaping verbs that add fullness: slash and spread, pleats; circle skirts and flounces."""

from __future__ import annotations

from typing import Annotated, Any, Literal

from pydantic import Discriminator, Field, Tag, model_validator

from booklet.reading.shape import Plain, Ratio, Shape, Value, When, Words, refuse


def _open_form(value: Any) -> str:
    if isinstance(value, list):
        return "(list)"
    given = set(value) if isinstance(value, dict) else set()
    return "(edges)" if given and not given & {"is", "in", "cm", "mm"} else "(amount)"


def _edge_form(value: Any) -> str:
    return "(list)" if isinstance(value, list) else "(amount)"


Each = Annotated[list[Value], Field(min_length=1)]
AtEdge = Annotated[
    Annotated[Value, Tag("(amount)")] | Annotated[Each, Tag("(list)")], Discriminator(_edge_form)
]
Opens = Annotated[
    Annotated[Value, Tag("(amount)")]
    | Annotated[Each, Tag("(list)")]
    | Annotated[Annotated[dict[str, AtEdge], Field(min_length=1)], Tag("(edges)")],
    Discriminator(_open_form),
]


class SlashAndSpread(Shape):
    """From an edge to another, or to a hinge; evenly placed slashes, or ones at given places with their own feet."""

    from_: Words
    to: Words | None = None
    hinge: Words | None = None
    slashes: Plain | None = None
    at: Each | None = None
    feet: Annotated[list[Ratio], Field(min_length=1)] | None = None
    open: Opens
    true: Literal["smooth", "none"] = "smooth"
    when: When = None

    @model_validator(mode="after")
    def _one_of_each(self) -> SlashAndSpread:
        if (self.to is None) == (self.hinge is None):
            raise refuse(
                " runs to nowhere, or to two edges", "Give it to: EDGE, or hinge: EDGE to open nothing there."
            )
        if self.slashes is not None and self.at is not None:
            raise refuse(" has both slashes: and at:", "Write how many slashes, or where each one lies.")
        if self.feet is not None and self.at is None:
            raise refuse(" has feet: without at:", "Say with at: where the slashes begin.")
        return self


class PleatDeep(Shape):
    """How deep a pleat is at its edge, and at its foot (0 tapers to nothing)."""

    at: Value
    foot: Value = 0


def _deep_form(value: Any) -> str:
    return "(ends)" if isinstance(value, dict) and ("at" in value or "foot" in value) else "(amount)"


def _foot_form(value: Any) -> str:
    return "(words)" if value == "straight down" else "(share)"


class Pleat(Shape):
    """One pleat at a place, or even ones between two places: so many, or about so wide in the face."""

    kind: Literal["knife", "box", "inverted", "tuck"]
    name: Words = "pleat"
    on: Words | None = None
    from_: Words | None = None
    to: Words
    at: Value | None = None
    places: Plain | None = None
    face: Value | None = None
    wide: Value | None = None
    foot: (
        Annotated[
            Annotated[Literal["straight down"], Tag("(words)")] | Annotated[Ratio, Tag("(share)")],
            Discriminator(_foot_form),
        ]
        | None
    ) = None
    deep: Annotated[
        Annotated[Value, Tag("(amount)")] | Annotated[PleatDeep, Tag("(ends)")], Discriminator(_deep_form)
    ]
    press: Words | None = None
    when: When = None

    @model_validator(mode="after")
    def _one_of_each(self) -> Pleat:
        if (self.on is None) == (self.from_ is None):
            raise refuse(
                " lies on no edge, or on two",
                "Give it on: EDGE and to: EDGE to be folded at the first alone, or from: EDGE and to: EDGE for both.",
            )
        if sum(x is not None for x in (self.at, self.places, self.face)) != 1:
            raise refuse(" has no place, or several", "Give it one of at:, places: and face:.")
        if self.press is None and self.kind in ("knife", "tuck"):
            raise refuse(
                " is pressed nowhere", "Say press: to EDGE, to centre, or to a line across the piece."
            )
        if self.wide is not None and self.kind != "box":
            raise refuse(" has wide:, which only a box pleat has", "The depth is deep:.")
        return self


class CircleShape(Shape):
    """One of the equal pieces of a circle skirt: the whole waist and length, and how much of a circle it is."""

    waist: Value
    long: Value
    part: Literal["full", "three-quarter", "half", "quarter"] = "full"
    seams: Plain = 1


class FlounceShape(Shape):
    """One of the equal pieces of a circular flounce: the length of its two edges, and how deep it is."""

    top: Value
    bottom: Value
    deep: Value
    seams: Plain = 1
