"""The whole way from files to a frozen Job: each stage once, in order. Nothing is drawn on pages yet."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any, Literal

from booklet.cloth.notions import work_out_notions
from booklet.cloth.stage import EVALUATIONS, cloth_needs, width_problems
from booklet.model import Copy, Job, Seam, ShopInfo, SizedResult, Step, StyleInfo
from booklet.pictures.bench import Bench
from booklet.pictures.garment import garment_view
from booklet.pictures.steps import StepScene, step_picture
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Problem
from booklet.reading.read import Body, StyleFiles, read_body
from booklet.reading.shop import Shop, read_shop
from booklet.seams.table import RecipeStep
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
    style: StyleFiles, body: Body | None = None, options: Mapping[str, str] | None = None, units: Units | None = None,
    shop: Shop | None = None,
) -> Checked:  # fmt: skip
    """Every stage up to the words of the steps. Raises Fault with everything found, warnings too, if any is an error."""
    collector = Collector()
    body = body or read_body(style.base)
    shop = shop or read_shop(style.folder)
    chosen = booklet_units(style, units)
    collector.add(*body.problems)
    prepared = prepare(style, body, options or {}, chosen, shop, collector)
    collector.raise_if_errors()
    collector.add(*width_problems(style.sources["style"], prepared.copies, prepared.cuts, shop, chosen))
    collector.raise_if_errors()
    words = write_steps(prepared.seams.steps, prepared.seams, prepared.copies, prepared.table, shop, chosen)
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
    checked = check_style(style, body, options, chosen, shop)
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
        shop=ShopInfo(shop.name, shop.contact),
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
        {c.id: c for c in prepared.copies}, {c.piece.key: c for c in prepared.cuts}, tuple(prepared.seams.seams)
    )
    out = []
    for name, shown in views.items():
        behind = [key for other, keys in views.items() if other != name for key in keys]
        drawing = garment_view(bench, shown, behind, name, 78.0, 96.0)
        if drawing is not None:
            out.append((name, drawing))
    return tuple(out)


def draw_steps(
    prepared: Prepared, words: tuple[StepWords, ...], units: Units, collector: Collector
) -> tuple[Step, ...]:
    """The steps with their pictures, in order; the bench remembers what is sewn and fused so far."""
    by_id = {s.id: s for s in prepared.seams.steps}
    copies = {c.id: c for c in prepared.copies}
    bench = Bench(copies, {c.piece.key: c for c in prepared.cuts})
    out = []
    for word in words:
        step = by_id[word.id]
        seams = prepared.seams.of_step(step.id)
        scene = StepScene(
            step.verb, step.spec, step.raw, seams, bench, units, _openings(step, prepared), _numbers(step, seams, prepared)
        )
        pictures, left = step_picture(scene) if word.touches_cloth else ((), ())
        for label in left:
            collector.note("label", step.where, f"the picture of step '{step.id}' has no room for '{label.text}'")
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
                seams=tuple(s.id for s in seams),
                touches_cloth=word.touches_cloth,
                where=step.where,
                pictures=pictures,
                note=word.note,
            )
        )
        bench = _after(bench, step, seams, prepared.copies)
    return tuple(out)


def _after(bench: Bench, step: RecipeStep, seams: tuple[Seam, ...], copies: tuple[Copy, ...]) -> Bench:
    fused = bench.fused
    if step.verb == "fuse":
        keys = [str(k) for k in (step.spec if isinstance(step.spec, list) else [step.spec])]
        fused = fused | {c.id for c in copies if c.piece.key in keys and c.host is None}
    return replace(bench, done=(*bench.done, *seams), fused=fused)


def _openings(step: RecipeStep, prepared: Prepared) -> tuple[str, ...]:
    raw = step.raw.get("opening")
    if not raw:
        return ()
    if isinstance(raw, Mapping):
        if not prepared.table.applies(raw.get("when"), step.where):
            return ()
        raw = raw.get("is")
    return (str(raw).partition(".")[2],)


def _numbers(step: RecipeStep, seams: tuple[Seam, ...], prepared: Prepared) -> dict[str, float]:
    """Worked-out lengths that a picture shows beside the seams' own."""
    out: dict[str, float] = {}
    drawn = [d for d in prepared.seams.drawn if d.step == step.id]
    if drawn and seams:
        first = seams[0]
        out["drawn"] = first.a_mm - sum(d.by for d in drawn if any(d.copy == p.copy for p in first.a.parts))
    if step.verb == "casing" and isinstance(step.spec, Mapping):
        key, _, line = str(step.spec.get("along", "")).partition(".")
        piece = prepared.draft.pieces.get(key)
        fold = next((f for f in piece.fold_lines if f.name == line), None) if piece else None
        edge = piece.edge(seams[0].a.parts[0].edge) if piece and seams else None
        if fold is not None and edge is not None:
            mid = fold.path.point(fold.path.length / 2)
            out["casing"] = abs(edge.path.point(edge.path.nearest(mid)) - mid)
    if step.verb == "loop" and isinstance(step.spec, Mapping):
        out["wide"] = prepared.table.amount(step.spec["wide"], "loop")
    return out
