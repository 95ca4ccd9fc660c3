"""Run by `improve` as a process of its own: packs outlines into a strip with spyrrow, and prints each better lay.

Reads one JSON object from standard input: {height, seconds, workers, seed, items: [{id, points, turns, demand}]}.
Prints a line of JSON for each lay that is shorter than those before: [[id, degrees, x, y], ...]. A fault of the solver,
which is no ordinary exception, ends this process alone.
"""

from __future__ import annotations

import json
import os
import sys
import threading
from typing import Any

import spyrrow

EVERY = 0.2  # s between looks at the solver's reports


def main() -> None:
    told = json.load(sys.stdin)
    items = [
        spyrrow.Item(
            str(i["id"]), [(x, y) for x, y in i["points"]], i["demand"], [float(t) for t in i["turns"]]
        )
        for i in told["items"]
    ]
    strip = spyrrow.StripPackingInstance("lay", told["height"], items)
    config = spyrrow.StripPackingConfig(
        total_computation_time=told["seconds"],
        num_workers=told["workers"],
        seed=told["seed"],
        early_termination=False,
    )
    reports = spyrrow.ProgressQueue()
    ended: list[Any] = []

    def solve() -> None:
        # The solver's panics derive from BaseException; nothing but the end of this process is to follow from one.
        try:
            ended.append(strip.solve(config, reports))
        except BaseException:
            os._exit(1)

    thread = threading.Thread(target=solve, daemon=True)
    thread.start()
    shortest = float("inf")
    while True:
        thread.join(EVERY)
        feasible = (
            spyrrow.ReportType.ExplFeas,
            spyrrow.ReportType.CmprFeas,
            spyrrow.ReportType.Final,
        )
        found = [s for kind, s in reports.drain() if kind in feasible] + ended
        best = min(found, key=lambda s: s.width, default=None)
        if best is not None and best.width < shortest:
            shortest = best.width
            print(json.dumps([[p.id, p.rotation, *p.translation] for p in best.placed_items]), flush=True)
        if not thread.is_alive():
            return


if __name__ == "__main__":
    main()
