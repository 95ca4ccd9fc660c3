"""JSON schemas of the files, from which editors complete keys and choices."""

from __future__ import annotations

from typing import Any

from booklet.reading.body_shape import BodyShape
from booklet.reading.draft_shape import DraftShape
from booklet.reading.sewing_shape import SewingShape
from booklet.reading.shape import Shape
from booklet.reading.shop_shape import ShopShape
from booklet.reading.sizes_shape import SizesShape
from booklet.reading.style_shape import StyleShape

_FILES: tuple[tuple[str, type[Shape]], ...] = (
    ("style", StyleShape),
    ("draft", DraftShape),
    ("sewing", SewingShape),
    ("body", BodyShape),
    ("shop", ShopShape),
    ("sizes", SizesShape),
)


def schemas() -> dict[str, dict[str, Any]]:
    """File name -> schema. Formulas and names of edges are plain text to them; `booklet check` looks into those."""
    made: dict[str, dict[str, Any]] = {}
    for name, shape in _FILES:
        schema = {
            "$schema": "https://json-schema.org/draft/2020-12/schema",
            **shape.model_json_schema(by_alias=True),
        }
        if name == "shop":  # whatever a shop leaves out comes from the package
            schema = _without_required(schema)
        made[f"{name}.schema.json"] = schema
    return made


def _without_required(schema: Any) -> Any:
    if isinstance(schema, dict):
        return {k: _without_required(v) for k, v in schema.items() if k != "required"}
    return [_without_required(item) for item in schema] if isinstance(schema, list) else schema
