"""The whole way from files to a frozen Job: each stage once, in order. Nothing is drawn on pages yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal

from booklet.cloth.notions import work_out_notions
from booklet.cloth.stage import EVALUATIONS, cloth_needs, width_problems
from booklet.model import Job, ShopInfo, SizedResult, Step, StyleInfo
from booklet.pictures.bench import Bench
from booklet.pictures.folding import closings
from booklet.pictures.garment import garment_view
from booklet.pictures.recipe import draw_recipe
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Problem
from booklet.reading.read import Body, StyleFiles, read_body
from booklet.reading.shop import Shop, read_shop
from booklet.sewing.words import StepWords, write_steps

Units = Literal["cm", "in"]
Paper = Literal["a4", "letter"]


@dataclass(frozen=True)
class Checked:
    """What `check` and `facts` need: a prepared size, its step words, and every problem found."""

    prepared: Prepared
    words: tuple[StepWords, ...]
    problems: tuple[Problem, ...]


def booklet_units(style: StyleFiles, units: Units | None) -> Units:
    return units or ("in" if style.style.units == "in" else "cm")


def check_style(
    style: StyleFiles,
    body: Body | None = None,
    options: Mapping[str, str] | None = None,
    units: Units | None = None,
    shop: Shop | None = None,
    width: str | None = None,
) -> Checked:
    """Every stage up to the words of the steps. Raises Fault with everything found, warnings too, if any is an error."""
    collector = Collector()
    body = body or read_body(style.base)
    shop = shop or read_shop(style.folder)
    chosen = booklet_units(style, units)
    collector.add(*body.problems)
    prepared = prepare(style, body, options or {}, chosen, shop, collector)
    collector.raise_if_errors()
    collector.add(
        *width_problems(style.sources["style"], prepared.copies, prepared.cuts, shop, chosen, width)
    )
    collector.raise_if_errors()
    titles = {
        key: str(c.get("title", key)) for key, c in (style.sources["style"].data.get("cloths") or {}).items()
    }
    words = write_steps(
        prepared.seams.steps, prepared.seams, prepared.copies, prepared.table, shop, chosen, cloths=titles
    )
    return Checked(prepared, words, tuple(collector.problems))


def make_job(
    style: StyleFiles,
    body: Body | None = None,
    *,
    options: Mapping[str, str] | None = None,
    units: Units | None = None,
    paper: Paper = "a4",
    shop: Shop | None = None,
    evaluations: int = EVALUATIONS,
    width: str | None = None,
) -> Job:
    """Everything the booklet will say. Raises Fault with every problem where any is an error."""
    body = body or read_body(style.base)
    shop = shop or read_shop(style.folder)
    chosen = booklet_units(style, units)
    checked = check_style(style, body, options, chosen, shop, width)
    prepared = checked.prepared
    collector = Collector(list(checked.problems))
    cloths = cloth_needs(
        style.sources["style"], prepared.copies, prepared.cuts, shop, chosen, collector, evaluations, width
    )
    collector.raise_if_errors()
    notions = work_out_notions(style.sources["style"], prepared, checked.words, shop, chosen)
    steps = draw_steps(prepared, checked.words, chosen, collector)
    size = SizedResult(
        size=body.code or body.name,
        body_name=body.name,
        body_code=body.code,
        measures=prepared.measures,
        finished=prepared.finished,
        draft=prepared.draft,
        copies=prepared.copies,
        seams=prepared.seams.seams,
        cut_pieces=prepared.cuts,
        cloths=cloths,
        notions=notions,
        openings=prepared.openings,
    )
    return Job(
        style=style_info(style, prepared.options),
        shop=ShopInfo(shop.name, shop.contact, shop.stitch["plain"]),
        units=chosen,
        paper=paper,
        sizes=(size,),
        steps=steps,
        problems=tuple(collector.problems),
        language=shop.language,
        views=garment_views(style, prepared),
    )


def style_info(style: StyleFiles, options: Mapping[str, str]) -> StyleInfo:
    s = style.style
    titles: Mapping[str, Any] = style.sources["style"].data.get("option titles") or {}
    chosen = tuple(
        (name, choice, str((titles.get(name) or {}).get(choice, f"{name.replace('_', ' ')}: {choice}")))
        for name, choice in options.items()
    )
    cautions = tuple(str(c) for c in style.sources["style"].data.get("cautions") or ())
    return StyleInfo(s.style, s.title, s.summary.strip(), s.version, str(s.dated), s.level, chosen, cautions)


def garment_views(style: StyleFiles, prepared: Prepared) -> tuple[tuple[str, object], ...]:
    """The cover's drawings: each of the style's `views`, over the pieces of the other views."""
    views: Mapping[str, list[str]] = style.sources["style"].data.get("views") or {}
    bench = Bench(
        {c.id: c for c in prepared.copies},
        {c.piece.key: c for c in prepared.cuts},
        tuple(prepared.seams.seams),
        folds={c.id: closings(c) for c in prepared.copies if c.pleats},
    )
    out = []
    for name, shown in views.items():
        behind = [key for other, keys in views.items() if other != name for key in keys]
        drawing = garment_view(bench, shown, behind, 80.0, 110.0)
        if drawing is not None:
            out.append((name, drawing))
    return tuple(out)


def draw_steps(
    prepared: Prepared, words: tuple[StepWords, ...], units: Units, collector: Collector
) -> tuple[Step, ...]:
    """The steps with their words and pictures, in order."""
    drawn = {d.step.id: d for d in draw_recipe(prepared, units, words)}
    out = []
    for word in words:
        picture = drawn[word.id]
        for text in picture.left_over:
            collector.note(
                "label", picture.step.where, f"the picture of step '{word.id}' has no room for '{text}'"
            )
        out.append(
            Step(
                number=word.number,
                id=word.id,
                operation=word.verb,
                title=word.title,
                part=word.part,
                text=word.paragraphs,
                check=word.check,
                minutes=word.minutes,
                seams=tuple(s.id for s in prepared.seams.of_step(word.id)),
                touches_cloth=word.touches_cloth,
                where=picture.step.where,
                pictures=picture.pictures,
                note=word.note,
            )
        )
    return tuple(out)
