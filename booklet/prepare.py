"""From files to checked seams and cut pieces: the stages up to sewing, in order, every problem collected."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal

from booklet.cutting.outline import cut_pieces
from booklet.drafting.copies import make_copies
from booklet.drafting.draft import check_options, draft_pieces, lay_out_table, work_out_measures
from booklet.drafting.finished import finished_measures, opening_measures
from booklet.drafting.table import Table
from booklet.model import BodyMeasure, Copy, CutPiece, Draft, Finished
from booklet.problems import Collector
from booklet.reading.read import Body, Sided, StyleFiles
from booklet.reading.shop import Shop
from booklet.seams.compare import Tolerances
from booklet.seams.table import SeamTable, build_seam_table, recipe_steps
from booklet.sewing.checks import check_recipe
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


def prepare(
    style: StyleFiles, body: Body, options: Mapping[str, str], units: Units, shop: Shop, collector: Collector
) -> Prepared:
    """Runs the stages as far as they go. Raises Fault at the end of a stage whose errors make the next one idle."""
    sources = style.sources
    chosen = check_options(sources["style"], options)
    measures = work_out_measures(sources["style"], given_measures(body, collector), body.file, collector)
    collector.raise_if_errors()
    table, maker = lay_out_table(sources["draft"], sources["style"], measures, chosen, units)
    draft = draft_pieces(table, maker, collector)
    collector.raise_if_errors()
    copies = make_copies(draft)
    steps = recipe_steps(sources["sewing"], table, collector)
    limits = Tolerances(shop.equal, shop.warning, shop.girth, shop.derived)
    defaults = {"join": {"press": shop.seams["join"].press, "neaten": shop.seams["join"].neaten}}
    seams = build_seam_table(steps, copies, table, defaults, limits, collector)
    cuts = cut_pieces(copies, seams.seams, collector)
    check_recipe(seams, copies, sources["style"].data, collector)
    elastics: dict[str, Elastic] = {}
    for step in steps:
        if step.verb == "casing":
            with collector.catching():
                elastics[step.id] = elastic_of(step, table)
    finished = finished_measures(sources["style"], draft, table, maker, collector)
    stretched = {e.run: (e.relaxed, e.stretched) for e in elastics.values()}
    openings = opening_measures(sources["style"], draft, table, maker, stretched, collector)
    return Prepared(chosen, measures, table, draft, copies, seams, cuts, finished, openings, elastics)


def given_measures(body: Body, collector: Collector) -> dict[str, float]:
    """The body's measures as single lengths. One that differs left and right is refused, never averaged."""
    out: dict[str, float] = {}
    for name, value in body.measures.items():
        if isinstance(value, Sided):
            if abs(value.left - value.right) < 1e-9:
                out[name] = value.left
                continue
            collector.error(
                "sided-measure",
                body.lines[name],
                f"{name} differs: left {value.left:.0f} mm, right {value.right:.0f} mm; this draft is made for two like sides",
                "Give one value, and fit the difference by hand.",
            )
        else:
            out[name] = value
    return out
