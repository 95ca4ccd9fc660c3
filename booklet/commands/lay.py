"""`booklet lay`: a longer search for short lays."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from booklet.commands.options import BodyFile, ForSize, Language, Options, ShopFile, Style, Units, Width
from booklet.telling import print_json, tell


def lay(
    style: Style,
    body: BodyFile = None,
    size: ForSize = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    seconds: Annotated[
        float, typer.Option("--seconds", metavar="S", help="How long to search, in all.", min=1.0)
    ] = 60.0,
    remnant: Annotated[
        str | None,
        typer.Option(
            "--remnant",
            metavar="LENGTHxWIDTH",
            help="Does the main cloth fit on a leftover, such as '120cm x 90cm' (without selvedges)? Keeps nothing.",
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(
            "--into", metavar="FILE", help="Keep the lays in this file. Else lays.yaml in the style's folder."
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the lays as JSON.")] = False,
) -> None:
    """Search longer for short lays than `make` does, and keep the best in the style's lays.yaml.

    `make` uses a kept lay as it stands while the pieces are the same, and lays its order once more for another body.
    Ctrl-C ends the search and keeps what was found. A lay that is kept is never replaced by a longer one.
    """
    from booklet.inputs import one_size, read_inputs
    from booklet.lay_report import lay_facts, remnant_facts, searching, table
    from booklet.lay_style import lay_remnant, lay_style

    wanted = one_size(size, None)
    given = read_inputs(style, body, shop, option or (), units, "a4", width, sizes=wanted, language=language)
    if remnant is not None:
        with searching() as progress:
            found = lay_remnant(given, remnant, seconds, progress)
        print_json(remnant_facts(found)) if as_json else print(found.told)
        return
    with searching() as progress:
        outcome = lay_style(given, seconds, progress, into)
    tell(outcome.problems)
    if as_json:
        print_json(lay_facts(outcome))
        return
    print("\n".join((*table(outcome, given.units), *outcome.notes)))
    kept = {0: "No shorter lay was found than those kept", 1: "One lay was kept"}
    print(f"{kept.get(outcome.new, f'{outcome.new} lays were kept')} in {outcome.file}.")
