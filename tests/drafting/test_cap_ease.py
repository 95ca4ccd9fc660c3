"""Sleeve heads of the shipped styles: their ease over the armhole, from notch to notch, on real bodies."""

from __future__ import annotations

import pytest
from helpers.bodies import SurveyBody, sample
from helpers.drafts import draft_style

from booklet.model import Piece

INCH = 25.4
# style, the head before any fullness, the front's and the back's whole armholes, and how the style is worn
HEADS = (("top", "sleeve_block", ("front", "armhole"), ("back", "armhole"), "flat"),)


def part(piece: Piece, edge: str, mark: str, from_start: bool) -> float:
    """Sewn length of an edge between a mark and one of its ends, mm."""
    run = piece.edge(edge)
    assert run is not None
    at = run.mark(mark)
    assert at is not None
    return run.sewn(0.0, at.at) if from_start else run.sewn(at.at, run.length)


@pytest.mark.parametrize("body", sample()[::4], ids=lambda b: f"row {b.row}")
@pytest.mark.parametrize(("style", "sleeve", "front", "back", "worn"), HEADS)
def test_the_head_is_eased_within_what_the_trade_sews(
    style: str, sleeve: str, front: tuple[str, str], back: tuple[str, str], worn: str, body: SurveyBody
) -> None:
    """TRADE.md 1.14. Never negative (arithmetic); a flat shirt sleeve 0 to 1/2 in and no more at the front than at the
    back, none under the arm (common practice, no source); above about 1 in a set-in head begins to need gathering
    ([SewAndSo sleeve] in TRADE.md)."""
    pieces = draft_style(style, body.measures, {}).draft.pieces
    head = pieces[sleeve].edge("head")
    holes = [pieces[p].edge(e) for p, e in (front, back)]
    assert head is not None
    total = head.sewn_length - sum(h.sewn_length for h in holes if h is not None)
    most = {"flat": 0.65, "set in": 1.0}[worn]  # the top's is 5/8 in, of which its gathers take the most
    assert 0 <= total <= most * INCH
    top = head.mark("top")
    assert top is not None
    eases = {}
    for (key, edge), notch in ((front, "front_notch"), (back, "back_notch")):
        hole = pieces[key].edge(edge)
        assert hole is not None
        first = head.mark(notch).at < top.at  # type: ignore[union-attr]
        own = head.sewn(0.0, top.at) if first else head.sewn(top.at, head.length)
        eases[notch] = own - hole.sewn_length
        at_start = hole.mark(notch).at > hole.length / 2  # type: ignore[union-attr]
        under_hole = part(pieces[key], edge, notch, not at_start)
        under_head = part(pieces[sleeve], "head", notch, first)
        assert under_head == pytest.approx(under_hole, abs=0.05)  # none under the arm
    assert 0 <= eases["front_notch"] <= eases["back_notch"] + 0.05
