"""A draft made as far as it goes: what can be drafted is there to be drawn, what can't is told."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Any, NoReturn

from booklet.drafting.draft import check_options, lay_out_table, outline_problems, work_out_measures
from booklet.drafting.maker import PieceMaker
from booklet.drafting.table import Table
from booklet.model import Piece
from booklet.problems import Collector, Fault, Problem
from booklet.reading.draft_shape import DraftShape
from booklet.reading.shape import check_shape
from booklet.reading.yaml_source import Source

Entry = tuple[str, ...]
# What working out an entry may stumble over where another one has not the shape it should.
SLIPS = (TypeError, ValueError, LookupError, AttributeError, StopIteration, RuntimeError)


@dataclass(frozen=True)
class Drafted:
    """The table, the pieces that could be made, and the names of those that could not."""

    table: Table
    pieces: tuple[Piece, ...]
    failed: tuple[str, ...]
    sound: bool = True  # every entry of the file has the shape it should


def draft_what_can_be(
    draft: Source, style: Source, given: Mapping[str, float], body_file: str, options: Mapping[str, str], units: str,
    collector: Collector,
) -> Drafted:  # fmt: skip
    """One size of a draft that may have faults. An entry that is not written rightly is told and left out."""
    shape_faults = Collector()
    check_shape(draft, DraftShape, shape_faults)
    collector.add(*shape_faults.problems)
    bad = _entries_at_fault(draft, shape_faults.problems)
    draft = _without_marks(draft, bad)
    measures = work_out_measures(style, given, body_file, collector)
    table, maker = lay_out_table(draft, style, measures, check_options(style, options), units)
    for entry, problem in bad.items():
        _fail(table, entry, problem)
    pieces, failed = [], []
    for key in maker.raw:
        if ("pieces", key) in bad:
            failed.append(str(key))
            continue
        piece, faults = _made(maker, str(key), bool(bad))
        collector.add(*faults)
        pieces += [piece] if piece is not None else []
        failed += [str(key)] if faults and piece is None else []
    return Drafted(table, tuple(pieces), tuple(failed), not bad)


def _made(maker: PieceMaker, key: str, careful: bool) -> tuple[Piece | None, tuple[Problem, ...]]:
    """A piece if the options ask for it, or what stands against it. `careful`: the file's shape is not sound."""
    try:
        if not maker.applies(key):
            return None, ()
        piece = maker.piece(key)
        return piece, outline_problems(piece)
    except Fault as fault:
        return None, fault.problems
    except SLIPS:
        if not careful:
            raise
        where = maker.table.where("pieces", key)
        what = f"{key} cannot be drafted before the faults above are mended"
        return None, (Problem("unsound", "error", where, what, ""),)


# ---------------------------------------------------------------- entries that are not written rightly


def _entries(data: Any) -> Iterator[Entry]:
    """The paths of all values, points, lines, marks and pieces."""
    if not isinstance(data, Mapping):
        return
    for part in ("values", "marks", "pieces"):
        if isinstance(data.get(part), Mapping):
            yield from ((part, str(name)) for name in data[part])
    groups = data.get("construction")
    for group, raw in groups.items() if isinstance(groups, Mapping) else ():
        for kind in ("points", "lines"):
            if isinstance(raw, Mapping) and isinstance(raw.get(kind), Mapping):
                yield from (("construction", str(group), kind, str(name)) for name in raw[kind])


def _entries_at_fault(draft: Source, problems: list[Problem]) -> dict[Entry, Problem]:
    """Each entry in whose lines of the file a problem lies, with the first of its problems."""
    starts = sorted((draft.where(*entry).line, entry) for entry in _entries(draft.data))
    out: dict[Entry, Problem] = {}
    loose = []
    for problem in problems:
        line = problem.where.line if problem.where else 0
        inside = [entry for start, entry in starts if start <= line]
        if inside:
            out.setdefault(inside[-1], problem)
        else:
            loose.append(problem)
    if loose:
        raise Fault(loose)  # what stands before any entry, such as `units:`, is needed by all of them
    return out


def _without_marks(draft: Source, bad: Mapping[Entry, Problem]) -> Source:
    names = [entry[1] for entry in bad if entry[0] == "marks"]
    if not names:
        return draft
    left = {name: raw for name, raw in draft.data["marks"].items() if str(name) not in names}
    return replace(draft, data={**draft.data, "marks": left})


def _fail(table: Table, entry: Entry, problem: Problem) -> None:
    """Whoever asks for the entry gets its problem."""

    def refuse() -> NoReturn:
        raise Fault((problem,))

    refused: Callable[[], NoReturn] = refuse
    try:
        table.once(entry, refused)
    except Fault:
        return
