"""The steps of a nested booklet, read back from the finished PDF: each size finds its own figures in them.

The letters of a step are looked up in the table that is printed with it, figures in a row are counted off in size order;
what then stands there must be the words of that size made alone, to the last figure.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from itertools import groupby

import pypdfium2
import pytest
from helpers.steps import ROOT

from booklet.drawing import look
from booklet.job import check_style, make_job
from booklet.model import Job
from booklet.pages.spec import framed
from booklet.pages.steps import step_leaves
from booklet.pages.words import words_for
from booklet.printing.pdf import pdf_bytes
from booklet.reading.read import read_body, read_style
from booklet.reading.sizes import SizeTable, read_sizes
from booklet.sewing.size_align import quantities

N = "\u00a0"
POINTS = 72 / 25.4
FOOT = 16.0  # mm at the page's foot that belong to no step: below its rule
APART, SPACE = 1.3, 0.25  # mm between two cells, between two words
UNITS = ("cm", "in")
# The table of a whole range, in a step's letters; three sizes of it, in rows of figures.
RANGES = (
    ("trousers", "all"),
    ("trousers", "98,110,122"),
    ("top", "all"),
    ("aline", "34,44,46"),
    ("skirt", "all"),
    ("apron", "all"),
    ("blouse", "all"),
)
GRADED = "graded"  # a range made of the style's own body, for counts that change with the size
CASES = [*((style, asked, units) for style, asked in RANGES for units in UNITS), ("blouse", GRADED, "cm")]


def table_of(style: str, asked: str) -> SizeTable:
    if asked == GRADED:
        body = read_body(read_style(ROOT / "styles" / style).base)
        assert all(isinstance(v, float) for v in body.measures.values())
        bodies = [
            replace(
                body,
                code=str(34 + 2 * n),
                measures={k: v * (0.91 + 0.03 * n) for k, v in body.measures.items()},  # type: ignore[operator]
                of_table=True,
            )
            for n in range(8)
        ]
        return SizeTable("graded", tuple(bodies), 3)
    return read_sizes(ROOT / "styles" / style).chosen(asked)


@cache
def nested(style: str, asked: str, units: str) -> Job:
    table = table_of(style, asked)
    files = read_style(ROOT / "styles" / style)
    return make_job(files, table.bodies, base=table.base, units=units, evaluations=0)  # type: ignore[arg-type]


@dataclass(frozen=True)
class Cell:
    """Words on a page that stand near each other: mm from the paper's left and its top."""

    left: float
    right: float
    y: float
    text: str


@dataclass(frozen=True)
class PrintedStep:
    text: str
    cells: tuple[Cell, ...]  # line by line

    def table(self, names: Sequence[str]) -> dict[str, list[str]]:
        """The step's letters with a value a size, units put back: each under the name of its size."""
        out: dict[str, list[str]] = {}
        lines = [list(line) for _, line in groupby(self.cells, key=lambda c: c.y)]
        heads: list[Cell] = []
        for line in lines:
            near = [c for c in line if abs(c.left - look.WORDS_LEFT) < 0.5]
            if [c.text for c in near] == ["size"]:
                heads = [c for c in line if c.text in names]
            elif heads and near and re.fullmatch("[A-Z]", near[0].text):
                under = [next(c for c in line if abs(c.right - h.right) < 0.5) for h in heads]
                between = [c.text for c in line if near[0].right < c.left and c.right < under[0].left]
                unit = N + between[0] if between else ""
                values = [c.text.replace(" ", N) + unit for c in under]
                out.setdefault(near[0].text, []).extend(values)
            elif near:  # not the label of a picture beside the table
                heads = []
        return out


def printed_steps(job: Job) -> dict[int, PrintedStep]:
    """Each step as the finished file gives it, by its number."""
    words = words_for(job.language, job.wording)
    leaves = step_leaves(job, words)
    specs = [framed(leaf, job, words, n, len(leaves)) for n, leaf in enumerate(leaves, 1)]
    file = pdf_bytes(specs, title="t", author="a", subject="s", language="en")
    out: dict[int, PrintedStep] = {}
    document = pypdfium2.PdfDocument(file)
    try:
        for spec, page in zip(specs, document, strict=True):
            steps = [b for b in spec.bookmarks if b.level == 1]
            high = spec.drawing.height
            tops = [*(b.y for b in steps), high - FOOT]
            text = page.get_textpage()
            cells = cells_of(text, high)
            for mark, top, foot in zip(steps, tops, tops[1:], strict=False):
                number = int(mark.title.partition(" ")[0])
                told = text.get_text_bounded(
                    left=0, bottom=(high - foot) * POINTS, right=9999, top=(high - top) * POINTS
                )
                out[number] = PrintedStep(told, tuple(c for c in cells if top < c.y < foot))
    finally:
        document.close()
    return out


