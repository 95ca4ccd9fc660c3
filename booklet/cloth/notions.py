"""Notions worked out from what is drafted and sewn, each with its sum; what the style's list says by hand is compared."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any

from booklet.cloth.buying import cloth_thick, cloth_weight
from booklet.cloth.fastenings import button_notion, buttons_notion, zip_notions
from booklet.cloth.needles import needle_for, stitches_an_inch
from booklet.cloth.tapes import boning_notion, elastic_notions, piping_notion, tape_notion, with_length
from booklet.cloth.thread import spool_words, thread_notion
from booklet.cloth.working import Units, plural
from booklet.language import OWN, say, tongue_of
from booklet.model import Notion, Working
from booklet.prepare import Prepared
from booklet.problems import Collector, Where
from booklet.reading.shop import Shop
from booklet.reading.translations import joined
from booklet.reading.yaml_source import Source
from booklet.sewing.words import StepWords
from booklet.units import NBSP, told

SHORT = 0.5  # mm, or half a piece: what is listed by hand may be less than the sum by this
_NEEDLE = re.compile(r"\bneedle\b\D*(\d{2,3})\b")


@dataclass(frozen=True)
class Listing:
    """What the entries of a style's list are worked out from."""

    style: Source
    prepared: Prepared
    words: tuple[StepWords, ...]
    shop: Shop
    units: Units
    collector: Collector
    threads: tuple[str, ...]  # kinds listed

    @property
    def unit(self) -> str:
        """The style file's unit of plain lengths."""
        return str(self.style.data.get("units", "cm"))


def work_out_notions(
    style: Source,
    prepared: Prepared,
    words: tuple[StepWords, ...],
    shop: Shop,
    units: Units,
    collector: Collector | None = None,
) -> tuple[Notion, ...]:
    """One line for each notion of the style that the options ask for, in the style's order.

    Warns where an amount written by hand is less than what is worked out; the larger one is printed.
    """
    raws = list(style.data.get("notions") or ())
    threads = tuple(str(raw["thread"]) for raw in raws if "thread" in raw)
    at = Listing(style, prepared, words, shop, units, collector or Collector(), threads)
    out: list[Notion] = []
    for n, raw in enumerate(raws):
        where = style.where("notions", n)
        spec = next((v for v in raw.values() if isinstance(v, Mapping)), raw)
        if prepared.table.applies(spec.get("when", raw.get("when")), where):
            kind = next((k for k in MAKERS if k in raw), "item")
            made = MAKERS[kind](at, raw, where)
            out += [
                replace(notion, kind=kind, english=english)
                for notion, english in zip(made, _in_english(at, kind, raw, where, made), strict=True)
            ]
    return tuple(out)


def _in_english(
    at: Listing, kind: str, raw: Mapping[str, Any], where: Where, made: Sequence[Notion]
) -> list[str]:
    """The names by which a shop's prices know them, in whichever language they are printed."""
    if tongue_of(at.units).language == OWN:
        return [notion.name for notion in made]
    plain: Units = "in" if at.units == "in" else "cm"
    return [n.name for n in MAKERS[kind](replace(at, units=plain, collector=Collector()), raw, where)]


