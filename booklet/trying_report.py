"""What a trial says: as plain values for JSON, and as a table for people."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from typing import Any

from booklet.combinations import choices_words
from booklet.facts import FORMAT, problem_facts
from booklet.problems import Where
from booklet.reading.bodies_table import BodiesTable
from booklet.reading.read import StyleFiles
from booklet.trying import Reason, Trial, Verdict, Worst

_SEVERITY = {"error": "refused", "warning": "warned", "note": "note"}


def trial_facts(style: StyleFiles, table: BodiesTable, trial: Trial) -> dict[str, Any]:
    """Every number of the trial. Lengths are mm; a body's verdict is the worst over the combinations tried."""
    return {
        "format": FORMAT,
        "style": style.style.style,
        "title": style.style.title,
        "file": table.file,
        "bodies": trial.bodies,
        **{str(v): n for v, n in trial.verdicts.items()},
        "combinations": [{"options": dict(c), **v} for c, v in trial.by_combination],
        "reasons": [
            {
                "code": r.code,
                "severity": r.severity,
                "what": r.words,
                "mend": r.mend,
                "bodies": r.bodies,
                "by_mm": _range_facts(r),
                **_place(r.where),
                "combinations": [dict(c) for c in r.combinations],
            }
            for r in trial.reasons
        ],
        "measures": [
            {"name": o.name, "given": o.given, "guessed": o.guessed, "rule": o.rule or None}
            for o in trial.origins
        ],
        "columns": dict(table.columns),
        "columns_not_used": list(table.unused),
        "worst": [
            {
                "label": w.label,
                "verdict": w.verdict,
                "what": w.what,
                "by_mm": None if w.by is None else round(w.by, 1),
                "options": dict(w.combination),
                **_place(w.where),
            }
            for w in trial.worst
        ],
        "cells": [problem_facts(p) for p in trial.cells],
    }


def _range_facts(reason: Reason) -> list[float] | None:
    if reason.least is None or reason.most is None:
        return None
    return [round(reason.least, 1), round(reason.most, 1)]


def _place(where: Where | None) -> dict[str, Any]:
    return {"file": where.file if where else None, "line": where.line if where else None}


# ---------------------------------------------------------------- for people


def print_trial(style: StyleFiles, table: BodiesTable, trial: Trial) -> None:
    """The trial on standard output. Without a terminal the tables are as wide as their words, and never coloured."""
    from rich.console import Console

    wide = None if sys.stdout.isatty() else 110
    console = Console(file=sys.stdout, width=wide, highlight=False, markup=False)
    console.print(f"{style.style.title}, tried on {_bodies(trial.bodies)} of {table.file}", style="bold")
    console.print(_verdicts(trial))
    if trial.reasons:
        console.print(_reasons(trial, table.file))
    if trial.worst:
        console.print(_worst(trial))
    console.print(_measures(trial, table))


def _grid(title: str, *columns: tuple[str, str]) -> Any:
    from rich import box
    from rich.table import Table

    made = Table(title=title, title_justify="left", title_style="bold", box=box.SIMPLE_HEAD, pad_edge=False)
    for name, side in columns:
        made.add_column(name, justify="right" if side == "right" else "left", overflow="fold")
    return made


def _verdicts(trial: Trial) -> Any:
    many = len(trial.by_combination) > 1
    made = _grid("", ("", "left"), *((v, "right") for v in trial.verdicts), ("clean, share", "right"))
    for combination, verdicts in trial.by_combination if many else ():
        made.add_row(", ".join(f"{n}: {c}" for n, c in combination), *_counts(verdicts))
    made.add_row("in all of them" if many else "bodies", *_counts(trial.verdicts))
    return made


def _counts(verdicts: Mapping[Verdict, int]) -> list[str]:
    total = sum(verdicts.values())
    # Rounded down, so that 100 % means every one of them.
    share = verdicts["clean"] * 1000 // max(total, 1) / 10
    return [*(str(n) for n in verdicts.values()), f"{share:.1f} %"]


def _reasons(trial: Trial, file: str) -> Any:
    tried = tuple(c for c, _ in trial.by_combination)
    made = _grid("Why", ("bodies", "right"), ("", "left"), ("what", "left"), ("where", "left"))
    for r in trial.reasons:
        only = choices_words(r.combinations, tried)
        words = f"{r.words}. {r.mend}".replace("..", ".").replace("?.", "?")
        words += f" [{only}]" if only else ""
        place = (
            ""
            if r.where is None
            else f"first in line {r.where.line}"
            if r.where.file == file
            else str(r.where)
        )
        made.add_row(str(r.bodies), _SEVERITY[r.severity], words.strip(), place)
    return made


def _worst(trial: Trial) -> Any:
    made = _grid("The worst", ("body", "left"), ("", "left"), ("what", "left"), ("by", "right"))
    for w in trial.worst:
        made.add_row(w.label, w.verdict, w.what, _by(w))
    return made


def _by(worst: Worst) -> str:
    return "" if worst.by is None else f"{worst.by:.1f} mm"


def _measures(trial: Trial, table: BodiesTable) -> Any:
    made = _grid("Measures", ("measure", "left"), ("given", "right"), ("by rule", "right"), ("from", "left"))
    for o in trial.origins:
        column = table.columns.get(o.name)
        sources = [f"column {column}"] if column and o.given else []
        sources += [f"rule {o.rule}"] if o.rule else []
        made.add_row(o.name, str(o.given or "–"), str(o.guessed or "–"), "; ".join(sources))
    return made


def _bodies(number: int) -> str:
    return "one body" if number == 1 else f"{number} bodies"


@contextmanager
def counting(many: int) -> Iterator[Any]:
    """A bar on standard error that grows by one each time the given function is called; on a terminal alone."""
    if not sys.stderr.isatty():
        yield lambda: None
        return
    from rich.console import Console
    from rich.progress import Progress

    with Progress(console=Console(stderr=True), transient=True) as progress:
        task = progress.add_task("Bodies", total=many)
        yield lambda: progress.advance(task)
