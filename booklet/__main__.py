"""`python -m booklet`: the same as the command `booklet`."""

from __future__ import annotations

import sys

from booklet.cli import main

if __name__ == "__main__":
    sys.exit(main())
