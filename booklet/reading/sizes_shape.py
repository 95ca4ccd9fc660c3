"""The shape of a style's size table: bodies in columns."""

from __future__ import annotations

import re
from typing import Annotated, Any

from pydantic import AfterValidator, Field, WithJsonSchema

from booklet.reading.shape import FileUnit, Flag, PlainLength, Shape, Words, refuse
from booklet.reading.style_shape import MeasureName

LONGEST_NAME = 12
_NAME = re.compile(r"[^\s,'\"=]+")


def _size_name(raw: Any) -> str:
    """What a size is called: 36, 'XL', '34-36'; as text."""
    if isinstance(raw, bool) or not isinstance(raw, (str, int)):
        raise refuse(f" is '{raw}', which is no name of a size", "Write it such as 36 or XL.")
    name = str(raw)
    if not _NAME.fullmatch(name) or len(name) > LONGEST_NAME or name.lower() == "all":
        mend = f"Write up to {LONGEST_NAME} signs without a space, comma or quote; 'all' is taken."
        raise refuse(f" is '{raw}', which cannot be the name of a size", mend)
    return name


SizeName = Annotated[
    Any, AfterValidator(_size_name), WithJsonSchema({"anyOf": [{"type": "string"}, {"type": "integer"}]})
]


class SizesShape(Shape):
    units: FileUnit = "cm"
    child: Flag = False
    dated: Words = ""
    note: Words = ""
    sizes: list[SizeName] = Field(min_length=1)
    base: SizeName | None = None
    measures: dict[MeasureName, list[PlainLength]] = Field(min_length=1)
