"""The whole way from files to a frozen Job: each stage once, in order. Nothing is drawn on pages yet."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Any, Literal

from booklet.cloth.bias_amount import binding_workings
from booklet.cloth.buying import cloth_weight, with_sums
from booklet.cloth.kept import read_kept
from booklet.cloth.needles import stitch_for
from booklet.cloth.notions import work_out_notions
from booklet.cloth.stage import EVALUATIONS, cloth_needs, width_problems
from booklet.model import Answer, Job, Notion, ShopInfo, SizedResult, Step, StyleInfo
from booklet.pictures.bench import Bench
from booklet.pictures.folding import closings
from booklet.pictures.garment import Sewn, garment_drawings
from booklet.pictures.recipe import draw_recipe
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Problem, Where
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
    notions: tuple[Notion, ...] = ()


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
    shop = shop_for(style, shop)
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
    notions = work_out_notions(style.sources["style"], prepared, words, shop, chosen, collector)
    return Checked(prepared, words, tuple(collector.problems), notions)


def shop_for(style: StyleFiles, shop: Shop) -> Shop:
    """The shop with the plain stitch that the main cloth's weight asks for; as it is where the style doesn't say one."""
    weight = cloth_weight(style.sources["style"])
    if weight is None:
        return shop
    return replace(shop, stitch={**shop.stitch, "plain": stitch_for(weight, shop.stitch["plain"])})


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
    shop = shop_for(style, shop or read_shop(style.folder))
    chosen = booklet_units(style, units)
    checked = check_style(style, body, options, chosen, shop, width)
    prepared = checked.prepared
    collector = Collector(list(checked.problems))
    kept = read_kept(style.sources.get("lays"), collector)
    cloths = cloth_needs(
        style.sources["style"], prepared.copies, prepared.cuts, shop, chosen, collector, evaluations, width, kept
    )
    collector.raise_if_errors()
    cloths = with_sums(cloths, style.sources["style"], shop, chosen)
    usable = {need.key: need.lays[0].usable_mm for need in cloths if need.lays}
    bindings = [p for p in prepared.draft.to_cut() if p.binding is not None]
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
        notions=checked.notions,
        openings=prepared.openings,
        workings=tuple(
            line for p in bindings for line in binding_workings(p, chosen, usable[p.cuts[0].cloth])
        ),
    )
    return Job(
        style=style_info(style, prepared.options),
        shop=shop_info(shop),
        units=chosen,
        paper=paper,
        sizes=(size,),
        steps=steps,
        problems=tuple(collector.problems),
        language=shop.language,
        wording=shop.wording,
        views=garment_views(style, prepared),
    )


def shop_info(shop: Shop) -> ShopInfo:
    return ShopInfo(
        shop.name,
        shop.contact,
        shop.stitch["plain"],
        stitches=shop.stitch,
        tolerances=shop.tolerances,
        terms=shop.terms,
        mark=shop.mark,
        rates=shop.rates,
        palette=shop.palette,
    )


def style_info(style: StyleFiles, options: Mapping[str, str]) -> StyleInfo:
    s = style.style
    titles: Mapping[str, Any] = style.sources["style"].data.get("option titles") or {}
    chosen = tuple(
        (name, choice, str((titles.get(name) or {}).get(choice, f"{name.replace('_', ' ')}: {choice}")))
        for name, choice in options.items()
    )
    cautions = tuple(str(c) for c in style.sources["style"].data.get("cautions") or ())
    return StyleInfo(s.style, s.title, s.summary.strip(), s.version, str(s.dated), s.level, chosen, cautions, _changes(style))


def _changes(style: StyleFiles) -> tuple[tuple[str, str, str], ...]:
    return tuple((c.version, str(c.dated), c.what) for c in style.style.changes)


def garment_views(style: StyleFiles, prepared: Prepared) -> tuple[tuple[str, object], ...]:
    """The cover's drawings: each of the style's `views`, over the pieces of the other views, at one scale."""
    views: Mapping[str, list[str]] = style.sources["style"].data.get("views") or {}
    bench = Bench(
        {c.id: c for c in prepared.copies},
        {c.piece.key: c for c in prepared.cuts},
        tuple(prepared.seams.seams),
        folds={c.id: closings(c) for c in prepared.copies if c.pleats},
    )
    pockets = [s.spec for s in prepared.seams.steps if s.verb == "pocket" and isinstance(s.spec, Mapping)]
    parts = {str(p.get("mouth", "")).partition(".")[0]: int(p.get("parts", 1)) for p in pockets}
    sewn = Sewn({step: e.relaxed for step, e in prepared.elastics.items()}, parts)
    return tuple(garment_drawings(bench, views, 80.0, 110.0, sewn))


def answers_at(where: Where, problems: Sequence[Problem]) -> tuple[Answer, ...]:
    """The rules that the step at a line answers, each reason once."""
    found = [Answer(p.code, p.although) for p in problems if p.although and p.where == where]
    return tuple(dict.fromkeys(found))


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
                answers=answers_at(picture.step.where, collector.problems),
            )
        )
    return tuple(out)
