"""Pieces, edges and measures called in the booklet's language, once they are drafted.

Everything printed later takes their names from here: a piece's title, an edge's `called`, a measure's title.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace

from booklet.language import OWN, Tongue
from booklet.model import Draft, Edge, Finished, Piece
from booklet.problems import Collector
from booklet.reading.translations import joined, warn_of
from booklet.sewing.operations.names import edge_plain, mark_words


def named_draft(draft: Draft, tongue: Tongue) -> Draft:
    """The draft with titles and edges called in the booklet's language; itself where that is the style's own."""
    if tongue.language == OWN:
        return draft
    return Draft(draft.values, {key: _piece(p, tongue) for key, p in draft.pieces.items()})


def _piece(piece: Piece, tongue: Tongue) -> Piece:
    side = str(tongue.small["sides"][piece.drawn_for])
    return replace(
        piece,
        title=tongue.said(joined(piece.title)),
        side_word=side,
        edges=tuple(_edge(e, tongue) for e in piece.edges),
        ring=tuple(replace(h, edge=_edge(h.edge, tongue)) for h in piece.ring),
    )


def _edge(edge: Edge, tongue: Tongue) -> Edge:
    words = edge_plain(edge)
    said = tongue.said(words)
    return edge if said == words else replace(edge, called=said)


def named_measures(measures: Sequence[Finished], tongue: Tongue) -> tuple[Finished, ...]:
    """Measures with their titles in the booklet's language; a side behind the comma too."""
    if tongue.language == OWN:
        return tuple(measures)
    sides = {f", {s}": f", {tongue.small['sides'][s]}" for s in ("left", "right")}
    out = []
    for m in measures:
        end = next((s for s in sides if m.title.endswith(s)), "")
        title = tongue.said(joined(m.title.removesuffix(end)))
        out.append(replace(m, title=title + sides.get(end, ""), note=tongue.said(m.note)))
    return tuple(out)


def names_missing(draft: Draft, tongue: Tongue, collector: Collector) -> None:
    """A warning for each name in a piece to cut that is printed and has no words in the language."""
    if tongue.language == OWN:
        return
    told: set[str] = set()
    for piece in draft.to_cut():
        for words in _names(piece, tongue):
            if words not in told and tongue.said(words) == words:
                told.add(words)
                warn_of(words, "", tongue.language, piece.where, collector)


def _names(piece: Piece, tongue: Tongue) -> Iterator[str]:
    """What a piece's edges, marks, lines, slits and buttons are called where nothing else calls them."""
    edges = (*piece.edges, *(h.edge for h in piece.ring))
    yield from (edge_plain(e) for e in edges if not e.called)
    for edge in edges:
        for mark in edge.marks:
            name = mark.name.replace("_", " ")
            # `mark_words` calls all others by their kind, or by a word of the language's own.
            if mark_words(replace(mark, name="?"), tongue) == "?" and mark_words(mark, tongue) == name:
                yield name
    lines = (*piece.fold_lines, *piece.lines_across)
    yield from (line.name.replace("_", " ") for line in lines)
    yield from (slit.name.replace("_", " ") for slit in piece.openings)
    yield from (b.line.replace("_", " ") for b in piece.buttons if piece.edge(b.line) is None)
    yield from (f"{piece.name} {b.row}".replace("_", " ") for b in piece.buttons if b.kind == "button")
