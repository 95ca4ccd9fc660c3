"""What may be typed behind several commands, each declared once."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

Style = Annotated[Path, typer.Argument(metavar="STYLE", help="The style's folder.")]
BodyFile = Annotated[
    Path | None,
    typer.Option(
        "--body", metavar="FILE", help="The body's file. Without it, the one that the style names as base."
    ),
]
Options = Annotated[
    list[str] | None,
    typer.Option(
        "--option",
        metavar="NAME=CHOICE",
        help="A choice of one of the style's options; may be given several times. Else the first choice listed.",
    ),
]
ShopFile = Annotated[
    Path | None,
    typer.Option(
        "--shop",
        metavar="FILE",
        help="The workroom's habits. Without it, the nearest shop.yaml upward from the style.",
    ),
]
Units = Annotated[
    str | None,
    typer.Option(
        "--units", metavar="cm|in", help="What the booklet is printed in. Without it, the style's unit."
    ),
]
Language = Annotated[
    str | None,
    typer.Option(
        "--language", metavar="en|fr|...", help="What it is printed in. Without it, the shop's own."
    ),
]
PaperName = Annotated[
    str | None,
    typer.Option(
        "--paper", metavar="a4|letter", help="The paper it is printed on. Without it the shop's own, else A4."
    ),
]
Width = Annotated[
    str | None,
    typer.Option(
        "--width",
        metavar="LENGTH",
        help="Width of the main cloth, such as '150 cm' or '45 in'. Else the first that the style lists.",
    ),
]
Sizes = Annotated[
    str | None,
    typer.Option(
        "--sizes",
        metavar="all|NAMES",
        help="Sizes of the style's size table, nested: 'all', or some such as '10,14'. A PDF layer a size.",
    ),
]
OneSize = Annotated[
    str | None,
    typer.Option("--size", metavar="NAME", help="One size of the table, as a file without layers."),
]
ForSize = Annotated[
    str | None,
    typer.Option("--size", metavar="NAME", help="A size of the style's size table, in place of a body."),
]
CheckedSizes = Annotated[
    str | None,
    typer.Option(
        "--sizes",
        metavar="all|NAMES",
        help="Check sizes of the style's size table, all at once: 'all', or some such as '10,14'.",
    ),
]
