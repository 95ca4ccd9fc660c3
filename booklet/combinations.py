"""A style checked in every combination of its options, each problem told once with the choices that it belongs to."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from typing import Literal

from booklet.drafting.draft import check_options
from booklet.problems import Fault, Problem
from booklet.reading.read import Body, StyleFiles
from booklet.reading.shop import Shop
from booklet.size_check import check_sizes

MOST = 1000  # combinations; a size takes about a fifth of a second
_SHOWN = 3
Combination = tuple[tuple[str, str], ...]  # option, choice; in the style's order


@dataclass(frozen=True)
class Finding:
    """A problem and the combinations in which it comes up."""

    problem: Problem
    combinations: tuple[Combination, ...]


@dataclass(frozen=True)
class Outcome:
    """Everything found over the combinations tried, worst first, each part in the order found."""

    combinations: tuple[Combination, ...]
    findings: tuple[Finding, ...]

    def count(self, severity: str) -> int:
        return sum(f.problem.severity == severity for f in self.findings)

    def failed(self, combination: Combination) -> bool:
        return any(f.problem.severity == "error" and combination in f.combinations for f in self.findings)

    def only_with(self, finding: Finding) -> str:
        """The choices that a finding belongs to, in words; '' if it comes up in all combinations tried."""
        return choices_words(finding.combinations, self.combinations)


def combinations_of(style: StyleFiles, fixed: Mapping[str, str]) -> tuple[Combination, ...]:
    """Every combination of the options, those `fixed` held. Raises `Fault` for an unknown option or choice."""
    check_options(style.sources["style"], fixed)
    choices = {
        name: [fixed[name]] if name in fixed else [str(c) for c in listed]
        for name, listed in style.style.options.items()
    }
    many = math.prod(len(c) for c in choices.values())
    if many > MOST:
        raise Fault.of(
            "combinations",
            f"the options have {many} combinations, more than the {MOST} that are checked in one go",
            style.sources["style"].where("options"),
            "Hold some of them with --option NAME=CHOICE.",
        )
    return tuple(tuple(zip(choices, row, strict=True)) for row in product(*choices.values()))


def check_combinations(
    style: StyleFiles,
    body: Body | Sequence[Body],
    fixed: Mapping[str, str],
    units: Literal["cm", "in"] | None,
    shop: Shop,
    base: int = 0,
) -> Outcome:
    """Checks a body, or all sizes of a range held together, of which `base` is shown. Raises `Fault` for the options."""
    bodies = [body] if isinstance(body, Body) else body
    found: dict[Problem, list[Combination]] = {}
    tried = combinations_of(style, fixed)
    for combination in tried:
        problems = check_sizes(style, bodies, dict(combination), units, shop, base)
        for problem in dict.fromkeys(problems):
            found.setdefault(problem, []).append(combination)
    rank = {"error": 0, "warning": 1, "note": 2}
    findings = [Finding(problem, tuple(where)) for problem, where in found.items()]
    return Outcome(tried, tuple(sorted(findings, key=lambda f: rank[f.problem.severity])))


def choices_words(some: Sequence[Combination], tried: Sequence[Combination]) -> str:
    """'neck: slit' if those are just the combinations with it; else the combinations one by one."""
    if len(some) == len(tried):
        return ""
    seen = _choices(some)
    if math.prod(len(c) for c in seen.values()) == len(some):
        of_all = _choices(tried)
        told = [f"{n}: {' or '.join(c)}" for n, c in seen.items() if len(c) < len(of_all[n])]
        return ", ".join(told)
    told = [", ".join(f"{n}: {c}" for n, c in combination) for combination in some[:_SHOWN]]
    rest = len(some) - _SHOWN
    return "; ".join(told) + (f"; and {rest} more" if rest > 0 else "")


def _choices(combinations: Sequence[Combination]) -> dict[str, list[str]]:
    out: dict[str, list[str]] = {}
    for combination in combinations:
        for name, choice in combination:
            listed = out.setdefault(name, [])
            if choice not in listed:
                listed.append(choice)
    return out
