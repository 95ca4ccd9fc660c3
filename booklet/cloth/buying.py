"""The sums behind a cloth's length to buy, and estimates by area for widths that nothing is laid on.

All lengths in mm. The lay's own numbers come from the plan; here they are only told.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from booklet.cloth.amounts import length_by_area, length_needed, round_up
from booklet.cloth.needles import weight_of
from booklet.cloth.working import Units, sold_wide, tenths
from booklet.language import say
from booklet.model import ClothNeed, LayPlan, Working
from booklet.reading.shop import Shop
from booklet.reading.yaml_source import Source
from booklet.units import NBSP, parse_length, show_cloth, show_percent, told

RULE = "(lay + squaring of both ends) ÷ (1 − shrinkage), rounded up to what is sold"
MATCHED_RULE = "(lay + squaring of both ends + one repeat, as the shop cuts anywhere in it) ÷ (1 − shrinkage), rounded up"
AREA_RULE = (
    "area of the pieces ÷ (usable width × the share of cloth that a lay uses), 0.7 to 0.8 (common practice)"
)


def with_sums(needs: Sequence[ClothNeed], style: Source, shop: Shop, units: Units) -> tuple[ClothNeed, ...]:
    """Each cloth with the sum of every lay, and estimates for the usual widths of the cloths beside the main one."""
    cloths: Mapping[str, Any] = style.data.get("cloths") or {}
    main = next(iter(cloths), "")
    out = []
    for need in needs:
        sums = tuple(_lay_sum(lay, need, shop, units) for lay in need.lays)
        estimates = estimated(need, shop, units) if need.key != main and need.lays else ()
        sums += tuple(_area_sum(width, need, shop, units) for width, _ in estimates)
        out.append(replace(need, workings=sums, estimates=estimates))
    return tuple(out)


def estimated(need: ClothNeed, shop: Shop, units: Units) -> tuple[tuple[float, float], ...]:
    """(width, length to buy) for the shop's usual widths that are not laid.

    Only widths above the narrowest laid: there every piece is known to fit.
    """
    laid = [lay.width_mm for lay in need.lays]
    out = []
    for width in shop.interfacing_widths:
        if width > min(laid) and all(abs(width - w) > 1 for w in laid):
            out.append((width, round_up(_by_area(width, need, shop)[1], shop.buy_step[units])))
    return tuple(out)


def _area(need: ClothNeed) -> float:
    lay = need.lays[0]
    return lay.used * lay.width_mm * lay.length_mm


def _longest(need: ClothNeed) -> float:
    """The longest piece along the cloth: no lay is shorter."""
    boxes = [p.outline.bbox for p in need.lays[0].placings]
    return max((x1 - x0 for x0, _, x1, _ in boxes), default=0.0)


def _by_area(width: float, need: ClothNeed, shop: Shop) -> tuple[float, float]:
    """(length taken up, length needed): by area, no shorter than the longest piece or what is laid on a wider cloth, no
    longer than on a narrower one."""
    usable = width - 2 * shop.selvedge
    laid = tuple({lay.width_mm: lay for lay in reversed(need.lays)}.values())  # the recommended one of each
    narrower = min(lay.length_mm for lay in laid if lay.width_mm < width)
    wider = max((lay.length_mm for lay in laid if lay.width_mm > width), default=0.0)
    taken = length_by_area([_area(need)], usable, shop.interfacing_efficiency)
    taken = min(max(taken, _longest(need), wider), narrower)
    return taken, length_needed(taken, need.shrinkage, shop.squaring, _repeat(need))


def _repeat(need: ClothNeed) -> float:
    """Of stripes or checks along the cloth; 0 for plain cloth."""
    return need.lays[0].repeat[0]


def _lay_sum(lay: LayPlan, need: ClothNeed, shop: Shop, units: Units) -> Working:
    def w(mm: float) -> str:
        return tenths(mm, units)

    repeat = lay.repeat[0]
    line = f"{w(lay.length_mm)} + {w(shop.squaring)}" + (f" + {w(repeat)}" if repeat else "")
    line = f"({line}) ÷ (1 − {show_percent(need.shrinkage, units)})" if need.shrinkage else line
    line += f" = {w(lay.need_mm)} → {show_cloth(lay.buy_mm, units)}"
    if lay.proved:
        line = say(units, "amounts.lay_proved", sum=line)
    elif lay.bound_mm > 0:
        over = show_percent(lay.length_mm / lay.bound_mm - 1, units)
        line = say(units, "amounts.lay_bound", sum=line, least=w(lay.bound_mm), percent=over)
    terms = (
        ("taken up", lay.length_mm),
        ("least", lay.bound_mm),
        ("squaring", shop.squaring),
        *((("repeat", repeat),) if repeat else ()),
        ("shrinkage", need.shrinkage),
        ("width", lay.width_mm),
        ("needed", lay.need_mm),
        ("step", shop.buy_step[units]),
    )
    rule = MATCHED_RULE if repeat else RULE
    return Working(
        _what("lay_what", need, lay.width_mm, units, lay.kind), line, terms, lay.buy_mm, "mm", rule
    )


def _area_sum(width: float, need: ClothNeed, shop: Shop, units: Units) -> Working:
    usable = width - 2 * shop.selvedge
    area, share = _area(need), shop.interfacing_efficiency
    taken, needed = _by_area(width, need, shop)
    by_area = length_by_area([area], usable, share)
    buy = round_up(needed, shop.buy_step[units])

    def w(mm: float) -> str:
        return tenths(mm, units)

    flat = f"{area / 25.4**2:.0f}{NBSP}sq{NBSP}in" if units == "in" else f"{area / 100:.0f}{NBSP}cm²"
    line = told(f"{flat} ÷ ({w(usable)} × {share:.2f}) = {w(by_area)}", units)
    if abs(taken - by_area) > 0.1:
        bound = "narrower" if taken < by_area else "longest" if taken <= _longest(need) + 0.1 else "wider"
        line = say(units, f"amounts.area_{bound}", sum=line, length=w(taken))
    washed = f" ÷ (1 − {show_percent(need.shrinkage, units)})" if need.shrinkage else ""
    repeat = _repeat(need)
    matched = f" + {w(repeat)}" if repeat else ""
    line += f"; ({w(taken)} + {w(shop.squaring)}{matched}){washed} = {w(needed)} → {show_cloth(buy, units)}"
    terms = (
        ("area", area), ("usable width", usable), ("share", share), ("taken up", taken),
        ("squaring", shop.squaring), ("shrinkage", need.shrinkage),
    )  # fmt: skip
    return Working(_what("area_what", need, width, units), line, terms, buy, "mm", AREA_RULE)


def _what(key: str, need: ClothNeed, width: float, units: Units, kind: str = "open") -> str:
    named = say(units, f"amounts.lay_kinds.{kind}")
    return say(units, f"amounts.{key}", cloth=need.title, width=sold_wide(width, units), kind=named)


def cloth_weight(style: Source, key: str | None = None) -> float | None:
    """g/m² of a cloth, the first listed where no key is given; None where the style doesn't say."""
    cloths: Mapping[str, Any] = style.data.get("cloths") or {}
    name = key if key is not None else next(iter(cloths), "")
    raw = (cloths.get(name) or {}).get("weight")
    return None if raw is None else weight_of(raw)


def cloth_thick(style: Source) -> float:
    """mm of one layer of the first cloth listed; 0 where the style doesn't say."""
    cloths: Mapping[str, Any] = style.data.get("cloths") or {}
    first: Mapping[str, Any] = next(iter(cloths.values()), {})
    raw = first.get("thick", 0)
    return parse_length(raw, str(style.data.get("units", "cm")), name="thick").mm
