"""The cutting chart: every piece drawn small, then a table of what to cut from which cloth and how to lay it."""

from __future__ import annotations

from booklet.drawing import look, marks
from booklet.drawing.display import Board, Item, Stroke, box_path
from booklet.drawing.page import Bookmark
from booklet.language import tongue_for
from booklet.model import ClothNeed, CutPiece, Job, SizedResult
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines, plies_in_all
from booklet.pages.flow import Block, Column, Row, flow, height_of, placed, table_blocks
from booklet.pages.piece_block import cloth_title, outline_words
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.thumbs import chart_drawing
from booklet.pages.words import Words, sentence
from booklet.paths import Placement
from booklet.sewing.size_words import merge_lines, size_phrases

FIRST_ROOM = 96.0  # the drawing and its table share a page if the drawing has at least this
BETWEEN = 10.0
COUNT_WIDE, DONE_WIDE = 18.5, 8.5
NONE = "–"


def chart_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    wide = paper.right - paper.left
    table = _table(job, words, paper)
    room = paper.foot - paper.top
    beside = room - height_of(table) - BETWEEN
    together = beside >= FIRST_ROOM
    drawn, high, scale = chart_drawing(job, words, wide, beside if together else room)
    board = Board()
    board.group(drawn, Placement.move(complex(paper.left, paper.top)))
    title = words("chart.title")
    count, size = len(job.size.cut_pieces), job.size.size
    key = "sizes.chart_aside" if job.nested else "chart.aside"
    aside = words(key, count=count, scale=scale, size=size)
    mark = (Bookmark(title),)
    if together:
        board.add(*placed(table, paper.top + high + BETWEEN))
        return [Leaf("chart", title, aside, tuple(board.items), mark)]
    leaves = [Leaf("chart", title, aside, tuple(board.items), mark)]
    more = words("chart.continues", title=title)
    of_size = words("sizes.figures", size=size) if job.nested else ""
    leaves += [Leaf("chart", more, of_size, items) for items in flow(table, paper.top, paper.foot)]
    return leaves


def _table(job: Job, words: Words, paper: look.Paper) -> list[Block]:
    left, right = paper.left, paper.right
    cloths = job.size.cloths or _bare_cloths(job)
    first = left + 43.0
    how = first + COUNT_WIDE * len(cloths) + 3.0
    columns = (
        Column(left, 6.4, "", "middle", 600, size_pt=look.TABLE_PT),
        Column(left + 8, 34, words("chart.piece")),
        *(
            Column(
                first + COUNT_WIDE * n, COUNT_WIDE, sentence(c.title), "middle", 600, size_pt=look.COUNT_PT
            )
            for n, c in enumerate(cloths)
        ),
        Column(how, right - how - DONE_WIDE - 2, words("chart.lay"), size_pt=look.CHECK_PT),
        Column(right - DONE_WIDE, DONE_WIDE, words("chart.done"), "middle"),
    )
    rows = [_row(job, cut, cloths, words, right) for cut in _numbered(job)]
    totals = [str(plies_in_all(c, job.size)) for c in cloths]
    rows.append(Row(("", words("chart.total"), *totals, "", "")))
    blocks = table_blocks(columns, rows, left, right)
    return [_with_swatches(blocks[0], cloths, first), *blocks[1:]] if blocks else []


def _numbered(job: Job) -> list[CutPiece]:
    return sorted(job.size.cut_pieces, key=lambda c: c.piece.number)


def _bare_cloths(job: Job) -> tuple[ClothNeed, ...]:
    """Cloths by the pieces alone, for a job that was not laid."""
    keys = dict.fromkeys(r.cloth for c in job.size.cut_pieces for r in c.piece.cuts)
    return tuple(ClothNeed(k, k.replace("_", " "), "", 0, ()) for k in keys)


