"""Notions worked out from what is sewn: thread by stitch type, elastic by casing, loops and buttons, and plain items."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from booklet.cloth.amounts import spools, thread_length
from booklet.drafting.buttons import hole_length
from booklet.model import Notion, Side
from booklet.prepare import Prepared
from booklet.problems import Fault, Where, nearest
from booklet.reading.shop import Shop, ThreadUse
from booklet.reading.yaml_source import Source
from booklet.seams.runs import foot_names
from booklet.sewing.elastic import Elastic, elastic_of
from booklet.sewing.operations.zip import fitted
from booklet.sewing.words import StepWords
from booklet.units import NBSP, fraction_words, parse_length, show

Units = Literal["cm", "in"]


def work_out_notions(
    style: Source, prepared: Prepared, words: tuple[StepWords, ...], shop: Shop, units: Units
) -> tuple[Notion, ...]:
    """One line for each notion of the style that the options ask for, in the style's order."""
    out: list[Notion] = []
    unit = str(style.data.get("units", "cm"))
    for n, raw in enumerate(style.data.get("notions") or ()):
        where = style.where("notions", n)
        spec = next((v for v in raw.values() if isinstance(v, Mapping)), raw)
        if not prepared.table.applies(spec.get("when", raw.get("when")), where):
            continue
        if "thread" in raw:
            out.append(_thread(str(raw["thread"]), words, shop))
        elif "elastic" in raw:
            out += _elastic(prepared, spec, unit, units)
        elif "zip" in raw:
            out += _zips(prepared, spec, shop, units)
        elif "buttons" in raw:
            out.append(_buttons(prepared, spec, where, units))
        elif "button" in raw:
            out.append(_button(spec, unit, units))
        else:
            count = int(raw.get("count", 1))
            out.append(Notion(str(raw["item"]), count, "", str(count), str(raw.get("why", ""))))
    return tuple(out)


def _thread(kind: str, words: tuple[StepWords, ...], shop: Shop) -> Notion:
    """Thread of one kind: lengths sewn times the stitch's ratio, with waste, and tails at both ends of every row."""
    use: ThreadUse = shop.thread[kind]
    rows = [
        s
        for w in words
        for s in w.stitching
        if (s.stitch == use.stitch) or (kind == "sewing" and not _is_neatening(s.stitch, shop))
    ]
    sewn = sum(s.mm for s in rows) / 1000
    tails = sum(s.rows for s in rows) * shop.tails / 1000
    metres = thread_length(sewn, use.ratio, use.waste) + tails
    count, size = spools(metres, shop.spools_m)
    reels = f"{count} reel{'s' if count > 1 else ''}, {size:.0f} m{' each' if count > 1 else ''}"
    working = f"{use.called} {sewn:.1f} m × {use.ratio:g} × {1 + use.waste:.2f} for waste + {tails:.0f} m ends = {metres:.0f} m"
    return Notion(f"{kind} thread", round(metres, 1), "m", reels, working)


def _is_neatening(stitch: int, shop: Shop) -> bool:
    return stitch == shop.thread["neatening"].stitch


