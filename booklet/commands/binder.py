"""`booklet binder`: a folder's styles in one file for the ring binder."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from booklet.commands.options import Language, PaperName, ShopFile, Units
from booklet.telling import tell


def binder(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder that holds the styles.")],
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", metavar="FILE", help="The PDF. Without it FOLDER-binder.pdf here."),
    ] = None,
    pack: Annotated[
        str,
        typer.Option(
            "--pack", metavar="NAME", help="What it holds of each style; the shop's sheet if not told."
        ),
    ] = "shop",
    sizes: Annotated[
        str | None,
        typer.Option(
            "--sizes",
            metavar="all|NAMES",
            help="Sizes of each style's size table in place of a body: 'all' where it has one, or some such as '10,14'.",
        ),
    ] = None,
    shop: ShopFile = None,
    units: Units = None,
    language: Language = None,
    paper: PaperName = None,
    one_sided: Annotated[
        bool,
        typer.Option(
            "--one-sided", help="To be printed on one side: the holes' edge is the left one of every page."
        ),
    ] = False,
) -> None:
    """Join a folder's styles into one file for the ring binder: an index, then the shop's sheet of each style.

    Styles are looked for in the folders of the folder too. One with problems is listed at the end of the index and doesn't
    stop the rest. Print it on both sides, turned over the long edge: each style begins on a leaf of its own.
    """
    from booklet.binder import make_binder
    from booklet.inputs import PAPERS, UNITS, one_of, pdf_path
    from booklet.lay_report import searching
    from booklet.printing.files import write_beside

    one_of("--paper", paper or "a4", PAPERS)
    one_of("--units", units or "cm", UNITS)
    target = pdf_path(out, f"{folder.resolve().name}-binder")
    with searching() as progress:
        made = make_binder(
            folder, pack=pack, sizes=sizes, paper=paper, units=units, shop=shop, language=language,
            one_sided=one_sided, tell=progress,
        )  # fmt: skip
    write_beside(target, made.pdf)
    tell([*(p for broken in made.broken for p in broken.problems), *made.problems])
    left = f"; left out: {', '.join(b.name for b in made.broken)}" if made.broken else ""
    print(f"Wrote {target}: {made.pages} pages, {len(made.entries)} of the folder's styles{left}.")
