"""A style tried on many bodies: each is drafted, sewn on paper and measured, and the verdicts are counted.

The style is read once; a body costs its draft, the seams of the recipe, the finished measures and the openings.
Allowances, lays and pictures say nothing about whom a style fits and are left out.
"""

from __future__ import annotations

import re
import traceback
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Literal

from booklet.combinations import Combination, combinations_of
from booklet.drafting.copies import make_copies
from booklet.drafting.draft import check_options, draft_pieces, lay_out_table, work_out_measures
from booklet.drafting.finished import finished_measures, opening_measures
from booklet.drafting.sides import World
from booklet.inputs import asked_options
from booklet.model import BodyMeasure, Finished
from booklet.problems import Collector, Fault, Problem, Where
from booklet.reading.bodies_table import BodiesTable, BodyRow, read_bodies
from booklet.reading.read import StyleFiles, read_style
from booklet.reading.shop import Shop, read_shop
from booklet.seams.compare import Tolerances
from booklet.seams.table import build_seam_table, recipe_steps
from booklet.sewing.checks import check_recipe
from booklet.sewing.elastic import elastic_of

Units = Literal["cm", "in"]
Verdict = Literal["clean", "warned", "refused"]
PROGRAM = "program"  # the code of a problem that is the program's own fault

_RANK = {"clean": 0, "warned": 1, "refused": 2}
_SLOT = re.compile(r"(?<![\w.])-?\d+(?:\.\d+)?(?![\w.]*\w)")
_QUOTED = re.compile(r"'[^']*'")
_MOST_QUOTED = 3
_MISFIT = re.compile(r"(\d+(?:\.\d+)?) mm too (?:long|short)$")


@dataclass(frozen=True)
class Found:
    """One problem of one body; `by` is how far off it is in mm, where that is a length."""

    problem: Problem
    by: float | None = None


@dataclass(frozen=True)
class Tried:
    """One body in one combination of options. `measures` are those given and those worked out by rule."""

    label: str
    where: Where
    combination: Combination
    measures: tuple[BodyMeasure, ...]
    found: tuple[Found, ...]

    @property
    def verdict(self) -> Verdict:
        severities = {f.problem.severity for f in self.found}
        return "refused" if "error" in severities else "warned" if "warning" in severities else "clean"


@dataclass(frozen=True)
class TrialInputs:
    style: StyleFiles
    shop: Shop
    table: BodiesTable
    combinations: tuple[Combination, ...]
    units: Units


def read_trial(
    style: Path,
    bodies: Path,
    columns: Path | None = None,
    shop: Path | None = None,
    options: Sequence[str] = (),
    all_options: bool = False,
    unit: str | None = None,
    limit: int | None = None,
) -> TrialInputs:
    """Reads everything, and raises one `Fault` for all that is wrong with it. A row's faults are the row's own."""
    collector = Collector()
    asked: dict[str, str] = {}
    files, workroom, table = None, None, None
    combinations: tuple[Combination, ...] = ()
    with collector.catching():
        asked = asked_options(options)
    with collector.catching():
        files = read_style(style)
    if files is not None:
        with collector.catching():
            chosen = check_options(files.sources["style"], asked)
            combinations = combinations_of(files, asked) if all_options else (tuple(chosen.items()),)
    with collector.catching():
        workroom = read_shop(style, shop)
    with collector.catching():
        table = read_bodies(bodies, columns, unit, limit)
    collector.raise_if_errors()
    assert files is not None and workroom is not None and table is not None
    return TrialInputs(files, workroom, table, combinations, "in" if files.style.units == "in" else "cm")


def try_body(style: StyleFiles, row: BodyRow, combination: Combination, units: Units, shop: Shop) -> Tried:
    """Drafts and judges one body. Whatever the row holds comes back as problems; nothing is raised."""
    collector = Collector(list(row.problems))
    measures: tuple[BodyMeasure, ...] = ()
    judged: dict[Where, Finished] = {}
    try:
        collector.raise_if_errors()
        measures = work_out_measures(style.sources["style"], row.measures, "the row", collector)
        collector.raise_if_errors()
        judged = _judge(style, measures, dict(combination), units, shop, collector)
    except Fault as fault:
        collector.add(*fault.problems)
    except Exception as error:
        # One body must not end the trial of all the others, and what it was is told and counted.
        last = traceback.extract_tb(error.__traceback__)[-1]
        place = f"{type(error).__name__} in {Path(last.filename).name}, line {last.lineno}"
        what = f"this is a fault of the program, not of your files: {place}"
        collector.error(PROGRAM, None, what, "Please report it with the style and the body's row.")
    found = dict.fromkeys(_found(p, judged, style) for p in collector.problems)
    return Tried(row.label, row.where, combination, measures, tuple(found))


