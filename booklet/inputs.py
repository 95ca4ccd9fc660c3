"""What a command was given, read and checked: style, body, shop, options, paper, units and width."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Literal, cast

from booklet.drafting.draft import check_options
from booklet.drafting.ways.taken_in import drawings_named
from booklet.pages.nest_words import layer_name, sizes_told
from booklet.pages.words import Words, words_for
from booklet.printing.files import Attached
from booklet.printing.formats import (
    FORMATS,
    JOININGS,
    PARTS,
    Joining,
    Part,
    SheetChoice,
    sheet_format,
)
from booklet.problems import Collector, Fault, nearest
from booklet.reading.packs import FULL, Pack, read_pack
from booklet.reading.read import Body, StyleFiles, read_base, read_body, read_style
from booklet.reading.shop import Shop, read_shop
from booklet.reading.sizes import ALL, SizeTable, read_sizes
from booklet.reading.translations import joined, translation
from booklet.units import parse_length

PAPERS = ("a4", "letter")
UNITS = ("cm", "in")
USUAL_MARGIN = 10.0  # mm
SALE = "sale"  # the pack that buyers get


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
    sheets: SheetChoice | None = None  # how the pattern is printed, if not as the booklet is
    pack: Pack | None = None  # which sections; None for the whole booklet
    sizes: tuple[Body, ...] = ()  # of the style's size table, where sizes are asked for
    base: int = 0  # which of them is shown; it is `body`

    @property
    def bodies(self) -> tuple[Body, ...]:
        return self.sizes or (self.body,)

    @property
    def files(self) -> dict[str, Path | None]:
        named: dict[str, Path | None] = {
            name: self.style.folder / f"{name}.yaml" for name in ("style", "draft", "sewing", "lays", "sizes")
        }
        named["body"] = Path(self.body.file)
        named["shop"] = Path(self.shop.file) if self.shop.file else None
        named["mark"] = Path(self.shop.mark_file) if self.shop.mark_file else None
        for n, file in enumerate(self.pack.files if self.pack is not None else ()):
            named[f"pack {n}"] = Path(file)
        for name, _ in self.shop.wording.files:
            named[f"wording {name}"] = Path(self.shop.wording.folder) / name
        for name in drawings_named(self.style.sources["draft"].data):
            named[f"drawing {name}"] = self.style.folder / name
        for language, source in self.style.translations.items():
            named[f"translation {language}"] = Path(source.file)
        return named

    @property
    def attached(self) -> tuple[Attached, ...]:
        """The style's files that its booklet carries along where the shop wants it; never anybody's measures."""
        if not self.shop.attach:
            return ()
        kept = ("style", "draft", "sewing", "lays", "sizes")
        files = [
            p
            for n, p in self.files.items()
            if p is not None and (n in kept or n.startswith(("drawing ", "translation ")))
        ]
        return tuple(Attached(self._told_flat(p), p.read_bytes()) for p in files if p.is_file())

    def _told_flat(self, path: Path) -> str:
        """A file's name within the style, folders before a dash: programs that save attached files make no folders."""
        return path.relative_to(self.style.folder).as_posix().replace("/", "-")

    @property
    def whose(self) -> str:
        """What files are named after: the style's code and title, and the body or the sizes, in the booklet's language."""
        style, words = self.style, self._words
        own = translation(style.sources, style.translations, self.shop.language).names
        names = [b.code or b.name for b in self.bodies]
        size = sizes_told(names, words) if len(names) > 1 else names[0]
        if len(names) == 1 and self.body.of_table:
            size = layer_name(size, words)
        title = own.get(joined(style.style.title), style.style.title)
        return file_name(style.style.style, title, size)

    @property
    def default_name(self) -> str:
        """What a PDF is called: whose it is, what it holds and on which paper, in signs that every file system takes."""
        return self.named(self.pack.name if self.pack is not None else FULL)

    @property
    def bought_name(self) -> str:
        """The same for a file among those of several papers, in the words of who gets it: nobody buys a 'sale'."""
        return self.named(FULL) if self.pack is not None and self.pack.name == SALE else self.default_name

    @property
    def read_name(self) -> str:
        """What the instructions for a screen are called beside such files."""
        return f"{self.whose}_{file_name(self._words('files.read'))}"

    def named(self, pack: str) -> str:
        """The file's name where the pack is called so."""
        words, sheets = self._words, self.sheets
        held = words("files.booklet") if pack == FULL else pack
        paper = FORMATS[self.paper].paper.name
        parts = [held, paper]
        if sheets is not None:
            printed_on = words.table("pattern.papers").get(sheets.format.paper.name, sheets.format.paper.name)
            pattern = [words("files.pattern"), *sheets.pieces, printed_on]
            if sheets.part == "pattern":
                parts = pattern if pack == FULL else [pack, *pattern]
            elif sheets.part == "booklet":
                parts = [words("files.read") if pack == FULL else pack, paper]
            elif sheets.pieces or sheets.format.key != self.paper:
                parts += pattern
            if sheets.inverted:
                parts.append(words("files.inverted"))
        return f"{self.whose}_{'_'.join(file_name(p) for p in parts)}"

    @property
    def _words(self) -> Words:
        return words_for(self.shop.language, self.shop.wording)


