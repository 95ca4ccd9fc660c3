"""Words of the full-scale run that only the booklet knows: what to measure once the pages are joined."""

from __future__ import annotations

from collections.abc import Iterator

from booklet.model import CutPiece, Edge, Job
from booklet.pages import figures
from booklet.pages.piece_lines import on_paper
from booklet.pages.words import Words
from booklet.paths import Path

WITHIN_MM = 2.0  # what joining may add or lose over a row of pages (common practice, no source)


def check_words(job: Job, words: Words) -> str:
    """A sentence with the longest line to measure: a fold line if it is long enough, else a straight stitch line."""
    within = figures.length(WITHIN_MM, job.units)
    folds = [(shown.length, cut) for cut, shown in _folds(job)]
    edges = [(edge.length, cut, edge) for cut in job.size.cut_pieces for edge in _straight(cut)]
    longest = max(edges, key=lambda e: e[0], default=None)
    fold = max(folds, key=lambda f: f[0], default=None)
    if fold is not None and (longest is None or fold[0] >= 0.6 * longest[0]):
        size = figures.length(fold[0], job.units)
        return words("print.check_fold", number=fold[1].piece.number, length=size, within=within)
    if longest is None:
        return ""
    size, called = figures.length(longest[0], job.units), figures.edge_called(longest[2], longest[2].name)
    return words("print.check_edge", number=longest[1].piece.number, edge=called, length=size, within=within)


def _folds(job: Job) -> Iterator[tuple[CutPiece, Path]]:
    for cut in job.size.cut_pieces:
        shown = on_paper(cut)
        if shown.fold is not None:
            yield cut, shown.fold


def _straight(cut: CutPiece) -> list[Edge]:
    return [e for e in cut.paper_net if e.allow > 0 and abs(e.path.end - e.path.start) > e.length - 0.05]
