"""Pages of the full-scale pattern: arranged together, against each piece by itself on an uncut grid."""

from __future__ import annotations

import argparse
import math
from collections.abc import Sequence
from typing import Any

from booklet.drawing.page import SheetPiece
from booklet.job import make_job
from booklet.pages.sheet_piece import sheet_pieces
from booklet.printing.formats import FORMATS
from booklet.printing.grid import Grid
from booklet.printing.sheet import arrange
from booklet.reading.read import read_style
from booklet.resources import data_folder

TITLE = "counts the pages of the shipped styles' patterns on each paper"
PAPERS = ("a4", "letter", "a3", "a0", "roll 36 in", "roll 914 mm")
TILED = ("a4", "letter", "a3")  # held to 80 %


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--style", action="append", help="only this style of styles/; may be given again")


def run(asked: argparse.Namespace) -> dict[str, Any]:
    """{papers: [{paper, styles: {name: [pages, one by one]}, pages, alone, share}]}; share is a ratio."""
    names = asked.style or sorted(
        p.name for p in data_folder("styles").iterdir() if (p / "style.yaml").exists()
    )
    pieces = {n: sheet_pieces(make_job(read_style(data_folder("styles") / n), evaluations=0)) for n in names}
    papers = []
    for key in PAPERS:
        grid = FORMATS[key].grid()
        counts = {n: [len(arrange(p, grid).tiles), pages_alone(p, grid)] for n, p in pieces.items()}
        ours, alone = (sum(c[k] for c in counts.values()) for k in (0, 1))
        papers.append({"paper": key, "styles": counts, "pages": ours, "alone": alone, "share": ours / alone})
    return {"papers": papers}


def lines(told: dict[str, Any]) -> Sequence[str]:
    out = []
    for row in told["papers"]:
        each = ", ".join(f"{n} {a}/{b}" for n, (a, b) in row["styles"].items())
        out.append(
            f"{row['paper']:12} {row['pages']:4} pages, {row['alone']:4} one by one: {row['share']:.0%}   ({each})"
        )
    return out


def pages_alone(pieces: Sequence[SheetPiece], grid: Grid) -> int:
    """Each piece on a grid of its own as drawn, every page of it printed."""
    total = 0
    for piece in pieces:
        x0, y0, x1, y1 = piece.outline.bbox
        total += max(1, math.ceil((x1 - x0) / grid.step_x)) * max(1, math.ceil((y1 - y0) / grid.step_y))
    return total
