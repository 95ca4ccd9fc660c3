"""Finished files put in place at once: written beside, then renamed, so that a failed run leaves what was there."""

from __future__ import annotations

import os
import tempfile
from dataclasses import dataclass
from pathlib import Path

from booklet.problems import Fault


@dataclass(frozen=True)
class Attached:
    """A file carried along in a PDF."""

    name: str
    data: bytes


def write_beside(out: Path, data: bytes) -> None:
    """Puts a whole file in place, or leaves an earlier one untouched. Raises `Fault` with a sentence."""
    beside: Path | None = None
    try:
        handle, name = tempfile.mkstemp(dir=out.parent, prefix=".booklet-", suffix=".part")
        beside = Path(name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
        beside.chmod(_usual_mode())
        os.replace(beside, out)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise Fault.of(
            "cannot-write",
            f"{out} cannot be written: {reason}",
            None,
            "Choose another place, or make room there.",
        ) from error
    finally:
        if beside is not None:
            beside.unlink(missing_ok=True)


def make_folder(folder: Path) -> None:
    """Makes a folder and those above it, where they are not there yet. Raises `Fault` with a sentence."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise Fault.of("cannot-write", f"the folder {folder} cannot be made: {reason}", None) from None


def _usual_mode() -> int:
    """What a newly opened file would get; a temporary file is its owner's alone."""
    mask = os.umask(0)
    os.umask(mask)
    return 0o666 & ~mask
