"""The shape of `do:` in draft.yaml: one class a shaping verb, and `Shaping`, an entry with just one of them."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from booklet.reading.shape import Shape, Value, Words, refuse
from booklet.reading.shaping_cuts import CutAcross, CutAlong, CutBand
from booklet.reading.shaping_darts import CloseDart, DrawnDart, MoveDart, SplitDart
from booklet.reading.shaping_fullness import Pleat, SlashAndSpread
from booklet.reading.shaping_piece import Bare, Extend, JoinTo, Lengthen, Vent


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


class Shaping(Shape):
    """One entry of `do:`: exactly one shaping verb."""

    fit_cap: FitCap | None = None
    slash_and_spread: SlashAndSpread | None = None
    pleat: Pleat | None = None
    cut_along: CutAlong | None = None
    cut_across: CutAcross | None = None
    cut_off_band: CutBand | None = None
    dart: DrawnDart | None = None
    move_dart: MoveDart | None = None
    split_dart: SplitDart | None = None
    close_dart: CloseDart | None = None
    lengthen: Lengthen | None = None
    extend: Extend | None = None
    open_out: Bare | None = None
    mirror: Bare | None = None
    join_to: JoinTo | None = None
    vent: Vent | None = None

    @model_validator(mode="after")
    def _one_verb(self) -> Shaping:
        if len(self.model_fields_set) != 1:
            raise refuse(f" has {len(self.model_fields_set)} verbs", "Write one shaping to an entry of do:.")
        return self
