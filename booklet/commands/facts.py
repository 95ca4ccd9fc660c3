"""`booklet facts`: what a booklet says, without making it."""

from __future__ import annotations

from typing import Annotated

import typer

from booklet.commands.options import (
    BodyFile,
    Language,
    OneSize,
    Options,
    PaperName,
    ShopFile,
    Sizes,
    Style,
    Units,
    Width,
)
from booklet.telling import print_json, working


def facts(
    style: Style,
    body: BodyFile = None,
    sizes: Sizes = None,
    size: OneSize = None,
    paper: PaperName = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    as_json: Annotated[bool, typer.Option("--json", help="Everything, as JSON for other programs.")] = False,
) -> None:
    """Tell what a booklet says, without making it: pieces, seams, measures, cloth, notions, steps and pages.

    With --json in full, in a stable form; without it a short overview.
    """
    from booklet.facts import job_facts, overview
    from booklet.inputs import one_size, read_inputs
    from booklet.making import job_of

    wanted = one_size(size, sizes)
    given = read_inputs(style, body, shop, option or (), units, paper, width, sizes=wanted, language=language)
    with working("Drafting") as doing:
        job = job_of(given, doing)
        told = job_facts(job)
    if as_json:
        print_json(told)
    else:
        print("\n".join(overview(told)))
