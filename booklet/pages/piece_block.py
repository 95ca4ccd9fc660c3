"""What a pattern piece says about itself: copies, style, size, allowances. For its label and for the chart."""

from __future__ import annotations

from booklet.drawing.text import break_lines
from booklet.model import ClothNeed, CutPiece, CutRule, Edge, Job
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines, side_words
from booklet.pages.nest_words import in_all_sizes, sizes_told
from booklet.pages.words import Words, sentence
from booklet.units import show_percent

LABEL_PT, LABEL_WIDE = 9.6, 66.0  # what a label's lines are broken for


def cloth_title(job: Job, key: str) -> str:
    return next((c.title for c in job.size.cloths if c.key == key), key.replace("_", " "))


def cloth_kind(need: ClothNeed, words: Words, units: str) -> str:
    """What cloth it is, and what is reckoned for its first wash."""
    percent = show_percent(need.shrinkage, units)
    shrink = words("cloth.shrink", percent=percent) if need.shrinkage else words("cloth.no_shrink")
    kind = figures.weights_told(need.kind, units)
    return words.spaced(f"{sentence(kind)}; {shrink}.") if kind else f"{sentence(shrink)}."


def outline_words(rule: CutRule, words: Words) -> str:
    """'cut on the stitch line', for a ply with an outline of its own; '' for one cut as the piece is."""
    if rule.trim is None:
        return ""
    if rule.trim == 0:
        return words("chart.on_stitch")
    return words("chart.beyond", length=figures.both(rule.trim, words))


def label_lines(job: Job, cut: CutPiece, words: Words) -> tuple[str, ...]:
    """The lines under number and title: a line for each cloth, the side drawn, the style, the allowances."""
    lines = copy_lines(cut, job.size, words)
    out = []
    for line, rule in zip(lines, cut.piece.cuts, strict=True):
        outline = outline_words(rule, words)
        key = "label.copies_trim" if outline else "label.copies"
        out.append(words(key, cloth=cloth_title(job, line.cloth), copies=line.words, outline=outline))
    if cut.extent == "half":
        mixed = any(line.fold for line in lines)
        out += dict.fromkeys(
            words("label.copies", cloth=cloth_title(job, line.cloth), copies=line.how_to)
            if mixed
            else line.how_to
            for line in lines
            if not line.fold
        )
    if any(line.how == "pair" for line in lines) and cut.piece.drawn_for != "whole":
        out.append(words("label.drawn_for", side=side_words(cut.piece.drawn_for, words)))
    style = job.style
    if job.nested:
        sizes = sizes_told([s.size for s in job.sizes], words)
        out.append(words("nest.identity", code=style.code, sizes=sizes, version=style.version))
    else:
        out.append(words("label.identity", code=style.code, size=job.size.size, version=style.version))
    out.append(words("label.allowances", list=_allowances(job, cut, words)))
    return tuple(part for text in out for part in broken(text))


def _allowances(job: Job, cut: CutPiece, words: Words) -> str:
    """Those of the piece; where sizes differ, all in size order and in one unit."""
    of_sizes = [s.cut_piece(cut.piece.key) for s in job.sizes] if job.nested else [cut]
    widths = [{e.name: round(e.allow, 4) for e in c.piece.edges} for c in of_sizes]
    if all(w == widths[0] for w in widths):
        return figures.allowance_words(cut, words)
    return in_all_sizes([figures.allowance_words(c, words, job.units) for c in of_sizes], job)


def broken(text: str) -> list[str]:
    """A line in parts no wider than a label."""
    return ["".join(w.text for w in line.words).strip() for line in break_lines(text, LABEL_WIDE, LABEL_PT)]


def shared_edge_words(cut: CutPiece, job: Job, edge: Edge, words: Words) -> str:
    """'sewn to Front neckline', for an edge that a facing copies; '' on a piece that is no facing."""
    facing = cut.piece.facing
    if facing is None:
        return ""
    parent = job.size.cut_piece(facing.parent).piece
    base = edge.name.partition(".")[0]
    own = next((e for e in parent.edges if e.name.partition(".")[0] == base), None)
    return words("label.sewn_to", piece=parent.title, edge=figures.edge_called(own, base, words))


def facing_words(cut: CutPiece, job: Job, words: Words) -> str:
    """'sewn to Right front hem curve and wrap edge'; '' on a piece that is no facing."""
    facing = cut.piece.facing
    if facing is None:
        return ""
    parent = job.size.cut_piece(facing.parent).piece
    names = [figures.edge_called(parent.edge(name), name, words) for name in facing.edges]
    return words("label.sewn_to", piece=parent.title, edge=words("label.and").join(names))


def facing_edges(cut: CutPiece) -> tuple[Edge, ...]:
    """The edges of a facing's paper that are sewn to the piece it copies."""
    facing = cut.piece.facing
    names = facing.edges if facing is not None else ()
    return tuple(e for e in cut.paper_net if e.name.partition(".")[0] in names)
