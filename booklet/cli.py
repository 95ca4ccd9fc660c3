"""The command `booklet`. Each part of it reads, calls the same few functions as a Python user, and says how it went.

Whatever goes wrong ends in a sentence on standard error and exit status 1 (130 after Ctrl-C), never in a traceback.
"""

from __future__ import annotations

import json
import os
import sys
import traceback
import warnings
from collections.abc import Sequence
from pathlib import Path
from typing import Annotated, Any

import typer

from booklet import __version__
from booklet.problems import Fault, Problem
from booklet.telling import counted, say, tell, working

DEBUG = "BOOKLET_DEBUG"  # set to 1, a fault of the program shows where it happened

STOPPED = 130  # the usual exit status after Ctrl-C

app = typer.Typer(
    name="booklet",
    help=(
        "From drafted pattern pieces and a sewing recipe to a printed booklet: cutting chart, lay plans, illustrated "
        "steps, and the pattern itself at full scale.\n\n"
        "A style is a folder with style.yaml, draft.yaml and sewing.yaml. Begin with `booklet new FOLDER`, look after "
        "it with `booklet check FOLDER`, and print with `booklet make FOLDER`."
    ),
    context_settings={"max_content_width": 100, "help_option_names": ["-h", "--help"]},
    add_completion=False,
    rich_markup_mode=None,
    pretty_exceptions_enable=False,
)

Style = Annotated[Path, typer.Argument(metavar="STYLE", help="The style's folder.")]
BodyFile = Annotated[
    Path | None,
    typer.Option(
        "--body", metavar="FILE", help="The body's file. Without it, the one that the style names as base."
    ),
]
Options = Annotated[
    list[str] | None,
    typer.Option(
        "--option",
        metavar="NAME=CHOICE",
        help="A choice of one of the style's options; may be given several times. Else the first choice listed.",
    ),
]
ShopFile = Annotated[
    Path | None,
    typer.Option(
        "--shop",
        metavar="FILE",
        help="The workroom's habits. Without it, the nearest shop.yaml upward from the style.",
    ),
]
Units = Annotated[
    str | None,
    typer.Option(
        "--units", metavar="cm|in", help="What the booklet is printed in. Without it, the style's unit."
    ),
]
Language = Annotated[
    str | None,
    typer.Option(
        "--language", metavar="en|fr|...", help="What it is printed in. Without it, the shop's own."
    ),
]
PaperName = Annotated[
    str | None,
    typer.Option(
        "--paper", metavar="a4|letter", help="The paper it is printed on. Without it the shop's own, else A4."
    ),
]
Width = Annotated[
    str | None,
    typer.Option(
        "--width",
        metavar="LENGTH",
        help="Width of the main cloth, such as '150 cm' or '45 in'. Else the first that the style lists.",
    ),
]
Sizes = Annotated[
    str | None,
    typer.Option(
        "--sizes",
        metavar="all|NAMES",
        help="Sizes of the style's size table, nested: 'all', or some such as '10,14'. A PDF layer a size.",
    ),
]
OneSize = Annotated[
    str | None,
    typer.Option("--size", metavar="NAME", help="One size of the table, as a file without layers."),
]


@app.callback(invoke_without_command=True)
def _top(
    context: typer.Context,
    version: Annotated[bool, typer.Option("--version", help="Show the version and stop.")] = False,
) -> None:
    if version:
        print(f"booklet {__version__}")
    elif context.invoked_subcommand is None:
        print(context.get_help())


@app.command(short_help="Write a small working style to begin with.")
def new(folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="A new or empty folder.")]) -> None:
    """Write a small working style to begin with: a commented skirt of two pieces that can be made as it stands."""
    from booklet.new_style import write_new_style

    for path in write_new_style(folder):
        print(path)
    print(f"Now try: booklet check {folder}")


