"""Runs one bench: `python -m tests.bench drafts --json`. Each bench is a module here with TITLE, arguments() and run()."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Sequence

from booklet.problems import Fault
from tests.bench import drafts, lays, sizes, tiles

BENCHES = {"drafts": drafts, "lays": lays, "sizes": sizes, "tiles": tiles}


def main(arguments: Sequence[str] | None = None) -> int:
    parser = argparse.ArgumentParser(
        prog="python -m tests.bench", description="Measures the speed of one stage."
    )
    chosen = parser.add_subparsers(dest="bench", required=True)
    for name, bench in BENCHES.items():
        one = chosen.add_parser(name, help=bench.TITLE, description=bench.TITLE)
        one.add_argument("--json", action="store_true", help="print the figures as JSON")
        bench.arguments(one)
    asked = parser.parse_args(arguments)
    try:
        told = BENCHES[asked.bench].run(asked)
    except Fault as fault:
        print(fault, file=sys.stderr)
        return 1
    print(json.dumps(told, indent=1) if asked.json else "\n".join(BENCHES[asked.bench].lines(told)))
    return 0


if __name__ == "__main__":
    sys.exit(main())
