"""From what a command was given to a `Job`, and to a finished booklet with what is said of it."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.cache import Kept
from booklet.cloth.watch import Doing, silent
from booklet.inputs import Inputs
from booklet.job import make_job
from booklet.model import Job
from booklet.problems import Problem
from booklet.telling import working
from booklet.write import instructions_as, print_booklet


def job_of(given: Inputs, doing: Doing = silent) -> Job:
    """Everything the booklet will say; `doing` is told what is laid and drawn just now. Raises `Fault`."""
    return make_job(
        given.style,
        given.bodies,
        options=given.options,
        units=given.units,
        paper=given.paper,
        shop=given.shop,
        width=given.width,
        base=given.base,
        doing=doing,
    )


def make_booklet(given: Inputs, also: Sequence[str] = ()) -> Kept:
    """A finished booklet as the cache keeps it; `also` names other kinds of its instructions. Raises `Fault`."""
    with working("Drafting") as doing:
        job = job_of(given, doing)
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
    count = "1 page" if pages.count == 1 else f"{pages.count} pages"
    said = {"pages": f"{count}{where}.", "problems": told, "also": texts}
    return Kept(printed.pdf, said)