@app.command(short_help="Check a style in every combination of its options.")
def check(
    style: Style,
    body: BodyFile = None,
    option: Options = None,
    shop: ShopFile = None,
    units: Units = None,
    language: Language = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print everything found as JSON.")] = False,
    strict: Annotated[bool, typer.Option("--strict", help="A warning fails the check too.")] = False,
) -> None:
    """Check a style for one body in every combination of its options (or of those that --option leaves free).

    Drafts, cuts and sews it on paper: lengths of seams, closed outlines, ease, openings, forgotten edges and more.
    """
    from booklet.combinations import check_combinations
    from booklet.facts import FORMAT, problem_facts
    from booklet.inputs import read_inputs

    try:
        given = read_inputs(style, body, shop, option or (), units, language=language)
    except Fault as fault:
        if as_json:
            print_json({"format": FORMAT, "passed": False, "combinations": [], "problems": [
                {**problem_facts(p), "combinations": None} for p in fault.problems]})  # fmt: skip
        raise
    with working("Checking"):
        outcome = check_combinations(given.style, given.body, given.options, given.units, given.shop)
    failed = bool(outcome.count("error") or (strict and outcome.count("warning")))
    if as_json:
        told = [
            {**problem_facts(f.problem), "combinations": [dict(c) for c in f.combinations]}
            for f in outcome.findings
        ]
        tried = [{"options": dict(c), "passed": not outcome.failed(c)} for c in outcome.combinations]
        print_json({"format": FORMAT, "passed": not failed, "combinations": tried, "problems": told})
    else:
        asides = {f.problem: outcome.only_with(f) for f in outcome.findings}
        tell([f.problem for f in outcome.findings], lambda p: asides[p])
        many = len(outcome.combinations)
        over = f"{many} combinations of options" if many > 1 else "one combination of options"
        found = ", ".join(counted(outcome.count(s), s) for s in ("error", "warning"))
        title = given.style.style.title
        print(f"{'Failed' if failed else 'Passed'}: {title}, for {given.body.name}, {over}: {found}.")
    if failed:
        raise typer.Exit(1)


@app.command(short_help="Make the booklet as a PDF.")
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
            "-o", "--out", metavar="FILE", help="The PDF. Without it STYLE-BODY-PAPER.pdf in this folder."
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
            "--papers", metavar="a4,letter", help="A PDF for each paper, into the folder or the .zip of -o."
        ),
    ] = None,
    previews: Annotated[
        bool, typer.Option("--previews", help="With --papers: some pages as PNG too, for a shop window.")
    ] = False,
    fresh: Annotated[
        bool, typer.Option("--fresh", help="Make it anew, whatever is kept from earlier.")
    ] = False,
) -> None:
    """Make the booklet as a PDF, for one body and one paper, or with --papers for several.

    A PDF of that name is replaced only when the new one is complete. A finished booklet is kept in your cache, so that
    the same one is there at once the next time (never with --fresh or BOOKLET_NO_CACHE=1).
    """
    from booklet.inputs import SheetWords, kinds_also, one_size, pdf_path, read_inputs
    from booklet.printing.files import write_beside

    kinds = kinds_also(also)
    wanted = one_size(size, sizes)
    printed_on = SheetWords(sheets, joining, pieces, only, inverted)

    def read(on: str | None) -> Any:
        return read_inputs(
            style, body, shop, option or (), units, on, width, printed_on, pack, wanted, language
        )

    if papers is not None:
        return _make_papers(read, papers, out, previews, fresh)
    if previews:
        raise Fault.of("usage", "--previews is given without --papers", None, "Say which papers.")
    given = read(paper)
    target = pdf_path(out, given.default_name)
    kept = _kept(given, kinds, fresh)
    write_beside(target, kept.pdf)
    for kind, text in kept.said["also"].items():
        write_beside(target.with_suffix("." + kind), text.encode("utf-8"))
    tell([Problem("made", severity, None, text) for severity, text in kept.said["problems"]])
    print(f"Wrote {target}: {kept.said['pages']}")


