"""Several sizes of one style: what must be alike between them, and their problems told once."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.model import CutPiece, CutRule, Part, Seam
from booklet.prepare import Prepared
from booklet.problems import Problem, Where

NAMED = ("sizes-unlike", "sizes-order")  # problems whose words name their sizes themselves
_NUMBER = re.compile(r"\d+(?:[.,/-]\d+)*")


def and_list(words: Sequence[str]) -> str:
    """'a, b and c'."""
    return " and ".join(part for part in (", ".join(words[:-1]), words[-1]) if part)


# ---------------------------------------------------------------- what is alike


def unlike_sizes(names: Sequence[str], sizes: Sequence[Prepared], base: int) -> tuple[Problem, ...]:
    """An error for each size whose pieces, edges, steps or seams are others than those of the base size.

    Lengths may differ, and counts of pleats, buttons and the marks that go with them.
    """
    out = []
    for n, (name, size) in enumerate(zip(names, sizes, strict=True)):
        if n == base:
            continue
        for what, where in _differences(size, sizes[base], names[base]):
            out.append(
                Problem(
                    "sizes-unlike",
                    "error",
                    where,
                    f"size {name} {what}",
                    "Sizes of one range are sewn alike: make it another range, or let a choice of an option decide.",
                )
            )
    return tuple(out)


def _differences(size: Prepared, base: Prepared, base_name: str) -> Iterator[tuple[str, Where | None]]:
    """What a size has that the base has not, as ends of a sentence; pieces first, and nothing that follows from them."""
    mine, other = _pieces(size), _pieces(base)
    if mine.keys() != other.keys():
        yield _missing("pieces", mine, other, base_name), None
        return
    found = False
    for key, cut in mine.items():
        for what, parts in _PARTS.items():
            a, b = parts(cut), parts(other[key])
            if a == b:
                continue
            found = True
            if what == "copies":
                cuts = f"cuts {key} {and_list(a)} where size {base_name} cuts it {and_list(b)}"
                yield cuts, cut.piece.where
            else:
                told = _missing(what, dict.fromkeys(a), dict.fromkeys(b), base_name, f" of {key}")
                yield told, cut.piece.where
    if found:
        return
    steps, base_steps = _steps(size), _steps(base)
    if steps != base_steps:
        yield _missing("steps", steps, base_steps, base_name), None
        return
    for step in steps:
        ours, theirs = size.seams.of_step(step), base.seams.of_step(step)
        told = _seams_differ(ours, theirs, base_name)
        if told:
            where = (ours or theirs)[0].where
            yield f"{told} in step '{step}'", where


def _pieces(size: Prepared) -> dict[str, CutPiece]:
    return {c.piece.key: c for c in sorted(size.cuts, key=lambda c: c.piece.number)}


def _steps(size: Prepared) -> dict[str, str]:
    return {s.id: s.verb for s in size.seams.steps}


_PARTS: Mapping[str, Callable[[CutPiece], tuple[str, ...]]] = {
    "edges": lambda cut: tuple(h.name for h in cut.net),
    "darts": lambda cut: tuple(d.name for d in cut.piece.darts),
    "slits": lambda cut: tuple(o.name for o in cut.piece.openings),
    "folds": lambda cut: (cut.piece.fold or "none",),
    "copies": lambda cut: tuple(f"{_count(cut, r)} {r.how} of {r.cloth}" for r in cut.piece.cuts),
}


def _count(cut: CutPiece, rule: CutRule) -> str:
    """How often a piece is cut; of a binding, which is joined of as many strips as its length takes, it may differ."""
    return "some" if cut.piece.binding is not None else str(rule.count)


def _missing(
    what: str, mine: Mapping[str, Any], other: Mapping[str, Any], base_name: str, of: str = ""
) -> str:
    """'lacks the dart b of front, which size 38 has': only what is not in both, or the order where all is."""
    more, less = [k for k in mine if k not in other], [k for k in other if k not in mine]
    told = []
    if more:
        told.append(f"has the {_named(what, more)}{of}, which size {base_name} has not")
    if less:
        told.append(f"lacks the {_named(what, less)}{of}, which size {base_name} has")
    return (
        " and ".join(told) or f"has the {what}{of} in another order or of another kind than size {base_name}"
    )


def _named(what: str, names: Sequence[str]) -> str:
    """'dart a', 'darts a and b'."""
    return f"{what.removesuffix('s') if len(names) == 1 else what} {and_list(names)}"


def _seams_differ(ours: Sequence[Seam], theirs: Sequence[Seam], base_name: str) -> str:
    if [s.id for s in ours] != [s.id for s in theirs]:
        return f"sews {len(ours)} seams where size {base_name} sews {len(theirs)}"
    for a, b in zip(ours, theirs, strict=True):
        for what, mine, other in (
            ("kind", a.kind, b.kind),
            ("treatment", a.treatment, b.treatment),
            ("pressing", a.press, b.press),
            ("neatening", a.neaten, b.neaten),
        ):
            if mine != other:
                return f"has a seam of the {what} '{mine}' where size {base_name} has '{other}'"
        if _edges_of(a) != _edges_of(b):
            return f"sews along other edges than size {base_name}"
    return ""


def _edges_of(seam: Seam) -> tuple[tuple[tuple[str, str, bool], ...], ...]:
    def edges(parts: Sequence[Part]) -> tuple[tuple[str, str, bool], ...]:
        return tuple((p.copy, p.edge, p.backwards) for p in parts)

    return edges(seam.a.parts), edges(seam.b.parts) if seam.b is not None else ()


# ---------------------------------------------------------------- problems told once


def told_once(names: Sequence[str], found: Sequence[Sequence[Problem]]) -> tuple[Problem, ...]:
    """The problems of all sizes, each once, in the order of the sizes. `found` holds those of each size.

    Two that differ in their numbers only are one; its words are those of its first size. A problem that not all sizes
    have says which have it.
    """
    first: dict[tuple[Any, ...], Problem] = {}
    have: dict[tuple[Any, ...], list[int]] = {}
    for n, problems in enumerate(found):
        met: dict[tuple[Any, ...], int] = {}
        for problem in problems:
            words = (_NUMBER.sub("#", problem.what), _NUMBER.sub("#", problem.mend), problem.although)
            alike = (problem.code, problem.severity, problem.where, *words)
            met[alike] = met.get(alike, 0) + 1
            key = (*alike, met[alike])  # two of one size are two
            first.setdefault(key, problem)
            have.setdefault(key, []).append(n)
    return tuple(_with_sizes(problem, [names[n] for n in have[key]], names) for key, problem in first.items())


def _with_sizes(problem: Problem, sizes: Sequence[str], names: Sequence[str]) -> Problem:
    if len(sizes) == len(names) or problem.code in NAMED:
        return problem
    which = f"in size {sizes[0]}" if len(sizes) == 1 else f"in sizes {and_list(sizes)}, here {sizes[0]}"
    return replace(problem, what=f"{problem.what.rstrip('.')} ({which})")
