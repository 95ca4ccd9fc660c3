"""Steps as they will be printed."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.problems import Where


@dataclass(frozen=True)
class StepPicture:
    """One frame of a step: a drawing (booklet.drawing.Drawing) in page millimetres, with its kind."""

    kind: str  # together, opened, round, side by side, edge, section, close-up, fusing, flat
    drawing: object


@dataclass(frozen=True)
class Answer:
    """A soft rule of the sewing order that a step goes against, and the shop's reason (`although:`)."""

    rule: str  # its id
    reason: str


@dataclass(frozen=True)
class SizeRow:
    """What a bold letter in a step stands for: a value a size, '' where a size has none."""

    letter: str
    values: tuple[str, ...]


@dataclass(frozen=True)
class Step:
    """One numbered step as it will be printed. `text` holds paragraphs with **bold** figures.

    `by_size`: what its letters stand for where it is told for several sizes at once.
    """

    number: int
    id: str
    operation: str
    title: str
    part: str  # heading of its page group; '' continues the last
    text: tuple[str, ...]
    check: str
    minutes: int
    seams: tuple[str, ...]  # ids
    touches_cloth: bool
    where: Where
    pictures: tuple[StepPicture, ...] = ()
    note: str = ""
    answers: tuple[Answer, ...] = ()
    by_size: tuple[SizeRow, ...] = ()
