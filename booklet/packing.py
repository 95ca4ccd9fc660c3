"""A pack on several papers at once: one PDF each in a folder or a zip, with pictures of some pages for a shop window."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from pathlib import Path

from booklet.drawing.page import PageSpec
from booklet.drawing.recolour import recoloured
from booklet.inputs import PAPERS, Inputs, SheetWords
from booklet.model import Job
from booklet.printing.files import make_folder, write_beside
from booklet.printing.formats import FORMATS, SheetChoice
from booklet.printing.picture import picture_bytes
from booklet.problems import Collector, Fault, nearest
from booklet.reading.packs import Pack
from booklet.write import laid_out

SHOWN = ("cover", "measures", "chart", "steps", "sheet")  # a window shows the first page of these
ALL = (
    "a4",
    "letter",
    "a0",
    "roll 36 in",
    "projector",
)  # for printers at home, for copy shops, for the cutting table
DPI = 110.0
_DAY_ONE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can say: no clock


def papers_asked(text: str) -> tuple[str, ...]:
    """'a4,letter,a0' as names, each once; 'all' stands for `ALL`. Raises one `Fault` for all that are no paper."""
    names = list(dict.fromkeys(p.strip().lower() for p in text.split(",") if p.strip()))
    names = list(dict.fromkeys(p for name in names for p in (ALL if name == "all" else (name,))))
    collector = Collector()
    if not names:
        collector.error("usage", None, "--papers names no paper", f"Known: all, {', '.join(FORMATS)}.")
    for name in names:
        if not name[0].isdigit() and " ".join(name.replace("-", " ").split()) not in FORMATS:
            mend = nearest(name, ("all", *FORMATS)).strip()
            collector.error("usage", None, f"--papers names '{name}'", mend)
    collector.raise_if_errors()
    return tuple(names)


def sheets_on(name: str, asked: SheetWords) -> tuple[str | None, SheetWords]:
    """What --paper and how the pattern is printed are for one of the papers: a booklet's own takes the whole booklet, any
    other the pattern alone."""
    return (name, asked) if name in PAPERS else (None, replace(asked, format=name, part="pattern"))


def target_of(out: Path | None, name: str) -> Path:
    """The folder or the zip that the files go into. Raises `Fault` before anything is worked out."""
    target = out if out is not None else Path(name)
    if target.suffix.lower() == ".pdf":
        raise Fault.of("usage", f"the output '{target}' is one PDF, and --papers makes several", None,
                       "Name a folder, or a file that ends in .zip.")  # fmt: skip
    if target.suffix.lower() == ".zip":
        if not target.parent.is_dir() or target.is_dir():
            raise Fault.of(
                "cannot-write", f"{target} cannot be written there", None, "Make its folder first."
            )
    elif target.exists() and not target.is_dir():
        raise Fault.of("cannot-write", f"{target} is a file, and a folder is needed", None, "Name another.")
    return target


def write_files(target: Path, files: Mapping[str, bytes]) -> list[Path]:
    """Writes the files into the folder, or as one zip; returns what was written. Raises `Fault`."""
    if target.suffix.lower() == ".zip":
        write_beside(target, zip_bytes(files))
        return [target]
    make_folder(target)
    for name, data in files.items():
        write_beside(target / name, data)
    return [target / name for name in files]


def zip_bytes(files: Mapping[str, bytes]) -> bytes:
    """The same files give the same bytes."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w") as archive:
        for name, data in files.items():
            entry = zipfile.ZipInfo(name, _DAY_ONE)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            archive.writestr(entry, data)
    return out.getvalue()


def previews_of(job: Job, pack: Pack | None, choice: SheetChoice | None = None) -> list[tuple[str, bytes]]:
    """The first page of each section that a window shows, as it is in the booklet: the section with its PNG."""
    shown: dict[str, PageSpec] = {}
    for page in laid_out(job, choice, pack)[0]:
        if page.section in SHOWN:
            shown.setdefault(page.section, page)
    pages = recoloured(list(shown.values()), job.shop.palette)
    return [(name, picture_bytes(page.drawing, "png", DPI)) for name, page in zip(shown, pages, strict=True)]


def named_previews(name: str, shown: Sequence[tuple[str, bytes]]) -> dict[str, bytes]:
    """The pictures by their files' names: NAME-preview-1-cover.png."""
    return {f"{name}-preview-{n}-{section}.png": png for n, (section, png) in enumerate(shown, 1)}


def whole_booklet(given: Sequence[Inputs]) -> Inputs:
    """Which of them has the pages to read: the first, if any."""
    return next((g for g in given if g.sheets is None or g.sheets.part != "pattern"), given[0])


def make_papers(
    given: Sequence[Inputs],
    make: Callable[[Inputs, Sequence[str]], tuple[bytes, Mapping[str, str]]],
    kinds: Sequence[str] = (),
    show: Callable[[Inputs], list[tuple[str, bytes]]] | None = None,
) -> dict[str, bytes]:
    """Every file by its name: a PDF for each paper, then the instructions as the `kinds` asked for, then the pictures, both
    of the first whole booklet. `make` gives a PDF, and the texts of the kinds that it is asked for.
    """
    whole = whole_booklet(given)
    files: dict[str, bytes] = {}
    texts: dict[str, bytes] = {}
    for one in given:
        pdf, told = make(one, kinds if one is whole else ())
        files[one.bought_name + ".pdf"] = pdf
        texts |= {f"{one.read_name}.{kind}": text.encode("utf-8") for kind, text in told.items()}
    files |= texts
    return files | named_previews(whole.bought_name, show(whole)) if show is not None else files
