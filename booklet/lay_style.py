"""`booklet lay`: searches longer than `make` does, and keeps the best lays beside the style in lays.yaml.

The seconds go to every kind of lay on the chosen width of each cloth that comes near the shortest, and to the best
kind on its other widths; in open lays of many pieces half of them go to the improver. What is found is judged before it
is kept. The clock decides how far a search comes, so that only what is kept is the same again.
"""

from __future__ import annotations

import os
import re
import signal
import time
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, field, replace
from pathlib import Path

from booklet.cloth.amounts import length_needed
from booklet.cloth.cloths import KINDS, ClothToLay, cloths_to_lay, least_width, too_narrow
from booklet.cloth.decode import RULES
from booklet.cloth.engine import Lay, fits, lay_on, relaid
from booklet.cloth.improve import MANY, available, improved
from booklet.cloth.kept import KeptLay, KeptLays, hash_of, places_of, read_kept, text_of
from booklet.cloth.orient import Made
from booklet.cloth.pieces import CannotLay, ClothGround, LayKind, LayPiece
from booklet.cloth.plan_of import plan_of
from booklet.cloth.search import SEEDS
from booklet.cloth.stage import EVALUATIONS, OTHER_CLOTHS, Laying, OnWidth
from booklet.cloth.working import sold_wide, wide_enough
from booklet.inputs import Inputs
from booklet.language import say
from booklet.model import ClothNeed, LayPlan
from booklet.prepare import Prepared, prepare
from booklet.printing.files import write_beside
from booklet.problems import Collector, Fault, Problem
from booklet.reading.yaml_source import read_yaml
from booklet.units import parse_length, show

FILE = "lays.yaml"
NEAR = 1.15  # kinds whose first lay is this much longer than the shortest are kept as they are
CHOSEN = 3.0  # weight of the chosen width beside the others
RATE = 300.0  # evaluations a second at first
ROUNDS = 8  # of our own search at most, each from one seed more
SHORTER = 1e-3  # mm
AS_FOUND = "placing pass"
ANEW = "It is made anew now."
IMPROVER_SEEDS = 3
LEAST = 3.0  # s a seed of the improver needs to be worth while

Tell = Callable[[float, str], None]  # share done, what is laid just now


def kind_words(kind: str) -> str:
    """A kind of lay as the booklet's buying list calls it: 'folded once'."""
    return say("cm", f"cloth.{kind}")


@dataclass(frozen=True)
class Row:
    """A lay of the table: its plan, and whether it is shorter than the one kept before (None: there was none)."""

    cloth: ClothToLay
    plan: LayPlan
    before_mm: float | None


@dataclass(frozen=True)
class Outcome:
    """What a run came to. `file`: where lays were kept, None if nothing was to be."""

    rows: tuple[Row, ...]
    needs: tuple[ClothNeed, ...]
    file: Path | None
    new: int
    stopped: bool
    problems: tuple[Problem, ...]
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class Remnant:
    """Whether the pieces of the main cloth can be cut from a remnant; all mm. `room_mm` is what a wash leaves of it."""

    cloth: ClothToLay
    length_mm: float
    width_mm: float
    room_mm: float
    fits: bool
    lay: Lay | None
    proved: bool
    told: str


@dataclass
class _Clock:
    """When to stop: at the end of the seconds, or at Ctrl-C."""

    seconds: float
    progress: Tell
    begun: float = field(default_factory=time.monotonic)
    stopped: bool = False
    doing: str = ""
    _told: float = 0.0

    @property
    def left(self) -> float:
        return 0.0 if self.stopped else self.begun + self.seconds - time.monotonic()

    def tell(self, doing: str) -> None:
        self.doing = doing
        share = (time.monotonic() - self.begun) / max(self.seconds, 1e-9)
        self.progress(min(1.0, share), doing)

    def until(self, share: float) -> Callable[[], bool]:
        """A question for the search: are so many seconds over?"""
        end = time.monotonic() + max(0.0, min(share, self.left))

        def over() -> bool:
            now = time.monotonic()
            if now - self._told > 0.1:
                self._told = now
                self.progress(min(1.0, (now - self.begun) / max(self.seconds, 1e-9)), self.doing)
            return self.stopped or now >= end

        return over