def _thread(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    colour = str(raw.get("colour", ""))
    thick = cloth_thick(at.style)
    made = thread_notion(str(raw["thread"]), at.words, at.threads, at.shop, at.units, colour, thick)
    if "count" not in raw:
        return [made]
    spools, size = int(raw["count"]), made.workings[0].terms[-1][1]
    if spools * size < made.amount:
        at.collector.warning(
            "notion-short", where,
            f"{plural(spools, 'spool')} of {made.name} is listed, and {made.amount:.0f} m are needed",
            "Write more, or leave the count out.",
        )  # fmt: skip
        return [made]
    said = say(at.units, "amounts.spools", count=spools)
    each = say(at.units, "amounts.spools_each", count=spools, spools=said, size=spool_words(size, at.units))
    return [replace(made, printed=each)]


def _spec(raw: Mapping[str, Any], key: str) -> Mapping[str, Any]:
    value = raw[key]
    return value if isinstance(value, Mapping) else raw


def _elastic(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    found = elastic_notions(at.prepared, _spec(raw, "elastic"), at.unit, at.units)
    return [_by_hand(at, n, _spec(raw, "elastic"), where) for n in found]


def _tape(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    spec = _spec(raw, "tape")
    return [_by_hand(at, tape_notion(at.prepared, spec, where, at.unit, at.units), spec, where)]


def _piping(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    spec = _spec(raw, "piping")
    return [_by_hand(at, piping_notion(at.prepared, spec, where, at.unit, at.units), spec, where)]


def _boning(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    spec = _spec(raw, "boning")
    return [_by_hand(at, boning_notion(at.prepared, spec, where, at.units), spec, where)]


def _zip(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    return zip_notions(at.style, at.prepared, _spec(raw, "zip"), at.shop, at.units, where, at.collector)


def _buttons(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    spec = _spec(raw, "buttons")
    made = buttons_notion(at.prepared, spec, where, at.units)
    return [_counted(at, made, spec.get("count"), where)]


def _button(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    spec = _spec(raw, "button")
    made = button_notion(at.prepared, spec, at.unit, at.units, where, at.collector)
    return [_counted(at, made, int(spec.get("count", 1)) + int(spec.get("spare", 0)), where)]


def _needle(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    """`needle: CLOTH`, by the cloth's weight. A style that doesn't say the weight gets a universal 80/12."""
    key = str(raw["needle"])
    weight = cloth_weight(at.style, key)
    spec = (at.style.data.get("cloths") or {}).get(key) or {}
    if weight is None:
        at.collector.warning(
            "cloth-weight", where, f"the needle is chosen by the weight of '{key}', and the style does not say it",
            "Write `weight: [110, 150]` in g/m², or light, medium or heavy, at that cloth.",
        )  # fmt: skip
        weight = 150.0
    needle = needle_for(weight)
    stitch = at.shop.stitch["plain"]
    u = at.units
    # Machines are marked in millimetres everywhere; where people measure in inches, some in stitches an inch.
    per_inch = f"{stitches_an_inch(stitch):.0f}"
    long = told(f"{stitch:g}{NBSP}mm", u)
    dial = say(u, "amounts.dial_inch" if u == "in" else "amounts.dial_mm", length=long, count=per_inch)
    grams = told(f"{weight / 33.906:.1f}{NBSP}oz/yd²" if u == "in" else f"{weight:.0f}{NBSP}g/m²", u)
    suits = say(u, f"amounts.needle_suits.{needle.nm}")
    line = say(u, "amounts.needle_sum", weight=grams, size=needle.called, suits=suits, dial=dial)
    terms = (("weight", weight), ("stitch", stitch))
    sum_ = Working(say(u, "amounts.needle_what"), line, terms, needle.nm, "", _NEEDLE_RULE)
    name = say(u, "amounts.needle_ball" if spec.get("knit") else "amounts.needle", size=needle.called)
    return [Notion(name, 1, "", "1", say(u, "amounts.needle_note", dial=dial), (sum_,))]


_NEEDLE_RULE = "needle by weight of cloth: sizes as sold, bounds common practice"


def _labels(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    said = tongue_of(at.units).said
    names = [said(str(x)) for x in raw["labels"]]
    why = said(joined(raw["why"])) if "why" in raw else say(at.units, "amounts.labels_note")
    name = say(at.units, "amounts.labels", list=", ".join(names))
    total = float(len(names))
    line = f"{' + '.join(names)} = {len(names)}"
    sum_ = Working(
        say(at.units, "amounts.labels_what"), line, (("labels", total),), total, "", "one of each listed"
    )
    return [Notion(name, len(names), "", str(len(names)), why, (sum_,))]


def _item(at: Listing, raw: Mapping[str, Any], where: Where) -> list[Notion]:
    count = int(raw.get("count", 1))
    name = str(raw["item"])
    said = tongue_of(at.units).said
    made = Notion(said(joined(name)), count, "", str(count), said(joined(raw.get("why", ""))))
    if "hook" in name.lower():
        hooks = sum(s.verb == "hook" for s in at.prepared.seams.steps)
        made = (
            replace(made, amount=hooks, printed=str(hooks), workings=_sewn_on(at, made, hooks))
            if hooks
            else made
        )
        return [_counted(at, made, count, where)]
    by_hand = _NEEDLE.search(name)
    weight = cloth_weight(at.style)
    if by_hand and weight is not None and int(by_hand.group(1)) < needle_for(weight).nm:
        at.collector.warning(
            "notion-short", where,
            f"'{name}' is listed, and the main cloth, {weight:.0f} g/m², takes a {needle_for(weight).called}",
            "Write `needle: main`, or another weight for the cloth.",
        )  # fmt: skip
    return [made]


def _sewn_on(at: Listing, made: Notion, count: int) -> tuple[Working, ...]:
    """The sum of what steps sew on one by one."""
    line = say(at.units, "amounts.to_sew_on", count=count)
    return (
        Working(
            made.name, line, (("sewn on", float(count)),), float(count), "", "one for each step that sews one"
        ),
    )


def _by_hand(at: Listing, notion: Notion, spec: Mapping[str, Any], where: Where) -> Notion:
    """A length written by hand as `buy:` stands where it is enough; less is told, and the sum is printed."""
    if "buy" not in spec:
        return notion
    return with_length(notion, spec["buy"], at.unit, at.units, where, at.collector)


def _counted(at: Listing, notion: Notion, count: Any, where: Where) -> Notion:
    if count is None:
        return notion
    given = int(count)
    if given < notion.amount - SHORT:
        at.collector.warning(
            "notion-short", where,
            f"{plural(given, notion.name, notion.name)} listed, and {notion.amount:.0f} are needed: "
            f"{notion.amount - given:.0f} too few",
            f"Write {notion.amount:.0f}, or leave the count out.",
        )  # fmt: skip
        return notion
    return replace(notion, amount=given, printed=str(given))


Maker = Callable[[Listing, Mapping[str, Any], Where], Sequence[Notion]]
MAKERS: Mapping[str, Maker] = {
    "thread": _thread,
    "elastic": _elastic,
    "tape": _tape,
    "piping": _piping,
    "boning": _boning,
    "zip": _zip,
    "buttons": _buttons,
    "button": _button,
    "needle": _needle,
    "labels": _labels,
    "item": _item,
}
