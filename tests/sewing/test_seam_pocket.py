"""A pocket in a seam, sewn with plain joins: bags to the stretch between the dots, then the seam that leaves it open."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.step_words import shop
from helpers.steps import pictures, prepared

from booklet.drawing.judge import judge
from booklet.prepare import Prepared
from booklet.problems import Fault
from booklet.reading.read import read_body, read_style
from booklet.sewing.words import write_steps

NEW = Path(__file__).resolve().parents[2] / "templates" / "new"
BAG = """  {key}_bag:
    number: {n}
    title: {title} pocket bag
    pocket: {{in: {key}, edge: side, from: waist, at: 6, mouth: 16, deep: 28, wide: 16}}
    cut: {{main: 2}}
    allow: {{other: 1.5}}
"""
MOUTHS = """  - join: [front_bag.mouth, 'front.side[pocket_top..pocket_foot]']
    id: front-bags
    press: to front_bag
  - join: [back_bag.mouth, 'back.side[pocket_top..pocket_foot]']
    id: back-bags
    press: to back_bag
"""
SIDES = """  - join: [front.side, back.side]
    id: sides
    leave open: [pocket_top..pocket_foot]
"""
BAGS = """  - join: [front_bag.bag, back_bag.bag]
    id: bags
    press: none
"""


def skirt(folder: Path, steps: str) -> Prepared:
    """The small skirt that `booklet new` writes, with pocket bags; its hip notch lies between the pocket's dots."""
    for name in ("style", "draft", "sewing", "body"):
        text = (NEW / f"{name}.yaml").read_text()
        if name == "draft":
            text += BAG.format(key="front", title="Front", n=3) + BAG.format(key="back", title="Back", n=4)
        if name == "sewing":
            start, end = text.index("  - part: Skirt"), text.index("  - part: Waist and hem")
            text = text[:start] + steps + text[end:]
        (folder / f"{name}.yaml").write_text(text)
    return prepared(read_style(folder), read_body(folder / "body.yaml"), {"length": "knee"})


def test_a_pocket_in_the_side_seam_is_sewn_told_and_drawn(tmp_path: Path) -> None:
    made = skirt(tmp_path, MOUTHS + SIDES + BAGS)
    seams = made.seams
    side = next(s for s in seams.seams if s.step == "sides")
    assert sum(s.a_mm for s in side.sections if s.open) == pytest.approx(160, abs=0.01)
    assert len([s for s in side.sections if s.open]) == 2  # the hip's notch lies between the dots
    mouths = [s for s in seams.seams if s.step in ("front-bags", "back-bags")]
    assert len(mouths) == 4
    for seam in mouths:
        assert seam.a_mm == pytest.approx(160, abs=0.01)
        assert seam.b_mm == pytest.approx(160, abs=0.01)
    words = {w.id: w for w in write_steps(seams.steps, seams, made.copies, made.table, shop(), "cm")}  # type: ignore[arg-type]
    said = "\n".join(words["sides"].paragraphs).replace("\xa0", " ")
    assert "leave **160 mm** open between the crosses" in said
    assert "sew round the opening" not in said  # its edges are sewn to the bags
    shown = {step: drawings for step, _, drawings, left in pictures(made) if left == ()}
    for step in ("front-bags", "back-bags", "sides", "bags"):
        for drawing in shown[step]:
            assert [f.what for f in judge(drawing)] == [], step


def test_a_seam_over_a_pockets_mouth_that_leaves_nothing_open_is_told(tmp_path: Path) -> None:
    closed = SIDES.replace("    leave open: [pocket_top..pocket_foot]\n", "")
    with pytest.raises(Fault, match=r"side is sewn again here; step 'front-bags'"):
        skirt(tmp_path, MOUTHS + closed + BAGS)


def test_a_bag_that_is_never_closed_is_told(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"front_bag\.bag is never joined"):
        skirt(tmp_path, MOUTHS + SIDES)