def _judge(
    style: StyleFiles,
    measures: tuple[BodyMeasure, ...],
    options: Mapping[str, str],
    units: Units,
    shop: Shop,
    collector: Collector,
) -> dict[Where, Finished]:
    """The stages up to the finished measures; those measures by their places in style.yaml."""
    source = style.sources["style"]
    table, maker = lay_out_table(style.sources["draft"], source, measures, options, units)
    draft = draft_pieces(table, maker, collector)
    collector.raise_if_errors()
    copies = make_copies(draft)
    steps = recipe_steps(style.sources["sewing"], table, collector)
    limits = Tolerances(shop.equal, shop.warning, shop.girth, shop.derived)
    defaults = {"join": {"press": shop.seams["join"].press, "neaten": shop.seams["join"].neaten}}
    seams = build_seam_table(steps, copies, table, defaults, limits, collector)
    check_recipe(seams, copies, source.data, collector)
    stretched: dict[str, tuple[float, float]] = {}
    for step in steps:
        if step.verb == "casing":
            with collector.catching():
                elastic = elastic_of(step, table)
                stretched[elastic.run] = (elastic.relaxed, elastic.stretched)
    finished = finished_measures(source, [World("whole", table, maker, draft)], collector)
    openings = opening_measures(source, draft, table, maker, stretched, collector)
    judged = {source.where("finished", f.name): f for f in finished}
    judged.update({source.where("openings", f.name): f for f in openings})
    return judged


def _found(problem: Problem, judged: Mapping[Where, Finished], style: StyleFiles) -> Found:
    """The problem with by how many mm a measure falls short, which then leads its words, or two seam lines differ."""
    if problem.code == "missing-measure":  # told once, whether it is asked for itself or for a rule's sake
        needs = style.sources["style"].where("needs")
        return Found(replace(problem, where=needs, mend="Add a column for it, or a rule to the style."))
    measure = judged.get(problem.where) if problem.where else None
    if measure is not None and problem.code in ("ease", "least", "opening") and measure.least_mm is not None:
        by = measure.least_mm - (measure.garment_mm - (measure.body_mm or 0.0))
        least = f"the least, {measure.least_mm:.0f} mm"
        what = {
            "ease": f"the {measure.title} would have {by:.1f} mm less ease than {least}",
            "least": f"the {measure.title} would be {by:.1f} mm less than {least}",
            "opening": f"the {measure.title} opening would be {by:.1f} mm too small to pass the "
            f"{(measure.body_name or 'body').replace('_', ' ')} with {least}, to spare",
        }[problem.code]
        return Found(replace(problem, what=what), by)
    told = _MISFIT.search(problem.what)
    return Found(problem, float(told.group(1)) if told else None)


# ---------------------------------------------------------------- counted


@dataclass(frozen=True)
class Reason:
    """Problems of one kind: what they say with the numbers ranged, and how many bodies have them."""

    code: str
    severity: str
    where: Where | None
    words: str
    mend: str
    bodies: int
    least: float | None  # by how many mm, where that is a length
    most: float | None
    combinations: tuple[Combination, ...]


@dataclass(frozen=True)
class Origin:
    """How many bodies had a measure given, how many got it by the style's rule, and the rule."""

    name: str
    given: int
    guessed: int
    rule: str


@dataclass(frozen=True)
class Worst:
    label: str
    where: Where
    verdict: Verdict
    what: str
    by: float | None
    combination: Combination


@dataclass(frozen=True)
class Trial:
    """What came of all bodies. A body's verdict is the worst over the combinations tried."""

    bodies: int
    verdicts: Mapping[Verdict, int]
    by_combination: tuple[tuple[Combination, Mapping[Verdict, int]], ...]
    reasons: tuple[Reason, ...]
    origins: tuple[Origin, ...]
    worst: tuple[Worst, ...]
    cells: tuple[Problem, ...]  # every cell that cannot be read


@dataclass
class _Group:
    first: Problem
    texts: list[str] = field(default_factory=list)
    by: list[float] = field(default_factory=list)
    rows: dict[Where, None] = field(default_factory=dict)
    combinations: dict[Combination, None] = field(default_factory=dict)


def try_bodies(
    style: StyleFiles,
    rows: Sequence[BodyRow],
    combinations: Sequence[Combination],
    units: Units,
    shop: Shop,
    on_body: Callable[[], None] = lambda: None,
    worst: int = 10,
) -> Trial:
    """Every body in every combination. `on_body` is called after each body."""
    tried: list[Tried] = []
    for row in rows:
        tried += [try_body(style, row, c, units, shop) for c in combinations]
        on_body()
    return count(style, tried, worst)