@contextmanager
def _until_stopped(clock: _Clock) -> Iterator[None]:
    """Ctrl-C ends the search and keeps what it has; a second one ends the program."""

    def stop(*_: object) -> None:
        clock.stopped = True
        signal.signal(signal.SIGINT, before)

    before = signal.getsignal(signal.SIGINT)
    try:
        signal.signal(signal.SIGINT, stop)
    except ValueError:  # not the main thread: whoever called us looks after signals
        yield
        return
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


# ------------------------------------------------------------------ searching


def lay_style(given: Inputs, seconds: float, progress: Tell, into: Path | None = None) -> Outcome:
    """Searches for so many seconds in all and writes lays.yaml. Raises Fault; Ctrl-C ends the search alone."""
    file = into or given.style.folder / FILE
    _may_write(file)
    style = given.style.sources["style"]
    collector = Collector()
    prepared = _prepared(given, collector)
    before = _already_kept(given, into, collector)
    cloths = cloths_to_lay(style, prepared.copies, prepared.cuts, given.width)
    clock = _Clock(seconds, progress)
    new: list[KeptLay] = []
    rows: list[Row] = []
    notes: list[str] = []
    with _until_stopped(clock):
        layings = [
            Laying(
                c, prepared.cuts, given.shop, given.units, before, collector,
                doing=clock.tell, stop=lambda: clock.stopped, thorough=True,
            )
            for c in cloths
        ]  # fmt: skip
        first = [laying.on_widths(EVALUATIONS if laying.cloth.most else OTHER_CLOTHS) for laying in layings]
        for laying, (chosen, *_) in zip(layings, first, strict=True):
            if not chosen.lays:
                collector.add(too_narrow(laying.cloth, chosen.told, given.shop, given.units))
        collector.raise_if_errors()
        work = _shared(layings, first)
        for n, (laying, on, start, _) in enumerate(work):
            share = clock.left * work[n][3] / max(1e-9, sum(w[3] for w in work[n:]))
            clock.doing = (
                f"{laying.cloth.title}, {sold_wide(on.width, given.units)}, {kind_words(start.kind)}"
            )
            lay, how = _searched(laying, on.ground, start.kind, start, share, clock)
            plan = plan_of(lay, laying.cloth, on.width, given.shop, given.units)
            if laying.judged(plan):
                notes.append(f"A lay of the {clock.doing} was not kept, as the check refuses it.")
                lay, how = start, AS_FOUND
                plan = plan_of(lay, laying.cloth, on.width, given.shop, given.units)
            rows.append(Row(laying.cloth, plan, start.length if start.kind in on.held else None))
            if not laying.judged(plan):
                new.append(_to_keep(lay, how, laying, on, given, prepared.options))
    # One that cannot be cut as it stands would else keep its place for being short.
    refused = {p.where for p in collector.problems if p.code == "kept-lay"}
    kept = KeptLays(tuple(k for k in before.lays if k.where not in refused))
    merged = kept.with_lays(new)
    changed = sum(k not in before.lays for k in merged.lays)
    if changed or refused or into is not None:
        write_beside(file, text_of(merged).encode())
    final = [Laying(c, prepared.cuts, given.shop, given.units, merged, Collector()) for c in cloths]
    needs = tuple(laying.need(0) for laying in final)
    if clock.stopped:
        notes.append("Stopped before the time was over; the best so far is kept.")
    if not available() and any(len(row.plan.placings) >= MANY for row in rows):
        notes.append("With the solver spyrrow (pip install 'booklet[lay]') open lays may become shorter.")
    problems = tuple(
        replace(p, mend=ANEW) if p.code == "kept-lay" else p
        for p in collector.problems
        if p.severity == "warning"
    )
    return Outcome(
        _in_order(rows, needs), needs, file, changed, clock.stopped, problems, tuple(dict.fromkeys(notes))
    )


