"""What the booklet says as plain headings, paragraphs, tables and pictures, for a screen beside the machine or to be read out.

The words come from the same phrases and the same steps as the printed pages, so that no figure can differ.
"""

from __future__ import annotations

from dataclasses import dataclass, field

from booklet.drawing.display import Drawing
from booklet.model import Job
from booklet.pages import figures
from booklet.pages.copy_words import copy_lines, recommended_lay
from booklet.pages.instruction_parts import Part, Picture, Table
from booklet.pages.measures import body_name
from booklet.pages.picture_words import told
from booklet.pages.piece_block import cloth_title
from booklet.pages.safety import by_alphabet
from booklet.pages.size_instructions import cloth_parts, size_parts, step_table_told
from booklet.pages.sizes import range_words, size_names
from booklet.pages.words import Words, sentence
from booklet.sewing.words import glossary


@dataclass(frozen=True)
class Instructions:
    """The whole text. `facts` are short lines under the title."""

    title: str
    language: str
    summary: str
    maker: str
    facts: tuple[tuple[str, str], ...]
    views: tuple[Picture, ...]
    parts: tuple[Part, ...]
    words: Words = field(repr=False)


def instructions(job: Job, words: Words) -> Instructions:
    """The job as instructions to read on a screen or hear."""
    style = job.style
    sizes = (words("sizes.cover"), range_words(job)) if job.nested else (words("cover.size"), job.size.size)
    facts = [sizes, (words("cover.level"), style.level)]
    facts += (
        [(words("cover.options"), ", ".join(text for *_, text in style.options))] if style.options else []
    )
    facts.append((words("cover.shop"), job.shop.name))
    facts.append(("", words("cover.dated", version=style.version, dated=style.dated)))
    views = tuple(Picture(d, f"{style.title}, {t}") for t, d in job.views if isinstance(d, Drawing))
    if job.nested:
        amounts: list[Part | None] = [*size_parts(job, words), *cloth_parts(job, words)]
    else:
        amounts = [_measures(job, words), *_cloths(job, words)]
    parts = [p for p in (_cautions(job, words), *amounts, _cut(job, words)) if p]
    return Instructions(
        f"{style.code} {style.title}",
        job.language,
        style.summary,
        job.shop.name,
        tuple(f for f in facts if f[1]),
        views,
        (*parts, *_steps(job, words), *_end(job, words)),
        words,
    )


def _cautions(job: Job, words: Words) -> Part:
    lines = [words("safety.reminder"), words("safety.practice")]
    for key in job.style.cautions:
        name = f"cautions.{key}"
        lines += words.lines(f"{name}.lines") if words.has(name) else (key,)
    return Part(words("sections.safety"), bullets=tuple(lines))


def _measures(job: Job, words: Words) -> Part | None:
    def show(mm: float | None) -> str:
        return "–" if mm is None else figures.length(mm, job.units)

    rows = [
        (f.title or f.name.replace("_", " "), show(f.body_mm), show(f.garment_mm), show(f.ease_mm))
        for f in job.size.finished
    ]
    if not rows:
        given = [(body_name(m.name, words), show(m.mm)) for m in job.size.measures if m.given]
        head = (words("measures.name"), words("measures.amount"))
        return Part(words("measures.title"), table=Table(head, tuple(given), (1,))) if given else None
    four = tuple(words(f"measures.{k}") for k in ("name", "amount", "garment", "ease"))
    return Part(words("measures.title"), table=Table(four, tuple(rows), (1, 2, 3)))


def _cloths(job: Job, words: Words) -> list[Part]:
    rows = []
    for need in job.size.cloths:
        lay = recommended_lay(job.size, need.key)
        if lay is not None:
            width, buy = (
                figures.cloth_width(lay.width_mm, job.units),
                figures.cloth_length(lay.buy_mm, job.units),
            )
            rows.append((sentence(need.title), width, words("cloth." + lay.kind), buy))
    head = (words("screen.cloth"), *(words(f"cloth.{k}") for k in ("width", "laid", "buy")))
    out = (
        [Part(words("cloth.title"), text=(words("cloth.wash"),), table=Table(head, tuple(rows), (1, 3)))]
        if rows
        else []
    )
    notions = tuple((n.name, n.printed, n.working) for n in job.size.notions)
    named = tuple(words(f"cloth.{k}") for k in ("notion", "amount", "working"))
    return (
        [*out, Part(words("cloth.notions"), level=3, table=Table(named, notions, (1,)))] if notions else out
    )


def _cut(job: Job, words: Words) -> Part:
    rows = []
    for cut in sorted(job.size.cut_pieces, key=lambda c: c.piece.number):
        for line in copy_lines(cut, job.size, words):
            name = f"{cut.piece.number} {cut.piece.heading}"
            rows.append((name, sentence(cloth_title(job, line.cloth)), line.words, line.how_to))
    head = (words("chart.piece"), words("screen.cloth"), words("screen.cut"), words("screen.lay"))
    return Part(words("chart.title"), table=Table(head, tuple(rows)))


def _steps(job: Job, words: Words) -> list[Part]:
    out: list[Part] = []
    order: tuple[str, ...] = ()
    if job.nested:
        told_so = " · ".join(size_names(job))
        order = (words("sizes.order", order=f"**{told_so}**", size=job.size.size),)
    if order or not any(s.part for s in job.steps[:1]):
        out.append(Part(words("sections.steps"), text=order))
    for step in job.steps:
        if step.part:
            out.append(Part(step.part))
        out.append(
            Part(
                step.title,
                3,
                step.number,
                figures.minutes(step.minutes, words) if step.minutes else "",
                step.text,
                step.check,
                step.note,
                table=step_table_told(step, job, words),
                pictures=tuple(
                    Picture(p.drawing, words.spaced(told(step, p)))
                    for p in step.pictures
                    if isinstance(p.drawing, Drawing)
                ),
            )
        )
    return out


def _end(job: Job, words: Words) -> list[Part]:
    said = " ".join(text for s in job.steps for text in (s.title, *s.text, s.check, s.note))
    entries = [t for t in glossary(words.language, words.wording) if t.always or t.used_in(said)]
    entries.sort(key=lambda t: by_alphabet(t.word.removeprefix("to ")))
    out = [Part(words("safety.care"), bullets=words.lines("care"))]
    if entries:
        out.append(
            Part(words("safety.glossary"), terms=tuple((t.word, words.spaced(t.text)) for t in entries))
        )
    return out
