"""A half piece opened out while it is shaped, for a body whose left and right differ: each half is its own side's."""

from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from booklet.prepare import Prepared, prepare
from booklet.problems import Collector
from booklet.reading.read import Sided, read_body, read_style
from booklet.reading.shop import read_shop

ROOT = Path(__file__).resolve().parents[2]


def skirt(folder: Path, height: tuple[float, float]) -> Prepared:
    """The skirt for a body with one waist height at the left, another at the right."""
    body = read_body(ROOT / "demo/bodies/marit.yaml")
    body = replace(body, measures={**body.measures, "waist_height": Sided(*height)})
    collector = Collector()
    made = prepare(read_style(folder), body, {}, "cm", read_shop(ROOT / "styles/skirt"), collector)
    assert not collector.errors, [p.sentence() for p in collector.errors]
    return made


@pytest.mark.parametrize("height", [(1040.0, 1030.0), (1035.0, 1045.0)])
def test_the_opened_back_is_the_one_that_is_cut_from_two_unlike_halves(
    tmp_path: Path, height: tuple[float, float]
) -> None:
    folder = tmp_path / "skirt"
    shutil.copytree(ROOT / "styles/skirt", folder)
    text = (folder / "draft.yaml").read_text(encoding="utf-8")
    text = text.replace("back.waist.left + back.waist.right", "back.waist")
    text = text.replace("    fold: centre\n", "    fold: centre\n    do: [{open out: true}]\n", 1)
    (folder / "draft.yaml").write_text(text, encoding="utf-8")
    plain, opened = skirt(ROOT / "styles/skirt", height), skirt(folder, height)
    one, other = plain.draft.pieces["back"], opened.draft.pieces["back"]
    assert other.fold is None
    assert [e.name for e in other.edges] == [e.name for e in one.edges]
    assert [(h.base, h.side) for h in other.ring] == [(h.base, h.side) for h in one.ring]
    for mine, theirs in zip(other.edges, one.edges, strict=True):
        assert mine.length == pytest.approx(theirs.length, abs=1e-6)
        assert [m.at for m in mine.marks] == pytest.approx([m.at for m in theirs.marks], abs=1e-6)
    sides = {e.name: e.length for e in other.edges}
    assert abs(sides["side.left"] - sides["side.right"]) > 1
    assert [t.edge for t in other.trueings] == ["waist", "hem"]
