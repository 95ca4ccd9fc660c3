"""How many bodies a second each shipped style drafts, and what one body costs in `booklet try`."""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from pathlib import Path
from statistics import median
from time import perf_counter
from typing import Any

from booklet.drafting.draft import check_options, draft_pieces, lay_out_table, work_out_measures
from booklet.problems import Collector, Fault
from booklet.reading.bodies_table import BodyRow, read_bodies
from booklet.reading.read import StyleFiles, read_style
from booklet.reading.shop import read_shop
from booklet.trying import try_body
from tests.bench.yardstick import yardstick_ms

TITLE = "bodies a second for each style: draft and pieces, and the whole trial of a body"
TARGET_MS = 15.0

_ROOT = Path(__file__).resolve().parent.parent.parent
_DATA = _ROOT / "tests" / "data"
_SURVEY_COLUMNS = _DATA / "ansur2_columns.yaml"


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--bodies", type=Path, default=_DATA / "ansur2_women_60.csv", metavar="FILE")
    parser.add_argument("--columns", type=Path, default=_SURVEY_COLUMNS, metavar="FILE")
    parser.add_argument("--unit", default="mm", choices=("mm", "cm", "in"))
    parser.add_argument("--limit", type=int, metavar="N")
    parser.add_argument("--style", type=Path, action="append", metavar="FOLDER", help="else all in styles/")


def run(asked: argparse.Namespace) -> dict[str, Any]:
    rows = read_bodies(asked.bodies, asked.columns, asked.unit, asked.limit).rows
    yardstick = yardstick_ms()
    folders = asked.style or sorted(p.parent for p in (_ROOT / "styles").glob("*/style.yaml"))
    styles = [_style(folder, rows, yardstick) for folder in folders]
    return {
        "bodies": len(rows),
        "yardstick_ms": round(yardstick, 3),
        "target_ms": TARGET_MS,
        "styles": styles,
    }


def _style(folder: Path, rows: tuple[BodyRow, ...], yardstick: float) -> dict[str, Any]:
    style, shop = read_style(folder), read_shop(folder)
    options = check_options(style.sources["style"], {})
    units: Any = "in" if style.style.units == "in" else "cm"
    combination = tuple(options.items())
    drafts = _times(rows, lambda row: _draft(style, row, options, units))
    trials = _times(rows, lambda row: try_body(style, row, combination, units, shop))
    return {"style": folder.name, "draft": _figures(drafts, yardstick), "try": _figures(trials, yardstick)}


def _draft(style: StyleFiles, row: BodyRow, options: dict[str, str], units: Any) -> None:
    source, collector = style.sources["style"], Collector()
    try:
        measures = work_out_measures(source, row.measures, "the row", collector)
        collector.raise_if_errors()
        draft_pieces(*lay_out_table(style.sources["draft"], source, measures, options, units), collector)
    except Fault:
        pass  # a body without the style's measures costs next to nothing and is counted like the others


def _times(rows: tuple[BodyRow, ...], work: Callable[[BodyRow], object]) -> list[float]:
    work(rows[0])  # what is worked out once for a style is not a body's cost
    out = []
    for row in rows:
        start = perf_counter()
        work(row)
        out.append((perf_counter() - start) * 1000)
    return out


def _figures(times: list[float], yardstick: float) -> dict[str, float]:
    middle = median(times)
    return {
        "median_ms": round(middle, 2),
        "bodies_a_second": round(1000 * len(times) / sum(times), 1),
        "yardsticks": round(middle / yardstick, 2),
    }


def lines(told: dict[str, Any]) -> Iterator[str]:
    yield f"{told['bodies']} bodies; one yardstick is {told['yardstick_ms']:.2f} ms; aim: a draft in {TARGET_MS:.0f} ms"
    yield f"{'style':<16}{'what':<7}{'bodies a second':>16}{'median ms':>11}{'yardsticks':>12}"
    for style in told["styles"]:
        for what in ("draft", "try"):
            f = style[what]
            yield (
                f"{style['style']:<16}{what:<7}{f['bodies_a_second']:>16.1f}{f['median_ms']:>11.2f}"
                f"{f['yardsticks']:>12.2f}"
            )
