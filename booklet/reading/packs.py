"""Reads a pack: which sections of the booklet go to whom, in order, from packs/NAME.yaml of the shop or of the package."""

from __future__ import annotations

import io
import logging
from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from booklet.problems import Collector, Fault, Where, nearest
from booklet.reading.yaml_source import Source, read_yaml
from booklet.resources import data_folder

FULL = "full"
# What a pack may hold, and what each section may be told.
SECTIONS: Mapping[str, tuple[str, ...]] = {
    "cover": (),
    "terms": (),
    "tools": (),
    "measures": (),
    "cloth": (),
    "chart": (),
    "lays": (),
    "key": (),
    "steps": ("answers",),
    "answers": (),
    "checks": (),
    "sign off": (),
    "safety": (),
    "sheet": (),
    "pattern": (),
}
PAGES = "pages"  # pages of a PDF of the shop's own
MOST_PAGES = 200
LEAST_PAGE = 1.0  # point, each way


@dataclass(frozen=True)
class Section:
    """A part of the booklet. `answers`: steps with the rules that they answer. `file`: of `pages`, with their count."""

    name: str
    where: Where
    answers: bool = False
    title: str = ""
    file: str = ""
    count: int = 0


@dataclass(frozen=True)
class Pack:
    name: str
    title: str
    sections: tuple[Section, ...]
    file: str  # the shop's own; '' for one of the package

    def has(self, section: str) -> bool:
        return any(s.name == section for s in self.sections)

    @property
    def files(self) -> tuple[str, ...]:
        """The shop's files behind it."""
        return tuple(f for f in (self.file, *(s.file for s in self.sections)) if f)


def read_pack(name: str, folder: Path | None = None) -> Pack:
    """The pack of that name: from the shop's folder if it has one, else the package's. Raises `Fault`."""
    own = folder / f"{name}.yaml" if folder is not None else None
    if own is not None and own.is_file():
        return _pack(name, read_yaml(own), own.as_posix())
    if name not in pack_names():
        shops = sorted(p.stem for p in folder.glob("*.yaml")) if folder is not None else []
        raise Fault.of("usage", f"--pack is '{name}'", None, nearest(name, [*pack_names(), *shops]).strip())
    path = data_folder("templates") / "packs" / f"{name}.yaml"
    return _pack(name, read_yaml(path, f"the package's {name}.yaml"), "")


def pack_names() -> tuple[str, ...]:
    """The packs that come with the package."""
    return tuple(sorted(p.stem for p in (data_folder("templates") / "packs").glob("*.yaml")))


def _pack(name: str, source: Source, file: str) -> Pack:
    data = source.data
    collector = Collector()
    if not isinstance(data, dict) or not isinstance(data.get("sections"), list) or not data["sections"]:
        raise Fault.of("pack", "a pack takes a list of `sections:`", source.where(),
                       f"Sections are {', '.join((*SECTIONS, PAGES))}.")  # fmt: skip
    for key in data:
        if key not in ("title", "sections"):
            collector.error("pack", source.where(key), f"'{key}' is not read", "Known: title, sections.")
    sections: list[Section] = []
    for n, entry in enumerate(data["sections"]):
        with collector.catching():
            section = _section(source, n, entry, Path(file).parent)
            if section.name != PAGES and section.name in [s.name for s in sections]:
                raise Fault.of(
                    "pack", f"'{section.name}' is listed twice", section.where, "Keep one of the two."
                )
            sections.append(section)
    names = [s.name for s in sections]
    if "cover" in names[1:]:
        collector.error("pack", sections[names.index("cover")].where, "the cover is not the first section")
    collector.raise_if_errors()
    return Pack(name, str(data.get("title") or name), tuple(sections), file)


def _section(source: Source, n: int, entry: Any, folder: Path) -> Section:
    where = source.where("sections", n)
    settings: dict[str, Any] = {}
    name = entry
    if isinstance(entry, dict) and entry:
        name = next(iter(entry))
        value = entry[name]
        settings = {k: v for k, v in entry.items() if k != name}
        if name == PAGES:
            return _pages(where, value, settings, folder)
        if isinstance(value, dict):
            settings |= value
    if not isinstance(name, str) or name not in SECTIONS:
        raise Fault.of(
            "pack", f"'{name}' is no section", where, nearest(str(name), (*SECTIONS, PAGES)).strip()
        )
    for key, value in settings.items():
        if key not in SECTIONS[name]:
            known = SECTIONS[name]
            mend = nearest(key, known).strip() if known else f"'{name}' takes no settings."
            raise Fault.of("pack", f"the section '{name}' has '{key}'", where, mend)
        if not isinstance(value, bool):
            raise Fault.of("pack", f"'{key}' of '{name}' is {value!r}", where, "Write true or false.")
    return Section(name, where, answers=bool(settings.get("answers", False)))


def _pages(where: Where, value: Any, settings: Mapping[str, Any], folder: Path) -> Section:
    for key in settings:
        if key != "title":
            raise Fault.of(
                "pack", f"the section '{PAGES}' has '{key}'", where, nearest(key, ("title",)).strip()
            )
    if not isinstance(value, str):
        raise Fault.of("pack", f"'{PAGES}' takes the name of a PDF", where)
    path = folder / value
    return Section(
        PAGES, where, False, str(settings.get("title") or ""), path.as_posix(), count_pages(path, where)
    )


def count_pages(path: Path, where: Where) -> int:
    """How many pages a PDF has. Raises `Fault` at `where` for one that cannot be woven in."""
    from pypdf import PdfReader

    logging.getLogger("pypdf").addHandler(
        logging.NullHandler()
    )  # its own remarks are not for a pattern maker

    def refused(what: str, mend: str = "") -> Fault:
        return Fault.of("pack-pages", f"{path.as_posix()} {what}", where, mend)

    try:
        data = path.read_bytes()
    except OSError as error:
        raise refused(f"cannot be read: {(error.strerror or str(error)).lower()}") from None
    try:
        reader = PdfReader(io.BytesIO(data))
        if reader.is_encrypted:
            raise refused("is locked with a password", "Save it without.")
        count = len(reader.pages)
        for n, page in enumerate(reader.pages[:MOST_PAGES], 1):
            if min(float(page.cropbox.width), float(page.cropbox.height)) < LEAST_PAGE:
                raise refused(f"has a page {n} without a size", "Save it as a PDF again.")
    except Fault:
        raise
    except Exception:  # a reader may fail in any way on a damaged file
        raise refused("is no PDF that can be read", "Save it as a PDF again.") from None
    if not 0 < count <= MOST_PAGES:
        raise refused(f"has {count} pages", f"It may have 1 to {MOST_PAGES}.")
    return count
