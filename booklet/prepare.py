"""From files to checked seams and cut pieces: the stages up to sewing, in order, every problem collected."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal

from booklet.cutting.outline import cut_pieces
from booklet.drafting.copies import make_copies
from booklet.drafting.draft import check_options, draft_pieces, lay_out_table, work_out_measures
from booklet.drafting.finished import finished_measures, opening_measures
from booklet.drafting.maker import PieceMaker
from booklet.drafting.sides import World, draft_open
from booklet.drafting.table import Table
from booklet.language import tongue_of
from booklet.model import BodyMeasure, Copy, CutPiece, Draft, Finished, Side
from booklet.naming import named_draft, named_measures
from booklet.problems import Collector
from booklet.reading.read import Body, Sided, StyleFiles
from booklet.reading.shop import Shop
from booklet.seams.compare import Tolerances
from booklet.seams.table import RecipeStep, SeamTable, build_seam_table, recipe_steps
from booklet.sewing.check_order import answer
from booklet.sewing.checks import check_recipe
from booklet.sewing.checks_gaps import check_elastics, check_ends, check_grading
from booklet.sewing.checks_lists import check_lists
from booklet.sewing.checks_topstitch import check_topstitch
from booklet.sewing.elastic import Elastic, elastic_of

Units = Literal["cm", "in"]


@dataclass(frozen=True)
class Prepared:
    """One size, drafted, cut and checked against its recipe; nothing laid, worded or drawn yet."""

    options: Mapping[str, str]
    measures: tuple[BodyMeasure, ...]
    table: Table
    draft: Draft
    copies: tuple[Copy, ...]
    seams: SeamTable
    cuts: tuple[CutPiece, ...]
    finished: tuple[Finished, ...]
    openings: tuple[Finished, ...]
    elastics: Mapping[str, Elastic]  # by step
    shop: Shop


def prepare(
    style: StyleFiles, body: Body, options: Mapping[str, str], units: Units, shop: Shop, collector: Collector
) -> Prepared:
    """Runs the stages as far as they go. Raises Fault at the end of a stage whose errors make the next one idle."""
    sources = style.sources
    chosen = check_options(sources["style"], options)
    measures, whole, worlds = _draft(style, body, chosen, units, collector)
    table, maker, draft = whole.table, whole.maker, whole.draft
    tongue = tongue_of(units)
    draft = named_draft(draft, tongue)
    copies = make_copies(draft)
    steps = recipe_steps(sources["sewing"], table, collector)
    limits = Tolerances(shop.equal, shop.warning, shop.girth, shop.derived)
    defaults = {"join": {"press": shop.seams["join"].press, "neaten": shop.seams["join"].neaten}}
    seams = build_seam_table(steps, copies, table, defaults, limits, collector)
    cuts = cut_pieces(copies, seams.seams, collector)
    check_recipe(seams, copies, sources["style"].data, collector)
    elastics = _elastics(steps, table, collector)
    check_elastics(seams, elastics, copies, collector)
    check_grading(seams, shop.trim["grade from"], collector)
    check_ends(seams, copies, sources["style"], collector)
    check_topstitch(seams, table, collector)
    check_lists(sources["style"], seams, copies, elastics, table, collector)
    answer(steps, collector)
    finished = named_measures(finished_measures(sources["style"], worlds, collector), tongue)
    sided = {m.name for m in measures if m.side != "whole"}
    openings: list[Finished] = []
    for opening in opening_measures(sources["style"], draft, table, maker, _stretched(elastics), collector):
        openings += (
            _each_side(opening, style, worlds, steps, collector) if opening.body_name in sided else [opening]
        )
    return Prepared(
        chosen,
        measures,
        table,
        draft,
        copies,
        seams,
        cuts,
        finished,
        named_measures(openings, tongue),
        elastics,
        shop,
    )


def _elastics(steps: tuple[RecipeStep, ...], table: Table, collector: Collector) -> dict[str, Elastic]:
    out: dict[str, Elastic] = {}
    for step in steps:
        if step.verb == "casing":
            with collector.catching():
                out[step.id] = elastic_of(step, table)
    return out


def _stretched(elastics: Mapping[str, Elastic]) -> dict[str, tuple[float, float]]:
    return {e.run: (e.relaxed, e.stretched) for e in elastics.values()}


def _each_side(
    opening: Finished,
    style: StyleFiles,
    worlds: Sequence[World],
    steps: tuple[RecipeStep, ...],
    collector: Collector,
) -> list[Finished]:
    """An opening that an unlike left and right have to pass, for each of them."""
    out = []
    for w in worlds:
        stretched = _stretched(_elastics(steps, w.table, collector))
        found = opening_measures(style.sources["style"], w.draft, w.table, w.maker, stretched, collector)
        mine = next((f for f in found if f.name == opening.name), None)
        out += [replace(mine, title=f"{mine.title}, {w.side}")] if mine else []
    return out


def _draft(
    style: StyleFiles, body: Body, options: Mapping[str, str], units: Units, collector: Collector
) -> tuple[tuple[BodyMeasure, ...], World, tuple[World, ...]]:
    """The measures, the draft as it is cut, and what each side was drafted on: one table, or the right's and the left's."""
    source = style.sources["style"]

    def measured(side: Side) -> tuple[BodyMeasure, ...]:
        return work_out_measures(source, given_measures(body, side), body.file, collector)

    def laid_out(measures: tuple[BodyMeasure, ...]) -> tuple[Table, PieceMaker]:
        return lay_out_table(style.sources["draft"], source, measures, options, units)

    measures = measured("whole")
    collector.raise_if_errors()
    table, maker = laid_out(measures)
    if not any(isinstance(m, Sided) for m in body.measures.values()):
        draft = draft_pieces(table, maker, collector)
        collector.raise_if_errors()
        whole = World("whole", table, maker, draft)
        return measures, whole, (whole,)
    right, left = measured("right"), measured("left")
    draft, worlds = draft_open(laid_out(right), laid_out(left), (table, maker), collector)
    collector.raise_if_errors()
    told = tuple(m for row in zip(right, left, strict=True) for m in _told(*row))
    return told, World("whole", table, maker, draft), worlds


def _told(right: BodyMeasure, left: BodyMeasure) -> tuple[BodyMeasure, ...]:
    if abs(right.mm - left.mm) < 1e-9:
        return (right,)
    return replace(right, side="right"), replace(left, side="left")


def given_measures(body: Body, side: Side) -> dict[str, float]:
    """The body's measures as single lengths, mm: those of one side, or (whole) the mean where the two differ."""
    return {name: _of_side(m, side) if isinstance(m, Sided) else m for name, m in body.measures.items()}


def _of_side(measure: Sided, side: Side) -> float:
    return {"left": measure.left, "right": measure.right}.get(side, (measure.left + measure.right) / 2)