def _elastic(prepared: Prepared, spec: Mapping[str, Any], unit: str, units: Units) -> list[Notion]:
    out = []
    wide = parse_length(spec["wide"], unit, name="elastic").mm
    for step, elastic in prepared.elastics.items():
        sides = len(prepared.seams.of_step(step))
        total = elastic.cut * sides
        fits = elastic.fits.replace("_", " ")
        working = (
            f"{sides} × ({fits} {show(elastic.body, units)} less {elastic.less * 100:.0f} % + "
            f"{show(elastic.overlap, units)} lapped) = {sides} × {show(elastic.cut, units)}"
        )
        apart = _elastics_apart(prepared, step)
        if sides > 1 and apart:
            total = sum(e.cut for _, e in apart)
            working = "; ".join(
                f"{side}: {fits} {show(e.body, units)} less {e.less * 100:.0f} % + {show(e.overlap, units)} lapped = "
                f"{show(e.cut, units)}"
                for side, e in apart
            )
        step_mm = 100.0 if units == "cm" else 25.4 * 4.5
        bought = -(-total // step_mm) * step_mm
        printed = (
            f"{bought / 1000:.1f} m" if units == "cm" else f"{fraction_words(bought / 914.4, 8)}{NBSP}yd"
        )
        out.append(Notion(f"elastic, {show(wide, units)} wide", round(total, 1), "mm", printed, working))
    return out


def _elastics_apart(prepared: Prepared, step_id: str) -> list[tuple[str, Elastic]]:
    """The elastic of each side, of a body whose left and right differ."""
    step = next(s for s in prepared.seams.steps if s.id == step_id)
    sides: tuple[Side, ...] = ("right", "left") if prepared.table.sides else ()
    return [(side, elastic_of(step, prepared.table.of_side(side))) for side in sides]


def _zips(prepared: Prepared, spec: Mapping[str, Any], shop: Shop, units: Units) -> list[Notion]:
    """The zip that ends at the mark named: the next length sold, and what is taken off where that is longer."""
    out = []
    copies = {c.id: c for c in prepared.copies}
    for step in prepared.seams.steps:
        for seam in prepared.seams.of_step(step.id) if step.verb == "zip" else ():
            if str(spec["for"]) not in foot_names(seam, copies):
                continue
            fit = fitted(step, seam, shop)
            sold = [s for s in shop.zip_sizes[units] if s > fit.least - shop.warning]
            size = sold[0] if sold else fit.least
            working = f"opening {show(fit.opening, units)} − {show(fit.stop, units)} at the top = {show(fit.long, units)}"
            if fit.least > fit.long:
                working += f", + {show(fit.least - fit.long, units)} below = {show(fit.least, units)}"
            longer = size > fit.least + shop.warning
            working += "; the next length sold" if longer else ""
            working += ", shortened" if longer and fit.least == fit.long else ""
            words = " ".join(
                w for w in (fit.kind if fit.kind == "concealed" else "", str(spec.get("kind", ""))) if w
            )
            out.append(Notion(f"{words} zip".strip(), 1, "", f"1, {show(size, units)}", working))
    return out


def _buttons(prepared: Prepared, spec: Mapping[str, Any], where: Where, units: Units) -> Notion:
    """The buttons of rows of the draft, counted on the plies that have them."""
    rows = [str(r) for r in spec["rows"]]
    found = [
        (f"{c.piece.name}.{m.row}", m)
        for c in prepared.copies
        if c.host is None
        for m in c.buttons
        if m.kind == "button"
    ]
    unknown = [r for r in rows if r not in dict.fromkeys(name for name, _ in found)]
    if unknown:
        raise Fault.of(
            "unknown-row",
            f"no buttons are drawn for '{unknown[0]}'",
            where,
            nearest(unknown[0], dict.fromkeys(name for name, _ in found)).strip(),
        )
    mine = [m for name, m in found if name in rows]
    size, thick, spare = mine[0].size, mine[0].thick, int(spec.get("spare", 1))
    words = " ".join(w for w in (str(spec.get("kind", "")), "buttons") if w)
    hole = show(hole_length(size, thick), units)
    working = f"{len(mine)} to sew on" + (f" and {spare} spare" if spare else "")
    working += f"; {thick:g} mm thick, for buttonholes of {hole}"
    return Notion(f"{words}, {size:g} mm across", len(mine) + spare, "", str(len(mine) + spare), working)


def _button(spec: Mapping[str, Any], unit: str, units: Units) -> Notion:
    size = parse_length(spec["diameter"], unit, name="a button").mm
    count, spare = int(spec.get("count", 1)), int(spec.get("spare", 0))
    working = f"{count} to sew on" + (f" and {spare} spare" if spare else "")
    return Notion(f"button, {size:.0f} mm", count + spare, "", str(count + spare), working)
