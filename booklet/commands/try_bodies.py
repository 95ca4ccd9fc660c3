"""`booklet try`: a style on every body of a table."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from booklet.commands.options import Options, ShopFile, Style
from booklet.telling import print_json, tell


def try_(
    style: Style,
    bodies: Annotated[
        Path, typer.Argument(metavar="BODIES.csv", help="A table: a column a measure, a row a body.")
    ],
    columns: Annotated[
        Path | None,
        typer.Option(
            "--columns", metavar="FILE", help="Which column stands for which measure, where names differ."
        ),
    ] = None,
    option: Options = None,
    all_options: Annotated[
        bool, typer.Option("--all-options", help="Try every combination of the options.")
    ] = False,
    unit: Annotated[
        str | None,
        typer.Option(
            "--unit", metavar="mm|cm|in", help="What the table's bare numbers are in. Without it cm."
        ),
    ] = None,
    limit: Annotated[
        int | None, typer.Option("--limit", metavar="N", help="Only the first N bodies.")
    ] = None,
    shop: ShopFile = None,
    as_json: Annotated[bool, typer.Option("--json", help="Everything counted, as JSON.")] = False,
) -> None:
    """Try a style on every body of a table, to see whom it fits and why not.

    Clean means: drafted and sewn on paper without a remark, and every least ease kept.
    """
    from booklet.trying import read_trial, try_bodies
    from booklet.trying_report import counting, print_trial, trial_facts

    given = read_trial(style, bodies, columns, shop, option or (), all_options, unit, limit)
    with counting(len(given.table.rows)) as step:
        trial = try_bodies(given.style, given.table.rows, given.combinations, given.units, given.shop, step)
    if as_json:
        print_json(trial_facts(given.style, given.table, trial))
    else:
        print_trial(given.style, given.table, trial)
        tell(trial.cells[:20])
