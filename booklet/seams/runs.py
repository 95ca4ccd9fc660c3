"""Runs: `front.shoulder`, `sleeve.head[back_notch..front_notch]`, `ring(a, b)`, `chain(a, b)` to parts of copies.

A copy's edge is walked clockwise (as seen on its right side) or against it. Two runs that are sewn together run
against each other, as the border of two neighbouring fields does: so the second is walked the opposite way.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from booklet.model import Copy, Half, Mark, Part, Run, Seam, Side
from booklet.problems import Fault, Where, nearest

Corner = tuple[str, int]  # copy id, number of the ring edge that begins there


@dataclass(frozen=True)
class Element:
    """One name of a run: its piece, edge, wanted side and marks at its two ends."""

    text: str
    piece: str
    edge: str
    side: str | None
    start: str | None
    end: str | None


@dataclass(frozen=True)
class RunText:
    text: str
    elements: tuple[Element, ...]
    closed: bool


class Corners:
    """Which corners of the copies have become one point by the seams sewn so far (union-find)."""

    def __init__(self) -> None:
        self._parent: dict[Corner, Corner] = {}

    def root(self, corner: Corner) -> Corner:
        while corner in self._parent:
            corner = self._parent[corner]
        return corner

    def join(self, a: Corner, b: Corner) -> None:
        ra, rb = self.root(a), self.root(b)
        if ra != rb:
            self._parent[max(ra, rb)] = min(ra, rb)

    def same(self, a: Corner, b: Corner) -> bool:
        return self.root(a) == self.root(b)


@dataclass(frozen=True)
class Found:
    """One edge of one copy that an element may mean."""

    copy: Copy
    half: Half
    element: Element

    @property
    def side(self) -> Side:
        return self.half.side if self.copy.side == "whole" else self.copy.side

    def span(self, where: Where) -> tuple[float, float]:
        """The stretch meant, mm along the edge's path, smaller first."""
        e = self.element
        start, end = self._mark(e.start, where), self._mark(e.end, where)
        if start is None or end is None:
            return 0.0, self.half.edge.length
        return min(start, end), max(start, end)

    def _mark(self, name: str | None, where: Where) -> float | None:
        if name is None:
            return None
        mark = self.half.edge.mark(name)
        if mark is None:
            ring = self.copy.edges
            n = next(k for k, h in enumerate(ring) if h.name == self.half.name)
            if ring[n - 1].base == name:
                return 0.0
            if ring[(n + 1) % len(ring)].base == name:
                return self.half.edge.length
            raise Fault.of(
                "unknown-mark", f"{self.element.piece}.{self.element.edge} has no mark '{name}'", where,
                nearest(name, [m.name for m in self.half.edge.marks]).strip(),
            )  # fmt: skip
        return mark.at


_ELEMENT = re.compile(r"(\w+)\.(\w+)(?:\.(left|right))?(?:\[(\w+)\s*\.\.\s*(\w+)\])?$")


def parse_run(text: object, where: Where) -> RunText:
    words = str(text).strip()
    closed = False
    inner = words
    called = re.fullmatch(r"(ring|chain)\s*\((.*)\)", words)
    if called:
        closed = called.group(1) == "ring"
        inner = called.group(2)
    elements = []
    for part in inner.split(","):
        m = _ELEMENT.match(part.strip())
        if not m:
            raise Fault.of(
                "run", f"'{part.strip()}' is not a run", where,
                "Write piece.edge, piece.edge.left, piece.edge[mark..mark], ring(a, b) or chain(a, b).",
            )  # fmt: skip
        elements.append(Element(part.strip(), *m.groups()))
    return RunText(words, tuple(elements), closed)


def find(element: Element, copies: Iterable[Copy], where: Where) -> list[Found]:
    """The edges of copies that an element may mean: one, or a left and a right one."""
    plies = [c for c in copies if c.host is None]
    mine = [c for c in plies if c.piece.name == element.piece]
    if not mine:
        raise Fault.of(
            "unknown-piece", f"no copy of '{element.piece}' is cut", where,
            nearest(element.piece, dict.fromkeys(c.piece.name for c in plies)).strip(),
        )  # fmt: skip
    first_cloth = mine[0].cloth
    out = [
        Found(c, h, element)
        for c in mine
        if c.cloth == first_cloth
        for h in c.edges
        if h.base == element.edge
    ]
    if not out:
        known = dict.fromkeys(h.base for c in mine for h in c.edges)
        fold = mine[0].piece.fold
        extra = f" {fold} is the fold." if fold == element.edge else ""
        raise Fault.of(
            "unknown-edge", f"{element.piece} has no edge '{element.edge}'", where,
            (nearest(element.edge, known) + extra).strip(),
        )  # fmt: skip
    if element.side is not None:
        out = [f for f in out if f.side == element.side]
        if not out:
            raise Fault.of("no-side", f"{element.piece}.{element.edge} has no {element.side} one", where)
    return out