def count(style: StyleFiles, tried: Sequence[Tried], worst: int = 10) -> Trial:
    bodies: dict[Where, Verdict] = {}
    by_combination: dict[Combination, dict[Verdict, int]] = {}
    for t in tried:
        known = bodies.get(t.where, "clean")
        bodies[t.where] = max(known, t.verdict, key=_RANK.__getitem__)
        by_combination.setdefault(t.combination, _none())[t.verdict] += 1
    verdicts = _none()
    for verdict in bodies.values():
        verdicts[verdict] += 1
    cells = dict.fromkeys(f.problem for t in tried for f in t.found if f.problem.code == "cell")
    return Trial(
        len(bodies),
        verdicts,
        tuple(by_combination.items()),
        _reasons(tried),
        _origins(style, tried),
        _worst(tried, worst),
        tuple(cells),
    )


def _none() -> dict[Verdict, int]:
    return {"clean": 0, "warned": 0, "refused": 0}


def _reasons(tried: Sequence[Tried]) -> tuple[Reason, ...]:
    groups: dict[tuple[object, ...], _Group] = {}
    for t in tried:
        for f in t.found:
            p = f.problem
            own = p.where if p.where is not None and p.where.file != t.where.file else None
            key = (p.code, p.severity, own, _template(p), p.mend)
            group = groups.setdefault(key, _Group(p))
            group.texts.append(p.what)
            if f.by is not None:
                group.by.append(f.by)
            group.rows[t.where] = None
            group.combinations[t.combination] = None
    out = [
        Reason(
            g.first.code,
            g.first.severity,
            g.first.where,
            _ranged(g),
            g.first.mend,
            len(g.rows),
            min(g.by, default=None),
            max(g.by, default=None),
            tuple(g.combinations),
        )
        for g in groups.values()
    ]
    rank = {"error": 0, "warning": 1, "note": 2}
    return tuple(sorted(out, key=lambda r: (rank[r.severity], -r.bodies)))


def _template(problem: Problem) -> str:
    """The words without their numbers; of a cell also without what was written in it."""
    text = _QUOTED.sub("''", problem.what) if problem.code == "cell" else problem.what
    return _SLOT.sub("#", text)


def _ranged(group: _Group) -> str:
    """The words with each number as a range over all bodies: 'hip: 12 to 30 mm ease'."""
    text, texts = group.first.what, group.texts
    if group.first.code == "cell":
        quoted = iter(zip(*(_QUOTED.findall(t) for t in texts), strict=True))
        text = _QUOTED.sub(lambda _: _listed(next(quoted)), text)
        if _QUOTED.search(group.first.what):
            return text
    numbers = iter(zip(*(_SLOT.findall(t) for t in texts), strict=True))
    return _SLOT.sub(lambda _: _range(next(numbers)), text)


def _range(numbers: Iterable[str]) -> str:
    ordered = sorted(numbers, key=float)
    low, high = ordered[0], ordered[-1]
    return low if float(low) == float(high) else f"{low} to {high}"


def _listed(words: Iterable[str]) -> str:
    unlike = list(dict.fromkeys(words))
    more = len(unlike) - _MOST_QUOTED
    return " or ".join(unlike[:_MOST_QUOTED]) + (f" (and {more} other)" if more > 0 else "")


def _origins(style: StyleFiles, tried: Sequence[Tried]) -> tuple[Origin, ...]:
    """The measures that the style asks for or has a rule for, in its own order."""
    data = style.sources["style"].data
    names = dict.fromkeys(str(n) for n in (*(data.get("needs") or ()), *(data.get("rules") or ())))
    given: dict[str, dict[Where, None]] = {n: {} for n in names}
    guessed: dict[str, dict[Where, None]] = {n: {} for n in names}
    rules: dict[str, str] = {}
    for t in tried:
        for m in t.measures:
            if m.name in names:
                (given if m.given else guessed)[m.name][t.where] = None
                if not m.given:
                    rules[m.name] = m.rule
    return tuple(Origin(n, len(given[n]), len(guessed[n]), rules.get(n, "")) for n in names)


def _worst(tried: Sequence[Tried], most: int) -> tuple[Worst, ...]:
    """One line a body: refused ones first, then by how much, then in the order of the file."""
    found: dict[Where, Worst] = {}
    for t in tried:
        for f in t.found:
            if f.problem.severity == "note":
                continue
            verdict: Verdict = "refused" if f.problem.severity == "error" else "warned"
            one = Worst(t.label, t.where, verdict, f.problem.what, f.by, t.combination)
            if t.where not in found or _badness(one) > _badness(found[t.where]):
                found[t.where] = one
    return tuple(sorted(found.values(), key=_badness, reverse=True)[:most])


def _badness(one: Worst) -> tuple[int, float]:
    return _RANK[one.verdict], -1.0 if one.by is None else one.by
