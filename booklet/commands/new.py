"""`booklet new`: a small working style to begin with."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer


def new(folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new or empty folder.")]) -> None:
    """Write a small working style to begin with: a commented skirt of two pieces that can be made as it stands."""
    from booklet.new_style import write_new_style

    for path in write_new_style(folder):
        print(path)
    print(f"Now try: booklet check {folder}")
