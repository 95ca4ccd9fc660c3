"""Reads a table of bodies, one a row: a CSV file whose columns are body measures, or stand for them by a mapping.

What is wrong with the file as a whole is a `Fault`. What is wrong with a cell belongs to its row, as an error with the
file's line and the column: the other rows can still be tried.
"""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from booklet.problems import Collector, Fault, Problem, Where, nearest
from booklet.reading.measures import MEASURES, PLAUSIBLE_MM, USUALLY_LESS
from booklet.reading.plain_text import read_text
from booklet.reading.shape import FileUnit, Shape, Words, check_shape
from booklet.reading.style_shape import MeasureName
from booklet.reading.yaml_source import read_yaml
from booklet.units import FILE_UNITS, MM_PER, parse_length

LARGEST_BYTES = 50_000_000
MOST_ROWS = 100_000
LABELS = ("", "name", "code", "label", "id", "no", "number", "row", "body", "person", "customer")
NOT_GIVEN = ("", "-", "\u2013", "\u2014", "n/a", "na")

_UNIT_WORDS = {"mm": "millimetres", "cm": "centimetres", "in": "inches"}
_UNIT_IN_HEADER = re.compile(r"(.*?)[\s_,]*[\[(]\s*([A-Za-z]+)\s*[\])]\s*")
_DECIMAL_COMMA = re.compile(r"(\s*[-+]?\d*),(\d+\s*[^\d,]*)")
_POWER_OF_TEN = re.compile(r"[-+]?\d+(?:\.\d*)?[eE][-+]?\d{1,3}")


class ColumnsShape(Shape):
    """A file that says which column stands for which measure."""

    measures: dict[MeasureName, Words]
    units: FileUnit | None = None


@dataclass(frozen=True)
class BodyRow:
    """One body: what it is called, its measures in mm, and what is wrong or unlikely in its cells."""

    label: str
    where: Where
    measures: Mapping[str, float]
    problems: tuple[Problem, ...] = ()


@dataclass(frozen=True)
class BodiesTable:
    """The bodies of a file. `columns` maps each measure to its column's heading; `unused` are the other headings."""

    file: str
    columns: Mapping[str, str]
    rows: tuple[BodyRow, ...]
    unused: tuple[str, ...]


@dataclass(frozen=True)
class _Column:
    at: int
    measure: str
    heading: str
    unit: str


def read_bodies(
    path: Path, mapping: Path | None = None, unit: str | None = None, limit: int | None = None
) -> BodiesTable:
    """Every row of a CSV file, or the first `limit` of them.

    A number is in the unit that it carries, else that of its column's heading, else `unit`, else the mapping's
    `units`, else centimetres. Raises `Fault` where the file, its headings, the mapping or the unit can't be used.
    """
    file = path.as_posix()
    collector = Collector()
    if unit is not None and unit not in FILE_UNITS:
        collector.error("usage", None, f"--unit is '{unit}'", nearest(unit, FILE_UNITS).strip())
    if limit is not None and limit < 1:
        collector.error("usage", None, f"--limit is {limit}, which leaves no body", "Give 1 or more.")
    named: Mapping[str, str] = {}
    lines: Mapping[str, Where] = {}
    own: str | None = None
    if mapping is not None:
        with collector.catching():
            named, lines, own = _read_mapping(mapping)
    text = ""
    with collector.catching():
        text = read_text(path, file, LARGEST_BYTES, mend="Save it as CSV in UTF-8.")
    collector.raise_if_errors()
    separator = separator_of(text)
    cells = _rows(text, separator, file)
    first = next(cells, None)
    if first is None:
        raise Fault.of("bodies-empty", "the file is empty", Where(file, 1), "Give it a line of headings.")
    line, headings = first
    here = Where(file, line)
    columns = _columns(headings, here, named, lines, unit or own or "cm")
    used = {c.at for c in columns}
    label_at = 0 if 0 not in used and headings[0].strip().lower() in LABELS else None
    rows: list[BodyRow] = []
    for line, row in cells:
        if limit is not None and len(rows) == limit:
            break
        if len(rows) == MOST_ROWS:
            what = f"the file has over {MOST_ROWS} bodies"
            raise Fault.of("bodies-many", what, Where(file, line), "Use --limit.")
        label = row[label_at].strip() if label_at is not None else ""
        rows.append(
            _body(row, columns, label or f"row {len(rows) + 1}", Where(file, line), headings, separator)
        )
    if not rows:
        raise Fault.of("bodies-empty", "there is no body below the headings", here, "Add a row for each.")
    unused = tuple(h.strip() for n, h in enumerate(headings) if n not in used and n != label_at and h.strip())
    return BodiesTable(file, {c.measure: c.heading for c in columns}, tuple(rows), unused)


# ---------------------------------------------------------------- the file


def separator_of(text: str) -> str:
    """The commonest of semicolon, tab and comma in the first line that holds anything, quoted text aside."""
    first = next((line for line in text.splitlines() if line.strip()), "")
    plain = re.sub(r'"[^"]*"', "", first)
    return max(";\t,", key=plain.count)


def _rows(text: str, separator: str, file: str) -> Iterator[tuple[int, list[str]]]:
    """(line, cells) of every row that isn't blank. A row's line is where it begins."""
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=separator)
    line = 1
    while True:
        try:
            row = next(reader, None)
        except csv.Error as error:
            what = f"this cannot be read as a row ({error})"
            raise Fault.of("bodies-row", what, Where(file, line), "Look for a stray quote sign.") from None
        if row is None:
            return
        if any(cell.strip() for cell in row):
            yield line, row
        line = reader.line_num + 1