def _in_order(rows: Sequence[Row], needs: Sequence[ClothNeed]) -> tuple[Row, ...]:
    """The rows as the booklet shows their lays: cloth by cloth, of each width the recommended one first."""
    shown = [(need.key, plan.width_mm, plan.kind) for need in needs for plan in need.lays]
    first = {(need.key, plan.width_mm, plan.kind) for need in needs for plan in need.lays if plan.recommended}
    cloths = [need.key for need in needs]

    def place(row: Row) -> tuple[int, int, int, float]:
        slot = (row.plan.cloth, row.plan.width_mm, row.plan.kind)
        width = row.cloth.widths.index(row.plan.width_mm)
        rank = shown.index(slot) if slot in shown else len(shown)
        return (cloths.index(row.plan.cloth), width, rank, row.plan.length_mm)

    return tuple(
        replace(
            row,
            plan=replace(row.plan, recommended=(row.plan.cloth, row.plan.width_mm, row.plan.kind) in first),
        )
        for row in sorted(rows, key=place)
    )


def _prepared(given: Inputs, collector: Collector) -> Prepared:
    """The cut pieces. Raises Fault with everything found if there is an error."""
    collector.add(*given.body.problems)
    found = prepare(given.style, given.body, given.options, given.units, given.shop, collector)
    collector.raise_if_errors()
    return found


def _already_kept(given: Inputs, into: Path | None, collector: Collector) -> KeptLays:
    """What the style keeps, and what the file that is written to keeps already."""
    kept = read_kept(given.style.sources.get("lays"), collector)
    if into is not None and into.exists():
        kept = kept.with_lays(read_kept(read_yaml(into), collector).lays)
    return kept


def _may_write(file: Path) -> None:
    """Before the search, not after it. Raises Fault."""
    if not file.parent.is_dir() or not os.access(file.parent, os.W_OK):
        raise Fault.of(
            "cannot-write",
            f"{file} cannot be written",
            None,
            "Name another file with --into, and copy it into the style's folder later.",
        )


_Work = tuple[Laying, OnWidth, Lay, float]


def _shared(layings: Sequence[Laying], first: Sequence[Sequence[OnWidth]]) -> list[_Work]:
    """What is searched, each with its weight: 0 where nothing is to be gained."""
    out: list[_Work] = []
    for laying, widths in zip(layings, first, strict=True):
        for n, on in enumerate(widths):
            if not on.lays:
                continue
            shortest = min(lay.length for lay in on.lays)
            best = laying.best(on).kind
            for lay in on.lays:
                if n and lay.kind != best:
                    continue  # of other widths the booklet shows the best alone
                many = float(len(lay.placements)) * (CHOSEN if n == 0 else 1.0)
                idle = lay.proved or lay.length > NEAR * shortest
                out.append((laying, on, lay, 0.0 if idle else many))
    return out


def _searched(
    laying: Laying, ground: ClothGround, kind: LayKind, start: Lay, share: float, clock: _Clock
) -> tuple[Lay, str]:
    """The shortest of `start` and the lays of a kind found within a share of the seconds, and how it was found."""
    pieces, best, how = laying.cloth.pieces, start, AS_FOUND
    end = time.monotonic() + min(share, clock.left)
    many = sum(p.count for p in pieces) >= MANY
    helped = kind == "open" and many and available() and not ground.along  # the improver knows no repeat
    over = clock.until(share / 2 if helped else share)
    rate = RATE
    for seeds in range(SEEDS, SEEDS + ROUNDS):
        if over() or best.proved:
            break
        begun = time.monotonic()
        left = (end - begun) / (2 if helped else 1)
        evaluations = EVALUATIONS if seeds == SEEDS else max(EVALUATIONS, int(rate * left))
        try:
            found = lay_on(pieces, kind, ground, evaluations, seeds, over, laying.made)
        except CannotLay:
            return best, how
        rate = found.evaluations / max(1e-3, time.monotonic() - begun)
        if found.length < best.length - SHORTER:
            best, how = found, f"own search, {share:.0f} s"
    left = min(end - time.monotonic(), clock.left)
    if helped and left >= LEAST and not best.proved:
        seeds = max(1, min(IMPROVER_SEEDS, int(left / LEAST)))
        held = tuple(replace(p, nap=True) for p in pieces) if ground.one_way else pieces
        better = improved(
            held,
            ground.width,
            seconds=left,
            gap=ground.gap,
            seeds=range(1, seeds + 1),
            workers=os.cpu_count() or 1,
            start=best if best.kind == kind else None,
            stop=clock.until(left + LEAST),
        ).lay
        if better is not None and better.length < best.length - SHORTER:
            best, how = _with_order(better, pieces, ground, laying.made), f"spyrrow, {left:.0f} s"
    return best, how


