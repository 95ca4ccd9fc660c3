"""Reads a style's size table: `sizes.yaml` beside style.yaml, one column a size.

units: cm
sizes: [34, 36, 38]
base: 36                       # pictures and words are drawn from it; else the middle one
measures:
  bust_girth: [80, 84, 88]
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.measures import MEASURES
from booklet.reading.read import Body, Sided, unlikely_measures
from booklet.reading.shape import check_shape
from booklet.reading.sizes_shape import SizesShape
from booklet.reading.yaml_source import Source, read_yaml
from booklet.units import parse_length

SIZES_FILE = "sizes.yaml"
ALL = "all"
MOST_SIZES = 24


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
    collector.raise_if_errors()
    assert shape is not None
    names = tuple(str(n) for n in shape.sizes)
    _check_names(names, source, collector)
    if shape.base is not None and str(shape.base) not in names:
        what = f"base is {shape.base}, which is none of the sizes"
        collector.error("size-unknown", source.where("base"), what, f"Known: {', '.join(names)}.")
    rows = _rows(source, shape.units, len(names), collector)
    collector.raise_if_errors()
    bodies = tuple(_body(n, name, rows, source, shape) for n, name in enumerate(names))
    base = names.index(str(shape.base)) if shape.base is not None else middle(len(names))
    return SizeTable(source.file, bodies, base)


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


def _rows(source: Source, unit: str, count: int, collector: Collector) -> dict[str, list[float]]:
    """Each measure's lengths in mm, one a size."""
    raw: dict[str, list[Any]] = source.data["measures"]
    rows: dict[str, list[float]] = {}
    for name, cells in raw.items():
        here = source.where("measures", name)
        if len(cells) != count:
            what = f"{name} has {len(cells)} {'length' if len(cells) == 1 else 'lengths'} for {count} sizes"
            collector.error("sizes-cells", here, what, "Give one a size.")
            continue
        row = []
        for n, cell in enumerate(cells):
            with collector.catching():
                where = source.where("measures", name, n)
                row.append(parse_length(cell, unit, where=where, name=name, zero=False).mm)
        if len(row) == count:
            rows[name] = row
    return {name: rows[name] for name in MEASURES if name in rows}


def _body(n: int, name: str, rows: dict[str, list[float]], source: Source, shape: SizesShape) -> Body:
    measures: dict[str, float | Sided] = {measure: row[n] for measure, row in rows.items()}
    lines = {measure: source.where("measures", measure, n) for measure in rows}
    problems = unlikely_measures(measures, lines, shape.units, shape.child)
    return Body(name, name, source.file, shape.units, measures, lines, problems, of_table=True)
