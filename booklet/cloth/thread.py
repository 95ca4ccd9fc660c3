"""Thread: the rows of all steps shared out to the threads that the style lists, and the spools that each takes.

Thread of a row = its length x the ratio of its stitch type (ISO 4915), with waste, and a tail for the two ends of each
row. The shop's ratio holds for the stitch that a thread is named for; other types take the table's.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from booklet.cloth.amounts import STITCH_TYPES, spools
from booklet.cloth.working import Units, long_run, plural
from booklet.model import Notion, Working
from booklet.reading.shop import Shop
from booklet.sewing.operations import Stitching
from booklet.sewing.words import StepWords
from booklet.units import MM_PER, NBSP

SHOWS = (
    "topstitching",
    "edgestitching",
    "buttonholes",
    "bar tacks",
    "dividing rows",
)  # seen on the right side
PATHS = (
    "buttonholes",
)  # their length is the needle's own path over close stitches, each of which takes a lockstitch's thread
RULE = "length × ratio of the ISO 4915 stitch type × (1 + waste), and a tail for each row's two ends"


@dataclass(frozen=True)
class Sewn:
    """All rows of one stitch type that one thread sews: metres of seam, number of rows, metres of thread in a metre."""

    stitch: int
    called: str
    metres: float
    rows: int
    ratio: float


def thread_of(row: Stitching, kinds: Sequence[str], shop: Shop) -> str:
    """Which of the threads listed sews a row: neatening, topstitching where that is listed, else sewing."""
    if row.stitch == shop.thread["neatening"].stitch:
        return "neatening"
    return "topstitching" if "topstitching" in kinds and row.what in SHOWS else "sewing"


def sewn_with(kind: str, words: Iterable[StepWords], kinds: Sequence[str], shop: Shop) -> tuple[Sewn, ...]:
    """What one thread sews, by stitch type in order of their numbers, the shop's own type first."""
    use = shop.thread["neatening" if kind == "neatening" else "sewing"]
    found: dict[int, list[Stitching]] = {}
    for step in words:
        for row in step.stitching:
            if thread_of(row, kinds, shop) == kind:
                found.setdefault(use.stitch if row.what in PATHS else row.stitch, []).append(row)
    out = []
    for stitch in sorted(found, key=lambda n: (n != use.stitch, n)):
        known = STITCH_TYPES.get(str(stitch))
        own = stitch == use.stitch or known is None
        out.append(
            Sewn(
                stitch,
                use.called if own else known.title,  # type: ignore[union-attr]
                sum(r.mm for r in found[stitch]) / 1000,
                sum(r.rows for r in found[stitch]),
                use.ratio if own else known.ratio,  # type: ignore[union-attr]
            )
        )
    return tuple(out)


def thread_metres_of(rows: Sequence[Sewn], waste: float, tail: float) -> float:
    """Metres of thread; `tail` metres for the two ends of each row, on which nothing is wasted."""
    return sum(r.metres * r.ratio for r in rows) * (1 + waste) + sum(r.rows for r in rows) * tail


def thread_notion(
    kind: str, words: Iterable[StepWords], kinds: Sequence[str], shop: Shop, units: Units, colour: str = ""
) -> Notion:
    """One thread of the list. `kinds` are all threads listed, `colour` what it is to match, in words."""
    rows = sewn_with(kind, words, kinds, shop)
    use = shop.thread["neatening" if kind == "neatening" else "sewing"]
    tail = shop.tails / 1000
    metres = thread_metres_of(rows, use.waste, tail)
    count, size = spools(metres, shop.spools_m)
    ends = sum(r.rows for r in rows)
    parts = [f"{r.called} {r.stitch}: {long_run(r.metres, units)} × {r.ratio:g}" for r in rows]
    product = parts[0] if len(parts) == 1 else f"({' + '.join(parts)})"
    on_spool = _spool(size, units)
    line = (
        f"{product} × {1 + use.waste:.2f} + {ends} × {long_run(tail, units, 2)} = {long_run(metres, units)} "
        f"→ {plural(count, 'spool')} of {on_spool}"
        if rows
        else "nothing is sewn with it"
    )
    terms = [(f"{r.stitch} seam", round(r.metres, 3)) for r in rows]
    terms += [(f"{r.stitch} ratio", r.ratio) for r in rows]
    terms += [("waste", use.waste), ("rows", float(ends)), ("tail", tail), ("spool", size)]
    seam = sum(r.metres for r in rows)
    note = f"{long_run(seam, units)} sewn; with ends and waste {long_run(metres, units, 0)} of thread"
    return Notion(
        f"{kind} thread" + (f", {colour}" if colour else ""),
        round(metres, 1),
        "m",
        f"{plural(count, 'spool')}, {on_spool}{' each' if count > 1 else ''}",
        note,
        (Working(f"{kind} thread", line, tuple(terms), metres, "m", RULE),),
    )


def _spool(size: float, units: Units) -> str:
    """Spools are marked in metres, and in yards where they are sold by them."""
    return f"{size * 1000 / MM_PER['yd']:.0f}{NBSP}yd" if units == "in" else f"{size:.0f}{NBSP}m"
