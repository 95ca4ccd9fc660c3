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
from booklet.cloth.watch import Doing, silent
from booklet.language import OWN, Tongue, manner, tongue_of
from booklet.model import (
    Answer,
    ClothNeed,
    Job,
    Notion,
    ShopInfo,
    SizedResult,
    Stack,
    Step,
    StepPicture,
    StyleInfo,
)
from booklet.naming import names_missing
from booklet.pictures.bench import Bench
from booklet.pictures.folding import closings
from booklet.pictures.garment import garment_drawings
from booklet.pictures.garment_layers import Sewn
from booklet.pictures.recipe import draw_recipe
from booklet.pictures.sewn_on import attached_by
from booklet.pictures.size_labels import shown_quantities, with_letters
from booklet.prepare import Prepared, prepare
from booklet.problems import Collector, Fault, Problem, Where
from booklet.reading.read import Body, StyleFiles, read_base
from booklet.reading.shop import Shop, read_shop
from booklet.reading.translations import joined, translation, untranslated
from booklet.sewing.size_words import merge_steps, size_phrases
from booklet.sewing.words import StepWords, write_steps
from booklet.signs import check_signs
from booklet.sizes import told_once, unlike_sizes
from booklet.stacking import stacks_of

PLACED_ONCE = 0  # evaluations for a size that is laid for its length alone
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


def printed_in(style: StyleFiles, units: Units | None, shop: Shop) -> Units:
    """The booklet's units with the shop's language, and the style's own words in it."""
    own = translation(style.sources, style.translations, shop.language)
    return manner(booklet_units(style, units), shop.language, shop.wording, own.names, own.feminine)


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
    body = body or read_base(style.folder, style.sources["style"])
    shop = shop or read_shop(style.folder)
    chosen = printed_in(style, units, shop)
    tongue = tongue_of(chosen)
    if tongue.language != OWN:
        untranslated(style.sources, tongue.names, tongue.language, collector)
    shop = shop_for(style, shop)
    collector.add(*body.problems)
    check_signs(style, body, shop, collector)
    prepared = prepare(style, body, options or {}, chosen, shop, collector)
    collector.raise_if_errors()
    collector.add(
        *width_problems(style.sources["style"], prepared.copies, prepared.cuts, shop, chosen, width)
    )
    collector.raise_if_errors()
    titles = {
        key: tongue.said(str(c.get("title", key)))
        for key, c in (style.sources["style"].data.get("cloths") or {}).items()
    }
    words = write_steps(
        prepared.seams.steps, prepared.seams, prepared.copies, prepared.table, shop, chosen, cloths=titles
    )
    names_missing(prepared.draft, tongue, collector)
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
    body: Body | Sequence[Body] | None = None,
    *,
    options: Mapping[str, str] | None = None,
    units: Units | None = None,
    paper: Paper = "a4",
    shop: Shop | None = None,
    evaluations: int = EVALUATIONS,
    width: str | None = None,
    base: int = 0,
    doing: Doing = silent,
) -> Job:
    """Everything the booklet will say, for one body or for the sizes of a range in their order.

    `base` says which of the bodies pictures and lays are drawn from; the others' lays are placed once, not searched.
    `doing` is told what is laid and drawn just now.
    Raises Fault with every problem of every size, each told once, where any is an error.
    """
    body = read_base(style.folder, style.sources["style"]) if body is None else body
    bodies = [body] if isinstance(body, Body) else list(body)
    shop = shop_for(style, shop or read_shop(style.folder))
    chosen = printed_in(style, units, shop)
    names = [b.code or b.name for b in bodies]
    found: list[Sequence[Problem]] = []
    checked: list[Checked] = []
    for one in bodies:
        try:
            checked.append(check_style(style, one, options, chosen, shop, width))
            found.append(checked[-1].problems)
        except Fault as fault:
            found.append(fault.problems)
    if len(checked) == len(bodies):
        unlike = unlike_sizes(names, [c.prepared for c in checked], base)
        found = [[*problems, *(p for p in unlike if n == base)] for n, problems in enumerate(found)]
    Collector(list(told_once(names, found))).raise_if_errors()
    collectors = [Collector(list(c.problems)) for c in checked]
    shown = lay_cloths(
        style, checked[base].prepared, shop, chosen, collectors[base], evaluations, width, doing=doing
    )
    cloths = [
        shown
        if n == base
        else lay_cloths(
            style, c.prepared, shop, chosen, at, PLACED_ONCE, width, shown, _of_size(doing, names[n])
        )
        for n, (c, at) in enumerate(zip(checked, collectors, strict=True))
    ]
    doing("Drawing the steps")
    Collector(list(told_once(names, [c.problems for c in collectors]))).raise_if_errors()
    sizes = tuple(
        sized_result(b, c, need, chosen) for b, c, need in zip(bodies, checked, cloths, strict=True)
    )
    stacks: tuple[Stack, ...] = ()
    if len(sizes) > 1:
        stacks = stacks_of(
            style.sources["style"], style.sources["draft"].data["pieces"], sizes, base, collectors[base]
        )
        collectors[base].raise_if_errors()
    steps = [
        draw_steps(c.prepared, c.words, chosen, at)
        if n == base
        else worded_steps(c.prepared, c.words, chosen, at)
        for n, (c, at) in enumerate(zip(checked, collectors, strict=True))
    ]
    told = told_for_all(names, base, steps, checked, chosen)
    return Job(
        style=style_info(style, checked[base].prepared.options, tongue_of(chosen)),
        shop=shop_info(shop),
        units=chosen,
        paper=paper,
        sizes=sizes,
        steps=told,
        problems=told_once(names, [c.problems for c in collectors]),
        language=shop.language,
        wording=shop.wording,
        views=garment_views(style, checked[base].prepared, tongue_of(chosen)),
        base=base,
        sized_steps=tuple(steps),
        stacks=stacks,
    )


