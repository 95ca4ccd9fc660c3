"""What a nest of sizes says of itself: which sizes, where they lie on each other, what their layers are called."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.language import tongue_for
from booklet.model import CutPiece, Job, Stack
from booklet.pages import figures
from booklet.pages.words import Words
from booklet.sewing.size_words import merge_lines, size_phrases

LISTED = 4  # so many sizes are named one by one


def sizes_told(names: Sequence[str], words: Words) -> str:
    """'sizes 34 to 48', 'sizes 10, 14 and 18'."""
    if len(names) > LISTED:
        return words("nest.sizes", first=names[0], last=names[-1])
    return words("nest.few", first=", ".join(names[:-1]), last=names[-1])


def layer_name(size: str, words: Words) -> str:
    return words("nest.layer", size=size)


def in_all_sizes(told: Sequence[str], job: Job) -> str:
    """What is told of each size as one text, figures that differ in size order."""
    small = size_phrases(tongue_for(job.language, job.wording))
    return " ".join(merge_lines([s.size for s in job.sizes], [[text] for text in told], small))


def meeting_words(cut: CutPiece, stack: Stack, words: Words, units: str) -> str:
    """'sizes lie on each other where hem meets centre'."""
    edges = cut.paper_net
    parts = stack.at.split()
    if len(parts) == 1:
        return words("nest.meet_mark", mark=figures.called(parts[0], units))
    names = [parts[0], parts[2]]
    if parts[1] == "of":
        at = next(n for n, e in enumerate(edges) if parts[2] in (e.name, e.name.partition(".")[0]))
        beside = edges[at - 1] if parts[0] == "start" else edges[(at + 1) % len(edges)]
        names = [parts[2], beside.name]
    first, second = (figures.edge_called(cut.piece.edge(name), name, words) for name in names)
    return words("nest.meet", first=first, second=second)
