"""What every operation is given, and what it gives back: facts in millimetres, stitching, effort.

Facts hold names and raw numbers only; templates put them into sentences, and pictures may take the same numbers.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from booklet.drafting.table import Table
from booklet.formula import parse_formula
from booklet.language import OWN, Tongue, tongue_for
from booklet.model import Copy, Half, Mark, Part, Run, Seam, Side
from booklet.reading.shop import Shop
from booklet.seams.compare import Drawn
from booklet.seams.table import RecipeStep

Facts = dict[str, Any]
Speed = Literal["straight", "curved", "gathered", "neatening", "hand"]

# ISO 4915, stitch types by number.
LOCKSTITCH, OVEREDGE, ZIGZAG, HAND = 301, 504, 304, 209
# ISO 4916, classes of seams by number.
SUPERIMPOSED, LAPPED, BOUND, FLAT, ORNAMENTAL, EDGE_FINISH, APPLIED, SINGLE_PLY = range(1, 9)

JOINING = ("join", "face", "band")  # kinds of seam that hold two runs together


@dataclass(frozen=True)
class Stitching:
    """A kind of stitching in one step: its whole length and the number of separate rows, whose thread ends hang out."""

    stitch: int
    mm: float
    what: str
    seam_class: int
    rows: int = 1
    speed: Speed = "straight"

    @property
    def metres(self) -> float:
        return self.mm / 1000


@dataclass(frozen=True)
class Effort:
    """What a step takes besides its stitching: handlings, pinned sections, acts, pressing (mm)."""

    handlings: int
    matches: int = 0
    acts: tuple[str, ...] = ()
    iron: float = 0.0


@dataclass(frozen=True)
class Context:
    """One step of the recipe with what was sewn before it and what comes after."""

    step: RecipeStep
    seams: tuple[Seam, ...]
    earlier: tuple[Seam, ...]
    later: tuple[Seam, ...]
    steps: tuple[RecipeStep, ...]
    copies: Mapping[str, Copy]
    drawn: tuple[Drawn, ...]
    draft: Table
    shop: Shop
    cloths: Mapping[str, str]  # titles by key
    tongue: Tongue = field(default_factory=lambda: tongue_for(OWN))

    # ------------------------------------------------ the recipe

    @property
    def spec(self) -> Any:
        return self.step.spec

    @property
    def acts(self) -> tuple[str, ...]:
        return tuple(str(a) for a in self.step.raw.get("then") or ())

    def length(self, raw: Any) -> float:
        """A length of the recipe in mm."""
        return parse_formula(raw, self.draft.unit, self.step.where).evaluate(
            self.draft.value, self.draft.length_of
        )

    def cloth(self, key: str) -> str:
        plain = self.tongue.said(key.replace("_", " "))
        named = plain if key in ("interfacing", "lining") else self.tongue.put("cloth", words=plain)
        return self.cloths.get(key, named)

    def each_side(self) -> tuple[Context, ...]:
        """The step as done on the right and on the left, where the body's sides differ and it is done on both."""
        if not self.draft.sides:
            return ()
        sides: set[Side] = {s.side for s in self.seams}
        if self.step.verb == "dart":
            named = {str(n) for n in (self.spec if isinstance(self.spec, list) else [self.spec])}
            held = [
                (c, d) for c in self.copies.values() for d in c.darts if f"{c.piece.name}.{d.name}" in named
            ]
            sides = {d.side if d.side != "whole" else c.side for c, d in held}
        if sides != {"left", "right"}:
            return ()
        return tuple(self._of_side(side) for side in ("right", "left"))

    def _of_side(self, side: Side) -> Context:
        copies = {
            i: replace(c, darts=tuple(d for d in c.darts if side in (c.side, d.side)))
            for i, c in self.copies.items()
        }
        mine = tuple(s for s in self.seams if s.side == side)
        return replace(self, seams=mine, copies=copies, draft=self.draft.of_side(side))

    # ------------------------------------------------ seams

    def groups(self, *kinds: str) -> tuple[tuple[Seam, ...], ...]:
        """The step's seams of these kinds; those that differ only in the wearer's side stand together."""
        out: dict[tuple[str, str, str], list[Seam]] = {}
        for s in self.seams:
            if s.kind in kinds:
                out.setdefault((s.kind, s.a.text, s.b.text if s.b else ""), []).append(s)
        return tuple(tuple(group) for group in out.values())

    def group(self, *kinds: str) -> tuple[Seam, ...]:
        """The first of `groups`."""
        return self.groups(*kinds)[0]

    def of_step(self, step: str) -> tuple[Seam, ...]:
        return tuple(s for s in (*self.earlier, *self.seams, *self.later) if s.step == step)

    # ------------------------------------------------ copies and edges

    def half(self, part: Part) -> Half:
        return self.copies[part.copy].by_name[part.edge]

    def run_copies(self, run: Run | None) -> tuple[Copy, ...]:
        return tuple(self.copies[i] for i in dict.fromkeys(p.copy for p in (run.parts if run else ())))

    def plies(self, piece: str) -> tuple[Copy, ...]:
        """The cut plies of a piece, those fused to another left out."""
        return tuple(c for c in self.copies.values() if c.piece.name == piece and c.host is None)

    def fused_to(self, copy: Copy) -> tuple[Copy, ...]:
        return tuple(c for c in self.copies.values() if c.host == copy.id)

    def whole_edge(self, part: Part) -> bool:
        return abs(abs(part.end - part.start) - self.half(part).edge.length) < 0.05

    def mark_at(self, part: Part, at_start: bool) -> Mark | None:
        """The mark on which a part begins or ends, where that is not the edge's own end."""
        at = part.start if at_start else part.end
        return next((m for m in self.half(part).edge.marks if abs(m.at - at) < 0.05), None)

    def beyond(self, part: Part, at_start: bool) -> Half:
        """The neighbouring edge round the corner at which a part begins or ends."""
        ring = self.copies[part.copy].edges
        n = next(k for k, h in enumerate(ring) if h.name == part.edge)
        at_path_start = at_start != part.backwards
        return ring[n - 1] if at_path_start else ring[(n + 1) % len(ring)]

    def connected(self, copies: tuple[Copy, ...]) -> frozenset[str]:
        """Ids of all copies that hang together with these by the seams sewn before."""
        found = {c.id for c in copies}
        grown = True
        while grown:
            grown = False
            for s in self.earlier:
                if s.kind not in JOINING or s.b is None:
                    continue
                ids = {p.copy for p in (*s.a.parts, *s.b.parts)}
                if ids & found and not ids <= found:
                    found |= ids
                    grown = True
        return frozenset(found)

    def neatened(self, *runs: Run | None) -> bool:
        """Whether an earlier step of its own has neatened all of these edges."""
        return all(
            self.treated(p.copy, p.edge, self.earlier, "finish") is not None
            for run in runs
            if run is not None
            for p in run.parts
        )

    def treated(self, copy: str, edge: str, seams: tuple[Seam, ...], *kinds: str) -> Seam | None:
        """The first of these seams, of these kinds, that has to do with an edge."""
        for s in seams:
            if s.kind in kinds and any(
                (p.copy, p.edge) == (copy, edge) for p in (*s.a.parts, *(s.b.parts if s.b else ()))
            ):
                return s
        return None


def sewn_length(seam: Seam) -> float:
    """What the needle runs along: of two unlike lengths the shorter, since the longer is drawn up to it."""
    if seam.b_mm is None:
        return seam.a_mm
    return min(seam.a_mm, seam.b_mm) if seam.treatment in ("gathers", "ease") else seam.a_mm


def is_ring(run: Run) -> bool:
    """Whether a run comes back to its beginning, so that it is sewn all round."""
    return run.closed and (run.text.startswith("ring") or len(run.parts) == 1)


@dataclass(frozen=True)
class Operation:
    """One verb. `template` names its words; the functions never raise for a step that the seam table has taken in."""

    verb: str
    facts: Callable[[Context], Facts]
    stitching: Callable[[Context], tuple[Stitching, ...]]
    effort: Callable[[Context], Effort]
    touches_cloth: bool = True

    @property
    def template(self) -> str:
        return self.verb.replace(" ", "_") + ".j2"


def no_stitching(_: Context) -> tuple[Stitching, ...]:
    return ()
