"""`booklet schema`: JSON schemas of the files for an editor."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Annotated

import typer


def schema(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the schemas go; made if need be.")],
) -> None:
    """Write JSON schemas of the files, from which an editor can complete keys and choices as you type."""
    from booklet.printing.files import make_folder, write_beside
    from booklet.reading.schemas import schemas

    make_folder(folder)
    for name, content in schemas().items():
        write_beside(folder / name, (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode())
        print(folder / name)
