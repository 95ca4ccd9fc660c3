"""Styles taken from their files through drafting, seams and cutting, for any body and options."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache, cached_property
from itertools import product
from pathlib import Path

from booklet.cutting.outline import cut_pieces
from booklet.drafting.copies import make_copies
from booklet.drafting.draft import check_options, draft_pieces, lay_out_table, work_out_measures
from booklet.drafting.finished import finished_measures, opening_measures
from booklet.drafting.maker import PieceMaker
from booklet.drafting.sides import World
from booklet.drafting.table import Table
from booklet.model import BodyMeasure, Copy, CutPiece, Draft, Finished
from booklet.problems import Collector, Problem
from booklet.reading.yaml_source import Source, parse_yaml, read_yaml
from booklet.seams.compare import Tolerances
from booklet.seams.table import SeamTable, build_seam_table, recipe_steps

STYLES = Path(__file__).resolve().parent.parent.parent / "styles"
# For grown women, so that every body of the survey can be drafted.
NAMES = ("top", "skirt", "apron", "aline", "blouse")
SEAMED = ("top", "skirt", "aline")  # those of them with seams that cross each other

# An invented middling body, mm, with what both styles need.
MIDDLING = {
    "bust_girth": 920.0,
    "waist_girth": 750.0,
    "hip_girth": 990.0,
    "back_neck_to_waist": 405.0,
    "upper_arm_girth": 295.0,
    "arm_length": 590.0,
    "wrist_girth": 160.0,
    "head_girth": 560.0,
    "waist_height": 1040.0,
    "knee_height": 470.0,
    "height": 1680.0,
}


@dataclass(frozen=True)
class Drafted:
    """One style for one body, as far as drafting goes; the later stages are worked out when asked for."""

    style: Source
    sewing: Source
    options: dict[str, str]
    measures: tuple[BodyMeasure, ...]
    table: Table
    maker: PieceMaker
    draft: Draft
    collector: Collector

    @property
    def problems(self) -> tuple[Problem, ...]:
        return tuple(self.collector.problems)

    @property
    def errors(self) -> tuple[str, ...]:
        return tuple(p.sentence() for p in self.collector.errors)

    @cached_property
    def copies(self) -> tuple[Copy, ...]:
        return make_copies(self.draft)

    @cached_property
    def by_id(self) -> dict[str, Copy]:
        return {c.id: c for c in self.copies}

    @cached_property
    def seams(self) -> SeamTable:
        steps = recipe_steps(self.sewing, self.table, self.collector)
        defaults: dict[str, object] = {"join": {}}
        return build_seam_table(steps, self.copies, self.table, defaults, Tolerances(), self.collector)

    @cached_property
    def cut(self) -> tuple[CutPiece, ...]:
        return cut_pieces(self.copies, self.seams.seams, self.collector)

    @cached_property
    def finished(self) -> tuple[Finished, ...]:
        return finished_measures(
            self.style, [World("whole", self.table, self.maker, self.draft)], self.collector
        )

    @cached_property
    def openings(self) -> tuple[Finished, ...]:
        return opening_measures(self.style, self.draft, self.table, self.maker, {}, self.collector)

    def cut_piece(self, key: str) -> CutPiece:
        return next(c for c in self.cut if c.piece.key == key)


@cache
def sources(style: str) -> tuple[Source, Source, Source]:
    """style.yaml, draft.yaml and sewing.yaml of one of the styles."""
    folder = STYLES / style
    style_file, draft, sewing = (
        read_yaml(folder / f"{n}.yaml", f"{style}/{n}.yaml") for n in ("style", "draft", "sewing")
    )
    return style_file, draft, sewing


def draft_sources(
    style: Source, draft: Source, sewing: Source, given: Mapping[str, float], options: Mapping[str, str] | None = None,
    units: str = "cm",
) -> Drafted:  # fmt: skip
    collector = Collector()
    chosen = check_options(style, options or {})
    measures = work_out_measures(style, given, "body.yaml", collector)
    table, maker = lay_out_table(draft, style, measures, chosen, units)
    pieces = draft_pieces(table, maker, collector)
    return Drafted(style, sewing, chosen, measures, table, maker, pieces, collector)


def draft_style(
    style: str,
    given: Mapping[str, float] | None = None,
    options: Mapping[str, str] | None = None,
    units: str = "cm",
) -> Drafted:
    """The style as it stands in its folder, for measures in mm."""
    return draft_sources(*sources(style), MIDDLING if given is None else given, options, units)


@cache
def middling(style: str, *options: tuple[str, str]) -> Drafted:
    """The style for the middling body, made once. Only for tests that change nothing."""
    return draft_style(style, options=dict(options))


def option_sets(style: str) -> tuple[dict[str, str], ...]:
    """Every combination of a style's options."""
    declared = sources(style)[0].data.get("options") or {}
    return tuple(dict(zip(declared, chosen, strict=True)) for chosen in product(*declared.values()))


def cases(names: tuple[str, ...] = NAMES) -> tuple[tuple[str, tuple[tuple[str, str], ...]], ...]:
    """Both styles with every combination of their options, for parametrizing."""
    return tuple((style, tuple(chosen.items())) for style in names for chosen in option_sets(style))


def case_name(value: object) -> str | None:
    """How a parametrized test prints a case."""
    if isinstance(value, tuple):
        return "-".join(choice for _, choice in value) or "plain"
    return str(value) if isinstance(value, str) else None


def inline_draft(
    text: str, given: Mapping[str, float] | None = None, options: Mapping[str, str] | None = None
) -> Drafted:
    """A draft written in a test: only draft.yaml matters, the style is bare."""
    style = parse_yaml("style: T-00\nunits: cm\ncloths: {main: {title: main}}\n", "style.yaml")
    sewing = parse_yaml("steps: []\n", "sewing.yaml")
    return draft_sources(style, parse_yaml(text, "draft.yaml"), sewing, dict(given or {}), options)