def told_for_all(
    names: Sequence[str],
    base: int,
    sized: Sequence[tuple[Step, ...]],
    checked: Sequence[Checked],
    units: Units,
) -> tuple[Step, ...]:
    """The steps of all sizes as one list, its words and pictures with a letter for what differs. Raises Fault."""
    if len(names) == 1:
        return sized[base]
    shown = shown_quantities(sized[base])
    merged, problems = merge_steps(names, base, sized, size_phrases(tongue_of(units)), shown)
    Collector(list(problems)).raise_if_errors()

    def draw(n: int, only: frozenset[str]) -> dict[str, tuple[StepPicture, ...]]:
        made = draw_recipe(checked[n].prepared, units, checked[n].words, only)
        return {d.step.id: d.pictures for d in made}

    return with_letters(merged, base, draw)


def _of_size(doing: Doing, name: str) -> Doing:
    return lambda words: doing(f"{words} (size {name})")


def lay_cloths(
    style: StyleFiles,
    prepared: Prepared,
    shop: Shop,
    units: Units,
    collector: Collector,
    evaluations: int,
    width: str | None,
    like: tuple[ClothNeed, ...] = (),
    doing: Doing = silent,
) -> tuple[ClothNeed, ...]:
    """The lays of a size with their sums; none where one cannot be made, which the collector then holds.

    `like`: those of another size, whose recommended kinds are enough.
    """
    source = style.sources["style"]
    kept = read_kept(style.sources.get("lays"), collector)
    cloths = cloth_needs(
        source, prepared.copies, prepared.cuts, shop, units, collector, evaluations, width, kept, like, doing
    )
    return () if collector.errors else with_sums(cloths, source, shop, units)


def sized_result(body: Body, checked: Checked, cloths: tuple[ClothNeed, ...], units: Units) -> SizedResult:
    prepared = checked.prepared
    usable = {need.key: need.lays[0].usable_mm for need in cloths if need.lays}
    bindings = [p for p in prepared.draft.to_cut() if p.binding is not None]
    return SizedResult(
        size=body.code or body.name,
        body_name=body.name,
        body_code="" if body.of_table else body.code,
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
            line for p in bindings for line in binding_workings(p, units, usable[p.cuts[0].cloth])
        ),
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


def style_info(style: StyleFiles, options: Mapping[str, str], tongue: Tongue) -> StyleInfo:
    s, said = style.style, tongue.said
    titles: Mapping[str, Any] = style.sources["style"].data.get("option titles") or {}
    chosen = tuple(
        (name, choice, said(str((titles.get(name) or {}).get(choice, f"{name.replace('_', ' ')}: {choice}"))))
        for name, choice in options.items()
    )
    cautions = tuple(str(c) for c in style.sources["style"].data.get("cautions") or ())
    return StyleInfo(
        s.style,
        said(joined(s.title)),
        said(joined(s.summary)),
        s.version,
        tongue.grammar.date(str(s.dated)),
        said(s.level),
        chosen,
        cautions,
        _changes(style, tongue),
    )


def _changes(style: StyleFiles, tongue: Tongue) -> tuple[tuple[str, str, str], ...]:
    date = tongue.grammar.date
    return tuple((c.version, date(str(c.dated)), tongue.said(joined(c.what))) for c in style.style.changes)


def garment_views(style: StyleFiles, prepared: Prepared, tongue: Tongue) -> tuple[tuple[str, object], ...]:
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
    straps = attached_by([s.spec for s in prepared.seams.steps if s.verb == "attach"])
    sewn = Sewn({step: e.relaxed for step, e in prepared.elastics.items()}, parts, straps)
    drawn = garment_drawings(bench, views, 80.0, 110.0, sewn)
    return tuple((tongue.said(title.replace("_", " ")), drawing) for title, drawing in drawn)


def answers_at(where: Where, problems: Sequence[Problem], tongue: Tongue) -> tuple[Answer, ...]:
    """The rules that the step at a line answers, each reason once, in the booklet's language."""
    found = [Answer(p.code, tongue.said(p.although)) for p in problems if p.although and p.where == where]
    return tuple(dict.fromkeys(found))


def draw_steps(
    prepared: Prepared, words: tuple[StepWords, ...], units: Units, collector: Collector
) -> tuple[Step, ...]:
    """The steps with their words and pictures, in order."""
    drawn = {d.step.id: d for d in draw_recipe(prepared, units, words)}
    for word in words:
        picture = drawn[word.id]
        for text in picture.left_over:
            collector.note(
                "label", picture.step.where, f"the picture of step '{word.id}' has no room for '{text}'"
            )
    steps = worded_steps(prepared, words, units, collector)
    return tuple(replace(step, pictures=drawn[step.id].pictures) for step in steps)


def worded_steps(
    prepared: Prepared, words: tuple[StepWords, ...], units: Units, collector: Collector
) -> tuple[Step, ...]:
    """The steps with their words alone, in order."""
    tongue = tongue_of(units)
    at = {step.id: step.where for step in prepared.seams.steps}
    return tuple(
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
            where=at[word.id],
            note=word.note,
            answers=answers_at(at[word.id], collector.problems, tongue),
        )
        for word in words
    )