def _make_papers(read: Any, asked: str, out: Path | None, previews: bool, fresh: bool) -> None:
    """The same booklet on several papers, and pictures of it."""
    from booklet.job import make_job
    from booklet.packing import make_papers, papers_asked, previews_of, target_of, write_files

    papers = papers_asked(asked)
    first = read(papers[0])
    target = target_of(out, first.default_name.replace(f"-{papers[0]}", "", 1))
    said: list[tuple[Any, str]] = []

    def make(given: Any) -> bytes:
        kept = _kept(given, (), fresh)
        said.extend((severity, text) for severity, text in kept.said["problems"])
        pdf: bytes = kept.pdf
        return pdf

    def show(given: Any) -> list[bytes]:
        with working("Painting"):
            job = make_job(
                given.style, given.bodies, options=given.options, units=given.units, paper=given.paper, shop=given.shop,
                width=given.width, base=given.base,
            )  # fmt: skip
            return previews_of(job, given.pack)

    files = make_papers(read, papers, make, show if previews else None)
    write_files(target, files)
    tell([Problem("made", severity, None, text) for severity, text in dict.fromkeys(said)])
    print(f"Wrote {target}: {', '.join(files)}.")


def _kept(given: Any, kinds: Sequence[str], fresh: bool) -> Any:
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
        kept = _made(given, kinds)
        cache.keep(key, kept, place)
    return kept


def _made(given: Any, also: Sequence[str] = ()) -> Any:
    from booklet.cache import Kept
    from booklet.job import make_job
    from booklet.write import instructions_as, print_booklet

    with working("Drafting, laying and drawing"):
        job = make_job(
            given.style, given.bodies, options=given.options, units=given.units, paper=given.paper, shop=given.shop,
            width=given.width, base=given.base,
        )  # fmt: skip
    with working("Printing the pages"):
        printed = print_booklet(job, given.sheets, given.pack, given.attached)
    pages = printed.pages
    first, last = pages.first_tile, pages.first_tile + len(pages.tiles) - 1
    run = f"page {first}" if first == last else f"pages {first} to {last}"
    where = f", the pattern at full scale on {run}" if first else ""
    told: list[tuple[str, str]] = [
        (p.severity, p.sentence()) for p in job.problems if isinstance(p, Problem) and p.severity == "warning"
    ]
    told += [
        ("note", f"the pattern's pages have no room for the words '{words}'.") for words in pages.left_out
    ]
    texts = {kind: instructions_as(kind, job).decode("utf-8") for kind in also}
    said = {"pages": f"{pages.count} pages{where}.", "problems": told, "also": texts}
    return Kept(printed.pdf, said)


@app.command(short_help="Join a folder's styles into one file for the ring binder.")
def binder(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="The folder that holds the styles.")],
    out: Annotated[
        Path | None,
        typer.Option("-o", "--out", metavar="FILE", help="The PDF. Without it FOLDER-binder.pdf here."),
    ] = None,
    pack: Annotated[
        str,
        typer.Option(
            "--pack", metavar="NAME", help="What it holds of each style; the shop's sheet if not told."
        ),
    ] = "shop",
    shop: ShopFile = None,
    units: Units = None,
    language: Language = None,
    paper: PaperName = None,
) -> None:
    """Join a folder's styles into one file for the ring binder: an index, then the shop's sheet of each style.

    A style with problems is listed at the end of the index and doesn't stop the rest.
    """
    from booklet.binder import make_binder
    from booklet.inputs import PAPERS, UNITS, one_of, pdf_path
    from booklet.printing.files import write_beside

    one_of("--paper", paper or "a4", PAPERS)
    one_of("--units", units or "cm", UNITS)
    target = pdf_path(out, f"{folder.resolve().name}-binder")
    with working("Making the styles"):
        made = make_binder(folder, pack=pack, paper=paper, units=units, shop=shop, language=language)
    write_beside(target, made.pdf)
    for broken in made.broken:
        tell(broken.problems)
    left = f"; left out: {', '.join(b.name for b in made.broken)}" if made.broken else ""
    print(f"Wrote {target}: {made.pages} pages, {len(made.entries)} of the folder's styles{left}.")


