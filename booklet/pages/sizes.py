"""Sizes and finished measures of a range: which size to take, the bodies and the garments with their ease, a column a size."""

from __future__ import annotations

from collections.abc import Sequence

from booklet.drawing.page import Bookmark
from booklet.language import tongue_for
from booklet.model import Finished, Job
from booklet.pages import figures
from booklet.pages.flow import Block, flow, heading_block, words_block
from booklet.pages.nest_words import sizes_told
from booklet.pages.size_tables import NONE, SizeLine, size_table
from booklet.pages.spec import Leaf, paper_of
from booklet.pages.words import Words, sentence
from booklet.sewing.size_words import size_phrases, size_runs
from booklet.units import in_inches, in_metric, told

CHOSEN_BY = (
    "bust_girth",
    "hip_girth",
    "waist_girth",
)  # the first that the garment has ease over: common practice
LABEL_WIDE = 60.0
ALIKE = 0.5  # mm: eases that are printed as one


def size_names(job: Job) -> tuple[str, ...]:
    return tuple(s.size for s in job.sizes)


def range_words(job: Job) -> str:
    """'34 to 48'."""
    names = size_names(job)
    return size_runs(names, range(len(names)), size_phrases(tongue_for(job.language, job.wording)))


def size_leaves(job: Job, words: Words) -> list[Leaf]:
    paper = paper_of(job)
    left, right, names = paper.left, paper.right, size_names(job)
    blocks: list[Block] = [heading_block(words("sizes.which"), "", paper, before=0.0)]
    for n, text in enumerate(which_size(job, words)):
        blocks.append(words_block(text, left, min(right - left, 150.0), before=2.0 if n else 0.0))
    for key, lines in tables_of_measures(job, words):
        aside = words("sizes.explain_ease") if key == "finished" else ""
        blocks.append(heading_block(words(f"sizes.{key}"), aside, paper))
        blocks += size_table(lines, names, left, right, LABEL_WIDE, words, head=words("sizes.measure"))
    title = words("sizes.title")
    aside = sentence(sizes_told(names, words))
    return [
        Leaf("measures", title, aside, items, (Bookmark(title),) if n == 0 else ())
        for n, items in enumerate(flow(blocks, paper.top, paper.foot))
    ]


# ---------------------------------------------------------------- which size


def which_size(job: Job, words: Words) -> list[str]:
    """How to choose: by which measure, with what ease, between two sizes, and where measures are of several sizes."""
    by, over = chosen_by(job), ease_over(job)
    measure = body_words(by, words)
    named = named_after(job)
    if named is not None and named != by:
        first = words("sizes.by_name", name=body_words(named, words), measure=measure)
    else:
        first = words("sizes.choose", measure=measure)
    out = [first]
    if over:
        eases = [f.ease_mm for f in over if f.ease_mm is not None]
        low, high = (figures.length(e, job.units) for e in (min(eases), max(eases)))
        title = over[0].title or over[0].name.replace("_", " ")
        if low == high:
            out.append(words("sizes.ease", title=title, measure=measure, ease=f"**{low}**"))
        else:
            out.append(
                words("sizes.ease_from", title=title, measure=measure, first=f"**{low}**", last=f"**{high}**")
            )
        room = min(
            (f.ease_mm - f.least_mm for f in over if f.ease_mm is not None and f.least_mm is not None),
            default=0.0,
        )
    else:
        room = 0.0
    if room >= 1.0:
        out.append(words("sizes.room", measure=measure, over=f"**{_at_most(room, job)}**"))
    else:
        out.append(words("sizes.between"))
    given = [m for m in job.size.measures if m.given]
    return [*out, words("sizes.others")] if len(given) > 1 else out


def _at_most(mm: float, job: Job) -> str:
    """A length rounded down, so that nobody is told of more room than there is."""
    step = 25.4 / 8 if job.units == "in" else 5.0
    return figures.length(max(step, step * int(mm / step + 1e-6)), job.units)


def chosen_by(job: Job) -> str:
    """The measure that a size is chosen by: bust, hip or waist, the first that is measured and has ease, else the first."""
    given = [m.name for m in job.size.measures if m.given]
    eased = [f.body_name for f in job.size.finished if f.ease_mm is not None and f.body_name in given]
    for name in (*CHOSEN_BY, *eased):
        if name in eased:
            return str(name)
    return next((n for n in CHOSEN_BY if n in given), given[0])


def ease_over(job: Job) -> list[Finished]:
    """Each size's finished measure over the one that a size is chosen by; empty where there is none."""
    by = chosen_by(job)
    found = [
        next((f for f in s.finished if f.body_name == by and f.ease_mm is not None), None) for s in job.sizes
    ]
    return [f for f in found if f is not None] if all(found) else []


