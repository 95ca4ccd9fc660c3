"""What a step's picture is made from, and a section put beside its frames."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, Literal

from booklet.drawing import look
from booklet.drawing.display import Anchor, Group, Text
from booklet.drawing.labels import Label
from booklet.drawing.text import measure, tidy
from booklet.language import tongue_of
from booklet.model import Seam
from booklet.paths import Placement
from booklet.pictures.bench import Bench
from booklet.pictures.canvas import Picture
from booklet.pictures.label_words import label_words
from booklet.pictures.sections import Section
from booklet.units import show

BELOW = 2.6  # mm from a section's box to the foot of the words below it
BETWEEN = 4.0  # mm between two names in one line


@dataclass(frozen=True)
class StepScene:
    """What a picture may know of its step: the verb, what stands after it, its seams, the bench, the units."""

    verb: str
    spec: Any
    raw: Mapping[str, Any]
    seams: tuple[Seam, ...]
    bench: Bench
    units: Literal["cm", "in"]
    openings: tuple[str, ...] = ()  # names of openings this step faces or closes
    numbers: Mapping[str, float] | None = None  # worked-out lengths the picture shows, mm
    ends: tuple[
        tuple[str, str], ...
    ] = ()  # by copy, an edge: turned in beside a zip, or towards which a strip is

    def mm(self, length: float) -> str:
        return show(length, self.units)

    def said(self, words: str) -> str:
        """A label's words in the booklet's language."""
        return label_words(words, tongue_of(self.units))


def joins(scene: StepScene) -> list[Seam]:
    return [s for s in scene.seams if s.b is not None]


def one_side(seams: list[Seam]) -> Seam:
    """The seam to draw where a step runs once a side: the right one."""
    return next((s for s in seams if s.side in ("right", "whole")), seams[0])


Maker = Callable[[StepScene], Picture | None]


def add_section(picture: Picture, section: Section, x: float, y: float, labels: Mapping[str, str]) -> None:
    """A section with its box's left top corner at (x, y), and labels for its named spots."""
    move = Placement.move(complex(x - section.box[0], y - section.box[1]))
    picture.add_items([Group(section.items, move)], y + section.box[3] - section.box[1])
    for spot, words in labels.items():
        picture.labels.append(Label(words, move.apply(section.spots[spot]), (), True))


def add_named_ends(
    scene: StepScene, picture: Picture, section: Section, x: float, y: float, names: tuple[str, str]
) -> None:
    """A section whose plies 'a' and 'b' run out at its left and right, with their names below the ends if both fit."""
    left, right = (tidy(scene.said(name)) for name in names)
    wide = section.box[2] - section.box[0]
    if measure(left, look.LABEL_PT) + measure(right, look.LABEL_PT) + BETWEEN > wide:
        add_section(picture, section, x, y, {"a": names[0], "b": names[1]})
        return
    add_section(picture, section, x, y, {})
    foot = y + section.box[3] - section.box[1] + BELOW
    ends: tuple[tuple[float, str, Anchor], ...] = ((x, left, "start"), (x + wide, right, "end"))
    words = [Text(at, foot, said, look.LABEL_PT, anchor=anchor, role="label") for at, said, anchor in ends]
    picture.add_items(words, foot + 1.0)