@app.command(short_help="Tell what a booklet says, for people or as JSON.")
def facts(
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
    as_json: Annotated[bool, typer.Option("--json", help="Everything, as JSON for other programs.")] = False,
) -> None:
    """Tell what a booklet says, without making it: pieces, seams, measures, cloth, notions, steps and pages.

    With --json in full, in a stable form; without it a short overview.
    """
    from booklet.facts import job_facts, overview
    from booklet.inputs import one_size, read_inputs
    from booklet.job import make_job

    wanted = one_size(size, sizes)
    given = read_inputs(style, body, shop, option or (), units, paper, width, sizes=wanted, language=language)
    with working("Working it out"):
        job = make_job(
            given.style, given.bodies, options=given.options, units=given.units, paper=given.paper, shop=given.shop,
            width=given.width, base=given.base,
        )  # fmt: skip
        told = job_facts(job)
    if as_json:
        print_json(told)
    else:
        print("\n".join(overview(told)))


@app.command(short_help="Draw PNG pictures of garment, pieces, steps and lays.")
def look(
    style: Style,
    body: BodyFile = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o", "--out", metavar="FOLDER", help="Where the pictures go. Without it STYLE-BODY-look here."
        ),
    ] = None,
    draft: Annotated[
        bool,
        typer.Option(
            "--draft", help="Only the draft: points, lines and pieces with their names, finished or not."
        ),
    ] = False,
) -> None:
    """Draw PNG pictures of the garment, the pieces, the steps and the lay plans, to look at while you work.

    With --draft every point, line and edge with its name, also of a draft that is not finished or has no recipe yet.
    """
    if draft:
        return look_at_draft(style, body, units, option, out)
    from booklet.inputs import read_inputs
    from booklet.job import make_job
    from booklet.show_pictures import write_pictures

    given = read_inputs(style, body, shop, option or (), units, "a4", width, language=language)
    folder = out or Path(given.default_name.removesuffix("-a4") + "-look")
    with working("Drafting, laying and drawing"):
        job = make_job(
            given.style,
            given.body,
            options=given.options,
            units=given.units,
            shop=given.shop,
            width=given.width,
        )
    with working("Painting"):
        written = write_pictures(job, folder)
    tell([p for p in job.problems if isinstance(p, Problem) and p.severity == "warning"])
    print(f"Wrote {len(written)} pictures into {folder}.")


def look_at_draft(
    style: Path, body: Path | None, units: str | None, options: list[str] | None, out: Path | None
) -> None:
    """The pictures of a draft by itself; what cannot be drafted is told, and the exit status is 1."""
    from booklet.show_draft import read_draft, write_draft_pictures

    given = read_draft(style, body, options or (), units)
    folder = out or Path(f"{given.default_name}-draft-look")
    with working("Drafting and painting"):
        written, problems = write_draft_pictures(given, folder)
    tell(problems)
    print(f"Wrote {len(written)} {'picture' if len(written) == 1 else 'pictures'} into {folder}.")
    if any(p.severity == "error" for p in problems):
        raise typer.Exit(1)


