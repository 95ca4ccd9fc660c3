"""A nested booklet of all sizes of a table, lays kept, against the booklet of one size: time and bytes."""

from __future__ import annotations

import argparse
import statistics
import time
from collections.abc import Sequence
from typing import Any

from booklet.job import make_job
from booklet.reading.read import Body, StyleFiles, read_style
from booklet.reading.sizes import read_sizes
from booklet.resources import data_folder
from booklet.write import print_booklet

TITLE = "measures a nested booklet of many sizes against the booklet of one size"
MOST_TIME, MOST_BYTES = 3.0, 2.5  # times one size's


def arguments(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--style", action="append", help="only this style of styles/; may be given again")
    parser.add_argument("--runs", type=int, default=3, help="so often each, in turn")


def run(asked: argparse.Namespace) -> dict[str, Any]:
    """{styles: [{style, sizes, one_s, all_s, time, one_bytes, all_bytes, bytes}]}; CPU seconds, ratios."""
    names = asked.style or ("top", "aline", "skirt", "blouse")
    return {"styles": [_measured(name, max(1, asked.runs)) for name in names]}


def _measured(name: str, runs: int) -> dict[str, Any]:
    style = read_style(data_folder("styles") / name)
    table = read_sizes(style.folder)
    one = (table.bodies[table.base],)
    _made(style, one, 0)  # fonts and templates are read once
    ones, alls = [], []
    for _ in range(runs):
        ones.append(_made(style, one, 0))
        alls.append(_made(style, table.bodies, table.base))
    one_s, all_s = (statistics.median(t for t, _ in made) for made in (ones, alls))
    one_bytes, all_bytes = ones[0][1], alls[0][1]
    return {
        "style": name,
        "sizes": len(table.bodies),
        "one_s": one_s,
        "all_s": all_s,
        "time": all_s / one_s,
        "one_bytes": one_bytes,
        "all_bytes": all_bytes,
        "bytes": all_bytes / one_bytes,
    }


def _made(style: StyleFiles, bodies: Sequence[Body], base: int) -> tuple[float, int]:
    begun = time.process_time()
    pdf = print_booklet(make_job(style, bodies, base=base)).pdf
    return time.process_time() - begun, len(pdf)


def lines(told: dict[str, Any]) -> Sequence[str]:
    return [
        f"{row['style']:10} {row['sizes']} sizes: {row['all_s']:.1f} s against {row['one_s']:.1f} s for one, "
        f"{row['time']:.2f} times (at most {MOST_TIME:g}); {row['all_bytes'] / 1000:.0f} kB against "
        f"{row['one_bytes'] / 1000:.0f} kB, {row['bytes']:.2f} times (at most {MOST_BYTES:g})"
        for row in told["styles"]
    ]
