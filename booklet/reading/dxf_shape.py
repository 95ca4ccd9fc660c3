"""The shape of `dxf:` in draft.yaml: a piece from a block of a DXF file."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Discriminator, Field, StrictStr, Tag, model_validator

from booklet.reading.shape import Count, Name, Plain, Shape, Words, form, refuse

Number = Annotated[Count, Field(ge=1)]
Stretches = Annotated[
    Annotated[list[Number], Field(min_length=1), Tag("(list)")] | Annotated[Number, Tag("(plain)")],
    Discriminator(form),
]
EdgesOf = Annotated[
    Annotated[list[Name], Field(min_length=2), Tag("(list)")]
    | Annotated[dict[Name, Stretches], Field(min_length=2), Tag("(mapping)")],
    Discriminator(form),
]
NotchesOf = Annotated[
    Annotated[list[Name], Tag("(list)")] | Annotated[dict[Name, Number], Tag("(mapping)")],
    Discriminator(form),
]
AllowanceOf = Annotated[
    Annotated[dict[Name, Plain], Field(min_length=1), Tag("(mapping)")] | Annotated[Plain, Tag("(plain)")],
    Discriminator(form),
]


class DxfShape(Shape):
    """A piece from a block. `units` says what one unit of the file is, where the file doesn't, or says it wrongly.

    `allowance` is what lies outside the stitching line of a file that has only the cut line.
    """

    file: Words
    piece: StrictStr | None = None
    edges: EdgesOf
    units: Literal["mm", "cm", "in"] | None = None
    line: Literal["stitch", "cut"] | None = None
    layer: StrictStr | None = None
    allowance: AllowanceOf | None = None
    notches: NotchesOf | None = None

    @model_validator(mode="after")
    def _one_line(self) -> DxfShape:
        if self.line is not None and self.layer is not None:
            raise refuse(" has line: and layer:, which say the same", "Keep one of the two.")
        if self.line == "stitch" and self.allowance is not None:
            raise refuse(" is the stitching line, with no allowance to take off", "Leave allowance: out.")
        return self