@app.command(short_help="Search longer for short lays, and keep the best.")
def lay(
    style: Style,
    body: BodyFile = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    width: Width = None,
    seconds: Annotated[
        float, typer.Option("--seconds", metavar="S", help="How long to search, in all.", min=1.0)
    ] = 60.0,
    remnant: Annotated[
        str | None,
        typer.Option(
            "--remnant",
            metavar="LENGTHxWIDTH",
            help="Does the main cloth fit on a leftover, such as '120cm x 90cm' (without selvedges)? Keeps nothing.",
        ),
    ] = None,
    into: Annotated[
        Path | None,
        typer.Option(
            "--into", metavar="FILE", help="Keep the lays in this file. Else lays.yaml in the style's folder."
        ),
    ] = None,
    as_json: Annotated[bool, typer.Option("--json", help="Print the lays as JSON.")] = False,
) -> None:
    """Search longer for short lays than `make` does, and keep the best in the style's lays.yaml.

    `make` uses a kept lay as it stands while the pieces are the same, and lays its order once more for another body.
    Ctrl-C ends the search and keeps what was found. A lay that is kept is never replaced by a longer one.
    """
    from booklet.inputs import read_inputs
    from booklet.lay_report import lay_facts, remnant_facts, searching, table
    from booklet.lay_style import lay_remnant, lay_style

    given = read_inputs(style, body, shop, option or (), units, "a4", width, language=language)
    if remnant is not None:
        with searching() as progress:
            found = lay_remnant(given, remnant, seconds, progress)
        print_json(remnant_facts(found)) if as_json else print(found.told)
        return
    with searching() as progress:
        outcome = lay_style(given, seconds, progress, into)
    tell(outcome.problems)
    if as_json:
        print_json(lay_facts(outcome))
        return
    print("\n".join((*table(outcome, given.units), *outcome.notes)))
    kept = {0: "No shorter lay was found than those kept", 1: "One lay was kept"}
    print(f"{kept.get(outcome.new, f'{outcome.new} lays were kept')} in {outcome.file}.")


@app.command(short_help="Write the pieces as a DXF file for other programs.")
def dxf(
    style: Style,
    body: BodyFile = None,
    units: Units = None,
    language: Language = None,
    option: Options = None,
    shop: ShopFile = None,
    out: Annotated[
        Path | None,
        typer.Option(
            "-o", "--out", metavar="FILE", help="The DXF file. Without it STYLE-BODY.dxf in this folder."
        ),
    ] = None,
) -> None:
    """Write the pieces as a DXF file for other programs, for one body: in mm, by the layers of ASTM D6673.

    One block a piece with its cut line, stitching line, mirror line, grain, notches, inner lines, drill holes and words.
    """
    from booklet.dxf_out import write_dxf
    from booklet.inputs import file_path, read_inputs

    given = read_inputs(style, body, shop, option or (), units, language=language)
    target = file_path(out, given.default_name.removesuffix("-a4"), ".dxf")
    with working("Drafting and cutting"):
        count, problems = write_dxf(given, target)
    tell([p for p in problems if p.severity == "warning"])
    print(f"Wrote {target}: {count} {'piece' if count == 1 else 'pieces'}.")


@app.command(name="try", short_help="Try a style on every body of a table.")
def try_(
    style: Style,
    bodies: Annotated[
        Path, typer.Argument(metavar="BODIES.csv", help="A table: a column a measure, a row a body.")
    ],
    columns: Annotated[
        Path | None,
        typer.Option(
            "--columns", metavar="FILE", help="Which column stands for which measure, where names differ."
        ),
    ] = None,
    option: Options = None,
    all_options: Annotated[
        bool, typer.Option("--all-options", help="Try every combination of the options.")
    ] = False,
    unit: Annotated[
        str | None,
        typer.Option(
            "--unit", metavar="mm|cm|in", help="What the table's bare numbers are in. Without it cm."
        ),
    ] = None,
    limit: Annotated[
        int | None, typer.Option("--limit", metavar="N", help="Only the first N bodies.")
    ] = None,
    shop: ShopFile = None,
    as_json: Annotated[bool, typer.Option("--json", help="Everything counted, as JSON.")] = False,
) -> None:
    """Try a style on every body of a table, to see whom it fits and why not.

    Clean means: drafted and sewn on paper without a remark, and every least ease kept.
    """
    from booklet.trying import read_trial, try_bodies
    from booklet.trying_report import counting, print_trial, trial_facts

    given = read_trial(style, bodies, columns, shop, option or (), all_options, unit, limit)
    with counting(len(given.table.rows)) as step:
        trial = try_bodies(given.style, given.table.rows, given.combinations, given.units, given.shop, step)
    if as_json:
        print_json(trial_facts(given.style, given.table, trial))
    else:
        print_trial(given.style, given.table, trial)
        tell(trial.cells[:20])


