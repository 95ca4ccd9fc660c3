"""Findings on the terminal: whole sentences on standard error, worst first; in colour only where a person looks on.

What is asked for as JSON goes to standard output.
"""

from __future__ import annotations

import json
import sys
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

from booklet.problems import Problem

NAMES = {"error": ("error", "errors"), "warning": ("warning", "warnings"), "note": ("note", "notes")}
_STYLES = {"error": "bold red", "warning": "bold yellow", "note": "bold"}


def counted(number: int, severity: str) -> str:
    one, more = NAMES[severity]
    return f"{number} {one if number == 1 else more}"


def tell(problems: Sequence[Problem], aside: Callable[[Problem], str] = lambda _: "") -> None:
    """Prints the problems in groups, errors first. `aside` adds words in brackets, such as an option's choice."""
    for severity in NAMES:
        group = [p for p in problems if p.severity == severity]
        if not group:
            continue
        heading(counted(len(group), severity) + ":", _STYLES[severity])
        for problem in group:
            more = aside(problem)
            say(f"  {problem.sentence()}" + (f" [{more}]" if more else ""))


def heading(text: str, style: str) -> None:
    if not sys.stderr.isatty():
        say(text)
        return
    from rich.console import Console

    Console(stderr=True).print(text, style=style, markup=False, highlight=False)


def say(text: str) -> None:
    print(text, file=sys.stderr)


def print_json(data: Any) -> None:
    print(json.dumps(data, indent=1, allow_nan=False))


@contextmanager
def working(text: str) -> Iterator[Callable[[str], None]]:
    """Shows that something is going on, on a terminal alone; what it gives takes other words in place of these."""
    if not sys.stderr.isatty():
        yield lambda _: None
        return
    from rich.console import Console
    from rich.markup import escape

    with Console(stderr=True).status(text) as status:
        yield lambda words: status.update(escape(words))
