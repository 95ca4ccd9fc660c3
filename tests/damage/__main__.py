"""Prints the damage table, kind by style: `python -m tests.damage [STYLE ...]`."""

from __future__ import annotations

import sys

from .run import cases, run, table, unlike


def main(names: list[str]) -> int:
    results = [run(case) for case in cases(names or None)]
    print(table(results))
    told = unlike(results)
    print("\n".join(told))
    return bool(told)


if __name__ == "__main__":
    raise SystemExit(main(sys.argv[1:]))