def read_inputs(
    style: Path,
    body: Path | None = None,
    shop: Path | None = None,
    options: Sequence[str] = (),
    units: str | None = None,
    paper: str | None = None,
    width: str | None = None,
    sheets: SheetWords | None = None,
    pack: str | None = None,
    sizes: str | None = None,
    language: str | None = None,
) -> Inputs:
    """Reads everything, and raises one `Fault` for all that is wrong with it. Paper and units that are not told are those
    of the shop, else A4 and the style's."""
    collector = Collector()
    asked: dict[str, str] = {}
    workroom, chosen_pack = None, None
    with collector.catching():
        workroom = read_shop(style, shop, language)
    paper = paper or (workroom.paper if workroom is not None else "") or "a4"
    units = units or (workroom.units if workroom is not None else "") or None
    packs = Path(workroom.packs) if workroom is not None and workroom.packs else None
    for name in [] if packs is None else sorted(p.stem for p in packs.glob("*.yaml")):
        with collector.catching():
            read_pack(name, packs)  # all of a shop's packs are told of, whichever is asked for
    if pack is not None:
        with collector.catching():
            chosen_pack = read_pack(pack, packs)
    with collector.catching():
        one_of("--paper", paper, PAPERS)
    choice: SheetChoice | None = None
    with collector.catching():
        choice = _sheets(sheets or SheetWords(), paper.lower(), workroom)
    with collector.catching():
        one_of("--units", units or "cm", UNITS)
    with collector.catching():
        asked = asked_options(options)
    with collector.catching():
        if width is not None:
            parse_length(width, units or "cm", name="--width", zero=False)
    files, person = None, None
    with collector.catching():
        files = read_style(style)
    if files is not None:
        with collector.catching():
            check_options(files.sources["style"], asked)
    table: SizeTable | None = None
    with collector.catching():
        if sizes is not None:
            table = sizes_asked(style, body, sizes)
            person = table.bodies[table.base]
        elif body is not None:
            person = read_body(body)
        elif files is not None:
            person = read_base(files.folder, files.sources["style"])
    collector.raise_if_errors()
    assert files is not None and person is not None and workroom is not None
    own: Literal["cm", "in"] = "in" if files.style.units == "in" else "cm"
    chosen = cast("Literal['cm', 'in']", units) if units else own
    return Inputs(
        files, person, workroom, asked, chosen, cast("Literal['a4', 'letter']", paper.lower()), width, choice,
        chosen_pack, table.bodies if table is not None else (), table.base if table is not None else 0,
    )  # fmt: skip


def one_size(size: str | None, sizes: str | None) -> str | None:
    """What --size and --sizes ask for together, as --sizes takes it. Raises `Fault` for both, or several in --size."""
    if size is not None and sizes is not None:
        raise Fault.of("usage", "--size and --sizes are both given", None, "Give one of them.")
    if size is not None and ("," in size or size.strip().lower() == ALL):
        raise Fault.of("usage", f"--size is '{size}'", None, "Give one size, or several with --sizes.")
    return size if size is not None else sizes


