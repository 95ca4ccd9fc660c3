"""What each step of a recipe does, act by act, to which plies and which stretches of their edges."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from booklet.model import Copy, Run, Seam
from booklet.problems import Where
from booklet.seams.table import RecipeStep, SeamTable
from booklet.seams.uses import ENCLOSED, TWICE

EASED = 12.0  # mm over which a sleeve head is better set in the round (workroom's list, rules 23 and 24)


@dataclass(frozen=True)
class Spot:
    """A stretch of one ply's edge, mm along it. `low_end`, `high_end`: it reaches the edge's own end there."""

    copy: str
    edge: str
    low: float
    high: float
    low_end: bool = False
    high_end: bool = False

    def overlaps(self, other: Spot) -> bool:
        same = (self.copy, self.edge) == (other.copy, other.edge)
        return same and min(self.high, other.high) - max(self.low, other.low) > min(
            1.0, (self.high - self.low) / 2
        )


@dataclass(frozen=True)
class Act:
    """One act of a step. `order` compares: the step's number, then the act's place in it."""

    name: str
    order: tuple[int, int]
    step: str
    where: Where
    words: str  # of the edge or the thing, as the recipe names it
    spots: tuple[Spot, ...] = ()
    copies: tuple[str, ...] = ()
    opening: str = ""
    seam: Seam | None = None


def acts_done(table: SeamTable, copies: tuple[Copy, ...]) -> tuple[Act, ...]:
    """Every act in order."""
    by_id = {c.id: c for c in copies}
    out: list[Act] = []
    of_step: dict[str, tuple[Spot, ...]] = {}
    for n, step in enumerate(table.steps):
        own = _own(step, n, copies)
        seams = table.of_step(step.id)
        for seam in seams:
            spots = (*_spots(seam.a, by_id), *_spots(seam.b, by_id))
            of_step[step.id] = (*of_step.get(step.id, ()), *spots)
            for name in _names(seam, step):
                own.append(_act(name, (n, 0), step, seam.a.text, spots, seam))
        if step.verb == "understitch":
            ref = str(_key(step.spec, "seam"))
            of_step[step.id] = of_step.get(ref, ())
            own.append(_act("understitch", (n, 0), step, ref, of_step[step.id]))
        if step.verb == "face" and (opening := step.raw.get("opening")):
            ref = str(opening.get("is") if isinstance(opening, Mapping) else opening)
            own.append(Act("face opening", (n, 0), step.id, step.where, ref, opening=ref))
        then = step.raw.get("then") or ()
        for k, act in enumerate(then if isinstance(then, list) else ()):
            words = seams[0].a.text if seams else step.id
            own.append(_act(str(act), (n, k + 1), step, words, of_step.get(step.id, ())))
        out += own
    return tuple(out)


def _act(
    name: str,
    order: tuple[int, int],
    step: RecipeStep,
    words: str,
    spots: tuple[Spot, ...],
    seam: Seam | None = None,
) -> Act:
    return Act(
        name, order, step.id, step.where, words, spots, tuple(dict.fromkeys(s.copy for s in spots)), seam=seam
    )


def _names(seam: Seam, step: RecipeStep) -> tuple[str, ...]:
    if seam.kind == "hem":
        return ("double hem",) if seam.neaten in TWICE else ("hem",)
    if step.verb == "tie":
        return (seam.kind, "tube")
    if step.verb in ENCLOSED:
        return ("join", "enclosed join")
    if seam.kind == "join" and seam.treatment == "ease" and abs(seam.difference) > EASED:
        return ("join", "eased join")
    return (seam.kind,)


def _own(step: RecipeStep, n: int, copies: tuple[Copy, ...]) -> list[Act]:
    """The acts that make no seam."""

    def act(name: str, words: str, **more: Any) -> Act:
        return Act(name, (n, 0), step.id, step.where, words, **more)

    if step.verb in ("fuse", "mark"):
        plies = [(k, tuple(c.id for c in copies if c.piece.name == k)) for k in map(str, _listed(step.spec))]
        return [act(step.verb, key, copies=ids) for key, ids in plies]
    if step.verb in ("dart", "pleat"):
        return [act(step.verb, ref, spots=_mouths(ref, copies)) for ref in map(str, _listed(step.spec))]
    if step.verb == "attach":
        ref = str(_key(step.spec, "to"))
        key, _, edge = ref.partition(".")
        found = [
            (c, h)
            for c in copies
            if c.piece.name == key and c.host is None
            for h in c.edges
            if h.base == edge
        ]
        return [act("attach to", ref, spots=tuple(Spot(c.id, h.name, 0.0, h.edge.length) for c, h in found))]
    if step.verb in ("loop", "button"):
        ref = str(_key(step.spec, "at"))
        return [act(step.verb, ref, opening=ref)]
    if step.verb == "try on":
        return [act("try on", str(ref)) for ref in _listed(_key(step.spec, "before") or [])]
    if step.verb == "press":
        return [act("final press", "the whole")]
    return []


def _listed(value: Any) -> list[Any]:
    return value if isinstance(value, list) else [value]


def _key(spec: Any, name: str) -> Any:
    return spec.get(name) if isinstance(spec, Mapping) else spec


def _mouths(ref: str, copies: tuple[Copy, ...]) -> tuple[Spot, ...]:
    """Where a dart or a group of pleats takes up an edge."""
    key, _, name = ref.partition(".")
    out = []
    for copy in (c for c in copies if c.piece.name == key):
        names = {name, *(p.name for p in copy.pleats if p.group == name)}
        out += [
            Spot(copy.id, h.name, t.start, t.end)
            for h in copy.edges
            for t in h.edge.take_ups
            if t.name in names
        ]
    return tuple(out)


def _spots(run: Run | None, copies: Mapping[str, Copy]) -> tuple[Spot, ...]:
    out = []
    for part in run.parts if run else ():
        low, high = sorted((part.start, part.end))
        size = copies[part.copy].by_name[part.edge].edge.length
        out.append(Spot(part.copy, part.edge, low, high, low < 0.05, high > size - 0.05))
    return tuple(out)
