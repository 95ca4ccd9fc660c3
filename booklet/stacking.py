"""Where the sizes of a piece lie on each other: `nest at` of the style, or where none is given the fold's foot.

    nest at: {front: neckline at centre, sleeve: top, cuff: end of upper}

A place is a mark of the piece, 'EDGE at EDGE' (the corner of two edges), 'start of EDGE' or 'end of EDGE'. Grains lie
parallel.
"""

from __future__ import annotations

import cmath
from collections.abc import Iterable, Mapping, Sequence
from typing import Any, Protocol

from booklet.model import CutPiece, Edge, Stack
from booklet.paths import Placement
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.yaml_source import Source

_TURNED = 1e-6  # a grain turned by less is not turned


class OfSize(Protocol):
    """What has the cut pieces of one size."""

    @property
    def cut_pieces(self) -> tuple[CutPiece, ...]: ...

    def cut_piece(self, key: str) -> CutPiece: ...


def stacks_of(
    style: Source, drafted: Iterable[str], sizes: Sequence[OfSize], base: int, collector: Collector
) -> tuple[Stack, ...]:
    """One a printed piece, by number. Each size's placement brings its drawing onto that of the base size.

    `drafted` are the names of all pieces of the draft, with whatever options.
    """
    asked: Mapping[str, Any] = style.data.get("nest at") or {}
    cuts = sorted(sizes[base].cut_pieces, key=lambda c: c.piece.number)
    known = [*drafted]
    for key in asked:
        if key not in known and not any(key in (c.piece.key, c.piece.name) for c in cuts):
            where = style.where("nest at", key)
            collector.error(
                "unknown-piece", where, f"there is no piece '{key}' to nest", nearest(key, known).strip()
            )
    out = []
    for cut in cuts:
        key = cut.piece.key if cut.piece.key in asked else cut.piece.name
        place = str(asked[key]) if key in asked else default_place(cut)
        where = style.where("nest at", key)
        with collector.catching():
            found = [place_at(s.cut_piece(cut.piece.key), place, where) for s in sizes]
            ways = [_grain(s.cut_piece(cut.piece.key)) for s in sizes]
            out.append(
                Stack(
                    cut.piece.key,
                    place,
                    tuple(
                        _onto(at, way, found[base], ways[base]) for at, way in zip(found, ways, strict=True)
                    ),
                )
            )
    return tuple(out)


def default_place(cut: CutPiece) -> str:
    """The foot of the fold (the lower of its ends), else the first edge's start."""
    edges = cut.paper_net
    fold = next((e for e in edges if e.name == cut.piece.fold), None)
    if cut.extent == "half" and fold is not None:
        a, b = fold.path.start, fold.path.end
        lower = "start" if (a.imag, a.real) > (b.imag, b.real) else "end"
        return f"{lower} of {fold.name}"
    return f"start of {edges[0].name}"


def place_at(cut: CutPiece, place: str, where: Where | None) -> complex:
    """A place on the paper's stitch line. Raises `Fault` where the piece has no such place."""
    edges = cut.paper_net
    words = place.split()
    if len(words) == 3 and words[1] == "of" and words[0] in ("start", "end"):
        edge = _edge(cut, words[2], where)
        return edge.path.start if words[0] == "start" else edge.path.end
    if len(words) == 3 and words[1] == "at":
        first, second = _edge(cut, words[0], where), _edge(cut, words[2], where)
        for a in (first.path.start, first.path.end):
            if min(abs(a - second.path.start), abs(a - second.path.end)) < 0.1:
                return a
        raise Fault.of(
            "nest-place", f"{cut.piece.key}: the edges {words[0]} and {words[2]} do not meet", where
        )
    for edge in edges:
        mark = edge.mark(place)
        if mark is not None:
            return edge.path.point(mark.at)
    marks = [m.name for e in edges for m in e.marks]
    known = nearest(place, [*marks, *(f"start of {e.name}" for e in edges)]).strip()
    raise Fault.of("nest-place", f"{cut.piece.key} has no place '{place}' to nest its sizes at", where, known)


def _edge(cut: CutPiece, name: str, where: Where | None) -> Edge:
    found = [e for e in cut.paper_net if e.name == name] or [
        e for e in cut.paper_net if e.name.partition(".")[0] == name
    ]
    if not found:
        names = [e.name for e in cut.paper_net]
        raise Fault.of(
            "unknown-edge", f"{cut.piece.key} has no edge '{name}'", where, nearest(name, names).strip()
        )
    return found[0]


def _grain(cut: CutPiece) -> complex:
    tail, head = cut.piece.grain
    return (head - tail) / abs(head - tail)


def _onto(at: complex, way: complex, base_at: complex, base_way: complex) -> Placement:
    turn = base_way / way
    if abs(cmath.phase(turn)) < _TURNED:
        return Placement.move(base_at - at)
    return Placement(turn, base_at - turn * at)