def _read_mapping(path: Path) -> tuple[Mapping[str, str], Mapping[str, Where], str | None]:
    source = read_yaml(path)
    collector = Collector()
    shape = check_shape(source, ColumnsShape, collector)
    collector.raise_if_errors()
    assert shape is not None
    return shape.measures, {m: source.where("measures", m) for m in shape.measures}, shape.units


# ---------------------------------------------------------------- headings


def _columns(
    headings: Sequence[str], here: Where, named: Mapping[str, str], lines: Mapping[str, Where], unit: str
) -> tuple[_Column, ...]:
    """Which columns hold which measures: those of the mapping, and those with a measure's own name."""
    collector = Collector()
    parted = [_unit_of(h.strip()) for h in headings]
    plain = [_plain(name) for name, _ in parted]
    found: dict[str, list[int]] = {}
    for measure, heading in named.items():
        wanted = heading.strip().lower()
        at = [n for n, h in enumerate(headings) if wanted in (h.strip().lower(), parted[n][0].lower())]
        if not at:
            what = f"{measure} comes from a column '{heading}', which {here.file} does not have"
            collector.error("column-missing", lines[measure], what, nearest(heading, headings).strip())
        else:
            found[measure] = at
    mapped = {n for at in found.values() for n in at}
    for n, name in enumerate(plain):
        if name in MEASURES and name not in named and n not in mapped:
            found.setdefault(name, []).append(n)
    columns = []
    for measure, at in found.items():
        if len(at) > 1:
            columns_words = " and ".join(str(n + 1) for n in at)
            collector.error(
                "column-twice", here, f"columns {columns_words} both hold {measure}", "Keep one of them."
            )
        own = parted[at[0]][1]
        if own and own not in MM_PER:
            what = f"the column '{headings[at[0]].strip()}' is in '{own}', which is not a unit"
            collector.error("unit-unknown", here, what, f"Use {', '.join(FILE_UNITS)}.")
        columns.append(_Column(at[0], measure, headings[at[0]].strip(), own or unit))
    if not columns and not collector.errors:
        known = nearest(plain[0], MEASURES).strip()
        what = "no column has the name of a body measure"
        collector.error("column-missing", here, what, f"Name them so, or give --columns FILE. {known}")
    collector.raise_if_errors()
    return tuple(sorted(columns, key=lambda c: c.at))


def _unit_of(heading: str) -> tuple[str, str]:
    """'bust girth (cm)' as its name and its unit; '' where it has none."""
    met = _UNIT_IN_HEADER.fullmatch(heading)
    return (met.group(1).strip(), met.group(2).lower()) if met else (heading, "")


def _plain(heading: str) -> str:
    return re.sub(r"[\s-]+", "_", heading.strip().lower())


# ---------------------------------------------------------------- cells


def _body(
    row: Sequence[str],
    columns: Sequence[_Column],
    label: str,
    where: Where,
    headings: Sequence[str],
    separator: str,
) -> BodyRow:
    collector = Collector()
    if any(cell.strip() for cell in row[len(headings) :]):
        what = f"the row has {len(row)} cells, the headings are {len(headings)}"
        collector.error("cell", where, what, "Put text that holds the separator in double quotes.")
    measures: dict[str, float] = {}
    for column in columns:
        text = row[column.at].strip() if column.at < len(row) else ""
        if text.lower() in NOT_GIVEN:
            continue
        try:
            measures[column.measure] = _length(text, column, separator, where)
        except Fault as fault:
            collector.add(*(Problem("cell", "error", where, p.what, p.mend) for p in fault.problems))
    collector.add(*_unlikely(measures, {c.measure: c.unit for c in columns}, where))
    return BodyRow(label, where, measures, tuple(collector.problems))


def _length(text: str, column: _Column, separator: str, where: Where) -> float:
    value: str | float = text
    if separator != "," and (comma := _DECIMAL_COMMA.fullmatch(text)):
        value = f"{comma.group(1)}.{comma.group(2)}"
    elif _POWER_OF_TEN.fullmatch(text):
        value = float(text)
    same = column.heading == column.measure
    name = f"the column {column.heading}" + ("" if same else f", {column.measure},")
    return parse_length(value, column.unit, where=where, name=name, zero=False).mm


def _unlikely(measures: Mapping[str, float], units: Mapping[str, str], where: Where) -> Iterator[Problem]:
    """A measure that no grown body has is a warning; an unusual order of two measures only a note."""
    for name, mm in measures.items():
        low, high = PLAUSIBLE_MM[name]
        if not low <= mm <= high:
            usual = f"usual is {low / 10:.0f} to {high / 10:.0f} cm"
            mend = _slipped(mm, low, high, units[name]) or "Measure again."
            yield Problem("measure-unlikely", "warning", where, f"{name} is {mm / 10:.1f} cm; {usual}", mend)
    for smaller, larger in USUALLY_LESS:
        a, b = measures.get(smaller), measures.get(larger)
        if a is not None and b is not None and a >= b:
            what = f"{smaller} is {a / 10:.1f} cm, not less than {larger}, {b / 10:.1f} cm"
            yield Problem("measure-order", "note", where, what, "It may be so; else measure both again.")


def _slipped(mm: float, low: float, high: float, unit: str) -> str:
    for other in FILE_UNITS:
        if other != unit and low <= mm / MM_PER[unit] * MM_PER[other] <= high:
            return f"If the numbers are in {_UNIT_WORDS[other]}, say so with --unit {other}."
    return ""
