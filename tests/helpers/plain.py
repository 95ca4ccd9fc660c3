"""Plain pieces made straight from points, for tests of what comes after drafting."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from booklet.cutting.outline import cut_pieces
from booklet.drafting.copies import make_copies
from booklet.model import CutPiece, CutRule, Draft, Edge, Mark, Piece
from booklet.paths import Path
from booklet.problems import Collector, Where

HERE = Where("draft.yaml", 1)


def piece_of(
    paths: Sequence[Path],
    allow: float | Mapping[str, float],
    names: Sequence[str] | None = None,
    hems: Sequence[str] = (),
    marks: Mapping[str, tuple[Mark, ...]] | None = None,
    fold: str | None = None,
    key: str = "plain",
) -> Piece:
    """A piece of these edges (clockwise as seen, each beginning where the last one ends), cut once."""
    called = names or [f"e{n}" for n in range(len(paths))]
    edges = tuple(
        Edge(
            name,
            path,
            0.0
            if name == fold
            else allow
            if isinstance(allow, float | int)
            else allow.get(name, allow.get("other", 0.0)),
            marks=(marks or {}).get(name, ()),
            hem_fold=name in hems,
        )
        for name, path in zip(called, paths, strict=True)
    )
    how = "whole on fold" if fold else "single"
    rule = CutRule("main", 1, how, "either", "whole" if fold else "right")  # type: ignore[arg-type]
    return Piece(key, 1, "Plain", "right", edges, HERE, fold=fold, cuts=(rule,))


def ring_of(points: Sequence[complex], allow: float | Mapping[str, float], **more: object) -> Piece:
    """A piece with straight edges through the corners, clockwise as seen with y down."""
    closed = [*points, points[0]]
    return piece_of([Path.line(a, b) for a, b in zip(closed, closed[1:], strict=False)], allow, **more)  # type: ignore[arg-type]


def cut(piece: Piece) -> tuple[CutPiece, list[str]]:
    """The piece with its allowances, and what was said of it."""
    collector = Collector()
    (made,) = cut_pieces(make_copies(Draft({}, {piece.key: piece})), (), collector)
    return made, [p.sentence() for p in collector.problems]
