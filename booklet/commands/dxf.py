"""`booklet dxf`: the pieces for other programs."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from booklet.commands.options import BodyFile, ForSize, Language, Options, ShopFile, Style, Units
from booklet.telling import tell, working


def dxf(
    style: Style,
    body: BodyFile = None,
    size: ForSize = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--out",
            metavar="FILE",
            help="The DXF file. Without it STYLE_TITLE_BODY.dxf in this folder.",
        ),
    ] = None,
) -> None:
    """Write the pieces as a DXF file for other programs, for one body: in mm, by the layers of ASTM D6673.

    One block a piece with its cut line, stitching line, mirror line, grain, notches, inner lines, drill holes and words.
    """
    from booklet.dxf_out import write_dxf
    from booklet.inputs import file_path, one_size, read_inputs

    wanted = one_size(size, None)
    given = read_inputs(style, body, shop, option or (), units, sizes=wanted, language=language)
    target = file_path(out, given.whose, ".dxf")
    with working("Drafting and cutting"):
        count, problems = write_dxf(given, target)
    tell([p for p in problems if p.severity == "warning"])
    print(f"Wrote {target}: {count} {'piece' if count == 1 else 'pieces'}.")
