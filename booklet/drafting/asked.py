"""One thing that a draft asks for (a way, a verb, a detail of a piece): its words, its place in the file, the table."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from booklet.drafting.places import begins_at, crossing, drawn_at, edge_of, mark_of
from booklet.drafting.shape import Run, Shape
from booklet.drafting.table import Table
from booklet.problems import Fault, Where

if TYPE_CHECKING:
    from booklet.drafting.maker import PieceMaker


@dataclass(frozen=True)
class Asked:
    """`spec` is what stands at `path` of draft.yaml, checked in its shape; `key` is the piece being made."""

    maker: PieceMaker
    key: str
    spec: Any
    path: tuple[str | int, ...]

    @property
    def table(self) -> Table:
        return self.maker.table

    @property
    def where(self) -> Where:
        return self.table.where(*self.path)

    def within(self, *keys: str | int) -> Asked:
        """The part of the spec under some keys."""
        spec = self.spec
        for key in keys:
            spec = spec[key]
        return replace(self, spec=spec, path=(*self.path, *keys))

    def has(self, key: str) -> bool:
        return isinstance(self.spec, Mapping) and self.spec.get(key) is not None

    def words(self, key: str, default: str = "") -> str:
        return str(self.spec[key]) if self.has(key) else default

    def listed(self, key: str) -> list[str]:
        """One name or a list of names, as a list."""
        value = self.spec.get(key)
        return [] if value is None else [str(v) for v in (value if isinstance(value, list) else [value])]

    def amount(self, *keys: str | int, default: float | None = None, kind: str = "length") -> float:
        """A formula under some keys worked out: mm, or a plain number for another kind. Without one, `default`."""
        if default is not None and keys and not self._holds(keys):
            return default
        part = self.within(*keys)
        return self.table.amount(part.spec, *part.path, kind=kind)

    def _holds(self, keys: tuple[str | int, ...]) -> bool:
        spec = self.spec
        for key in keys:
            if isinstance(spec, Mapping) and spec.get(key) is not None:
                spec = spec[key]
            else:
                return False
        return True

    def applies(self) -> bool:
        """Whether the spec's own `when:` holds for the options made."""
        when = self.spec.get("when") if isinstance(self.spec, Mapping) else None
        return when is None or self.table.applies(when, self.where)

    def fault(self, code: str, what: str, mend: str = "") -> Fault:
        return Fault.of(code, what, self.where, mend)

    # ------------------------------------------------ edges

    def run(self, shape: Shape, edge: str, what: str = "") -> Run:
        return edge_of(shape, edge, what or self.key, self.where)

    def begins(self, shape: Shape, run: Run, start: str, what: str = "") -> bool:
        return begins_at(shape, run, start, what or self.key, self.where)

    def along(self, shape: Shape, run: Run, what: str = "") -> float:
        """The place on an edge that `from:` and `at:`, `where:` (a line across) or `mark:` name, mm from its start."""
        what = what or self.key
        if self.has("where"):
            return crossing(shape, run, self.words("where"), what, self.where)
        if self.has("mark"):
            return mark_of(run, self.words("mark"), what, self.where)
        far = self.amount("at")
        if not 0 < far < run.sewn:
            raise self.fault(
                "place",
                f"{what} lies at {far:.1f} mm on {self.key}.{run.name}, which is {run.sewn:.1f} mm long",
                "Set it within the edge.",
            )
        begins = self.begins(shape, run, self.words("from"), what)
        return drawn_at(run, far if begins else run.sewn - far)

    def other(self, name: str) -> Shape:
        """Another piece of the draft, in its named state."""
        return self.maker.shape(name, self.where)

    def edge(self, name: str) -> tuple[Shape, Run]:
        """An edge of another piece, such as back.armhole."""
        piece, _, edge = name.partition(".")
        if not edge:
            raise self.fault("name", f"'{name}' is not an edge such as back.armhole")
        shape = self.other(piece)
        edge = edge if shape.has(edge) else edge.split(".")[0]
        return shape, edge_of(shape, edge, piece, self.where)
