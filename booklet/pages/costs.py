"""What a garment costs by the shop's rates: work by the minute, cloth by the metre or yard, notions by what is bought."""

from __future__ import annotations

import re
from dataclasses import dataclass

from booklet.model import Job, Notion, Rates
from booklet.pages.copy_words import recommended_lay
from booklet.units import MM_PER


@dataclass(frozen=True)
class Cost:
    """One line: what, how much of it (in `unit`: h, m, yd or ''), the price of one, and the sum rounded to cents."""

    kind: str  # work, cloth or notion
    what: str
    amount: float
    unit: str
    price: float | None  # None: the shop gives none

    @property
    def sum(self) -> float:
        return 0.0 if self.price is None else round(self.amount * self.price + 1e-9, 2)


def costs_of(job: Job) -> tuple[Cost, ...]:
    """All lines in the order work, cloth, notions; none where the shop gives no rates."""
    rates = job.shop.rates
    if rates is None:
        return ()
    minutes = sum(s.minutes for s in job.steps)
    lines = [Cost("work", "", minutes / 60, "h", rates.hour)]
    for need in job.size.cloths:
        lay = recommended_lay(job.size, need.key)
        buy = lay.buy_mm if lay is not None else need.estimates[0][1] if need.estimates else None
        if buy is not None:
            price = rates.cloth.get(need.key, rates.cloth.get(need.title))
            lines.append(Cost("cloth", need.title, buy / MM_PER[rates.per], rates.per, price))
    lines += [_notion(n, rates) for n in job.size.notions]
    return tuple(lines)


def total(lines: tuple[Cost, ...]) -> float:
    return round(sum(line.sum for line in lines), 2)


def _notion(notion: Notion, rates: Rates) -> Cost:
    """Priced by the longest of the shop's words that its name holds, as printed or in English, or by its kind. Sold by
    length or by the piece, as it is bought."""
    names = (notion.name.lower(), notion.english.lower(), notion.kind)
    fits = [k for k in rates.notions if any(k.lower() in name for name in names)]
    known = sorted(fits, key=lambda k: (-len(k), k))
    price = rates.notions[known[0]] if known else None
    if notion.unit == "mm":
        bought = [w.result for w in notion.workings if w.unit == "mm"]
        mm = bought[-1] if bought else notion.amount
        return Cost("notion", notion.name, mm / MM_PER[rates.per], rates.per, price)
    first = re.match(r"\d+", notion.printed)  # '2 spools, 100 m'
    return Cost("notion", notion.name, float(first.group()) if first else notion.amount, "", price)
