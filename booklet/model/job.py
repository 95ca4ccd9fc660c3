"""Everything a booklet will say: each size's results, the steps, the style's and the shop's own words."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Literal

from booklet.model.cloth import ClothNeed, Notion, Working
from booklet.model.cutting import CutPiece
from booklet.model.measures import BodyMeasure, Finished
from booklet.model.piece import Draft
from booklet.model.seams import Copy, Seam
from booklet.model.sewing import Step
from booklet.paths import Placement
from booklet.wording import NONE, Wording


@dataclass(frozen=True)
class SizedResult:
    """Everything of one size."""

    size: str
    body_name: str
    body_code: str
    measures: tuple[BodyMeasure, ...]
    finished: tuple[Finished, ...]
    draft: Draft
    copies: tuple[Copy, ...]
    seams: tuple[Seam, ...]
    cut_pieces: tuple[CutPiece, ...]
    cloths: tuple[ClothNeed, ...] = ()
    notions: tuple[Notion, ...] = ()
    openings: tuple[Finished, ...] = ()
    workings: tuple[Working, ...] = ()  # of what is made and not bought: bias strips

    @cached_property
    def copy_by_id(self) -> dict[str, Copy]:
        return {c.id: c for c in self.copies}

    def cut_piece(self, key: str) -> CutPiece:
        return next(c for c in self.cut_pieces if c.piece.key == key)


@dataclass(frozen=True)
class StyleInfo:
    """The words of a style for the cover and the running heads."""

    code: str
    title: str
    summary: str
    version: str
    dated: str
    level: str
    options: tuple[tuple[str, str, str], ...]  # option, chosen, words
    cautions: tuple[str, ...]
    changes: tuple[tuple[str, str, str], ...] = ()  # version, date, what is new in it; the newest first


@dataclass(frozen=True)
class Rates:
    """What a shop reckons with: for an hour of work, each cloth by its key, and notions by their words.

    What is sold by length is priced for one of `per`.
    """

    currency: str
    hour: float | None
    cloth: Mapping[str, float]
    notions: Mapping[str, float]
    per: Literal["m", "yd"] = "m"


@dataclass(frozen=True)
class ShopInfo:
    """What a booklet says of its maker. Lengths in mm."""

    name: str
    contact: str
    stitch: float = 2.5  # mm: the stitch length of plain seams
    stitches: Mapping[str, float] = field(default_factory=dict)
    tolerances: Mapping[str, float] = field(default_factory=dict)
    terms: tuple[str, ...] = ()
    mark: object | None = None  # a Drawing, its longer side 100 mm
    rates: Rates | None = None
    palette: Mapping[str, str] = field(default_factory=dict)  # the booklet's own colours -> the shop's


@dataclass(frozen=True)
class Stack:
    """How the sizes of a printed piece lie on each other: the place where they meet, and a placement a size.

    A placement brings that size's drawing onto the base size's.
    """

    piece: str
    at: str  # as the style names it: 'neckline at centre'
    placements: tuple[Placement, ...]


@dataclass(frozen=True)
class Job:
    """Everything the booklet will say, nothing drawn on pages yet.

    `sizes` in size order, alike but for lengths and counts; pictures and lays are those of the `base` one, `steps` are
    told for all sizes at once. `sized_steps` holds each size's own steps, the base's with their pictures.
    """

    style: StyleInfo
    shop: ShopInfo
    units: Literal["cm", "in"]
    paper: Literal["a4", "letter"]
    sizes: tuple[SizedResult, ...]
    steps: tuple[Step, ...]
    problems: tuple[object, ...] = ()
    language: str = "en"
    wording: Wording = NONE  # the shop's own texts
    views: tuple[tuple[str, object], ...] = ()  # (title, Drawing) of the garment, for the cover
    base: int = 0
    sized_steps: tuple[tuple[Step, ...], ...] = ()
    stacks: tuple[Stack, ...] = ()  # of a nest, by piece

    @property
    def size(self) -> SizedResult:
        """The size that pictures and words are drawn from."""
        return self.sizes[self.base]

    @property
    def nested(self) -> bool:
        return len(self.sizes) > 1
