"""Pieces with their allowances, as they are cut and as they are printed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Literal

from booklet.model.edges import Edge, Half, Mark
from booklet.model.piece import Piece
from booklet.paths import Path


@dataclass(frozen=True)
class NotchStroke:
    """A mark as it is cut or drawn: strokes from the cut edge inwards (or from the stitch line where uncut)."""

    mark: Mark
    edge: str
    strokes: tuple[tuple[complex, complex], ...]
    cut: bool  # False: "mark, don't cut"


@dataclass(frozen=True)
class CutPiece:
    """A piece with its allowances, opened out (whole) in the piece's own drawing frame, and as printed on paper.

    `cut_runs` holds each whole edge's own offset run before its corners were made, for checks.
    """

    piece: Piece
    net: tuple[Half, ...]  # the whole ring
    cut: Path  # closed, whole
    cut_runs: tuple[tuple[str, Path], ...]
    notches: tuple[NotchStroke, ...]
    extent: Literal["half", "whole"]  # how it is printed
    paper_net: tuple[Edge, ...]  # what the paper shows; with extent half its fold edge lies on the fold
    paper_cut: Path
    paper_notches: tuple[NotchStroke, ...]
    stitch: Path  # the whole net outline as one closed line
