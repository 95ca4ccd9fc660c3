"""From the plies of one cloth to what the engine lays: outlines with their grain turned on to +x, and their rules."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np
import shapely

from booklet.cloth.faces import mixes, side_up
from booklet.cloth.pieces import LayPiece
from booklet.cutting.outline import half_of
from booklet.model import Copy, CutPiece, CutRule
from booklet.paths import Path, Placement, area

OFF_GRAIN = 1e-3  # radians between a fold edge and the grain
FLAT = 0.02  # mm: outlines are flattened for laying within this


@dataclass(frozen=True)
class Drawn:
    """A piece as it is drawn, by the key it is laid under: the turn of its grain on to +x, and its plies."""

    turn: Placement
    half: Path
    whole: Path
    copies: tuple[Copy, ...]
    part: int = 0  # of a piece cut in two


def outline_for(rule: CutRule, cut: CutPiece) -> tuple[Path, Path]:
    """(what is laid on a fold, the whole ply): the cut line, or so far beyond the stitch line as the rule trims to."""
    if rule.trim is None:
        return (cut.paper_cut if cut.extent == "half" else cut.cut), cut.cut
    whole = cut.stitch if rule.trim < 0.01 else _beyond(cut.stitch, rule.trim)
    return (half_of(whole, cut.piece) if cut.extent == "half" else whole), whole


def _beyond(stitch: Path, by: float) -> Path:
    """The stitch line moved outwards all round, its corners mitred."""
    pts = stitch.flatten(FLAT)
    ring = shapely.Polygon(np.column_stack((pts.real, pts.imag))).buffer(
        by, join_style="mitre", mitre_limit=2.5
    )
    return Path.polyline([complex(x, y) for x, y in ring.exterior.coords[:-1]], closed=True)


def lay_pieces(
    plies: Sequence[Copy], by_piece: Mapping[str, CutPiece]
) -> tuple[tuple[LayPiece, ...], dict[str, Drawn]]:
    """What the engine lays of one cloth's plies, one for each line of `cut:`, and how each is drawn, by the same keys."""
    of_rule: dict[tuple[str, int], list[Copy]] = {}
    for copy in plies:
        of_rule.setdefault((copy.piece.key, id(copy.rule)), []).append(copy)
    out: list[LayPiece] = []
    drawn: dict[str, Drawn] = {}
    for (key, _), mine in of_rule.items():
        rule, cut = mine[0].rule, by_piece[key]
        name = key if key not in drawn else f"{key}@{len(drawn)}"
        half, whole = outline_for(rule, cut)
        way = cut.piece.grain[1] - cut.piece.grain[0]
        on_grain = True  # a piece on the bias is opened out instead of laid on the fold
        if cut.piece.fold is not None:
            fold = cut.piece.edge(cut.piece.fold)
            assert fold is not None
            f = fold.path.end - fold.path.start
            on_grain = abs((f * way.conjugate()).imag) < OFF_GRAIN * abs(f) * abs(way)
            if on_grain:
                way = f if (f * way.conjugate()).real >= 0 else -f
        turn = Placement(abs(way) / way)
        drawn[name] = Drawn(turn, half, whole, tuple(mine))
        folded = rule.how == "whole on fold" and cut.extent == "half" and on_grain
        pts = ring_of((half if folded else whole).placed(turn))
        edge = _fold_ends(cut, half, turn) if folded else None
        mode: Literal["single", "pair", "same", "whole"]
        if rule.how == "pair":
            mode = "pair"
        elif rule.how == "same":
            mode = "same"
        else:
            mode = "whole" if folded else "single"
        turnable = rule.how == "same" and rule.face == "either" and mirrors(pts)
        match = None if cut.piece.match is None else turn.apply(cut.piece.match)
        out.append(
            LayPiece(name, pts, mode, rule.count, edge, cut.piece.nap, turnable, cut.piece.may_cross, match)
        )
    return _turned_over(out, drawn), drawn


def _turned_over(pieces: Sequence[LayPiece], drawn: Mapping[str, Drawn]) -> tuple[LayPiece, ...]:
    """The pieces, marked where in one layer their paper lies face down: drawn for the other side of the wearer, or, on a
    cloth cut from both its sides, for the wrong side."""
    sides = [side_up(drawn[p.key].copies[0].rule, p.turnable) for p in pieces]
    both = mixes(sides)
    return tuple(
        replace(p, over=True) if drawn[p.key].copies[0].placing.mirrored != (both and side == "down") else p
        for p, side in zip(pieces, sides, strict=True)
    )


def ring_of(path: Path) -> tuple[complex, ...]:
    """The corners of a flattened ring, each once."""
    pts = path.flatten(FLAT)
    keep = np.abs(np.diff(np.concatenate((pts, pts[:1])))) > 1e-4
    return tuple(complex(z) for z in pts[keep])


def _fold_ends(cut: CutPiece, half: Path, turn: Placement) -> tuple[complex, complex]:
    """The two ends of the fold on the half outline, allowances in."""
    fold = cut.piece.edge(cut.piece.fold or "")
    assert fold is not None
    way = fold.path.end - fold.path.start
    way /= abs(way)
    on = [z for z in half.flatten(FLAT) if abs(((z - fold.path.start) * np.conj(way)).imag) < 1e-3]
    far = sorted(on, key=lambda z: ((z - fold.path.start) * np.conj(way)).real)
    return turn.apply(complex(far[0])), turn.apply(complex(far[-1]))


def mirrors(pts: tuple[complex, ...]) -> bool:
    """Whether a ring is its own mirror image, across or along."""
    z = np.array(pts)
    mid = complex((z.real.min() + z.real.max()) / 2, (z.imag.min() + z.imag.max()) / 2)
    d = z - mid
    return any(all(np.min(np.abs(d - f)) < 0.05 for f in flipped) for flipped in (np.conj(d), -np.conj(d)))


def whole_area(copy: Copy, by_piece: Mapping[str, CutPiece]) -> float:
    return abs(area(outline_for(copy.rule, by_piece[copy.piece.key])[1].flatten(FLAT)))
