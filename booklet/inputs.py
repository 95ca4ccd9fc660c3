"""What a command was given, read and checked: style, body, shop, options, paper, units and width."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Literal, cast

from booklet.drafting.draft import check_options
from booklet.drafting.ways.taken_in import drawings_named
from booklet.problems import Collector, Fault, nearest
from booklet.reading.read import Body, StyleFiles, read_body, read_style
from booklet.reading.shop import Shop, read_shop
from booklet.units import parse_length

PAPERS = ("a4", "letter")
UNITS = ("cm", "in")


@dataclass(frozen=True)
class Inputs:
    """Everything a booklet is made from. `options` are those asked for; `files` the files behind it, by their use."""

    style: StyleFiles
    body: Body
    shop: Shop
    options: dict[str, str]
    units: Literal["cm", "in"]
    paper: Literal["a4", "letter"]
    width: str | None

    @property
    def files(self) -> dict[str, Path | None]:
        named: dict[str, Path | None] = {
            name: self.style.folder / f"{name}.yaml" for name in ("style", "draft", "sewing", "lays")
        }
        named["body"] = Path(self.body.file)
        named["shop"] = Path(self.shop.file) if self.shop.file else None
        for name in drawings_named(self.style.sources["draft"].data):
            named[f"drawing {name}"] = self.style.folder / name
        return named

    @property
    def default_name(self) -> str:
        """STYLE-BODY-PAPER, in signs that every file system takes."""
        parts = (self.style.style.style, self.body.code or self.body.name, self.paper)
        return "-".join(_file_word(p) for p in parts)


def read_inputs(
    style: Path,
    body: Path | None = None,
    shop: Path | None = None,
    options: Sequence[str] = (),
    units: str | None = None,
    paper: str = "a4",
    width: str | None = None,
) -> Inputs:
    """Reads everything, and raises one `Fault` for all that is wrong with it."""
    collector = Collector()
    asked: dict[str, str] = {}
    with collector.catching():
        one_of("--paper", paper, PAPERS)
    with collector.catching():
        one_of("--units", units or "cm", UNITS)
    with collector.catching():
        asked = asked_options(options)
    with collector.catching():
        if width is not None:
            parse_length(width, units or "cm", name="--width", zero=False)
    files, person, workroom = None, None, None
    with collector.catching():
        files = read_style(style)
    if files is not None:
        with collector.catching():
            check_options(files.sources["style"], asked)
    with collector.catching():
        if body is not None or files is not None:
            person = read_body(body if body is not None else files.base)
    with collector.catching():
        workroom = read_shop(style, shop)
    collector.raise_if_errors()
    assert files is not None and person is not None and workroom is not None
    own: Literal["cm", "in"] = "in" if files.style.units == "in" else "cm"
    chosen = cast("Literal['cm', 'in']", units) if units else own
    return Inputs(
        files, person, workroom, asked, chosen, cast("Literal['a4', 'letter']", paper.lower()), width
    )


def one_of(name: str, value: str, known: Sequence[str]) -> None:
    if value.lower() not in known:
        raise Fault.of("usage", f"{name} is '{value}'", None, nearest(value.lower(), known).strip())


def asked_options(texts: Sequence[str]) -> dict[str, str]:
    """'neck=slit' texts as a mapping. Raises `Fault` for one that is not NAME=CHOICE, or an option asked for twice."""
    out: dict[str, str] = {}
    collector = Collector()
    for text in texts:
        name, sign, choice = (part.strip() for part in text.partition("="))
        if not (name and sign and choice):
            mend = "Write it as --option NAME=CHOICE, such as --option length=knee."
            collector.error("usage", None, f"--option '{text}' is no choice of an option", mend)
        elif out.get(name, choice) != choice:
            what = f"the option {name} is asked for twice: {out[name]} and {choice}"
            collector.error("usage", None, what, "Keep one of the two.")
        else:
            out[name] = choice
    collector.raise_if_errors()
    return out


def pdf_path(out: Path | None, default_name: str) -> Path:
    """Where the booklet goes. Raises `Fault` where no PDF can be put, before anything is worked out."""
    return file_path(out, default_name, ".pdf")


def file_path(out: Path | None, default_name: str, suffix: str) -> Path:
    """Where a file goes whose name ends in `suffix`. Raises `Fault` where it cannot be put there."""
    path = Path(default_name + suffix) if out is None else out
    if path.is_dir():
        path = path / (default_name + suffix)
    if path.suffix.lower() != suffix:
        kind = suffix.lstrip(".").upper()
        raise Fault.of(
            "usage", f"the output '{path}' is no {kind}", None, f"Give it a name that ends in {suffix}."
        )
    if path.is_dir():
        raise Fault.of("cannot-write", f"{path} is a folder", None, "Name a file.")
    if not path.parent.is_dir():
        there = "is no folder" if path.parent.exists() else "is not there"
        raise Fault.of(
            "cannot-write", f"{path} cannot be written: {path.parent} {there}", None, "Make it first."
        )
    return path


_RESERVED = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)", re.IGNORECASE)  # Windows' device names


def _file_word(text: str) -> str:
    word = re.sub(r"[^\w.+-]+", "_", text).strip("._")
    return f"_{word}" if not word or _RESERVED.match(word) else word
