"""No piece is printed without its number and title, whatever the options and the paper."""

from __future__ import annotations

import itertools
from dataclasses import replace
from functools import cache

import pytest
from helpers.steps import demo_body, style

from booklet.drawing.bounds import flat_items
from booklet.drawing.display import Text
from booklet.drawing.look import PAPERS
from booklet.job import make_job
from booklet.model import Job
from booklet.pages.sheet_piece import sheet_pieces
from booklet.printing.grid import Grid
from booklet.printing.piece_words import piece_words
from booklet.printing.sheet import arrange

COMBINATIONS = [
    (name, dict(zip(options, choice, strict=True)))
    for name, options in (
        ("top", {"neck": ("wide", "slit"), "sleeve_end": ("elastic", "cuff")}),
        ("skirt", {"length": ("knee", "calf")}),
    )
    for choice in itertools.product(*options.values())
]
# Each option once on each paper; the further cases take every one with every other.
AT_ONCE = {0: "a4", 1: "letter", 2: "letter", 3: "a4", 4: "a4", 5: "letter"}
CASES = [
    pytest.param(name, options, paper, marks=() if AT_ONCE[n] == paper else pytest.mark.more)
    for n, (name, options) in enumerate(COMBINATIONS)
    for paper in ("a4", "letter")
]


@cache
def job_of(name: str, options: tuple[tuple[str, str], ...]) -> Job:
    return make_job(style(name), demo_body(), options=dict(options), evaluations=0)


@pytest.mark.parametrize(("name", "options", "paper"), CASES, ids=str)
def test_every_piece_carries_its_number_and_title(name: str, options: dict[str, str], paper: str) -> None:
    job = replace(job_of(name, tuple(options.items())), paper=paper)  # type: ignore[arg-type]
    grid = Grid(PAPERS[paper])
    for placed in arrange(sheet_pieces(job), grid).placed:
        words = piece_words(placed, grid)
        printed = [f.item.text for f in flat_items(words.items) if isinstance(f.item, Text)]
        assert placed.piece.number in printed, placed.piece.title
        assert placed.piece.title in printed, placed.piece.number
        assert set(placed.piece.lines) <= set(printed), placed.piece.title
        assert words.left_over == (), placed.piece.title