def sizes_asked(style: Path, body: Path | None, sizes: str) -> SizeTable:
    """The sizes of a style's table that are asked for. Raises `Fault`, also where a body is given beside them."""
    if body is not None:
        what = "a body and sizes are both given"
        raise Fault.of("usage", what, None, "Give --body for one person, or sizes of the style's table.")
    return read_sizes(style).chosen(sizes)


@dataclass(frozen=True)
class SheetWords:
    """What was said on the command line of how the pattern is printed; None and empty where nothing was."""

    format: str | None = None
    joining: str | None = None
    pieces: str | None = None
    part: str | None = None
    inverted: bool = False

    @property
    def asked(self) -> bool:
        return self != SheetWords()


def _sheets(words: SheetWords, paper: str, shop: Shop | None) -> SheetChoice | None:
    """None where nothing differs from what is usual."""
    margin = shop.margin if shop is not None else USUAL_MARGIN
    if not words.asked and margin == USUAL_MARGIN:
        return None
    return replace(sheet_choice(words, paper), margin=margin)


def sheet_choice(words: SheetWords, paper: str) -> SheetChoice:
    """Raises one `Fault` for everything wrong with it."""
    collector = Collector()
    chosen = FORMATS.get(paper, FORMATS["a4"])
    with collector.catching():
        chosen = sheet_format(words.format or paper)
    pieces = tuple(p.strip() for p in (words.pieces or "").split(",") if p.strip())
    if words.pieces is not None and not pieces:
        collector.error("usage", None, "--pieces names no piece", "Write it as --pieces sleeve,cuff.")
    if pieces and (words.part or "").lower() == "booklet":
        what = "--pieces with --only booklet would leave the pieces out"
        collector.error("usage", None, what, "Leave one of them out.")
    joining, part = (words.joining or "lap").lower(), (words.part or ("pattern" if pieces else "all")).lower()
    with collector.catching():
        one_of("--joining", joining, JOININGS)
    with collector.catching():
        one_of("--only", part, PARTS)
    if words.inverted and chosen.kind != "projector":
        collector.error(
            "usage",
            None,
            f"--inverted with --sheets {chosen.key} would print black pages",
            "It is for --sheets projector.",
        )
    collector.raise_if_errors()
    return SheetChoice(chosen, cast("Joining", joining), pieces, words.inverted, cast("Part", part))


ALSO = ("html", "txt")


def kinds_also(text: str | None) -> tuple[str, ...]:
    """'html,txt' as kinds, each once. Raises `Fault` for one that there is not."""
    kinds = tuple(dict.fromkeys(k.strip().lower() for k in (text or "").split(",") if k.strip()))
    collector = Collector()
    if text is not None and not kinds:
        collector.error("usage", None, "--also names nothing", f"Known: {', '.join(ALSO)}.")
    for kind in kinds:
        with collector.catching():
            one_of("--also", kind, ALSO)
    collector.raise_if_errors()
    return kinds


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


def beside_pdf(pdf: Path, kind: str) -> Path:
    """Where the instructions go that are made with a PDF. Raises `Fault` where they cannot, before anything is worked out."""
    path = pdf.with_suffix(f".{kind}")
    if path.is_dir():
        raise Fault.of("cannot-write", f"{path} is a folder", None, "Name the PDF otherwise.")
    return path


_RESERVED = re.compile(r"(?:con|prn|aux|nul|com\d|lpt\d)(?:\.|$)", re.IGNORECASE)  # Windows' device names
_LONGEST_PART = 48  # signs


def file_name(*parts: str) -> str:
    """Parts as a file's name, joined by '_', the words of each by '-', in signs that every file system takes."""
    return "_".join(_file_word(p) for p in parts)


def _file_word(text: str) -> str:
    word = re.sub(r"[^\w.+-]+", "-", text.replace("×", "x")).strip("._-")
    if len(word) > _LONGEST_PART:  # ends with a whole word, if there is more than one
        word = word[:_LONGEST_PART].rpartition("-")[0].rstrip("._-") or word[:_LONGEST_PART]
    return f"_{word}" if not word or _RESERVED.match(word) else word
