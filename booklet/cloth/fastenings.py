"""Zips and buttons: sizes and counts from the openings and rows that the draft and the recipe give. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from booklet.cloth.amounts import in_ligne, zip_for_opening
from booklet.cloth.working import Units
from booklet.drafting.buttons import hole_length
from booklet.language import say, tongue_of
from booklet.model import ButtonMark, Notion, Working
from booklet.prepare import Prepared
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.shop import Shop
from booklet.reading.translations import joined
from booklet.reading.yaml_source import Source
from booklet.seams.runs import foot_names
from booklet.sewing.operations.zip import Fitted, fitted
from booklet.units import NBSP, in_inches, parse_length, show, told

ZIP_RULE = "opening less what the top stop stands below the stitch line; the next length that is sold"
PASS_RULE = "(body + ease − ring) ÷ 2: an open zip adds twice its length"
HOLE_RULE = "a buttonhole is the button's diameter and thickness long (sewing.about.com)"


def zip_notions(
    style: Source,
    prepared: Prepared,
    spec: Mapping[str, Any],
    shop: Shop,
    units: Units,
    where: Where,
    collector: Collector,
) -> list[Notion]:
    """The zip that ends at the mark named: the next length sold, and what is taken off where that is longer."""
    out = []
    copies = {c.id: c for c in prepared.copies}
    for step in prepared.seams.steps:
        for seam in prepared.seams.of_step(step.id) if step.verb == "zip" else ():
            if str(spec["for"]) in foot_names(seam, copies):
                fit = fitted(step, seam, shop)
                size = _zip_size(spec, fit, style, shop, units, where, collector)
                sums = (_zip_sum(fit, size, units), *_passing(style, prepared, str(spec["for"]), fit, units))
                key = "amounts.zip_concealed" if fit.kind == "concealed" else "amounts.zip"
                kind = tongue_of(units).said(joined(spec.get("kind", "")))
                name = say(units, f"{key}_kind", kind=kind) if kind else say(units, key)
                longer = size > fit.least + shop.warning and fit.least == fit.long
                note = say(
                    units, "amounts.zip_note_short" if longer else "amounts.zip_note",
                    opening=show(fit.opening, units), long=show(fit.long, units),
                )  # fmt: skip
                out.append(Notion(name, 1, "", f"1, {zip_words(size, units)}", note, sums))
    return out


def _zip_size(
    spec: Mapping[str, Any],
    fit: Fitted,
    style: Source,
    shop: Shop,
    units: Units,
    where: Where,
    collector: Collector,
) -> float:
    """The shortest zip sold that will do, or the one listed by hand where it is long enough."""
    sold = [s for s in shop.zip_sizes[units] if s > fit.least - shop.warning]
    size = sold[0] if sold else fit.least
    if "long" not in spec:
        return size
    unit = str(style.data.get("units", "cm"))
    given = parse_length(spec["long"], unit, booklet_unit=units, where=where, name="the zip", zero=False).mm
    if given >= fit.least - shop.warning:
        return given
    collector.warning(
        "notion-short", where,
        f"a zip of {show(given, units)} is listed, and its opening takes {show(fit.least, units)}: "
        f"{show(fit.least - given, units)} too short",
        f"Write long: {zip_words(size, units)}, or leave it out.",
    )  # fmt: skip
    return size


def zip_words(mm: float, units: Units) -> str:
    """A zip as it is sold, in whole centimetres or inches: '18 cm', '7 in'."""
    return show(mm, units) if units == "in" else told(f"{mm / 10:g}{NBSP}cm", units)


def _zip_sum(fit: Fitted, size: float, units: Units) -> Working:
    opening, stop, long = (show(mm, units) for mm in (fit.opening, fit.stop, fit.long))
    line = say(units, "amounts.zip_sum", opening=opening, stop=stop, long=long)
    if fit.least > fit.long:
        below = show(fit.least - fit.long, units)
        line = say(units, "amounts.zip_below", sum=line, below=below, least=show(fit.least, units))
    line = say(units, "amounts.zip_sold", sum=line, size=zip_words(size, units))
    terms = (
        ("opening", fit.opening),
        ("stop", fit.stop),
        ("below", fit.least - fit.long),
        ("least", fit.least),
    )
    return Working(say(units, "amounts.zip"), line, terms, size, "mm", ZIP_RULE)


def _passing(style: Source, prepared: Prepared, foot: str, fit: Fitted, units: Units) -> tuple[Working, ...]:
    """For an opening that the style promises: the shortest zip that lets the body through."""
    promised: Mapping[str, Any] = style.data.get("openings") or {}
    out = []
    for opening in prepared.openings:
        if str((promised.get(opening.name) or {}).get("zip")) != foot or opening.body_mm is None:
            continue
        ring, ease = opening.garment_mm - 2 * fit.opening, opening.least_mm or 0.0
        least = zip_for_opening(opening.body_mm, ring, ease)
        figures = (show(mm, units) for mm in (opening.body_mm, ease, ring, least))
        line = say(
            units, "amounts.zip_in_sum", sum="({} + {} − {}) ÷ 2 = {}".format(*figures),
            opening=show(fit.opening, units),
        )  # fmt: skip
        terms = (("passes", opening.body_mm), ("ease", ease), ("ring", ring))
        out.append(Working(say(units, "amounts.zip_in"), line, terms, least, "mm", PASS_RULE))
    return tuple(out)


# ---------------------------------------------------------------- buttons


def buttons_notion(prepared: Prepared, spec: Mapping[str, Any], where: Where, units: Units) -> Notion:
    """The buttons of rows of the draft, counted on the plies that have them, with their sizes, holes and spacing."""
    rows = [str(r) for r in spec["rows"]]
    found = [
        (f"{c.piece.name}.{m.row}", m)
        for c in prepared.copies
        if c.host is None
        for m in c.buttons
        if m.kind == "button"
    ]
    known = dict.fromkeys(name for name, _ in found)
    unknown = [r for r in rows if r not in known]
    if unknown:
        raise Fault.of(
            "unknown-row",
            f"no buttons are drawn for '{unknown[0]}'",
            where,
            nearest(unknown[0], known).strip(),
        )
    mine = {row: [m for name, m in found if name == row] for row in rows}
    each = [len(mine[row]) for row in rows]
    first, spare = mine[rows[0]][0], int(spec.get("spare", 1))
    total = sum(each) + spare
    size = button_size(first.size, units)
    hole = show(hole_length(first.size, first.thick), units)
    said, thick = tongue_of(units).said, show_thin(first.thick, units)
    called = say(units, "amounts.buttons")
    if spec.get("kind"):
        called = say(units, "amounts.buttons_kind", kind=said(joined(spec["kind"])))
    name = say(units, "amounts.buttons_sized", buttons=called, size=size)
    to_sew = say(
        units, "amounts.to_sew_on_spare" if spare else "amounts.to_sew_on", count=sum(each), spare=spare
    )
    note = say(units, "amounts.buttons_note", count=to_sew, thick=thick, hole=hole)
    count = " + ".join(f"{n} ({said(_row(row))})" for n, row in zip(each, rows, strict=True))
    sums = [
        Working(
            say(units, "amounts.buttons"), say(units, "amounts.spare_sum", sum=count, spare=spare, total=total),
            (*((row, float(n)) for n, row in zip(each, rows, strict=True)), ("spare", float(spare))),
            total, "", "as drawn, and one spare",
        ),
        Working(
            say(units, "amounts.buttonhole"), say(units, "amounts.hole_sum", size=size, thick=thick, hole=hole),
            (("diameter", first.size), ("thickness", first.thick)),
            hole_length(first.size, first.thick), "mm", HOLE_RULE,
        ),
    ]  # fmt: skip
    sums += [s for row in rows if (s := _spacing(row, mine[row], units)) is not None]
    return Notion(name, total, "", str(total), note, tuple(sums))


def _spacing(row: str, marks: list[ButtonMark], units: Units) -> Working | None:
    """D ÷ (N − 1) of a row of three or more on one line."""
    far = sorted(m.far for m in marks)
    if len(far) < 3:
        return None
    reach, gaps = far[-1] - far[0], len(far) - 1
    apart = reach / gaps
    sum_ = f"{show(reach, units)} ÷ {gaps} = {show(apart, units)}"
    line = say(units, "amounts.spacing_sum", row=tongue_of(units).said(_row(row)), sum=sum_)
    terms = (("from first to last", reach), ("buttons", float(len(far))))
    return Working(say(units, "amounts.spacing"), line, terms, apart, "mm", "distance ÷ (buttons − 1)")


def button_notion(spec: Mapping[str, Any], sewn: int, unit: str, units: Units) -> Notion:
    """Single buttons: as many as steps sew on and the spare ones."""
    size = parse_length(spec["diameter"], unit, booklet_unit=units, name="a button").mm
    spare = int(spec.get("spare", 0))
    note = say(units, "amounts.to_sew_on_spare" if spare else "amounts.to_sew_on", count=sewn, spare=spare)
    sum_ = Working(
        say(units, "amounts.button"), say(units, "amounts.spare_sum", sum=sewn, spare=spare, total=sewn + spare),
        (("sewn on", float(sewn)), ("spare", float(spare))), sewn + spare, "", "as sewn, and the spare ones",
    )  # fmt: skip
    name = say(units, "amounts.button_sized", size=button_size(size, units))
    return Notion(name, sewn + spare, "", str(sewn + spare), note, (sum_,))


def button_size(mm: float, units: Units) -> str:
    """'11.5 mm (18 ligne)', or '7/16 in (18 ligne)': buttons are sold by either."""
    across = show(mm, units) if units == "in" else told(f"{mm:g}{NBSP}mm", units)
    return told(f"{across} ({in_ligne(mm):.0f}{NBSP}ligne)", units)


def _row(name: str) -> str:
    """A row of buttons as the draft names it: 'front row' for front.row."""
    return name.replace(".", " ").replace("_", " ")


def show_thin(mm: float, units: Units) -> str:
    """A thickness, to half a millimetre or to a 32nd of an inch."""
    return told(in_inches(mm, 32) if units == "in" else f"{mm:g}{NBSP}mm", units)
