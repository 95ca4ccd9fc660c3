"""A pack on several papers at once: one PDF each in a folder or a zip, with pictures of some pages for a shop window."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path

from booklet.drawing.display import Drawing
from booklet.drawing.page import PageSpec
from booklet.drawing.recolour import recoloured
from booklet.inputs import PAPERS, Inputs
from booklet.model import Job
from booklet.pages.compose import compose
from booklet.pages.packs import section_leaves
from booklet.pages.words import words_for
from booklet.printing.files import write_beside
from booklet.printing.picture import picture_bytes
from booklet.problems import Collector, Fault, nearest
from booklet.reading.packs import FULL, Pack, read_pack

SHOWN = ("cover", "measures", "chart", "steps", "sheet")  # a window shows the first page of these
DPI = 110.0
_DAY_ONE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can say: no clock


def papers_asked(text: str) -> tuple[str, ...]:
    """'a4,letter' as names, each once. Raises one `Fault` for all that are no paper."""
    names = list(dict.fromkeys(p.strip().lower() for p in text.split(",") if p.strip()))
    collector = Collector()
    if not names:
        collector.error("usage", None, "--papers names no paper", f"Known: {', '.join(PAPERS)}.")
    for name in names:
        if name not in PAPERS:
            collector.error("usage", None, f"--papers names '{name}'", nearest(name, PAPERS).strip())
    collector.raise_if_errors()
    return tuple(names)


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
    try:
        target.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise Fault.of("cannot-write", f"the folder {target} cannot be made: {reason}", None) from None
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


def previews_of(job: Job, pack: Pack | None) -> list[bytes]:
    """PNGs of the first pages of the sections that a window shows, in the pack's order."""
    pack = pack or read_pack(FULL)
    words = words_for(job.language, job.wording)
    views = [(title, view) for title, view in job.views if isinstance(view, Drawing)]
    pages = recoloured(compose(job, cover=views, pack=pack), job.shop.palette)
    at, shown = 0, []
    leaves = section_leaves(job, words, pack)
    for section in pack.sections:
        count = _count(section.name, section.count, leaves, pages)
        if section.name in SHOWN and count:
            shown.append(pages[at])
        at += count
    return [picture_bytes(page.drawing, "png", DPI) for page in shown]


def _count(
    name: str, pages_of: int, leaves: Mapping[str, Sequence[object]], pages: Sequence[PageSpec]
) -> int:
    if name == "cover":
        return 1
    if name == "sheet":
        wide = [p for p in pages if p.drawing.width > p.drawing.height]
        return len(wide)
    return len(leaves.get(name, ())) or pages_of


def make_papers(
    read: Callable[[str], Inputs],
    papers: Sequence[str],
    make: Callable[[Inputs], bytes],
    show: Callable[[Inputs], list[bytes]] | None,
) -> dict[str, bytes]:
    """Every file by its name: a PDF for each paper, then the pictures, made from the first."""
    files: dict[str, bytes] = {}
    first: Inputs | None = None
    for paper in papers:
        given = read(paper)
        first = first or given
        files[given.default_name + ".pdf"] = make(given)
    if show is not None and first is not None:
        for n, png in enumerate(show(first), 1):
            files[f"{first.default_name}-preview-{n}.png"] = png
    return files
