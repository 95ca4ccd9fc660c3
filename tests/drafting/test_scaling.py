"""A draft without constants is as large as its body: all measures by k gives all lengths by k, whatever shapes it."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from booklet.drafting.verbs.spread_edges import NEAR
from booklet.model import Piece
from tests.helpers.drafts import inline_draft

DRAFT = """
units: cm
construction:
  b:
    points:
      nape: {down: w / 40}
      neck: {across: w / 6}
      tip: {across: w / 2.2, down: w / 9}
      blade: {across: w / 2.6, down: w / 2.8}
      under: {across: w / 2, down: w / 1.8}
      hem_side: {across: w / 1.8, down: h}
      hem_centre: {down: h}
      yoke_in: {down: w / 3.2}
      yoke_out: {across: w, down: w / 3}
    lines:
      neckline: {curve: [nape, neck], leave: across, arrive: square to shoulder}
      shoulder: {straight: [neck, tip]}
      armhole: {curve: [tip, blade, under], leave: square to shoulder, arrive: across}
      side: {straight: [under, hem_side]}
      hem: {straight: [hem_side, hem_centre]}
      centre: {straight: [hem_centre, nape]}
      yoke: {curve: [yoke_in, yoke_out], leave: across}
  s:
    points:
      back_under: {across: -w / 3}
      front_under: {across: w / 3}
      crown: {up: w / 5}
      back_hem: {across: -w / 4, down: h / 3}
      front_hem: {across: w / 4, down: h / 3}
    lines:
      head: {curve: [back_under, crown, front_under], leave: across, arrive: across}
      front_seam: {straight: [front_under, front_hem]}
      lower: {straight: [front_hem, back_hem]}
      back_seam: {straight: [back_hem, back_under]}
marks:
  back_notch: {on: [body.armhole], from: side, at: w / 8, notch: double}
  front_notch: {on: [body.armhole], from: side, at: w / 6, notch: single}
pieces:
  body:
    half: right
    outline: [b.neckline, b.shoulder, b.armhole, b.side, b.hem, b.centre]
    fold: centre
  darted:
    from: body
    darts: {waist: {on: hem, from: side, at: w / 5, wide: w / 25, long: h / 4, press: to centre}}
  flared:
    from: body
    do: [{slash and spread: {from: 'hem[side..centre]', hinge: neckline, at: [w / 6], open: [w / 9]}}]
  pleated:
    from: body
    do: [{pleat: {kind: knife, on: 'hem[side..centre]', to: neckline, at: w / 12, deep: w / 30, press: to centre}}]
  yoke:
    from: body
    do: [{cut along: {line: b.yoke, keep: shoulder, edge: yoke_seam}}]
  lower:
    from: body
    do: [{cut along: {line: b.yoke, drop: shoulder, edge: yoke_seam}}]
  neck_facing: {facing: {of: body, along: [neckline], wide: w / 15}}
  hem_facing: {facing: {of: darted, along: [hem], wide: w / 15}}
  sleeve:
    drawn for: right
    outline: [s.head, s.front_seam, s.lower, s.back_seam]
    do:
      - fit cap: {head: head, to: {front: body.armhole, back: body.armhole}, by: height, ease: {front: w / 90, back: w / 90},
                  walk: {front: front_notch, back: back_notch}, top: top}
      - slash and spread: {from: 'head[back_notch..front_notch]', to: lower, slashes: 4, open: {head: w / 10, lower: w / 12}}
"""


def drafted(k: float) -> dict[str, Piece]:
    made = inline_draft(DRAFT, {"w": 500.0 * k, "h": 650.0 * k})
    assert not made.errors, made.errors
    return made.draft.pieces


@settings(max_examples=10, deadline=None)
@given(st.floats(0.4, 2.5))
def test_all_lengths_grow_with_the_body(k: float) -> None:
    one, other = drafted(1.0), drafted(k)
    assert list(one) == list(other)
    for key, piece in one.items():
        twin = other[key]
        assert [e.name for e in piece.edges] == [e.name for e in twin.edges]
        for a, b in zip(piece.edges, twin.edges, strict=True):
            trued = any(t.edge == a.name and "spread" in t.what for t in piece.trueings)
            outer = a.name == "outer"  # a facing's free edge is flattened
            near = (
                NEAR * (1 + k) if trued else a.length * k * 1e-3 if outer else 0.05
            )  # a line drawn smooth is solved to this
            assert b.length == pytest.approx(a.length * k, abs=near), f"{key}.{a.name}"
            assert b.sewn_length == pytest.approx(a.sewn_length * k, abs=near), f"{key}.{a.name}"
            for m, n in zip(a.marks, b.marks, strict=True):
                assert n.at == pytest.approx(m.at * k, abs=near), f"{key}.{a.name}: {m.name}"
        for d, e in zip(piece.darts, twin.darts, strict=True):
            assert e.intake == pytest.approx(d.intake * k, rel=1e-4)
