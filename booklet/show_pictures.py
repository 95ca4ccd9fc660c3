"""PNG pictures of a job, to look at while drafting: the garment, its pieces, its steps and its lay plans."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path

from booklet.drawing import look
from booklet.drawing.bounds import box_of, boxes_union
from booklet.drawing.display import Drawing, Group, Item
from booklet.model import Job
from booklet.pages.lays import lay_leaves
from booklet.pages.sheet_piece import sheet_pieces
from booklet.pages.spec import framed
from booklet.pages.words import words_for
from booklet.paths import Placement
from booklet.printing.files import make_folder
from booklet.printing.grid import Grid
from booklet.printing.picture import write_picture
from booklet.printing.piece_words import piece_words
from booklet.printing.sheet import PlacedPiece

CLEAR = 8.0  # mm round a piece
PIECE_PIXELS = 1400  # of a piece's longer side
_ONE_SHEET = Grid(look.Paper("whole", 1e6, 1e6))  # no joints between pages


def write_pictures(job: Job, folder: Path) -> tuple[Path, ...]:
    """Writes all pictures into a folder, made if need be, and returns their paths. Raises `Fault`."""
    make_folder(folder)
    written = []
    for name, drawing, dpi in pictures(job):
        path = folder / f"{name}.png"
        write_picture(drawing, path, dpi)
        written.append(path)
    return tuple(written)


def pictures(job: Job) -> Iterator[tuple[str, Drawing, float]]:
    """(file name without ending, drawing, dots per inch), one after the other."""
    for title, view in job.views:
        if isinstance(view, Drawing):
            yield f"garment-{_word(title)}", view, 150.0
    for piece in sheet_pieces(job):
        placed = PlacedPiece(piece, Placement.IDENTITY)
        lettering = piece_words(placed, _ONE_SHEET)
        drawing = _fitted((*piece.items, *lettering.items))
        dpi = min(150.0, PIECE_PIXELS * 25.4 / max(drawing.width, drawing.height))
        yield f"piece-{int(piece.number):02d}-{_word(piece.title)}", drawing, dpi
    for step in job.steps:
        for n, picture in enumerate(step.pictures, 1):
            if isinstance(picture.drawing, Drawing):
                yield (
                    f"step-{step.number:02d}-{_word(step.id)}-{n}-{_word(picture.kind)}",
                    picture.drawing,
                    150.0,
                )
    words = words_for(job.language, job.wording)
    leaves = lay_leaves(job, words)
    for n, leaf in enumerate(leaves, 1):
        yield f"lays-{n:02d}", framed(leaf, job, words, n, len(leaves)).drawing, 110.0


def _fitted(items: tuple[Item, ...]) -> Drawing:
    """The items with a little white round them."""
    box = boxes_union([b for b in (box_of(i) for i in items) if b is not None])
    assert box is not None
    moved = Group(items, Placement.move(complex(CLEAR - box[0], CLEAR - box[1])))
    return Drawing(box[2] - box[0] + 2 * CLEAR, box[3] - box[1] + 2 * CLEAR, (moved,))


def _word(text: str) -> str:
    return re.sub(r"\W+", "-", text.lower()).strip("-_") or "x"
