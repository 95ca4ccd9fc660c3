"""`booklet make`: the booklet as a PDF, on one paper or on several."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Annotated

import typer

from booklet.commands.options import (
    BodyFile,
    Language,
    OneSize,
    Options,
    PaperName,
    ShopFile,
    Sizes,
    Style,
    Units,
    Width,
)
from booklet.problems import Problem, Severity
from booklet.telling import tell, working

if TYPE_CHECKING:
    from booklet.cache import Kept
    from booklet.inputs import Inputs


def make(
    style: Style,
    body: BodyFile = None,
    sizes: Sizes = None,
    size: OneSize = None,
    paper: PaperName = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    sheets: Annotated[
        str | None,
        typer.Option(
            "--sheets",
            metavar="PAPER",
            help="What the pattern is printed on, if not on --paper: both (A4 or Letter), a3, tabloid, a2, a1, a0, "
            "'ansi e', 'roll 36 in', 'roll 914 mm', projector, or a sheet such as '700 x 1000 mm'.",
        ),
    ] = None,
    joining: Annotated[
        str | None,
        typer.Option(
            "--joining", metavar="lap|butt", help="Pages lapped and glued, or trimmed all round and taped."
        ),
    ] = None,
    pieces: Annotated[
        str | None,
        typer.Option(
            "--pieces", metavar="NAMES", help="Only these pieces of the pattern, such as 'sleeve,cuff'."
        ),
    ] = None,
    only: Annotated[
        str | None,
        typer.Option(
            "--only", metavar="booklet|pattern", help="Only the pages to read, or only the pattern."
        ),
    ] = None,
    inverted: Annotated[
        bool, typer.Option("--inverted", help="For a projector: light lines on a dark ground.")
    ] = False,
    also: Annotated[
        str | None,
        typer.Option(
            "--also",
            metavar="html,txt",
            help="The instructions as well for a screen, or as plain text, beside the PDF.",
        ),
    ] = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o",
            "--out",
            metavar="FILE",
            help="The PDF. Without it a name in this folder from style, size, contents and paper, such as "
            "T-21_Bib-apron_Size-M_booklet_A4.pdf.",
        ),
    ] = None,
    pack: Annotated[
        str | None,
        typer.Option(
            "--pack",
            metavar="NAME",
            help="Which sections: apprentice, sale, shop, full, or one of the shop's own. Else full.",
        ),
    ] = None,
    papers: Annotated[
        str | None,
        typer.Option(
            "--papers",
            metavar="all|a4,letter,a0",
            help="A PDF for each paper, into the folder or the .zip of -o: the booklet on a4 and letter, the pattern "
            "alone on any that --sheets takes. 'all' is a4, letter, a0, a 36 in roll and a projector's page.",
        ),
    ] = None,
    previews: Annotated[
        bool,
        typer.Option(
            "--previews",
            help="The first pages of cover, measures, chart, steps and sheet as PNG too, beside the PDF, for a shop window.",
        ),
    ] = False,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="Make it anew, whatever is kept from earlier.")
    ] = False,
) -> None:
    """Make the booklet as a PDF, for one body and one paper, or with --papers for several.

    A PDF of that name is replaced only when the new one is complete. A finished booklet is kept in your cache, so that
    the same one is there at once the next time (never with --fresh or BOOKLET_NO_CACHE=1).
    """
    from booklet.inputs import SheetWords, beside_pdf, kinds_also, one_size, pdf_path, read_inputs
    from booklet.printing.files import write_beside

    kinds = kinds_also(also)
    wanted = one_size(size, sizes)
    printed_on = SheetWords(sheets, joining, pieces, only, inverted)

    def read(on: str | None, how: SheetWords) -> Inputs:
        return read_inputs(style, body, shop, option or (), units, on, width, how, pack, wanted, language)

    if papers is not None:
        from booklet.packing import sheets_on

        def read_on(name: str) -> Inputs:
            on, how = sheets_on(name, printed_on)
            return read(on or paper, how)

        return _make_papers(read_on, papers, out, kinds, previews, fresh)
    given = read(paper, printed_on)
    target = pdf_path(out, given.default_name)
    beside = {kind: beside_pdf(target, kind) for kind in kinds}
    kept = _kept(given, kinds, fresh)
    pictures = _pictures(given, target.stem) if previews else {}
    write_beside(target, kept.pdf)
    for name, png in pictures.items():
        write_beside(target.with_name(name), png)
    for kind, text in kept.said["also"].items():
        write_beside(beside[kind], text.encode("utf-8"))
    tell([Problem("made", severity, None, text) for severity, text in kept.said["problems"]])
    print(f"Wrote {target}: {kept.said['pages']}")
    if pictures:
        print(f"Beside it: {', '.join(pictures)}.")


def _pictures(given: Inputs, name: str) -> dict[str, bytes]:
    """Pages for a shop window, by their files' names."""
    from booklet.packing import named_previews

    return named_previews(name, _shown(given))


def _shown(given: Inputs) -> list[tuple[str, bytes]]:
    from booklet.making import job_of
    from booklet.packing import previews_of

    with working("Painting"):
        return previews_of(job_of(given), given.pack, given.sheets)


def _make_papers(
    read: Callable[[str], Inputs],
    asked: str,
    out: Path | None,
    kinds: Sequence[str],
    previews: bool,
    fresh: bool,
) -> None:
    """The same booklet on several papers, its instructions for a screen, and pictures of it."""
    from booklet.inputs import file_name
    from booklet.packing import make_papers, papers_asked, target_of, write_files
    from booklet.reading.packs import FULL

    given = [read(paper) for paper in papers_asked(asked)]
    first = given[0]
    pack = first.pack.name if first.pack is not None else FULL
    target = target_of(out, first.whose if pack == FULL else f"{first.whose}_{file_name(pack)}")
    said: list[tuple[Severity, str]] = []

    def one_pdf(one: Inputs, also: Sequence[str]) -> tuple[bytes, dict[str, str]]:
        kept = _kept(one, also, fresh)
        said.extend((severity, text) for severity, text in kept.said["problems"])
        return kept.pdf, kept.said["also"]

    files = make_papers(given, one_pdf, kinds, _shown if previews else None)
    write_files(target, files)
    tell([Problem("made", severity, None, text) for severity, text in dict.fromkeys(said)])
    print(f"Wrote {target}: {', '.join(files)}.")


def _kept(given: Inputs, kinds: Sequence[str], fresh: bool) -> Kept:
    """The finished booklet: the one kept from earlier, else made now and kept."""
    from booklet import cache

    place = None if fresh else cache.folder()
    choices = {
        "options": given.options,
        "units": given.units,
        "language": given.shop.language,
        "sizes": [b.code for b in given.sizes],
        "paper": given.paper,
        "width": given.width,
        "sheets": repr(given.sheets),
        "also": kinds,
        "pack": given.pack.name if given.pack is not None else "",
        "folder": given.style.folder.as_posix(),
    }
    key = cache.key_of(given.files, choices) if place else ""
    kept = cache.look_up(key, place)
    if kept is None:
        from booklet.making import make_booklet

        kept = make_booklet(given, kinds)
        cache.keep(key, kept, place)
    return kept
