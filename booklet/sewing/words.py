"""The words of steps: each operation's facts put into the sentences of its template, with minutes and stitching.

Templates lie in templates/<language>/steps, one for each operation: sections [title], [text] and [check], paragraphs
parted by an empty line. They hold no figures of their own; every number comes through a filter from the facts.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import Any, Literal

import yaml

from booklet.drafting.table import Table
from booklet.language import Tongue, tongue_of
from booklet.model import Copy
from booklet.problems import Collector, Where
from booklet.reading.shop import Shop
from booklet.reading.translations import joined
from booklet.resources import data_folder
from booklet.seams.table import RecipeStep, SeamTable
from booklet.sewing.minutes import guide_minutes
from booklet.sewing.operations import OPERATIONS, Context, Stitching
from booklet.sewing.templates import check_templates, render, unknown_names
from booklet.wording import NONE, Wording, laid_over, phrases

Units = Literal["cm", "in"]


@dataclass(frozen=True)
class StepWords:
    """One numbered step in words. Paragraphs hold **bold** figures; `facts` are the raw numbers behind them, mm."""

    id: str
    number: int
    verb: str
    title: str
    part: str
    paragraphs: tuple[str, ...]
    check: str
    minutes: int
    note: str
    seams: tuple[str, ...]
    touches_cloth: bool
    stitching: tuple[Stitching, ...]
    terms: tuple[str, ...]
    facts: Mapping[str, Any]
    where: Where


@dataclass(frozen=True)
class Term:
    """A word of the trade, the forms in which texts may use it, and what it means."""

    key: str
    word: str
    forms: tuple[str, ...]
    text: str
    always: bool = False  # printed whether or not a step uses it

    def used_in(self, text: str) -> bool:
        return any(re.search(rf"\b{re.escape(form)}\b", text, re.IGNORECASE) for form in self.forms)


def write_steps(
    steps: Sequence[RecipeStep],
    table: SeamTable,
    copies: Sequence[Copy],
    draft: Table,
    shop: Shop,
    units: Units,
    cloths: Mapping[str, str] | None = None,
) -> tuple[StepWords, ...]:
    """Every step of the options made, numbered 1 to n, in the language of `units` (a `Manner`, or English).

    `cloths` gives the titles of cloths by key.

    Raises `Fault` with all that is wrong with the shop's own templates, jinja2.UndefinedError for a template of the
    package that asks for a fact that its operation does not give.
    """
    by_id = {c.id: c for c in copies}
    tongue = tongue_of(units)
    if tongue.words.wording.files:
        check_templates(tongue.language, tongue.words.wording)
    out = []
    collector = Collector()
    for number, step in enumerate(steps, 1):
        context = _context(step, steps, table, by_id, draft, shop, cloths or {}, tongue)
        with collector.catching():
            out.append(_write(number, context, units))
    collector.raise_if_errors()
    return tuple(out)


def _context(
    step: RecipeStep,
    steps: Sequence[RecipeStep],
    table: SeamTable,
    copies: Mapping[str, Copy],
    draft: Table,
    shop: Shop,
    cloths: Mapping[str, str],
    tongue: Tongue,
) -> Context:
    order = {s.id: n for n, s in enumerate(steps)}
    here = order[step.id]
    return Context(
        step=step,
        seams=table.of_step(step.id),
        earlier=tuple(s for s in table.seams if order.get(s.step, here) < here),
        later=tuple(s for s in table.seams if order.get(s.step, here) > here),
        steps=tuple(steps),
        copies=copies,
        drawn=table.drawn,
        draft=draft,
        shop=shop,
        cloths=cloths,
        tongue=tongue,
    )


def _write(number: int, context: Context, units: Units) -> StepWords:
    step, raw = context.step, context.step.raw
    operation = OPERATIONS[step.verb]
    facts = operation.facts(context)
    stitching = operation.stitching(context)
    unlike = _unlike(context)
    both = "right" if context.each_side() else ""
    tongue, wording = context.tongue, context.tongue.words.wording
    unknown = unknown_names(operation.template, facts, tongue.language, wording) if wording.files else None
    if unknown is not None:
        raise unknown
    sections = render(operation.template, facts, units, tongue, unlike, both)
    text, checked = _both_sides(context, sections, units)
    said = tongue.said
    title = said(joined(raw["title"])) if raw.get("title") else tidy(sections["title"])
    check = said(joined(raw["check"])) if "check" in raw else checked
    worked = guide_minutes(step.verb, operation.effort(context), stitching, context.shop)
    text_of = " ".join((title, *text, check))
    return StepWords(
        id=step.id,
        number=number,
        verb=step.verb,
        title=title,
        part=said(joined(raw.get("part") or "")),
        paragraphs=text,
        check=check,
        minutes=round(float(raw["minutes"])) if "minutes" in raw else worked,
        note=said(joined(raw.get("note") or "")),
        seams=tuple(s.id for s in context.seams),
        touches_cloth=operation.touches_cloth,
        stitching=stitching,
        terms=tuple(t.key for t in glossary(tongue.language, wording) if t.used_in(text_of)),
        facts=facts,
        where=step.where,
    )


def _both_sides(context: Context, together: Mapping[str, str], units: Units) -> tuple[tuple[str, ...], str]:
    """Paragraphs and check of a step. Of a body whose sides differ, what is not alike is told for each side."""
    text, check = paragraphs(together["text"]), tidy(together["check"])
    each = context.each_side()
    if not each:
        return text, check
    operation = OPERATIONS[context.step.verb]
    unlike, tongue = _unlike(context), context.tongue
    told = [
        render(operation.template, operation.facts(c), units, tongue, unlike, side)
        for c, side in zip(each, ("right", "left"), strict=True)
    ]
    right, left = (paragraphs(t["text"]) for t in told)
    checks = [tidy(t["check"]) for t in told]
    if [_figures(p) for p in (*right, checks[0])] == [_figures(p) for p in (*left, checks[1])]:
        return text, check
    small = tongue.small

    def apart(a: str, b: str) -> list[str]:
        return [f"{small['on_right']} {a}", f"{small['on_left']} {b}"]

    if len(right) != len(left):
        return tuple(apart(" ".join(right), " ".join(left))), " ".join(apart(*checks))
    plain = paragraphs(render(operation.template, operation.facts(context), units, tongue)["text"])
    whole = plain if len(plain) == len(right) else right
    rows = [
        [w] if _figures(a) == _figures(b) else apart(a, b) for a, b, w in zip(right, left, whole, strict=True)
    ]
    same = _figures(checks[0]) == _figures(checks[1])
    return tuple(p for row in rows for p in row), check if same else " ".join(apart(*checks))


def _unlike(context: Context) -> frozenset[int]:
    """The numbers that a left and a right piece, drawn apart, share."""
    return frozenset(c.piece.number for c in context.copies.values() if c.piece.base)


def _figures(text: str) -> list[str]:
    """The figures of a text, the numbers of pieces left out: what must be alike for left and right to share words."""
    return re.findall(r"[\d/.,]*\d", re.sub(r"\(\d[^)]*\)", "", text))


# ---------------------------------------------------------------- sentences


def paragraphs(text: str) -> tuple[str, ...]:
    return tuple(p for p in (tidy(part) for part in re.split(r"\n[ \t]*\n", text)) if p)


def tidy(text: str) -> str:
    """Lines joined, spaces single, none before a stop; each sentence with a capital. No-break spaces stay."""
    line = re.sub(r"[ \t\n]+", " ", text).strip(" ")
    line = re.sub(r" ([,;:.!?])", r"\1", line)
    return re.sub(r"(^|[.!?] )(\**)([^\W\d_])", lambda m: m[1] + m[2] + m[3].upper(), line)


# ---------------------------------------------------------------- the trade's words


@lru_cache(maxsize=8)
def glossary(language: str, wording: Wording = NONE) -> tuple[Term, ...]:
    """Every word explained, in the file's order; those that a shop adds at the end."""
    path = data_folder("templates") / language / "glossary.yaml"
    terms = yaml.safe_load(path.read_text(encoding="utf-8"))["glossary"]
    own = wording.text("glossary.yaml")
    if own is not None:
        terms = laid_over(terms, phrases(own)["glossary"])
    return tuple(
        Term(
            str(key),
            str(row["word"]),
            tuple(str(f) for f in row["forms"]),
            str(row["text"]),
            "for" in row and not row["for"],
        )
        for key, row in terms.items()
    )