def cells_of(text: pypdfium2.PdfTextPage, high: float) -> list[Cell]:
    """The words of a page parted where more than a space is between them, by their baselines."""
    signs = []
    for n in range(text.count_chars()):
        sign = text.get_text_range(n, 1)
        left, bottom, right, _ = (v / POINTS for v in text.get_charbox(n, loose=True))
        if sign.strip():
            signs.append((round(high - bottom, 1), left, right, sign))
    out: list[Cell] = []
    for y, left, right, sign in sorted(signs):
        last = out[-1] if out else None
        if last is not None and last.y == y and left - last.right < APART:
            gap = " " if left - last.right > SPACE else ""
            out[-1] = Cell(last.left, right, y, last.text + gap + sign)
        else:
            out.append(Cell(left, right, y, sign))
    return out


def for_size(text: str, table: dict[str, list[str]], n: int, count: int) -> str:
    """A printed text as one size reads it."""
    text = re.sub(r"\*\*([A-Z])\*\*", lambda m: table[m[1]][n], text).replace("**", "")
    figure = r"\d[\d./]*(?:\u00a0\d+/\d+)?"
    row = rf"(?:{figure}\u00a0· ){{{count - 1}}}{figure}(\u00a0\w+)?"
    return re.sub(row, lambda m: m[0].split(f"{N}· ")[n].removesuffix(m[1] or "") + (m[1] or ""), text)


def plain(text: str) -> str:
    """Without bold, every length in millimetres or in inches, so that 80.4 cm and 804 mm are alike."""

    def told(m: re.Match[str]) -> str:
        return f"{float(m[1]) * 10:g}{N}mm"

    return re.sub(rf"(\d+(?:\.\d+)?){N}cm\b", told, text.replace("**", ""))


def lines_of(step: object) -> Iterator[str]:
    yield from step.text  # type: ignore[attr-defined]
    yield step.check  # type: ignore[attr-defined]


@pytest.mark.slow
@pytest.mark.parametrize(("style", "asked", "units"), CASES)
def test_each_size_reads_the_words_of_that_size_made_alone(style: str, asked: str, units: str) -> None:
    job, table = nested(style, asked, units), table_of(style, asked)
    files = read_style(ROOT / "styles" / style)
    printed = printed_steps(job)
    tables = {s.number: printed[s.number].table(table.names) for s in job.steps}
    assert any(tables.values()) == any(s.by_size for s in job.steps)
    looked_up = 0
    for n, body in enumerate(table.bodies):
        alone = check_style(files, body, units=units).words  # type: ignore[arg-type]
        for step, own in zip(job.steps, alone, strict=True):
            assert set(tables[step.number]) == {r.letter for r in step.by_size}
            mine = [for_size(t, tables[step.number], n, len(table.bodies)) for t in lines_of(step)]
            theirs = [*own.paragraphs, own.check]
            assert [plain(t) for t in mine] == [plain(t) for t in theirs]
            looked_up += len(tables[step.number])
    assert looked_up > len(table.bodies) or len(table.bodies) < 5


@pytest.mark.slow
@pytest.mark.parametrize(("style", "asked", "units"), CASES)
def test_the_words_of_the_steps_are_printed_as_they_are_told(style: str, asked: str, units: str) -> None:
    job = nested(style, asked, units)

    def bare(text: str) -> str:
        return re.sub(r"\s", "", text.replace("**", "").replace("\ufffe", "-"))

    printed = {number: bare(step.text) for number, step in printed_steps(job).items()}
    for step in job.steps:
        for text in lines_of(step):
            assert bare(text) in printed[step.number]


@pytest.mark.slow
@pytest.mark.parametrize(("style", "asked", "units"), CASES)
def test_no_length_that_differs_stands_bare(style: str, asked: str, units: str) -> None:
    """A length of the base size that changes with the size is in no text and no picture of a step."""
    job = nested(style, asked, units)
    printed = printed_steps(job)
    for step in job.steps:
        own = [quantities(" ".join(lines_of(steps[step.number - 1]))) for steps in job.sized_steps]
        shared = set(own[0]).intersection(*own[1:])
        differing = [q for q in own[job.base] if q not in shared]
        text = re.sub(r"(?m)^(size|[A-Z]) .*$", "", printed[step.number].text.replace(" ", N))
        text = re.sub(rf"{N}· ?\n?[^\n]*", "", text)
        for length in differing:
            if " " not in length and N in length:
                assert not re.search(rf"(?<![\d/.{N}]){re.escape(length)}\b", text)


@pytest.mark.slow
def test_a_count_that_changes_with_the_size_is_in_the_table() -> None:
    job = nested("blouse", GRADED, "cm")
    rows = [r.values for s in job.steps for r in s.by_size if s.operation == "buttons"]
    counts = [v for v in rows if all(w.isalpha() for w in v)]
    assert counts and all(len(set(v)) > 1 for v in counts)
