"""A small shirt with straight lines in a test's own folder: fronts that button, a collar on a stand, sleeves with cuffs."""

from __future__ import annotations

from collections.abc import Mapping
from pathlib import Path

from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Fault
from booklet.reading.read import read_body, read_style
from booklet.reading.shop import read_shop

STYLE = """style: S-02
title: Small shirt
version: "1.0"
dated: 2026-01-15
level: first garment
units: cm
base: body.yaml
needs: [bust_girth]
cloths:
  main: {title: main cloth, kind: cotton, widths: [140 cm], shrinkage: 0 %}
  interfacing: {title: interfacing, kind: light, widths: [90 cm], fusible: true, shrinkage: 0 %}
notions:
  - thread: sewing
  - thread: neatening
  - buttons: {rows: [front.row, stand.top], kind: shirt}
finished:
  length: {along: back.centre}
views: {front: [front], back: [back]}
cautions: [needles]
"""
BODY = "name: Sample\ncode: size-1\nunits: cm\nmeasures: {bust_girth: 92}\n"
DRAFT = """units: cm
construction:
  front:
    points:
      pit: {across: 0, down: 8}
      corner: {across: -1.5, down: 8}
      neck: {across: 7, down: 0}
      tip: {across: 18, down: 4}
      under: {across: 24, down: 20}
      side_hem: {across: 24, down: 60}
      foot: {across: 0, down: 60}
      foot_corner: {across: -1.5, down: 60}
    lines:
      neck_stand: {straight: [corner, pit]}
      neck_curve: {curve: [pit, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      armhole: {straight: [tip, under]}
      side: {straight: [under, side_hem]}
      hem: {straight: [side_hem, foot_corner]}
      front_edge: {straight: [foot_corner, corner]}
      centre: {straight: [pit, foot]}
  back:
    points:
      nape: {across: 0, down: 2}
      foot: {across: 0, down: 60}
    lines:
      neckline: {curve: [nape, front.neck], leave: across, arrive: square to front.shoulder}
      hem: {straight: [front.side_hem, foot]}
      centre: {straight: [foot, nape]}
marks:
  centre_front: {on: front.neckline, where: centre}
pieces:
  front:
    number: 1
    title: Front
    drawn for: left
    outline: [{neckline: [front.neck_stand, front.neck_curve]}, front.shoulder, front.armhole, front.side, front.hem,
              front.front_edge]
    lines across: {centre: front.centre}
    buttons:
      row: {on: centre, from: neckline, first: 6, last: 10, count: 7, size: 12 mm, thick: 3 mm, holes: right}
    cut: {main: 2}
    allow: {front_edge: 6, neckline: 0.8, other: 1}
    hem folds: [front_edge]
  back:
    number: 2
    title: Back
    half: right
    outline: [back.neckline, front.shoulder, front.armhole, front.side, back.hem, back.centre]
    fold: centre
    cut: {main: 1}
    allow: {neckline: 0.8, other: 1}
  stand:
    number: 3
    title: Collar stand
    half: right
    collar stand: {neck: [back.neckline, front.neckline], past centre: 1.5, high: 3, rise: 1.5}
    fold: centre
    buttons:
      top: {on: neck, mark: centre_front, from: end, inside: 1.4, size: 12 mm, thick: 3 mm, holes: right}
    cut: [{cloth: main, as: whole on fold}, {cloth: interfacing, as: whole on fold, trim: to stitch line}]
    allow: {other: 0.8}
  inner_stand:
    number: 4
    title: Inner collar stand
    half: right
    from: stand
    cut: [{cloth: main, as: whole on fold}]
    allow: {other: 0.8}
  collar:
    number: 5
    title: Collar
    half: right
    collar: {stand: stand, wide back: 4.2, wide point: 6.5, spread: 2, drop: 1}
    fold: centre
    cut: [{cloth: main, as: whole on fold}, {cloth: interfacing, as: whole on fold, trim: to stitch line}]
    allow: {other: 0.8}
  under_collar:
    number: 6
    title: Under collar
    half: right
    collar: {under: collar, turn: 2 mm}
    fold: centre
    cut: [{cloth: main, as: whole on fold}]
    allow: {other: 0.8}
"""
SLEEVE = """  sleeve:
    number: 7
    title: Sleeve
    drawn for: right
    measured:
      edges:
        head: [[0, 0], [36, 0]]
        front_seam: [[36, 0], [36, 40]]
        lower: [[36, 40], [0, 40]]
        back_seam: [[0, 40], [0, 0]]
    openings: {slit: {from: lower at slit, down: 11, mouth: 1.2}}
    cut: {main: 2}
    allow: {other: 1}
  placket:
    number: 8
    title: Placket strip
    rectangle: {long: 24, wide: 3.2}
    cut: [{cloth: main, count: 2, as: same}]
    allow: {other: 0}
  cuff:
    number: 9
    title: Cuff
    drawn for: right
    rectangle: {long: 24, wide: 12}
    edges: [upper, front_end, under, back_end]
    fold lines: {fold: midway between upper and under}
    buttons:
      hole: {on: back_end, from: upper, first: 3, inside: 1, size: 12 mm, thick: 3 mm, holes: both, cut: across}
      button: {on: front_end, from: upper, first: 3, inside: 1, size: 12 mm, thick: 3 mm, holes: none}
    cut: [{cloth: main, count: 2, as: pair}, {cloth: interfacing, count: 2, as: pair, trim: to stitch line}]
    allow: {other: 1}
"""
SLEEVE_MARKS = """  slit: {on: sleeve.lower, from: back_seam, at: 7}
  lap: {on: cuff.upper, from: front_end, at: 2, notch: dot}
"""
FUSE = "  - fuse: [stand, collar]\n    id: fuse\n"
FRONTS = "  - hem: {run: front.front_edge, kind: double}\n    id: fronts\n"
SHOULDERS = (
    "  - join: [front.shoulder, back.shoulder]\n    id: shoulders\n    press: to back\n    neaten: together\n"
)
SIDES = "  - join: [front.side, back.side]\n    id: sides\n    press: open\n    neaten: apart\n"
ARMHOLES = "  - finish: [front.armhole, back.armhole]\n    id: armholes\n"
HEM = "  - hem: {run: 'chain(front.hem.left, back.hem, front.hem.right)', kind: double}\n    id: hem\n"
MAKE = "  - collar: {pieces: [collar, under_collar], sew: [end.left, outer, end.right]}\n    id: collar\n"
STAND = """  - collar: {stands: [stand, inner_stand], along: upper, ends: [end.left, end.right],
             holds: {under: under_collar.neck, upper: collar.neck}}
    id: stand
"""
NECK = """  - join: ['chain(front.neckline.left, back.neckline, front.neckline.right)', stand.neck]
    id: neck
    press: to stand
    neaten: enclosed
  - fell: {run: inner_stand.neck, to: neck}
    id: inside
"""
BUTTONS = "  - buttons: [stand.top, front.row]\n    id: buttons\n"
FUSE_CUFF = "  - fuse: [cuff]\n"
PLACKET = "  - placket: {slit: sleeve.slit, with: placket, seam: 6 mm}\n    id: placket\n"
SLEEVE_SEAM = """  - join: [sleeve.front_seam, sleeve.back_seam]
    id: sleeve-seam
    press: open
    neaten: apart
  - finish: [sleeve.head]
"""
GATHER = """  - gather: {run: 'chain(sleeve.lower[slit..back_seam], sleeve.lower[front_seam..slit])', to: 22, rows: 2}
    id: gather
"""
CUFF = """  - band: {run: 'chain(sleeve.lower[slit..back_seam], sleeve.lower[front_seam..slit])',
           with: 'cuff.upper[lap..back_end]', fold: cuff.fold, inside: cuff.under,
           ends: [cuff.front_end, cuff.back_end], beyond: 'cuff.upper[lap..front_end]'}
    id: cuff
"""
CUFF_BUTTONS = "  - buttons: [cuff.hole, cuff.button]\n    id: cuff-buttons\n"
SLEEVES = FUSE_CUFF + PLACKET + SLEEVE_SEAM + GATHER + CUFF + CUFF_BUTTONS
WITH_SLEEVES = {
    "pieces:\n  front:\n": f"pieces:\n{SLEEVE}  front:\n",
    "marks:\n": f"marks:\n{SLEEVE_MARKS}",
    "stand.top], kind": "stand.top, cuff.button], kind",
}
ALL = FUSE + FRONTS + SHOULDERS + SIDES + MAKE + STAND + NECK + ARMHOLES + HEM + BUTTONS