def named_after(job: Job) -> str | None:
    """The measure whose centimetres or inches the sizes are named by, such as a child's height."""
    for measure in job.size.measures:
        if not measure.given:
            continue
        values = [_body_mm(job, n, measure.name, measure.side) for n in range(len(job.sizes))]
        for unit in (10.0, 25.4):
            if all(
                v is not None and f"{v / unit:g}" == s.size for v, s in zip(values, job.sizes, strict=True)
            ):
                return measure.name
    return None


# ---------------------------------------------------------------- tables


def tables_of_measures(job: Job, words: Words) -> list[tuple[str, list[SizeLine]]]:
    """The tables of the page by their headings' keys, those that have lines."""
    tables = [
        ("body", body_lines(job, words, given=True)),
        ("worked_out", body_lines(job, words, given=False)),
        ("finished", finished_lines(job, words)),
        ("openings", opening_lines(job, words)),
    ]
    return [(key, lines) for key, lines in tables if lines]


def body_words(name: str, words: Words) -> str:
    return words.name("body." + name, name)


def body_lines(job: Job, words: Words, given: bool) -> list[SizeLine]:
    """A line for each measure; the one that a size is chosen by in bold, and in the other unit too."""
    by = chosen_by(job)
    out = []
    for m in job.size.measures:
        if m.given != given:
            continue
        label = body_words(m.name, words)
        if m.side != "whole":
            label += f", {words('measures.' + m.side)}"
        values = [_body_mm(job, n, m.name, m.side) for n in range(len(job.sizes))]
        out.append(
            SizeLine(
                label, _shown(values, job.units), strong=given and m.name == by, pale=given and m.name == by
            )
        )
        if given and m.name == by:
            out.append(SizeLine("", _in_other_unit(values, job), soft=True))
    return out


def _in_other_unit(values: Sequence[float | None], job: Job) -> tuple[str, ...]:
    """Inches to the eighth where the booklet prints metric, for whoever has only the other tape."""
    if job.units == "in":
        return tuple(NONE if v is None else told(in_metric(v), job.units) for v in values)
    return tuple(NONE if v is None else told(in_inches(v, 8), job.units) for v in values)


def _body_mm(job: Job, n: int, name: str, side: str) -> float | None:
    return next((m.mm for m in job.sizes[n].measures if m.name == name and m.side == side), None)


def finished_lines(job: Job, words: Words) -> list[SizeLine]:
    """Two lines for each finished measure: the garment's, and the ease over the body's."""
    out = []
    for n, first in enumerate(job.size.finished):
        of_sizes = [s.finished[n] for s in job.sizes]
        title = first.title or first.name.replace("_", " ")
        if first.note and first.note not in title:
            title += f", {first.note}"
        out.append(SizeLine(title, _shown([f.garment_mm for f in of_sizes], job.units), strong=True))
        if any(f.ease_mm is not None for f in of_sizes):
            label = _ease_label(of_sizes, job, words)
            out.append(SizeLine(label, _shown([f.ease_mm for f in of_sizes], job.units), soft=True))
    return out


def _ease_label(of_sizes: Sequence[Finished], job: Job, words: Words) -> str:
    """'ease (least 40 mm, intended 60 mm)': what is the same in all sizes."""

    def told(values: Sequence[float | None]) -> str:
        shown = {NONE if v is None else figures.length(v, job.units) for v in values}
        return shown.pop() if len(shown) == 1 and NONE not in shown else ""

    least, intended = told([f.least_mm for f in of_sizes]), told([f.intended_mm for f in of_sizes])
    if least and intended:
        return words("sizes.ease_both", least=least, intended=intended)
    if least:
        return words("sizes.ease_least", least=least)
    return words("sizes.ease_intended", intended=intended) if intended else words("sizes.ease_row")


def opening_lines(job: Job, words: Words) -> list[SizeLine]:
    """What each opening opens to, what is to spare over the body that passes it, and the length that its note gives."""
    out = []
    for n, first in enumerate(job.size.openings):
        of_sizes = [s.openings[n] for s in job.sizes]
        title = first.title or first.name.replace("_", " ")
        label = words("sizes.opens", title=title)
        out.append(SizeLine(label, _shown([f.garment_mm for f in of_sizes], job.units), strong=True))
        if first.body_name and any(f.ease_mm is not None for f in of_sizes):
            label = words("sizes.spare", measure=body_words(first.body_name, words))
            out.append(SizeLine(label, _shown([f.ease_mm for f in of_sizes], job.units), soft=True))
        if first.note_mm is not None:
            out.append(SizeLine(first.note, _shown([f.note_mm for f in of_sizes], job.units), soft=True))
    return out


def _shown(values: Sequence[float | None], units: str) -> tuple[str, ...]:
    return tuple(NONE if v is None else figures.length(v, units) for v in values)
