"""`booklet look`: pictures to look at while a style is written."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from booklet.commands.options import BodyFile, ForSize, Language, Options, ShopFile, Style, Units, Width
from booklet.problems import Problem
from booklet.telling import tell, working


def look(
    style: Style,
    body: BodyFile = None,
    size: ForSize = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--out",
            metavar="FOLDER",
            help="Where the pictures go. Without it STYLE_TITLE_BODY_look here.",
        ),
    ] = None,
    draft: Annotated[
        bool,
        typer.Option(
            "--draft", help="Only the draft: points, lines and pieces with their names, finished or not."
        ),
    ] = False,
) -> None:
    """Draw PNG pictures of the garment, the pieces, the steps and the lay plans, to look at while you work.

    With --draft every point, line and edge with its name, also of a draft that is not finished or has no recipe yet.
    """
    if draft:
        return look_at_draft(style, body, size, units, option, out)
    from booklet.inputs import one_size, read_inputs
    from booklet.making import job_of
    from booklet.show_pictures import write_pictures

    wanted = one_size(size, None)
    given = read_inputs(style, body, shop, option or (), units, "a4", width, sizes=wanted, language=language)
    folder = out or Path(given.whose + "_look")
    with working("Drafting") as doing:
        job = job_of(given, doing)
    with working("Painting"):
        written = write_pictures(job, folder)
    tell([p for p in job.problems if isinstance(p, Problem) and p.severity == "warning"])
    print(f"Wrote {len(written)} pictures into {folder}.")


def look_at_draft(
    style: Path,
    body: Path | None,
    size: str | None,
    units: str | None,
    options: list[str] | None,
    out: Path | None,
) -> None:
    """The pictures of a draft by itself; what cannot be drafted is told, and the exit status is 1."""
    from booklet.inputs import one_size
    from booklet.show_draft import read_draft, write_draft_pictures

    given = read_draft(style, body, options or (), units, one_size(size, None))
    folder = out or Path(f"{given.default_name}-draft-look")
    with working("Drafting and painting"):
        written, problems = write_draft_pictures(given, folder)
    tell(problems)
    print(f"Wrote {len(written)} {'picture' if len(written) == 1 else 'pictures'} into {folder}.")
    if any(p.severity == "error" for p in problems):
        raise typer.Exit(1)
