"""What the stages hand to each other: frozen, in millimetres, drawn as seen on the right side of the cloth.

Two states of one thing have two words. A Piece is what was drafted (half or whole, net). A Copy is one cut ply of it,
opened out and on its wearer's side. A run is a directed chain of copies' edges. "Left" and "right" are the wearer's.
"""

from __future__ import annotations

from booklet.model.cloth import ClothNeed, LayPlan, LaySection, Notion, Placing, Saving, Working
from booklet.model.cutting import CutPiece, NotchStroke
from booklet.model.edges import Edge, Half, Mark, Notch, Side, TakeUp
from booklet.model.features import (
    BindingOf,
    ButtonMark,
    Dart,
    FacingOf,
    FoldLine,
    Opening,
    Place,
    Pleat,
    Split,
)
from booklet.model.job import Job, Rates, ShopInfo, SizedResult, Stack, StyleInfo
from booklet.model.measures import BodyMeasure, Finished
from booklet.model.piece import CutRule, Draft, Piece, Trueing
from booklet.model.seams import Copy, Part, Run, Seam, Stretch
from booklet.model.sewing import Answer, SizeRow, Step, StepPicture

__all__ = [
    "Answer",
    "BindingOf",
    "BodyMeasure",
    "ButtonMark",
    "ClothNeed",
    "Copy",
    "CutPiece",
    "CutRule",
    "Dart",
    "Draft",
    "Edge",
    "FacingOf",
    "Finished",
    "FoldLine",
    "Half",
    "Job",
    "LayPlan",
    "LaySection",
    "Mark",
    "Notch",
    "NotchStroke",
    "Notion",
    "Opening",
    "Part",
    "Piece",
    "Place",
    "Placing",
    "Pleat",
    "Rates",
    "Run",
    "Saving",
    "Seam",
    "ShopInfo",
    "Side",
    "SizeRow",
    "SizedResult",
    "Split",
    "Stack",
    "Step",
    "StepPicture",
    "Stretch",
    "StyleInfo",
    "TakeUp",
    "Trueing",
    "Working",
]
