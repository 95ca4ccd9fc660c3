"""A page as it is handed to a painter, and a piece as it is handed to the full-scale sheet."""

from __future__ import annotations

from dataclasses import dataclass

from booklet.drawing.display import Drawing, Item
from booklet.paths import Path


@dataclass(frozen=True)
class Bookmark:
    """An entry of the reader's contents list: level 0 is the outermost; `y` in mm down the page."""

    title: str
    level: int = 0
    y: float = 0.0


@dataclass(frozen=True)
class PageSpec:
    """One page: what is on it, what a viewer calls it ('3', 'B2'), the bookmarks that lead to it, the section it is of."""

    drawing: Drawing
    label: str = ""
    bookmarks: tuple[Bookmark, ...] = ()
    woven: tuple[str, int] | None = (
        None  # a page of another PDF that is laid on it: file, and the page counted from 0
    )
    section: str = ""


@dataclass(frozen=True)
class EdgeNote:
    """A word that runs along an edge on its inner side: the stitch line of the edge, in the piece's mm.

    `short` says the same where there is no room for `text`.
    """

    text: str
    line: Path
    short: str = ""


@dataclass(frozen=True)
class Callout:
    """A word for a mark, upright and with a leader to `target`, in the piece's mm."""

    text: str
    target: complex


@dataclass(frozen=True)
class SizeLines:
    """What of a nested piece belongs to one size, in the piece's mm: its own cut line and the marks that move with it.

    `cut` holds the cut line's paths, on which the size is named; `layer` is what a viewer calls the size's layer. Where
    sizes run together and take turns, `turns` are places of this size's with the direction across the line. `spots` are
    marks that look alike in all sizes and must be named: what row each belongs to, and its place.
    """

    size: str
    layer: str
    outline: Path
    cut: tuple[Path, ...]
    items: tuple[Item, ...]
    turns: tuple[tuple[complex, complex], ...] = ()
    spots: tuple[tuple[str, complex], ...] = ()


@dataclass(frozen=True)
class SheetPiece:
    """A piece at full scale, in its own mm: the closed cut line, what is drawn, and what is written on it.

    `items` are lines and marks alone (cut line, stitch line, notches, grain, fold); they turn with the piece.
    Number, title and `lines` form the label, which always stands upright. Of a nested piece `outline` goes round all its
    `sizes`, `items` are what they share, and words lie on the `ground` that all of them have.
    """

    key: str
    number: str
    title: str
    outline: Path
    items: tuple[Item, ...]
    lines: tuple[str, ...] = ()
    edge_notes: tuple[EdgeNote, ...] = ()
    callouts: tuple[Callout, ...] = ()
    layer: str | None = None
    sizes: tuple[SizeLines, ...] = ()
    ground: Path | None = None