def _with_order(lay: Lay, pieces: Sequence[LayPiece], ground: ClothGround, made: Made) -> Lay:
    """The improver's lay with the placing rule that comes nearest to it, for other bodies."""
    tried = []
    for rule in RULES:
        genes = tuple((item, way, rule) for item, way, _ in lay.genes)
        again = relaid(pieces, ground, lay.recipe, genes, made) if lay.recipe else None
        if again is not None:
            tried.append((again.length, genes))
    return replace(lay, genes=min(tried)[1]) if tried else replace(lay, genes=())


def _to_keep(
    lay: Lay, how: str, laying: Laying, on: OnWidth, given: Inputs, options: Mapping[str, str]
) -> KeptLay:
    cloth = laying.cloth
    assert lay.recipe is not None
    return KeptLay(
        cloth=cloth.key,
        width=on.width,
        kind=lay.kind,
        body=given.body.code or given.body.name,
        options=tuple(options.items()),
        laid=hash_of(cloth.pieces, on.ground, lay.kind),
        how=how,
        length=lay.length,
        bound=lay.bound,
        proved=lay.proved,
        recipe=lay.recipe,
        sections=lay.sections,
        places=places_of(lay, cloth.pieces),
    )


# ------------------------------------------------------------------ a remnant


def parse_remnant(text: str, unit: str) -> tuple[float, float]:
    """'140x60' or '1.2 m x 60 cm' as (length, width) in mm. Raises Fault."""
    parts = re.split(r"\s*[x×]\s*", text.strip())
    if len(parts) != 2 or not all(parts):
        raise Fault.of(
            "usage", f"--remnant is '{text}'", None, "Write it as LENGTHxWIDTH, such as 120cm x 90cm."
        )
    length, width = (parse_length(part, unit, name="--remnant", zero=False).mm for part in parts)
    return length, width


def lay_remnant(given: Inputs, text: str, seconds: float, progress: Tell) -> Remnant:
    """Whether the main cloth's pieces fit on a remnant, its length along the grain and its width without selvedges."""
    length, width = parse_remnant(text, given.units)
    prepared = _prepared(given, Collector())
    cloth = next(
        c for c in cloths_to_lay(given.style.sources["style"], prepared.copies, prepared.cuts) if c.most
    )
    shop = given.shop
    along, _ = cloth.repeat  # the remnant may be cut off anywhere in it
    room = length / length_needed(1.0, cloth.shrinkage) - shop.squaring - along
    ground = ClothGround(width, shop.gap, cloth.nap, *cloth.repeat)
    clock = _Clock(seconds, progress, doing=f"{cloth.title}, remnant")
    with _until_stopped(clock):
        kept = read_kept(given.style.sources.get("lays"), Collector())
        laying = Laying(cloth, prepared.cuts, shop, given.units, kept, Collector())
        known, proved = laying.kept_on(ground), False
        if all(lay.length > room for lay in known):
            fit = fits(cloth.pieces, ground, room)
            known, proved = known + ([] if fit.lay is None else [fit.lay]), fit.proved
        best = min(known, key=lambda lay: lay.length, default=None)
        if best is not None and best.length > room and not proved:
            for kind in KINDS:
                if best.length > room and clock.left > 0:
                    best, _ = _searched(laying, ground, kind, best, clock.left / 2, clock)
    holds = best is not None and best.length <= room
    least = least_width(cloth, shop)
    left = show(room, given.units)
    if best is None:
        under = "" if least is None else f" under {wide_enough(least - 2 * shop.selvedge, given.units)}"
        told = f"The {cloth.title} does not fit on this remnant: it is too narrow{under}."
    elif holds:
        told = (
            f"The {cloth.title} fits on this remnant ({kind_words(best.kind)}): it takes "
            f"{show(best.length, given.units)} of the {left} that washing and squaring leave."
        )
    elif proved:
        told = (
            f"The {cloth.title} does not fit on this remnant: washing and squaring leave "
            f"{left} of it, and no lay is that short."
        )
    else:
        told = (
            f"No lay of the {cloth.title} was found that fits on this remnant: the shortest takes "
            f"{show(best.length, given.units)}, and washing and squaring leave {left}."
        )
    return Remnant(cloth, length, width, room, holds, best, proved, told)
