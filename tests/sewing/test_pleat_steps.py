"""Pleats in a whole style: folded before the seams that cross them, told in words, drawn, left out of finished widths."""

from __future__ import annotations

import re
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
CASING = "    fold lines:\n      casing_line: {off: waist, by: casing}\n"
FRONT = """    do:
      - pleat: {kind: inverted, name: middle, on: 'waist[centre..side]', to: hem, at: 0, deep: 5}
      - pleat: {kind: knife, name: pleats, on: 'waist[centre..side]', to: hem, places: 3, deep: 2, press: to centre}
"""
BACK = """    do:
      - pleat: {kind: tuck, name: tuck, on: 'waist[centre..side]', to: hem, at: 11, deep: {at: 1.5}, press: to centre}
      - pleat: {kind: box, name: box, on: 'waist[centre..side]', to: hem, at: 0, deep: 3}
"""
PLEATS = """  - pleat: [front.middle, front.pleats]
    id: front-pleats
  - pleat: [back.tuck, back.box]
    id: back-pleats
"""
SIDES = "  - join: [front.side, back.side]\n    id: sides\n    press: open\n    neaten: apart\n"
REST = """  - finish: ['ring(front.waist, back.waist)']
    id: waist
  - hem: {run: 'ring(front.hem, back.hem)', kind: single}
    id: hem
"""


def skirt(folder: Path, steps: str, units: str = "cm") -> Prepared:
    """The small skirt that `booklet new` writes, its casing gone and pleats in its stead."""
    for name in ("style", "draft", "sewing", "body"):
        text = (NEW / f"{name}.yaml").read_text()
        if name == "draft":
            text = text.replace(CASING, FRONT, 1).replace(CASING, BACK, 1)
        if name == "sewing":
            text = text[: text.index("steps:")] + "steps:\n" + steps
        if name == "style":
            text = text.replace("  - elastic: {wide: 2.5, for: waist casing}\n", "")
            text = text[: text.index("# What must pass")] + text[text.index("views:") :]
        (folder / f"{name}.yaml").write_text(text)
    return prepared(read_style(folder), read_body(folder / "body.yaml"), {"length": "knee"}, units)


@pytest.mark.parametrize("units", ["cm", "in"])
def test_every_pleat_has_words_and_a_clean_picture(tmp_path: Path, units: str) -> None:
    made = skirt(tmp_path, PLEATS + SIDES + REST, units)
    shown = {step: drawings for step, _, drawings, left in pictures(made, units) if left == ()}
    for step in ("front-pleats", "back-pleats"):
        assert shown[step], step
        for drawing in shown[step]:
            assert drawing.width <= 106.0
            assert [f.what for f in judge(drawing)] == [], step
    seams = made.seams
    words = {w.id: w for w in write_steps(seams.steps, seams, made.copies, made.table, shop(), units)}  # type: ignore[arg-type]
    front, back = ("\n".join(words[s].paragraphs) for s in ("front-pleats", "back-pleats"))
    assert "fold the inverted pleat along its two fold lines" in front  # one, though a half has half of it
    assert "fold each pleat along its fold line" in front
    assert "towards the centre" in front
    assert "Fold each tuck of the back" in back
    assert "the folds point away from each other" in back
    for text in (front, back):
        assert not re.search(r"None|[{}_]|  ", text)
        assert all(len(s.split(" ")) <= 31 for s in re.split(r"(?<=[.!?])\s", text))
    # Folded, both waists are that of the plain skirt.
    waists = {c.id: c.by_name["waist"].edge for c in made.copies}
    assert waists["front"].sewn_length == pytest.approx(waists["back"].sewn_length, abs=0.05)
    assert waists["front"].length - waists["front"].sewn_length == pytest.approx(200 + 6 * 40, abs=1.0)


def test_pleats_come_before_the_seam_that_crosses_them(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"front\.pleats is folded after step 'waist', which crosses its end"):
        skirt(
            tmp_path,
            SIDES + REST.replace("finish:", "hem:").replace("[", "{run: ").replace("]", "}", 1) + PLEATS,
        )


def test_a_pleat_that_is_never_folded_is_told(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"the pleat front\.middle is never folded"):
        skirt(tmp_path, PLEATS.replace("front.middle, ", "") + SIDES + REST)


def test_an_unknown_pleat_names_the_nearest(tmp_path: Path) -> None:
    with pytest.raises(Fault, match=r"Did you mean 'back\.box'"):
        skirt(tmp_path, PLEATS.replace("back.box", "back.boxx") + SIDES + REST)


def test_a_finished_width_leaves_out_what_is_folded(tmp_path: Path) -> None:
    made = skirt(tmp_path, PLEATS + SIDES + REST)
    (hip,) = (f for f in made.finished if f.name == "hip")
    assert hip.ease_mm == pytest.approx(80, abs=8)  # as the plain skirt's, within what the tuck has tapered
