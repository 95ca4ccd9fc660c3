"""Reads a style's size table: `sizes.yaml` beside style.yaml, one column a size.

units: cm
sizes: [34, 36, 38]
base: 36                       # pictures and words are drawn from it; else the middle one
measures:
  bust_girth: [80, 84, 88]
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Fault, Problem, Where, nearest
from booklet.reading.measures import MEASURES
from booklet.reading.read import Body, Sided, unlikely_measures
from booklet.reading.shape import check_shape
from booklet.reading.sizes_shape import SizesShape
from booklet.reading.yaml_source import Source, read_yaml
from booklet.units import NBSP, parse_length, show

SIZES_FILE = "sizes.yaml"
ALL = "all"
MOST_SIZES = 24
ALIKE = 0.5  # mm: measures that differ by less are alike


@dataclass(frozen=True)
class SizeTable:
    """The bodies of a range in size order, and which of them the style is shown in."""

    file: str
    bodies: tuple[Body, ...]
    base: int

    @property
    def names(self) -> tuple[str, ...]:
        return tuple(b.code for b in self.bodies)

    def chosen(self, asked: str) -> SizeTable:
        """'all' or '10,14', in the table's own order. Raises one `Fault` for every size that is not there."""
        wanted = list(dict.fromkeys(t.strip() for t in asked.split(",") if t.strip()))
        collector = Collector()
        if not wanted:
            collector.error("size-unknown", None, "no size is asked for", f"Known: {', '.join(self.names)}.")
        if wanted == [ALL]:
            return self
        known = {name.lower(): name for name in self.names}
        for name in wanted:
            if name.lower() not in known:
                mend = nearest(name, self.names).strip()
                collector.error("size-unknown", None, f"there is no size '{name}' in {self.file}", mend)
        collector.raise_if_errors()
        keep = {known[name.lower()] for name in wanted}
        at = [n for n, name in enumerate(self.names) if name in keep]
        base = at.index(self.base) if self.base in at else middle(len(at))
        return SizeTable(self.file, tuple(self.bodies[n] for n in at), base)


def middle(count: int) -> int:
    """The place of the middle one of so many; of two middles the smaller."""
    return (count - 1) // 2


def has_sizes(folder: Path) -> bool:
    """Whether a style has a size table of its own."""
    return (folder / SIZES_FILE).is_file()


def read_sizes(folder: Path) -> SizeTable:
    """The size table of a style's folder. Raises `Fault` for all that is wrong; what is only unlikely is a warning."""
    path = folder / SIZES_FILE
    if not path.is_file():
        raise Fault.of(
            "sizes-missing",
            "this style has no size table",
            Where(folder.as_posix(), 1),
            f"Write {SIZES_FILE} beside style.yaml, or give a body's file with --body.",
        )
    source = read_yaml(path)
    collector = Collector()
    shape = check_shape(source, SizesShape, collector)
    if isinstance(source.data, dict):
        _check_columns(source, collector)  # told together with what the shape finds
    collector.raise_if_errors()
    assert shape is not None
    names = tuple(str(n) for n in shape.sizes)
    rows = _rows(source, shape.units, collector)
    collector.raise_if_errors()
    disorder = _out_of_order(names, rows, source, "in" if shape.units == "in" else "cm")
    bodies = tuple(_body(n, name, rows, source, shape, disorder[n]) for n, name in enumerate(names))
    base = names.index(str(shape.base)) if shape.base is not None else middle(len(names))
    return SizeTable(source.file, bodies, base)


def _check_columns(source: Source, collector: Collector) -> None:
    """Names, base and counts of columns, of a table that may be ill-formed otherwise."""
    listed = source.data.get("sizes")
    if not isinstance(listed, list) or not listed:
        return
    names = [str(n) for n in listed]
    _check_names(names, source, collector)
    base = source.data.get("base")
    if base is not None and str(base) not in names:
        what = f"base is {base}, which is none of the sizes"
        collector.error("size-unknown", source.where("base"), what, f"Known: {', '.join(names)}.")
    measures = source.data.get("measures")
    for name, cells in measures.items() if isinstance(measures, dict) else ():
        if isinstance(cells, list) and len(cells) != len(names):
            lengths = "1 length" if len(cells) == 1 else f"{len(cells)} lengths"
            what = f"{name} has {lengths} for {len(names)} {'size' if len(names) == 1 else 'sizes'}"
            collector.error("sizes-cells", source.where("measures", name), what, "Give one a size.")


