"""Pieces, edges and match points as the reader calls them. The words that are not the style's own are English."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from booklet.model import Copy, Half, Mark, Part, Run, Seam
from booklet.sewing.operations.base import Context

# Edge names that say only where an edge lies.
BARE = ("upper", "under", "lower", "outer", "inner", "left", "right", "front", "back", "top", "long", "short")


@dataclass(frozen=True)
class Name:
    """A piece, or several alike, in running text: 'neck facing', numbers 3 and 4, two of them."""

    words: str
    numbers: tuple[int, ...] = ()
    count: int = 1

    @property
    def many(self) -> str:
        return plural(self.words) if self.count > 1 else self.words


def plural(words: str) -> str:
    """'facing' -> 'facings', 'patch' -> 'patches', 'placket end' -> 'placket ends'."""
    if words.endswith(("s", "x", "ch", "sh")):
        return f"{words}es"
    if re.search(r"[^aeiou]y$", words):
        return f"{words[:-1]}ies"
    return f"{words}s"


def piece_words(title: str) -> str:
    """A title inside a sentence: 'Left front (under)' -> 'left front'."""
    plain = re.sub(r"\s*\([^)]*\)\s*$", "", title) or title
    return plain[:1].lower() + plain[1:]


def piece_names(copies: Iterable[Copy]) -> tuple[Name, ...]:
    """One name for each piece among the copies, in order, with how many of its copies there are."""
    counts: dict[tuple[str, int], int] = {}
    for c in copies:
        key = (piece_words(c.piece.title), c.piece.number)
        counts[key] = counts.get(key, 0) + 1
    return tuple(Name(words, (number,), n) for (words, number), n in counts.items())


def common(names: Sequence[Name]) -> Name | None:
    """One name for all: the words in which they end ('neck facing'). None where they share none."""
    if len(names) == 1:
        return names[0]
    tails = [n.words.split()[::-1] for n in names]
    shared: list[str] = []
    for words in zip(*tails, strict=False):
        if len(set(words)) > 1:
            break
        shared.insert(0, words[0])
    if not shared:
        return None
    numbers = tuple(sorted({k for n in names for k in n.numbers}))
    return Name(" ".join(shared), numbers, sum(n.count for n in names))


def called_together(copies: Iterable[Copy]) -> tuple[Name, ...]:
    """The shared name of the copies if they have one, else each piece's."""
    names = piece_names(copies)
    one = common(names)
    return (one,) if one else names


def edge_words(half: Half) -> str:
    """'shoulder', 'wrap edge', 'outer edge', 'hem edge': the style's own word for an edge."""
    called = half.edge.called or half.base.replace("_", " ")
    return f"{called} edge" if called in BARE else called


def edge_names(context: Context, run: Run | None) -> tuple[str, ...]:
    """The words of a run's edges, each once, in order."""
    return tuple(dict.fromkeys(edge_words(context.half(p)) for p in (run.parts if run else ())))


def seam_words(context: Context, part: Part, at_start: bool) -> str:
    """The seam that crosses a run's end: 'shoulder seam', or 'sleeve seam' where it joins two edges of one piece."""
    half = context.beyond(part, at_start)
    seam = context.treated(part.copy, half.name, context.earlier, "join")
    if seam is None or seam.b is None:
        return _seam(edge_words(half))
    mine, other = (seam.a, seam.b) if (part.copy, half.name) in _edges(seam.a) else (seam.b, seam.a)
    place = next(n for n, p in enumerate(mine.parts) if (p.copy, p.edge) == (part.copy, half.name))
    met = other.parts[min(place, len(other.parts) - 1)]
    one_piece = context.copies[part.copy].piece.name == context.copies[met.copy].piece.name
    if one_piece and edge_words(context.half(met)) != edge_words(half):
        return _seam(piece_words(context.copies[part.copy].piece.title))
    return _seam(edge_words(half))


def seam_called(context: Context, seam: Seam) -> str:
    """A seam by the edge that begins it."""
    return _seam(edge_words(context.half(seam.a.parts[0])))


def _edges(run: Run) -> set[tuple[str, str]]:
    return {(p.copy, p.edge) for p in run.parts}


def _seam(words: str) -> str:
    return words if words.endswith("seam") else f"{words} seam"


def mark_words(mark: Mark) -> str:
    """'single notch', 'cross', 'front centre': by its kind where its name says no more than that it is a notch."""
    name = mark.name.replace("_", " ")
    if mark.kind == "dot":
        return "cross"  # as the paper prints it
    if name.endswith("notch") and mark.kind in ("single", "double", "triple"):
        return f"{mark.kind} notch"
    # Notches that a band gets where its partner's pieces end.
    if name.endswith(" end"):
        return "notch"
    return f"{name} notch" if name in BARE else name


def end_words(context: Context, run: Run, at_start: bool) -> str:
    """Where a run begins or ends: a mark, or the edge round the corner, with its piece where the run has several."""
    part = run.parts[0] if at_start else run.parts[-1]
    mark = None if context.whole_edge(part) else context.mark_at(part, at_start)
    if mark is not None:
        return mark_words(mark)
    words = edge_words(context.beyond(part, at_start))
    several = len({context.copies[p.copy].piece.name for p in run.parts}) > 1
    return f"{words} of the {piece_words(context.copies[part.copy].piece.title)}" if several else words
