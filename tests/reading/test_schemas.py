"""JSON schemas that agree with what the readers accept."""

from __future__ import annotations

import json

from booklet.reading.schemas import schemas


def test_there_is_one_for_each_file_and_it_is_plain_json() -> None:
    made = schemas()
    assert sorted(made) == [f"{n}.schema.json" for n in ("body", "draft", "sewing", "shop", "sizes", "style")]
    assert json.loads(json.dumps(made)) == made


def test_keys_are_spelt_as_in_the_files_and_others_are_refused() -> None:
    draft = schemas()["draft.schema.json"]
    piece = draft["$defs"]["PieceShape"]
    assert {"fold lines", "drawn for", "hem folds", "from", "lines across"} <= set(piece["properties"])
    assert piece["additionalProperties"] is False


def test_choices_and_needed_keys_are_completed() -> None:
    made = schemas()
    assert made["style.schema.json"]["properties"]["units"]["enum"] == ["in", "cm", "mm"]
    assert {"style", "title", "base", "cloths"} <= set(made["style.schema.json"]["required"])
    assert "'required'" not in str(made["shop.schema.json"])