def _check_names(names: Sequence[str], source: Source, collector: Collector) -> None:
    if len(names) > MOST_SIZES:
        what = f"the table has {len(names)} sizes, more than the {MOST_SIZES} that one style can have"
        collector.error("sizes-many", source.where("sizes"), what, "Part the range in two styles.")
    seen: dict[str, str] = {}
    for n, name in enumerate(names):
        if name.lower() in seen:
            what = f"two sizes are called {name}"
            collector.error("size-twice", source.where("sizes", n), what, "Give each a name of its own.")
        seen.setdefault(name.lower(), name)


def _rows(source: Source, unit: str, collector: Collector) -> dict[str, list[float]]:
    """Each measure's lengths in mm, one a size."""
    raw: dict[str, list[Any]] = source.data["measures"]
    rows: dict[str, list[float]] = {}
    for name, cells in raw.items():
        row = []
        for n, cell in enumerate(cells):
            with collector.catching():
                where = source.where("measures", name, n)
                row.append(parse_length(cell, unit, where=where, name=name, zero=False).mm)
        rows[name] = row
    return {name: rows[name] for name in MEASURES if name in rows}


def _out_of_order(
    names: Sequence[str], rows: Mapping[str, Sequence[float]], source: Source, unit: str
) -> list[list[Problem]]:
    """Warnings, a list a size: a size that stands behind a larger one, or a girth that falls while the others rise.

    A table may run from large to small as well; what counts is that it goes on in one direction.
    """
    steps = [
        {m: row[n + 1] - row[n] for m, row in rows.items() if abs(row[n + 1] - row[n]) > ALIKE}
        for n in range(len(names) - 1)
    ]
    falls = sum(2 * sum(d < 0 for d in step.values()) > len(step) for step in steps)
    way = -1 if 2 * falls > len(steps) else 1
    out: list[list[Problem]] = [[] for _ in names]
    for n, step in enumerate(steps, 1):
        back = [m for m, d in step.items() if d * way < 0]
        size, before = names[n], names[n - 1]
        if 2 * len(back) > len(step):
            larger = "larger" if way > 0 else "smaller"
            what = f"size {size} stands behind size {before}, which is {larger}: {_values(back[0], rows, n, unit)}"
            mend = "Put the columns in size order: lines and figures of a nested booklet go by it."
            out[n].append(Problem("sizes-order", "warning", source.where("sizes", n), what, mend))
            continue
        for m in (m for m in back if m.endswith("_girth")):
            less = "less" if way > 0 else "more"
            what = f"{m} of size {size} is {less} than that of size {before}: {_values(m, rows, n, unit)}"
            where = source.where("measures", m, n)
            out[n].append(Problem("sizes-order", "warning", where, what, "Look for a slipped figure."))
    return out


def _values(measure: str, rows: Mapping[str, Sequence[float]], n: int, unit: str) -> str:
    """'bust_girth is 92 cm after 100 cm': both in one unit."""

    def told(mm: float) -> str:
        return show(mm, "in") if unit == "in" else f"{round(mm / 10, 1):g}{NBSP}cm"

    return f"{measure} is {told(rows[measure][n])} after {told(rows[measure][n - 1])}"


def _body(
    n: int,
    name: str,
    rows: dict[str, list[float]],
    source: Source,
    shape: SizesShape,
    disorder: Sequence[Problem],
) -> Body:
    measures: dict[str, float | Sided] = {measure: row[n] for measure, row in rows.items()}
    lines = {measure: source.where("measures", measure, n) for measure in rows}
    problems = (*unlikely_measures(measures, lines, shape.units, shape.child), *disorder)
    return Body(name, name, source.file, shape.units, measures, lines, problems, of_table=True)