def _row(job: Job, cut: CutPiece, cloths: tuple[ClothNeed, ...], words: Words, right: float) -> Row:
    counts = []
    for cloth in cloths:
        n = sum(r.count for r in cut.piece.cuts if r.cloth == cloth.key)
        counts.append(str(n) if n else NONE)
    box = marks.tick_box(right - DONE_WIDE / 2 - 2.0, -3.5, 4.0)
    text = "\n".join(lines_of_sizes(job, cut, words) if job.nested else how_lines(job, cut, words))
    return Row((str(cut.piece.number), cut.piece.heading, *counts, text, ""), extra=(box,))


def lines_of_sizes(job: Job, cut: CutPiece, words: Words) -> list[str]:
    """The lines of `how_lines` for all sizes, laid as the base size is; what differs in figures in size order."""
    names = [s.size for s in job.sizes]
    told = [how_lines(job, s.cut_piece(cut.piece.key), words, s) for s in job.sizes]
    return list(merge_lines(names, told, size_phrases(tongue_for(job.language, job.wording))))


def how_lines(job: Job, cut: CutPiece, words: Words, size: SizedResult | None = None) -> list[str]:
    """Copies and how they are laid; what they are fused with and what a facing meets; the allowances. `cut` is of `size`,
    by default the base's."""
    lines = copy_lines(cut, job.size, words)
    out, more = [], []
    alike = len({(line.words, line.how_to) for line in lines}) == 1
    for n, (line, rule) in enumerate(zip(lines, cut.piece.cuts, strict=True)):
        name = "" if alike or len(lines) == 1 else f"{cloth_title(job, line.cloth)}: "
        if n == 0 or not alike:
            out.append(words.spaced(f"{name}**{line.words}**; {line.how_to}"))
        outline = outline_words(rule, words)
        if rule.fused and len(lines) > 1:
            key = "chart.fused" if outline else "chart.fused_all"
            more.append(words(key, cloth=cloth_title(job, line.cloth), outline=outline))
    more += _meetings(job, cut, words, size or job.size)
    if any(cut.piece.key in saving.pieces for need in job.size.cloths for saving in need.savings):
        more.append(words("chart.may_split"))
    if more:
        out.append(words.spaced("; ".join(more)))
    base = job.size.cut_piece(cut.piece.key)
    shown = (
        base if _allowances(cut) == _allowances(base) else cut
    )  # edges are grouped by lengths: as the base's are
    out.append(words("chart.allowances", list=figures.allowance_words(shown, words)))
    return out


def _allowances(cut: CutPiece) -> dict[str, float]:
    return {e.name: round(e.allow, 4) for e in cut.piece.edges}


def _meetings(job: Job, cut: CutPiece, words: Words, of: SizedResult) -> list[str]:
    """'to Front neckline 348 mm', for each edge that a facing is sewn to, in sewn length."""
    facing = cut.piece.facing
    if facing is None:
        return []
    parent = of.cut_piece(facing.parent).piece
    out = []
    for name in facing.edges:
        edge = parent.edge(name)
        size = ""
        if edge is not None:
            doubled = 2 if parent.half and cut.piece.half else 1
            size = figures.length(edge.sewn_length * doubled, job.units)
        out.append(
            words("chart.meets", piece=parent.title, edge=figures.edge_called(edge, name, words), length=size)
        )
    return out


def _with_swatches(head: Block, cloths: tuple[ClothNeed, ...], first: float) -> Block:
    """A swatch of each cloth's shading above its column's head."""
    board = Board()
    for n, cloth in enumerate(cloths):
        fill = look.RIGHT_SIDE
        if cloth.fusible or "interfacing" in cloth.key:
            fill = look.INTERFACING
        elif "lining" in cloth.key:
            fill = look.LINING
        x = first + COUNT_WIDE * (n + 0.5) - 3.5
        board.path(box_path(x, 2.2, 7, 3.6), Stroke(0.6, look.INK), fill, role="swatch")
    shifted: list[Item] = [head.items[0]]
    board.group(head.items[1:], Placement.move(4.6j))
    return Block(head.height + 4.6, (*shifted, *board.items), head.before, head.keep)
