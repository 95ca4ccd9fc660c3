"""Pieces, edges and match points as the reader calls them, in the language of the step's context.

An edge whose words are translated bears them as `called` (prepare.py); other edges, and marks, are called by their names.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from booklet.language import Tongue
from booklet.model import Copy, Edge, Half, Mark, Part, Run, Seam
from booklet.sewing.operations.base import Context

# Edge names that say only where an edge lies.
BARE = ("upper", "under", "lower", "outer", "inner", "left", "right", "front", "back", "top", "long", "short")


@dataclass(frozen=True)
class Name:
    """A piece, or several alike, in running text: 'neck facing', numbers 3 and 4, two of them."""

    words: str
    numbers: tuple[int, ...] = ()
    count: int = 1


def named_many(name: Name, tongue: Tongue) -> str:
    """Its words, in the plural where it stands for several."""
    return tongue.grammar.plural(name.words) if name.count > 1 else name.words


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


def common(tongue: Tongue, names: Sequence[Name]) -> Name | None:
    """One name for all: the words in which they end ('neck facing'), or begin where the main word comes first.

    None where they share none.
    """
    if len(names) == 1:
        return names[0]
    first = tongue.grammar.head_first
    rows = [n.words.split()[:: 1 if first else -1] for n in names]
    shared: list[str] = []
    for words in zip(*rows, strict=False):
        if len(set(words)) > 1:
            break
        shared.append(words[0])
    while first and len(shared) > 1 and shared[-1] in tongue.small["plural stops"]:
        shared.pop()  # 'pattes de', of two that differ in what follows
    if not shared:
        return None
    shared = shared if first else shared[::-1]
    numbers = tuple(sorted({k for n in names for k in n.numbers}))
    return Name(" ".join(shared), numbers, sum(n.count for n in names))


def called_together(context: Context, copies: Iterable[Copy]) -> tuple[Name, ...]:
    """The shared name of the copies if they have one, else each piece's."""
    names = piece_names(copies)
    one = common(context.tongue, names)
    return (one,) if one else names


def edge_words(half: Half) -> str:
    """'shoulder', 'wrap edge', 'outer edge', 'hem edge': the style's own word for an edge."""
    return edge_plain(half.edge)


def edge_plain(edge: Edge) -> str:
    """What the style calls an edge, or its name without its side."""
    called = edge.called or edge.name.partition(".")[0].replace("_", " ")
    return f"{called} edge" if called in BARE else called


def edge_names(context: Context, run: Run | None) -> tuple[str, ...]:
    """The words of a run's edges, each once, in order."""
    return tuple(dict.fromkeys(edge_words(context.half(p)) for p in (run.parts if run else ())))


def seam_words(context: Context, part: Part, at_start: bool) -> str:
    """The seam that crosses a run's end: 'shoulder seam', or 'sleeve seam' where it joins two edges of one piece."""
    half = context.beyond(part, at_start)
    seam = context.treated(part.copy, half.name, context.earlier, "join")
    if seam is None or seam.b is None:
        return _seam(context, edge_words(half))
    mine, other = (seam.a, seam.b) if (part.copy, half.name) in _edges(seam.a) else (seam.b, seam.a)
    place = next(n for n, p in enumerate(mine.parts) if (p.copy, p.edge) == (part.copy, half.name))
    met = other.parts[min(place, len(other.parts) - 1)]
    one_piece = context.copies[part.copy].piece.name == context.copies[met.copy].piece.name
    if one_piece and edge_words(context.half(met)) != edge_words(half):
        return _seam(context, piece_words(context.copies[part.copy].piece.title))
    return _seam(context, edge_words(half))


def seam_called(context: Context, seam: Seam) -> str:
    """A seam by the edge that begins it."""
    return _seam(context, edge_words(context.half(seam.a.parts[0])))


def _edges(run: Run) -> set[tuple[str, str]]:
    return {(p.copy, p.edge) for p in run.parts}


def _seam(context: Context, words: str) -> str:
    tongue = context.tongue
    return words if re.search(rf"\b{tongue.small['seam word']}\b", words) else tongue.put("seam", words=words)


def mark_words(mark: Mark, tongue: Tongue) -> str:
    """'single notch', 'cross', 'front centre': by its kind where its name says no more than that it is a notch."""
    name = mark.name.replace("_", " ")
    kinds = tongue.small["mark kinds"]
    if mark.kind == "dot":
        return str(kinds["dot"])  # as the paper prints it
    if name.endswith("notch") and mark.kind in ("single", "double", "triple"):
        return str(kinds[mark.kind])
    # Notches that a band gets where its partner's pieces end.
    if name.endswith(" end"):
        return str(tongue.small["notch"])
    if name not in BARE:
        return tongue.said(name)
    whole = f"{name} notch"
    said = tongue.said(whole)
    return said if said != whole else tongue.put("named notch", words=tongue.said(name))


def end_words(context: Context, run: Run, at_start: bool) -> str:
    """Where a run begins or ends: a mark, or the edge round the corner, with its piece where the run has several."""
    part = run.parts[0] if at_start else run.parts[-1]
    mark = None if context.whole_edge(part) else context.mark_at(part, at_start)
    if mark is not None:
        return mark_words(mark, context.tongue)
    words = edge_words(context.beyond(part, at_start))
    if len({context.copies[p.copy].piece.name for p in run.parts}) == 1:
        return words
    piece = piece_words(context.copies[part.copy].piece.title)
    return context.tongue.put("at of", it=words, whole=piece)
