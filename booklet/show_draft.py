"""PNG pictures of a draft by itself, finished or not: each group of its construction, and each piece."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from booklet.drawing import look
from booklet.drawing.display import Board, Drawing
from booklet.drawing.text import break_lines
from booklet.drawn.construction import of_group
from booklet.drawn.draft import Drafted, draft_what_can_be
from booklet.drawn.pieces import Telling, of_piece
from booklet.drawn.sketch import Sketch, paint
from booklet.inputs import asked_options, one_of, sizes_asked
from booklet.model import Piece
from booklet.paths import Placement
from booklet.prepare import given_measures
from booklet.printing.files import make_folder
from booklet.printing.picture import write_picture
from booklet.problems import Collector, Fault, Problem
from booklet.reading.read import Body, read_base, read_body
from booklet.reading.shape import check_shape
from booklet.reading.style_shape import StyleShape
from booklet.reading.yaml_source import Source, parse_yaml, read_yaml

WIDE, TALL = 230.0, 200.0  # the drawing's room, mm
DPI = 150.0
MARGIN = 8.0
HEAD = 9.0  # from the top to the first baseline of the drawing's ground


@dataclass(frozen=True)
class DraftInputs:
    """A draft with the body it is drafted for; of the style only what a draft needs."""

    draft: Source
    style: Source
    body: Body
    options: dict[str, str]
    units: str
    default_name: str


def read_draft(
    folder: Path,
    body: Path | None = None,
    options: Sequence[str] = (),
    units: str | None = None,
    size: str | None = None,
) -> DraftInputs:
    """Reads draft.yaml with style.yaml and a body or a size; a recipe is not asked for, and no style.yaml where a body
    is given.

    Raises one `Fault` for all without which nothing can be drafted.
    """
    collector = Collector()
    draft, style, shape, person = None, None, None, None
    if not folder.is_dir():
        raise Fault.of(
            "style-missing", f"there is no folder {folder}", None, "Give the folder of draft.yaml."
        )
    asked: dict[str, str] = {}
    with collector.catching():
        one_of("--units", units or "cm", ("cm", "in"))
    with collector.catching():
        asked = asked_options(options)
    with collector.catching():
        draft = read_yaml(folder / "draft.yaml")
    if (folder / "style.yaml").exists() or body is None:
        with collector.catching():
            style = read_yaml(folder / "style.yaml")
            shape = check_shape(style, StyleShape, collector)
    else:
        style = parse_yaml("{}", (folder / "style.yaml").as_posix())
    if size is not None:
        with collector.catching():
            table = sizes_asked(folder, body, size)
            person = table.bodies[table.base]
    elif body is not None:
        with collector.catching():
            person = read_body(body)
    elif style is not None and shape is not None:
        with collector.catching():
            person = read_base(folder, style)
    collector.raise_if_errors()
    assert draft is not None and style is not None and person is not None
    own = "in" if (shape.units if shape else draft.data.get("units")) == "in" else "cm"
    return DraftInputs(draft, style, person, asked, units or own, _word(folder.resolve().name))


def write_draft_pictures(given: DraftInputs, folder: Path) -> tuple[tuple[Path, ...], tuple[Problem, ...]]:
    """Writes the pictures into a folder, made if need be. Returns their paths and what could not be drafted, and why."""
    collector = Collector()
    drafted = draft_what_can_be(
        given.draft, given.style, given_measures(given.body, "whole"), given.body.file, given.options, given.units,
        collector,
    )  # fmt: skip
    make_folder(folder)
    written = []
    for name, drawing in draft_pictures(drafted, given.units, collector):
        path = folder / f"{name}.png"
        write_picture(drawing, path, DPI)
        written.append(path)
    return tuple(written), tuple(collector.problems)


def draft_pictures(drafted: Drafted, units: str, collector: Collector) -> Iterator[tuple[str, Drawing]]:
    """(file name without ending, drawing) of each group and each piece; faults of points and lines are collected."""
    for group in drafted.table.data.get("construction") or {}:
        sketch, failed = of_group(drafted, str(group), collector)
        if sketch.draws or failed:
            yield (
                f"draft-{_word(str(group))}",
                _page(f"{group}", "points and lines", sketch, [f"not drawn: {n}" for n in failed]),
            )
    for piece in drafted.pieces:
        yield (
            f"piece-{_word(piece.key)}",
            _page(piece.key, piece_words(piece), of_piece(piece, Telling(units)), []),
        )


def piece_words(piece: Piece) -> str:
    """What the heading tells beside a piece's name."""
    words = [f"{piece.number} {piece.title}" if piece.cuts else "construction only"]
    if piece.fold is not None:
        words.append(f"the half on the {piece.drawn_for}" if piece.drawn_for != "whole" else "a half")
        words.append(f"fold at {piece.fold}")
    elif piece.drawn_for != "whole":
        words.append(f"drawn for the {piece.drawn_for}")
    return ", ".join(words)


def _page(title: str, words: str, sketch: Sketch, notes: Sequence[str]) -> Drawing:
    """The sketch under a heading; below it what is missing."""
    painted = paint(sketch, WIDE, TALL)
    width = max(painted.width, 90.0) + 2 * MARGIN
    board = Board()
    board.text(MARGIN, MARGIN + 3.4, title, look.STEP_TITLE_PT, 600)
    board.text(MARGIN, MARGIN + 8.4, words, look.BODY_PT, colour=look.SOFT)
    y = MARGIN + 5.0 + HEAD
    board.group(painted.items, Placement.move(complex((width - painted.width) / 2, y)))
    y += painted.height + 6.0
    for note in (*notes, *(f"no room for the name {n}" for n in painted.left_over)):
        for line in break_lines(note, width - 2 * MARGIN, look.LABEL_PT):
            for word in line.words:
                board.text(MARGIN + word.x, y, word.text, look.LABEL_PT, word.weight, look.SOFT)
            y += 4.0
    return board.drawing(width, y + MARGIN - 4.0)


def _word(text: str) -> str:
    return re.sub(r"\W+", "-", text.lower()).strip("-_") or "x"
