"""The page of cloth and notions: the chosen width, widths that are not laid, and widths that do not do."""

from __future__ import annotations

from dataclasses import replace

from sample_job import sample_job

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.pages.cloth_page import cloth_leaves
from booklet.pages.words import words_for


def texts(units: str = "cm", **cloth: object) -> list[Text]:
    job = sample_job(units=units)
    first, *rest = job.size.cloths
    size = replace(job.size, cloths=(replace(first, **cloth), *rest))  # type: ignore[arg-type]
    leaves = cloth_leaves(replace(job, sizes=(size,)), words_for("en"))
    return [f.item for leaf in leaves for f in flat_items(leaf.items) if isinstance(f.item, Text)]


def test_a_width_reckoned_by_area_stands_with_what_to_buy() -> None:
    found = [t.text for t in texts(estimates=((1500.0, 1200.0),))]
    assert found.count("reckoned by area, not laid") == 1
    assert "1.20\u00a0m" in found


def test_a_width_that_does_not_do_is_told_plainly() -> None:
    why = "Back is 32 mm too wide for it"
    found = " ".join(t.text.replace("\u00a0", " ") for t in texts(refusals=((600.0, why),)))
    assert f"can't be laid: {why}" in found and "60 cm" in found


def test_weights_of_cloth_are_in_the_booklets_unit() -> None:
    assert any("oz/yd²" in t.text for t in texts("in")) and not any("g/m²" in t.text for t in texts("in"))
    assert any("g/m²" in t.text for t in texts("cm")) and not any("oz/yd²" in t.text for t in texts("cm"))
