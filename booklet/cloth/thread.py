"""Thread: the rows of all steps shared out to the threads that the style lists, and the spools that each takes.

Thread of a row = its length x the ratio of its stitch type (ISO 4915), with waste, and a tail for the two ends of each
row. The shop's ratio holds for the stitch that a thread is named for; other types take the table's. Both are for common
cloth: of a cloth that says how thick it is, the stitch's own formula counts where that comes to more.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from booklet.cloth.amounts import FORMULAS, STITCH_TYPES, spools, thread_by_formula, thread_length
from booklet.cloth.working import Units, long_run
from booklet.language import OWN, say, tongue_of
from booklet.model import Notion, Working
from booklet.reading.shop import Shop, ThreadUse
from booklet.sewing.operations import Stitching
from booklet.sewing.words import StepWords
from booklet.units import MM_PER, NBSP, in_inches, told

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
PLIES = 2  # of cloth that a seam is sewn through
OVEREDGE = 6.0  # mm: width of a neatened edge (common practice, no source)
RULE = "length × ratio of the ISO 4915 stitch type × (1 + waste), and a tail for each row's two ends"


@dataclass(frozen=True)
class Sewn:
    """All rows of one stitch type that one thread sews: metres of seam, number of rows, metres of thread in a metre."""

    stitch: int
    called: str
    metres: float
    rows: int
    ratio: float
    through: float = (
        0.0  # mm of cloth by which the ratio was worked out, 0 where it is the shop's or the table's
    )


def ratio_through(stitch: int, ratio: float, thick: float, long: float) -> tuple[float, float]:
    """(metres of thread in a metre of seam, mm of cloth that decided it or 0).

    `thick` is one layer of the cloth, mm, 0 where that isn't known; `long` the stitch, mm; `ratio` is for common cloth.
    """
    if thick <= 0 or str(stitch) not in FORMULAS:
        return ratio, 0.0
    through = PLIES * thick
    inch = MM_PER["in"]
    found = thread_by_formula(str(stitch), through / inch, inch / long, OVEREDGE / inch)
    return (found, through) if found > ratio else (ratio, 0.0)


def thread_of(row: Stitching, kinds: Sequence[str], shop: Shop) -> str:
    """Which of the threads listed sews a row: neatening, topstitching where that is listed, else sewing."""
    if row.stitch == shop.thread["neatening"].stitch:
        return "neatening"
    return "topstitching" if "topstitching" in kinds and row.what in SHOWS else "sewing"


def sewn_with(
    kind: str, words: Iterable[StepWords], kinds: Sequence[str], shop: Shop, thick: float = 0.0
) -> tuple[Sewn, ...]:
    """What one thread sews, by stitch type in order of their numbers, the shop's own type first.

    `thick` is one layer of the main cloth, mm, 0 where the style doesn't say.
    """
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
        usual = use.ratio if own else known.ratio  # type: ignore[union-attr]
        ratio, through = ratio_through(stitch, usual, thick, shop.stitch["plain"])
        out.append(
            Sewn(
                stitch,
                use.called if own else known.title,  # type: ignore[union-attr]
                sum(r.mm for r in found[stitch]) / 1000,
                sum(r.rows for r in found[stitch]),
                ratio,
                through,
            )
        )
    return tuple(out)


def thread_metres_of(rows: Sequence[Sewn], waste: float, tail: float) -> float:
    """Metres of thread; `tail` metres for the two ends of each row, on which nothing is wasted."""
    return sum(thread_length(r.metres, r.ratio, waste) for r in rows) + sum(r.rows for r in rows) * tail


def thread_notion(
    kind: str,
    words: Iterable[StepWords],
    kinds: Sequence[str],
    shop: Shop,
    units: Units,
    colour: str = "",
    thick: float = 0.0,
) -> Notion:
    """One thread of the list. `kinds` are all threads listed, `colour` what it is to match, in words, `thick` one layer
    of the main cloth, mm."""
    rows = sewn_with(kind, words, kinds, shop, thick)
    use = shop.thread["neatening" if kind == "neatening" else "sewing"]
    tail = shop.tails / 1000
    metres = thread_metres_of(rows, use.waste, tail)
    count, size = spools(metres, shop.spools_m)
    ends = sum(r.rows for r in rows)

    def count_of(key: str, **slots: object) -> str:
        return say(units, f"amounts.{key}", count=count, **slots)

    parts = [f"{_through(r, use, units)}: {long_run(r.metres, units)} × {round(r.ratio, 2):g}" for r in rows]
    parts = [tongue_of(units).grammar.spaced(p) for p in parts]
    product = parts[0] if len(parts) == 1 else f"({' + '.join(parts)})"
    on_spool = spool_words(size, units)
    number = told(f"{product} × {1 + use.waste:.2f}", units)
    line = (
        f"{number} + {ends} × {long_run(tail, units, 2)} = {long_run(metres, units)} → "
        + say(units, "amounts.spools_of", spools=count_of("spools"), size=on_spool)
        if rows
        else say(units, "amounts.nothing_sewn")
    )
    named = say(units, f"amounts.thread_kind.{kind}")
    what = say(units, "amounts.thread", kind=named)
    matched = say(units, "amounts.thread_coloured", kind=named, colour=tongue_of(units).said(colour))
    terms = [(f"{r.stitch} seam", round(r.metres, 3)) for r in rows]
    terms += [(f"{r.stitch} ratio", r.ratio) for r in rows]
    terms += [(f"{r.stitch} through", r.through) for r in rows if r.through]
    terms += [("waste", use.waste), ("rows", float(ends)), ("tail", tail), ("spool", size)]
    seam = sum(r.metres for r in rows)
    note = say(units, "amounts.thread_note", seam=long_run(seam, units), thread=long_run(metres, units, 0))
    return Notion(
        matched if colour else what,
        round(metres, 1),
        "m",
        count_of("spools_each", spools=count_of("spools"), size=on_spool),
        note,
        (Working(what, line, tuple(terms), metres, "m", RULE),),
    )


def spool_words(size: float, units: Units) -> str:
    """Spools are marked in metres, and in yards where they are sold by them."""
    return told(f"{size * 1000 / MM_PER['yd']:.0f}{NBSP}yd" if units == "in" else f"{size:.0f}{NBSP}m", units)


def _through(row: Sewn, use: ThreadUse, units: Units) -> str:
    """A stitch type and its number, and the thickness of cloth where that decides its ratio."""
    named = f"{_called(row, use, units)} {row.stitch}"
    if not row.through:
        return named
    thick = told(in_inches(row.through, 32) if units == "in" else f"{row.through:g}{NBSP}mm", units)
    return say(units, "amounts.stitch_through", stitch=named, thick=thick)


def _called(row: Sewn, use: ThreadUse, units: Units) -> str:
    """A stitch type in words: as the shop's file calls its own, where that was written in the booklet's language."""
    key = f"amounts.stitch_type.{row.stitch}"
    words = tongue_of(units).words
    own = row.stitch == use.stitch and words.language == OWN
    return row.called if own or not words.has(key) else words(key)
