"""Paints the pictures of styles/README.md anew: `python -m tests.lessons`, or only some: `python -m tests.lessons points`."""

from __future__ import annotations

import sys

from .catalogue import PICTURES
from .draft import PICTURES as FOLDER
from .sheet import png_of


def main(names: list[str]) -> int:
    unknown = [n for n in names if n not in PICTURES]
    if unknown:
        print(f"There is no picture {', '.join(unknown)}. Known: {', '.join(PICTURES)}.", file=sys.stderr)
        return 1
    FOLDER.mkdir(exist_ok=True)
    for name in names or PICTURES:
        data = png_of(PICTURES[name].drawing)
        (FOLDER / f"{name}.png").write_bytes(data)
        print(f"{name}.png  {len(data) / 1000:.1f} kB")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