@app.command(short_help="Write JSON schemas of the files for your editor.")
def schema(
    folder: Annotated[Path, typer.Argument(metavar="FOLDER", help="Where the schemas go; made if need be.")],
) -> None:
    """Write JSON schemas of the files, from which an editor can complete keys and choices as you type."""
    from booklet.printing.files import write_beside
    from booklet.reading.schemas import schemas

    make_folder(folder)
    for name, content in schemas().items():
        write_beside(folder / name, (json.dumps(content, indent=2, ensure_ascii=False) + "\n").encode())
        print(folder / name)


def make_folder(folder: Path) -> None:
    """Raises `Fault` where it cannot be made."""
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        reason = (error.strerror or str(error)).lower()
        raise Fault.of("cannot-write", f"the folder {folder} cannot be made: {reason}", None) from None


def print_json(data: Any) -> None:
    print(json.dumps(data, indent=1, allow_nan=False))


# ---------------------------------------------------------------- the door

# typer's usage errors, wherever this version of it keeps them
_Usage: type[Exception] = typer.BadParameter.__mro__[2]


def main(arguments: Sequence[str] | None = None) -> int:
    """Runs a command line and returns the exit status."""
    if not sys.warnoptions:
        warnings.simplefilter("ignore")  # a library's own remarks are not for a pattern maker
    for stream in (sys.stdout, sys.stderr):
        reconfigure = getattr(stream, "reconfigure", None)
        if reconfigure is not None:
            reconfigure(errors="replace")  # a terminal without ≈ or ½ still gets the sentence
    try:
        status = _run(list(sys.argv[1:] if arguments is None else arguments))
        sys.stdout.flush()
        return status
    except BrokenPipeError:
        # Whoever read our output has stopped; the interpreter's own last flush must not complain either.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return 1


def _run(arguments: list[str]) -> int:
    try:
        result = typer.main.get_command(app).main(arguments, prog_name="booklet", standalone_mode=False)
        if result == STOPPED:  # typer may have caught Ctrl-C itself
            raise KeyboardInterrupt
        return result if isinstance(result, int) else 0
    except Fault as fault:
        tell(fault.problems)
    except _Usage as wrong:
        say(_usage_words(wrong))
    except typer.Exit as end:
        return end.exit_code
    except (typer.Abort, KeyboardInterrupt):
        say("Stopped. Nothing was written.")
        return STOPPED
    except BrokenPipeError:
        raise
    except MemoryError:
        say("There is not enough memory for this style.")
    except OSError as error:
        place = f"{error.filename}: " if error.filename else ""
        say(f"This cannot be done here: {place}{(error.strerror or str(error)).lower()}.")
    except Exception as error:
        say(_own_fault(error))
    return 1


def _usage_words(wrong: Exception) -> str:
    message = str(getattr(wrong, "format_message", lambda: str(wrong))()).strip()
    context = getattr(wrong, "ctx", None)
    where = getattr(context, "command_path", "booklet") or "booklet"
    if not message:
        return f"A command is missing. See `{where} --help`."
    return f"{message.rstrip('.?')}{'?' if message.endswith('?') else '.'} See `{where} --help`."


def _own_fault(error: Exception) -> str:
    """One sentence for what should never happen; the whole trace only for whoever asks for it."""
    if os.environ.get(DEBUG, "0") not in ("", "0"):
        return traceback.format_exc().rstrip()
    last = traceback.extract_tb(error.__traceback__)[-1]
    kind, words = type(error).__name__, " ".join(str(error).split())[:120]
    return (
        f"This is a fault of the program, not of your files: {kind} in {Path(last.filename).name}, line {last.lineno}"
        f"{f' ({words})' if words else ''}. Please report it with this sentence and the files; {DEBUG}=1 shows more."
    )
