"""Zips and buttons: sizes and counts from the openings and rows that the draft and the recipe give. Lengths in mm."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from booklet.cloth.amounts import in_ligne, loop_cut, loop_finished, zip_for_front, zip_for_opening
from booklet.cloth.working import Units
from booklet.drafting.buttons import EIGHTH, THICK, hole_of
from booklet.formula import parse_formula
from booklet.language import say, tongue_of
from booklet.model import ButtonMark, Notion, Working
from booklet.prepare import Prepared
from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.shop import Shop
from booklet.reading.translations import joined
from booklet.reading.yaml_source import Source
from booklet.seams.runs import foot_names
from booklet.sewing.operations.zip import Fitted, fitted
from booklet.units import NBSP, in_inches, parse_length, parse_ratio, show, show_percent, told

ZIP_RULE = "opening less what the top stop stands below the stitch line; the next length that is sold"
PASS_RULE = "(body + ease − ring) ÷ 2: an open zip adds twice its length"
FRONT_RULE = "a separating zip: the front less collar and hem, and 2 to 3 % less (apparel-merchandising.com)"
HOLE_RULE = "a buttonhole is the button's diameter and thickness long (sewing.about.com)"
WRAP_RULE = "half of a strip wrapped round an odd button, and 1/8 in (thesewingcorner.blogspot.com)"
LOOP_RULE = "a loop opens to its own length as a buttonhole to twice its own, and both its ends are sewn in"
LOOP_SHORT = 0.5  # mm that a loop may be cut shorter by


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
    if "along" in spec:
        return [_front_zip(style, prepared, spec, shop, units, where)]
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


def _front_zip(
    style: Source, prepared: Prepared, spec: Mapping[str, Any], shop: Shop, units: Units, where: Where
) -> Notion:
    """`zip: {along, off, less, kind}`: a separating zip for a whole edge, in the longest length sold that it holds."""
    unit = str(style.data.get("units", "cm"))
    try:
        long = prepared.table.length_of(str(spec["along"]))
    except Fault as bad:
        raise Fault.of("notion-run", f"'{spec['along']}' cannot be measured: {bad}", where) from None
    off = parse_length(spec.get("off", 0), unit, booklet_unit=units, where=where, name="off").mm
    less = parse_ratio(spec.get("less", "2 %"), where=where, name="less")
    most = zip_for_front(long, off, less)
    if most <= 0:
        raise Fault.of("notion-run", f"an edge of {show(long, units)} is too short for this zip", where)
    held = [s for s in shop.zip_sizes[units] if s <= most + shop.warning]
    size = max(held, default=most)
    kind = (
        tongue_of(units).said(joined(spec["kind"])) if spec.get("kind") else say(units, "amounts.separating")
    )
    name = say(units, "amounts.zip_kind", kind=kind)
    sum_ = f"({show(long, units)} − {show(off, units)}) × (1 − {show_percent(less, units)}) = {show(most, units)}"
    line = say(units, "amounts.zip_sold", sum=sum_, size=zip_words(size, units))
    terms = (("edge", long), ("off", off), ("less", less))
    note = say(units, "amounts.zip_note", opening=show(long, units))
    return Notion(
        name,
        1,
        "",
        f"1, {zip_words(size, units)}",
        note,
        (Working(name, line, terms, size, "mm", FRONT_RULE),),
    )


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
    hole = show(hole_of(first), units)
    said, thick = tongue_of(units).said, show_thin(first.thick, units)
    wrapped = show(first.wrapped, units)
    called = say(units, "amounts.buttons")
    if spec.get("kind"):
        called = say(units, "amounts.buttons_kind", kind=said(joined(spec["kind"])))
    name = say(units, "amounts.buttons_sized", buttons=called, size=size)
    to_sew = say(
        units, "amounts.to_sew_on_spare" if spare else "amounts.to_sew_on", count=sum(each), spare=spare
    )
    note = say(units, "amounts.buttons_note", count=to_sew, thick=thick, hole=hole)
    hole_sum = say(units, "amounts.hole_sum", size=size, thick=thick, hole=hole)
    hole_terms: tuple[tuple[str, float], ...] = (("diameter", first.size), ("thickness", first.thick))
    if first.wrapped > 0:
        note = say(units, "amounts.buttons_round", count=to_sew, round=wrapped, hole=hole)
        hole_sum = say(units, "amounts.hole_wrapped", round=wrapped, more=show(EIGHTH, units), hole=hole)
        hole_terms = (("round it", first.wrapped), ("more", EIGHTH))
    count = " + ".join(f"{n} ({said(_row(row))})" for n, row in zip(each, rows, strict=True))
    sums = [
        Working(
            say(units, "amounts.buttons"), say(units, "amounts.spare_sum", sum=count, spare=spare, total=total),
            (*((row, float(n)) for n, row in zip(each, rows, strict=True)), ("spare", float(spare))),
            total, "", "as drawn, and one spare",
        ),
        Working(
            say(units, "amounts.buttonhole"), hole_sum, hole_terms, hole_of(first), "mm",
            WRAP_RULE if first.wrapped > 0 else HOLE_RULE,
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


def button_notion(
    prepared: Prepared, spec: Mapping[str, Any], unit: str, units: Units, where: Where, collector: Collector
) -> Notion:
    """Single buttons: as many as steps sew on and the spare ones, and the loops that they must pass."""
    sewn = sum(s.verb == "button" for s in prepared.seams.steps)
    size = parse_length(spec["diameter"], unit, booklet_unit=units, name="a button").mm
    spare = int(spec.get("spare", 0))
    note = say(units, "amounts.to_sew_on_spare" if spare else "amounts.to_sew_on", count=sewn, spare=spare)
    sum_ = Working(
        say(units, "amounts.button"), say(units, "amounts.spare_sum", sum=sewn, spare=spare, total=sewn + spare),
        (("sewn on", float(sewn)), ("spare", float(spare))), sewn + spare, "", "as sewn, and the spare ones",
    )  # fmt: skip
    name = say(units, "amounts.button_sized", size=button_size(size, units))
    loops = _loops(prepared, spec, size, unit, units, where, collector)
    return Notion(name, sewn + spare, "", str(sewn + spare), note, (sum_, *loops))


def _loops(
    prepared: Prepared,
    spec: Mapping[str, Any],
    size: float,
    unit: str,
    units: Units,
    where: Where,
    collector: Collector,
) -> list[Working]:
    """What each loop must be cut to pass round the button; a warning where the recipe cuts it shorter."""
    thick = (
        parse_length(spec["thick"], unit, booklet_unit=units, name="a button").mm
        if "thick" in spec
        else THICK
    )
    out = []
    for step in (s for s in prepared.seams.steps if s.verb == "loop"):
        piece, _, slit = str(step.spec["at"]).partition(".")
        openings = (o for c in prepared.copies if c.piece.name == piece for o in c.openings if o.name == slit)
        inside = next((o.mouth / 2 for o in openings), 0.0)
        table = prepared.table
        long = parse_formula(step.spec["long"], table.unit, step.where).evaluate(table.value, table.length_of)
        least = loop_cut(loop_finished(size, thick), inside)
        if long < least - LOOP_SHORT:
            collector.warning(
                "loop-short", step.where,
                f"a loop of {show(long, units)} is too short for the button: it takes {show(least, units)}",
                f"Write long: {show(least, units)} or more, or list a smaller button.",
            )  # fmt: skip
        sum_ = f"2 × ({show(size, units)} + {show_thin(thick, units)}) + 2 × {show(inside, units)} = {show(least, units)}"
        line = say(units, "amounts.loop_sum", sum=sum_, long=show(long, units))
        terms = (("diameter", size), ("thickness", thick), ("sewn in", inside), ("cut", long))
        out.append(Working(say(units, "amounts.loop"), line, terms, least, "mm", LOOP_RULE))
    return out


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
