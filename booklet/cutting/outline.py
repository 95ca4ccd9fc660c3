"""From copies and seams to cut pieces: each whole ring moved out, its corners turned, then what the paper shows."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely

from booklet.cutting.corners import CornerRule, Turn, turn_corner
from booklet.cutting.notches import fold_and_dart_snips, hem_snip, notch_strokes
from booklet.cutting.offset import FLAT, Moved, between, move_out, smooth_stretches
from booklet.drafting.copies import fold_mirror
from booklet.model import Copy, CutPiece, Half, NotchStroke, Part, Piece, Seam
from booklet.paths import Path, Placement
from booklet.problems import Collector
from booklet.seams.uses import TWICE

SYMMETRIC = 0.05  # mm: a fold piece whose halves differ by more is printed whole
JOINING = ("join", "zip", "face", "band", "close", "catch")


@dataclass(frozen=True)
class Sewn:
    """When an edge of a copy is sewn first, how it is pressed as seen from this copy, and which part of the other run
    meets each of its path's ends (None where that end meets no corner)."""

    order: int
    kind: str
    press: str  # open | here | away | none
    start_partner: Part | None
    end_partner: Part | None


def first_uses(seams: tuple[Seam, ...]) -> dict[tuple[str, str], Sewn]:
    """(copy, edge) -> the first seam that joins it."""
    out: dict[tuple[str, str], Sewn] = {}
    for order, seam in enumerate(seams):
        if seam.kind not in JOINING:
            continue
        for run, other, mine in ((seam.a, seam.b, "to a"), (seam.b, seam.a, "to b")):
            if run is None:
                continue
            press = (
                seam.press
                if seam.press in ("open", "none", "up")
                else "here"
                if seam.press == mine
                else "away"
            )
            for n, part in enumerate(run.parts):
                key = (part.copy, part.edge)
                if key in out:
                    continue
                begin = other.parts[0] if other and n == 0 else None
                finish = other.parts[-1] if other and n == len(run.parts) - 1 else None
                if other and len(other.parts) == len(run.parts):
                    begin = begin or other.parts[n]
                    finish = finish or other.parts[n]
                ends = (finish, begin) if part.backwards else (begin, finish)
                out[key] = Sewn(order, seam.kind, press, *ends)
    return out


def cut_pieces(
    copies: tuple[Copy, ...], seams: tuple[Seam, ...], collector: Collector
) -> tuple[CutPiece, ...]:
    """Every piece with its allowances. A cut line that crosses itself is a problem."""
    uses = first_uses(seams)
    twice = frozenset(
        (p.copy, p.edge) for s in seams if s.kind == "hem" and s.neaten in TWICE for p in s.a.parts
    )
    by_id = {c.id: c for c in copies}
    reach = 8 * max((h.edge.allow for c in copies for h in c.edges), default=10.0) + 20
    moved = {
        c.id: [_moved_edge(h, reach, c.sign) for h in c.edges] for c in copies if c.host is None
    }  # each copy's edges as stretches, in ring order
    out = []
    done: set[str] = set()
    for copy in copies:
        if copy.host is not None or copy.piece.key in done or copy.placing != Placement.IDENTITY:
            continue
        done.add(copy.piece.key)
        out.append(_cut_piece(copy, by_id, moved, uses, twice, collector))
    return tuple(out)


def _moved_edge(half: Half, reach: float, sign: int) -> list[Moved]:
    """The stretches of one edge moved outwards. A mirrored copy's ring runs the other way round."""
    allow = half.edge.allow * sign
    return [move_out(half.name, s, allow, reach) for s in smooth_stretches(half.edge.path)]


def _cut_piece(
    copy: Copy,
    by_id: dict[str, Copy],
    moved: dict[str, list[list[Moved]]],
    uses: dict[tuple[str, str], Sewn],
    twice: frozenset[tuple[str, str]],
    collector: Collector,
) -> CutPiece:
    rows = moved[copy.id]
    stretches = [m for row in rows for m in row]
    edge_starts = {id(row[0]): n for n, row in enumerate(rows)}
    turns: list[Turn] = []
    snips: list[NotchStroke] = []
    for n, before in enumerate(stretches):
        after = stretches[(n + 1) % len(stretches)]
        k = edge_starts.get(id(after))
        rule = CornerRule() if k is None else _rule(copy, k, by_id, moved, uses, twice)
        made = turn_corner(before, after, rule)
        turns.append(made)
        if k is not None and made.on_owner_line is not None:
            owner = copy.edges[k - 1] if rule.owner == "before" else copy.edges[k]
            if owner.edge.hem_fold:
                snips.append(hem_snip(owner.name, made.on_owner_line, before.net.end))
    ring: list[complex] = []
    runs: list[tuple[str, Path]] = []
    for n, stretch in enumerate(stretches):
        start, end = turns[n - 1].after_start, turns[n].before_end
        if end > start + 1e-6:
            ring += [complex(z) for z in between(stretch.points, start, end)]
        ring += turns[n].points
        runs.append((stretch.edge, Path.polyline(stretch.run)))
    cut = Path.polyline(_clean(ring), closed=True)
    piece = copy.piece
    if not _is_simple(cut):
        collector.error(
            "cut-line",
            piece.where,
            f"the cut line of {piece.key} crosses itself: an allowance is wider than its corner "
            "or curve has room for",
            "Make the allowance narrower there or the corner less sharp.",
        )
    notches = (*notch_strokes(copy.edges), *fold_and_dart_snips(copy), *snips)
    whole_stitch = copy.outline
    if piece.fold is None:
        return CutPiece(
            piece, copy.edges, cut, tuple(runs), notches, "whole", piece.edges, cut, notches, whole_stitch
        )
    if not _symmetric(cut, piece):
        whole_edges = tuple(h.edge for h in copy.edges)
        return CutPiece(
            piece, copy.edges, cut, tuple(runs), notches, "whole", whole_edges, cut, notches, whole_stitch
        )
    paper = half_of(cut, piece)
    mine = tuple(n for n in notches if _on_half(n, piece))
    return CutPiece(
        piece, copy.edges, cut, tuple(runs), notches, "half", piece.edges, paper, mine, whole_stitch
    )


