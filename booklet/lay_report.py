"""What `booklet lay` shows and tells: a bar while it searches, a table for people, plain values for JSON."""

from __future__ import annotations

import sys
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any, Literal

from booklet.cloth.working import sold_wide, wide_enough
from booklet.lay_style import Outcome, Remnant, Tell, kind_words
from booklet.model import LayPlan
from booklet.units import show, show_cloth, show_percent


@contextmanager
def searching() -> Iterator[Tell]:
    """A bar on a terminal: how much of the time is over, and what is laid just now."""
    if not sys.stderr.isatty():
        yield lambda _share, _doing: None
        return
    from rich.console import Console
    from rich.progress import BarColumn, Progress, TextColumn, TimeRemainingColumn

    columns = (BarColumn(), TimeRemainingColumn(), TextColumn("{task.description}"))
    with Progress(*columns, console=Console(stderr=True), transient=True) as shown:
        bar = shown.add_task("", total=1.0)
        yield lambda share, doing: shown.update(bar, completed=share, description=doing)


def table(outcome: Outcome, units: Literal["cm", "in"]) -> list[str]:
    """The lays in lines for a terminal."""
    head = ("cloth", "width", "lay", "takes", "buy", "used", "how good it is")
    lines = [head]
    for row in outcome.rows:
        plan = row.plan
        lines.append(
            (
                row.cloth.title,
                sold_wide(plan.width_mm, units),
                kind_words(plan.kind),
                show(plan.length_mm, units),
                show_cloth(plan.buy_mm, units),
                show_percent(plan.used),
                how_good(plan),
            )
        )
    wide = [max(len(line[n]) for line in lines) for n in range(len(head))]
    out = ["  ".join(part.ljust(w) for part, w in zip(line, wide, strict=True)).rstrip() for line in lines]
    out.insert(1, "  ".join("-" * w for w in wide))
    for need in outcome.needs:
        if need.least_mm is not None:
            out.append(f"The {need.title} does not fit under {wide_enough(need.least_mm, units)}.")
    return out


def how_good(plan: LayPlan) -> str:
    """'no shorter lay exists', or how far the lay is above the least length that is proved; and whether the booklet's
    chart is for it."""
    told = ["recommended"] if plan.recommended else []
    if plan.proved:
        return "; ".join((*told, "no shorter lay exists"))
    told.append("best found")
    if plan.bound_mm > 0:
        told.append(f"{show_percent(plan.length_mm / plan.bound_mm - 1)} above the least that is proved")
    return "; ".join(told)


def lay_facts(outcome: Outcome) -> dict[str, Any]:
    """The same for other programs; lengths in mm."""
    return {
        "file": None if outcome.file is None else outcome.file.as_posix(),
        "new": outcome.new,
        "stopped": outcome.stopped,
        "lays": [
            {
                "cloth": row.cloth.key,
                "width_mm": round(row.plan.width_mm, 1),
                "lay": row.plan.kind,
                "length_mm": round(row.plan.length_mm, 3),
                "buy_mm": round(row.plan.buy_mm, 1),
                "used": round(row.plan.used, 4),
                "bound_mm": round(row.plan.bound_mm, 3),
                "proved": row.plan.proved,
                "recommended": row.plan.recommended,
                "before_mm": None if row.before_mm is None else round(row.before_mm, 3),
            }
            for row in outcome.rows
        ],
        "least_mm": {need.key: need.least_mm and round(need.least_mm, 1) for need in outcome.needs},
        "notes": list(outcome.notes),
    }


def remnant_facts(remnant: Remnant) -> dict[str, Any]:
    return {
        "cloth": remnant.cloth.key,
        "length_mm": round(remnant.length_mm, 1),
        "width_mm": round(remnant.width_mm, 1),
        "room_mm": round(remnant.room_mm, 1),
        "fits": remnant.fits,
        "proved": remnant.proved,
        "lay": None if remnant.lay is None else remnant.lay.kind,
        "takes_mm": None if remnant.lay is None else round(remnant.lay.length, 1),
    }