def instances(
    runs: list[RunText], copies: Iterable[Copy], where: Where
) -> list[tuple[Side, list[list[Found]]]]:
    """For each side that the step is done on: the edges of each run. One instance where nothing is doubled."""
    plies = tuple(copies)
    found = [[find(e, plies, where) for e in run.elements] for run in runs]
    doubled = [opts for run in found for opts in run if len(opts) > 1]
    if not doubled:
        return [(_common_side(found), [[opts[0] for opts in run] for run in found])]
    out: list[tuple[Side, list[list[Found]]]] = []
    sides: tuple[Side, ...] = ("left", "right")
    for side in sides:
        picked: list[list[Found]] = []
        for run in found:
            row = []
            for opts in run:
                match = [f for f in opts if f.side == side] if len(opts) > 1 else opts
                if not match:
                    raise Fault.of("no-side", f"{opts[0].element.text} has no {side} one", where)
                row.append(match[0])
            picked.append(row)
        out.append((side, picked))
    return out


def _common_side(found: list[list[list[Found]]]) -> Side:
    sides = {opts[0].side for run in found for opts in run}
    return next(iter(sides)) if len(sides) == 1 else "whole"


def corner_at(found: Found, clockwise_end: bool) -> Corner:
    """The ring corner at the clockwise start or end of an edge."""
    ring = found.copy.edges
    n = next(k for k, h in enumerate(ring) if h.name == found.half.name)
    at_path_end = clockwise_end == (found.copy.sign > 0)
    return found.copy.id, (n + 1) % len(ring) if at_path_end else n


def _reaches(found: Found, clockwise_end: bool, where: Where) -> bool:
    """Whether a stretch goes to the clockwise start or end of its edge, not only to a mark on it."""
    low, high = found.span(where)
    at_path_end = clockwise_end == (found.copy.sign > 0)
    return high > found.half.edge.length - 0.05 if at_path_end else low < 0.05


def chain_way(elements: list[Found], corners: Corners, where: Where, text: str) -> bool | None:
    """True when the written order runs clockwise, False when against it; None for a single edge.

    Raises Fault where neighbours are not joined (yet).
    """
    if len(elements) == 1:
        return None
    pairs = list(zip(elements, elements[1:], strict=False))

    def meet(a: Found, a_end: bool, b: Found, b_end: bool) -> bool:
        reached = _reaches(a, a_end, where) and _reaches(b, b_end, where)
        return reached and corners.same(corner_at(a, a_end), corner_at(b, b_end))

    if all(meet(a, True, b, False) for a, b in pairs):
        return True
    if all(meet(a, False, b, True) for a, b in pairs):
        return False
    for a, b in pairs:
        touching = any(meet(a, x, b, y) for x in (True, False) for y in (True, False))
        if not touching:
            raise Fault.of(
                "not-joined",
                f"{text}: {a.element.text} and {b.element.text} do not meet: no step before this one joins them there",
                where,
                "Sew the seam between them in an earlier step.",
            )
    raise Fault.of("chain", f"the edges of {text} do not follow each other in one direction", where,
                   "Write them in order round the garment.")  # fmt: skip


def make_run(text: str, elements: list[Found], clockwise: bool, closed: bool, where: Where) -> Run:
    """Parts in written order, each walked clockwise or against it."""
    parts = []
    for f in elements:
        low, high = f.span(where)
        along_path = clockwise == (f.copy.sign > 0)
        parts.append(
            Part(f.copy.id, f.half.name, low, high) if along_path else Part(f.copy.id, f.half.name, high, low)
        )
    return Run(text, tuple(parts), closed)


@dataclass(frozen=True)
class Stop:
    """A match point of a run, by its sewn distance from the run's start."""

    at: float
    name: str
    kind: str  # junction, or the mark's kind


def sewn_length(run: Run, copies: dict[str, Copy]) -> float:
    return sum(_part_sewn(p, copies) for p in run.parts)


def _part_sewn(part: Part, copies: dict[str, Copy]) -> float:
    edge = copies[part.copy].by_name[part.edge].edge
    return edge.sewn(min(part.start, part.end), max(part.start, part.end))


def stops(run: Run, copies: dict[str, Copy]) -> list[Stop]:
    """Junctions and match marks along a run, in order, its two ends left out."""
    out: list[Stop] = []
    before = 0.0
    for n, part in enumerate(run.parts):
        edge = copies[part.copy].by_name[part.edge].edge
        low, high = min(part.start, part.end), max(part.start, part.end)
        size = edge.sewn(low, high)
        marks: list[Mark] = [m for m in edge.marks if m.match and low + 0.05 < m.at < high - 0.05]
        for m in sorted(marks, key=lambda m: m.at, reverse=part.backwards):
            far = edge.sewn(low, m.at)
            out.append(Stop(before + (size - far if part.backwards else far), m.name, m.kind))
        before += size
        if n < len(run.parts) - 1:
            out.append(Stop(before, "seam", "junction"))
    return out


def foot_names(seam: Seam, copies: Mapping[str, Copy]) -> tuple[str, ...]:
    """PIECE.MARK for each mark at which one of a seam's two runs begins or ends."""
    out = []
    for run in (seam.a, *((seam.b,) if seam.b else ())):
        for part, at in ((run.parts[0], run.parts[0].start), (run.parts[-1], run.parts[-1].end)):
            copy = copies[part.copy]
            marks = copy.by_name[part.edge].edge.marks
            out += [f"{copy.piece.name}.{m.name}" for m in marks if abs(m.at - at) < 0.05]
    return tuple(dict.fromkeys(out))
