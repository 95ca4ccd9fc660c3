"""A block of two pieces with a dart to be moved, split or closed, and drafts of it with what `do:` says."""

from __future__ import annotations

import numpy as np
from hypothesis import strategies as st

from booklet.model import Dart, Edge, Piece
from booklet.paths import Path
from helpers.drafts import Drafted, inline_draft

BLOCK = """
units: mm
construction:
  p:
    points:
      nape: {{down: 70}}
      neck: {{across: 65}}
      tip: {{across: 190, down: {drop}}}
      chest: {{across: 165, down: 150}}
      under: {{across: {under}, down: 230}}
      side_foot: {{across: {foot}, down: 430}}
      centre_foot: {{down: 440}}
      bust: {{across: {bust_x}, down: {bust_y}}}
      left_hand: {{across: 20, down: 300}}
      right_hand: {{across: {line_end}, down: 300}}
    lines:
      neckline: {{curve: [nape, neck], leave: across, arrive: square to shoulder}}
      shoulder: {{straight: [neck, tip]}}
      armhole: {{curve: [tip, chest, under], leave: square to shoulder, arrive: across}}
      side: {{straight: [under, side_foot]}}
      foot: {{curve: [side_foot, centre_foot], leave: square to side, arrive: in}}
      centre: {{straight: [centre_foot, nape]}}
      level: {{straight: [left_hand, right_hand]}}
marks:
  low: {{on: block.side, from: foot, at: 30}}
  high: {{on: block.shoulder, from: neckline, at: 100}}
pieces:
  block:
    number: 1
    title: Block
    {owner}
    outline: [p.neckline, p.shoulder, p.armhole, p.side, p.foot, p.centre]
    lines across: {{level: p.level}}
    darts: {{d: {{on: side, from: armhole, at: {at}, wide: {wide}, to: p.bust, press: to foot}}}}
    cut: {{main: {plies}}}
    allow: {{other: 12}}
"""
PLAIN = dict(
    drop=45.0, under=240.0, foot=225.0, bust_x=95.0, bust_y=265.0, line_end=150.0, at=70.0, wide=45.0,
    owner="half",
)  # fmt: skip
FREE = ("neckline", "shoulder", "armhole", "foot")  # where the block has no dart


def text_of(**change: object) -> str:
    values = {**PLAIN, **change}
    owner = "drawn for: left" if values["owner"] == "whole" else "half: left\n    fold: centre"
    return BLOCK.format(**{**values, "owner": owner, "plies": plies_of(change)})


def plies_of(change: dict[str, object]) -> int:
    return 2 if change.get("owner") == "whole" else 1


def shaped(do: str, **change: object) -> Drafted:
    """The block, and `made`: the block with one verb done to it."""
    extra = (
        f"  made: {{from: block, number: 2, title: Made, cut: {{main: {plies_of(change)}}}, allow: {{other: 12}}, "
        f"do: [{do}]}}\n"
    )
    return inline_draft(text_of(**change) + extra)


def piece_of(drafted: Drafted, key: str = "made") -> Piece:
    assert drafted.errors == ()
    return drafted.draft.pieces[key]


def edge_of(piece: Piece, name: str) -> Edge:
    edge = piece.edge(name)
    assert edge is not None
    return edge


def dart_of(piece: Piece, name: str = "d") -> Dart:
    return next(d for d in piece.darts if d.name == name)


def notched(piece: Piece, pivot: complex) -> float:
    """The area of the cloth without what lies between the legs of darts at a pivot."""
    ring: list[complex] = []
    for edge in piece.edges:
        at = 0.0
        for up in edge.take_ups:
            ring += [*edge.path.part(at, up.start).flatten(0.001)[:-1], edge.path.point(up.start), pivot]
            at = up.end
        ring += list(edge.path.part(at, edge.length).flatten(0.001)[:-1])
    z = np.array(ring)
    n = np.roll(z, -1)
    return abs(float(np.sum(z.real * n.imag - n.real * z.imag))) / 2


def spans(path: Path) -> list[float]:
    """Distances between places along a line: the same for the same line anywhere."""
    z = [path.point(path.length * k / 6) for k in range(7)]
    return [abs(a - b) for n, a in enumerate(z) for b in z[:n]]


blocks = st.fixed_dictionaries(
    {
        "drop": st.floats(30, 60),
        "under": st.floats(215, 255),
        "foot": st.floats(190, 270),
        "bust_x": st.floats(80, 105),
        "bust_y": st.floats(245, 290),
        "at": st.floats(50, 100),
        "wide": st.floats(15, 60),
    }
)
shares = st.floats(0.35, 0.65)


def moved(edge: str, share: float, block: dict[str, float], more: str = "") -> tuple[Drafted, str]:
    """The dart moved to a share of another edge; the words of the place."""
    first = piece_of(inline_draft(text_of(**block)), "block")
    at = edge_of(first, edge).sewn_length * share
    before = first.edges[[e.name for e in first.edges].index(edge) - 1].name
    place = f"{{on: {edge}, from: {before}, at: {at:.9f}}}"
    return shaped(f"{{move dart: {{dart: d, to: {place}{more}}}}}", **block), place
