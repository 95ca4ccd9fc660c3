"""A sleeveless bodice with all-in-one facings and a lining, sewn from shoulder to side seam in one."""

from __future__ import annotations

from pathlib import Path

import pytest
from helpers.steps import pictures, prepared

from booklet.drawing.judge import judge
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector
from booklet.reading.read import read_body, read_style
from booklet.reading.shop import read_shop

NEW = Path(__file__).resolve().parents[2] / "templates" / "new"
DRAFT = """units: cm
values:
  quarter: (hip_girth + 10) / 4
construction:
  b:
    points: {nape: {down: 2}, neck: {across: 11}, tip: {across: 17, down: 3}, blade: {across: 17, down: 13},
             under: {across: quarter, down: 22}, es: {across: quarter, down: 58}, ec: {down: 58}}
    lines:
      neckline: {curve: [nape, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      armhole: {curve: [tip, blade, under], leave: square to shoulder, arrive: across}
      side: {straight: [under, es]}
      hem: {straight: [es, ec]}
      centre: {straight: [ec, nape]}
  f:
    points: {pit: {down: 12}, chest: {across: 16, down: 14}}
    lines:
      neckline: {curve: [pit, b.neck], leave: across, arrive: square to b.shoulder}
      armhole: {curve: [b.tip, chest, b.under], leave: square to b.shoulder, arrive: across}
      centre: {straight: [b.ec, pit]}
marks:
  front_notch: {on: front.armhole, from: side, at: 7}
  back_notch: {on: back.armhole, from: side, at: 7, notch: double}
pieces:
"""
PIECE = """  {key}:
    number: {n1}
    title: {key}
    half: {half}
    outline: [{c}.neckline, b.shoulder, {c}.armhole, b.side, b.hem, {c}.centre]
    fold: centre
    levels: {{hip: b.under}}
    cut: {{main: 1}}
    allow: {{hem: 3, neckline: 1, armhole: 1, other: 1.5}}
    hem folds: [hem]
  {key}_facing:
    number: {n3}
    title: {key} facing
    all in one facing: {{of: {key}, edges: [neckline, armhole], wide: 6}}
    cut: [{{cloth: main, count: 1, as: whole on fold}},
          {{cloth: interfacing, count: 1, as: whole on fold, trim: to stitch line}}]
    allow: {{outer: 1.5, other: as {key}}}
  {key}_lining:
    number: {n5}
    title: {key} lining
    lining: {{of: {key}, less facing: {{upper: {key}_facing}}, pleat: 2.5}}
    cut: {{lining: 1}}
    allow: {{hem: 2, other: 1.5}}
    hem folds: [hem]
"""
BEFORE = """steps:
  - fuse: [front_facing, back_facing]
  - join: [front.shoulder, back.shoulder]
  - join: [front_facing.shoulder, back_facing.shoulder]
    neaten: raw
  - face: {edge: 'ring(front.neckline, back.neckline)', with: 'ring(front_facing.neckline, back_facing.neckline)'}
    id: neck
    then: [trim, clip, turn, press]
  - face: {edge: 'chain(front.armhole, back.armhole)', with: 'chain(front_facing.armhole, back_facing.armhole)'}
    id: armholes
    then: [trim, clip, turn, press]
  - pleat: [front_lining.centre_pleat, back_lining.centre_pleat]
"""
LINED = """  - join: [front_lining.upper, front_facing.outer]
    id: front-lining
    press: to front_lining
    neaten: enclosed
  - join: [back_lining.upper, back_facing.outer]
    id: back-lining
    press: to back_lining
    neaten: enclosed
"""
IN_ONE = """  - join: ['chain(front.side, front_facing.side, front_lining.side)',
           'chain(back.side, back_facing.side, back_lining.side)']
    id: sides
"""
APART = """  - join: [front.side, back.side]
    id: sides
  - join: ['chain(front_facing.side, front_lining.side)', 'chain(back_facing.side, back_lining.side)']
    id: inner-sides
"""
CLOTHS = """  lining: {title: lining, widths: [140 cm]}
  interfacing: {title: interfacing, widths: [90 cm], fusible: true}
"""
HEMS = """  - hem: {run: 'ring(front.hem, back.hem)', kind: single}
  - hem: {run: 'ring(front_lining.hem, back_lining.hem)', kind: double}
"""


def bodice(folder: Path, steps: str) -> None:
    """The bodice's files, with this recipe."""
    draft = DRAFT
    for n, (key, half, c) in enumerate((("front", "left", "f"), ("back", "right", "b")), 1):
        draft += PIECE.format(key=key, half=half, c=c, n1=n, n3=n + 2, n5=n + 4)
    style = (NEW / "style.yaml").read_text()
    style = style[: style.index("options:")] + style[style.index("cloths:") :]
    style = style[: style.index("finished:")] + style[style.index("views:") :]
    style = style.replace("  - elastic: {wide: 2.5, for: waist casing}\n", "")
    (folder / "style.yaml").write_text(style.replace("\nnotions:", f"\n{CLOTHS}\nnotions:", 1))
    (folder / "draft.yaml").write_text(draft)
    (folder / "sewing.yaml").write_text(steps)
    (folder / "body.yaml").write_text((NEW / "body.yaml").read_text())


def made(folder: Path) -> Prepared:
    return prepared(read_style(folder), read_body(folder / "body.yaml"), {})


def told(folder: Path, steps: str) -> list[str]:
    """The codes of what is told of it."""
    bodice(folder, steps)
    collector = Collector()
    prepare(read_style(folder), read_body(folder / "body.yaml"), {}, "cm", read_shop(None), collector)  # type: ignore[arg-type]
    return [p.code for p in collector.problems]


def test_facings_and_lining_meet_and_are_drawn(tmp_path: Path) -> None:
    bodice(tmp_path, BEFORE + LINED + IN_ONE + HEMS)
    seams = made(tmp_path).seams.seams
    for step in ("front-lining", "back-lining", "neck", "armholes"):
        for seam in (s for s in seams if s.step == step and s.b is not None):
            assert seam.difference == pytest.approx(0, abs=0.02)
    for step, _, drawings, left in pictures(made(tmp_path)):
        assert left == (), step
        for drawing in drawings:
            assert [f.what for f in judge(drawing)] == [], step


def test_armholes_faced_before_sides_sewn_in_one_are_no_mistake(tmp_path: Path) -> None:
    assert "band-early" not in told(tmp_path, BEFORE + LINED + IN_ONE + HEMS)


def test_armholes_faced_before_sides_sewn_apart_are_told(tmp_path: Path) -> None:
    assert "band-early" in told(tmp_path, BEFORE + LINED + APART + HEMS)
