"""The shapes of the ways in which collars are given: flat, on a stand, and the stand."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, StrictStr, model_validator

from booklet.reading.shape import Shape, Value, Words, refuse

Necks = Annotated[list[StrictStr], Field(min_length=1)]


class CollarStandShape(Shape):
    """Edges from centre back to the front; `past centre` of them lie beyond the centre front, `extension` is added on."""

    neck: Necks
    high: Value
    high_front: Value | None = None
    extension: Value | None = None
    past_centre: Value | None = None
    rise: Value | None = None


class CollarShape(Shape):
    """A collar for a stand or a neckline; or the under collar of one."""

    stand: Words | None = None
    neck: Necks | None = None
    under: Words | None = None
    past_centre: Value | None = None
    wide_back: Value | None = None
    wide_point: Value | None = None
    spread: Value | None = None
    drop: Value | None = None
    round: Value | None = None
    turn: Value | None = None

    @model_validator(mode="after")
    def _one_neck(self) -> CollarShape:
        given = [k for k in ("stand", "neck", "under") if getattr(self, k) is not None]
        if len(given) != 1:
            raise refuse(
                f" is drawn for {' and '.join(given) or 'nothing'}",
                "Give it one of stand: PIECE, neck: [edges] or under: PIECE.",
            )
        if self.under is None:
            if self.wide_back is None or self.wide_point is None:
                raise refuse(" has no width", "Give it wide back: and wide point:.")
            if self.turn is not None:
                raise refuse(
                    " has a turn of cloth of its own",
                    "Give the under collar: collar: {under: PIECE, turn: 2 mm}.",
                )
            if self.past_centre is not None and self.neck is None:
                raise refuse(" ends where its stand does", "Take out past centre:.")
            return self
        others = ("past_centre", "wide_back", "wide_point", "spread", "drop", "round")
        if self.turn is None or any(getattr(self, k) is not None for k in others):
            raise refuse(" is the under collar of another", "Give it under: and turn: alone.")
        return self


class FlatCollarShape(Shape):
    neck: Annotated[list[StrictStr], Field(min_length=2, max_length=2)]
    shoulder_overlap: Value
    wide: Value
    wide_point: Value | None = None
    spread: Value | None = None
    round: Value | None = None
