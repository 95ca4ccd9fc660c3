"""A body whose left and right differ: each side is drafted on its own, and the two drafts are made one.

A half piece is opened out into a whole one with two unlike halves; a pair becomes a left and a right piece; a piece cut
for one side is that side's; a piece that belongs to neither side is drafted from the means, with lengths of others taken
as the mean of both.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from booklet.drafting.copies import open_out, turned_over
from booklet.drafting.draft import draft_pieces, outline_problems, worked_values
from booklet.drafting.maker import PieceMaker
from booklet.drafting.meeting import ALIKE, fold_between, with_fold
from booklet.drafting.table import Table
from booklet.model import CutRule, Draft, Edge, Piece, Side
from booklet.problems import Collector, Fault


@dataclass(frozen=True)
class World:
    """One side's table with all that was drafted on it; `side` is whole where the two are alike."""

    side: Side
    table: Table
    maker: PieceMaker
    draft: Draft

    def serves(self, piece: str, worlds: int) -> bool:
        """Whether this side's drawing of a piece counts: any, but for one that is cut for the other side alone."""
        return worlds == 1 or self.maker.cut_for(piece) in ("whole", self.side)


def draft_open(
    right: tuple[Table, PieceMaker],
    left: tuple[Table, PieceMaker],
    whole: tuple[Table, PieceMaker],
    collector: Collector,
) -> tuple[Draft, tuple[World, ...]]:
    """The draft of both sides together, and each side's own. Problems are collected."""
    worlds: list[World] = []
    told = []
    sides: tuple[tuple[Side, tuple[Table, PieceMaker]], ...] = (("right", right), ("left", left))
    for side, (table, maker) in sides:
        own = Collector()
        worlds.append(World(side, table, maker, draft_pieces(table, maker, own)))
        told += [p for p in own.problems if p not in told]
    collector.add(*told)
    collector.raise_if_errors()
    whole[0].sides = {"right": right[0], "left": left[0]}
    whole[1].sides = {"right": right[1], "left": left[1]}
    mine, theirs = worlds[0].draft.pieces, worlds[1].draft.pieces
    pieces: dict[str, Piece] = {}
    for key in whole[1].raw:
        if key not in mine and key not in theirs:
            continue
        with collector.catching():
            for piece in _together(key, mine, theirs, whole[1]):
                collector.add(*outline_problems(piece))
                pieces[piece.key] = piece
    pieces = {key: _parent_named(piece, pieces) for key, piece in pieces.items()}
    return Draft(worked_values(whole[0], collector), pieces), tuple(worlds)


def _parent_named(piece: Piece, pieces: Mapping[str, Piece]) -> Piece:
    """A side's facing belongs to that side's parent."""
    own = f"{piece.facing.parent}_{piece.drawn_for}" if piece.facing else ""
    if piece.facing is None or piece.facing.parent in pieces or own not in pieces:
        return piece
    return replace(piece, facing=replace(piece.facing, parent=own))


def _together(
    key: str, mine: Mapping[str, Piece], theirs: Mapping[str, Piece], whole: PieceMaker
) -> tuple[Piece, ...]:
    if (key in mine) != (key in theirs):
        side = "right" if key in mine else "left"
        piece = mine.get(key) or theirs[key]
        raise Fault.of(
            "one-side", f"{key} is needed on the {side} side of this body only", piece.where,
            "Let its `when:` hold for both sides, or give one value for the two.",
        )  # fmt: skip
    right, left = mine[key], theirs[key]
    if alike(right, left) or not right.cuts:
        return (right,)
    if right.fold is not None:
        return (_opened(right, left),)
    if right.binding and left.binding:  # one strip for either side: long enough for both
        return (right if right.binding.covers >= left.binding.covers else left,)
    if right.drawn_for == "whole":
        return (whole.piece(key),)
    return _one_each(right, left)


def alike(a: Piece, b: Piece) -> bool:
    """Whether two drawings are the same line for line."""
    if [(e.name, e.allow, [m.name for m in e.marks]) for e in a.edges] != [
        (e.name, e.allow, [m.name for m in e.marks]) for e in b.edges
    ]:
        return False
    if not all(_edges_alike(x, y) for x, y in zip(a.edges, b.edges, strict=True)):
        return False
    drawn = [_drawn_on(p) for p in (a, b)]
    return len(drawn[0]) == len(drawn[1]) and all(
        abs(x - y) < ALIKE for x, y in zip(drawn[0], drawn[1], strict=True)
    )


