"""The cases in which a soft rule does not speak, because the other order, or the other way, is right there.

Each soft rule of rules.py names one of them, or ALWAYS. Those of the order are asked of the recipe's acts; the others
are part of the check that keeps the rule, and `holds` is None.
"""

from __future__ import annotations

import cmath
import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from booklet.sewing.acts_done import Act
from booklet.sewing.order_work import Work, same_edge
from booklet.sewing.rules import ALWAYS, SEWN

STRAIGHT = 2.0  # degrees by which an edge may turn, or be off the grain, and does not stretch (common practice, no source)


@dataclass(frozen=True)
class Case:
    """`words` go on after 'unless'. `holds` is asked of the act that should come first, and of the one that did."""

    words: str
    holds: Callable[[Work, Act, Act], bool] | None = None


def _single(work: Work, first: Act, then: Act) -> bool:
    earlier = [a for a in work.of(SEWN) if a.order < first.order]
    return not any(same_edge(work, first, a) for a in earlier)


def _in_one(work: Work, first: Act, then: Act) -> bool:
    """The seam runs on from the faced piece into its facing, as at the side of an all-in-one facing."""
    seam = then.seam
    if seam is None or seam.b is None:
        return False
    return all(any(p.copy in first.copies for p in run.parts) for run in (seam.a, seam.b))


def _no_seam(work: Work, first: Act, then: Act) -> bool:
    """A row that follows an edge and no seam; or it follows the very seam that the rule would hold against it.

    Nor does the rule hold where the row goes on over that seam, as round a neck over the shoulder seams.
    """
    if (first.seam is not None and first.seam.press == "edge") or same_edge(work, first, then):
        return True
    mine = {(s.copy, s.edge) for s in first.spots}
    ends = work.ends.get(then.seam.id, ()) if then.seam else ()
    return any({(e.copy_a, e.beyond_a), (e.copy_b, e.beyond_b)} <= mine for e in ends)


def _straight(work: Work, first: Act, then: Act) -> bool:
    """Every stretch is straight and lies along the grain or square to it."""

    def lies(copy_id: str, edge: str, low: float, high: float) -> bool:
        copy = work.copies[copy_id]
        tail, head = (copy.placing.apply(z) for z in copy.piece.grain)
        path = copy.by_name[edge].edge.path
        off = []
        for k in range(9):
            along = path.tangent(low + (high - low) * (k + 0.5) / 9)
            off.append(math.degrees(cmath.phase(along / (head - tail))) % 90.0)
        return max(min(o, 90.0 - o) for o in off) <= STRAIGHT

    return bool(first.spots) and all(lies(s.copy, s.edge, s.low, s.high) for s in first.spots)


def _sewn_flat(work: Work, first: Act, then: Act) -> bool:
    """Between the two the edge is sewn on flat, and the seam then runs on over what it is sewn to."""
    crossed = {s.copy for s in first.spots} - {s.copy for s in then.spots}
    between = [
        a for a in work.of(SEWN) if then.order < a.order < first.order and a.seam is not None and a.seam.b
    ]
    return any(same_edge(work, a, then) and crossed & set(a.copies) for a in between)


def _through_both(work: Work, first: Act, then: Act) -> bool:
    """The seam at its end takes in both layers: it joins plies of what is felled, and plies of what it is felled to."""
    felled = {s.copy for s in then.spots}
    under = {
        c for a in work.of(SEWN) if a.order < then.order and felled & set(a.copies) for c in a.copies
    } - felled
    mine = set(first.copies)
    return len(mine & felled) > 1 and len(mine & under) > 1


def _knit(work: Work, first: Act, then: Act) -> bool:
    plies = [work.copies[s.copy] for s in then.spots]
    return bool(plies) and all(c.cloth in work.knits for c in plies)


def _turned_once(work: Work, first: Act, then: Act) -> bool:
    return first.name == "hem"


CASES: Mapping[str, Case] = {
    ALWAYS: Case(""),
    # Of the order of acts.
    "single": Case("the edge lies open and is part of no earlier seam", _single),
    "in one": Case(
        "the seam runs on from the faced piece into its facing, so that nothing is enclosed", _in_one
    ),
    "no seam": Case("the row follows an edge and no seam, or goes on over the later one", _no_seam),
    "straight edge": Case("the edge is straight and on the grain, so that it does not stretch", _straight),
    "sewn flat": Case("the gathered edge is sewn on flat and the seam then crosses both", _sewn_flat),
    "through both": Case("the seam is sewn through both layers, shell and lining in one", _through_both),
    "knit": Case("the cloth is a knit (`knit: true`), which is sewn flat", _knit),
    "turned once": Case(
        "the hem is turned up once only, so that it takes the binding's end in", _turned_once
    ),
    # Of the checks that keep a rule.
    "flat": Case("the piece still lies flat, its work closed to at most one round"),
    "concealed": Case("the zip is concealed: it comes before the seam below it, the others after"),
    "straight hem": Case("the cloth falls to the hem on the straight grain, or the edge is short"),
    "turned in": Case("an edge that is turned in, or a fused facing, lies under the whole cut"),
    "other layer": Case("the layer that it is sewn to is fused"),
    "centre seam": Case("the seam joins two copies of one edge, as a centre seam does"),
    "drawn up": Case("the line is gathered or drawn in by elastic, or four seams meet there"),
    "declared": Case("the step says `neaten: raw`"),
    "enclosed seam": Case("the seam encloses its own allowances"),
}
