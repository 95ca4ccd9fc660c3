"""From pieces to cut plies: fold pieces opened out, pairs mirrored, each ply on its wearer's side."""

from __future__ import annotations

from dataclasses import dataclass, replace

from booklet.drafting.buttons import button_placed
from booklet.drafting.shape import place_pleat
from booklet.model import (
    ButtonMark,
    Copy,
    CutRule,
    Dart,
    Draft,
    Edge,
    FoldLine,
    Half,
    Mark,
    Opening,
    Piece,
    Place,
    Pleat,
    Side,
    Split,
    TakeUp,
)
from booklet.paths import Path, Placement

OTHER: dict[Side, Side] = {"left": "right", "right": "left", "whole": "whole"}


@dataclass(frozen=True)
class OpenedPiece:
    """A piece opened out in its own drawing frame: the whole ring, clockwise, and all that is drawn on it."""

    ring: tuple[Half, ...]
    darts: tuple[Dart, ...]
    fold_lines: tuple[FoldLine, ...]
    lines_across: tuple[FoldLine, ...]
    openings: tuple[Opening, ...]
    places: tuple[Place, ...] = ()
    pleats: tuple[Pleat, ...] = ()
    buttons: tuple[ButtonMark, ...] = ()


def fold_mirror(piece: Piece) -> Placement:
    """The reflection in a half piece's fold line."""
    fold = piece.edge(piece.fold or "")
    if fold is None:
        raise ValueError(f"{piece.key} has no fold")
    return Placement.mirror(fold.path.start, fold.path.end - fold.path.start)


def open_out(piece: Piece, twin: Piece | None = None) -> OpenedPiece:
    """The whole ply. Edges that meet the fold run on over it as one; the others are doubled as .left and .right.

    `twin` is the same half as drawn for the wearer's other side, where that differs; it lies on the same fold.
    """
    if piece.fold is None:
        plain = piece.ring or tuple(Half(e, e.name, piece.drawn_for) for e in piece.edges)
        return OpenedPiece(
            plain,
            piece.darts,
            piece.fold_lines,
            piece.lines_across,
            piece.openings,
            piece.places,
            piece.pleats,
            piece.buttons,
        )
    over = fold_mirror(piece)
    twin = twin or piece
    order, theirs = _from_fold(piece), _from_fold(twin)
    side, other = piece.drawn_for, OTHER[piece.drawn_for]
    ring = [Half(_over_fold(order[0], theirs[0], over, side, leaving=True), order[0].name, "whole")]
    ring += [Half(_sided(e, e.path, side), e.name, side) for e in order[1:-1]]
    ring.append(Half(_over_fold(order[-1], theirs[-1], over, side, leaving=False), order[-1].name, "whole"))
    ring += [Half(_sided(_turned(e, over), None, other), e.name, other) for e in reversed(theirs[1:-1])]
    return OpenedPiece(
        tuple(ring),
        tuple(replace(d, side=side) for d in piece.darts)
        + tuple(replace(_dart_over(d, over), side=other) for d in twin.darts),
        piece.fold_lines + tuple(replace(f, path=f.path.placed(over)) for f in twin.fold_lines),
        piece.lines_across + tuple(replace(f, path=f.path.placed(over)) for f in twin.lines_across),
        piece.openings,
        _places_over(piece.places, twin.places, over, side),
        tuple(replace(p, side=side) for p in piece.pleats)
        + tuple(replace(place_pleat(p, over, True), side=other) for p in twin.pleats),
        tuple(replace(m, side=side) for m in piece.buttons if m.side != other)
        + tuple(replace(button_placed(m, over), side=other) for m in twin.buttons if m.side != side),
    )


def _from_fold(piece: Piece) -> list[Edge]:
    n = next(k for k, e in enumerate(piece.edges) if e.name == piece.fold)
    return [*piece.edges[n + 1 :], *piece.edges[:n]]


def _split_over(split: Split, over: Placement) -> Split:
    a, b = split.line
    return replace(split, line=(over.apply(b), over.apply(a)))  # its first part stays on the same side


def turned_over(piece: Piece) -> Piece:
    """A piece drawn for the wearer's other side: mirrored, its edges keeping their names."""
    over, side = Placement.mirror(0j, 1j), OTHER[piece.drawn_for]
    facing = piece.facing
    return replace(
        piece,
        drawn_for=side,
        edges=tuple(_turned(e, over) for e in reversed(piece.edges)),
        grain=(over.apply(piece.grain[0]), over.apply(piece.grain[1])),
        match=None if piece.match is None else over.apply(piece.match),
        split=piece.split and _split_over(piece.split, over),
        darts=tuple(_dart_over(d, over) for d in piece.darts),
        fold_lines=tuple(replace(f, path=f.path.placed(over)) for f in piece.fold_lines),
        openings=tuple(replace(o, at=over.apply(o.at), foot=over.apply(o.foot)) for o in piece.openings),
        lines_across=tuple(replace(f, path=f.path.placed(over)) for f in piece.lines_across),
        level_lines=tuple((n, tuple(p.placed(over) for p in paths)) for n, paths in piece.level_lines),
        facing=facing and replace(facing, laid=over.then(facing.laid).then(over)),
        places=tuple(replace(_place_turned(p, over), side=p.side) for p in piece.places),
        pleats=tuple(place_pleat(p, over, True) for p in piece.pleats),
        buttons=tuple(button_placed(m, over) for m in piece.buttons),
    )


def _places_over(
    mine: tuple[Place, ...], theirs: tuple[Place, ...], over: Placement, side: Side
) -> tuple[Place, ...]:
    """One that lies across the fold stays one; any other is there on both halves."""
    out: list[Place] = []
    for place, other in zip(mine, theirs, strict=True):
        if _across_fold(place, over):
            out.append(place)
        else:
            out += [replace(place, side=side), replace(_place_turned(other, over), side=OTHER[side])]
    return tuple(out)


