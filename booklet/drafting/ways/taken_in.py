"""What drawings of other programs have in common: they are files of the style's folder."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from pathlib import Path as FilePath
from typing import Any

from booklet.drafting.asked import Asked
from booklet.problems import nearest

GAP = 0.2  # mm: ends nearer than this are one point
LARGEST = 20_000_000  # bytes
DRAWN = ("svg", "dxf")  # the ways that name a file


def inside(name: str) -> bool:
    """Whether a file's name stays within the folder it is looked for in."""
    return not FilePath(name).is_absolute() and ".." not in FilePath(name).parts


def drawings_named(draft: Mapping[str, Any]) -> Iterator[str]:
    """The files that a draft's pieces are taken in from, each once, in order; those outside its folder left out."""
    seen: set[str] = set()
    pieces = draft.get("pieces")
    for piece in pieces.values() if isinstance(pieces, Mapping) else ():
        for way in DRAWN:
            spec = piece.get(way) if isinstance(piece, Mapping) else None
            name = spec.get("file") if isinstance(spec, Mapping) else None
            if isinstance(name, str) and inside(name) and name not in seen:
                seen.add(name)
                yield name


def style_file(asked: Asked, name: str) -> FilePath:
    """A file of the style's folder. Raises Fault for one that is not there or lies outside: a style is whole by itself."""
    folder = FilePath(asked.table.source.file).parent
    path = folder / name
    if not inside(name):
        raise asked.fault(
            "outside", f"{name} lies outside the style's folder", "Copy it into the folder and name it there."
        )
    if not path.is_file():
        there = sorted(p.name for p in folder.iterdir()) if folder.is_dir() else []
        raise asked.fault(
            "no-file", f"there is no file {name} beside draft.yaml", nearest(name, there).strip()
        )
    if path.stat().st_size > LARGEST:
        raise asked.fault(
            "too-large", f"{name} has over {LARGEST // 1_000_000} MB", "Save only the pattern's lines."
        )
    return path
