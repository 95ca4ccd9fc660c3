"""A small working style to begin with, written into a new or empty folder."""

from __future__ import annotations

from pathlib import Path

from booklet.printing.files import write_beside
from booklet.problems import Fault, Where
from booklet.resources import data_folder

FILES = ("style.yaml", "draft.yaml", "sewing.yaml", "body.yaml")


def write_new_style(folder: Path) -> tuple[Path, ...]:
    """Writes the commented files and returns their paths. Raises `Fault` for a folder that holds anything."""
    where = Where(folder.as_posix(), 1)
    try:
        if folder.exists() and not folder.is_dir():
            raise Fault.of("new-file", "this is a file, a folder was expected", where, "Choose another name.")
        if folder.is_dir() and any(folder.iterdir()):
            raise Fault.of("new-not-empty", "the folder is not empty", where, "Name a new or empty folder.")
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        what = f"the folder cannot be made: {reason}"
        raise Fault.of("cannot-write", what, where, "Choose another place.") from None
    source = data_folder("templates") / "new"
    written = []
    for name in FILES:
        write_beside(folder / name, (source / name).read_bytes())
        written.append(folder / name)
    return tuple(written)
