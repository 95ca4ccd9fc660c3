"""The drafting table: values, points and lines worked out when asked for, each once, in any order of the file.

A name that leads back to itself is reported with its whole circle. A thing that failed keeps its Fault, so that all
who ask for it tell of the same problem.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from functools import lru_cache
from typing import Any

from booklet.drafting.lines import draw_line
from booklet.drafting.numeric import Unbracketed, find_root
from booklet.drafting.points import Asking, find_point
from booklet.formula import Amount, Formula, parse_condition, parse_equation, parse_formula
from booklet.model import Side
from booklet.paths import Path
from booklet.problems import Fault, Where, nearest
from booklet.reading.construction_shape import Line, Point
from booklet.reading.yaml_source import Source

_STRAIGHT = re.compile(r"straight\(([^,]*),([^,]*)\)")


@lru_cache(maxsize=4096)
def _formula(text: str | float, unit: str, where: Where) -> Formula:
    return parse_formula(text, unit, where)


@dataclass
class Table:
    """One size of one style on the table.

    `measures` are the body's, in mm, with the style's rules filled in; `options` the choices made; `fixed` holds trial
    values while an equation is solved. `shape_length` answers `length of` for pieces, by the pieces' maker.
    """

    source: Source
    measures: Mapping[str, float]
    options: Mapping[str, str]
    booklet_unit: str = "cm"
    fixed: Mapping[str, float] = field(default_factory=dict)
    shape_length: Callable[[Table, str], float | None] | None = None
    piece_edge: Callable[[str, str, Where | None], Path] | None = None  # the net edge of a piece
    sides: Mapping[Side, Table] = field(
        default_factory=dict
    )  # a body whose left and right differ: a table each
    _known: dict[tuple[str, ...], Any] = field(default_factory=dict)
    _busy: list[tuple[str, ...]] = field(default_factory=list)

    # ------------------------------------------------ ground

    def of_side(self, side: Side) -> Table:
        """The table of the wearer's left or right; this one where the two are alike."""
        return self.sides.get(side, self)

    @property
    def data(self) -> Mapping[str, Any]:
        return self.source.data

    @property
    def unit(self) -> str:
        return str(self.data.get("units", "cm"))

    def where(self, *path: str | int) -> Where:
        return self.source.where(*path)

    def once(self, key: tuple[str, ...], make: Callable[[], Any]) -> Any:
        """The thing of that name, made on first asking. A circle of names is a Fault that tells it."""
        if key in self._known:
            kept = self._known[key]
            if isinstance(kept, Fault):
                raise kept
            return kept
        if key in self._busy:
            circle = [*self._busy[self._busy.index(key) :], key]
            told = " needs ".join(".".join(k[1:]) for k in circle)
            raise Fault.of(
                "cycle", f"{told}: none of them can be worked out first", self.where(*_path(key)),
                "Give one of them a length that does not depend on the others.",
            )  # fmt: skip
        self._busy.append(key)
        try:
            made = make()
        except Fault as fault:
            self._known[key] = fault
            raise
        finally:
            self._busy.pop()
        self._known[key] = made
        return made

    def trial(self, name: str, value: float) -> Table:
        """The same table with one value fixed, for solving."""
        return Table(
            self.source, self.measures, self.options, self.booklet_unit, {**self.fixed, name: value}, self.shape_length,
            self.piece_edge,
        )  # fmt: skip

    # ------------------------------------------------ formulas

    def applies(self, when: Any, where: Where) -> bool:
        if when is None:
            return True
        return parse_condition(when, self.unit, where).holds(self.value, self.length_of, self.options)

    def amount(self, raw: Any, *path: str | int, kind: Any = "length") -> float:
        """A length (mm), ratio or count from a formula, a pair of units, or {is:, when:, else:}."""
        where = self.where(*path)
        if isinstance(raw, Mapping) and "is" in raw:
            chosen = "is" if self.applies(raw.get("when"), where) else "else"
            return self.amount(raw.get(chosen, 0), *path, chosen, kind=kind)
        if isinstance(raw, Mapping):
            formula = parse_formula(raw, self.unit, where, booklet_unit=self.booklet_unit)
        else:
            formula = _formula(raw, self.unit, where)
        return formula.evaluate(self.value, self.length_of, kind)

    def value(self, name: str) -> float | Amount:
        if name in self.fixed:
            return self.fixed[name]
        if name in self.data.get("values", {}):
            return self.once(("values", name), lambda: self._value(name))
        if name in self.measures:
            return self.measures[name]
        raise Fault.of(
            "unknown-value", f"'{name}' is neither a value of this draft nor a measure of the body", None,
            nearest(name, [*self.data.get("values", {}), *self.measures]).strip(),
        )  # fmt: skip

    def _value(self, name: str) -> float | Amount:
        raw = self.data["values"][name]
        where = self.where("values", name)
        kind: Any = raw.get("kind", "length") if isinstance(raw, Mapping) else "length"
        if isinstance(raw, Mapping) and "solve" in raw:
            if not self.applies(raw.get("when"), where):
                return self.amount(raw.get("else", 0), "values", name, "else")
            return self._solve(name, raw, where)
        try:
            worked = self.amount(raw, "values", name, kind=kind)
        except Fault as fault:
            raise fault.at(where) from None
        return worked if kind == "length" else Amount.of_kind(worked, kind)

    def _solve(self, name: str, raw: Mapping[str, Any], where: Where) -> float:
        left, right = parse_equation(raw["solve"], self.unit, where)
        low, high = (self.amount(b, "values", name, "between", n) for n, b in enumerate(raw["between"]))

        def gap(x: float) -> float:
            table = self.trial(name, x)
            a = left.evaluate(table.value, table.length_of)
            return a - right.evaluate(table.value, table.length_of)

        try:
            return find_root(gap, low, high, 1e-4)
        except Unbracketed as no:
            raise Fault.of(
                "unsolved",
                f"no {name} between {low:.1f} and {high:.1f} mm makes {raw['solve']}: the two sides differ by "
                f"{no.at_low:.1f} mm at the one and by {no.at_high:.1f} mm at the other",
                where,
                "Widen the bounds, or change what the equation asks.",
            ) from None

    # ------------------------------------------------ lengths of lines and edges

    def length_of(self, run: str) -> float:
        """Length of a dotted edge or line, a ring(...) or a chain(...), sewn, or of straight(point, point), in mm."""
        called = _STRAIGHT.fullmatch(run.strip())
        if called:
            a, b = (self.point(part.strip()) for part in called.groups())
            return abs(b - a)
        if self.shape_length is not None:
            found = self.shape_length(self, run)
            if found is not None:
                return found
        return self.line(*self._dotted(run, None)).length

    def _dotted(self, text: str, group: str | None) -> tuple[str, str]:
        parts = text.split(".")
        if len(parts) == 1 and group is not None:
            return group, parts[0]
        if len(parts) != 2:
            raise Fault.of("name", f"'{text}' is not a name such as back.neckline", None)
        return parts[0], parts[1]

    # ------------------------------------------------ points

    def group(self, name: str, where: Where | None) -> Mapping[str, Any]:
        groups = self.data.get("construction") or {}
        if name not in groups:
            raise Fault.of(
                "unknown-construction",
                f"there is no construction '{name}'",
                where,
                nearest(name, groups).strip(),
            )
        return groups[name]

    def has_line(self, group: str, name: str) -> bool:
        return name in ((self.data.get("construction") or {}).get(group) or {}).get("lines", {})

    def has_point(self, group: str, name: str) -> bool:
        return name in ((self.data.get("construction") or {}).get(group) or {}).get("points", {})

    def point(self, ref: str, group: str | None = None, asked: Where | None = None) -> complex:
        g, name = self._dotted(ref, group)
        points = self.group(g, asked).get("points", {})
        if name not in points:
            raise Fault.of(
                "unknown-point", f"there is no point '{name}' in {g}", asked, nearest(name, points).strip()
            )
        return self.once(("construction", g, "points", name), lambda: self._point(g, name))

    def _point(self, group: str, name: str) -> complex:
        path = ("construction", group, "points", name)
        raw = self._words(path, Point.keys())
        try:
            return find_point(Asking(self, group, raw, path))
        except Fault as fault:
            raise fault.at(self.where(*path)) from None

    # ------------------------------------------------ lines

    def line(self, group: str, name: str, asked: Where | None = None) -> Path:
        lines = self.group(group, asked).get("lines", {})
        if name not in lines:
            raise Fault.of(
                "unknown-line", f"there is no line '{name}' in {group}", asked, nearest(name, lines).strip()
            )
        return self.once(("construction", group, "lines", name), lambda: self._line(group, name))

    def _line(self, group: str, name: str) -> Path:
        path = ("construction", group, "lines", name)
        raw = self._words(path, Line.keys())
        try:
            return draw_line(Asking(self, group, raw, path))
        except Fault as fault:
            raise fault.at(self.where(*path)) from None

    def any_line(self, ref: str, group: str | None, asked: Where | None) -> Path:
        """A line of the construction, or else the net edge of a piece such as `back.armhole`."""
        g, name = self._dotted(ref, group)
        if (
            not self.has_line(g, name)
            and self.piece_edge is not None
            and g in (self.data.get("pieces") or {})
        ):
            return self.piece_edge(g, name, asked)
        return self.line(g, name, asked)

    def _words(self, path: tuple[str, ...], known: tuple[str, ...]) -> Mapping[str, Any]:
        """What stands at a place, known to be a mapping with known keys."""
        _, group, kind, name = path
        raw = self.data["construction"][group][kind][name] or {}
        what, where = f"{kind.removesuffix('s')} {group}.{name}", self.where(*path)
        if not isinstance(raw, Mapping):
            raise Fault.of("shape", f"{what} is not written as {{...}}", where, f"Known: {', '.join(known)}.")
        for key in raw:
            if key not in known:
                raise Fault.of("unknown-key", f"{what} has '{key}'", where, nearest(str(key), known).strip())
        return raw


def _path(key: tuple[str, ...]) -> tuple[str, ...]:
    return key
