"""Damages the styles as the tables ask, checks them, and holds what is told against the labels."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cache
from pathlib import Path
from typing import Any, Literal

import yaml

from booklet.job import check_style
from booklet.problems import Fault, Problem
from booklet.reading.read import Body, read_body, read_style
from booklet.reading.shop import Shop, read_shop

from .kinds import KINDS
from .texts import Texts

ROOT = Path(__file__).resolve().parent.parent.parent
TABLES = Path(__file__).resolve().parent / "tables"

Verdict = Literal["caught", "quiet", "missed", "wrong line", "false alarm", "not made"]
GOOD: tuple[Verdict, ...] = ("caught", "quiet")


@dataclass(frozen=True)
class Case:
    """One damage and its label. `told` is the code that must come, '' if the damage is harmless; `at` its place."""

    style: str
    kind: str
    target: str
    told: str
    at: str | list[str]
    words: tuple[str, ...]
    spec: Mapping[str, Any]

    @property
    def name(self) -> str:
        return f"{self.style}: {self.kind}: {self.target}"

    @property
    def harmful(self) -> bool:
        return bool(self.told)

    @property
    def options(self) -> dict[str, str]:
        return dict(self.spec.get("with") or {})


@dataclass(frozen=True)
class Result:
    case: Case
    verdict: Verdict
    said: tuple[str, ...]


def styles() -> tuple[str, ...]:
    """The styles that have a table, in the order of their names."""
    return tuple(sorted(p.stem for p in TABLES.glob("*.yaml")))


def cases(names: Iterable[str] | None = None) -> Iterator[Case]:
    for name in names or styles():
        table = yaml.safe_load((TABLES / f"{name}.yaml").read_text(encoding="utf-8"))
        for kind, rows in table.items():
            if kind not in KINDS:
                raise ValueError(f"{name}: there is no kind of damage '{kind}'")
            for target, label in rows.items():
                spec = {} if label == "harmless" else dict(label)
                told = str(spec.get("told", ""))
                place = spec.get("at", [])
                yield Case(name, kind, str(target), told, place, tuple(map(str, spec.get("words", ()))), spec)


@cache
def _texts(style: str) -> Texts:
    return Texts.read(ROOT / "styles" / style)


@cache
def _own(style: str) -> tuple[Body, Shop]:
    """The body and the shop of a style as it is shipped: only its own texts are ever damaged."""
    folder = ROOT / "styles" / style
    return read_body(read_style(folder).base), read_shop(folder)


def problems_of(texts: Texts, style: str, options: Mapping[str, str]) -> tuple[Problem, ...]:
    """What the checker says of a style's texts, its own body on it."""
    body, shop = _own(style)
    with tempfile.TemporaryDirectory() as place:
        folder = Path(place) / style
        texts.write(folder)
        try:
            files = read_style(folder)
            return check_style(files, body, options, shop=shop).problems
        except Fault as fault:
            return fault.problems


@cache
def _undamaged(style: str, options: tuple[tuple[str, str], ...]) -> tuple[tuple[str, str], ...]:
    return tuple((p.code, p.what) for p in problems_of(_texts(style), style, dict(options)))


def run(case: Case) -> Result:
    try:
        damaged = KINDS[case.kind](_texts(case.style), case.target, case.spec)
    except ValueError as error:  # the style no longer holds what the table names
        return Result(case, "not made", (str(error),))
    before = _undamaged(case.style, tuple(sorted(case.options.items())))
    found = [
        p
        for p in problems_of(damaged, case.style, case.options)
        if p.severity != "note" and (p.code, p.what) not in before
    ]
    return Result(case, _verdict(case, damaged, found), tuple(_said(p) for p in found))


def _said(problem: Problem) -> str:
    place = f"{Path(problem.where.file).name}:{problem.where.line}" if problem.where else "nowhere"
    return f"{problem.severity} {problem.code} at {place}: {problem.what}"


def _verdict(case: Case, damaged: Texts, found: Sequence[Problem]) -> Verdict:
    if not case.harmful:
        return "false alarm" if found else "quiet"
    mine = [p for p in found if p.code == case.told and all(w in p.sentence() for w in case.words)]
    if not mine:
        return "missed"
    file, line = damaged.line_of(case.at)
    told = [(Path(p.where.file).stem, p.where.line) for p in mine if p.where]
    return "caught" if (file, line) in told else "wrong line"


# ---------------------------------------------------------------- the table


def table(results: Sequence[Result]) -> str:
    """Kind by style: how many of the harmful were caught, and how many of the harmless were left in peace."""
    names = sorted({r.case.style for r in results})
    kinds = [k for k in KINDS if any(r.case.kind == k for r in results)]
    rows = [["kind of damage", *names, "all"]]
    for kind in [*kinds, None]:
        row = ["all kinds" if kind is None else kind]
        for name in [*names, None]:
            some = [r for r in results if kind in (None, r.case.kind) and name in (None, r.case.style)]
            row.append(_cell(some))
        rows.append(row)
    wide = [max(len(r[n]) for r in rows) for n in range(len(rows[0]))]
    lines = ["  ".join(c.ljust(w) for c, w in zip(r, wide, strict=True)).rstrip() for r in rows]
    return "\n".join(["harmful caught / all, + harmless left in peace / all", *lines])


def _cell(some: Sequence[Result]) -> str:
    harmful, harmless = ([r for r in some if r.case.harmful == h] for h in (True, False))
    parts = [
        f"{'+' if group is harmless else ''}{sum(r.verdict in GOOD for r in group)}/{len(group)}"
        for group in (harmful, harmless)
        if group
    ]
    return " ".join(parts) or "-"


def unlike(results: Sequence[Result]) -> list[str]:
    """The cases in which checker and table disagree, with what was said."""
    return [
        f"{r.verdict}: {r.case.name}"
        + (f" (wanted {r.case.told} at {r.case.at})" if r.case.harmful else "")
        + "".join(f"\n    {s}" for s in r.said[:6])
        for r in results
        if r.verdict not in GOOD
    ]