def shirt(
    folder: Path,
    steps: str = ALL,
    units: str = "cm",
    changed: Mapping[str, str] | None = None,
) -> Prepared:
    """The shirt sewn by these steps. `changed` replaces words of its files. Raises Fault for what is wrong with it."""
    collector = Collector()
    made = sew(folder, collector, steps, units, changed)
    collector.raise_if_errors()
    return made


def sew(
    folder: Path, collector: Collector, steps: str, units: str, changed: Mapping[str, str] | None
) -> Prepared:
    texts = {"style": STYLE, "draft": DRAFT, "sewing": "steps:\n" + steps, "body": BODY}
    for name, text in texts.items():
        for old, new in (changed or {}).items():
            text = text.replace(old, new)
        (folder / f"{name}.yaml").write_text(text)
    files, body = read_style(folder), read_body(folder / "body.yaml")
    return prepare(files, body, {}, units, read_shop(None), collector)  # type: ignore[arg-type]


def faults(folder: Path, steps: str = ALL, changed: Mapping[str, str] | None = None) -> dict[str, str]:
    """Code to sentences of all errors and warnings; empty where there are none."""
    collector = Collector()
    try:
        sew(folder, collector, steps, "cm", changed)
    except Fault as fault:
        collector.add(*fault.problems)
    told: dict[str, str] = {}
    for p in collector.problems:
        if p.severity != "note":
            told[p.code] = f"{told.get(p.code, '')} {p.sentence()}"
    return told
