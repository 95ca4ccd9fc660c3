"""`booklet check`: a style in every combination of its options."""

from __future__ import annotations

from typing import Annotated

import typer

from booklet.commands.options import BodyFile, CheckedSizes, Language, Options, ShopFile, Style, Units
from booklet.problems import Fault
from booklet.telling import counted, print_json, tell, working


def check(
    style: Style,
    body: BodyFile = None,
    sizes: CheckedSizes = None,
    option: Options = None,
    shop: ShopFile = None,
    units: Units = None,
    language: Language = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything found as JSON.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="A warning fails the check too.")] = False,
) -> None:
    """Check a style for one body in every combination of its options (or of those that --option leaves free).

    Drafts, cuts and sews it on paper: lengths of seams, closed outlines, ease, openings, forgotten edges and more. With
    --sizes all it does so for every size of the style's size table, and tells what must be alike in all of them.
    """
    from booklet.combinations import check_combinations
    from booklet.facts import FORMAT, problem_facts
    from booklet.inputs import read_inputs
    from booklet.reading.sizes import has_sizes, read_sizes
    from booklet.sizes import and_list

    try:
        given = read_inputs(style, body, shop, option or (), units, sizes=sizes, language=language)
        if sizes is None and has_sizes(style):
            read_sizes(style)  # what is wrong with the table is told even where it isn't asked for
    except Fault as fault:
        if as_json:
            print_json({"format": FORMAT, "passed": False, "sizes": [], "combinations": [], "problems": [
                {**problem_facts(p), "combinations": None} for p in fault.problems]})  # fmt: skip
        raise
    with working("Checking"):
        outcome = check_combinations(
            given.style, given.bodies, given.options, given.units, given.shop, given.base
        )
    names = [b.code for b in given.sizes]
    failed = bool(outcome.count("error") or (strict and outcome.count("warning")))
    if as_json:
        told = [
            {**problem_facts(f.problem), "combinations": [dict(c) for c in f.combinations]}
            for f in outcome.findings
        ]
        tried = [{"options": dict(c), "passed": not outcome.failed(c)} for c in outcome.combinations]
        print_json({"format": FORMAT, "passed": not failed, "sizes": names, "combinations": tried,
                    "problems": told})  # fmt: skip
    else:
        asides = {f.problem: outcome.only_with(f) for f in outcome.findings}
        tell([f.problem for f in outcome.findings], lambda p: asides[p])
        many = len(outcome.combinations)
        over = f"{many} combinations of options" if many > 1 else "one combination of options"
        found = ", ".join(counted(outcome.count(s), s) for s in ("error", "warning"))
        title = given.style.style.title
        whom = (
            f"sizes {and_list(names)}" if len(names) > 1 else f"size {names[0]}" if names else given.body.name
        )
        print(f"{'Failed' if failed else 'Passed'}: {title}, for {whom}, {over}: {found}.")
    if failed:
        raise typer.Exit(1)
