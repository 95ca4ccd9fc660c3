"""The rules of order (rules.py) held against what the steps do, and `although:`, which answers the soft ones."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.model import Copy
from booklet.problems import Collector, Problem, Severity, nearest
from booklet.seams.table import RecipeStep, SeamTable
from booklet.sewing.acts_done import Act, Spot
from booklet.sewing.ends import SeamEnd
from booklet.sewing.order_work import Work, same_edge
from booklet.sewing.rules import HEMMING, RULES, SOFT, Rule
from booklet.sewing.unless import CASES


def _touching(work: Work, first: Act, then: Act) -> bool:
    near = {(a.copy, e) for a in first.spots for e in (a.edge, work.beside(a, True), work.beside(a, False))}
    return any((b.copy, b.edge) in near for b in then.spots)


def _corner(work: Work, first: Act, then: Act) -> bool:
    """Whether a stretch of the one runs to a corner at which a stretch of the other begins."""
    met = {
        (b.copy, b.edge, at_high)
        for b in then.spots
        for at_high, reached in ((False, b.low_end), (True, b.high_end))
        if reached
    }
    return any(
        (a.copy, work.beside(a, at_high), not at_high) in met
        for a in first.spots
        for at_high, reached in ((False, a.low_end), (True, a.high_end))
        if reached
    )


def _round(work: Work, first: Act, then: Act) -> bool:
    """Whether a seam's end has the other act's edge, or one dealt with in the same way, on both of its sides."""
    alike = {(s.copy, s.edge) for a in work.of(_KIN.get(then.name, (then.name,))) for s in a.spots}
    mine = {(s.copy, s.edge) for s in then.spots}

    def runs_on(end: SeamEnd) -> bool:
        both = {(end.copy_a, end.beyond_a), (end.copy_b, end.beyond_b)}
        return both <= alike and bool(both & mine)

    return first.seam is not None and any(runs_on(e) for e in work.ends.get(first.seam.id, ()))


def _closes(work: Work, first: Act, then: Act) -> bool:
    """Whether a seam joins what adjoins the one end of a run to what adjoins its other end: so it becomes a ring."""
    if first.seam is None or then.seam is None or first.seam.b is None:
        return False
    sides = [{(p.copy, p.edge) for p in run.parts} for run in (first.seam.a, first.seam.b)]
    for run in (then.seam.a, *((then.seam.b,) if then.seam.b else ())):
        head, tail = run.parts[0], run.parts[-1]
        starts, ends = (
            (part.copy, work.beside(Spot(part.copy, part.edge, 0.0, 0.0), at_high))
            for part, at_high in ((head, head.backwards), (tail, not tail.backwards))
        )
        if (starts in sides[0] and ends in sides[1]) or (starts in sides[1] and ends in sides[0]):
            return True
    return False


def _piece(work: Work, first: Act, then: Act) -> bool:
    return bool(set(first.copies) & set(then.copies))


def _opening(work: Work, first: Act, then: Act) -> bool:
    return first.opening == then.opening


def _named(work: Work, first: Act, then: Act) -> bool:
    return first.words == then.step


def _all(work: Work, first: Act, then: Act) -> bool:
    return True


_KIN = {name: HEMMING for name in HEMMING}
SCOPES: Mapping[str, Callable[[Work, Act, Act], bool]] = {
    "edge": same_edge,
    "touching": _touching,
    "corner": _corner,
    "round": _round,
    "closes": _closes,
    "piece": _piece,
    "opening": _opening,
    "named": _named,
    "all": _all,
}


def check_order(
    table: SeamTable, copies: tuple[Copy, ...], cloths: Mapping[str, Any], collector: Collector
) -> None:
    """Tells every rule that the steps' order breaks, once a step. `cloths` are those of style.yaml, by name."""
    work = Work(table, copies, cloths)
    for rule in RULES:
        if rule.first:
            _check(rule, work, collector)


def _check(rule: Rule, work: Work, collector: Collector) -> None:
    near = SCOPES[rule.scope]
    case = CASES[rule.unless].holds if rule.unless else None
    told: set[tuple[str, str]] = set()
    for first in work.of(rule.first):
        for then in work.of(rule.then):
            late, early = first, then
            blamed = late if rule.blame == "late" else early
            key = (blamed.step, then.words if rule.blame == "early" else first.words)
            if first.order <= then.order or key in told or _at_once(first, then):
                continue
            if not near(work, first, then) or (case and case(work, first, then)):
                continue
            told.add(key)
            what = rule.what.format(first=first.words, then=then.words, early=then.step, late=first.step)
            collector.add(
                Problem(rule.id, _severity(rule), blamed.where, f"{what}: {rule.reason}", rule.mend)
            )


def _at_once(first: Act, then: Act) -> bool:
    """Within one step only the acts of `then:` have an order."""
    return first.step == then.step and not (first.order[1] and then.order[1])


def _severity(rule: Rule) -> Severity:
    return "error" if rule.hard else "warning"


def answer(steps: Sequence[RecipeStep], collector: Collector) -> None:
    """`although:` makes the warnings of soft rules at its step into notes; a rule that it names must be a soft one."""
    for step in steps:
        although = step.raw.get("although")
        if although is None:
            continue
        reasons = {str(k): str(v) for k, v in although.items()} if isinstance(although, Mapping) else {}
        for name in reasons:
            if name not in SOFT:
                collector.error(
                    "unknown-rule",
                    step.where,
                    f"although: '{name}' is no soft rule",
                    nearest(name, SOFT).strip(),
                )
        for n, problem in enumerate(collector.problems):
            mine = problem.severity == "warning" and problem.where == step.where and problem.code in SOFT
            reason = reasons.get(problem.code) if reasons else str(although)
            if mine and reason:
                collector.problems[n] = replace(
                    problem,
                    severity="note",
                    mend="",
                    although=" ".join(reason.split()),
                )
