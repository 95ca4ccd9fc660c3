"""The shape of an entry of `buttons:` on a piece: a row of buttons, or of buttonholes, along a line."""

from __future__ import annotations

from typing import Literal

from pydantic import model_validator

from booklet.reading.shape import Plain, Shape, Value, When, Words, refuse


class ButtonRow(Shape):
    """Places on a line across, a fold line or an edge of the piece: from its end at the edge `from:`.

    Of `count`, `apart` and `last` two say where all the others are; one place alone needs none of them.
    """

    on: Words
    from_: Words
    inside: Value | None = None  # of an edge: how far inside it
    first: Value | None = None
    mark: Words | None = None  # of an edge: the mark at which the first lies
    last: Value | None = None
    apart: Value | None = None
    count: Plain | None = None
    size: Value
    thick: Value | None = None
    round: Value | None = None  # a strip wrapped round a ball or an odd button
    holes: Literal["right", "left", "both", "none"]
    cut: Literal["along", "across"] = "along"
    when: When = None

    @model_validator(mode="after")
    def _placed(self) -> ButtonRow:
        given = [k for k in ("count", "apart", "last") if getattr(self, k) is not None]
        if self.thick is not None and self.round is not None:
            raise refuse(" has thick and round", "Give a flat button thick:, a ball or an odd one round:.")
        if len(given) == 3:
            raise refuse(" has count, apart and last", "Two of them say where the others are: leave one out.")
        if self.first is not None and self.mark is not None:
            raise refuse(" begins at two places", "Give it first: or mark:.")
        if len(given) == 1 and given != ["count"]:
            raise refuse(f" has {given[0]} alone", "Add count:, or leave it out for one button.")
        return self
