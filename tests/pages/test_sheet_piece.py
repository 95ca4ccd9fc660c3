"""A piece at full scale: its lines are cutting's own, its signs and words are those that its copies call for."""

from __future__ import annotations

import numpy as np
import pytest
from sample_job import sample_job

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import PathItem
from booklet.drawing.page import SheetPiece
from booklet.model import CutPiece
from booklet.pages.piece_lines import on_paper
from booklet.pages.sheet_piece import sheet_piece, sheet_pieces

OPEN, FOLDED, WHOLE = sample_job(), sample_job(single=False), sample_job(whole_paper=True)


def _paths(piece: SheetPiece, role: str) -> list:  # type: ignore[type-arg]
    items = [f.item for f in flat_items(piece.items) if isinstance(f.item, PathItem) and f.item.role == role]
    return [p for item in items for p in item.subpaths]


def _cuts() -> list[tuple[str, CutPiece]]:
    return [(j, c) for j, job in (("open", OPEN), ("whole", WHOLE)) for c in job.size.cut_pieces]


@pytest.mark.parametrize(("name", "cut"), _cuts(), ids=lambda v: v if isinstance(v, str) else v.piece.key)
def test_cut_and_fold_lines_together_are_the_paper_outline(name: str, cut: CutPiece) -> None:
    piece = sheet_piece(cut, OPEN if name == "open" else WHOLE)
    lines = _paths(piece, "cut") + _paths(piece, "fold")[:1]
    assert sum(p.length for p in lines) == pytest.approx(cut.paper_cut.length, abs=1e-6)
    for z in cut.paper_cut.flatten(0.2)[:: max(1, len(cut.paper_cut.flatten(0.2)) // 40)]:
        assert min(abs(p.point(p.nearest(complex(z))) - z) for p in lines) < 1e-6
    assert piece.outline == cut.paper_cut


@pytest.mark.parametrize(("name", "cut"), _cuts(), ids=lambda v: v if isinstance(v, str) else v.piece.key)
def test_every_allowed_edge_has_its_stitch_line_as_drafted(name: str, cut: CutPiece) -> None:
    piece = sheet_piece(cut, OPEN if name == "open" else WHOLE)
    edges = [e for e in cut.paper_net if e.allow > 0.05 and e.name != cut.piece.fold]
    assert _paths(piece, "stitch") == [e.path for e in edges if not e.hem_fold]
    hems = [e for e in edges if e.hem_fold]  # turned up on that line, so it is drawn and named as a fold
    assert [p for p in _paths(piece, "fold line") if p in [e.path for e in hems]] == [e.path for e in hems]
    assert len([n for n in piece.edge_notes if n.text.endswith(": fold line")]) == len(hems)


def test_the_fold_bracket_stands_only_where_a_cloth_is_folded() -> None:
    folded = sheet_piece(FOLDED.size.cut_piece("front"), FOLDED)
    opened = sheet_piece(OPEN.size.cut_piece("front"), OPEN)
    whole = sheet_piece(WHOLE.size.cut_piece("front"), WHOLE)
    assert len(_paths(folded, "fold")) > len(_paths(opened, "fold")) == 1
    assert _paths(whole, "fold") == []
    said = [n.text for n in opened.edge_notes]
    assert any("turn the paper over along it" in t for t in said)


def test_a_bracket_ends_on_the_fold_and_lies_inside() -> None:
    for key, sign in (
        ("front", 1),
        ("front_neck_facing", -1),
    ):  # drawn to the right and to the left of the fold
        piece = sheet_piece(FOLDED.size.cut_piece(key), FOLDED)
        bracket = _paths(piece, "fold")[1]
        xs = bracket.flatten().real * sign
        assert xs.min() > 0 and xs.max() > 4


def test_a_facing_points_at_the_edge_that_it_is_sewn_to() -> None:
    cut = OPEN.size.cut_piece("front_neck_facing")
    piece = sheet_piece(cut, OPEN)
    neckline = cut.piece.edge("neckline")
    assert neckline is not None
    arrows = [f.item for f in flat_items(piece.items) if isinstance(f.item, PathItem) and f.item.ends]
    assert arrows
    for arrow in arrows:
        tip = arrow.ends[-1]
        assert abs(neckline.path.point(neckline.path.nearest(tip)) - tip) < 0.01
    notes = {n.text: n.line for n in piece.edge_notes}
    assert notes["sewn to Front neckline"] == neckline.path


def test_only_facings_have_arrows_of_action() -> None:
    for cut in OPEN.size.cut_pieces:
        arrows = _paths(sheet_piece(cut, OPEN), "action")
        assert bool(arrows) == (cut.piece.facing is not None)


def test_the_label_says_what_must_be_known() -> None:
    lines = " ".join(sheet_piece(OPEN.size.cut_piece("front_neck_facing"), OPEN).lines)
    assert "interfacing: 1 whole, cut on the stitch line" in lines
    assert "T-07, size M-03, version 1.0" in lines
    assert "allowances included:" in lines and "≈" in lines
    sleeve = " ".join(sheet_piece(OPEN.size.cut_piece("sleeve"), OPEN).lines)
    assert "drawn for the wearer's right" in sleeve


def test_marks_that_are_not_cut_are_called_out() -> None:
    job = OPEN
    for cut in job.size.cut_pieces:
        uncut = [s for s in cut.paper_notches if not s.cut and s.mark.kind != "snip"]
        callouts = [c for c in sheet_piece(cut, job).callouts if c.text.startswith(("mark", "sewing"))]
        assert len(callouts) == len(uncut)


def test_the_grain_arrow_runs_along_the_grain_inside_the_piece() -> None:
    for cut in OPEN.size.cut_pieces:
        shafts = _paths(sheet_piece(cut, OPEN), "grain")
        assert shafts
        tail, head = cut.piece.grain
        way = (head - tail) / abs(head - tail)
        shaft = shafts[0]
        assert abs((shaft.end_tangent * way.conjugate()).imag) < 1e-9
        x0, y0, x1, y1 = cut.paper_cut.bbox
        points = np.array([shaft.start, shaft.end])
        assert (points.real > x0).all() and (points.real < x1).all()
        assert (points.imag > y0).all() and (points.imag < y1).all()


def test_a_half_paper_has_its_fold_on_the_fold_edge() -> None:
    cut = OPEN.size.cut_piece("front")
    shown = on_paper(cut)
    assert shown.fold is not None
    assert abs(shown.fold.start.real) < 1e-9 and abs(shown.fold.end.real) < 1e-9
    assert shown.fold.length > cut.piece.edges[-1].length  # it runs on through the allowances
    assert len(shown.cut) == 1


def test_pieces_come_in_the_order_of_their_numbers() -> None:
    assert [p.number for p in sheet_pieces(OPEN)] == ["1", "2", "3", "4", "5"]