def _across_fold(place: Place, over: Placement) -> bool:
    return all(min(abs(over.apply(z) - w) for w in place.corners) < 0.1 for z in place.corners)


def _place_turned(place: Place, over: Placement) -> Place:
    return replace(
        place,
        laid=place.laid.then(over),
        outline=place.outline.placed(over).reversed(),
        corners=tuple(over.apply(z) for z in place.corners),
    )


def _turned(edge: Edge, over: Placement) -> Edge:
    """An edge mirrored over the fold and run the other way, so that the ring stays clockwise."""
    size = edge.length
    return replace(
        edge,
        path=edge.path.placed(over).reversed(),
        marks=tuple(replace(m, at=size - m.at) for m in reversed(edge.marks)),
        take_ups=tuple(TakeUp(t.name, size - t.end, size - t.start) for t in reversed(edge.take_ups)),
    )


def _sided(edge: Edge, path: Path | None, side: Side) -> Edge:
    return replace(edge, name=f"{edge.name}.{side}", path=path or edge.path, marks=_marks_of(edge, side))


def _marks_of(edge: Edge, side: Side) -> tuple[Mark, ...]:
    return tuple(m for m in edge.marks if m.side in (None, side))


def _over_fold(edge: Edge, other: Edge, over: Placement, side: Side, leaving: bool) -> Edge:
    """An edge and the other half's, mirrored, as one run over the fold, with a centre snip where it crosses."""
    edge = replace(edge, marks=_marks_of(edge, side))
    twin = _turned(replace(other, marks=_marks_of(other, OTHER[side])), over)
    a, b = (twin, edge) if leaving else (edge, twin)
    shift = a.length
    centre = Mark("centre", "snip", shift)
    marks_b = tuple(replace(m, at=m.at + shift) for m in b.marks)
    ups_b = tuple(TakeUp(t.name, t.start + shift, t.end + shift) for t in b.take_ups)
    return replace(
        edge, path=a.path.joined(b.path), marks=(*a.marks, centre, *marks_b), take_ups=(*a.take_ups, *ups_b)
    )


def _dart_over(dart: Dart, over: Placement) -> Dart:
    return replace(
        dart, first=over.apply(dart.second), second=over.apply(dart.first), point=over.apply(dart.point),
        press_first=not dart.press_first,
    )  # fmt: skip


def make_copies(draft: Draft) -> tuple[Copy, ...]:
    """Every ply to cut, in the order of the piece numbers and of each piece's cut rules."""
    out: list[Copy] = []
    for piece in draft.to_cut():
        opened = open_out(piece)
        cloths = dict.fromkeys(r.cloth for r in piece.cuts if not r.fused)
        for rule in piece.cuts:
            for side, placing in _sides(piece, rule):
                base = piece.name if side == "whole" else f"{piece.name}.{side}"
                plain = len(cloths) <= 1 or rule.cloth == next(iter(cloths))
                name = base if plain and not rule.fused else f"{base}@{rule.cloth}"
                count = sum(1 for c in out if c.id == name or c.id.startswith(f"{name}#"))
                out.append(
                    Copy(
                        id=name if count == 0 else f"{name}#{count + 1}",
                        piece=piece,
                        cloth=rule.cloth,
                        side=side,
                        face=rule.face,
                        edges=tuple(
                            replace(h, edge=replace(h.edge, path=h.edge.path.placed(placing)))
                            for h in opened.ring
                        ),
                        sign=-1 if placing.mirrored else 1,
                        placing=placing,
                        rule=rule,
                        host=base if rule.fused else None,
                        darts=tuple(_dart_placed(d, placing) for d in opened.darts),
                        fold_lines=tuple(replace(f, path=f.path.placed(placing)) for f in opened.fold_lines),
                        lines_across=tuple(
                            replace(f, path=f.path.placed(placing)) for f in opened.lines_across
                        ),
                        openings=tuple(
                            replace(o, at=placing.apply(o.at), foot=placing.apply(o.foot))
                            for o in opened.openings
                        ),
                        places=tuple(
                            replace(
                                p,
                                laid=p.laid.then(placing),
                                outline=p.outline.placed(placing),
                                corners=tuple(placing.apply(z) for z in p.corners),
                            )
                            for p in opened.places
                        ),
                        pleats=tuple(place_pleat(p, placing, False) for p in opened.pleats),
                        buttons=tuple(
                            button_placed(m, placing)
                            for m in opened.buttons
                            if side == "whole" or m.side in (side, "whole")
                        ),
                    )
                )
    return tuple(out)


def _dart_placed(dart: Dart, placing: Placement) -> Dart:
    """A dart on another ply: its legs keep their names, since the edge keeps its direction."""
    return replace(
        dart,
        first=placing.apply(dart.first),
        second=placing.apply(dart.second),
        point=placing.apply(dart.point),
    )


def _sides(piece: Piece, rule: CutRule) -> list[tuple[Side, Placement]]:
    mirror = Placement.mirror(0j, 1j)
    here = piece.drawn_for
    if rule.how == "pair":
        both = [(here, Placement.IDENTITY), (OTHER[here], mirror)]
        return both * max(1, rule.count // 2)
    if rule.how == "same" and rule.count == 2 and here != "whole":
        return [(here, Placement.IDENTITY), (OTHER[here], Placement.IDENTITY)]
    if rule.how == "single":
        flip = rule.side != "whole" and here != "whole" and rule.side != here
        return [(rule.side, mirror if flip else Placement.IDENTITY)] * rule.count
    return [("whole", Placement.IDENTITY)] * rule.count
