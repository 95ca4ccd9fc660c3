"""Whole finished booklets kept in the user's cache, each under a hash of everything that it was made from.

A kept booklet is what a fresh run would write, byte for byte: the hash takes in the files' bytes, the choices, the
package's own sources and texts, and the versions of Python and the libraries. A cache that cannot be read or written
is as good as none, and silent.

One file an entry: a line of JSON (length and hash of what follows, and what the run said), then the PDF.
"""

from __future__ import annotations

import hashlib
import json
import os
import platform
import tempfile
import zlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path
from typing import Any

from booklet.drawing.fonts import cache_folder
from booklet.resources import data_folder

OFF = "BOOKLET_NO_CACHE"  # set to anything but '' or 0: nothing is looked up or kept
KEPT = 40
_LIBRARIES = (
    "reportlab",
    "uharfbuzz",
    "fonttools",
    "fontpkg-source-sans-3",
    "shapely",
    "numpy",
    "jinja2",
    "pyyaml",
    "matplotlib",
    "pydantic",
    "pyclipper",
    "svgelements",
    "ezdxf",
)


@dataclass(frozen=True)
class Kept:
    """A finished booklet, and what was said of it when it was made (plain data)."""

    pdf: bytes
    said: Mapping[str, Any]


def folder(env: Mapping[str, str] = os.environ) -> Path | None:
    """Where booklets are kept; None if the user wants none kept."""
    return None if env.get(OFF, "0") not in ("", "0") else cache_folder(env) / "booklets"


def key_of(files: Mapping[str, Path | None], choices: Mapping[str, Any]) -> str:
    """The hash of all inputs. `files` are read by what they are for; None and a missing file are inputs too."""
    sum_ = hashlib.sha256()
    told = json.dumps([choices, _surroundings()], sort_keys=True, default=str)
    sum_.update(told.encode())
    for name, path in sorted(files.items()):
        try:
            data = path.read_bytes() if path is not None else b""
        except OSError:
            data = b"\0"
        sum_.update(f"\n{name} {path} {len(data)}\n".encode() + data)
    for name, data in _own_files():
        sum_.update(f"\n{name} {len(data)}\n".encode() + data)
    return sum_.hexdigest()


def look_up(key: str, place: Path | None) -> Kept | None:
    """The booklet kept under a key, if it is there and whole."""
    if place is None:
        return None
    path = place / key
    try:
        head, _, pdf = path.read_bytes().partition(b"\n")
        told = json.loads(head)
        if told["sha256"] != hashlib.sha256(pdf).hexdigest():
            return None
        said = dict(told["said"])
    except (OSError, ValueError, KeyError, TypeError):
        return None
    with suppress(OSError):
        os.utime(path)  # so that what is used stays
    return Kept(pdf, said)


def keep(key: str, kept: Kept, place: Path | None) -> None:
    """Keeps a booklet and lets the oldest go. Does nothing where it cannot."""
    if place is None:
        return
    head = json.dumps({"sha256": hashlib.sha256(kept.pdf).hexdigest(), "said": kept.said}, sort_keys=True)
    beside = None
    try:
        place.mkdir(parents=True, exist_ok=True)
        handle, beside = tempfile.mkstemp(dir=place, suffix=".part")
        with os.fdopen(handle, "wb") as out:
            out.write(head.encode() + b"\n" + kept.pdf)
        os.replace(beside, place / key)
        beside = None
        _let_go(place)
    except OSError:
        return
    finally:
        if beside is not None:
            Path(beside).unlink(missing_ok=True)


def _let_go(place: Path) -> None:
    """Removes all but the newest entries."""
    entries = [p for p in place.iterdir() if p.suffix == ""]
    by_age = sorted(entries, key=lambda p: (p.stat().st_mtime_ns, p.name), reverse=True)
    for old in by_age[KEPT:]:
        old.unlink(missing_ok=True)


def _surroundings() -> dict[str, str]:
    """What else a booklet's bytes hang on. The C library's mathematics differ between systems in the last digit."""
    versions = {name: _version(name) for name in _LIBRARIES}
    return {
        **versions,
        "python": platform.python_version(),
        "zlib": zlib.ZLIB_RUNTIME_VERSION,
        "system": f"{platform.system()} {platform.machine()}",
    }


def _version(name: str) -> str:
    try:
        return metadata.version(name)
    except metadata.PackageNotFoundError:
        return "none"


def _own_files() -> list[tuple[str, bytes]]:
    """The package's sources and texts, in order of their names."""
    package = Path(__file__).resolve().parent
    templates = data_folder("templates")
    found = [(p.relative_to(package).as_posix(), p) for p in package.rglob("*.py")]
    found += [
        (f"templates/{p.relative_to(templates).as_posix()}", p) for p in templates.rglob("*") if p.is_file()
    ]
    return [(name, path.read_bytes()) for name, path in sorted(found)]