def _rule(
    copy: Copy,
    k: int,
    by_id: dict[str, Copy],
    moved: dict[str, list[list[Moved]]],
    uses: dict[tuple[str, str], Sewn],
    twice: frozenset[tuple[str, str]],
) -> CornerRule:
    """The rule for the corner where ring edge k begins."""
    before, after = copy.edges[k - 1], copy.edges[k]
    if before.edge.allow < 0.05 or after.edge.allow < 0.05:
        return CornerRule()
    if before.edge.hem_fold != after.edge.hem_fold:
        hem = before if before.edge.hem_fold else after
        return CornerRule("before" if hem is before else "after", twice=(copy.id, hem.name) in twice)
    if before.edge.hem_fold:
        return CornerRule()
    ub, ua = uses.get((copy.id, before.name)), uses.get((copy.id, after.name))
    late = 10**9
    order_b, order_a = ub.order if ub else late, ua.order if ua else late
    if order_b == order_a:
        return CornerRule()
    owner, use = ("before", ub) if order_b < order_a else ("after", ua)
    if use is None or use.kind not in ("join", "zip") or use.press == "none":
        return CornerRule()
    if use.press != "away":
        return CornerRule("before" if owner == "before" else "after")
    carried = _carried(copy, k, owner == "before", use, by_id, moved)
    return CornerRule("before" if owner == "before" else "after", carried)


def _carried(
    copy: Copy,
    k: int,
    owner_before: bool,
    use: Sewn,
    by_id: dict[str, Copy],
    moved: dict[str, list[list[Moved]]],
) -> np.ndarray | None:
    """The neighbour's crossing cut line laid edge to edge at this corner, in this copy's frame."""
    partner = use.end_partner if owner_before else use.start_partner
    if partner is None:
        return None
    other = by_id[partner.copy]
    ring = other.edges
    j = next(i for i, h in enumerate(ring) if h.name == partner.edge)
    own_half = copy.edges[k - 1] if owner_before else copy.edges[k]
    corner = own_half.edge.path.end if owner_before else own_half.edge.path.start
    tangent = own_half.edge.path.end_tangent if owner_before else own_half.edge.path.start_tangent
    path = ring[j].edge.path
    # on this copy the corner is at an end of the owner; on the partner's ring the runs go against each other
    same_hand = copy.sign == other.sign
    at_start = owner_before if same_hand else not owner_before
    z, t = (path.start, path.start_tangent) if at_start else (path.end, path.end_tangent)
    crossing = moved[other.id][j - 1][-1] if at_start else moved[other.id][(j + 1) % len(ring)][0]
    turn = -tangent / (t * other.sign)  # both are seen on their right sides, so nothing is turned over
    return Placement(turn / abs(turn), corner - turn / abs(turn) * z).apply_all(crossing.points)


def _clean(ring: list[complex]) -> list[complex]:
    out: list[complex] = []
    for z in ring:
        if not out or abs(z - out[-1]) > 1e-4:
            out.append(z)
    if len(out) > 1 and abs(out[0] - out[-1]) <= 1e-4:
        out.pop()
    return out


def polygon(path: Path, tol: float = 0.02) -> shapely.Polygon:
    pts = path.flatten(tol)
    return shapely.Polygon(np.column_stack((pts.real, pts.imag)))


def _is_simple(cut: Path) -> bool:
    return len(cut.segments) > 2 and bool(polygon(cut).is_valid)


def _symmetric(cut: Path, piece: Piece) -> bool:
    over = fold_mirror(piece)
    a = polygon(cut)
    b = polygon(cut.placed(over))
    return bool(a.hausdorff_distance(b) < SYMMETRIC)


def _fold_line(piece: Piece) -> tuple[complex, complex]:
    fold = piece.edge(piece.fold or "")
    assert fold is not None  # a half piece has its fold edge, the reader saw to it
    way = fold.path.end - fold.path.start
    return fold.path.start, way / abs(way)


def _side_of(z: complex, origin: complex, way: complex) -> float:
    """Distance from the fold line, positive on the drawn half (right of the fold's way, the ring being clockwise)."""
    return ((z - origin) * way.conjugate()).imag


def half_of(cut: Path, piece: Piece) -> Path:
    """The drawn half of a symmetric whole line (closed), closed along the fold."""
    origin, way = _fold_line(piece)
    pts = [complex(z) for z in cut.flatten(FLAT)[:-1]]
    out: list[complex] = []
    for a, b in zip(pts, pts[1:] + pts[:1], strict=True):
        da, db = _side_of(a, origin, way), _side_of(b, origin, way)
        if da >= -1e-9:
            out.append(a)
        if (da > 1e-9 and db < -1e-9) or (da < -1e-9 and db > 1e-9):
            out.append(a + (b - a) * (da / (da - db)))
    return Path.polyline(_clean(out), closed=True)


def _on_half(notch: NotchStroke, piece: Piece) -> bool:
    origin, way = _fold_line(piece)
    return all(_side_of(z, origin, way) > -1e-6 for stroke in notch.strokes for z in stroke) and any(
        _side_of(z, origin, way) > 0.5 for stroke in notch.strokes for z in stroke
    )
