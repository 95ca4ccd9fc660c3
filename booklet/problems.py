"""What is wrong in the user's files, said in sentences and collected, never a traceback.

A stage collects `Problem`s and goes on as far as it can; `Collector.raise_if_errors` then stops with one
`Fault` that carries all of them. Wrong calls by a Python user raise ordinary errors instead.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from difflib import get_close_matches
from typing import Literal

Severity = Literal["error", "warning", "note"]

KNOWN_NAMES_SHOWN = 16


@dataclass(frozen=True, order=True)
class Where:
    """A place in a user's file: the file as the user named it, and a line counted from 1."""

    file: str
    line: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}"


@dataclass(frozen=True)
class Problem:
    """One finding: a short stable code for tests and tools, and the words for people.

    `what` says what is wrong and by how much; `mend` says what would put it right. Both are whole clauses,
    such as "step 7 joins 612 mm to 598 mm" and "Add ease or correct the draft."
    """

    code: str
    severity: Severity
    where: Where | None
    what: str
    mend: str = ""
    although: str = ""  # the shop's reason against a soft rule, which answers it

    def sentence(self) -> str:
        """The whole finding on one line: 'styles/top/draft.yaml:31: ... What would mend it.'"""
        text = self.what.strip()
        if self.although:
            text = f"{text.rstrip('.')}; although: {self.although}"
        if text and text[-1] not in ".!?":
            text += "."
        if self.mend.strip():
            text += " " + self.mend.strip()
        return f"{self.where}: {text}" if self.where else text

    def __str__(self) -> str:
        return self.sentence()


class Fault(ValueError):
    """The base error of the package: the user's files cannot give a booklet, for the problems it carries."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = tuple(problems)
        super().__init__(self.problems)

    @classmethod
    def of(cls, code: str, what: str, where: Where | None = None, mend: str = "") -> Fault:
        """A fault of a single error."""
        return cls((Problem(code, "error", where, what, mend),))

    def at(self, where: Where | None) -> Fault:
        """The same fault, its problems that had no place now placed at `where`."""
        return Fault(
            p if p.where else Problem(p.code, p.severity, where, p.what, p.mend) for p in self.problems
        )

    def __str__(self) -> str:
        return "\n".join(p.sentence() for p in self.problems)


@dataclass
class Collector:
    """Problems found so far, in the order found; the same finding twice is kept once."""

    problems: list[Problem] = field(default_factory=list)

    def add(self, *problems: Problem) -> None:
        for problem in problems:
            if problem not in self.problems:
                self.problems.append(problem)

    def error(self, code: str, where: Where | None, what: str, mend: str = "") -> None:
        self.add(Problem(code, "error", where, what, mend))

    def warning(self, code: str, where: Where | None, what: str, mend: str = "") -> None:
        self.add(Problem(code, "warning", where, what, mend))

    def note(self, code: str, where: Where | None, what: str, mend: str = "") -> None:
        self.add(Problem(code, "note", where, what, mend))

    @contextmanager
    def catching(self) -> Iterator[None]:
        """Takes in the problems of a `Fault` raised in the block, so that the next thing is looked at too."""
        try:
            yield
        except Fault as fault:
            self.add(*fault.problems)

    @property
    def errors(self) -> tuple[Problem, ...]:
        return tuple(p for p in self.problems if p.severity == "error")

    def raise_if_errors(self) -> None:
        """Raises one `Fault` with everything collected, warnings too, if any of it is an error."""
        if self.errors:
            raise Fault(self.problems)


def nearest(name: str, known: Iterable[str]) -> str:
    """' Did you mean ...? Known: ...', to follow a sentence about an unknown `name`."""
    names = list(dict.fromkeys(str(k) for k in known))
    if not names:
        return ""
    close = get_close_matches(str(name), names, n=1, cutoff=0.6)
    hint = f" Did you mean '{close[0]}'?" if close else ""
    shown = ", ".join(names[:KNOWN_NAMES_SHOWN])
    rest = len(names) - KNOWN_NAMES_SHOWN
    more = f" and {rest} more" if rest > 0 else ""
    return f"{hint} Known: {shown}{more}."