def _drawn_on(piece: Piece) -> list[complex]:
    """The points of all that is drawn on a piece."""
    out = [z for d in piece.darts for z in (d.first, d.point, d.second)]
    out += [z for f in (*piece.fold_lines, *piece.lines_across) for z in (f.path.start, f.path.end)]
    out += [z for place in piece.places for z in place.corners]
    out += [z for m in piece.buttons for z in (m.at, *m.ends)]
    return out + [
        z for p in piece.pleats for move in p.moves for path in move for z in (path.start, path.end)
    ]


def _edges_alike(a: Edge, b: Edge) -> bool:
    spots = (0.0, 0.25, 0.5, 0.75, 1.0)
    same = all(abs(a.path.point(s * a.length) - b.path.point(s * b.length)) < ALIKE for s in spots)
    return (
        same
        and abs(a.length - b.length) < ALIKE
        and all(abs(m.at - n.at) < ALIKE for m, n in zip(a.marks, b.marks, strict=True))
    )


def _opened(right: Piece, left: Piece) -> Piece:
    """A half piece as one whole, its two halves each drawn for its own side. It is cut as it is seen, never mirrored."""
    right, left = _meeting(right, left)
    if right.drawn_for == "left":
        right, left = left, right
    opened = open_out(right, left)
    return replace(
        right,
        drawn_for="whole",
        fold=None,
        edges=tuple(h.edge for h in opened.ring),
        ring=opened.ring,
        cuts=tuple(_seen_as_drawn(r, "whole", r.count) for r in right.cuts),
        darts=opened.darts,
        fold_lines=opened.fold_lines,
        lines_across=opened.lines_across,
        openings=opened.openings,
        places=opened.places,
        pleats=opened.pleats,
        buttons=opened.buttons,
        level_edges=(),
    )


def _meeting(right: Piece, left: Piece) -> tuple[Piece, Piece]:
    """Both halves with their fold between the same two points."""
    mine, theirs = right.edge(right.fold or ""), left.edge(left.fold or "")
    assert mine is not None and theirs is not None  # both are drafted by one entry, which has a fold
    a, b = fold_between(mine.path, theirs.path, right.fold or "", right.key, right.where)
    return _with_fold(right, a, b), _with_fold(left, a, b)


def _with_fold(piece: Piece, start: complex, end: complex) -> Piece:
    edges, darts, pleats, told = with_fold(
        piece.edges, piece.fold or "", piece.darts, piece.pleats, start, end
    )
    return replace(piece, edges=edges, darts=darts, pleats=pleats, trueings=(*piece.trueings, *told))


def _one_each(right: Piece, left: Piece) -> tuple[Piece, ...]:
    """A drawing that serves both sides as a piece for each; one that serves a single side as that side's."""
    drawn = right.drawn_for
    out: list[Piece] = []
    sides: tuple[tuple[Side, Piece], ...] = (("right", right), ("left", left))
    for side, piece in sides:
        rules = []
        for r in piece.cuts:
            if r.how == "single" and r.side == side:
                rules.append(r)
            elif r.how != "single":
                rules.append(_seen_as_drawn(r, side, max(1, r.count // 2)))
        if rules:
            turned = piece if side == drawn or _same_way(piece) else turned_over(piece)
            out.append(replace(turned, drawn_for=side, cuts=tuple(rules)))
    if len(out) < 2:
        return tuple(out)
    return tuple(replace(p, key=f"{p.key}_{p.drawn_for}", base=p.key) for p in out)


def _same_way(piece: Piece) -> bool:
    """Whether both sides' copies are cut from one drawing, not turned over."""
    return all(r.how == "same" for r in piece.cuts if not r.fused)


def _seen_as_drawn(rule: CutRule, side: Side, count: int) -> CutRule:
    face = rule.face if rule.face != "either" else "down" if rule.fused else "up"
    return replace(rule, how="single", side=side, count=count, face=face)
