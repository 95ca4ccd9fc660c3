"""Darts split between two edges in a whole style: seams still meet, steps tell each edge, pictures are clean."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.drafts import STYLES
from helpers.step_words import shop
from helpers.steps import pictures, prepared

from booklet.drawing.judge import judge
from booklet.prepare import Prepared
from booklet.reading.read import read_body, read_style
from booklet.sewing.words import write_steps

BODY = STYLES.parent / "demo" / "bodies" / "marit.yaml"
FRONT = """  front_block:
    half: left
    outline: [front.neckline, front.shoulder, front.armhole, front.side, front.hem, front.centre]
    fold: centre
    levels: {bust: back.under, hem: back.hem_side}
    darts: {bust: {on: side, from: armhole, at: 2.5, takes: longer, to: front.apex, press: to hem}}
  front:
    from: front_block
    number: 1
    title: Front
    do:
      - split dart: {dart: bust, into: [side_dart, shoulder_dart], share: 1/2, short of point: 1,
                     to: {on: shoulder, from: neckline, at: 1.5}}
"""


def top(folder: Path, units: str) -> Prepared:
    """The round-neck top with darts in its front, whose side is drawn longer by what the dart takes."""
    texts = {
        n: (STYLES / "top" / f"{n}.yaml").read_text(encoding="utf-8") for n in ("style", "draft", "sewing")
    }
    draft = texts["draft"].replace(
        "  length: ", "  longer: length of straight(back.under, front.hem_side) - length of back.side\n  length: "
    )  # fmt: skip
    draft = draft.replace(
        "      hem_centre: {down: length + 0.25}",
        "      hem_centre: {down: length + 1.75}\n      hem_side: {from: back.hem_side, down: 1.5}\n"
        "      apex: {across: bust_girth / 10, down: scye_line + 1}",
    )
    draft = draft.replace(
        "side: {straight: [back.under, back.hem_side]}", "side: {straight: [back.under, hem_side]}"
    )
    draft = draft.replace("hem: {curve: [back.hem_side,", "hem: {curve: [hem_side,")
    head, tail = draft.split("  front:\n    number: 1\n", 1)
    texts["draft"] = head + FRONT + tail[tail.index("    cut: {main: 1}") :]
    steps = "  - dart: [front.side_dart, front.shoulder_dart]\n    id: darts\n"
    part = "  - part: Shoulders and neckline\n"
    texts["sewing"] = texts["sewing"].replace(part, steps + part)
    for name, text in texts.items():
        (folder / f"{name}.yaml").write_text(text, encoding="utf-8")
    return prepared(read_style(folder), read_body(BODY), {"neck": "slit", "sleeve_end": "elastic"}, units)


@pytest.mark.parametrize("units", ["cm", pytest.param("in", marks=pytest.mark.more)])
def test_split_darts_are_told_edge_by_edge_and_drawn_clean(tmp_path: Path, units: str) -> None:
    made = top(tmp_path, units)
    shown = {step: drawings for step, _, drawings, left in pictures(made, units) if left == ()}
    assert len(shown["darts"]) > 0
    for drawing in shown["darts"]:
        assert judge(drawing) == []
    words = next(
        w
        for w in write_steps(made.seams.steps, made.seams, made.copies, made.table, shop(), units)
        if w.id == "darts"
    )
    text = " ".join(words.paragraphs)
    assert "Fold each dart of the front\u00a0(1) right sides together" in text
    assert "at the side of the front" in text
    assert "at the shoulder of the front" in text
    assert "towards the hem at the side of the front, the centre at the shoulder" in text
    assert "at the side of the front" in words.check


def test_the_front_with_its_darts_sewn_meets_the_back(tmp_path: Path) -> None:
    made = top(tmp_path, "cm")
    front, back = (made.draft.pieces[k] for k in ("front", "back"))
    for name in ("side", "shoulder"):
        mine, theirs = front.edge(name), back.edge(name)
        assert mine is not None
        assert theirs is not None
        assert mine.sewn_length == pytest.approx(theirs.sewn_length, abs=1e-4)
    bust = next(f for f in made.finished if f.name == "bust")
    assert bust.garment_mm - (bust.body_mm or 0) == pytest.approx(4 * 25.4, abs=6)  # the ease the draft gives
